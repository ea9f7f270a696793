//! Scales: the seven modes, and the others that a guitar teacher names.

use super::key::Mode;
use super::{Degree, Key, Note};
use std::fmt;

/// A scale: a kind on a tonic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scale {
    /// The first note.
    pub tonic: Note,
    /// Which scale it is.
    pub kind: &'static ScaleKind,
}

/// A kind of scale: its names and its degrees.
#[derive(Debug, PartialEq, Eq, Hash)]
pub struct ScaleKind {
    /// Its names, the one that is printed first.
    pub names: &'static [&'static str],
    /// Its degrees above the tonic.
    pub degrees: &'static [Degree],
    /// Those of its degrees that are right under another letter too (language section 3).
    pub either_letter: &'static [Degree],
    /// Degrees that are right beside its own, whatever signs they take: those of another way to spell it.
    pub otherwise: &'static [Degree],
    /// The mode that it is; of any other scale major where it has a major third, else minor. A key in
    /// the scale has the numerals of this mode.
    pub mode: Mode,
}

/// A degree of a scale's table: its number and its half steps from the major or perfect one.
const fn d(number: u8, alter: i8) -> Degree {
    Degree::new(number, alter)
}

const WHOLE_TONE: &[Degree] = &[d(1, 0), d(2, 0), d(3, 0), d(4, 1), d(5, 1), d(7, -1)];
const HALF_WHOLE: &[Degree] =
    &[d(1, 0), d(2, -1), d(3, -1), d(3, 0), d(4, 1), d(5, 0), d(6, 0), d(7, -1)];
const WHOLE_HALF: &[Degree] =
    &[d(1, 0), d(2, 0), d(3, -1), d(4, 0), d(5, -1), d(6, -1), d(6, 0), d(7, 0)];
const CHROMATIC: &[Degree] = &[
    d(1, 0),
    d(2, -1),
    d(2, 0),
    d(3, -1),
    d(3, 0),
    d(4, 0),
    d(4, 1),
    d(5, 0),
    d(6, -1),
    d(6, 0),
    d(7, -1),
    d(7, 0),
];
// The seventh mode of melodic minor; its fourth tone is written as the major third that it is over
// a dominant chord.
const ALTERED: &[Degree] = &[d(1, 0), d(2, -1), d(3, -1), d(3, 0), d(5, -1), d(6, -1), d(7, -1)];
// As that mode it has each letter once, on flat tonics with double flats.
const ALTERED_FOURTH: &[Degree] = &[d(4, -1)];

/// The major scale.
pub const MAJOR: &ScaleKind =
    &kind(&["major", "ionian"], &[d(1, 0), d(2, 0), d(3, 0), d(4, 0), d(5, 0), d(6, 0), d(7, 0)]);

/// Every scale that has a name, the plainest first.
pub static SCALES: &[ScaleKind] = &[
    kind(MAJOR.names, MAJOR.degrees),
    kind(
        &["natural minor", "minor", "aeolian"],
        &[d(1, 0), d(2, 0), d(3, -1), d(4, 0), d(5, 0), d(6, -1), d(7, -1)],
    ),
    kind(&["major pentatonic"], &[d(1, 0), d(2, 0), d(3, 0), d(5, 0), d(6, 0)]),
    kind(&["minor pentatonic"], &[d(1, 0), d(3, -1), d(4, 0), d(5, 0), d(7, -1)]),
    either(
        &["blues", "minor blues"],
        &[d(1, 0), d(3, -1), d(4, 0), d(5, -1), d(5, 0), d(7, -1)],
        &[d(5, -1)],
    ),
    kind(&["major blues"], &[d(1, 0), d(2, 0), d(3, -1), d(3, 0), d(5, 0), d(6, 0)]),
    kind(&["dorian"], &[d(1, 0), d(2, 0), d(3, -1), d(4, 0), d(5, 0), d(6, 0), d(7, -1)]),
    kind(&["phrygian"], &[d(1, 0), d(2, -1), d(3, -1), d(4, 0), d(5, 0), d(6, -1), d(7, -1)]),
    kind(&["lydian"], &[d(1, 0), d(2, 0), d(3, 0), d(4, 1), d(5, 0), d(6, 0), d(7, 0)]),
    kind(&["mixolydian"], &[d(1, 0), d(2, 0), d(3, 0), d(4, 0), d(5, 0), d(6, 0), d(7, -1)]),
    kind(&["locrian"], &[d(1, 0), d(2, -1), d(3, -1), d(4, 0), d(5, -1), d(6, -1), d(7, -1)]),
    kind(&["harmonic minor"], &[d(1, 0), d(2, 0), d(3, -1), d(4, 0), d(5, 0), d(6, -1), d(7, 0)]),
    kind(&["melodic minor"], &[d(1, 0), d(2, 0), d(3, -1), d(4, 0), d(5, 0), d(6, 0), d(7, 0)]),
    kind(&["lydian dominant"], &[d(1, 0), d(2, 0), d(3, 0), d(4, 1), d(5, 0), d(6, 0), d(7, -1)]),
    kind(
        &["phrygian dominant"],
        &[d(1, 0), d(2, -1), d(3, 0), d(4, 0), d(5, 0), d(6, -1), d(7, -1)],
    ),
    ScaleKind { otherwise: ALTERED_FOURTH, ..either(&["altered"], ALTERED, ALTERED) },
    either(&["whole tone"], WHOLE_TONE, WHOLE_TONE),
    either(&["half-whole diminished"], HALF_WHOLE, HALF_WHOLE),
    either(&["whole-half diminished"], WHOLE_HALF, WHOLE_HALF),
    either(&["chromatic"], CHROMATIC, CHROMATIC),
];

