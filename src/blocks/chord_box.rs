//! The chord box: a piece of the neck seen from the front, the fingers on it, and what each string
//! sounds. Any kind of block that shows chord shapes draws them with it.
//!
//! Roots are told by shape and weight: a root is a filled square, any other tone an open round dot.

mod pen;

use super::figure::{Desk, DotLabel};
use crate::ink::measure::{LineWidth, TypeSize};
use crate::ink::{Drawing, Face, Label, Point, Pt, Style, Text, pt};
use crate::neck::{Fingering, Fret, Instrument, StringIndex, by_string};
use crate::theory::spelling::{self, Direction};
use crate::theory::{Chord, Degree, Interval, Key, Note, Printed};
use crate::words::{ordinal, paper, terms};
use pen::Pen;

/// The face of fingers, fret numbers and the roots' labels.
const DIGITS: Face = Face::SansSemibold;

/// A chord shape to be drawn.
#[derive(Debug, Clone)]
pub struct ChordBox<'a> {
    /// The frets and fingers.
    pub fingering: &'a Fingering,
    /// For each string what it sounds; `None` where it is silent.
    pub sounds: Vec<Option<Sound>>,
    /// Whether a capo is in the place of the nut.
    pub capo: bool,
    /// Whether the box is mirrored for a left-handed player.
    pub left_handed: bool,
    /// What an empty box shows, in which a student writes; nothing is said then of any string.
    pub blank: Option<Window>,
}

/// The piece of the neck that a box shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// The first fret.
    pub first: Fret,
    /// How many frets.
    pub rows: u8,
}

impl Window {
    /// That which shows a shape, and tells nothing else of it.
    pub fn of(frets: &[Option<Fret>]) -> Window {
        let pressed = || frets.iter().flatten().copied().filter(|fret| fret.is_pressed());
        let lowest = pressed().min().unwrap_or(Fret::FIRST);
        let highest = pressed().max().unwrap_or(Fret::FIRST);
        let first = if highest.number() <= ROWS { Fret::FIRST } else { lowest };
        Window { first, rows: (highest.above(first) + 1).max(ROWS) }
    }
}

/// What a string sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sound {
    /// The note, spelled as the chord spells it.
    pub note: Note,
    /// Its degree above the chord's root, where a chord is known.
    pub degree: Option<Degree>,
}

impl Sound {
    /// What the strings of a fingering sound in a chord, spelled as the chord has it. A note that
    /// is none of its tones, or sounds without a chord, is spelled by the key.
    pub fn of_strings(
        fingering: &Fingering,
        instrument: &Instrument,
        chord: Option<&Chord>,
        key: Option<&Key>,
    ) -> Vec<Option<Sound>> {
        let names = instrument.tuning.names_of_notes();
        let sound = |(string, fret): (StringIndex, &Option<Fret>)| {
            let midi = instrument.written_pitch(string, (*fret)?)?;
            let Some(chord) = chord else {
                let note = spelling::spell(midi, key, None, Direction::Unknown).note.called(names);
                return Some(Sound { note, degree: None });
            };
            let tone = chord.degree_of_class(midi.class());
            let foreign = || spelling::spell(midi, key, Some(chord), Direction::Unknown).note;
            let note = tone.map_or_else(foreign, |degree| degree.above(chord.root));
            let degree = tone.unwrap_or_else(|| Degree::between(chord.root, note));
            Some(Sound { note, degree: Some(degree) })
        };
        by_string(&fingering.frets).map(sound).collect()
    }

    fn is_root(&self) -> bool {
        self.degree == Some(Degree::ROOT)
    }

    /// What stands beneath the string.
    fn label(&self, label: DotLabel, desk: &Desk<'_>) -> Option<String> {
        match (label, self.degree) {
            (DotLabel::Degrees, Some(degree)) => Some(desk.degree(degree)),
            (DotLabel::Degrees, None) | (DotLabel::Notes, _) => Some(self.note.printed()),
            (DotLabel::Fingers | DotLabel::None | DotLabel::Either, _) => None,
        }
    }
}

