//! Lanes: what voices do from chord to chord. Beneath the chords' columns lies a lane for each voice with the
//! note that it sounds in each; a heavy level line runs where it stays, a thin sloping one with its distance
//! where it moves. Where a voice begins or ceases there is no line. A further row begins with what the one
//! before it ended with, in brackets.

use super::chord_box;
use super::figure::Desk;
use crate::ink::measure::LineWidth;
use crate::ink::{Drawing, Face, Path, Point, Pt, Style, Text};
use crate::theory::Degree;
use crate::words::paper::lanes as words;
use std::ops::Range;

/// What a voice does.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lane {
    /// What stands before it: which string it is; nothing where it has no name.
    pub label: String,
    /// What it sounds in each column.
    pub notes: Vec<Option<Sounded>>,
    /// By how many half steps it moves from each column to the next, upwards or, less than 0, downwards; `None`
    /// where it doesn't lead there.
    pub moves: Vec<Option<i32>>,
}

/// A note of a lane.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sounded {
    /// Its name as it is printed.
    pub note: String,
    /// What stands small before it: its degree; nothing where the box above shows that.
    pub degree: Option<Degree>,
    /// Whether it is one to aim at.
    pub strong: bool,
}

/// Lengths as shares of the distance between a box's strings, 3.9 mm in the handout (looks, "Voices": 0.7 mm
/// where a note stays; the others were chosen by eye).
mod share {
    pub const ABOVE: f32 = 1.5 / 3.9;
    pub const PITCH: f32 = 6.0 / 3.9;
    pub const STAYS: f32 = 0.7 / 3.9;
    pub const MOVES: f32 = 0.3 / 3.9;
    /// How far a line of a half step slopes, how much further each half step more, and how far at most.
    pub const SLOPE: f32 = 1.5 / 3.9;
    pub const STEEPER: f32 = 0.2 / 3.9;
    pub const STEEPEST: f32 = 2.4 / 3.9;
    pub const NOTE: f32 = 11.0 / 11.055;
    /// Between a note and its lines.
    pub const CLEAR: f32 = 1.1 / 3.9;
    /// Between a label and the widest note.
    pub const BEHIND_LABEL: f32 = 2.4 / 3.9;
    /// Between a line's middle and the baseline of its distance: the tail of its p keeps off the line.
    pub const ABOVE_LINE: f32 = 1.5 / 3.9;
    /// How large a distance is, in sizes of the labels, so that a copy of a copy still shows a half.
    pub const DISTANCE: f32 = 1.25;
    /// How large a note is that is shown once more, in sizes of the others.
    pub const AGAIN: f32 = 0.85;
    /// A line is at least so long.
    pub const SHORTEST: f32 = 2.0 / 3.9;
}

/// The lanes of a figure, ready to be drawn row by row.
pub struct Lanes<'a> {
    lanes: &'a [Lane],
    desk: &'a Desk<'a>,
    unit: Pt,
}

/// Where the columns of a row are.
pub struct Row {
    /// Which columns of the figure stand in it.
    pub columns: Range<usize>,
    /// The middle of its first.
    pub first: Pt,
    /// From a column to the next.
    pub pitch: Pt,
}

