//! Tunings: the open strings of an instrument.

use super::StringIndex;
use crate::theory::{Letter, Names, Note, Pitch};
use std::ops::Range;

/// The open strings of an instrument, in the order of the strings, the lowest-placed first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tuning {
    strings: Vec<Pitch>,
}

impl Tuning {
    /// A tuning of 3 to 12 strings, the lowest-placed string first.
    pub fn new(strings: Vec<Pitch>) -> Option<Tuning> {
        (3..=12).contains(&strings.len()).then_some(Tuning { strings })
    }

    /// Six strings, `E2 A2 D3 G3 B3 E4`.
    pub fn standard() -> Tuning {
        Tuning { strings: SIX.map(pitch).to_vec() }
    }

    /// Reads the open strings, the lowest-placed first: letters alone (`E A D G B E`, `DADGAD`) or
    /// with their octaves (`E2 A2 …`), parted by spaces or commas or run together; or the name that
    /// [`Tuning::name`] gives a tuning, `drop D`.
    ///
    /// # Errors
    /// Where something is no open string, where only some have octaves, where there are fewer than
    /// 3 strings or more than 12, and where letters alone don't say the octaves.
    ///
    /// ```
    /// use fretleaf::neck::{StringIndex, Tuning};
    ///
    /// let tuning = Tuning::parse("D A D G B E").unwrap();
    /// assert_eq!(tuning.name(), Some("drop D"));
    /// assert_eq!(tuning.number(StringIndex::LOWEST), 6, "the lowest string is the sixth");
    /// ```
    pub fn parse(text: &str) -> Result<Tuning, TuningError> {
        Tuning::parse_as(text, Names::English)
    }

    /// The same where notes go by other names.
    pub fn parse_as(text: &str, names: Names) -> Result<Tuning, TuningError> {
        let end = text.trim_end().len();
        let whole = || (text.len() - text.trim_start().len()).min(end)..end;
        let strings = match (read_strings(text, names), Tuning::known(text)) {
            (Ok(strings), _) => strings,
            (Err(_), Some(tuning)) => return Ok(tuning.called(names)),
            (Err(error), None) => return Err(error),
        };
        let fault = |message: String, advice: &str, place| {
            Err(TuningError { message, advice: Some(advice.to_string()), place })
        };
        if !(3..=12).contains(&strings.len()) {
            let message = format!("a tuning has 3 to 12 strings, this one has {}", strings.len());
            return fault(
                message,
                "write one open string after the other, the lowest first",
                whole(),
            );
        }
        let without = strings.iter().find(|string| string.octave.is_none());
        let Some(without) = without else {
            let pitches = strings.iter().filter_map(OpenString::pitch).collect();
            return Ok(Tuning { strings: pitches });
        };
        if strings.iter().any(|string| string.octave.is_some()) {
            let message = format!("string `{}` has no octave, others have one", without.note);
            return fault(message, "give every string its octave, or none", without.place.clone());
        }
        let notes: Vec<Note> = strings.iter().map(|string| string.note).collect();
        let Some(pitches) = usual_octaves(&notes) else {
            let message =
                format!("letters alone don't tell the octaves of {} strings", notes.len());
            return fault(message, "write them with octaves, such as `D3 G3 B3`", whole());
        };
        Ok(Tuning { strings: pitches }.called(names))
    }

    /// The same tuning, its notes by other names.
    #[must_use]
    pub fn called(self, names: Names) -> Tuning {
        Tuning { strings: self.strings.into_iter().map(|open| open.called(names)).collect() }
    }

    /// The names that its notes go by.
    pub fn names_of_notes(&self) -> Names {
        self.strings.first().map(|open| open.note.names).unwrap_or_default()
    }

    /// The tuning of a name, in any case, the word "tuning" behind it or not.
    fn known(name: &str) -> Option<Tuning> {
        let known = NAMES.iter().find(|known| known.is_called(name))?;
        Some(Tuning { strings: known.strings.split(' ').map(pitch).collect() })
    }

