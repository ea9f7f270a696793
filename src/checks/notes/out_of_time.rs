//! Bars whose notes are those of other bars, all of them a count late or early.

use super::context::StringFret;
use super::odd::like_words;
use super::repetition::{BarOf, Index};
use super::score::is_foreign;
use super::{Case, slips};
use crate::findings::rules::odd_bar_out;
use crate::findings::{Finding, Findings, Ground, Weight};
use crate::theory::Ticks;
use std::collections::BTreeSet;

/// How far apart counts mostly are, and what that is called.
const COUNTS: [(Ticks, &str); 2] =
    [(Ticks(Ticks::QUARTER.0 / 2), "an eighth"), (Ticks::QUARTER, "a quarter")];
/// A bar of fewer notes is easily another one moved (assumed).
const NOTES: usize = 3;

/// The bars that are out of time, with the findings.
pub fn check(case: &Case<'_>, index: &Index, settled: &BTreeSet<usize>) -> Vec<(usize, Finding)> {
    let bars =
        (0..case.line.bars.len()).filter(|bar| case.line.riff.timed && !settled.contains(bar));
    bars.filter_map(|bar| Some((bar, finding(case, index, bar)?)))
        .take(Findings::PATIENCE)
        .collect()
}

fn finding(case: &Case<'_>, index: &Index, bar: usize) -> Option<Finding> {
    let own = (case.riff, bar);
    let tones = case.line.in_bar(bar);
    if tones.len() < NOTES || index.twins(own) > 0 || tones.iter().any(|tone| tone.meant) {
        return None;
    }
    let (like, how) = COUNTS.iter().find_map(|(by, count)| {
        let late = like(case, index, own, |at| at.0.checked_sub(by.0).map(Ticks));
        let early = || like(case, index, own, |at| Some(at + *by));
        let late = late.map(|like| (like, format!("{count} late")));
        late.or_else(|| Some((early()?, format!("{count} early"))))
    })?;
    let words = like_words(case, like);
    let span = case.line.places.bar(bar)?;
    let finding = odd_bar_out::out_of_time(span, &words, &how);
    let foreign = tones.iter().any(|tone| is_foreign(case.line, tone, tone.pitch));
    let alone = index.twins(like) == 0;
    // Of two bars the later is to blame; and it may have been moved on purpose.
    if alone && own < like {
        return None;
    }
    let finding = if alone && !foreign { finding.weighing(Weight::Hint) } else { finding };
    let there = case.lines.get(like.0)?;
    let finding = match there.places.bar(like.1) {
        Some(span) => finding.label(span, "the bar that it repeats"),
        None => finding,
    };
    Some(match case.sheet.copied(bar, (there.places, like.1)) {
        Some((span, text)) => finding.fix(format!("like {words}"), span, text, Ground::Choice),
        None => finding,
    })
}

/// The bar that a bar would repeat, or repeat but for its first or its last moment, with its notes at other moments.
fn like(
    case: &Case<'_>,
    index: &Index,
    own: BarOf,
    moved: impl Fn(Ticks) -> Option<Ticks>,
) -> Option<BarOf> {
    let length = case.line.riff.bars.get(own.1)?.length;
    let tones = case.line.in_bar(own.1).iter();
    let places: Vec<(Ticks, StringFret)> = tones
        .map(|tone| Some((moved(tone.at).filter(|at| *at < length)?, tone.place)))
        .collect::<Option<_>>()?;
    let like = index.like_within(case.lines, case.line, own, &places)?;
    slips::has_chords_of(case.lines, like, case.line, own.1).then_some(like)
}
