//! The rows of a figure laid over each other, so that bars and beats stand under each other (looks, "Beats"): a place
//! takes the room that any row needs there, and all rows are set alike.

use super::score::Score;
use super::spacing::{self, Air, Column, Stretch};
use super::systems::Piece;
use crate::blocks::beats::Beats;
use crate::ink::Pt;
use crate::theory::Ticks;
use std::ops::Range;

/// More rows than these fill pages, where nobody sees whether the first stands over the last (assumed).
const MOST_ROWS: usize = 40;

/// Rows laid over each other.
pub(super) struct Stack {
    places: Vec<Place>,
    /// How many places later rows begin further right: an upbeat stands alone before the first.
    indent: usize,
}

/// What stands under each other: a bar of each row that has one there. Moments are counted from the bars' starts.
struct Place {
    length: Ticks,
    /// How wide time is by nature.
    beats: Beats,
    front: Pt,
    lead: Pt,
    head: Pt,
    trail: Pt,
    bar_air: Option<Pt>,
    sign: Pt,
    columns: Vec<Column>,
}

/// A stack that has been set: its moments' axes and its end, place by place.
pub(super) struct Laid {
    places: Vec<(Vec<(Ticks, Pt)>, Pt)>,
    indent: usize,
}

/// A row of it.
pub(super) struct Row {
    /// Where its lines begin, counted from where the first row's do.
    pub left: Pt,
    /// Each moment's axis, counted from the riff's start.
    pub axes: Vec<(Ticks, Pt)>,
    /// Where its bars end.
    pub ends: Vec<Pt>,
}

impl Stack {
    /// Lays rows of whole bars over each other; `None` where bars differ in length that would stand under each other.
    pub fn of(score: &Score, pieces: &[Piece], rows: &[Range<usize>]) -> Option<Stack> {
        let indent = usize::from(score.riff.pickup);
        let mut stack = Stack { places: Vec::new(), indent };
        if rows.len() > MOST_ROWS {
            return None;
        }
        let begin = |number| if number == 0 { 0 } else { indent };
        let ends = rows.iter().enumerate().map(|(number, row)| begin(number) + row.len());
        let end = ends.max().unwrap_or(0);
        for (number, row) in rows.iter().enumerate() {
            let from = begin(number);
            let here = pieces.get(row.clone()).unwrap_or_default();
            for (piece, place) in here.iter().zip(from..) {
                let (start, length) = time(score, piece)?;
                let last = piece.bar + 1 == score.riff.bars.len();
                let mut bar = Place::of(&piece.stretch(score), start, length, number);
                if place + 1 == from + here.len() && place + 1 < end {
                    // There is room behind it for the sign that ends the row.
                    bar.trail -= bar.sign;
                    bar.sign = Pt::ZERO;
                }
                match stack.places.get_mut(place) {
                    Some(place) if place.length == length => place.take(bar),
                    Some(place) if last && length < place.length => place.take(bar),
                    Some(_) => return None,
                    None => stack.places.push(bar),
                }
            }
        }
        stack.places.iter_mut().for_each(Place::spread);
        Some(stack)
    }

    fn stretches(&self) -> Vec<Stretch<'_>> {
        self.places.iter().map(Place::stretch).collect()
    }

    /// How wide it is under a force.
    pub fn width(&self, force: f32, air: Air) -> Pt {
        self.stretches().iter().map(|stretch| stretch.width(force, air)).sum()
    }

    /// The force at which it fills a room.
    pub fn force(&self, room: Pt, air: Air) -> f32 {
        spacing::force_for(&self.stretches(), room, air)
    }

    /// Sets it at a force.
    pub fn lay(&self, force: f32, room: Pt, air: Air) -> Laid {
        let (axes, ends) = spacing::lay_within(&self.stretches(), force, room, air);
        let mut axes = axes.into_iter();
        let places = self.places.iter().zip(ends);
        let places =
            places.map(|(place, end)| (axes.by_ref().take(place.columns.len()).collect(), end));
        Laid { places: places.collect(), indent: self.indent }
    }
}

/// When the bar of a piece starts, and how long it is.
fn time(score: &Score, piece: &Piece) -> Option<(Ticks, Ticks)> {
    score.riff.bars.get(piece.bar).map(|bar| (bar.start, bar.length))
}

impl Place {
    /// One row's bar.
    fn of(stretch: &Stretch, start: Ticks, length: Ticks, row: usize) -> Place {
        let Stretch { front, lead, head, trail, bar_air, sign, columns } = *stretch;
        let beats = Beats::filling(columns.iter().map(|column| column.spring).sum(), length);
        let columns = columns.iter().map(|column| column.of_row(row, start)).collect();
        Place { length, beats, front, lead, head, trail, bar_air, sign, columns }
    }

    /// Takes another row's bar in; one that is no longer than this.
    fn take(&mut self, other: Place) {
        self.front = self.front.max(other.front);
        self.head = if other.lead > self.lead { other.head } else { self.head };
        self.lead = self.lead.max(other.lead);
        self.trail = self.trail.max(other.trail);
        self.sign = self.sign.max(other.sign);
        spacing::join(&mut self.columns, other.columns);
    }

    /// Springs go by time between the moments of all rows.
    fn spread(&mut self) {
        let ends = self.columns.iter().skip(1).map(|column| column.tick).chain([self.length]);
        let ends: Vec<Ticks> = ends.collect();
        for (column, end) in self.columns.iter_mut().zip(ends) {
            column.spring = self.beats.width(end - column.tick);
        }
    }

    fn stretch(&self) -> Stretch<'_> {
        let Place { front, lead, head, trail, bar_air, sign, .. } = *self;
        Stretch { front, lead, head, columns: &self.columns, trail, bar_air, sign }
    }
}

impl Laid {
    /// The places of a row that holds so many pieces.
    pub fn row(&self, score: &Score, number: usize, pieces: &[Piece]) -> Row {
        let from = if number == 0 { 0 } else { self.indent };
        let before = from.checked_sub(1).and_then(|before| self.places.get(before));
        let left = before.map_or(Pt::ZERO, |(_, end)| *end);
        let mut row = Row { left, axes: Vec::new(), ends: Vec::new() };
        let places = self.places.get(from..).unwrap_or_default();
        for (piece, (axes, end)) in pieces.iter().zip(places) {
            let Some((start, length)) = time(score, piece) else { continue };
            let stretch = piece.stretch(score);
            for column in stretch.columns {
                let at = column.tick - start;
                let found = axes.binary_search_by_key(&at, |(tick, _)| *tick);
                row.axes.extend(
                    found.ok().and_then(|found| axes.get(found)).map(|(_, x)| (column.tick, *x)),
                );
            }
            // A last bar that an upbeat fills up ends before the others do.
            let next = axes.iter().find(|(tick, _)| *tick >= length);
            let last = row.axes.last().map_or(Pt::ZERO, |(_, x)| *x);
            row.ends.push(next.map_or(*end, |(_, x)| stretch.end_between(last, *x).min(*end)));
        }
        let beyond = self.places.len() > from + pieces.len();
        if let (Some(end), Some(piece)) = (row.ends.last_mut().filter(|_| beyond), pieces.last()) {
            *end += piece.sign;
        }
        row
    }
}
