//! What a chord does in a key, in words that a student understands.

use super::key::Mode;
use super::numeral::{Case, Step};
use super::{Chord, Degree, Key, Note};
use std::fmt;

/// What a chord does in a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    /// One of the key's own chords, with the word for what it does there: "subdominant".
    Own(&'static str),
    /// The dominant with a tone raised or lowered out of the key.
    AlteredDominant,
    /// A dominant seventh on the first degree of a major key.
    BluesTonic,
    /// A dominant seventh on the fourth degree of a major key.
    BluesSubdominant,
    /// The dominant of another chord of the key.
    DominantOf(Step),
    /// The leading-tone chord of another chord of the key.
    LeadingToneOf(Step),
    /// A dominant seventh a half step above the tonic.
    TritoneSubstitute,
    /// A dominant seventh a half step above the dominant.
    TritoneSubstituteOfDominant,
    /// A chord of another mode on the same tonic.
    Borrowed(Key),
    /// A diminished chord that leads nowhere of its own.
    PassingDiminished,
}

impl Function {
    /// The degree that the chord leads to as if that were the tonic.
    pub fn target(self) -> Option<Step> {
        match self {
            Function::DominantOf(step) | Function::LeadingToneOf(step) => Some(step),
            _ => None,
        }
    }

    /// The function with its signs as they are printed: "borrowed from F♯ minor".
    pub fn printed(self) -> String {
        self.words(Step::printed, |key| key.printed())
    }

    /// The function as it is printed beneath a chord: without what a colon explains.
    pub fn brief(self) -> String {
        let words = self.printed();
        words.split(':').next().unwrap_or_default().into()
    }

    fn words(self, step: impl Fn(Step) -> String, key: impl Fn(Key) -> String) -> String {
        match self {
            Function::Own(word) => word.into(),
            Function::AlteredDominant => "dominant with altered tones".into(),
            Function::BluesTonic => "tonic in a blues: dominant seventh on I".into(),
            Function::BluesSubdominant => "subdominant in a blues: dominant seventh on IV".into(),
            Function::DominantOf(target) => format!("dominant of {}", step(target)),
            Function::LeadingToneOf(target) => format!("leading-tone chord of {}", step(target)),
            Function::TritoneSubstitute => "tritone substitute for V7".into(),
            Function::TritoneSubstituteOfDominant => "tritone substitute for V7/V".into(),
            Function::Borrowed(from) => format!("borrowed from {}", key(from)),
            Function::PassingDiminished => "passing diminished chord".into(),
        }
    }
}

impl fmt::Display for Function {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words(|step| step.to_string(), |key| key.to_string()))
    }
}

/// Whether every tone of a chord, and the bass that it names, is in the key as it is spelled. A
/// minor key has its raised seventh beside the natural one, but no chord has both. A key in a blues
/// scale has the three dominant sevenths of a blues.
pub fn in_key(chord: &Chord, key: &Key) -> bool {
    let mut notes = chord.notes();
    notes.extend(chord.bass);
    are_in_key(&notes, key) || is_in_blues(chord, key)
}

/// What explains a chord in a key; a bass that a slash names is left aside. `None` where nothing
/// does.
pub fn function_of(chord: &Chord, key: &Key) -> Option<Function> {
    own(chord, key)
        .or_else(|| in_blues(chord, key))
        .or_else(|| altered_dominant(chord, key))
        .or_else(|| leading(chord, key))
        .or_else(|| tritone_substitute(chord, key))
        .or_else(|| borrowed(chord, key))
        .or_else(|| passing_diminished(chord))
}

/// Whether the triad on a degree of a key (1 to 7) is written in capitals or small letters.
pub(super) fn own_case(key: &Key, number: u8) -> Case {
    let semitones = |number: u8| {
        let simple = Degree::new(number, 0).simple();
        let of_mode = || key.mode().degrees().into_iter().find(|own| own.number == simple.number);
        key.scale.degree(simple.number).or_else(of_mode).map_or(0, Degree::semitones)
    };
    let third = (semitones(number + 2) - semitones(number)).rem_euclid(12);
    if third == 4 { Case::Major } else { Case::Minor }
}

fn are_in_key(notes: &[Note], key: &Key) -> bool {
    let harmony = key.harmony();
    let raised = Degree::new(7, 0).above(key.tonic);
    let natural = Degree::new(7, -1).above(key.tonic);
    let is_harmonic = |note: &Note| *note == raised || (harmony.holds(*note) && *note != natural);
    notes.iter().all(|note| key.holds(*note))
        || notes.iter().all(|note| harmony.holds(*note))
        || (harmony.is_minor() && notes.iter().all(is_harmonic))
}