    /// The tuning's name where the trade has one: "standard", "drop D", "half a step down". Strings
    /// are told by their sound, not their spelling.
    pub fn name(&self) -> Option<&'static str> {
        NAMES.iter().find(|known| known.sounds_like(self)).map(|known| known.name)
    }

    /// The names that tunings have, each with its open strings.
    pub fn names() -> impl Iterator<Item = (&'static str, &'static str)> {
        NAMES.iter().map(|known| (known.name, known.strings))
    }

    /// Whether another string sounds lower than the lowest-placed one, as on a ukulele: then no string
    /// is the bass.
    pub fn is_reentrant(&self) -> bool {
        let mut strings = self.strings.iter().map(|string| string.midi());
        strings.next().is_some_and(|first| strings.any(|string| string < first))
    }

    /// The only string that is out of order with the others, and how it would be in order an octave higher or lower:
    /// in order are strings of which each is as high as the one before or higher, by a major sixth at most (assumed;
    /// usual tunings have a fifth). `None` where all are in order, where no octave of a single string brings them into
    /// it, and in a tuning that has a name.
    pub fn odd_octave(&self) -> Option<(StringIndex, Pitch)> {
        if in_order(&self.strings) || self.name().is_some() {
            return None;
        }
        let moved = |string: StringIndex, by: i8| {
            let open = self.open(string)?;
            let pitch = Pitch { octave: open.octave.saturating_add(by), ..open };
            let mut strings = self.strings.clone();
            *strings.get_mut(string.index())? = pitch;
            in_order(&strings).then_some((string, pitch))
        };
        let mut ways =
            self.indices().flat_map(|string| [moved(string, -1), moved(string, 1)]).flatten();
        ways.next().filter(|_| ways.next().is_none())
    }

    /// The scale length that is assumed for it where the header gives none, in mm: 864 for four or
    /// five strings whose lowest is below B1, 380 for four strings none of which is below G3, else
    /// 648 (language section 2).
    pub fn scale_length(&self) -> f64 {
        let lowest = self.strings.iter().map(|string| string.midi()).min();
        match self.len() {
            _ if self.is_bass() => 864.0,
            4 if lowest >= Some(pitch("G3").midi()) => 380.0,
            _ => 648.0,
        }
    }

    /// Whether it is a bass's: four or five strings whose lowest is below B1.
    pub fn is_bass(&self) -> bool {
        let lowest = self.strings.iter().map(|string| string.midi()).min();
        matches!(self.len(), 4 | 5) && lowest < Some(pitch("B1").midi())
    }

    /// The open strings, the lowest-placed first.
    pub fn strings(&self) -> &[Pitch] {
        &self.strings
    }

    /// How many strings there are, 3 to 12.
    #[expect(clippy::len_without_is_empty, reason = "no tuning is empty")]
    pub fn len(&self) -> usize {
        self.strings.len()
    }

    /// An open string.
    pub fn open(&self, string: StringIndex) -> Option<Pitch> {
        self.strings.get(string.index()).copied()
    }

    /// Every string, the lowest-placed first.
    pub fn indices(&self) -> impl DoubleEndedIterator<Item = StringIndex> + ExactSizeIterator {
        StringIndex::first(self.strings.len())
    }

    /// The number that players give a string: the highest-placed one is string 1.
    pub fn number(&self, string: StringIndex) -> usize {
        self.strings.len() - string.index()
    }

    /// The string that players number so, 1 being the highest-placed.
    pub fn string(&self, number: usize) -> Option<StringIndex> {
        let known = (1..=self.strings.len()).contains(&number);
        known.then(|| StringIndex::new(self.strings.len() - number))
    }
}

/// Why a text is not a tuning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TuningError {
    /// What is wrong, in a teacher's words.
    pub message: String,
    /// What would be right, where there is something to say.
    pub advice: Option<String>,
    /// The bytes of the text that it is about.
    pub place: Range<usize>,
}

