//! The boxes of a song's chords, in rows beneath it.

use super::{Measures, add};
use crate::blocks::chord_box::{self, ChordBox, Sound};
use crate::blocks::figure::{Desk, DotLabel, Figure, Joint, Look};
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

    /// Draws them beside a short song's words where both have room, else in rows beneath it; the words stand in the
    /// strips from an index on.
    ///
    /// They remind of chords that were learned elsewhere: what each string sounds isn't told once more.
    pub fn draw(&self, figure: &mut Figure, from: usize, measures: &Measures, desk: &Desk<'_>) {
        let look = Look { label: DotLabel::None, ..desk.look.clone() };
        let desk = &Desk { look: &look, ..*desk };
        if self.boxes.is_empty() || self.stands_beside(figure, from, measures, desk) {
            return;
        }
        for (index, strip) in self.rows(desk.width, measures, desk).into_iter().enumerate() {
            let air = if index == 0 { measures.stanza } else { measures.size };
            add(figure, strip, Joint::Stanza(air));
        }
    }

    /// Whether the boxes stand to the right of the words: so they save a strip of their own.
    fn stands_beside(
        &self,
        figure: &mut Figure,
        from: usize,
        measures: &Measures,
        desk: &Desk<'_>,
    ) -> bool {
        let lines = figure.strips.get(from..).unwrap_or_default();
        if lines.is_empty() || lines.len() > SHORT {
            return false;
        }
        let words = lines.iter().fold(Pt::ZERO, |width, line| width.max(line.width));
        let room = desk.width - words - measures.gutter;
        let rows = self.rows(room, measures, desk);
        let width = rows.iter().fold(Pt::ZERO, |width, row| width.max(row.width));
        let mut grid = Drawing::new(width, Pt::ZERO);
        for (index, row) in rows.into_iter().enumerate() {
            grid.set_below(row, if index == 0 { Pt::ZERO } else { measures.size * 0.3 });
        }
        let mut joints = figure.joints.split_off(from);
        let lines = figure.strips.split_off(from);
        let whole = Figure { strips: lines, joints: joints.clone(), ..Figure::default() };
        let stacked = whole.stacked();
        let alike =
            grid.height <= stacked.height * HIGHER && stacked.height <= grid.height * LONGER;
        if width > room || !alike {
            figure.strips.extend(whole.strips);
            figure.joints.append(&mut joints);
            return false;
        }
        for element in figure.elements.iter_mut().filter(|element| element.strip > from) {
            element.strip = from;
        }
        let mut strip = Drawing::new(desk.width, stacked.height.max(grid.height));
        strip.place(Point::default(), stacked, Label::None);
        strip.place(Point::new(desk.width - width, Pt::ZERO), grid, Label::None);
        add(figure, strip, joints.first().copied().unwrap_or_default());
        true
    }

    /// Rows of as many boxes as fit into a width, filled alike.
    fn rows(&self, width: Pt, measures: &Measures, desk: &Desk<'_>) -> Vec<Drawing> {
        let drawn = chord_box::Measures::for_all(self.boxes.iter().map(|one| &one.drawn), desk);
        let (mut left, mut right) = (Pt::ZERO, Pt::ZERO);
        for one in &self.boxes {
            let half = drawn.width(one.drawn.fingering.frets.len()) / 2.0;
            let (before, behind) = one.drawn.reach(&drawn, desk);
            left = left.max(half + before).max(one.name.width / 2.0);
            right = right.max(half + behind).max(one.name.width / 2.0);
        }
        let air = measures.size * 1.2;
        let pitch = left + right + air;
        let fitting = (((width + air) / pitch) as usize).max(1);
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

/// A song of at most so many strips stands whole beside its boxes (chosen by eye).
const SHORT: usize = 8;
/// The boxes beside a song are at most so much higher than its words: beyond that they stand better beneath it
/// (chosen by eye).
const HIGHER: f32 = 1.6;
/// The words are at most so much higher than the boxes beside them: a longer song is parted between pages, which a
/// strip never is (chosen by eye).
const LONGER: f32 = 1.6;

impl Named<'_> {
    fn words(&self) -> String {
        format!("{}: {}", self.title, chord_box::describe(&self.drawn))
    }
}