/// Lengths of a box as shares of the distance between its strings (looks, "Boxes": 3.9 mm between strings,
/// 4.9 mm between frets, a nut of 1.0 mm; the others were chosen by eye, on blurred prints, which lines of 0.25 mm and
/// fingers of 9 pt don't live through).
pub(crate) mod share {
    pub const ROW: f32 = 4.9 / 3.9;
    pub const LINE: f32 = 0.34 / 3.9;
    pub const NUT: f32 = 1.0 / 3.9;
    pub const CAPO: f32 = 1.2 / 3.9;
    pub const DOT: f32 = 1.75 / 3.9;
    /// Half the side of a root's square, as wide as a dot, for its white digit, and half the height of a barre, whose
    /// edges are level with those of a square on it.
    pub const SQUARE: f32 = 1.8 / 3.9;
    pub const OUTLINE: f32 = 0.33 / 3.9;
    /// How much further than a dot a barre goes round its outermost strings, so that their fingers stand clear.
    pub const FURTHER: f32 = 0.35 / 3.9;
    pub const SIGN: f32 = 0.95 / 3.9;
    /// The air between the nut and the signs above it, and between these and what stands above them.
    pub const CLEAR: f32 = 0.8 / 3.9;
    pub const FINGER: f32 = 9.6 / 11.055;
    /// A finger that stands white in a root's square.
    pub const ROOT_FINGER: f32 = 12.5 / 11.055;
    pub const DEGREE: f32 = 8.5 / 11.055;
    /// What stands beneath a string.
    pub const LABEL: f32 = 9.0 / 11.055;
    pub const NUMBER: f32 = 9.6 / 11.055;
    /// From the last fret to the baseline of the degrees.
    pub const FOOT: f32 = 4.0 / 3.9;
    /// From the grid to the fret number; from a dot that stands there more closely.
    pub const BESIDE: f32 = 1.6 / 3.9;
    pub const BESIDE_DOT: f32 = 1.6 / 3.9;
    /// Between the labels of two strings, at least.
    pub const BETWEEN_LABELS: f32 = 0.4 / 3.9;
}

/// The measures that the boxes of a figure share, so that they look alike.
#[derive(Debug, Clone, Copy)]
pub struct Measures {
    /// What all strokes and sizes are shares of: the distance between strings, where no labels part them.
    pub unit: Pt,
    /// The distance between strings.
    pub gap: Pt,
    /// The distance between frets.
    pub row: Pt,
    /// The height of capitals and digits of fingers.
    finger_cap: Pt,
    label: DotLabel,
}

impl Measures {
    /// Measures in which the labels of all these boxes have room beside one another.
    pub fn for_all<'a>(boxes: impl Iterator<Item = &'a ChordBox<'a>>, desk: &Desk) -> Measures {
        let unit = unit(desk);
        let label = desk.look.label;
        let widest = |shape: &ChordBox| {
            let labels = label.drawn().into_iter();
            labels.map(|(_, label)| shape.widest_pair(label, desk)).fold(Pt::ZERO, Pt::max)
        };
        let widest = boxes.map(widest).fold(Pt::ZERO, Pt::max);
        let gap = unit.max(widest + unit * share::BETWEEN_LABELS);
        let finger_cap = desk.fonts.measures(DIGITS, unit * share::FINGER).cap_height;
        Measures { unit, gap, row: unit * share::ROW, finger_cap, label }
    }

    /// The height of the signs for open and silent strings above the nut, air included.
    pub fn head(&self) -> Pt {
        self.unit * (share::NUT + share::CLEAR * 2.0 + share::SIGN * 2.0)
    }

    /// The height of the labels beneath the last fret, air included; without labels the air alone.
    pub fn foot(&self) -> Pt {
        match self.label {
            DotLabel::Degrees | DotLabel::Notes | DotLabel::Either => {
                self.unit * share::FOOT + pt(1.0)
            }
            DotLabel::Fingers | DotLabel::None => self.unit * share::CLEAR,
        }
    }

    /// The width from the first string to the last.
    pub fn width(&self, strings: usize) -> Pt {
        self.gap * strings.saturating_sub(1) as f32
    }

    /// A line's width, a share of the unit, never thinner than is printed.
    fn line(&self, share: f32) -> Pt {
        (self.unit * share).max(LineWidth::THINNEST)
    }
}

