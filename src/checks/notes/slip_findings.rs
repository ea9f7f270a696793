//! The findings about slips that explain several notes at once, with their repairs.

use super::Case;
use super::repair::Shift;
use super::slips::Slipped;
use crate::findings::Span;
use crate::findings::rules::{fret_slip, octave_slip, string_slip, upside_down};
use crate::findings::slip;
use crate::findings::{Finding, Ground};
use crate::lesson::fence::Fence;

/// The finding about bars that slipped; nothing where they stand as they should.
pub fn slipped(case: &Case<'_>, run: &Slipped) -> Option<Finding> {
    let bars = case.line.riff.bars.get(run.bars.clone()).unwrap_or_default();
    let number = |bar: Option<&crate::music::tab::Bar>| bar.map_or(0, |bar| bar.number);
    let (first, last) = (number(bars.first()), number(bars.last()));
    let which =
        if first == last { format!("bar {first}") } else { format!("bars {first} to {last}") };
    let fits = if case.line.chords_are_inferred {
        "what is around it"
    } else {
        "its chords and what is around it"
    };
    let slipped = slip::Slipped { span: place(case, run), bars: &which, fits };
    let (finding, repair) = match run.shift {
        Shift::Strings(by) => string_slip::bars(&slipped, by),
        Shift::Frets(by) if by.abs() == 12 => octave_slip::bars(&slipped, by),
        Shift::Frets(by) => fret_slip::bars(&slipped, by),
        Shift::None => return None,
    };
    let text = one_system(case, run).then(|| case.sheet.shifted(run.bars.clone(), run.shift));
    Some(match text.flatten() {
        Some((span, text)) => finding.fix(format!("{which} {repair}"), span, text, Ground::Choice),
        None => finding,
    })
}

fn one_system(case: &Case<'_>, run: &Slipped) -> bool {
    let bars = case.line.places.bars.get(run.bars.clone()).unwrap_or_default();
    bars.windows(2).all(|pair| matches!(pair, [a, b] if a.system == b.system))
}

/// From the first note to the last of the first bar, so that the mark stays in one row's reach.
fn place(case: &Case<'_>, run: &Slipped) -> Span {
    let tones = run.bars.clone().flat_map(|bar| case.line.in_bar(bar));
    tones.map(|tone| tone.span).next().unwrap_or_default()
}

/// The finding about a riff whose string rows stand in the wrong order under their labels.
pub fn upside_down(case: &Case<'_>, fence: &Fence<'_>) -> Finding {
    let finding = upside_down::turned_over(fence.head);
    match case.sheet.turned_over() {
        Some((span, text)) => {
            let says = "the rows in the opposite order under their labels";
            finding.fix(says, span, text, Ground::Choice)
        }
        None => finding,
    }
}