impl<'a> Lanes<'a> {
    /// The lanes at a desk.
    pub fn new(lanes: &'a [Lane], desk: &'a Desk<'a>) -> Lanes<'a> {
        Lanes { lanes, desk, unit: chord_box::unit(desk) }
    }

    /// The room that labels and notes need to the left of the first column's middle; where there are several rows,
    /// also what a further one begins with: a note once more and the line that leads on from it.
    pub fn before(&self, in_one_row: bool) -> Pt {
        let again = match in_one_row {
            true => Pt::ZERO,
            false => self.widest_again() + self.line_room() + self.unit * share::CLEAR,
        };
        self.labels() + again + self.widest() / 2.0
    }

    /// The room of the labels, with air.
    fn labels(&self) -> Pt {
        let label = |lane: &Lane| self.small(&self.desk.lang.said(&lane.label)).width;
        let widest = self.lanes.iter().map(label).fold(Pt::ZERO, Pt::max);
        if widest > Pt::ZERO { widest + self.unit * share::BEHIND_LABEL } else { Pt::ZERO }
    }

    fn widest_again(&self) -> Pt {
        let notes = self.lanes.iter().flat_map(|lane| lane.notes.iter().flatten());
        notes.map(|note| self.again(note).width).fold(Pt::ZERO, Pt::max)
    }

    /// The least room of a line with its distance between two notes.
    fn line_room(&self) -> Pt {
        self.widest_distance().max(self.unit * share::SHORTEST) + self.unit * (share::CLEAR * 2.0)
    }

    /// The width of the widest note.
    pub fn widest(&self) -> Pt {
        let notes = self.lanes.iter().flat_map(|lane| lane.notes.iter().flatten());
        notes.map(|note| self.note(note).width).fold(Pt::ZERO, Pt::max)
    }

    /// The least distance between columns at which a line has room for its distance.
    pub fn least_pitch(&self) -> Pt {
        self.widest() + self.unit * (share::CLEAR * 3.0) + self.widest_distance()
    }

    fn widest_distance(&self) -> Pt {
        let steps = self.lanes.iter().flat_map(|lane| lane.moves.iter().flatten());
        let widest = |by: &i32| self.distance(*by).width;
        steps.filter(|by| **by != 0).map(widest).fold(Pt::ZERO, Pt::max)
    }

    /// The height of a row.
    pub fn height(&self, row: &Row) -> Pt {
        match self.shown(row).count() {
            0 => Pt::ZERO,
            lanes => self.unit * (share::ABOVE + share::PITCH * lanes as f32),
        }
    }

    /// The lanes that sound in a row.
    fn shown(&self, row: &Row) -> impl Iterator<Item = &'a Lane> {
        let sounds = |lane: &&Lane| {
            let notes = lane.notes.get(row.columns.clone());
            notes.is_some_and(|notes| notes.iter().any(Option::is_some))
        };
        self.lanes.iter().filter(sounds)
    }

    /// Draws a row, its upper edge at a height.
    pub fn draw(&self, drawing: &mut Drawing, top: Pt, row: &Row) {
        for (number, lane) in self.shown(row).enumerate() {
            let down = share::ABOVE + share::PITCH * (number as f32 + 0.75);
            let baseline = top + self.unit * down;
            self.lane(drawing, baseline, row, lane);
        }
    }

    fn lane(&self, drawing: &mut Drawing, baseline: Pt, row: &Row, lane: &Lane) {
        drawing.text(Point::new(Pt::ZERO, baseline), self.small(&self.desk.lang.said(&lane.label)));
        let middle = baseline - self.desk.fonts.measures(NOTE, self.note_size()).cap_height / 2.0;
        let clear = self.unit * share::CLEAR;
        let mut from = Pt::ZERO;
        let mut by = None;
        if let Some((note, leads)) = leads_in(row, lane) {
            let again = self.again(note);
            let x = self.labels() + clear;
            from = x + again.width + clear;
            drawing.text(Point::new(x, baseline), again);
            by = Some(leads);
        }
        for (at, column) in row.columns.clone().enumerate() {
            let note = lane.notes.get(column).and_then(Option::as_ref).map(|note| self.note(note));
            let x = row.first + row.pitch * at as f32;
            if let Some(note) = note {
                let half = note.width / 2.0;
                if let Some(by) = by {
                    self.line(drawing, Line { from, to: x - half - clear, y: middle, by });
                }
                from = x + half + clear;
                drawing.text(Point::new(x - half, baseline), note);
            }
            by = lane.moves.get(column).copied().flatten();
        }
    }

    /// A line between two notes.
    fn line(&self, drawing: &mut Drawing, line: Line) {
        let Line { from, to, y, by } = line;
        if to - from < self.unit * share::SHORTEST {
            return;
        }
        let width = |share: f32| (self.unit * share).max(LineWidth::THINNEST);
        if by == 0 {
            let heavy = width(share::STAYS);
            drawing.path(Path::line(Point::new(from, y), Point::new(to, y), heavy));
            return;
        }
        let steps = by.unsigned_abs().saturating_sub(1).min(12) as f32;
        let slope = (share::SLOPE + share::STEEPER * steps).min(share::STEEPEST);
        let rise = self.unit * slope * by.signum() as f32 / 2.0;
        let thin = width(share::MOVES);
        drawing.path(Path::line(Point::new(from, y + rise), Point::new(to, y - rise), thin));
        let distance = self.distance(by);
        if distance.width <= to - from {
            let y = y - self.unit * share::ABOVE_LINE;
            drawing.text_centred((from + to) / 2.0, y, distance);
        }
    }

