//! Whether parts have the same bars.

use super::read::Named;
use crate::blocks::tab::parts::Part;
use crate::findings::rules::{bar_length, parts_length};
use crate::findings::{Finding, Findings, Span};
use crate::music::tab::{Bar, BarHarmony, Riff};

/// What is wrong with the bars of a part beside those of the first one: meters, pickups, repeats, and
/// where bars are repeated how many there are.
pub(super) fn wrong_bars(first: &Part, other: &Part, span: Span) -> Option<Finding> {
    let names = [first.name.as_str(), other.name.as_str()];
    let (own, others) = (&first.tab.riff, &other.tab.riff);
    if upbeat(own).map(|bar| bar.length) != upbeat(others).map(|bar| bar.length) {
        let is_none = [own, others].map(|riff| upbeat(riff).is_none());
        return Some(bar_length::other_pickup(span, names, is_none));
    }
    for (one, two) in own.bars.iter().zip(&others.bars) {
        let place = format!("bar {}", one.number);
        if one.meter != two.meter {
            return Some(bar_length::other_meter(span, &place, names, [one.meter, two.meter]));
        }
        if repeats(one) != repeats(two) {
            return Some(bar_length::other_repeat(span, &place, names));
        }
    }
    let counts = [own, others].map(|riff| riff.bars.len() - usize::from(upbeat(riff).is_some()));
    let [one, two] = counts;
    let is_repeated = [own, others].iter().any(|riff| riff.bars.iter().any(is_repeated));
    (one != two && is_repeated).then(|| bar_length::other_bars(span, names, counts))
}

/// The upbeat, bar 0.
fn upbeat(riff: &Riff) -> Option<&Bar> {
    riff.bars.first().filter(|_| riff.pickup)
}

/// All that a bar says about what is played again.
fn repeats(bar: &Bar) -> (bool, Option<u32>, Option<u8>) {
    (bar.repeat_start, bar.repeat_end, bar.within_ending)
}

fn is_repeated(bar: &Bar) -> bool {
    bar.repeat_start || bar.repeat_end.is_some()
}

/// The parts, each as long as the longest: one that ends before it is told, and silent from there on.
pub(super) fn made_equally_long(named: Vec<Named>, findings: &mut Findings) -> Vec<Part> {
    let bars = |one: &Named| one.part.tab.riff.bars.len();
    // Of equals the uppermost.
    let Some(longest) = named.iter().rev().max_by_key(|one| bars(one)) else { return Vec::new() };
    let (name, all) = (longest.part.name.clone(), longest.part.tab.riff.bars.clone());
    let mut parts = Vec::new();
    for Named { mut part, span } in named {
        let riff = &mut part.tab.riff;
        let missing = all.get(riff.bars.len()..).unwrap_or_default();
        if let (Some(last), Some(end)) = (riff.bars.last(), missing.last()) {
            let ends = [last.number, end.number];
            findings.add(parts_length::ends_before(span, [&part.name, &name], ends));
        }
        riff.harmony.extend(missing.iter().map(|_| BarHarmony::default()));
        riff.bars.extend(missing.iter().map(Bar::silent));
        parts.push(part);
    }
    parts
}
