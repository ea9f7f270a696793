//! Which part has the top voice, where others rise above it, and where two play the same notes.

use super::voice::{Tone, Voice};
use crate::findings::rules::parts_cross;
use crate::findings::{Finding, Span};
use crate::theory::Ticks;
use crate::words::listed;
use std::cmp::Ordering;

/// So many notes one after another are a doubling, and no meeting by the way (assumed).
const DOUBLED: usize = 4;

/// Where a part is above another for this share of the time and more, both have the top voice: one in so many.
const OFTEN: usize = 3;

/// The highest notes of two parts at a moment at which one of them begins.
#[derive(Clone, Copy)]
struct Meeting<'v> {
    one: &'v Tone,
    other: &'v Tone,
}

impl Meeting<'_> {
    /// Which is above: `Greater` is the first.
    fn order(&self) -> Ordering {
        self.one.pitch.cmp(&self.other.pitch)
    }

    fn bar(&self) -> usize {
        self.one.bar.max(self.other.bar)
    }

    /// Whether both strike the same note at once.
    fn is_unison(&self) -> bool {
        self.order() == Ordering::Equal && self.one.start == self.other.start
    }
}

/// All crossings and doublings, two parts after two. What stands nowhere is told at the block's head.
pub(super) fn check(voices: &[Voice<'_>], head: Span) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, one) in voices.iter().enumerate() {
        for other in voices.iter().skip(index + 1) {
            let meetings = meetings(one, other);
            findings.extend(crossing(&meetings, [one, other], head));
            findings.extend(doubling(&meetings, [one, other], head));
        }
    }
    findings
}

fn meetings<'v>(one: &'v Voice<'_>, other: &'v Voice<'_>) -> Vec<Meeting<'v>> {
    let starts = one.tones.iter().chain(&other.tones).map(|tone| tone.start);
    let mut starts: Vec<Ticks> = starts.collect();
    starts.sort_unstable();
    starts.dedup();
    let meet = |at: Ticks| Some(Meeting { one: one.top(at)?, other: other.top(at)? });
    starts.into_iter().filter_map(meet).collect()
}

fn crossing(
    meetings: &[Meeting<'_>],
    [one, other]: [&Voice<'_>; 2],
    head: Span,
) -> Option<Finding> {
    let count = |order| meetings.iter().filter(|meeting| meeting.order() == order).count();
    let (above, below) = (count(Ordering::Greater), count(Ordering::Less));
    let (top, low, wrong) = match above >= below {
        true => (one, other, Ordering::Less),
        false => (other, one, Ordering::Greater),
    };
    let crossed: Vec<&Meeting<'_>> =
        meetings.iter().filter(|meeting| meeting.order() == wrong).collect();
    let first = crossed.first()?;
    let rises = if wrong == Ordering::Less { first.other } else { first.one };
    let span = low.span(rises).unwrap_or(head);
    let bars = bars(one, crossed.iter().map(|meeting| meeting.bar()));
    Some(match crossed.len() * OFTEN >= above + below {
        true => parts_cross::neither(span, [&top.part.name, &low.part.name], &bars),
        false => parts_cross::crosses(span, &low.part.name, &top.part.name, &bars),
    })
}

/// The first longer passage that two parts play in unison.
fn doubling(
    meetings: &[Meeting<'_>],
    [one, other]: [&Voice<'_>; 2],
    head: Span,
) -> Option<Finding> {
    let mut runs = meetings.chunk_by(|before, next| before.is_unison() && next.is_unison());
    let moves = |run: &[Meeting<'_>]| {
        run.iter().zip(run.iter().skip(1)).any(|(a, b)| a.one.pitch != b.one.pitch)
    };
    let run =
        runs.find(|run| run.len() >= DOUBLED && run.iter().all(Meeting::is_unison) && moves(run))?;
    let span = run.first().and_then(|meeting| other.span(meeting.other)).unwrap_or(head);
    let bars = bars(one, run.iter().map(Meeting::bar));
    Some(parts_cross::in_unison(span, [&one.part.name, &other.part.name], &bars))
}

/// "bar 2", "bars 2, 3 and 5": bars by their indices, rising.
fn bars(voice: &Voice<'_>, indices: impl Iterator<Item = usize>) -> String {
    let mut numbers: Vec<usize> =
        indices.filter_map(|index| Some(voice.bars().get(index)?.number)).collect();
    numbers.dedup();
    let words: Vec<String> = numbers.iter().map(usize::to_string).collect();
    let word = if words.len() == 1 { "bar" } else { "bars" };
    format!("{word} {}", listed(&words))
}
