//! The columns in which chord boxes stand, row beneath row: so many beside one another, and so far apart,
//! that the rows fill the measure.

use super::chord_box::{ChordBox, Measures};
use super::figure::Desk;
use crate::ink::Pt;

/// What boxes stand among.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Among {
    /// The words of a lesson: five boxes of six strings fill the measure of A4 (looks, "Boxes").
    Words,
    /// Lanes beneath them, which read best in one row.
    Lanes,
    /// Boxes alone, on a page of chords: six fill it.
    Boxes,
}

impl Among {
    /// The air between neighbouring columns at least, in units.
    fn air(self) -> f32 {
        match self {
            Among::Words => 1.7,
            Among::Lanes => 0.5,
            Among::Boxes => 0.2,
        }
    }

    /// How far columns are apart at most. Among words that depends on the measure alone, so that figures of a few
    /// boxes stand in the same columns.
    fn loosest(self, number: usize, natural: Pt, unit: Pt, width: Pt) -> Pt {
        if self == Among::Boxes {
            return natural * LOOSEST;
        }
        let usual = unit * (BOX + Among::Words.air());
        let fitting = ((width - unit * BOX) / usual + 1.01).max(1.0) as usize;
        let columns = fitting.min(SAME).max(number);
        let gaps = columns.saturating_sub(1).max(1) as f32;
        ((width - unit * BOX) / gaps).max(natural)
    }
}

/// How many times their least pitch columns may be apart: so that three or four boxes still read as a row
/// (chosen by eye).
const LOOSEST: f32 = 1.55;
/// The room of a box of six strings with the number of its first fret, in units (2.5 each way for the strings, a root
/// to the left with its number, a dot to the right).
const BOX: f32 = 6.7;
/// Among words as many boxes as this, or fewer, stand in the same columns, whatever their number (chosen by eye).
const SAME: usize = 4;
/// Before so few boxes take a second row, they draw nearer: as near as columns on a page of chords.
const CLOSEST: f32 = 0.2;
/// So many columns of a chart may be as near to each other as on a page of chords; fewer, being larger, are further
/// apart by so many units at least (chosen by eye).
const MANY: usize = 5;
const FEW_APART: f32 = 0.9;
/// The air between captions (looks, "Boxes": 3 mm).
const BETWEEN_CAPTIONS: f32 = 3.0 / 3.9;

/// The room that boxes need to the left and to the right of their middles.
#[derive(Debug, Clone, Copy, Default)]
pub struct Room {
    left: Pt,
    right: Pt,
    /// The room to the left of the first box's middle.
    before: Pt,
    /// From a box's middle to the next one's, at least.
    pitch: Pt,
    /// Whether words stand beneath the boxes, which are broken where the columns end.
    pub captioned: bool,
}

impl Room {
    /// Keeps room for a box.
    pub fn hold_box(&mut self, drawn: &ChordBox<'_>, measures: &Measures, desk: &Desk<'_>) {
        let half = measures.width(drawn.fingering.frets.len()) / 2.0;
        let (before, behind) = drawn.reach(measures, desk);
        self.left = self.left.max(half + before);
        self.right = self.right.max(half + behind);
    }

    /// Keeps room for what stands to the left of the first box's middle alone.
    pub fn hold_before(&mut self, width: Pt) {
        self.before = self.before.max(width);
    }

    /// Keeps the boxes so far apart.
    pub fn hold_pitch(&mut self, pitch: Pt) {
        self.pitch = self.pitch.max(pitch);
    }

    /// Keeps room for something of a width that is centred on a box.
    pub fn hold_centred(&mut self, width: Pt) {
        self.left = self.left.max(width / 2.0);
        self.right = self.right.max(width / 2.0);
    }
}

/// The columns of a figure.
#[derive(Debug, Clone, Copy)]
pub struct Columns {
    /// How many there are.
    pub number: usize,
    /// From a column to the next.
    pub pitch: Pt,
    /// From a column's left edge to the middle of its box.
    pub left: Pt,
    /// From there to its right edge.
    pub right: Pt,
    /// How wide a caption may be.
    pub caption: Pt,
}

