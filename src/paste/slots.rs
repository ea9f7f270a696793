//! Slots: the places of a bar at which something is written, each with its count and all that stands
//! under it.

use super::lines_beside::{Held, Mark};
use super::rhythm::{Grid, sign};
use super::sung;
use super::system::{Clock, Measure};
use crate::theory::Meter;
use std::collections::BTreeMap;

/// What is written at one place.
#[derive(Debug, Clone, Default)]
pub(super) struct Slot<'b> {
    /// The column of the text that it comes from.
    pub column: usize,
    pub notes: &'b [(usize, String)],
    pub count: String,
    pub chord: String,
    /// The ending of a repeat that begins here.
    pub ending: String,
    pub stroke: String,
    pub accented: bool,
    /// The plucking finger.
    pub right: String,
    /// A letter that only the player knows.
    pub word: String,
    pub sung: String,
    pub muted: bool,
    pub rings: bool,
    /// Whether its note has vibrato.
    pub shaken: bool,
}

impl Slot<'_> {
    /// What is written on a string.
    pub fn on(&self, row: usize) -> String {
        let note = self.notes.iter().find(|(other, _)| *other == row);
        let text = note.map(|(_, text)| text.as_str()).unwrap_or_default();
        if !self.shaken || text.is_empty() {
            return text.to_string();
        }
        // The sign that joins the next note stands last.
        let note = text.trim_end_matches(['h', 'p', 't', '/', '\\']);
        let join = text.get(note.len()..).unwrap_or_default();
        let wave = if note.ends_with('~') { "" } else { "~" };
        format!("{note}{wave}{join}")
    }
}

/// How far from a note a word may stand and still be sung to it, in columns.
const NEAR: usize = 2;

/// How far from a note its stroke or its letter may stand, in columns.
const BESIDE: usize = 1;

/// How fine a beat may be parted for words that are sung.
const FINEST: usize = 4;

/// Whether so many words can be sung in a bar.
pub(super) fn has_room(bar: &Measure, words: usize, counted: bool) -> bool {
    match (&bar.clock, counted) {
        (Some(Clock::Guessed(grid, _)), true) => words <= finest(grid),
        (Some(Clock::Typed(marks, _)), true) => words <= marks.len(),
        _ => words <= bar.moments.len(),
    }
}

/// How many places a bar has whose beats are parted as finely as words need.
fn finest(grid: &Grid) -> usize {
    let parts = if grid.parts < FINEST && grid.parts != 3 { FINEST } else { grid.parts };
    grid.all / grid.parts.max(1) * parts
}

/// The slots of a bar with the words that are sung in it, and room for so many chords.
pub(super) fn of<'b>(
    bar: &'b Measure,
    words: &[Mark],
    chords: usize,
    meter: Meter,
    counted: bool,
) -> Vec<Slot<'b>> {
    match bar.clock.as_ref().filter(|_| counted) {
        Some(Clock::Guessed(grid, lead)) => guessed(bar, grid, *lead, words, chords, meter),
        Some(Clock::Typed(marks, at)) => typed(bar, marks, at, words),
        None => uncounted(bar, words),
    }
}

/// The slots of a bar that isn't counted: its moments.
fn uncounted<'b>(bar: &'b Measure, words: &[Mark]) -> Vec<Slot<'b>> {
    let slot = |moment: &'b super::system::Moment| Slot {
        column: bar.from + moment.first,
        notes: &moment.notes,
        ..Slot::default()
    };
    let mut slots: Vec<Slot<'b>> = bar.moments.iter().map(slot).collect();
    if slots.is_empty() {
        slots.push(Slot { column: bar.from, ..Slot::default() });
    }
    sing(&mut slots, words);
    slots
}

/// The slots of a bar whose counts were typed. A bar without a note is silent.
fn typed<'b>(bar: &'b Measure, marks: &[Mark], at: &[usize], words: &[Mark]) -> Vec<Slot<'b>> {
    let slot =
        |(column, count): &Mark| Slot { column: *column, count: count.clone(), ..Slot::default() };
    let mut slots: Vec<Slot<'b>> = marks.iter().map(slot).collect();
    for (moment, index) in bar.moments.iter().zip(at) {
        if let Some(slot) = slots.get_mut(*index) {
            slot.notes = &moment.notes;
        }
    }
    match slots.first_mut() {
        Some(first) if bar.moments.is_empty() => first.count = format!("({})", first.count),
        Some(_) => {}
        None => slots.push(Slot { column: bar.from, count: "(1)".to_string(), ..Slot::default() }),
    }
    sing(&mut slots, words);
    slots
}

