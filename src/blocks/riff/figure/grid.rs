//! The grid of a meter: which moments of a bar are strong, and where a long note must be cut so
//! that the beats stay in sight.

use super::rhythm::Value;
use crate::theory::{Meter, Ticks};

/// The finest moment that halving reaches, a 256th note; thirds never fall on it.
const FINEST: u32 = 15;

/// The grid of one bar.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    meter: Meter,
    length: Ticks,
    /// What an upbeat lacks before it.
    offset: Ticks,
    /// Where the groups that share a beam begin, counted from the whole bar's start.
    groups: Vec<Ticks>,
    /// The half of the bar, in meters that have one.
    half: Option<Ticks>,
}

impl Grid {
    /// The grid of a bar of a meter; an upbeat is shorter and ends where the meter's bar does.
    pub fn of(meter: Meter, length: Ticks) -> Grid {
        let halves = meter.felt_beats().is_multiple_of(4);
        Grid {
            meter,
            length,
            offset: meter.bar() - length,
            groups: groups(meter),
            half: halves.then(|| meter.bar() / 2),
        }
    }

    /// How long the bar is.
    pub fn length(&self) -> Ticks {
        self.length
    }

    /// One beat of the meter's lower number, the one that thirds are counted in.
    pub fn beat(&self) -> Ticks {
        self.meter.beat()
    }

    /// Whether halving leads to a moment; otherwise it belongs to a triplet.
    pub fn is_binary(&self, at: Ticks) -> bool {
        (self.offset + at).0.is_multiple_of(FINEST)
    }

    /// The beat that a moment lies in.
    pub fn beat_start(&self, at: Ticks) -> Ticks {
        let whole = self.offset + at;
        (whole - whole % self.beat()) - self.offset
    }

    /// Where the pair of beats begins that a beat belongs to, in meters whose beats go in pairs.
    pub fn pair_start(&self, beat: Ticks) -> Option<Ticks> {
        let pair = self.beat() * 2;
        let whole = self.offset + beat;
        let start = (whole - whole % pair).0.checked_sub(self.offset.0)?;
        let paired = self.meter.beats().is_multiple_of(2) && !self.meter.is_compound();
        paired.then_some(Ticks(start))
    }

    /// The group of beamed notes that a moment lies in.
    pub fn group(&self, at: Ticks) -> usize {
        self.groups.partition_point(|start| *start <= self.offset + at)
    }

    /// Where the groups within the bar begin, the first left out.
    pub fn group_starts(&self) -> impl Iterator<Item = Ticks> {
        let later = self.groups.iter().filter(|start| **start > self.offset);
        later.map(|start| *start - self.offset)
    }

    /// Whether one note (or rest) of a value from one moment to another leaves the beats in sight.
    pub fn shows_meter(&self, from: Ticks, to: Ticks, sounds: bool) -> impl Fn(Value) -> bool {
        let (start, end) = (self.strength(from), self.strength(to));
        let inner = self.strongest_within(from, to);
        let crosses = inner.is_some_and(|inner| inner.strength >= self.group_strength());
        let on_groups = start >= self.group_strength() && end >= self.group_strength();
        let compound = self.meter.is_compound();
        let paired = self.half.is_some() || self.meter.felt_beats() == 2;
        move |value| {
            if compound && crosses {
                return on_groups && value.dotted;
            }
            let Some(inner) = inner else { return true };
            if !sounds {
                let whole_groups = compound && on_groups;
                let plain = !value.dotted && start > inner.strength && (!crosses || paired);
                return plain || (whole_groups && value.dotted);
            }
            let strongest_end = start.max(end);
            // A syncopation such as eighth, quarter, eighth: one step off the beat at both ends.
            let syncopated = !value.dotted
                && start == end
                && inner.strength == start + 1
                && inner.first == inner.last;
            inner.strength <= strongest_end || syncopated
        }
    }

    /// The strong moment at which a stretch is best cut.
    pub fn cut(&self, from: Ticks, to: Ticks) -> Option<Ticks> {
        let inner = self.strongest_within(from, to)?;
        let rising = self.strength(from) < self.strength(to);
        Some(if rising { inner.first } else { inner.last })
    }

    /// How strong a moment is: the bar's ends most, then its half, the groups, the beats, and each
    /// halving of them a step less.
    fn strength(&self, at: Ticks) -> u8 {
        let around = |rung: &Rung| self.rung_within(rung, at, at + Ticks(1)).is_some();
        self.rungs().find(around).map_or(0, |rung| rung.strength)
    }

    fn group_strength(&self) -> u8 {
        STRONGEST - 1 - u8::from(self.half.is_some())
    }

    fn strongest_within(&self, from: Ticks, to: Ticks) -> Option<Inner> {
        self.rungs().skip(1).find_map(|rung| self.rung_within(&rung, from + Ticks(1), to))
    }

    /// The ladder of strengths from the top.
    fn rungs(&self) -> impl Iterator<Item = Rung> {
        let beat = self.beat();
        let bar = Some(Step::Every(self.meter.bar()));
        let half = self.half.map(Step::Every);
        let beats = self.groups.get(1).is_some_and(|second| *second > beat);
        let beats = (beats || self.groups.len() == 1).then_some(Step::Every(beat));
        let halvings = (1..=8).map(move |halving| Step::Every(Ticks(beat.0 >> halving)));
        let fine = halvings.filter(|step| matches!(step, Step::Every(Ticks(FINEST..))));
        let rungs = [bar, half, Some(Step::Groups), beats].into_iter().flatten().chain(fine);
        rungs.zip((0..=STRONGEST).rev()).map(|(step, strength)| Rung { step, strength })
    }

    /// The first and last moments of a rung from one moment on, but before another.
    fn rung_within(&self, rung: &Rung, from: Ticks, to: Ticks) -> Option<Inner> {
        let after = (self.offset + from).0;
        let before = (self.offset + to).0;
        let (first, last) = match rung.step {
            Step::Every(Ticks(0)) => return None,
            Step::Every(step) => {
                (after.next_multiple_of(step.0), before.saturating_sub(1) / step.0 * step.0)
            }
            Step::Groups => {
                let first = self.groups.partition_point(|start| start.0 < after);
                let last = self.groups.partition_point(|start| start.0 < before);
                let last = last.checked_sub(1)?;
                (self.groups.get(first)?.0, self.groups.get(last)?.0)
            }
        };
        let at = |whole: u32| Ticks(whole) - self.offset;
        (first <= last && first < before).then(|| Inner {
            first: at(first),
            last: at(last),
            strength: rung.strength,
        })
    }
}

/// The strength of a bar's first moment.
const STRONGEST: u8 = 20;

struct Rung {
    step: Step,
    strength: u8,
}

enum Step {
    Every(Ticks),
    Groups,
}

/// The strongest moments within a stretch.
#[derive(Debug, Clone, Copy)]
struct Inner {
    first: Ticks,
    last: Ticks,
    strength: u8,
}

/// Where the notes that share a beam part: at each felt beat; in meters of short beats that are
/// not compound at each quarter's worth, an odd rest joined to the last (7/8 is 2 + 2 + 3).
fn groups(meter: Meter) -> Vec<Ticks> {
    let step = meter.felt_beat().max(Ticks::QUARTER);
    let count = (meter.bar().0 / step.0).max(1);
    (0..count).map(|group| step * group).collect()
}
