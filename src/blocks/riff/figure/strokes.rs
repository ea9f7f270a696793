//! A strumming pattern: instead of strings with frets a lane of strokes, and above it the box of each
//! chord where it begins.
//!
//! A stroke is a long wedge whose point shows where the hand goes: down it is filled, up it is open, so
//! that the heavy and the light half of the beat are told at a glance. A choked stroke is a cross. How
//! long a stroke lasts is told by the rhythm beneath it.

use super::Sheet;
use super::canvas::Canvas;
use super::chords;
use super::labels::LabelFace;
use super::scale::Scale;
use super::signs;
use super::spacing::{Reach, Room};
use super::stave::Stave;
use super::tab_lines::{self, Gaps};
use crate::blocks::chord_box::{self, ChordBox, Measures, Sound};
use crate::blocks::figure::Desk;
use crate::ink::{Drawing, Path, Point, Pt, Text, pt};
use crate::lesson::Setting;
use crate::music::tab::{Bar, Form, Pick, Riff};
use crate::theory::{Chord, Ticks};

/// The lane is as high as so many strings.
pub(super) const LANE: usize = 4;
/// Half the width of a stroke, in distances between tab lines.
const HALF: f32 = 0.36;

/// How far a box reaches to the left of its moment, in distances between tab lines: no further than a bar's first moment
/// leaves room before it. A box that is wider there, since a fret's number stands beside it, stands so much further
/// to the right.
const BEFORE: f32 = 0.6;

/// How much higher boxes stand than names without one, in millimetres: an accent keeps off a degree.
const ABOVE_STROKES: f32 = 2.0;

/// The boxes of a pattern's chords.
pub(in super::super) struct Boxes<'a> {
    boxes: Vec<(&'a Chord, ChordBox<'a>)>,
    /// Where each of them stands: over the moment of a bar at which its chord begins first.
    first: Vec<Option<(usize, Ticks)>>,
    measures: Measures,
}

impl<'a> Boxes<'a> {
    /// The boxes of a strumming pattern; none for any other riff.
    pub fn of(riff: &'a Riff, desk: &Desk, setting: &Setting) -> Boxes<'a> {
        let boxes = Boxes::all(riff, setting);
        let measures = Measures::for_all(boxes.iter().map(|(_, drawn)| drawn), desk);
        let mut first = vec![None; boxes.len()];
        let bars = if boxes.is_empty() { 0..0 } else { 0..riff.bars.len() };
        for bar in bars {
            for symbol in chords::over(riff, bar) {
                let index = boxes.iter().position(|(chord, _)| Some(*chord) == symbol.chord);
                if let Some(first) = index.and_then(|index| first.get_mut(index)) {
                    first.get_or_insert((bar, symbol.at));
                }
            }
        }
        Boxes { boxes, first, measures }
    }

    /// The boxes in words: "A major: sixth string silent; …".
    pub fn spoken(riff: &Riff, setting: &Setting) -> String {
        let boxes = Boxes::all(riff, setting);
        let told = boxes.iter().map(|(chord, drawn)| {
            format!("{}: {}.", chord.spoken().trim(), chord_box::describe(drawn))
        });
        told.collect::<Vec<_>>().join("\n")
    }

    fn all(riff: &'a Riff, setting: &Setting) -> Vec<(&'a Chord, ChordBox<'a>)> {
        let shapes = match &riff.form {
            Form::Strum(shapes) => shapes.as_slice(),
            Form::Tab | Form::Words => &[],
        };
        shapes
            .iter()
            .map(|strummed| {
                let (chord, key) = (&strummed.chord, riff.key.as_ref());
                let drawn = ChordBox {
                    fingering: &strummed.shape,
                    sounds: Sound::of_strings(&strummed.shape, &riff.instrument, Some(chord), key),
                    capo: riff.instrument.capo > 0,
                    left_handed: setting.left_handed,
                    blank: None,
                };
                (chord, drawn)
            })
            .collect()
    }

    /// The number of the box that stands over a moment of a bar: that of a chord which begins there first.
    pub fn standing(&self, bar: usize, at: Ticks) -> Option<usize> {
        self.first.iter().position(|first| *first == Some((bar, at)))
    }

    /// How far a box under its symbol reaches from the moment at which it stands.
    pub fn reach(&self, index: usize, symbol: Pt, scale: &Scale) -> Reach {
        let Some((_, drawn)) = self.boxes.get(index) else { return Reach::default() };
        let (left, right) = drawn.reach(&self.measures, scale.desk);
        let width = self.measures.width(drawn.fingering.frets.len());
        let shift = self.shift(index, scale);
        Reach { left: left - shift, right: (width + right).max(symbol) + shift }
    }

    /// How far behind its moment a box's first string stands.
    fn shift(&self, index: usize, scale: &Scale) -> Pt {
        let Some((_, drawn)) = self.boxes.get(index) else { return Pt::ZERO };
        let (left, _) = drawn.reach(&self.measures, scale.desk);
        (left - scale.gaps(BEFORE)).max(Pt::ZERO)
    }
}

/// Half the width of a stroke.
pub(super) fn half_stroke(scale: &Scale) -> Pt {
    scale.gaps(HALF)
}

/// The lane that takes the place of strings; beneath chords over words it is empty.
pub(super) struct Strokes;

impl Stave for Strokes {
    fn lines(&self) -> usize {
        LANE
    }

