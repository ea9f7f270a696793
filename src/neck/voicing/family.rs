//! Families of voicings that have names: close and spread triads, shells, drop 2, drop 3, as harmony
//! books define them (language section 4, `voicings`; close triads as design section 2).
//!
//! Each of them has so many voices, whose pitches rise from string to string, and is told by how far
//! its pitches lie apart. The lowest voice decides the inversion; the others follow from it, so each
//! is built and none is searched.

use super::{Grip, Search, Shape, preferred};
use crate::neck::{Fret, Hand, Instrument, Neck, StringIndex};
use crate::theory::{Chord, Degree, Midi};
use std::ops::RangeInclusive;

/// A family of voicings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// Three tones within less than an octave and within five neighbouring frets.
    Triads,
    /// Three tones, the middle one of a close triad an octave higher.
    SpreadTriads,
    /// Root, third and seventh, the root lowest, neighbours less than an octave apart.
    Shells,
    /// Four tones, the second from the top of a close voicing an octave lower.
    Drop2,
    /// Four tones, the third from the top of a close voicing an octave lower.
    Drop3,
    /// Whatever sounds the chord.
    Any,
}

/// Which tone is lowest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Inversion {
    Root,
    First,
    Second,
    Third,
}

impl Inversion {
    /// All inversions, the root position first.
    pub const ALL: [Inversion; 4] =
        [Inversion::Root, Inversion::First, Inversion::Second, Inversion::Third];

    /// The inversion in which a degree is lowest: root, third (or what stands for it), fifth,
    /// seventh or sixth; `None` for an added tone.
    pub fn of(lowest: Degree) -> Option<Inversion> {
        match lowest.number {
            1 => Some(Inversion::Root),
            2..=4 => Some(Inversion::First),
            5 => Some(Inversion::Second),
            6 | 7 => Some(Inversion::Third),
            _ => None,
        }
    }

    /// The inversion that a shape of a chord is in, where its lowest tone has one.
    pub fn in_shape(shape: &Shape, chord: &Chord, instrument: &Instrument) -> Option<Inversion> {
        let bass = shape.bass(instrument)?.class();
        chord.degree_of_class(bass).and_then(Inversion::of)
    }

    /// 0 for the root position to 3.
    pub fn number(self) -> u8 {
        self as u8
    }
}

impl Family {
    /// The families by their names in a lesson.
    pub const ALL: [(Family, &'static str); 6] = [
        (Family::Triads, "triads"),
        (Family::SpreadTriads, "spread triads"),
        (Family::Shells, "shells"),
        (Family::Drop2, "drop 2"),
        (Family::Drop3, "drop 3"),
        (Family::Any, "any"),
    ];

    /// Reads a family's name.
    pub fn parse(text: &str) -> Option<Family> {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        Family::ALL.iter().find(|(_, name)| *name == words).map(|(family, _)| *family)
    }

    /// Its name in a lesson.
    pub fn name(self) -> &'static str {
        Family::ALL.iter().find(|(family, _)| *family == self).map_or("any", |(_, name)| name)
    }

    /// How many voices it has; `None` where that is free.
    pub fn voices(self) -> Option<usize> {
        match self {
            Family::Triads | Family::SpreadTriads | Family::Shells => Some(3),
            Family::Drop2 | Family::Drop3 => Some(4),
            Family::Any => None,
        }
    }

    /// The tones that its voices take in a chord: a tone a voice, the lowest degree first. `None`
    /// where the chord has too few.
    ///
    /// A triad of a seventh chord is third, fifth and seventh: the bass has the root. A triad of any
    /// other chord leaves the added tones out. Four voices leave out the fifth first, which tells the least
    /// of the chord, then what else may be missing, and the root at last.
    pub fn tones(self, chord: &Chord) -> Option<Vec<Degree>> {
        let degrees: Vec<Degree> = chord.tones.iter().map(|tone| tone.degree).collect();
        match self {
            Family::Any => Some(degrees),
            Family::Triads | Family::SpreadTriads => triad(&degrees),
            Family::Shells => shell(&degrees),
            Family::Drop2 | Family::Drop3 => four(chord),
        }
    }