impl Columns {
    /// The columns for so many boxes in a width: as many as fit, one fewer where that fills the rows more
    /// evenly.
    pub fn of(boxes: usize, room: Room, unit: Pt, width: Pt, among: Among) -> Columns {
        let most = width / 2.0;
        let (mut left, mut right) = (room.left.min(most), room.right.min(most));
        let apart = |air: f32| (left + right + unit * air).max(room.pitch);
        let (usual, closest) = (apart(among.air()), apart(CLOSEST));
        left = left.max(room.before).min(most);
        // A hair over is a rounding error.
        let fitting = |natural: Pt| ((width - left - right) / natural + 1.01) as usize;
        let draws_near = boxes <= SAME && !room.captioned && fitting(usual) < boxes;
        let natural = if draws_near && fitting(closest) >= boxes { closest } else { usual };
        let fitting = fitting(natural).max(1);
        let even = boxes.div_ceil(boxes.div_ceil(fitting).max(1));
        let number = even.max(fitting.saturating_sub(1)).min(boxes).max(1);
        let air = unit * BETWEEN_CAPTIONS;
        let loosest = among.loosest(number, natural, unit, width);
        if room.captioned {
            // Captions with their air fill the measure.
            let half = ((width + air) / number as f32).min(loosest) / 2.0 - air / 2.0;
            let half = half.min(most);
            (left, right) = (left.max(half), right.max(half));
        }
        let gaps = number.saturating_sub(1).max(1) as f32;
        let pitch = ((width - left - right) / gaps).min(loosest);
        let caption = match number {
            1 => left.min(right) * 2.0,
            _ => (left.min(right) * 2.0).min(pitch - air),
        };
        Columns { number, pitch, left, right, caption }
    }

    /// The columns that several figures share, each of so many boxes: no more than make the fewest rows. They fill
    /// the measure.
    pub fn of_all(boxes: &[usize], room: Room, unit: Pt, width: Pt) -> Columns {
        let most = width / 2.0;
        let (mut left, mut right) = (room.left.min(most), room.right.min(most));
        let room_of = |columns: usize| {
            let air = if columns < MANY { FEW_APART } else { Among::Boxes.air() };
            // A hair over is a rounding error.
            (left + right + unit * air) * columns as f32 - unit * (air + 0.01)
        };
        let most_boxes = boxes.iter().copied().max().unwrap_or_default().max(1);
        let fits = |columns: &usize| room_of(*columns) <= width;
        let fitting = (1..=most_boxes).rev().find(fits).unwrap_or(1);
        let rows =
            |columns: usize| boxes.iter().map(|boxes| boxes.div_ceil(columns)).sum::<usize>();
        let number = (1..=fitting).find(|columns| rows(*columns) == rows(fitting)).unwrap_or(1);
        let air = unit * BETWEEN_CAPTIONS;
        let half = ((width + air) / number as f32 - air) / 2.0;
        (left, right) = (left.max(half.min(most)), right.max(half.min(most)));
        let gaps = number.saturating_sub(1).max(1) as f32;
        let pitch = (width - left - right) / gaps;
        let caption = left.min(right) * 2.0;
        let caption = if number == 1 { caption } else { caption.min(pitch - air) };
        Columns { number, pitch, left, right, caption }
    }

    /// The same, with no more columns than make the fewest rows of so many boxes: 3 and 3, not 4 and 2.
    #[must_use]
    pub fn even(self, boxes: usize) -> Columns {
        let rows = boxes.div_ceil(self.number.max(1)).max(1);
        Columns { number: boxes.div_ceil(rows).max(1), ..self }
    }

    /// The width of a column.
    pub fn width(&self) -> Pt {
        self.left + self.right
    }

    /// The width of a row of so many boxes.
    pub fn row_width(&self, boxes: usize) -> Pt {
        self.width() + self.pitch * boxes.saturating_sub(1) as f32
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ink::pt;

    #[test]
    fn figures_of_three_and_four_boxes_stand_in_the_same_columns() {
        let room = |side: f32| Room { left: pt(side), right: pt(30.0), ..Room::default() };
        let pitch =
            |boxes, side| Columns::of(boxes, room(side), pt(11.0), pt(470.0), Among::Words).pitch;
        assert_eq!(pitch(3, 30.0), pitch(4, 30.0));
        assert_eq!(pitch(3, 38.0), pitch(3, 30.0));
    }

    #[test]
    fn a_few_boxes_draw_nearer_before_one_stands_beneath() {
        let room = Room { left: pt(30.0), right: pt(30.0), ..Room::default() };
        let columns = |boxes, width| Columns::of(boxes, room, pt(10.0), pt(width), Among::Words);
        let near = columns(4, 255.0);
        assert_eq!(near.number, 4);
        assert!(near.pitch >= pt(62.0) && near.row_width(4) <= pt(255.1), "{near:?}");
        assert_eq!(columns(4, 240.0).number, 2, "they don't touch");
        let captioned = Room { captioned: true, ..room };
        let columns = Columns::of(4, captioned, pt(10.0), pt(255.0), Among::Words);
        assert_eq!(columns.number, 2, "words beneath need their room");
    }

    #[test]
    fn rows_beneath_which_voices_run_are_even() {
        let room = Room { left: pt(44.0), right: pt(44.0), ..Room::default() };
        let columns = Columns::of(6, room, pt(11.0), pt(470.0), Among::Lanes);
        assert_eq!((columns.number, columns.even(6).number), (4, 3));
    }
}