/// One open string as it is written.
struct OpenString {
    note: Note,
    octave: Option<i8>,
    place: Range<usize>,
}

impl OpenString {
    fn pitch(&self) -> Option<Pitch> {
        self.octave.map(|octave| Pitch::new(self.note, octave))
    }
}

/// Reads open strings one after the other, whatever parts them.
fn read_strings(text: &str, names: Names) -> Result<Vec<OpenString>, TuningError> {
    let mut strings = Vec::new();
    let mut at = 0;
    for word in text.split(|c: char| c.is_whitespace() || c == ',') {
        read_word(word, (at, names), &mut strings)?;
        at += word.len();
        at += text.get(at..).and_then(|rest| rest.chars().next()).map_or(0, char::len_utf8);
    }
    Ok(strings)
}

/// Reads the open strings that are run together in a word, which begins at byte `at` of its text.
fn read_word(
    word: &str,
    (at, names): (usize, Names),
    strings: &mut Vec<OpenString>,
) -> Result<(), TuningError> {
    let fault = |message: String, advice: &str| {
        let place = at..at + word.len();
        Err(TuningError { message, advice: Some(advice.to_string()), place })
    };
    if names == Names::English && is_ambiguous(word) {
        let message = format!("a `b` in `{word}` may be a string or a flat");
        return fault(message, "write the strings in capitals, such as `EADGBE`");
    }
    let mut read = 0;
    while let Some(rest) = word.get(read..).filter(|rest| !rest.is_empty()) {
        let Some((note, length)) = names.read_any_case(rest) else {
            let message = format!("`{word}` is no open string");
            return fault(message, "write letters, `E A D G B E`, or octaves too, `E2 A2 D3 …`");
        };
        let behind = rest.get(length..).unwrap_or_default();
        let digits: String = behind.chars().take_while(char::is_ascii_digit).collect();
        let octave = digits.parse().ok().filter(|octave| (0..=8).contains(octave));
        if octave.is_none() && !digits.is_empty() {
            let message = format!("`{note}{digits}` is no string's pitch");
            return fault(message, "octaves are 0 to 8; middle C is `C4`");
        }
        let end = read + length + digits.len();
        strings.push(OpenString { note, octave, place: at + read..at + end });
        read = end;
    }
    Ok(())
}

/// Whether each string is as high as the one before, or higher by a major sixth at most.
fn in_order(strings: &[Pitch]) -> bool {
    strings.windows(2).all(|pair| match pair {
        [one, next] => (0..=9).contains(&(next.midi() - one.midi())),
        _ => true,
    })
}

/// Whether a word of several strings in small letters has a `b`, which may be a string or a flat.
fn is_ambiguous(word: &str) -> bool {
    let letters = || word.chars().filter(|c| c.is_ascii_alphabetic());
    let names_note = |c: char| Names::English.read_any_case(c.encode_utf8(&mut [0; 4])).is_some();
    let is_small = |c: char| c.is_ascii_lowercase() && c != 'b' && names_note(c);
    letters().count() > 2 && word.contains('b') && letters().any(is_small)
}

/// The octaves that letters alone take (language section 2): nearest to the usual strings, on a tie
/// the lower.
fn usual_octaves(notes: &[Note]) -> Option<Vec<Pitch>> {
    let ukulele = UKULELE.map(pitch);
    if notes.iter().eq(ukulele.iter().map(|string| &string.note)) {
        return Some(ukulele.to_vec());
    }
    let usual: &[&str] = match notes.len() {
        4 => FIVE.get(1..)?,
        5 => &FIVE,
        6 => &SIX,
        7 => EIGHT.get(1..)?,
        8 => &EIGHT,
        _ => return None,
    };
    Some(notes.iter().zip(usual).map(|(note, usual)| nearest(*note, pitch(usual))).collect())
}

