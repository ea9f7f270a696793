//! The riff made ready for setting: for each bar what is written in it, and the moments at which
//! it stands with the room that they need.

use super::super::rows;
use super::labels::{BarAt, Label};
use super::rhythm::{Kind, Rhythm, Sign};
use super::scale::Scale;
use super::spacing::{self, Air, Column, Lane, Reach, Room};
use super::stave::Stave;
use super::strokes::Boxes;
use crate::lesson::Setting;
use crate::music::tab::{Bar, Form, Riff};
use crate::theory::Ticks;

/// The riff made ready for setting.
pub(in super::super) struct Score<'a> {
    pub riff: &'a Riff,
    pub(super) bars: Vec<BarScore>,
    /// What its systems are played on, the uppermost first.
    pub(super) staves: Vec<Box<dyn Stave>>,
    /// How many lines those have that share its bar lines: its own staves, and those of parts that sound with it.
    pub(super) lines: Vec<usize>,
    /// Whether equal beats are equally wide whatever that costs, as a strumming pattern's are.
    pub(super) even: bool,
    /// The boxes of a strumming pattern's chords.
    pub boxes: Boxes<'a>,
    pub(super) air: Air,
    /// Whether the player's right hand is, or may be, on the neck.
    pub(super) left_handed: bool,
}

/// One bar made ready.
pub(super) struct BarScore {
    pub columns: Vec<Column>,
    pub rhythm: Rhythm,
    pub labels: Vec<Label>,
}

impl Score<'_> {
    /// Makes a riff ready.
    pub(super) fn of<'a>(
        riff: &'a Riff,
        staves: Vec<Box<dyn Stave>>,
        setting: &Setting,
        scale: &Scale,
    ) -> Score<'a> {
        let boxes = Boxes::of(riff, scale.desk, setting);
        let has_rhythm = has_rhythm(riff);
        let mut held = riff.held_over;
        let bars = riff.bars.iter().enumerate().map(|(index, bar)| {
            let rhythm =
                if has_rhythm { Rhythm::of(bar, held - bar.start) } else { Rhythm::default() };
            if let Some(last) = bar.events.last() {
                held = bar.start + last.at + last.duration;
            }
            let at = BarAt { riff, bar, index, boxes: &boxes, scale };
            let mut labels: Vec<Label> =
                rows::ALL.iter().flat_map(|kind| kind.labels(&at)).collect();
            labels.sort_by_key(|label| label.tick);
            let mut columns = columns(riff, bar, &rhythm, &labels, scale);
            keep_room(&mut columns, &labels, &rhythm, bar.start, scale);
            for (number, stave) in staves.iter().enumerate() {
                let mut room = Room { columns: &mut columns, lane: Lane::Stave(number) };
                stave.keep_room(index, bar, &mut room, scale);
            }
            BarScore { columns, rhythm, labels }
        });
        let bars = bars.collect();
        let air = Air { staves: scale.gaps(0.3), words: scale.gaps(spacing::WORD_AIR) };
        let lines = staves.iter().map(|stave| stave.lines()).collect();
        let even = matches!(riff.form, Form::Strum(_));
        let left_handed = setting.left_handed || scale.desk.look.is_switched();
        Score { riff, bars, staves, lines, even, boxes, air, left_handed }
    }

    /// Sets it by the moments of parts too, whose bars are as long as its own: springs go by time between them all.
    pub(super) fn take_in(&mut self, parts: &[Score], scale: &Scale) {
        self.lines = parts.iter().flat_map(|part| &part.lines).copied().collect();
        self.even = parts.iter().all(|part| part.even);
        for (index, (ready, bar)) in self.bars.iter_mut().zip(&self.riff.bars).enumerate() {
            for (number, part) in (1..).zip(parts) {
                let columns = part.bars.get(index).map_or(&[][..], |bar| &bar.columns);
                let columns = columns.iter().map(|column| column.of_part(number));
                spacing::join(&mut ready.columns, columns);
            }
            let moments = ready.columns.iter().skip(1).map(|column| column.tick);
            let ends: Vec<Ticks> = moments.chain([bar.start + bar.length]).collect();
            for (column, end) in ready.columns.iter_mut().zip(ends) {
                let time = end - column.tick;
                column.spring = scale.gaps(BY_DURATION.share(time, time));
            }
        }
    }
}

/// Whether the rhythm is written: where there is a count, and something is said of how it is played. In a frame it
/// is the student's to write.
pub(super) fn has_rhythm(riff: &Riff) -> bool {
    riff.timed && riff.form != Form::Words && !riff.frame
}