    fn front(&self, scale: &Scale) -> Pt {
        scale.gaps(0.45)
    }

    fn keep_room(&self, _: usize, bar: &Bar, room: &mut Room, scale: &Scale) {
        let half = half_stroke(scale);
        for event in bar.events.iter().filter(|event| event.pick.is_some()) {
            room.keep(bar.start + event.at, Reach { left: half, right: half });
        }
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        let Sheet { score, system, scale } = *sheet;
        tab_lines::draw_bars(canvas, &mut Gaps::none(scale.strings), score, system, scale);
        canvas.occupy(system.left, system.right, -scale.gaps(0.1));
        let lane = (scale.gaps(0.15), scale.staff_height());
        if score.riff.frame {
            // The student's strokes stand on it.
            let foot = |x| Point::new(x, scale.staff_height());
            canvas.path(Path::line(foot(system.left), foot(system.right), scale.fine()));
        }
        for (event, x) in sheet.events() {
            let strokes = event.pick.map(|pick| signs::strum(pick, x, lane, half_stroke(scale)));
            strokes.into_iter().flatten().for_each(|path| canvas.path(path));
        }
    }
}

/// A chord that begins in a system: where, its symbol, and its box if it has one.
struct Begun<'a> {
    x: Pt,
    /// How much further to the right it stands than its moment.
    shift: Pt,
    reach: Reach,
    symbol: &'a Text,
    shape: Option<&'a ChordBox<'a>>,
}

/// Draws the chords of a system: over the strokes the names of those whose boxes stand further above, over them the boxes
/// of new ones, their names on one line.
pub(in super::super) fn draw_chords(canvas: &mut Canvas, row: &'static str, sheet: &Sheet) {
    let Sheet { score, system, scale } = *sheet;
    let begun: Vec<Begun> = sheet
        .labels(row)
        .filter_map(|label| {
            let (symbol, shape, shift) = match &label.face {
                LabelFace::Box { symbol, index } => {
                    (symbol, score.boxes.boxes.get(*index), score.boxes.shift(*index, scale))
                }
                LabelFace::Lines(lines) => (lines.first()?, None, Pt::ZERO),
                LabelFace::Stroke(_) | LabelFace::AirStroke(_) => return None,
            };
            let (x, shape) = (system.x(label.tick), shape.map(|(_, drawn)| drawn));
            Some(Begun { x, shift, reach: label.reach, symbol, shape })
        })
        .collect();
    if begun.is_empty() {
        return;
    }
    let measures = &score.boxes.measures;
    let rows = begun.iter().filter_map(|one| one.shape).map(ChordBox::rows).max().unwrap_or(0);
    let free =
        begun.iter().map(|one| canvas.free_above(one.x - one.reach.left, one.x + one.reach.right));
    let free = free.fold(Pt::ZERO, Pt::min) - scale.gaps(0.7);
    let nut = free - Pt::mm(ABOVE_STROKES) - measures.foot() - measures.row * f32::from(rows);
    let over_boxes = nut - measures.head() - pt(4.0);
    let bare = free - scale.desk.look.symbol_size * 0.2;
    let mut drawing = Drawing::new(scale.desk.width, Pt::ZERO);
    for one in &begun {
        let (baseline, x) = match one.shape {
            Some(shape) => {
                let at = Point::new(one.x + one.shift, nut);
                shape.draw(&mut drawing, at, rows, measures, scale.desk);
                // Over the middle of its box; a name that is wider than the box begins with it.
                let width = measures.width(shape.fingering.frets.len());
                (over_boxes, at.x + ((width - one.symbol.width) / 2.0).max(Pt::ZERO))
            }
            None => (bare, one.x - half_stroke(scale)),
        };
        canvas.text(x, baseline, one.symbol.clone());
        let top = baseline - scale.desk.look.symbol_size * 0.86;
        canvas.occupy(one.x - one.reach.left, one.x + one.reach.right, top);
    }
    canvas.items(drawing.items);
}

/// A pick's stroke in words.
pub(in super::super) fn spoken(pick: Pick) -> &'static str {
    match pick {
        Pick::Down => "downstroke",
        Pick::Up => "upstroke",
        Pick::Choked => "choked stroke",
    }
}