/// Whether a chord is one of the three dominant sevenths that a blues is made of.
fn is_in_blues(chord: &Chord, key: &Key) -> bool {
    let degree = Degree::between(key.tonic, chord.root);
    key.is_blues()
        && is_dominant_seventh(chord)
        && degree.alter == 0
        && matches!(degree.number, 1 | 4 | 5)
}

fn has(chord: &Chord, number: u8, alter: i8) -> bool {
    chord.tones.iter().any(|tone| tone.degree == Degree::new(number, alter))
}

fn has_any(chord: &Chord, number: u8) -> bool {
    chord.tones.iter().any(|tone| tone.degree.number == number)
}

fn is_dominant_seventh(chord: &Chord) -> bool {
    has(chord, 3, 0) && has(chord, 7, -1)
}

fn is_diminished(chord: &Chord) -> bool {
    has(chord, 3, -1) && has(chord, 5, -1)
}

fn own(chord: &Chord, key: &Key) -> Option<Function> {
    let is_own = are_in_key(&chord.notes(), key) || is_in_blues(chord, key);
    is_own.then(|| Function::Own(own_word(chord, key)))
}

/// The word for what a key's own chord does.
fn own_word(chord: &Chord, key: &Key) -> &'static str {
    let degree = Degree::between(key.tonic, chord.root);
    let is_tonal = key.harmony().is_tonal();
    match degree.number {
        1 => "tonic",
        2 if is_tonal => "subdominant family",
        2 => "supertonic",
        3 if is_tonal => "tonic family",
        3 => "mediant",
        4 => "subdominant",
        5 if has(chord, 3, -1) => "minor dominant",
        5 => "dominant",
        6 if is_tonal => "tonic family",
        6 => "submediant",
        _ if degree.alter == 0 => "leading-tone chord",
        _ => "subtonic",
    }
}

fn in_blues(chord: &Chord, key: &Key) -> Option<Function> {
    let is_major = key.mode() == Mode::Major && key.harmony().is_tonal();
    if !is_major || !is_dominant_seventh(chord) {
        return None;
    }
    match Degree::between(key.tonic, chord.root) {
        Degree { number: 1, alter: 0 } => Some(Function::BluesTonic),
        Degree { number: 4, alter: 0 } => Some(Function::BluesSubdominant),
        _ => None,
    }
}

fn altered_dominant(chord: &Chord, key: &Key) -> Option<Function> {
    let is_on_fifth = Degree::between(key.tonic, chord.root) == Degree::new(5, 0);
    let is_altered = is_dominant_seventh(chord) || (has(chord, 3, 0) && has(chord, 5, 1));
    let alters = chord
        .tones
        .iter()
        .any(|tone| !matches!(tone.degree.number, 1 | 3 | 7) && tone.degree.alter != 0);
    (is_on_fifth && is_altered && alters).then_some(Function::AlteredDominant)
}

/// The dominant or leading-tone chord of another degree of the key.
fn leading(chord: &Chord, key: &Key) -> Option<Function> {
    let is_dominant = has(chord, 3, 0) && !has(chord, 7, 0);
    let is_diminished = is_diminished(chord);
    targets(key).into_iter().find_map(|target| {
        let tonic = target.key_within(key).tonic;
        let degree = Degree::between(tonic, chord.root);
        // The tonic's own triad leads to the fourth degree only once it has its seventh.
        let is_plain_tonic = chord.root == key.tonic && !has_any(chord, 7);
        match degree {
            Degree { number: 5, alter: 0 } if is_dominant && !is_plain_tonic => {
                Some(Function::DominantOf(target))
            }
            Degree { number: 7, alter: 0 } if is_diminished => {
                Some(Function::LeadingToneOf(target))
            }
            _ => None,
        }
    })
}

