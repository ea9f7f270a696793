//! A system as it is read: its bars with what is played in them, and when.

use super::bars::{self, Bar, BarLine};
use super::directions;
use super::found::{Played, Read};
use super::frets;
use super::legend::Legend;
use super::letters;
use super::lines_beside::{self, Held, Mark};
use super::pieces::{Cue, Stack};
use super::remarks::RemarkPlace;
use super::rhythm::Grid;
use super::slots::{self, Slot};
use super::typed_counts::{self, Placing, Typed};
use crate::theory::Meter;
use std::collections::BTreeSet;

/// Columns that may be left free before the first note of a few bars: more of them are a rest.
const WIDEST_LEAD: usize = 2;

/// How much more even the spacing of each bar must become for the first note to be taken off the beat,
/// in parts. Assumed.
const CLEARLY_UNEVEN: f64 = 0.5;

/// The widest bar whose counts are guessed, in columns; a wider one is a system without bar lines.
const WIDEST_BAR: usize = 48;

/// How many single notes in columns that touch are a run and no chord whose rows slipped.
const SHORTEST_RUN: usize = 3;

/// A system as it is read.
pub(super) struct System<'s> {
    stack: &'s Stack,
    pub start: BarLine,
    pub bars: Vec<Measure>,
    /// How many strokes of a bracket stand behind the last bar.
    pub strokes: usize,
    /// What could not be read: the number of its bar, the index of its row, its column, the words.
    pub unread: Vec<(usize, usize, usize, String)>,
    /// What had to be guessed about joins, counts and letters.
    pub guesses: BTreeSet<String>,
    /// The indexes of the bars in which notes a column apart are taken together.
    pub merged: Vec<usize>,
    /// What stands above and says how far its bends go.
    pub bends: Vec<String>,
    /// By how many columns the typed counts were moved to stand under their notes.
    shift: isize,
}

/// A bar with its moments.
pub(super) struct Measure {
    /// The column of the text at which it begins, and how many columns it has.
    pub from: usize,
    pub width: usize,
    pub moments: Vec<Moment>,
    /// When they are, if that is known or can be guessed.
    pub clock: Option<Clock>,
    pub end: BarLine,
    /// The ending of a repeat that begins with it; empty where none does.
    pub ending: String,
    /// How often its endings say that the repeat is played which it closes.
    pub times: Option<u8>,
}

/// When the moments of a bar are.
pub(super) enum Clock {
    /// Counts as they were typed, and which of them each moment has.
    Typed(Vec<Mark>, Vec<usize>),
    /// Guessed from the spacing; how many columns stand before the first beat.
    Guessed(Grid, usize),
}

/// Notes at one moment.
#[derive(Debug)]
pub(super) struct Moment {
    /// The column of the first of them in the bar.
    pub first: usize,
    /// Each with its row, as it is written.
    pub notes: Vec<(usize, String)>,
    /// Whether some stand a column beside the first.
    pub merged: bool,
}

