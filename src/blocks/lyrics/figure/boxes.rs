//! The boxes of a song's chords, in rows beneath it.

use super::{Measures, add};
use crate::blocks::chord_box::{self, ChordBox, Sound};
use crate::blocks::figure::{Desk, Figure, Joint};
use crate::blocks::lyrics::{Song, words};
use crate::ink::{Drawing, Label, Point, Pt, Text};
use crate::lesson::Setting;

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
    /// The boxes that stand beneath a song; often none.
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

    /// Draws them in rows of as many as fit, filled alike.
    pub fn draw(&self, figure: &mut Figure, measures: &Measures, desk: &Desk<'_>) {
        if self.boxes.is_empty() {
            return;
        }
        let drawn = chord_box::Measures::for_all(self.boxes.iter().map(|one| &one.drawn), desk);
        let (mut left, mut right) = (Pt::ZERO, Pt::ZERO);
        for one in &self.boxes {
            let half = drawn.width(one.drawn.fingering.frets.len()) / 2.0;
            let (before, behind) = one.drawn.reach(&drawn, desk);
            left = left.max(half + before).max(one.name.width / 2.0);
            right = right.max(half + behind).max(one.name.width / 2.0);
        }
        let pitch = left + right + measures.size * 1.2;
        let fitting = (((desk.width + measures.size * 1.2) / pitch) as usize).max(1);
        let rows = self.boxes.len().div_ceil(fitting);
        let deepest = self.boxes.iter().map(|one| one.drawn.rows()).max().unwrap_or_default();
        for (index, row) in self.boxes.chunks(self.boxes.len().div_ceil(rows)).enumerate() {
            let baseline = measures.symbol * 0.8;
            let nut = baseline + measures.size * 0.35 + drawn.head();
            let bottom = nut + drawn.row * f32::from(deepest) + drawn.foot();
            let mut strip = Drawing::new(pitch * row.len() as f32, bottom);
            for (place, one) in row.iter().enumerate() {
                let mut drawing = Drawing::new(left + right, bottom);
                drawing.text_centred(left, baseline, one.name.clone());
                let from = left - drawn.width(one.drawn.fingering.frets.len()) / 2.0;
                one.drawn.draw(&mut drawing, Point::new(from, nut), deepest, &drawn, desk);
                let label = Label::Words { title: one.title.clone(), words: one.words() };
                strip.place(Point::new(pitch * place as f32, Pt::ZERO), drawing, label);
            }
            let air = if index == 0 { measures.stanza } else { measures.size };
            add(figure, strip, Joint::Stanza(air));
        }
    }
}

impl Named<'_> {
    fn words(&self) -> String {
        format!("{}: {}", self.title, chord_box::describe(&self.drawn))
    }
}
