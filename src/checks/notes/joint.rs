//! The findings about slips that explain several notes at once, with their repairs.

use super::Case;
use super::repair::Shift;
use super::slips::Slipped;
use crate::findings::Span;
use crate::findings::rules::{fret_slip, octave_slip, string_slip, upside_down};
use crate::findings::{Finding, Ground, Rule};
use crate::lesson::fence::Fence;

/// The finding about bars that slipped.
pub fn slipped(case: &Case<'_>, run: &Slipped) -> Finding {
    let (rule, how, repair): (&'static Rule, String, String) = words(run.shift);
    let bars = case.line.riff.bars.get(run.bars.clone()).unwrap_or_default();
    let number = |bar: Option<&crate::blocks::riff::model::Bar>| bar.map_or(0, |bar| bar.number);
    let (first, last) = (number(bars.first()), number(bars.last()));
    let which =
        if first == last { format!("bar {first}") } else { format!("bars {first} to {last}") };
    let fits = if case.line.chords_are_inferred {
        "what is around it"
    } else {
        "its chords and what is around it"
    };
    let message = format!("{which}: all of it seems to be written {how}; {repair} it fits {fits}");
    let finding = Finding::new(rule, place(case, run), message);
    let finding = match run.shift {
        Shift::Frets(by) if by.abs() > 2 && by.abs() != 12 => finding.note(capo_words(by)),
        _ => finding,
    };
    match one_system(case, run).then(|| case.sheet.shifted(run.bars.clone(), run.shift)).flatten() {
        Some((span, text)) => finding.fix(format!("{which} {repair}"), span, text, Ground::Choice),
        None => finding,
    }
}

fn words(shift: Shift) -> (&'static Rule, String, String) {
    let frets = |by: i16| match by.unsigned_abs() {
        1 => "one fret".to_owned(),
        2 => "two frets".to_owned(),
        by => format!("{by} frets"),
    };
    match shift {
        Shift::Strings(by) => {
            let (off, back) = if by > 0 { ("low", "higher") } else { ("high", "lower") };
            (&string_slip::RULE, format!("one string too {off}"), format!("one string {back}"))
        }
        Shift::Frets(by) if by.abs() == 12 => {
            let (off, back) = if by > 0 { ("low", "up") } else { ("high", "down") };
            (&octave_slip::RULE, format!("an octave too {off}"), format!("an octave {back}"))
        }
        Shift::Frets(by) => {
            let (off, back) = if by > 0 { ("low", "up") } else { ("high", "down") };
            (&fret_slip::RULE, format!("{} too {off}", frets(by)), format!("{} {back}", frets(by)))
        }
        Shift::None => (&fret_slip::RULE, "as it should be".to_owned(), "as it is".to_owned()),
    }
}

/// What a riff is likely to be that is off by a capo's fret.
fn capo_words(by: i16) -> String {
    let fret = by.abs();
    match by {
        ..0 => format!("with a capo at fret {fret}, frets are counted from it: the capo is fret 0"),
        _ => {
            format!("if these frets are counted from a capo at fret {fret}, so must the chords be")
        }
    }
}

fn one_system(case: &Case<'_>, run: &Slipped) -> bool {
    let bars = case.line.riff.bars.get(run.bars.clone()).unwrap_or_default();
    bars.windows(2).all(|pair| matches!(pair, [a, b] if a.system == b.system))
}

/// From the first note to the last of the first bar, so that the mark stays in one row's reach.
fn place(case: &Case<'_>, run: &Slipped) -> Span {
    let tones = run.bars.clone().flat_map(|bar| case.line.in_bar(bar));
    tones.map(|tone| tone.span).next().unwrap_or_default()
}

/// The finding about a riff whose string rows stand in the wrong order under their labels.
pub fn upside_down(case: &Case<'_>, fence: &Fence<'_>) -> Finding {
    let message = "turned over, the highest string's row under the lowest's label, this riff fits its chords and its key much better";
    let finding = Finding::new(&upside_down::RULE, fence.head, message)
        .note("what is written on the highest string may belong on the lowest, and so on");
    match case.sheet.turned_over() {
        Some((span, text)) => {
            let says = "the rows in the opposite order under their labels";
            finding.fix(says, span, text, Ground::Choice)
        }
        None => finding,
    }
}