impl<'s> System<'s> {
    pub fn read(stack: &'s Stack, meter: Meter, legend: &Legend) -> System<'s> {
        let cut = bars::cut(&stack.rows);
        let mut system = System {
            stack,
            start: cut.start,
            bars: Vec::new(),
            strokes: cut.strokes,
            unread: Vec::new(),
            guesses: cut.guesses,
            merged: Vec::new(),
            bends: Vec::new(),
            shift: 0,
        };
        let bars = cut.bars;
        let mut played = system.rows(&bars, legend);
        join(&mut played);
        let moments: Vec<Vec<Moment>> = played.iter().map(|rows| moments(rows)).collect();
        let merged = |moments: &Vec<Moment>| moments.iter().any(|moment| moment.merged);
        let with_merged = moments.iter().enumerate().filter(|(_, moments)| merged(moments));
        system.merged = with_merged.map(|(index, _)| index).collect();
        let lead = lead(&bars, &moments, meter);
        let typed = system.typed(&bars, &moments, meter);
        let mut typed = typed.into_iter().flatten();
        for (bar, moments) in bars.iter().zip(moments) {
            let (columns, width) = spacing(bar, &moments, lead);
            let guess = Grid::guess(&columns, width, meter).filter(|_| width <= WIDEST_BAR);
            let guess = guess.map(|(_, grid)| Clock::Guessed(grid, lead));
            let clock = typed.next().map(|(marks, at)| Clock::Typed(marks, at)).or(guess);
            let (from, end) = (bar.from, bar.end);
            let (width, ending) = (columns_of(bar), String::new());
            let times = None;
            system.bars.push(Measure { from, width, moments, clock, end, ending, times });
        }
        if let Some(said) = &legend.brackets {
            system.tie(said, legend.ties());
        }
        system
    }

    /// What is played, bar by bar and row by row.
    fn rows(&mut self, bars: &[Bar], legend: &Legend) -> Vec<Vec<Vec<Played>>> {
        let mut played: Vec<Vec<Vec<Played>>> = bars.iter().map(|_| Vec::new()).collect();
        let cells = |row: usize| {
            let cells = bars.iter().map(move |bar| bar.rows.get(row).map(Vec::as_slice));
            cells.map(Option::unwrap_or_default)
        };
        let rows = 0..self.stack.rows.len();
        let mut reads: Vec<Read> = rows.map(|row| frets::read(cells(row), legend, &[])).collect();
        self.bend(&mut reads, |row, steps| frets::read(cells(row), legend, steps));
        for (row, read) in reads.into_iter().enumerate() {
            self.guesses.extend(read.guesses);
            self.unread.extend(read.unread.into_iter().map(|unread| {
                let from = bars.get(unread.bar).map_or(0, |bar| bar.from);
                (unread.bar + 1, row, from + unread.column, unread.words)
            }));
            played.iter_mut().zip(read.bars).for_each(|(bar, notes)| bar.push(notes));
        }
        self.unread.sort();
        played
    }

    /// Reads the row that has bends again with how far they go, if the system says so above, once for each
    /// bend in their order.
    fn bend(&mut self, reads: &mut [Read], read: impl Fn(usize, &[u8]) -> Read) {
        let above =
            self.stack.cues.remarks.iter().filter(|r| matches!(r.place, RemarkPlace::Above(_)));
        let (said, steps): (Vec<String>, Vec<u8>) = above
            .filter_map(|remark| Some((remark.text.clone(), directions::bend(&remark.text)?)))
            .unzip();
        let mut bent = reads.iter_mut().enumerate().filter(|(_, read)| read.bends > 0);
        let (Some((row, bent)), None) = (bent.next(), bent.next()) else { return };
        if bent.bends == steps.len() {
            *bent = read(row, &steps);
            self.guesses.insert(format!("how far the bends go, from `{}` above", said.join(" ")));
            self.bends = said;
        }
    }

    /// Lets the notes in brackets sound on of which the text says that they are tied over, with these words,
    /// where all that sounds does: what lasts has no note of its own. The others are told, and where the
    /// words say anything else, all.
    fn tie(&mut self, said: &str, ties: bool) {
        let mut sounding: Vec<(usize, String)> = Vec::new();
        for (index, bar) in self.bars.iter_mut().enumerate() {
            for moment in &mut bar.moments {
                let lasts = |note: &(usize, String)| {
                    sounding
                        .iter()
                        .any(|(row, fret)| *row == note.0 && format!("({fret})") == note.1)
                };
                let tied =
                    ties && moment.notes.len() == sounding.len() && moment.notes.iter().all(lasts);
                for (row, text) in moment.notes.iter().filter(|(_, text)| text.starts_with('(')) {
                    let what = if tied { "is tied over, as" } else { "is optional, though" };
                    let words = format!("guessed: {text} {what} the text says `{said}`");
                    self.unread.push((index + 1, *row, bar.from + moment.first, words));
                }
                match tied {
                    true => moment.notes.clear(),
                    false => sounding.clone_from(&moment.notes),
                }
            }
        }
        self.unread.sort();
    }

    /// The counts that were typed, bar by bar, if every note has one: where they stand, or further right
    /// by the columns of the labels; then all a column beside these; then some before their notes, or some behind.
    fn typed(&mut self, bars: &[Bar], moments: &[Vec<Moment>], meter: Meter) -> Option<Vec<Typed>> {
        let cue = self.stack.cues.counts.as_ref()?;
        let margin = bars.first().map_or(0, |bar| bar.from).cast_signed();
        let beside = [margin - 1, margin + 1, 1, -1];
        let said = cue.text.trim();
        let beside_some =
            format!("which of the counts `{said}` a note has that stood a column beside");
        let ways = [
            (&[0, margin][..], Placing::Within((0, 0)), None),
            (
                &beside,
                Placing::Within((0, 0)),
                Some(format!("the counts `{said}` belong a column beside where they stood")),
            ),
            (&[0, margin], Placing::Within((typed_counts::SLIPPED, 0)), Some(beside_some.clone())),
            (&[0, margin], Placing::Within((0, typed_counts::SLIPPED)), Some(beside_some)),
            (&[0, margin], Placing::Between, Some(format!("the counts between those of `{said}`"))),
        ];
        let columns: Vec<Vec<usize>> = bars
            .iter()
            .zip(moments)
            .map(|(bar, moments)| moments.iter().map(|moment| bar.from + moment.first).collect())
            .collect();
        let laid = |marks: &[Mark], place| -> Option<Vec<Typed>> {
            let each = parted(marks, bars.iter().map(|bar| bar.from)).into_iter().zip(&columns);
            each.map(|(marks, columns)| typed_counts::laid(marks, columns, meter, place)).collect()
        };
        ways.into_iter().find_map(|(shifts, place, guess)| {
            let (shift, found) = shifts.iter().find_map(|shift| {
                let marks = slots::moved(&cue.marks, *shift);
                Some((*shift, laid(&marks, place)?))
            })?;
            self.shift = shift;
            self.guesses.extend(guess);
            Some(found)
        })
    }

    /// The column behind the last bar.
    pub fn end(&self) -> usize {
        self.bars.last().map_or(0, |bar| bar.from + bar.width)
    }

    /// Whether the typed counts hold.
    pub fn is_typed(&self) -> bool {
        self.bars.iter().any(|bar| matches!(bar.clock, Some(Clock::Typed(..))))
    }

    /// Whether every bar can be counted.
    pub fn can_count(&self) -> bool {
        self.bars.iter().all(|bar| bar.clock.is_some())
    }

    /// What is written at each place of each bar, the lines that found no place, and the marks.
    pub fn slots(
        &self,
        meter: Meter,
        counted: bool,
    ) -> (Vec<Vec<Slot<'_>>>, Vec<String>, Vec<Mark>) {
        let cues = &self.stack.cues;
        let mut left = Vec::new();
        let mut astray = Vec::new();
        let froms = || self.bars.iter().map(|bar| bar.from);
        let sung = cues.sung.as_ref().map(|cue| parted(&cue.marks, froms()));
        let fits = |sung: &Vec<Vec<Mark>>| {
            self.bars
                .iter()
                .zip(sung)
                .all(|(bar, words)| slots::has_room(bar, words.len(), counted))
        };
        let sung = sung.filter(fits);
        let none: Vec<Vec<Mark>> = self.bars.iter().map(|_| Vec::new()).collect();
        let words = sung.as_ref().unwrap_or(&none);
        let chords = cues.chords.as_ref().map(|cue| {
            let marks = cue.marks.iter().cloned();
            let (chords, behind): (Vec<Mark>, Vec<Mark>) =
                marks.partition(|(column, _)| *column <= self.end());
            astray.extend(behind);
            parted(&chords, froms())
        });
        let chords = chords.as_ref().unwrap_or(&none);
        let mut bars: Vec<Vec<Slot<'_>>> = Vec::new();
        for ((bar, words), chords) in self.bars.iter().zip(words).zip(chords) {
            let mut slots = slots::of(bar, words, chords.len(), meter, counted);
            slots.iter_mut().take(1).for_each(|slot| slot.ending = bar.ending.clone());
            astray.extend(slots::place_chords(&mut slots, chords, bar));
            bars.push(slots);
        }
        if let Some(cue) = cues.sung.as_ref().filter(|_| sung.is_none()) {
            left.push(cue.text.clone());
        }
        left.extend(self.hold(&mut bars));
        let counts = cues.counts.as_ref().filter(|_| !self.is_typed() || !counted);
        for cue in counts.into_iter().chain(self.mark(&mut bars)) {
            let line: Vec<char> = cue.text.chars().collect();
            let parts = parted(&cue.marks, froms());
            astray.extend(parts.iter().filter_map(|marks| lines_beside::stretch(&line, marks)));
        }
        (bars, left, astray)
    }

    /// Lays strokes, fingers, letters and accents on the bars; the lines that found no place, but for accents.
    fn mark(&self, bars: &mut [Vec<Slot<'_>>]) -> Vec<&Cue> {
        let cues = &self.stack.cues;
        let mut left = Vec::new();
        let sounds = |slot: &Slot<'_>| !slot.notes.is_empty();
        let stroke = |slot: &mut Slot<'_>, stroke: &str| slot.stroke = stroke.to_string();
        let strokes = cues.strokes.as_ref();
        left.extend(
            strokes.filter(|cue| !self.place(bars, cue, &[self.shift, 0], |_| true, stroke)),
        );
        left.extend(cues.fingers.as_ref().filter(|cue| !self.finger(bars, cue, sounds)));
        let word = |slot: &mut Slot<'_>, letter: &str| slot.word = letter.to_string();
        let letters = cues.letters.as_ref();
        left.extend(letters.filter(|cue| !self.place(bars, cue, &[0], sounds, word)));
        if let Some(cue) = &cues.accents {
            self.place(bars, cue, &[0], sounds, |slot, _| slot.accented = true);
        }
        left
    }

    /// Sets each mark of a line at its place, moved by the first of so many columns by which each finds one, or by
    /// those of the labels; whether each has one.
    fn place(
        &self,
        bars: &mut [Vec<Slot<'_>>],
        cue: &Cue,
        columns: &[isize],
        bears: fn(&Slot<'_>) -> bool,
        set: fn(&mut Slot<'_>, &str),
    ) -> bool {
        let froms: Vec<usize> = self.bars.iter().map(|bar| bar.from).collect();
        let by_labels = slots::shift_by_labels(&froms, &cue.marks);
        let found = columns.iter().copied().chain(by_labels).find_map(|columns| {
            slots::places(bars, &froms, &slots::moved(&cue.marks, columns), bears)
        });
        let Some(places) = found else { return false };
        for ((bar, place), (_, text)) in places.into_iter().zip(&cue.marks) {
            if let Some(slot) = bars.get_mut(bar).and_then(|slots| slots.get_mut(place)) {
                set(slot, text);
            }
        }
        true
    }

    /// Lays what is held on the bars; the lines that found no place.
    fn hold(&self, bars: &mut [Vec<Slot<'_>>]) -> Vec<String> {
        let held = &self.stack.cues.held;
        let astray = held.iter().filter(|cue| !slots::hold(bars, cue.held, &cue.spans));
        astray.map(|cue| cue.text.clone()).collect()
    }

    /// Gives the notes their plucking fingers: those that they stand under, or one after the other where
    /// a bar has as many; whether that could be.
    fn finger(&self, bars: &mut [Vec<Slot<'_>>], cue: &Cue, sounds: fn(&Slot<'_>) -> bool) -> bool {
        let set = |slot: &mut Slot<'_>, finger: &str| slot.right = finger.to_string();
        let fits = |slot: &Slot<'_>| slot.right.len() < 2 || slot.right.len() == slot.notes.len();
        let parted = parted(&cue.marks, self.bars.iter().map(|bar| bar.from));
        let placed =
            self.place(bars, cue, &[0], sounds, set) || letters::place_in_order(bars, &parted, set);
        if placed && bars.iter().flatten().all(fits) {
            return true;
        }
        bars.iter_mut().flatten().for_each(|slot| slot.right.clear());
        false
    }

    /// The lines of what is held that were placed.
    pub fn held(&self) -> impl Iterator<Item = (Held, &str)> {
        self.stack.cues.held.iter().map(|cue| (cue.held, cue.text.trim()))
    }
}

/// Marks parted among bars by the columns at which these begin; one over a bar line belongs to the bar
/// behind it.
pub(super) fn parted(marks: &[Mark], froms: impl Iterator<Item = usize>) -> Vec<Vec<Mark>> {
    let froms: Vec<usize> = froms.collect();
    let mut parted: Vec<Vec<Mark>> = froms.iter().map(|_| Vec::new()).collect();
    for (column, text) in marks {
        let bar = froms.partition_point(|from| *from <= column + 1).saturating_sub(1);
        if let Some(bar) = parted.get_mut(bar) {
            bar.push((*column, text.clone()));
        }
    }
    parted
}

/// How many columns stand before the first beat of each bar: all that are free before the first note, so
/// that it falls on a beat, unless fewer make the spacing clearly more even. Many are no rest where most
/// bars have them.
fn lead(bars: &[Bar], moments: &[Vec<Moment>], meter: Meter) -> usize {
    let firsts: Vec<usize> =
        moments.iter().filter_map(|bar| bar.first().map(|moment| moment.first)).collect();
    let first = firsts.iter().min().copied().unwrap_or(0);
    let shared = firsts.iter().filter(|own| **own == first).count() * 2 >= firsts.len();
    let narrowest = bars.iter().map(columns_of).filter(|width| *width > 0).min().unwrap_or(0);
    let most = if shared && first * 2 < narrowest.min(WIDEST_BAR) {
        first
    } else {
        first.min(WIDEST_LEAD)
    };
    let unevenness = |lead: usize| -> f64 {
        let each = bars.iter().zip(moments).map(|(bar, moments)| {
            let (columns, width) = spacing(bar, moments, lead);
            Grid::guess(&columns, width, meter).map_or(1.0, |(error, _)| error)
        });
        each.sum()
    };
    let doubt = |lead: usize| CLEARLY_UNEVEN * (bars.len() * (most - lead)) as f64;
    let leads = (0..=most).rev().map(|lead| (lead, unevenness(lead) + doubt(lead)));
    leads.min_by(|one, other| one.1.total_cmp(&other.1)).map_or(0, |(lead, _)| lead)
}

fn columns_of(bar: &Bar) -> usize {
    bar.rows.iter().map(Vec::len).max().unwrap_or(0)
}

/// The columns of a bar's moments from its first beat on, and how many columns it has from there.
fn spacing(bar: &Bar, moments: &[Moment], lead: usize) -> (Vec<usize>, usize) {
    let columns = moments.iter().map(|moment| moment.first.saturating_sub(lead)).collect();
    (columns, columns_of(bar).saturating_sub(lead))
}

/// Puts each joining sign behind the note that it joins to the next one on the string, over bar lines
/// too.
fn join(bars: &mut [Vec<Vec<Played>>]) {
    let rows = bars.iter().map(Vec::len).max().unwrap_or(0);
    for row in 0..rows {
        let notes = bars.iter_mut().filter_map(|bar| bar.get_mut(row)).flatten();
        let mut last: Option<&mut Played> = None;
        for note in notes {
            if let (Some(sign), Some(last)) = (note.join, last) {
                last.text.push(sign);
            }
            last = Some(note);
        }
    }
}

/// The moments of a bar. Notes one column apart on different strings are one: rows slip against each
/// other by a column where a fret has two digits, or a dash is missing. Single notes in three columns or
/// more that touch are a run, one after the other.
fn moments(rows: &[Vec<Played>]) -> Vec<Moment> {
    let mut notes: Vec<(usize, usize, &Played)> = rows
        .iter()
        .enumerate()
        .flat_map(|(row, played)| played.iter().map(move |note| (note.column, row, note)))
        .collect();
    notes.sort_by_key(|(column, row, _)| (*column, *row));
    let mut moments: Vec<Moment> = Vec::new();
    for touching in notes.chunk_by(|one, next| next.0 <= one.0 + 1) {
        let single = touching.windows(2).all(|two| matches!(two, [one, next] if one.0 < next.0));
        let slip = usize::from(!(single && touching.len() >= SHORTEST_RUN));
        let first = moments.len();
        for (column, row, note) in touching {
            let same = moments.iter_mut().skip(first).next_back().filter(|moment| {
                *column <= moment.first + slip && moment.notes.iter().all(|(other, _)| other != row)
            });
            match same {
                Some(moment) => {
                    moment.merged |= *column > moment.first;
                    moment.notes.push((*row, note.text.clone()));
                }
                None => moments.push(Moment {
                    first: *column,
                    notes: vec![(*row, note.text.clone())],
                    merged: false,
                }),
            }
        }
    }
    moments
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_that_touch_are_a_chord_by_twos_and_a_run_by_more() {
        let note = |column| Played { column, text: "0".to_string(), join: None };
        for (rows, firsts, merged) in [
            (vec![vec![note(2)], vec![note(3)]], vec![2], true),
            (vec![vec![note(2), note(4)], vec![note(3), note(5)]], vec![2, 3, 4, 5], false),
            (vec![vec![note(2)], vec![note(2)], vec![note(3)]], vec![2], true),
            (vec![vec![note(2)], vec![note(4)]], vec![2, 4], false),
        ] {
            let found = moments(&rows);
            let columns: Vec<usize> = found.iter().map(|moment| moment.first).collect();
            assert_eq!(columns, firsts);
            assert_eq!(found.iter().any(|moment| moment.merged), merged, "{firsts:?}");
        }
    }
}