    /// Whether pitches that rise are in the family's order.
    fn holds(self, pitches: &[Midi]) -> bool {
        match (self, pitches) {
            (Family::Triads, [low, _, high]) => *high - *low < 12,
            (Family::SpreadTriads, [low, middle, high]) => {
                *middle - *low < 12 && *high - *middle < 12 && *high - *low > 12
            }
            (Family::Shells, [low, middle, high]) => *middle - *low < 12 && *high - *middle < 12,
            // The lowest voice an octave up stands second from the top of the close voicing.
            (Family::Drop2, [low, second, third, high]) => {
                (*third + 1..*high).contains(&(*low + 12)) && *high - *second < 12
            }
            (Family::Drop3, [low, second, third, high]) => {
                (*second + 1..*third).contains(&(*low + 12)) && *high - *second < 12
            }
            (Family::Any, _) => true,
            _ => false,
        }
    }
}

fn triad(degrees: &[Degree]) -> Option<Vec<Degree>> {
    let of = |numbers: RangeInclusive<u8>| {
        degrees.iter().find(|degree| numbers.contains(&degree.number)).copied()
    };
    let (third, fifth) = (of(2..=4)?, of(5..=5)?);
    let seventh = of(7..=7);
    Some(match seventh {
        Some(seventh) => vec![third, fifth, seventh],
        None => vec![Degree::ROOT, third, fifth],
    })
}

fn shell(degrees: &[Degree]) -> Option<Vec<Degree>> {
    let of = |numbers: RangeInclusive<u8>| {
        degrees.iter().find(|degree| numbers.contains(&degree.number)).copied()
    };
    let top = of(7..=7).or_else(|| of(6..=6))?;
    Some(vec![Degree::ROOT, of(2..=4)?, top])
}

fn four(chord: &Chord) -> Option<Vec<Degree>> {
    let mut tones = chord.tones.clone();
    let fifth = |tone: &crate::theory::chord::Tone| tone.omissible && tone.degree.number == 5;
    while tones.len() > 4 {
        let leave = tones
            .iter()
            .position(fifth)
            .or_else(|| tones.iter().position(|tone| tone.omissible))
            .unwrap_or(0);
        tones.remove(leave);
    }
    (tones.len() == 4).then(|| tones.iter().map(|tone| tone.degree).collect())
}

/// What a line of voicings asks for.
#[derive(Debug, Clone)]
pub struct Asked<'a> {
    /// The chord.
    pub chord: &'a Chord,
    /// The family.
    pub family: Family,
    /// The instrument.
    pub instrument: &'a Instrument,
    /// The strings that may sound, by index, rising.
    pub strings: Vec<StringIndex>,
    /// The frets that may be used.
    pub frets: RangeInclusive<Fret>,
    /// A string and a fret that must be the highest note.
    pub top: Option<(StringIndex, Fret)>,
}