    fn note_size(&self) -> Pt {
        self.unit * share::NOTE
    }

    fn note(&self, sounded: &Sounded) -> Text {
        let face = if sounded.strong { Face::SerifSemibold } else { NOTE };
        let note = self.desk.words(&sounded.note, Style::new(face, self.note_size()));
        let Some(degree) = sounded.degree else { return note };
        // Before the note: behind it a flat of the degree would be taken for the note's.
        let small = Style::new(Face::Sans, chord_box::small_size(self.desk));
        self.desk.words(&format!("{}\u{a0}\u{a0}", self.desk.degree(degree)), small).then(note)
    }

    /// A note of the row before, in brackets.
    fn again(&self, sounded: &Sounded) -> Text {
        let size = (self.note_size() * share::AGAIN).max(chord_box::small_size(self.desk));
        self.desk.words(&format!("({})", sounded.note), Style::new(NOTE, size))
    }

    /// How far a voice moves.
    fn distance(&self, by: i32) -> Text {
        let size = chord_box::small_size(self.desk) * share::DISTANCE;
        self.desk.moved(&self.desk.lang.said(&words::moved(by)), size)
    }

    fn small(&self, words: &str) -> Text {
        self.desk.words(words, Style::new(Face::SerifItalic, chord_box::small_size(self.desk)))
    }
}

/// The note that a row begins with once more, and how far it moves from there; none where no voice leads in.
fn leads_in<'l>(row: &Row, lane: &'l Lane) -> Option<(&'l Sounded, i32)> {
    let before = row.columns.start.checked_sub(1)?;
    lane.notes.get(row.columns.start)?.as_ref()?;
    Some((lane.notes.get(before)?.as_ref()?, lane.moves.get(before).copied().flatten()?))
}

/// The face of a note that is not the one to aim at.
const NOTE: Face = Face::Serif;

/// A line of a lane.
struct Line {
    from: Pt,
    to: Pt,
    /// The height of its middle.
    y: Pt,
    /// How far the voice moves, in half steps.
    by: i32,
}