/// Gives words the slots nearest to them.
fn sing(slots: &mut [Slot<'_>], words: &[Mark]) {
    let columns: Vec<usize> = slots.iter().map(|slot| slot.column).collect();
    let wanted: Vec<usize> = words.iter().map(|(column, _)| nearest(&columns, *column)).collect();
    let places = sung::places(&wanted, slots.len()).unwrap_or_default();
    for (place, (_, word)) in places.into_iter().zip(words) {
        if let Some(slot) = slots.get_mut(place) {
            slot.sung = word.clone();
        }
    }
}

/// The index of the column nearest to another, of columns that rise.
pub(super) fn nearest(columns: &[usize], column: usize) -> usize {
    let above = columns.partition_point(|other| *other < column);
    let below = above.saturating_sub(1);
    let distance = |index: usize| columns.get(index).map_or(usize::MAX, |at| at.abs_diff(column));
    if distance(below) <= distance(above) { below } else { above }
}

/// The slots of a bar whose counts are guessed: its moments, its beats, which keep the clock, and what
/// words need between them.
fn guessed<'b>(
    bar: &'b Measure,
    grid: &Grid,
    lead: usize,
    words: &[Mark],
    chords: usize,
    meter: Meter,
) -> Vec<Slot<'b>> {
    let parts =
        if words.len() > grid.all { finest(grid) / usize::from(meter.beats()) } else { grid.parts };
    let finer = parts / grid.parts.max(1);
    let all = grid.all * finer;
    let width = bar.width.saturating_sub(lead).max(1);
    let column = |place: usize| bar.from + lead + place * width / all.max(1);
    let mut slots: BTreeMap<usize, Slot<'b>> = BTreeMap::new();
    for (place, moment) in grid.places.iter().zip(&bar.moments) {
        let (column, notes) = (bar.from + moment.first, moment.notes.as_slice());
        slots.insert(place * finer, Slot { column, notes, ..Slot::default() });
    }
    let silent = bar.moments.is_empty();
    let beats = if silent && chords < 2 && words.is_empty() { 1 } else { all };
    for beat in (0..beats).step_by(parts.max(1)) {
        slots.entry(beat).or_insert_with(|| Slot { column: column(beat), ..Slot::default() });
    }
    let known: Vec<(usize, usize)> =
        slots.iter().map(|(place, slot)| (slot.column, *place)).collect();
    let columns: Vec<usize> = known.iter().map(|(column, _)| *column).collect();
    let wanted = |(at, _): &Mark| {
        let near =
            known.get(nearest(&columns, *at)).filter(|(column, _)| column.abs_diff(*at) <= NEAR);
        let between = at.saturating_sub(bar.from + lead) * all / width;
        near.map_or(between.min(all.saturating_sub(1)), |(_, place)| *place)
    };
    let wanted: Vec<usize> = words.iter().map(wanted).collect();
    for (place, (_, word)) in sung::places(&wanted, all).unwrap_or_default().into_iter().zip(words)
    {
        let slot = slots.entry(place);
        slot.or_insert_with(|| Slot { column: column(place), ..Slot::default() }).sung =
            word.clone();
    }
    // The eighth of a beat is counted from the count before it.
    let eighths: Vec<usize> =
        slots.keys().copied().filter(|place| parts == 8 && place % 2 == 1).collect();
    for place in eighths {
        slots
            .entry(place - 1)
            .or_insert_with(|| Slot { column: column(place - 1), ..Slot::default() });
    }
    let counted = slots.into_iter().map(|(place, slot)| {
        let count = sign(place, parts);
        let count = if silent && place == 0 { format!("({count})") } else { count };
        Slot { count, ..slot }
    });
    counted.collect()
}

/// Gives chords the slots of a bar nearest to them. Those that no slot is left for are handed back.
pub(super) fn place_chords(slots: &mut [Slot<'_>], chords: &[Mark], bar: &Measure) -> Vec<Mark> {
    let mut over = Vec::new();
    let mut free = 0;
    // Words that are sung need slots of their own; chords change with notes and on beats.
    let bears = |slot: &Slot<'_>| {
        !slot.notes.is_empty()
            || slot.count.is_empty()
            || slot.count.contains(|c: char| c.is_ascii_digit())
    };
    let fit: Vec<usize> =
        slots.iter().enumerate().filter(|(_, slot)| bears(slot)).map(|(index, _)| index).collect();
    let columns: Vec<usize> =
        fit.iter().filter_map(|index| slots.get(*index).map(|slot| slot.column)).collect();
    for (column, name) in chords {
        // The only chord of a bar is meant for all of it, unless it stands well within.
        let early = column.saturating_sub(bar.from) * 2 <= bar.width;
        let wanted = if chords.len() == 1 && early { 0 } else { nearest(&columns, *column) };
        let place = wanted.max(free);
        match fit.get(place).and_then(|index| slots.get_mut(*index)) {
            Some(slot) => {
                slot.chord = name.clone();
                free = place + 1;
            }
            None => over.push((*column, name.clone())),
        }
    }
    over
}