/// The moments of a bar at which anything is written, springs set by durations.
fn columns(
    riff: &Riff,
    bar: &Bar,
    rhythm: &Rhythm,
    labels: &[Label],
    scale: &Scale,
) -> Vec<Column> {
    let remarks = bar.remarks.values().flatten().map(|remark| remark.at);
    let events = bar.events.iter().map(|event| event.at);
    let signs = rhythm.signs.iter().map(|sign| sign.at);
    let labels = labels.iter().map(|label| label.tick - bar.start);
    let mut moments: Vec<Ticks> = remarks.chain(events).chain(signs).chain(labels).collect();
    let is_open = riff.frame && !riff.timed;
    if is_open {
        moments.extend(places_to_write(bar));
    }
    moments.push(Ticks::ZERO);
    moments.sort_unstable();
    moments.dedup();
    let law = if riff.timed { BY_DURATION } else { BY_COLUMNS };
    let written = riff.timed && !rhythm.signs.is_empty();
    let starts = match written {
        true => sounding_starts(rhythm),
        false if is_open => places_to_write(bar),
        false => event_starts(bar),
    };
    let ends = moments.iter().skip(1).copied().chain([bar.length]);
    let spans = moments.iter().copied().zip(ends);
    let spring = |from: Ticks, to: Ticks| {
        let next = starts.partition_point(|start| *start <= from);
        let begins = next.checked_sub(1).and_then(|i| starts.get(i)).copied().unwrap_or_default();
        let ends = starts.get(next).copied().unwrap_or(bar.length).max(to);
        scale.gaps(law.share(to - from, ends - begins))
    };
    spans.map(|(from, to)| Column::new(bar.start + from, spring(from, to))).collect()
}

/// Where a student may write in a frame without a count: every so many columns, as notes stand as a rule.
fn places_to_write(bar: &Bar) -> Vec<Ticks> {
    (0..bar.length.0).step_by(FROM_NOTE_TO_NOTE).map(Ticks).collect()
}

fn event_starts(bar: &Bar) -> Vec<Ticks> {
    bar.events.iter().map(|event| event.at).collect()
}

/// When something begins to sound or to be silent; a tie's later notes are left out.
fn sounding_starts(rhythm: &Rhythm) -> Vec<Ticks> {
    let mut tied_on = false;
    let begins = |sign: &Sign| {
        let begins = !tied_on;
        tied_on = sign.kind == Kind::Note { tied: true };
        begins.then_some(sign.at)
    };
    rhythm.signs.iter().filter_map(begins).collect()
}

/// How far notes stand apart.
enum Law {
    /// In proportion to their lengths, a quarter note so many distances between tab lines: equal beats are equally
    /// wide, whatever is in them (looks, "Beats").
    Beats(f32),
    /// So many distances between tab lines for one of a number of columns, and for others by the square root of theirs:
    /// between equal room for all and room in proportion, since columns tell time only by and large.
    Columns { columns: f32, gaps: f32 },
}

/// Four bars of four beats by nature fill the measure, as in changes; chosen by eye.
const BY_DURATION: Law = Law::Beats(3.4);

/// How many columns of the text stand from note to note as a rule (assumed).
const FROM_NOTE_TO_NOTE: usize = 4;

/// Without a count the columns of the text stand for time (assumed).
const BY_COLUMNS: Law = Law::Columns { columns: 4.0, gaps: 2.1 };

impl Law {
    /// The distance over a part of a note, which is its share of the whole note's: what is written at a
    /// moment within it, a count or a word, doesn't push the notes apart.
    #[allow(clippy::cast_precision_loss)] // No bar is longer than 2²⁴ ticks.
    fn share(&self, part: Ticks, whole: Ticks) -> f32 {
        let (part, whole) = (part.0 as f32, whole.0.max(1) as f32);
        match self {
            Law::Beats(gaps) => gaps * part / Ticks::QUARTER.0 as f32,
            Law::Columns { columns, gaps } => gaps * (whole / columns).sqrt() * (part / whole),
        }
    }
}

fn keep_room(
    columns: &mut [Column],
    labels: &[Label],
    rhythm: &Rhythm,
    start: Ticks,
    scale: &Scale,
) {
    for label in labels {
        Room { columns, lane: label.lane }.keep(label.tick, label.reach);
    }
    let mut room = Room { columns, lane: Lane::Rhythm };
    for sign in rhythm.signs.iter().filter(|sign| sign.kind != Kind::WholeBarRest) {
        let (left, right) = rhythm_reach(sign);
        room.keep(start + sign.at, Reach { left: scale.gaps(left), right: scale.gaps(right) });
    }
}

/// How far a note or rest reaches beneath the staves, in distances between tab lines: as far as `signs` draws it.
fn rhythm_reach(sign: &Sign) -> (f32, f32) {
    let stem = matches!(sign.kind, Kind::Note { .. }) && sign.value.halvings >= 2;
    let half = if stem { 0.25 } else { 0.5 };
    let flag = stem && sign.beam.is_none() && sign.value.flags() > 0;
    let dot = match sign.value.dotted {
        true if stem => 0.65,
        true => 1.0,
        false => half,
    };
    (half, if flag { dot.max(0.75) } else { dot })
}