/// The degrees of a key that can have a dominant of their own: those with a major or minor triad,
/// but neither the tonic nor the seventh, which borrowed chords explain better. A minor key's fifth
/// is taken as the major chord that it mostly is. A scale that has no one degree of each number has no
/// such triads.
fn targets(key: &Key) -> Vec<Step> {
    let key = key.harmony();
    let degree = |number: u8| key.scale.degree((number - 1) % 7 + 1);
    let fifth_is_perfect = |root: Degree| {
        let fifth = degree(root.number + 4).map(|fifth| fifth.semitones() - root.semitones());
        fifth.is_some_and(|fifth| fifth.rem_euclid(12) == 7)
    };
    let step = |root: Degree| {
        let case = match (key.mode(), root.number) {
            (Mode::Minor, 5) => Case::Major,
            (_, number) => own_case(&key, number),
        };
        let sign = Step::sign_of(root, key.mode());
        Step { sign, ..Step::plain(root.number, case) }
    };
    (2..=6).filter_map(degree).filter(|root| fifth_is_perfect(*root)).map(step).collect()
}

fn tritone_substitute(chord: &Chord, key: &Key) -> Option<Function> {
    match Degree::between(key.tonic, chord.root) {
        _ if !is_dominant_seventh(chord) => None,
        Degree { number: 2, alter: -1 } => Some(Function::TritoneSubstitute),
        Degree { number: 6, alter: -1 } => Some(Function::TritoneSubstituteOfDominant),
        _ => None,
    }
}

fn passing_diminished(chord: &Chord) -> Option<Function> {
    let passes = is_diminished(chord) && !has(chord, 7, -1);
    passes.then_some(Function::PassingDiminished)
}