/// The distance between strings that a template gives, but so wide that the labels can be read.
pub fn unit(desk: &Desk) -> Pt {
    desk.look.box_gap.max(TypeSize::SMALLEST / share::DEGREE)
}

/// The size of the words about a box, and of its degrees.
pub fn small_size(desk: &Desk) -> Pt {
    unit(desk) * share::DEGREE
}

/// The least number of frets that a box shows: those that a hand stands on, so that boxes in a row look
/// alike.
const ROWS: u8 = 4;

impl ChordBox<'_> {
    /// The first fret that is shown.
    pub fn first_fret(&self) -> Fret {
        self.window().first
    }

    /// How many frets must be shown.
    pub fn rows(&self) -> u8 {
        self.window().rows
    }

    fn window(&self) -> Window {
        self.blank.unwrap_or_else(|| Window::of(&self.fingering.frets))
    }

    /// Whether the nut, or the capo, is in sight.
    fn shows_nut(&self) -> bool {
        self.first_fret() == Fret::FIRST
    }

    fn strings(&self) -> usize {
        self.fingering.frets.len()
    }

    /// How far the drawing reaches out to the left and to the right of the outer strings.
    pub fn reach(&self, measures: &Measures, desk: &Desk) -> (Pt, Pt) {
        let hair = measures.unit * 0.02;
        let dot = |string: Option<StringIndex>| {
            let is_barred = string.is_some_and(|string| self.is_barred(string));
            measures.unit * (share::DOT + if is_barred { share::FURTHER } else { 0.0 }) + hair
        };
        let mut strings = StringIndex::first(self.strings());
        let (low, high) = (dot(strings.next()), dot(strings.next_back()));
        let number = self.number(desk);
        let low = number.map_or(low, |number| self.beside(measures) + number.width + hair);
        match self.left_handed {
            // It may be mirrored.
            _ if desk.look.is_switched() => (low.max(high), low.max(high)),
            true => (high, low),
            false => (low, high),
        }
    }

    /// How far the number of the first fret stands off the lowest-placed string.
    fn beside(&self, measures: &Measures) -> Pt {
        let has_dot = self.fingering.frets.first() == Some(&Some(self.first_fret()));
        let is_barred =
            StringIndex::first(self.strings()).next().is_some_and(|low| self.is_barred(low));
        let share = match (has_dot, is_barred) {
            (true, true) => share::DOT + share::FURTHER + share::BESIDE_DOT,
            (true, false) => share::DOT + share::BESIDE_DOT,
            (false, _) => share::BESIDE,
        };
        measures.unit * share
    }

    /// The number of the first fret, where it isn't the nut that tells it.
    fn number(&self, desk: &Desk) -> Option<Text> {
        let style = Style::new(DIGITS, unit(desk) * share::NUMBER);
        (!self.shows_nut()).then(|| desk.words(&self.first_fret().to_string(), style))
    }

    /// The widest distance that the labels of two neighbouring strings need.
    fn widest_pair(&self, label: DotLabel, desk: &Desk) -> Pt {
        let labels: Vec<(Pt, Pt)> = StringIndex::first(self.strings())
            .map(|string| {
                self.label(string, label, desk).map_or_else(Default::default, |l| l.reach())
            })
            .collect();
        let pair = |pair: &[(Pt, Pt)]| match pair {
            [one, other] if self.left_handed => one.0 + other.1,
            [one, other] => one.1 + other.0,
            _ => Pt::ZERO,
        };
        labels.windows(2).map(pair).fold(Pt::ZERO, Pt::max)
    }

    fn label(&self, string: StringIndex, label: DotLabel, desk: &Desk) -> Option<Hung> {
        let sound = self.sounds.get(string.index())?.as_ref()?;
        let words = sound.label(label, desk)?;
        let style = Style::new(DIGITS, unit(desk) * share::LABEL);
        // What may be mirrored is centred as a whole.
        let hangs = !desk.look.is_switched();
        let after = words.trim_start_matches(|sign| hangs && "♭♯𝄫𝄪".contains(sign));
        let half = desk.words(after, style).width / 2.0;
        Some(Hung { text: desk.words(&words, style), half })
    }

    /// Draws the box with so many frets, the left end of its nut at a point.
    pub fn draw(
        &self,
        drawing: &mut Drawing,
        at: Point,
        rows: u8,
        measures: &Measures,
        desk: &Desk,
    ) {
        // It may be mirrored about the middle of its strings.
        let half = measures.width(self.strings()) / 2.0;
        let mut own = Drawing::default();
        let left = Point::new(-half, Pt::ZERO);
        Pen { shape: self, drawing: &mut own, at: left, rows, measures, desk }.draw();
        drawing.place(at + Point::new(half, Pt::ZERO), own, Label::Mirrorable);
    }

    /// Whether a string's finger presses others too on its fret, so that its dot is the bar.
    fn is_barred(&self, string: StringIndex) -> bool {
        let Fingering { fingers, frets } = self.fingering;
        let here = (fingers.get(string.index()), frets.get(string.index()));
        let (Some(Some(finger)), Some(Some(fret))) = here else { return false };
        let alike =
            fingers.iter().zip(frets).filter(|pair| *pair == (&Some(*finger), &Some(*fret)));
        self.blank.is_none() && alike.count() > 1
    }

    fn is_root(&self, string: StringIndex) -> bool {
        self.sounds
            .get(string.index())
            .is_some_and(|sound| sound.is_some_and(|sound| sound.is_root()))
    }
}