impl Asked<'_> {
    /// Every shape of the family that the hand can hold; of shells only the usual ones, where there are any.
    pub fn held(&self, hand: Hand) -> Vec<Shape> {
        if self.family == Family::Any {
            let search = Search {
                chord: self.chord,
                instrument: self.instrument,
                hand,
                strings: self.strings.clone(),
                frets: self.frets.clone(),
                top: self.top,
            };
            return search.all();
        }
        let grip = Grip::new(&Neck::of(self.instrument), hand, self.instrument.last_fret());
        let mut shapes = self.shapes();
        shapes.retain(|shape| grip.can_hold(shape.frets()));
        match self.family {
            Family::Shells => preferred(shapes, |shape| self.is_usual_shell(shape)),
            _ => shapes,
        }
    }

    /// Whether a shell lies as players learn it: the root on string 6 or 5, third and seventh on 4 and 3.
    fn is_usual_shell(&self, shape: &Shape) -> bool {
        let strings: Vec<usize> =
            shape.sounding().map(|(string, _)| self.instrument.tuning.number(string)).collect();
        matches!(strings.as_slice(), [5 | 6, 4, 3])
    }

    /// Every shape of a family of so many voices, whether a hand can hold it or not; none for
    /// [`Family::Any`].
    pub fn shapes(&self) -> Vec<Shape> {
        let Some(tones) = self.family.tones(self.chord) else { return Vec::new() };
        let classes: Vec<u8> =
            tones.iter().map(|tone| tone.above(self.chord.root).class()).collect();
        let mut found = Vec::new();
        for set in self.string_sets() {
            let mut voices = Voices { asked: self, set: &set, found: &mut found };
            voices.put(&classes, &mut Vec::new());
        }
        found.sort_by_key(|shape| (shape.mean_fret(), *shape));
        found
    }

    /// The sets of strings that the voices may take: for close triads the strings asked for that
    /// follow each other, for the others any of them.
    fn string_sets(&self) -> Vec<Vec<StringIndex>> {
        let voices = self.family.voices().unwrap_or_default();
        if voices == 0 {
            return Vec::new();
        }
        if self.family == Family::Triads {
            return self.strings.windows(voices).map(<[StringIndex]>::to_vec).collect();
        }
        let mut sets: Vec<Vec<StringIndex>> = vec![Vec::new()];
        for string in &self.strings {
            let with = sets
                .iter()
                .filter(|set| set.len() < voices)
                .map(|set| [set.as_slice(), &[*string]].concat());
            let with: Vec<Vec<StringIndex>> = with.collect();
            sets.extend(with);
        }
        sets.retain(|set| set.len() == voices);
        sets
    }

    /// Whether a voice of a class may be the lowest: a bass that is one of the voices must be, and
    /// so must the root of a shell.
    fn may_be_lowest(&self, class: u8, classes: &[u8]) -> bool {
        let bass = match self.family {
            Family::Shells => Some(self.chord.root),
            _ => self.chord.bass,
        };
        bass.is_none_or(|bass| bass.class() == class || !classes.contains(&bass.class()))
    }

    /// The frets of a string that sound a class and lie higher than a pitch, less than two octaves.
    fn frets_of(
        &self,
        string: StringIndex,
        class: u8,
        above: Option<Midi>,
    ) -> impl Iterator<Item = (Fret, Midi)> {
        let open = self.instrument.open_note(string);
        let first = open.map(|open| (class + 12 - open.class()) % 12);
        let last = self.instrument.last_fret();
        let top = self.top.filter(|(top, _)| *top == string).map(|(_, fret)| fret);
        first
            .into_iter()
            .flat_map(move |first| Fret::new(first).to(last).step_by(12))
            .filter(move |fret| self.frets.contains(fret) && top.is_none_or(|top| top == *fret))
            .filter_map(move |fret| Some((fret, self.instrument.written_pitch(string, fret)?)))
            .filter(move |(_, pitch)| {
                above.is_none_or(|above| *pitch > above && *pitch - above < 24)
            })
    }
}

/// The voices on one set of strings.
struct Voices<'a> {
    asked: &'a Asked<'a>,
    set: &'a [StringIndex],
    found: &'a mut Vec<Shape>,
}

impl Voices<'_> {
    /// Puts the next voice, one of the classes that are left, on the next string.
    fn put(&mut self, left: &[u8], placed: &mut Vec<(Fret, Midi)>) {
        let Some(string) = self.set.get(placed.len()).copied() else { return self.whole(placed) };
        for class in left {
            if placed.is_empty() && !self.asked.may_be_lowest(*class, left) {
                continue;
            }
            let rest: Vec<u8> = left.iter().copied().filter(|other| other != class).collect();
            let above = placed.last().map(|(_, pitch)| *pitch);
            for voice in self.asked.frets_of(string, *class, above) {
                placed.push(voice);
                self.put(&rest, placed);
                placed.pop();
            }
        }
    }

    fn whole(&mut self, placed: &[(Fret, Midi)]) {
        let pitches: Vec<Midi> = placed.iter().map(|(_, pitch)| *pitch).collect();
        let frets = || placed.iter().map(|(fret, _)| *fret);
        let span = frets().max().unwrap_or_default().above(frets().min().unwrap_or_default());
        let close_by = self.asked.family != Family::Triads || span < 5;
        let on_top = self.asked.top.is_none_or(|(string, _)| self.set.last() == Some(&string));
        if close_by && on_top && self.asked.family.holds(&pitches) {
            let mut shape = Shape::silent(self.asked.instrument.tuning.len());
            for (string, (fret, _)) in self.set.iter().zip(placed) {
                shape.set(*string, Some(*fret));
            }
            self.found.push(shape);
        }
    }
}