/// The mode on the same tonic that has the chord, the likeliest first.
fn borrowed(chord: &Chord, key: &Key) -> Option<Function> {
    const FROM_MINOR: [Mode; 5] =
        [Mode::Dorian, Mode::Major, Mode::Phrygian, Mode::Mixolydian, Mode::Lydian];
    const FROM_OTHERS: [Mode; 5] =
        [Mode::Major, Mode::Minor, Mode::Dorian, Mode::Phrygian, Mode::Lydian];
    let modes = if key.mode() == Mode::Minor { FROM_MINOR } else { FROM_OTHERS };
    let notes = chord.notes();
    // What another scale lacks comes first of all from the major or minor key that it leans on.
    let parallel = [key.mode()].into_iter().chain(modes).map(|mode| Key::new(key.tonic, mode));
    parallel.into_iter().find(|from| are_in_key(&notes, from)).map(Function::Borrowed)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn function(chord: &str, key: &str) -> String {
        let chord = Chord::parse(chord).unwrap();
        let function = function_of(&chord, &Key::parse(key).unwrap());
        function.map_or("none".into(), |function| function.to_string())
    }

    #[test]
    fn every_chord_has_its_function() {
        let rows = [
            ("A", "A", "tonic"),
            ("Amaj7", "A", "tonic"),
            ("A5", "A", "tonic"),
            ("A/C#", "A", "tonic"),
            ("A/G", "A", "tonic"),
            ("Bm7", "A", "subdominant family"),
            ("C#m", "A", "tonic family"),
            ("D", "A", "subdominant"),
            ("E7", "A", "dominant"),
            ("E7sus4", "A", "dominant"),
            ("F#m", "A", "tonic family"),
            ("G#m7b5", "A", "leading-tone chord"),
            ("B7", "A", "dominant of V"),
            ("B", "A", "dominant of V"),
            ("F#7", "A", "dominant of ii"),
            ("G#7b9", "A", "dominant of iii"),
            ("C#7", "A", "dominant of vi"),
            ("A7", "A", "tonic in a blues: dominant seventh on I"),
            ("D9", "A", "subdominant in a blues: dominant seventh on IV"),
            ("D#dim7", "A", "leading-tone chord of V"),
            ("A#dim7", "A", "leading-tone chord of ii"),
            ("G#dim7", "A", "borrowed from A minor"),
            ("Dm", "A", "borrowed from A minor"),
            ("G", "A", "borrowed from A minor"),
            ("G7", "A", "borrowed from A minor"),
            ("C", "A", "borrowed from A minor"),
            ("Fmaj7", "A", "borrowed from A minor"),
            ("Em7", "A", "borrowed from A minor"),
            ("Bbmaj7", "A", "borrowed from A phrygian"),
            ("Bb7", "A", "tritone substitute for V7"),
            ("F7", "A", "tritone substitute for V7/V"),
            ("E7#9", "A", "dominant with altered tones"),
            ("E+", "A", "dominant with altered tones"),
            ("Cdim7", "A", "passing diminished chord"),
            ("Ebm", "A", "none"),
            ("Dm7b5", "Am", "none"),
            ("Am", "Am", "tonic"),
            ("AmMaj7", "Am", "tonic"),
            ("Dm", "Am", "subdominant"),
            ("Em", "Am", "minor dominant"),
            ("E7", "Am", "dominant"),
            ("G", "Am", "subtonic"),
            ("G#dim7", "Am", "leading-tone chord"),
            ("C", "Am", "tonic family"),
            ("D", "Am", "borrowed from A dorian"),
            ("D7", "Am", "borrowed from A dorian"),
            ("A", "Am", "borrowed from A major"),
            ("A7", "Am", "dominant of iv"),
            ("B7", "Am", "dominant of V"),
            ("Bb", "Am", "borrowed from A phrygian"),
            ("F7", "Am", "tritone substitute for V7/V"),
            ("F", "G mixolydian", "subtonic"),
            ("Dm", "G mixolydian", "minor dominant"),
            ("D7", "G mixolydian", "borrowed from G major"),
            ("G7", "D dorian", "subdominant"),
            ("F", "E phrygian", "supertonic"),
            ("F", "E phrygian dominant", "supertonic"),
            ("E7", "E phrygian dominant", "tonic"),
            ("Am", "E phrygian dominant", "subdominant"),
            ("Dm", "E phrygian dominant", "subtonic"),
            ("B7", "E phrygian dominant", "borrowed from E major"),
            ("C7", "E phrygian dominant", "dominant of bII"),
            ("E7", "A harmonic minor", "dominant"),
            ("G#dim7", "A harmonic minor", "leading-tone chord"),
            ("C+", "A harmonic minor", "tonic family"),
            ("G", "A harmonic minor", "borrowed from A minor"),
            ("D7", "A melodic minor", "subdominant"),
            ("G7", "G lydian dominant", "tonic"),
            ("A", "G lydian dominant", "supertonic"),
            ("G", "A minor pentatonic", "subtonic"),
            ("E7", "A minor pentatonic", "dominant"),
            ("D", "A major pentatonic", "subdominant"),
            ("A7", "A blues", "tonic"),
            ("D9", "A blues", "subdominant"),
            ("E7#9", "A blues", "dominant"),
            ("A7", "A major blues", "tonic"),
            ("C+", "C whole tone", "tonic"),
            ("F", "C whole tone", "borrowed from C major"),
        ];
        for (chord, key, word) in rows {
            assert_eq!(function(chord, key), word, "{chord} in {key}");
        }
    }

    #[test]
    fn a_chord_is_in_the_key_as_it_is_spelled() {
        let rows = [
            ("Aadd9", "A", true),
            ("F#m7", "A", true),
            ("Gbm7", "A", false),
            ("A7", "A", false),
            ("A/G", "A", false),
            ("E7", "Am", true),
            ("E7b9", "Am", true),
            ("G", "Am", true),
            ("Gmaj7", "Am", false),
            ("G7", "Am", true),
            ("G#dim7", "Am", true),
            ("G#dim7/G", "Am", false),
            ("D", "Am", false),
            ("F", "G mixolydian", true),
            ("F#", "G mixolydian", false),
            ("E", "E phrygian dominant", true),
            ("Fmaj7", "E phrygian dominant", true),
            ("Am", "E phrygian dominant", true),
            ("Em", "E phrygian dominant", false),
            ("B7", "E phrygian dominant", false),
            ("E7", "A harmonic minor", true),
            ("G", "A harmonic minor", false),
            ("Dm", "A minor pentatonic", true),
            ("E7", "A minor pentatonic", true),
            ("F#m", "A minor pentatonic", false),
            ("A7", "A blues", true),
            ("D9", "A blues", true),
            ("B7", "A blues", false),
            ("C7#5", "C whole tone", true),
            ("Abaug", "C whole tone", true),
            ("F#7", "C half-whole diminished", true),
            ("Am", "C half-whole diminished", true),
            ("D", "C half-whole diminished", false),
        ];
        for (chord, key, within) in rows {
            let read = Chord::parse(chord).unwrap();
            assert_eq!(in_key(&read, &Key::parse(key).unwrap()), within, "{chord} in {key}");
        }
    }

    #[test]
    fn functions_are_printed_with_proper_signs() {
        let chord = Chord::parse("D").unwrap();
        let key = Key::parse("F#").unwrap();
        let function = function_of(&chord, &key).unwrap();
        assert_eq!(function.printed(), "borrowed from F♯ minor");
        assert_eq!(function.to_string(), "borrowed from F# minor");
    }
}
