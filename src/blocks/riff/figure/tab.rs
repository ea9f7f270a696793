//! The stave of a tab: a line a string, with fret numbers and what joins them.

use super::Sheet;
use super::canvas::Canvas;
use super::letters;
use super::notes;
use super::scale::{Scale, Weight};
use super::spacing::{Reach, Room};
use super::stave::Stave;
use super::tab_lines::{self, Gaps};
use super::tones::{self, LinkKind, Mark, Tones};
use crate::blocks::figure::Desk;
use crate::ink::{Face, Pt, Style, Text, pt};
use crate::music::tab::{Bar, Riff, Slide};
use crate::neck::by_string;

/// The strings of a riff with all that is played on them.
pub(super) struct Tab {
    /// The strings' letters, the lowest-placed string's first.
    letters: Vec<Text>,
    tones: Tones,
}

impl Tab {
    /// The tab of a riff.
    pub fn of(riff: &Riff, desk: &Desk) -> Tab {
        let scale = Scale { desk, strings: riff.instrument.tuning.len() };
        Tab { letters: letters(riff, &scale), tones: tones::tones(riff, &scale) }
    }
}

impl Stave for Tab {
    fn lines(&self) -> usize {
        self.letters.len()
    }

    fn front(&self, scale: &Scale) -> Pt {
        let widest = self.letters.iter().fold(Pt::ZERO, |widest, text| widest.max(text.width));
        widest + scale.gaps(0.45)
    }

    fn keep_room(&self, index: usize, _: &Bar, room: &mut Room, scale: &Scale) {
        let Some(tones) = self.tones.bars.get(index) else { return };
        for mark in &tones.marks {
            room.keep(mark.spot.tick, mark_reach(mark, scale));
        }
        let arrivals = tones.arrives.iter().filter_map(|index| self.tones.links.get(*index));
        for link in arrivals {
            let spot = link.to;
            let joined = match link.kind {
                LinkKind::Bend { .. } | LinkKind::PreBend(_) => 0.5,
                LinkKind::Slide(_) => 1.1,
                LinkKind::Slur(_) => 0.8,
            };
            let comes_from_before = link.from.tick < spot.tick;
            let left = if comes_from_before {
                spot.half - spot.shift + scale.gaps(joined)
            } else {
                pt(0.0)
            };
            let right = spot.shift + spot.half.max(scale.gaps(0.4));
            room.keep(spot.tick, Reach { left, right });
        }
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        let Sheet { score, system, scale } = *sheet;
        let mut gaps = Gaps::none(scale.strings);
        draw_letters(canvas, &self.letters, system.left, scale);
        tab_lines::draw_bars(canvas, &mut gaps, score, system, scale);
        let technique = notes::draw(canvas, &mut gaps, &self.tones, system, scale);
        let highest_figures = -scale.cap_height(scale.fret_size(Weight::Full)) / 2.0;
        canvas.occupy(system.left, system.right, highest_figures);
        letters::draw(canvas, &mut gaps, technique, scale);
        gaps.draw_lines(canvas, system, scale);
        notes::draw_vibrato(canvas, &self.tones, system, scale);
    }
}

/// The strings' letters, the lowest-placed string's first: capitals, as necks have them.
fn letters(riff: &Riff, scale: &Scale) -> Vec<Text> {
    let strings = riff.instrument.tuning.strings();
    let style = Style::new(Face::SansSemibold, scale.letter_size());
    strings.iter().map(|pitch| scale.desk.words(&pitch.note.printed(), style)).collect()
}

/// Draws the letters, right-aligned before their lines.
fn draw_letters(canvas: &mut Canvas, letters: &[Text], front: Pt, scale: &Scale) {
    for (string, letter) in by_string(letters) {
        let baseline = scale.line_of(string) + scale.half_cap(scale.letter_size());
        canvas.text(front - scale.gaps(0.45) - letter.width, baseline, letter.clone());
    }
}

/// The room of a slide from or to nowhere, in distances between tab lines: its stub ends before half of
/// it.
const SLIDE_ROOM: f32 = 1.5;

/// How far a fret number with its slides from and to nowhere reaches. Grace notes keep clear of the
/// note before them, so that two numbers aren't read as one.
fn mark_reach(mark: &Mark, scale: &Scale) -> Reach {
    let room = scale.gaps(SLIDE_ROOM);
    let slide = |slide: Option<Slide>| if slide.is_some() { room } else { Pt::ZERO };
    let grace = mark.spot.shift < Pt::ZERO && mark.slide_in.is_none();
    let clear = if grace { scale.gaps(0.7) } else { Pt::ZERO };
    Reach {
        left: mark.spot.half - mark.spot.shift + slide(mark.slide_in) + clear,
        right: mark.spot.half + mark.spot.shift + slide(mark.slide_out),
    }
}