/// A label beneath a string: what follows its signs stands centred there, and they hang to the left.
struct Hung {
    text: Text,
    /// Half the width of what follows the signs.
    half: Pt,
}

impl Hung {
    /// How far it reaches from its string to the left and to the right.
    fn reach(&self) -> (Pt, Pt) {
        (self.text.width - self.half, self.half)
    }
}

/// What the signs of boxes mean, where the labels beneath them don't tell it.
pub fn key<'a>(mut boxes: impl Iterator<Item = &'a ChordBox<'a>>, desk: &Desk) -> Option<Printed> {
    let is_told = desk.look.label == DotLabel::Degrees;
    let has_root = |drawn: &ChordBox| drawn.sounds.iter().flatten().any(Sound::is_root);
    (!is_told && boxes.any(has_root)).then(|| desk.note(paper::chords::ROOTS))
}

/// A box in words, string after string from the lowest-placed: "sixth string silent; fifth string
/// open, A, the root; …".
pub fn describe(shape: &ChordBox) -> String {
    if let Some(Window { first, rows }) = shape.blank {
        let last = first.up(rows.saturating_sub(1));
        return format!("an empty box for frets {first} to {last}, to be filled in");
    }
    let strings = shape.strings();
    let one = |string: StringIndex| {
        let name = format!("{} string", ordinal(strings - string.index()));
        let sound = shape.sounds.get(string.index()).copied().flatten();
        match (shape.fingering.frets.get(string.index()).copied().flatten(), sound) {
            (None, _) | (_, None) => format!("{name} silent"),
            (Some(Fret::OPEN), Some(sound)) => format!("{name} open, {}", sound_in_words(&sound)),
            (Some(fret), Some(sound)) => {
                let finger = shape.fingering.fingers.get(string.index()).copied().flatten();
                let finger = finger
                    .map_or(String::new(), |finger| format!(", {}", terms::whole_finger(finger)));
                format!("{name} fret {fret}{finger}, {}", sound_in_words(&sound))
            }
        }
    };
    StringIndex::first(strings).map(one).collect::<Vec<_>>().join("; ")
}

fn sound_in_words(sound: &Sound) -> String {
    let note = sound.note.spoken();
    match sound.degree {
        None => note,
        Some(Degree::ROOT) => format!("{note}, the root"),
        Some(degree) => format!("{note}, the {}", Interval::of(degree)),
    }
}
