//! The boxes of a song's chords, in rows above it.

use super::{Measures, add};
use crate::blocks::chord_box::{self, ChordBox, Sound};
use crate::blocks::figure::{Desk, DotLabel, Figure, Joint, Look};
use crate::blocks::lyrics::{Song, words};
use crate::ink::{Drawing, Face, Label, Point, Pt, Style, Text};
use crate::lesson::Setting;
use crate::words::paper;

/// The boxes of a song.
pub(super) struct Boxes<'s> {
    boxes: Vec<Named<'s>>,
}

struct Named<'s> {
    title: String,
    name: Text,
    drawn: ChordBox<'s>,
}

impl<'s> Boxes<'s> {
    /// The boxes that stand above a song; often none.
    pub fn of(song: &'s Song, desk: &Desk<'_>, setting: &Setting) -> Boxes<'s> {
        let measures = Measures::of(desk);
        let named = song.boxes.iter().map(|boxed| {
            let chord = Some(&boxed.chord);
            let sounds = Sound::of_strings(&boxed.fingering, &song.instrument, chord, None);
            Named {
                title: words::title(boxed),
                name: desk.symbol(&boxed.chord.printed(), measures.name()),
                drawn: ChordBox {
                    fingering: &boxed.fingering,
                    sounds,
                    capo: song.instrument.capo > 0,
                    left_handed: setting.left_handed,
                    blank: None,
                },
            }
        });
        Boxes { boxes: named.collect() }
    }

    /// Each in words.
    pub fn words(&self) -> Vec<String> {
        self.boxes.iter().map(Named::words).collect()
    }

    /// Draws them in rows above a song's words, from whose first lines no page parts them.
    ///
    /// They remind of chords that were learned elsewhere: what each string sounds isn't told once more.
    pub fn draw(&self, figure: &mut Figure, measures: &Measures, desk: &Desk<'_>) {
        if self.boxes.is_empty() {
            return;
        }
        let look = Look { label: DotLabel::None, ..desk.look.clone() };
        let desk = &Desk { look: &look, ..*desk };
        let style = Style::new(Face::SerifItalic, desk.look.small_size);
        let label = desk.said(paper::song::CHORDS, style);
        for (index, row) in self.rows(measures, desk).into_iter().enumerate() {
            if index > 0 {
                add(figure, row, Joint::Held(measures.size));
                continue;
            }
            let mut strip = Drawing::new(label.width, style.size * LABEL);
            strip.text(Point::new(Pt::ZERO, style.size), label.clone());
            strip.set_below(row, Pt::ZERO);
            add(figure, strip, Joint::Held(measures.between));
        }
    }

    /// Rows of as many boxes as fit into the column, filled alike.
    fn rows(&self, measures: &Measures, desk: &Desk<'_>) -> Vec<Drawing> {
        let drawn = chord_box::Measures::for_all(self.boxes.iter().map(|one| &one.drawn), desk);
        let (mut left, mut right) = (Pt::ZERO, Pt::ZERO);
        for one in &self.boxes {
            let half = drawn.width(one.drawn.fingering.frets.len()) / 2.0;
            let (before, behind) = one.drawn.reach(&drawn, desk);
            left = left.max(half + before).max(one.name.width / 2.0);
            right = right.max(half + behind).max(one.name.width / 2.0);
        }
        let usual = measures.size * AIR;
        let columns = |air: Pt| ((desk.width + air) / (left + right + air)) as usize;
        // Rather nearer to each other than in a second row.
        let is_near =
            columns(usual) < self.boxes.len() && columns(drawn.unit * CLOSEST) >= self.boxes.len();
        let gaps = self.boxes.len().saturating_sub(1).max(1) as f32;
        let air = match is_near {
            true => (desk.width - (left + right) * self.boxes.len() as f32) / gaps,
            false => usual,
        };
        let pitch = left + right + air;
        let fitting = if is_near { self.boxes.len() } else { columns(usual).max(1) };
        let columns = self.boxes.len().div_ceil(self.boxes.len().div_ceil(fitting));
        let deepest = self.boxes.iter().map(|one| one.drawn.rows()).max().unwrap_or_default();
        let baseline = measures.symbol * 0.8;
        let nut = baseline + measures.size * 0.35 + drawn.head();
        let bottom = nut + drawn.row * f32::from(deepest) + drawn.foot();
        let row = |row: &[Named<'_>]| {
            let mut strip = Drawing::new(pitch * row.len() as f32 - air, bottom);
            for (place, one) in row.iter().enumerate() {
                let mut drawing = Drawing::new(left + right, bottom);
                drawing.text_centred(left, baseline, one.name.clone());
                let from = left - drawn.width(one.drawn.fingering.frets.len()) / 2.0;
                one.drawn.draw(&mut drawing, Point::new(from, nut), deepest, &drawn, desk);
                let label = Label::Words { title: one.title.clone(), words: one.words() };
                strip.place(Point::new(pitch * place as f32, Pt::ZERO), drawing, label);
            }
            strip
        };
        self.boxes.chunks(columns.max(1)).map(row).collect()
    }
}

/// The air between boxes, in sizes of what is sung; and the least of it in distances between strings, as on a page of
/// chords (chosen by eye).
const AIR: f32 = 1.2;
const CLOSEST: f32 = 0.2;
/// From the upper edge of the boxes' label to that of their names, in sizes of its type (chosen by eye).
const LABEL: f32 = 1.7;

impl Named<'_> {
    fn words(&self) -> String {
        format!("{}: {}", self.title, chord_box::describe(&self.drawn))
    }
}