/// The pitch of a note that lies nearest to another pitch, on a tie the lower.
fn nearest(note: Note, to: Pitch) -> Pitch {
    let distance = |octave: &i8| (Pitch::new(note, *octave).midi() - to.midi()).abs();
    let octave = (to.octave - 2..=to.octave + 2).min_by_key(distance).unwrap_or(to.octave);
    Pitch::new(note, octave)
}

const FIVE: [&str; 5] = ["B0", "E1", "A1", "D2", "G2"];
const SIX: [&str; 6] = ["E2", "A2", "D3", "G3", "B3", "E4"];
const EIGHT: [&str; 8] = ["F#1", "B1", "E2", "A2", "D3", "G3", "B3", "E4"];
const UKULELE: [&str; 4] = ["G4", "C4", "E4", "A4"];

/// A pitch of this file's own tables.
fn pitch(text: &str) -> Pitch {
    Pitch::parse(text).unwrap_or(Pitch::new(Note::new(Letter::C, 0), 4))
}

/// A tuning that the trade has a name for.
struct Known {
    name: &'static str,
    strings: &'static str,
}

impl Known {
    fn is_called(&self, text: &str) -> bool {
        let words: Vec<&str> = text.split_whitespace().collect();
        let plain = words.join(" ").to_lowercase().replace('♯', "#");
        plain.strip_suffix(" tuning").unwrap_or(&plain) == self.name.to_lowercase()
    }

    fn sounds_like(&self, tuning: &Tuning) -> bool {
        let own = self.strings.split(' ').map(|string| pitch(string).midi());
        own.eq(tuning.strings.iter().map(|string| string.midi()))
    }
}

/// The tunings that have names; textbook facts.
const NAMES: &[Known] = &[
    known("standard", "E2 A2 D3 G3 B3 E4"),
    known("drop D", "D2 A2 D3 G3 B3 E4"),
    known("double drop D", "D2 A2 D3 G3 B3 D4"),
    known("DADGAD", "D2 A2 D3 G3 A3 D4"),
    known("open D", "D2 A2 D3 F#3 A3 D4"),
    known("open D minor", "D2 A2 D3 F3 A3 D4"),
    known("open E", "E2 B2 E3 G#3 B3 E4"),
    known("open E minor", "E2 B2 E3 G3 B3 E4"),
    known("open G", "D2 G2 D3 G3 B3 D4"),
    known("open G minor", "D2 G2 D3 G3 Bb3 D4"),
    known("open A", "E2 A2 E3 A3 C#4 E4"),
    known("open C", "C2 G2 C3 G3 C4 E4"),
    known("half a step down", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4"),
    known("a whole step down", "D2 G2 C3 F3 A3 D4"),
    known("drop C#", "C#2 G#2 C#3 F#3 A#3 D#4"),
    known("drop C", "C2 G2 C3 F3 A3 D4"),
    known("all fourths", "E2 A2 D3 G3 C4 F4"),
    known("high-strung", "E3 A3 D4 G4 B3 E4"),
    known("baritone", "B1 E2 A2 D3 F#3 B3"),
    known("seven strings", "B1 E2 A2 D3 G3 B3 E4"),
    known("eight strings", "F#1 B1 E2 A2 D3 G3 B3 E4"),
    known("bass", "E1 A1 D2 G2"),
    known("bass, drop D", "D1 A1 D2 G2"),
    known("five-string bass", "B0 E1 A1 D2 G2"),
    known("six-string bass", "B0 E1 A1 D2 G2 C3"),
    known("ukulele", "G4 C4 E4 A4"),
    known("ukulele, low G", "G3 C4 E4 A4"),
    known("baritone ukulele", "D3 G3 B3 E4"),
    known("mandolin", "G3 D4 A4 E5"),
    known("tenor banjo", "C3 G3 D4 A4"),
    known("five-string banjo, open G", "G4 D3 G3 B3 D4"),
];

const fn known(name: &'static str, strings: &'static str) -> Known {
    Known { name, strings }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
