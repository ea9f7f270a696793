//! A system as it is read: its bars with what is played in them, and when.

use super::bars::{self, Bar, BarLine};
use super::cues::{Held, Mark};
use super::frets::{self, Played};
use super::pieces::Stack;
use super::rhythm::{self, Grid};
use super::slots::{self, Slot};
use crate::theory::Meter;
use std::collections::BTreeSet;

/// Columns that may be left free before the first note of a few bars: more of them are a rest.
const WIDEST_LEAD: usize = 2;

/// How much more even the spacing of each bar must become for the first note to be taken off the beat,
/// in parts. Assumed.
const CLEARLY_UNEVEN: f64 = 0.5;

/// The widest bar whose counts are guessed, in columns; a wider one is a system without bar lines.
const WIDEST_BAR: usize = 48;

/// A system as it is read.
pub(super) struct System<'s> {
    stack: &'s Stack,
    pub start: BarLine,
    pub bars: Vec<Measure>,
    /// What could not be read: the number of its bar, the index of its row, the words.
    pub unread: Vec<(usize, usize, String)>,
    /// What had to be guessed about joins.
    pub guesses: BTreeSet<&'static str>,
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
}

impl<'s> System<'s> {
    pub fn read(stack: &'s Stack, meter: Meter) -> System<'s> {
        let cut = bars::cut(&stack.rows);
        let mut system = System {
            stack,
            start: cut.start,
            bars: Vec::new(),
            unread: Vec::new(),
            guesses: BTreeSet::new(),
        };
        let mut played = system.rows(&cut.bars);
        join(&mut played);
        let moments: Vec<Vec<Moment>> = played.iter().map(|rows| moments(rows)).collect();
        let lead = lead(&cut.bars, &moments, meter);
        let typed = system.typed(&cut.bars, &moments, meter);
        let mut typed = typed.into_iter().flatten();
        for (bar, moments) in cut.bars.iter().zip(moments) {
            let (columns, width) = spacing(bar, &moments, lead);
            let guess = Grid::guess(&columns, width, meter).filter(|_| width <= WIDEST_BAR);
            let guess = guess.map(|(_, grid)| Clock::Guessed(grid, lead));
            let clock = typed.next().map(|(marks, at)| Clock::Typed(marks, at)).or(guess);
            let (from, end) = (bar.from, bar.end);
            system.bars.push(Measure { from, width: columns_of(bar), moments, clock, end });
        }
        system
    }

    /// What is played, bar by bar and row by row.
    fn rows(&mut self, bars: &[Bar]) -> Vec<Vec<Vec<Played>>> {
        let mut played: Vec<Vec<Vec<Played>>> = bars.iter().map(|_| Vec::new()).collect();
        for row in 0..self.stack.rows.len() {
            let cells = bars.iter().map(|bar| bar.rows.get(row).map(Vec::as_slice));
            let read = frets::read(cells.map(Option::unwrap_or_default));
            self.guesses.extend(read.guesses());
            self.unread.extend(read.unread.into_iter().map(|(bar, words)| (bar + 1, row, words)));
            played.iter_mut().zip(read.bars).for_each(|(bar, notes)| bar.push(notes));
        }
        self.unread.sort();
        played
    }

    /// The counts that were typed, bar by bar, if every note has one.
    fn typed(
        &self,
        bars: &[Bar],
        moments: &[Vec<Moment>],
        meter: Meter,
    ) -> Option<Vec<(Vec<Mark>, Vec<usize>)>> {
        let cue = self.stack.cues.counts.as_ref()?;
        let margin = bars.first().map_or(0, |bar| bar.from);
        let moved = slots::moved(&cue.marks, margin);
        let marks = [&cue.marks, &moved];
        marks.into_iter().find_map(|marks| typed(marks, bars, moments, meter))
    }

    /// How many columns stand before the first bar.
    fn margin(&self) -> usize {
        self.bars.first().map_or(0, |bar| bar.from)
    }

    /// Whether the typed counts hold.
    pub fn is_typed(&self) -> bool {
        self.bars.iter().any(|bar| matches!(bar.clock, Some(Clock::Typed(..))))
    }

    /// Whether every bar can be counted.
    pub fn can_count(&self) -> bool {
        self.bars.iter().all(|bar| bar.clock.is_some())
    }

    /// What is written at each place of each bar, and the lines that found no place.
    pub fn slots(&self, meter: Meter, counted: bool) -> (Vec<Vec<Slot<'_>>>, Vec<String>) {
        let cues = &self.stack.cues;
        let mut left = Vec::new();
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
        let chords = cues.chords.as_ref().map(|cue| parted(&cue.marks, froms()));
        let chords = chords.as_ref().unwrap_or(&none);
        let mut bars: Vec<Vec<Slot<'_>>> = Vec::new();
        for ((bar, words), chords) in self.bars.iter().zip(words).zip(chords) {
            let mut slots = slots::of(bar, words, chords.len(), meter, counted);
            let over = slots::place_chords(&mut slots, chords, bar);
            left.extend((!over.is_empty()).then(|| over.join(" ")));
            bars.push(slots);
        }
        if let Some(cue) = cues.sung.as_ref().filter(|_| sung.is_none()) {
            left.push(cue.text.clone());
        }
        if let Some(cue) = cues.counts.as_ref().filter(|_| !self.is_typed() || !counted) {
            left.push(cue.text.clone());
        }
        if let Some(cue) = &cues.strokes
            && !slots::place_strokes(&mut bars, &cue.marks, self.margin())
        {
            left.push(cue.text.clone());
        }
        for cue in &cues.held {
            if !slots::hold(&mut bars, cue.held, &cue.spans) {
                left.push(cue.text.clone());
            }
        }
        (bars, left)
    }

    /// The lines of what is held that were placed.
    pub fn held(&self) -> impl Iterator<Item = (Held, &str)> {
        self.stack.cues.held.iter().map(|cue| (cue.held, cue.text.trim()))
    }
}

/// The counts bar by bar, if they are sound and every note has one.
fn typed(
    marks: &[Mark],
    bars: &[Bar],
    moments: &[Vec<Moment>],
    meter: Meter,
) -> Option<Vec<(Vec<Mark>, Vec<usize>)>> {
    let parted = parted(marks, bars.iter().map(|bar| bar.from));
    let each = bars.iter().zip(moments).zip(parted).map(|((bar, moments), marks)| {
        let columns: Vec<usize> = moments.iter().map(|moment| bar.from + moment.first).collect();
        let at = rhythm::matched(&marks, &columns).filter(|_| rhythm::is_sound(&marks, meter))?;
        Some((marks, at))
    });
    each.collect()
}

/// Marks parted among bars by the columns at which these begin; one over a bar line belongs to the bar
/// behind it.
fn parted(marks: &[Mark], froms: impl Iterator<Item = usize>) -> Vec<Vec<Mark>> {
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
/// other by a column where a fret has two digits, or a dash is missing.
fn moments(rows: &[Vec<Played>]) -> Vec<Moment> {
    let mut notes: Vec<(usize, usize, &Played)> = rows
        .iter()
        .enumerate()
        .flat_map(|(row, played)| played.iter().map(move |note| (note.column, row, note)))
        .collect();
    notes.sort_by_key(|(column, row, _)| (*column, *row));
    let mut moments: Vec<Moment> = Vec::new();
    for (column, row, note) in notes {
        let same = moments.last_mut().filter(|moment| {
            column <= moment.first + 1 && moment.notes.iter().all(|(other, _)| *other != row)
        });
        match same {
            Some(moment) => moment.notes.push((row, note.text.clone())),
            None => moments.push(Moment { first: column, notes: vec![(row, note.text.clone())] }),
        }
    }
    moments
}
