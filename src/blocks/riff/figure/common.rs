//! What parts that sound together have in common: their bars with all signs, the chord symbols over them, the counts beneath
//! them. It is a riff of its own that plays nothing; what is left of the parts stands between the two.

use super::chords;
use crate::music::tab::{Bar, ByRow, Count, Form, Riff};
use crate::theory::Ticks;

/// Parts taken apart into what they share and what each plays.
pub(super) struct Common {
    /// What they share.
    pub riff: Riff,
    /// Each without that, with as many bars; one that ends before the others is silent from there on.
    pub parts: Vec<Riff>,
}

impl Common {
    /// Takes parts apart; `None` where they have no common time: some have no count, or bars differ in length.
    pub fn of(riffs: &[&Riff]) -> Option<Common> {
        let longest = *riffs.iter().rev().max_by_key(|riff| riff.bars.len())?;
        let time = |bar: &Bar| (bar.start, bar.length);
        let alike = |riff: &&Riff| {
            let mut bars = riff.bars.iter().zip(&longest.bars);
            riff.timed && bars.all(|(bar, other)| time(bar) == time(other))
        };
        if !riffs.iter().all(alike) {
            return None;
        }
        let ends = riffs.iter().any(|riff| riff.ends);
        let parts = riffs.iter().map(|riff| Riff { ends, ..alone(riff, longest) });
        Some(Common { parts: parts.collect(), riff: Riff { ends, ..shared(riffs, longest) } })
    }
}

/// A part without what is common to all.
fn alone(riff: &Riff, longest: &Riff) -> Riff {
    let own = riff.bars.iter().cloned().map(|bar| Bar {
        chords: Vec::new(),
        counts: Vec::new(),
        ending: None,
        within_ending: None,
        ..bar
    });
    let silent = longest.bars.iter().skip(riff.bars.len()).map(empty);
    let form = match &riff.form {
        Form::Strum(_) => Form::Strum(Vec::new()),
        form => form.clone(),
    };
    Riff {
        form,
        bars: own.chain(silent).collect(),
        instrument: riff.instrument.clone(),
        runs: riff.runs.clone(),
        harmony: Vec::new(),
        ..*riff
    }
}

/// What is common to all: the longest part's bars.
fn shared(riffs: &[&Riff], longest: &Riff) -> Riff {
    let counted: Vec<&Riff> =
        riffs.iter().filter(|riff| riff.big_beats == longest.big_beats).copied().collect();
    let chords = with_chords(riffs);
    let bars = longest.bars.iter().enumerate().map(|(index, bar)| Bar {
        counts: counts(&counted, index),
        chords: chords
            .and_then(|riff| riff.bars.get(index))
            .map(|bar| bar.chords.clone())
            .unwrap_or_default(),
        ..bar.silent()
    });
    let form = chords.map(|riff| &riff.form).filter(|form| matches!(form, Form::Strum(_)));
    Riff {
        form: form.cloned().unwrap_or(Form::Tab),
        bars: bars.collect(),
        held_over: Ticks::ZERO,
        instrument: longest.instrument.clone(),
        runs: ByRow::new(),
        fingered: false,
        harmony: chords.map(|riff| riff.harmony.clone()).unwrap_or_default(),
        frame: false,
        ..*longest
    }
}

/// A bar as long as another, in which nothing is played or said, and with no ending: that is common to all.
fn empty(bar: &Bar) -> Bar {
    Bar { ending: None, within_ending: None, ..bar.silent() }
}

/// The part whose chords stand over all: a strumming pattern, which has their boxes, or else the first that has any.
fn with_chords<'r>(riffs: &[&'r Riff]) -> Option<&'r Riff> {
    let written =
        |riff: &&&Riff| (0..riff.bars.len()).any(|bar| !chords::over(riff, bar).is_empty());
    let strummed = |riff: &&&Riff| matches!(riff.form, Form::Strum(_));
    let all = || riffs.iter().filter(written);
    all().find(strummed).or_else(|| all().next()).copied()
}

/// What is counted in a bar by any part. A rest is one where all are silent.
fn counts(riffs: &[&Riff], index: usize) -> Vec<Count> {
    let bars: Vec<&Bar> = riffs.iter().filter_map(|riff| riff.bars.get(index)).collect();
    let mut counts: Vec<Count> = bars.iter().flat_map(|bar| &bar.counts).cloned().collect();
    counts.sort_by_key(|count| count.at);
    counts.dedup_by_key(|count| count.at);
    for count in &mut counts {
        count.rest = bars.iter().all(|bar| is_silent(bar, count.at))
            && bars.iter().any(|bar| rests(bar, count.at));
    }
    counts
}

/// Whether a bar's count says that all sound stops at a moment.
fn rests(bar: &Bar, at: Ticks) -> bool {
    let found = bar.counts.binary_search_by(|count| count.at.cmp(&at)).ok();
    found.and_then(|found| bar.counts.get(found)).is_some_and(|count| count.rest)
}

/// Whether nothing that begins in a bar sounds at a moment.
fn is_silent(bar: &Bar, at: Ticks) -> bool {
    let begun = bar.events.partition_point(|event| event.at <= at);
    let last = begun.checked_sub(1).and_then(|last| bar.events.get(last));
    last.is_none_or(|event| event.at + event.duration <= at)
}