/// What the lanes tell, for whoever listens: "String 1: G, down a half step to F sharp, …".
pub fn in_words(label: &str, notes: &[Option<String>], moves: &[Option<i32>]) -> String {
    let mut told = String::new();
    for (at, note) in notes.iter().enumerate() {
        let by = at.checked_sub(1).and_then(|before| moves.get(before).copied().flatten());
        let note = match (note, by) {
            (None, _) => "silent".to_owned(),
            (Some(note), None) => note.clone(),
            (Some(note), Some(0)) => format!("stays on {note}"),
            (Some(note), Some(by)) => {
                let way = if by > 0 { "up" } else { "down" };
                format!("{way} {} to {note}", words::distance(by))
            }
        };
        told += if at == 0 { ": " } else { ", " };
        told += &note;
    }
    format!("{label}{told}")
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::blocks::figure::{DotLabel, Look, RestingParts};
    use crate::ink::{Fonts, Item, Segment, pt};
    use crate::words::Lang;

    fn lane(label: &str, notes: &[&str], moves: &[Option<i32>]) -> Lane {
        let sounded = |note: &&str| {
            let note = note.to_string();
            (!note.is_empty()).then_some(Sounded { note, degree: None, strong: false })
        };
        let notes = notes.iter().map(sounded).collect();
        Lane { label: label.to_owned(), notes, moves: moves.to_vec() }
    }

    /// The lines of a row, from the left: where each begins and ends, how far it rises, its width; and the words.
    fn drawn(lane: Lane, columns: Range<usize>, unit: f32) -> (Vec<[f32; 4]>, Vec<String>) {
        let fonts = Fonts::new();
        let look = Look {
            string_gap: pt(7.0),
            fret_size: pt(9.0),
            symbol_size: pt(13.0),
            small_size: pt(9.0),
            sung_size: pt(11.0),
            box_gap: pt(unit),
            label: DotLabel::Degrees,
            resting_parts: RestingParts::Shown,
        };
        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(440.0) };
        let lanes = [lane];
        let lanes = Lanes::new(&lanes, &desk);
        let row = Row { columns, first: pt(60.0), pitch: pt(110.0) };
        let mut drawing = Drawing::new(pt(440.0), lanes.height(&row));
        lanes.draw(&mut drawing, Pt::ZERO, &row);
        let (mut lines, mut words) = (Vec::new(), Vec::new());
        for item in &drawing.items {
            match item {
                Item::Path(path) => {
                    let [Segment::Move(from), Segment::Line(to)] = path.segments[..] else {
                        panic!("no line")
                    };
                    let width = path.stroke.unwrap().width;
                    lines.push([from.x.0, to.x.0, (from.y - to.y).0, width.0]);
                }
                Item::Text(_, text) => words.push(text.characters()),
                _ => {}
            }
        }
        (lines, words)
    }

    #[test]
    fn what_stays_is_heavy_and_level_and_what_moves_slopes_with_its_distance() {
        let one = lane("string 1", &["G", "G", "A"], &[Some(0), Some(2)]);
        let (lines, words) = drawn(one, 0..3, 11.055);
        let [stays, moves] = lines[..] else { panic!("{lines:?}") };
        assert!(stays[2] == 0.0 && (stays[3] - 1.98).abs() < 0.01, "{stays:?}");
        assert!(moves[2] > 4.25 && (0.84..1.0).contains(&moves[3]), "{moves:?}");
        assert_eq!(words, ["string 1", "G", "G", "up 1", "A"]);
        let (lines, words) = drawn(lane("", &["G", "E"], &[Some(-3)]), 0..2, 11.055);
        assert!(lines[0][2] < 0.0, "{lines:?}");
        assert_eq!(words, ["", "G", "down 1½", "E"]);
    }

    #[test]
    fn what_begins_or_ceases_has_no_line() {
        let one = lane("string 1", &["G", "", "A"], &[None, None]);
        assert_eq!(
            drawn(one, 0..3, 11.055),
            (vec![], ["string 1", "G", "A"].map(String::from).into())
        );
    }

    #[test]
    fn a_further_row_begins_with_the_notes_of_the_one_before() {
        let one = || lane("", &["G", "F♯", "F♯", "G"], &[Some(-1), Some(0), Some(1)]);
        let (first, words) = drawn(one(), 0..3, 11.055);
        assert_eq!(first.len(), 2, "{first:?}");
        assert_eq!(words, ["", "G", "down ½", "F♯", "F♯"]);
        let (second, words) = drawn(one(), 3..4, 11.055);
        let [into] = second[..] else { panic!("{second:?}") };
        assert!(into[1] < 60.0 && into[2] > 0.0, "{into:?}");
        assert_eq!(words, ["", "(F♯)", "up ½", "G"]);
    }

    #[test]
    fn lines_grow_with_the_boxes() {
        let one = || lane("", &["G", "G", "A"], &[Some(0), Some(2)]);
        let (small, _) = drawn(one(), 0..3, 11.055);
        let (large, _) = drawn(one(), 0..3, 22.11);
        for (small, large) in small.iter().zip(&large) {
            assert!((large[3] / small[3] - 2.0).abs() < 0.01, "{small:?} {large:?}");
        }
    }

    #[test]
    fn distances_are_told() {
        let told: Vec<String> = [1, 2, 3, 4, -1, -7, 12].map(words::moved).to_vec();
        let told: Vec<String> = told.iter().map(|told| told.replace('\u{a0}', " ")).collect();
        assert_eq!(told, ["up ½", "up 1", "up 1½", "up 2", "down ½", "down 3½", "up 6"]);
        let notes = [Some("G".to_owned()), Some("F sharp".to_owned()), None, Some("G".to_owned())];
        let told = in_words("string 1", &notes, &[Some(-1), None, None]);
        assert_eq!(told, "string 1: G, down a half step to F sharp, silent, G");
    }
}