/// A scale whose tones are right under one letter only.
const fn kind(names: &'static [&'static str], degrees: &'static [Degree]) -> ScaleKind {
    either(names, degrees, &[])
}

/// A scale some of whose tones are right under another letter too.
const fn either(
    names: &'static [&'static str],
    degrees: &'static [Degree],
    either_letter: &'static [Degree],
) -> ScaleKind {
    ScaleKind { names, degrees, either_letter, otherwise: &[], mode: mode_of(degrees) }
}

/// The mode of some degrees, or the one that their third tells.
const fn mode_of(degrees: &[Degree]) -> Mode {
    let mut at = 0;
    while at < Mode::ALL.len() {
        if is_mode(degrees, Mode::ALL[at]) {
            return Mode::ALL[at];
        }
        at += 1;
    }
    let mut at = 0;
    while at < degrees.len() {
        if degrees[at].number == 3 && degrees[at].alter == 0 {
            return Mode::Major;
        }
        at += 1;
    }
    Mode::Minor
}

const fn is_mode(degrees: &[Degree], mode: Mode) -> bool {
    let alterations = mode.alterations();
    let mut at = 0;
    while at < alterations.len() {
        let own = at < degrees.len() && degrees[at].number as usize == at + 1;
        if !own || degrees[at].alter != alterations[at] {
            return false;
        }
        at += 1;
    }
    degrees.len() == alterations.len()
}

impl ScaleKind {
    /// The kind of a name, in any case, hyphens as good as spaces, `scale` behind it or not.
    pub fn parse(name: &str) -> Option<&'static ScaleKind> {
        let wanted = plain(name);
        let wanted = wanted.strip_suffix(" scale").unwrap_or(&wanted);
        SCALES.iter().find(|kind| kind.names.iter().any(|name| plain(name) == wanted))
    }

    /// The scale of a mode.
    pub fn of_mode(mode: Mode) -> &'static ScaleKind {
        SCALES.iter().find(|kind| kind.mode == mode).unwrap_or(MAJOR)
    }

    /// Whether it leaves gaps that other notes may fill, as pentatonic and blues scales do: a step of
    /// more than a whole tone in a scale of fewer than seven notes.
    pub fn leaves_gaps(&self) -> bool {
        let steps = self.degrees.iter().map(|degree| degree.semitones());
        let next = steps.clone().skip(1).chain([12]);
        self.degrees.len() < 7 && steps.zip(next).any(|(one, next)| next - one > 2)
    }

    /// Its degree of a number, where it has just one.
    pub fn degree(&self, number: u8) -> Option<Degree> {
        let mut own = self.degrees.iter().filter(|degree| degree.number == number);
        own.next().filter(|_| own.next().is_none()).copied()
    }

    /// The name that is printed.
    pub fn name(&self) -> &'static str {
        self.names.first().copied().unwrap_or_default()
    }
}

