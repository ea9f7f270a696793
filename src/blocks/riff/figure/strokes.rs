//! A strumming pattern: instead of strings with frets a lane of strokes, and above it the box of each
//! chord where it begins.
//!
//! A stroke is a long wedge whose point shows where the hand goes: down it is filled, up it is open, so
//! that the heavy and the light half of the beat are told at a glance. A choked stroke is a cross. How
//! long a stroke lasts is told by the rhythm beneath it.

use super::Sheet;
use super::canvas::Canvas;
use super::labels::LabelFace;
use super::scale::Scale;
use super::signs;
use super::spacing::{Reach, Room};
use super::stave::Stave;
use super::tab_lines::{self, Gaps};
use crate::blocks::chord_box::{self, ChordBox, Measures, Sound};
use crate::blocks::figure::Desk;
use crate::ink::{Drawing, Point, Pt, Text, pt};
use crate::lesson::Setting;
use crate::music::tab::{Bar, Form, Pick, Riff};
use crate::theory::Chord;

/// The lane is as high as so many strings.
pub(super) const LANE: usize = 4;
/// Half the width of a stroke, in distances between tab lines.
const HALF: f32 = 0.42;

/// The boxes of a pattern's chords.
pub(in super::super) struct Boxes<'a> {
    boxes: Vec<(&'a Chord, ChordBox<'a>)>,
    measures: Measures,
}

impl<'a> Boxes<'a> {
    /// The boxes of a strumming pattern; none for any other riff.
    pub fn of(riff: &'a Riff, desk: &Desk, setting: &Setting) -> Boxes<'a> {
        let boxes = Boxes::all(riff, setting);
        let measures = Measures::for_all(boxes.iter().map(|(_, drawn)| drawn), desk);
        Boxes { boxes, measures }
    }

    /// The boxes in words: "A major: sixth string silent; …".
    pub fn spoken(riff: &Riff, setting: &Setting) -> String {
        let boxes = Boxes::all(riff, setting);
        let told = boxes.iter().map(|(chord, drawn)| {
            format!("{}: {}.", chord.spoken().trim(), chord_box::describe(drawn))
        });
        told.collect::<Vec<_>>().join(" ")
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

    /// The number of a chord's box.
    pub fn find(&self, chord: &Chord) -> Option<usize> {
        self.boxes.iter().position(|(known, _)| *known == chord)
    }

    /// How far a box under its symbol reaches from the moment at which its first string stands.
    pub fn reach(&self, index: usize, symbol: Pt, desk: &Desk) -> Reach {
        let Some((_, drawn)) = self.boxes.get(index) else { return Reach::default() };
        let (left, right) = drawn.reach(&self.measures, desk);
        let width = self.measures.width(drawn.fingering.frets.len());
        Reach { left, right: (width + right).max(symbol) }
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
        for (event, x) in sheet.events() {
            let strokes = event.pick.map(|pick| signs::strum(pick, x, lane, half_stroke(scale)));
            strokes.into_iter().flatten().for_each(|path| canvas.path(path));
        }
    }
}

/// A chord that begins in a system: where, its symbol, and its box if it has one.
struct Begun<'a> {
    x: Pt,
    reach: Reach,
    symbol: &'a Text,
    shape: Option<&'a ChordBox<'a>>,
}

/// Draws the chords of a system, all on one line: the symbol, and beneath it the box.
pub(in super::super) fn draw_chords(canvas: &mut Canvas, row: &'static str, sheet: &Sheet) {
    let Sheet { score, system, scale } = *sheet;
    let begun: Vec<Begun> = sheet
        .labels(row)
        .filter_map(|label| {
            let (symbol, shape) = match &label.face {
                LabelFace::Box { symbol, index } => (symbol, score.boxes.boxes.get(*index)),
                LabelFace::Lines(lines) => (lines.first()?, None),
                LabelFace::Stroke(_) | LabelFace::AirStroke(_) => return None,
            };
            let x = system.x(label.tick);
            Some(Begun { x, reach: label.reach, symbol, shape: shape.map(|(_, drawn)| drawn) })
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
    let (nut, baseline) = if rows > 0 {
        let nut = free - measures.foot() - measures.row * f32::from(rows);
        (nut, nut - measures.head() - pt(4.0))
    } else {
        (free, free - scale.desk.look.symbol_size * 0.2)
    };
    let mut drawing = Drawing::new(scale.desk.width, Pt::ZERO);
    for one in &begun {
        canvas.text(one.x, baseline, one.symbol.clone());
        if let Some(shape) = one.shape {
            shape.draw(&mut drawing, Point::new(one.x, nut), rows, measures, scale.desk);
        }
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