/// The places at which marks stand, each its bar and its slot there, if each has one of its own: the nearest
/// slot of its bar that bears it. One over a bar line may stand at the next bar's too, and so may one in a bar
/// that has none for it. `froms` are the columns at which the bars begin.
pub(super) fn places(
    bars: &[Vec<Slot<'_>>],
    froms: &[usize],
    marks: &[Mark],
    bears: impl Fn(&Slot<'_>) -> bool,
) -> Option<Vec<(usize, usize)>> {
    let bearing = |slots: &Vec<Slot<'_>>| -> (Vec<usize>, Vec<usize>) {
        let fit = slots.iter().enumerate().filter(|(_, slot)| bears(slot));
        fit.map(|(index, slot)| (index, slot.column)).unzip()
    };
    let bearing: Vec<(Vec<usize>, Vec<usize>)> = bars.iter().map(bearing).collect();
    let nearest_in = |bar: usize, column: usize| {
        let (slots, columns) = bearing.get(bar)?;
        let near = nearest(columns, column);
        Some((columns.get(near)?.abs_diff(column), (bar, *slots.get(near)?)))
    };
    let place = |(column, _): &Mark| {
        let bar = froms.partition_point(|from| from <= column).saturating_sub(1);
        let is_over = froms.get(bar + 1) == Some(&(column + 1));
        let own = nearest_in(bar, *column);
        let next = nearest_in(bar + 1, *column).filter(|_| own.is_none() || is_over);
        let near = own.into_iter().chain(next).min_by_key(|(apart, _)| *apart);
        near.filter(|(apart, _)| *apart <= BESIDE).map(|(_, place)| place)
    };
    let places = marks.iter().map(place).collect::<Option<Vec<_>>>()?;
    places.is_sorted_by(|one, next| one < next).then_some(places)
}

/// By how many columns the labels may have put their rows further right than a line of marks: where it begins
/// beside them, or no mark comes to stand in another bar for it.
pub(super) fn shift_by_labels(froms: &[usize], marks: &[Mark]) -> Option<isize> {
    let margin = *froms.first()?;
    let bar = |column: usize| froms.partition_point(|from| *from <= column + 1);
    let begins_beside = marks.first().is_some_and(|(column, _)| *column < margin);
    let keep_bars = || marks.iter().all(|(column, _)| bar(*column) == bar(column + margin));
    (begins_beside || keep_bars()).then_some(margin.cast_signed())
}

/// Marks so many columns further right, or left.
pub(super) fn moved(marks: &[Mark], columns: isize) -> Vec<Mark> {
    let moved = |column: &usize| column.saturating_add_signed(columns);
    marks.iter().map(|(column, text)| (moved(column), text.clone())).collect()
}

/// Marks what is held from column to column; whether each span holds something.
pub(super) fn hold(bars: &mut [Vec<Slot<'_>>], held: Held, spans: &[(usize, usize)]) -> bool {
    let mut slots: Vec<&mut Slot<'_>> = bars.iter_mut().flatten().collect();
    let columns: Vec<usize> = slots.iter().map(|slot| slot.column).collect();
    let range = |(from, to): &(usize, usize)| {
        let first = columns.partition_point(|column| column + BESIDE < *from);
        let last = columns.partition_point(|column| column <= to);
        (first < last).then_some(first..last)
    };
    let Some(ranges) = spans.iter().map(range).collect::<Option<Vec<_>>>() else { return false };
    if held == Held::Vibrato {
        return shake(&mut slots, &ranges);
    }
    for range in ranges {
        for slot in slots.get_mut(range).into_iter().flatten() {
            match held {
                Held::Mute => slot.muted = true,
                Held::Ring => slot.rings = true,
                Held::Vibrato => {}
            }
        }
    }
    true
}

/// Gives the first note of each range vibrato, if it is one and not several.
fn shake(slots: &mut [&mut Slot<'_>], ranges: &[std::ops::Range<usize>]) -> bool {
    let single = |range: &std::ops::Range<usize>| {
        let first =
            range.clone().find(|at| slots.get(*at).is_some_and(|slot| !slot.notes.is_empty()));
        first.filter(|at| slots.get(*at).is_some_and(|slot| slot.notes.len() == 1))
    };
    let Some(found) = ranges.iter().map(single).collect::<Option<Vec<usize>>>() else {
        return false;
    };
    for at in found {
        if let Some(slot) = slots.get_mut(at) {
            slot.shaken = true;
        }
    }
    true
}