/// A name in small letters, its words parted by single spaces.
fn plain(name: &str) -> String {
    let small = name.to_ascii_lowercase().replace('-', " ");
    small.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Scale {
    /// Reads a tonic and a scale's name: `A minor pentatonic`, `F# half-whole diminished`.
    ///
    /// ```
    /// use fretleaf::theory::{Note, Scale};
    ///
    /// let scale = Scale::parse("A minor pentatonic").unwrap();
    /// assert!(scale.holds(Note::parse("G").unwrap()));
    /// assert!(!scale.holds(Note::parse("B").unwrap()));
    /// ```
    pub fn parse(text: &str) -> Option<Scale> {
        let text = text.trim();
        let (tonic, length) = Note::read(text)?;
        let name = text.get(length..)?.strip_prefix([' ', '\t'])?;
        Some(Scale { tonic, kind: ScaleKind::parse(name)? })
    }

    /// The scale of a key; a minor key's is natural minor.
    pub const fn of(key: &Key) -> Scale {
        Scale { tonic: key.tonic, kind: key.scale }
    }

    /// Its notes, rising from the tonic.
    pub fn notes(&self) -> Vec<Note> {
        self.kind.degrees.iter().map(|degree| degree.above(self.tonic)).collect()
    }

    /// The degree of a note that is one of its tones, spelled rightly: under its own letter, or
    /// under another one where either is right. `None` for any other note.
    pub fn degree_of(&self, note: Note) -> Option<Degree> {
        let degree = Degree::between(self.tonic, note);
        let is_own = self.kind.degrees.contains(&degree) || self.kind.otherwise.contains(&degree);
        (is_own || self.has_under_another_letter(note)).then_some(degree)
    }

    /// Whether a note is one of its tones, spelled rightly.
    pub fn holds(&self, note: Note) -> bool {
        self.degree_of(note).is_some()
    }

    /// Whether the notes are the scale: the tonic first, then every other tone once, each spelled
    /// rightly, in any order; the tonic may end it once more.
    pub fn accepts(&self, notes: &[Note]) -> bool {
        let Some((first, rest)) = notes.split_first() else { return false };
        let rest = rest.strip_suffix(&[self.tonic]).unwrap_or(rest);
        let heard = rest.iter().fold(1 << first.class(), |mask, note| mask | 1u16 << note.class());
        *first == self.tonic
            && rest.iter().all(|note| self.holds(*note))
            && rest.len() + 1 == self.kind.degrees.len()
            && heard == self.classes()
    }

    /// Its pitch classes, a bit each, C lowest.
    pub fn classes(&self) -> u16 {
        self.notes().iter().fold(0, |mask, note| mask | 1 << note.class())
    }

    /// The scale with its signs as they are printed: `F♯ minor pentatonic`.
    pub fn printed(&self) -> String {
        format!("{} {}", self.tonic.printed(), self.kind.name())
    }

    /// The scale in words, for whoever listens: "F sharp minor pentatonic".
    pub fn spoken(&self) -> String {
        format!("{} {}", self.tonic.spoken(), self.kind.name())
    }

    fn has_under_another_letter(&self, note: Note) -> bool {
        // The tonic keeps its name, and no one writes a double sign where a single one does.
        note.class() != self.tonic.class()
            && note.accidental.abs() <= 1
            && self
                .kind
                .either_letter
                .iter()
                .any(|degree| degree.above(self.tonic).class() == note.class())
    }
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.tonic, self.kind.name())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn notes(text: &str) -> Vec<Note> {
        text.split(' ').map(|note| Note::parse(note).unwrap()).collect()
    }

    #[test]
    fn every_scale_is_spelled_as_textbooks_do() {
        let rows = [
            ("A major", "A B C# D E F# G#"),
            ("Eb ionian", "Eb F G Ab Bb C D"),
            ("D dorian", "D E F G A B C"),
            ("F# phrygian", "F# G A B C# D E"),
            ("Bb lydian", "Bb C D E F G A"),
            ("A mixolydian", "A B C# D E F# G"),
            ("C# aeolian", "C# D# E F# G# A B"),
            ("A natural minor", "A B C D E F G"),
            ("A minor", "A B C D E F G"),
            ("B locrian", "B C D E F G A"),
            ("A harmonic minor", "A B C D E F G#"),
            ("C melodic minor", "C D Eb F G A B"),
            ("E major pentatonic", "E F# G# B C#"),
            ("A minor pentatonic", "A C D E G"),
            ("A blues", "A C D Eb E G"),
            ("E minor blues", "E G A Bb B D"),
            ("C major blues", "C D Eb E G A"),
            ("C whole tone", "C D E F# G# Bb"),
            ("C half-whole diminished", "C Db Eb E F# G A Bb"),
            ("C whole-half diminished", "C D Eb F Gb Ab A B"),
            ("C chromatic", "C Db D Eb E F F# G Ab A Bb B"),
            ("G lydian dominant", "G A B C# D E F"),
            ("E phrygian dominant", "E F G# A B C D"),
            ("G altered", "G Ab Bb B Db Eb F"),
        ];
        for (text, spelled) in rows {
            let scale = Scale::parse(text).unwrap();
            assert_eq!(scale.notes(), notes(spelled), "{text}");
            assert!(scale.accepts(&notes(spelled)), "{text}");
        }
    }

    #[test]
    fn judges_spelled_notes() {
        let rows = [
            ("A minor pentatonic", "A C D E G A", true),
            ("A minor pentatonic", "A E D C G", true),
            ("A minor pentatonic", "C D E G A", false),
            ("A minor pentatonic", "A C D E", false),
            ("A minor pentatonic", "A C D E F", false),
            ("A minor pentatonic", "A B# D E G", false),
            ("A major", "A B Db D E F# G#", false),
            ("A blues", "A C D D# E G", true),
            ("A blues", "A C D Eb E G", true),
            ("A blues", "A C D Eb D# G", false),
            ("A blues", "A B# D Eb E G", false),
            ("C whole tone", "C D E Gb Ab Bb", true),
            ("C whole tone", "C D E F# G# A#", true),
            ("C whole tone", "B# D E F# G# A#", false),
            ("C altered", "C Db D# E Gb G# Bb", true),
            ("C altered", "C Db Eb Fb Gb Ab Bb", true),
            ("C altered", "C Db Eb Fb G Ab Bb", false),
            ("Db altered", "Db Ebb Fb Gbb Abb Bbb Cb", true),
            ("Eb altered", "Eb Fb Gb Abb Bbb Cb Db", true),
            ("F altered", "F Gb Ab Bbb Cb Db Eb", true),
            ("Gb altered", "Gb Abb Bbb Cbb Dbb Ebb Fb", true),
            ("Ab altered", "Ab Bbb Cb Dbb Ebb Fb Gb", true),
            ("Bb altered", "Bb Cb Db Ebb Fb Gb Ab", true),
            ("Db altered", "Db Ebb Fb F Abb Bbb Cb", true),
            ("C altered", "C Db Eb Fb Gb Ab Cbb", false),
        ];
        for (scale, spelled, right) in rows {
            let read = Scale::parse(scale).unwrap();
            assert_eq!(read.accepts(&notes(spelled)), right, "{scale} = {spelled}");
        }
        assert!(!Scale::parse("A major").unwrap().accepts(&[]));
    }

    #[test]
    fn a_scale_has_the_numerals_that_its_third_tells() {
        for (name, mode, gaps) in [
            ("harmonic minor", Mode::Minor, false),
            ("melodic minor", Mode::Minor, false),
            ("phrygian dominant", Mode::Major, false),
            ("lydian dominant", Mode::Major, false),
            ("altered", Mode::Major, false),
            ("whole tone", Mode::Major, false),
            ("half-whole diminished", Mode::Major, false),
            ("whole-half diminished", Mode::Minor, false),
            ("chromatic", Mode::Major, false),
            ("major pentatonic", Mode::Major, true),
            ("minor pentatonic", Mode::Minor, true),
            ("blues", Mode::Minor, true),
            ("major blues", Mode::Major, true),
            ("phrygian", Mode::Phrygian, false),
        ] {
            let kind = ScaleKind::parse(name).unwrap();
            assert_eq!((kind.mode, kind.leaves_gaps()), (mode, gaps), "{name}");
        }
    }

    #[test]
    fn names_are_unique_and_every_scale_rises() {
        let mut names: Vec<&str> = SCALES.iter().flat_map(|kind| kind.names).copied().collect();
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
        for kind in SCALES {
            let steps: Vec<i32> = kind.degrees.iter().map(|degree| degree.semitones()).collect();
            assert!(steps.is_sorted_by(|a, b| a < b), "{}", kind.name());
            assert!(kind.either_letter.iter().all(|degree| kind.degrees.contains(degree)));
        }
    }

    #[test]
    fn names_are_read_in_any_case() {
        for text in ["A Minor Pentatonic", "A minor pentatonic scale", "A  minor  pentatonic"] {
            assert_eq!(Scale::parse(text).unwrap().to_string(), "A minor pentatonic");
        }
        assert_eq!(
            Scale::parse("F# half whole diminished").unwrap().printed(),
            "F♯ half-whole diminished"
        );
        for text in ["A", "Am pentatonic", "A pentatonic minor", "minor pentatonic", ""] {
            assert_eq!(Scale::parse(text), None, "{text}");
        }
    }

    #[test]
    fn a_key_has_its_scale() {
        for mode in super::super::key::Mode::ALL {
            let key = Key::new(Note::parse("Eb").unwrap(), mode);
            assert_eq!(Scale::of(&key).notes(), key.notes().collect::<Vec<_>>());
            assert_eq!((key.mode(), key.name()), (mode, mode.name()));
        }
    }
}
