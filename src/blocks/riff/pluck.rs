//! Whether the plucking hand is fast enough.

use crate::blocks::tab::Tab;
use crate::blocks::tab::places::Places;
use crate::findings::Findings;
use crate::findings::Span;
use crate::findings::rules::pick_speed;
use crate::lesson::Setting;
use crate::music::performance::{self, Pace, Performance};
use crate::music::tab::{Event, Note, Riff};
use crate::neck::speed::{CROSSING, Plucking};
use std::time::Duration;

/// Raises `pick-speed` for every run of three notes or more that are plucked faster than a hand
/// can.
pub(super) fn check(tab: &Tab, setting: &Setting, findings: &mut Findings) {
    let Tab { riff, places } = tab;
    let pace = riff.pace(setting);
    let struck = struck(&Performance::as_written(riff, pace), places);
    let mut run: Option<Run> = None;
    for (at, pair) in struck.windows(2).enumerate() {
        let [before, stroke] = pair else { continue };
        let plucking = plucking(struck.get(at.saturating_sub(2)..=at + 1).unwrap_or_default());
        let too_fast = Speed::between(before, stroke, plucking).filter(Speed::is_too_fast);
        run = match (run, too_fast) {
            (Some(run), Some(speed)) => Some(run.and(speed)),
            (None, Some(speed)) => Some(Run { first: before, notes: 2, speed }),
            (ended, None) => {
                ended.into_iter().for_each(|run| run.report(riff, &pace, findings));
                None
            }
        };
    }
    run.into_iter().for_each(|run| run.report(riff, &pace, findings));
}

/// Something that is plucked.
struct Stroke<'r> {
    bar: usize,
    event: &'r Event,
    time: Duration,
    /// The lowest-placed and the highest-placed string.
    strings: (usize, usize),
    span: Span,
}

/// What is plucked anew, in order.
fn struck<'r>(performance: &Performance<'r>, places: &Places) -> Vec<Stroke<'r>> {
    let stroke = |stroke: performance::Stroke<'r>| {
        let mut plucked = stroke.event.notes.iter().filter(|note| is_plucked(note));
        let first = plucked.next()?;
        let strings = (first.string, plucked.next_back().map_or(first.string, |note| note.string));
        let (bar, event) = (stroke.pass.index, stroke.event);
        let span = places.note(bar, event.at, first.string)?.span;
        Some(Stroke { bar, event, time: performance.time(stroke.start), strings, span })
    };
    performance.strokes().filter_map(stroke).collect()
}

fn is_plucked(note: &Note) -> bool {
    let joint = note.graces.first().map_or(note.joined, |grace| grace.joined);
    joint.is_none() && !note.tapped
}

/// What plucks the last of some strokes.
fn plucking(strokes: &[Stroke]) -> Plucking {
    let [.., before, stroke] = strokes else { return Plucking::Alternate };
    let (one, other) = (&before.event.right, &stroke.event.right);
    if !one.is_empty() && !other.is_empty() {
        let mut fingers: Vec<char> = strokes.iter().flat_map(|s| s.event.right.chars()).collect();
        fingers.sort_unstable();
        fingers.dedup();
        return match () {
            _ if other.chars().any(|finger| one.contains(finger)) => Plucking::Again,
            _ if fingers.len() > 2 => Plucking::Row,
            _ => Plucking::TwoFingers,
        };
    }
    // One stroke over several strings in turn is a sweep, and no slower than picking.
    let same_strings = before.strings == stroke.strings;
    match (before.event.pick, stroke.event.pick) {
        (Some(one), Some(other)) if one == other && same_strings => Plucking::Again,
        _ => Plucking::Alternate,
    }
}

/// How fast one note comes after another.
#[derive(Clone, Copy)]
struct Speed {
    plucking: Plucking,
    /// Notes a second.
    rate: f64,
    /// Notes a second that are no trouble.
    easy: f64,
    /// Notes a second that a hand can pluck at most.
    most: f64,
}

impl Speed {
    /// `None` where no time is known.
    fn between(before: &Stroke, stroke: &Stroke, plucking: Plucking) -> Option<Speed> {
        let time = stroke.time.checked_sub(before.time).filter(|time| !time.is_zero())?;
        let (low, high) = (before.strings, stroke.strings);
        let apart = low.0.saturating_sub(high.1).max(high.0.saturating_sub(low.1));
        let crossing = if plucking == Plucking::Alternate && apart >= 2 { CROSSING } else { 1.0 };
        let (easy, most) = plucking.rates();
        let rate = 1.0 / time.as_secs_f64();
        Some(Speed { plucking, rate, easy: easy * crossing, most: most * crossing })
    }

    fn is_too_fast(&self) -> bool {
        self.rate > self.most * 1.001
    }
}

/// Notes in a row that are too fast.
struct Run<'r> {
    first: &'r Stroke<'r>,
    notes: usize,
    /// The fastest of them, against what plucks it.
    speed: Speed,
}

impl Run<'_> {
    fn and(self, speed: Speed) -> Self {
        let over = |speed: &Speed| speed.rate / speed.most;
        let speed = if over(&speed) > over(&self.speed) { speed } else { self.speed };
        Run { notes: self.notes + 1, speed, ..self }
    }

    fn report(&self, riff: &Riff, pace: &Pace, findings: &mut Findings) {
        if self.notes < 3 || self.first.event.meant {
            return;
        }
        let Speed { plucking, rate, easy, most } = self.speed;
        let place = riff.place(self.first.bar, self.first.event.at, None);
        let (span, slower) = (self.first.span, pace.slower(rate / easy));
        let finding = pick_speed::too_fast(span, self.notes, plucking, (rate, most), slower);
        findings.add(finding.heard_at(&place));
    }
}
