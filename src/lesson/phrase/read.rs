//! Reading a phrase: which of the forms its words have.

use super::{Frets, NoteName, Numerals, Part, Phrase, Sign, Subject, Way};
use crate::findings::source::{Line, Spanned};
use crate::lesson::fret_row::FretRow;
use crate::lesson::numbers::{bars_of, without_the};
use crate::lesson::symbols::{self, symbols};
use crate::neck::Fret;
use crate::theory::interval::IntervalName;
use crate::theory::{Chord, Names, Pitch};
use crate::words::help::{self, sign};

/// A longer span is no phrase, in bytes.
const LONGEST: usize = 500;

/// Reads a span as a phrase, its notes by their names; `None` where it is none of the forms.
pub fn read(text: &str, names: Names) -> Option<Phrase> {
    if text.len() > LONGEST {
        return None;
    }
    let whole = Line { text, start: 0 }.trimmed();
    let read = |forms: &[Form]| forms.iter().find_map(|form| (form.read)(whole, names));
    read(FIRST).or_else(|| statement(whole, names)).or_else(|| read(OTHERS))
}

/// The forms that phrases have, each in use.
pub fn signs() -> Vec<help::Sign> {
    let forms = OTHERS.iter().chain(FIRST).flat_map(|form| form.signs);
    forms.chain(STATEMENTS.iter().flat_map(|form| form.signs)).copied().collect()
}

/// A form of a whole phrase, and phrases that have it.
struct Form {
    read: fn(Line, Names) -> Option<Phrase>,
    signs: &'static [help::Sign],
}

/// A form of the two sides of a statement, and statements that have it; either side may come first.
struct Statement {
    read: fn(Line, Line, Sign, Names) -> Option<Phrase>,
    signs: &'static [help::Sign],
}

/// What is looked for first, since a block may be called as a note is.
const FIRST: &[Form] = &[
    Form {
        read: |whole, _| bars_of_block(whole),
        signs: &[sign("bar 2 of the hook", "the block has that bar; or `bars 1 to 2 of`")],
    },
    Form { read: begins, signs: &[sign("the hook begins on A", "its first note; or `starts on`")] },
];

const STATEMENTS: &[Statement] = &[
    Statement {
        read: |left, right, _, names| bars_hold(left, right, names),
        signs: &[sign("bar 2 of verse is F#m7", "the chords of those bars")],
    },
    Statement {
        read: |left, right, _, names| function(left, right, names),
        signs: &[
            sign("F#m7 is vi7", "the numeral in the key in force"),
            sign("F#m7 is ii7 in E major", "the numeral in the key named"),
        ],
    },
    Statement {
        read: |left, right, _, names| degree(left, right, names),
        signs: &[sign("C# is the third of A", "the degree in a chord, scale or key")],
    },
    Statement {
        read: |left, right, _, names| distance(left, right, names),
        signs: &[sign("C# to E is a minor third", "the interval, upwards; or `down` behind it")],
    },
    Statement {
        read: |left, right, _, names| sounds(left, right, names),
        signs: &[sign("x02420 is Aadd9", "the frets sound that chord")],
    },
    Statement {
        read: |left, right, _, names| same_chord(left, right, names),
        signs: &[sign("Am7 is C6/A", "two names of one chord")],
    },
    Statement {
        read: tones,
        signs: &[
            sign("A = A C# E", "the chord's tones, spelled right, the root first"),
            sign("A minor pentatonic = A C D E G", "the same for a scale"),
            sign("A C# E is A", "the notes sound that chord"),
        ],
    },
    Statement {
        read: |left, right, _, names| same_note(left, right, names),
        signs: &[sign("C# is Db", "two names of one note")],
    },
    Statement { read: |left, right, _, names| unread_chord(left, right, names), signs: &[] },
    Statement {
        read: |left, right, sign, names| {
            (sign == Sign::Equals).then(|| block_holds(left, right, names))?
        },
        signs: &[sign("verse = A F#m7 D E", "all chords of a block")],
    },
];

const OTHERS: &[Form] = &[
    Form {
        read: within,
        signs: &[
            sign("C# E in F#m7", "every note is a tone of that chord or scale"),
            sign("ii7 V7 in E major", "numerals in a key"),
        ],
    },
    Form { read: contains, signs: &[sign("F#m7 contains C# E", "the same, the other way round")] },
    Form {
        read: |whole, names| chords(whole, names).map(Phrase::Chords),
        signs: &[
            sign("A F#m7 D", "chords can be read; printed as symbols"),
            sign("A over C#", "a slash chord, as `A/C#` is"),
        ],
    },
    Form {
        read: |whole, names| notes(whole, names).map(Phrase::Notes),
        signs: &[sign("A C# E", "notes; `E2 A2` with their octaves")],
    },
    Form { read: scale, signs: &[sign("A minor pentatonic", "a scale or key")] },
    Form {
        read: |whole, _| fingering(whole).map(Phrase::Fingering),
        signs: &[sign("x02420", "a fret for each string, the lowest first")],
    },
    Form {
        read: |whole, names| numerals(whole, names).map(Phrase::Numerals),
        signs: &[
            sign("ii7 V7 I", "numerals, printed with their chords in the key"),
            sign("I6 V65 V7/ii", "with figures, and dominants of other steps"),
            sign("N6 Ger+6 subV7/ii", "`It+6` and `Fr+6` too"),
        ],
    },
    Form {
        read: |whole, _| lone_interval(without_article(whole)),
        signs: &[sign("minor third", "an interval or degree; `b3`, `#11` too")],
    },
    Form {
        read: |whole, _| block(whole),
        signs: &[sign("the hook", "a block of that name is there")],
    },
];

/// Reads `A is B`, `A = B`; either side may come first.
fn statement(whole: Line, names: Names) -> Option<Phrase> {
    let equals = whole.split_once("=").map(|sides| (Sign::Equals, sides));
    let is = || {
        whole
            .split_once(" is ")
            .or_else(|| whole.split_once(" are "))
            .map(|sides| (Sign::Is, sides))
    };
    let (sign, (left, right)) = equals.or_else(is)?;
    STATEMENTS.iter().find_map(|form| {
        (form.read)(left, right, sign, names).or_else(|| (form.read)(right, left, sign, names))
    })
}

/// Reads `C# E in F#m7`, `C# is in A`, `ii7 V7 in E major`.
fn within(whole: Line, names: Names) -> Option<Phrase> {
    let (left, right) = whole.split_once(" in ")?;
    if let Some(numerals) = numerals(whole, names) {
        return Some(Phrase::Numerals(numerals));
    }
    let left = ["is", "are"].iter().find_map(|verb| before(left, verb)).unwrap_or(left);
    notes_within(left, without_words(right, "key"), names)
}

/// Reads `A contains C#`, `Am7 contains the notes C E`.
fn contains(whole: Line, names: Names) -> Option<Phrase> {
    let (left, right) = whole.split_once(" contains ")?;
    let named = without_article(right);
    let named = ["note", "notes"].iter().find_map(|word| behind(named, word)).unwrap_or(right);
    notes_within(named, left, names)
}

fn notes_within(listed: Line, right: Line, names: Names) -> Option<Phrase> {
    let notes = notes(listed, names)?;
    match subject(right, names) {
        Some(subject) => Some(Phrase::Within { notes, subject }),
        None => not_a_chord(right, names),
    }
}

fn scale(whole: Line, names: Names) -> Option<Phrase> {
    let named = without_article(whole);
    names.scale(named.text).map(|scale| Phrase::Scale(part(named, scale)))
}

/// An interval by itself; a bare figure is more likely a number.
fn lone_interval(named: Line) -> Option<Phrase> {
    let is_figure = named.text.bytes().all(|byte| byte.is_ascii_digit());
    let name = IntervalName::parse(named.text).filter(|_| !is_figure)?;
    Some(Phrase::Interval(part(named, name)))
}

fn function(left: Line, right: Line, names: Names) -> Option<Phrase> {
    let numerals = numerals(right, names)?;
    let in_words = || chord(left, names).map(|chord| vec![part(left, chord)]);
    let Some(chords) = chords(left, names).or_else(in_words) else {
        return not_a_chord(left, names);
    };
    (chords.len() == numerals.list.len()).then_some(Phrase::Function { chords, numerals })
}

fn degree(left: Line, right: Line, names: Names) -> Option<Phrase> {
    let (name, of) = right.split_once(" of ")?;
    let name = without_article(name);
    let name = part(name, IntervalName::parse(name.text)?);
    let note = part(left, note(left.text, names)?);
    match subject(of, names) {
        Some(subject) => Some(Phrase::Degree { note, name, subject }),
        None => not_a_chord(of, names),
    }
}

fn distance(left: Line, right: Line, names: Names) -> Option<Phrase> {
    let (from, to) = left.split_once(" to ")?;
    let (from, before) = way_behind(from);
    let (right, behind) = way_behind(right);
    let name = part(right, IntervalName::parse(right.text)?);
    let (from, to) = (part(from, note(from.text, names)?), part(to, note(to.text, names)?));
    Some(Phrase::Distance { from, to, name, way: behind.or(before).unwrap_or(Way::Up) })
}

/// Takes `up` or `down` off the end of a text.
fn way_behind(text: Line) -> (Line, Option<Way>) {
    let ways = [("up", Way::Up), ("down", Way::Down)];
    let found = ways.iter().find_map(|(word, way)| Some((before(text, word)?, Some(*way))));
    found.unwrap_or((text, None))
}

fn sounds(left: Line, right: Line, names: Names) -> Option<Phrase> {
    let fingering = fingering(left)?;
    match chord(right, names) {
        Some(chord) => Some(Phrase::Sounds { fingering, chord: part(right, chord) }),
        None => not_a_chord(right, names),
    }
}

/// Reads what has tones on the left, and the tones on the right. One letter against another says
/// nothing of tones.
fn tones(left: Line, right: Line, sign: Sign, names: Names) -> Option<Phrase> {
    let (subject, notes) = (subject(without_words(left, "notes"), names)?, notes(right, names)?);
    let letters_alone = notes.len() == 1 && names.note(left.text).is_some();
    (!letters_alone).then_some(Phrase::Tones { subject, notes, sign })
}

fn same_note(left: Line, right: Line, names: Names) -> Option<Phrase> {
    Some(Phrase::SameNote(
        part(left, note(left.text, names)?),
        part(right, note(right.text, names)?),
    ))
}

/// Reads two chords, neither of them a letter alone, which might be a note.
fn same_chord(left: Line, right: Line, names: Names) -> Option<Phrase> {
    let named = |text: Line| {
        let chord = chord(text, names).filter(|_| names.note(text.text).is_none())?;
        Some(part(text, chord))
    };
    Some(Phrase::SameChord(named(left)?, named(right)?))
}

/// Reads several notes on the right; only a chord could stand on the left.
fn unread_chord(left: Line, right: Line, names: Names) -> Option<Phrase> {
    notes(right, names).filter(|notes| notes.len() > 1)?;
    not_a_chord(left, names)
}

/// What looks like a symbol and isn't one.
fn not_a_chord(text: Line, names: Names) -> Option<Phrase> {
    let looks_so = names.read(text.text).is_some() && !text.text.contains(char::is_whitespace);
    if !looks_so {
        return None;
    }
    let error = names.chord(text.text).err()?;
    Some(Phrase::NotAChord(part(text, error)))
}

fn subject(text: Line, names: Names) -> Option<Part<Subject>> {
    let subject = match (chord(text, names), names.scale(text.text)) {
        (Some(chord), Some(scale)) => Subject::Either(chord, scale),
        (Some(chord), None) => Subject::Chord(chord),
        (None, Some(scale)) => Subject::Scale(scale),
        (None, None) => return None,
    };
    Some(part(text, subject))
}

/// Reads one chord: `F#m7`, `A over C#`, `A major`, `A minor`.
fn chord(text: Line, names: Names) -> Option<Chord> {
    if let Some((over, bass)) = text.split_once(" over ") {
        let chord = chord(over, names).filter(|chord| chord.bass.is_none())?;
        return Chord::of(chord.root, &chord.suffix, Some(names.note(bass.text)?)).ok();
    }
    let in_words = || {
        let (root, length) = names.read(text.text)?;
        let suffix = match text.text.get(length..)?.trim_start() {
            "major" => "",
            "minor" => "m",
            _ => return None,
        };
        Chord::of(root, suffix, None).ok()
    };
    names.chord_or_else(text.text).or_else(in_words)
}

/// Reads one chord in any form, or several symbols.
fn chords(text: Line, names: Names) -> Option<Vec<Part<Chord>>> {
    let has_words = text.text.ends_with("major") || text.text.ends_with("minor");
    let one = || chord(text, names).filter(|_| !has_words).map(|chord| vec![part(text, chord)]);
    one().or_else(|| all(symbols(text).into_iter(), |symbol| symbols::chord(symbol, names)))
}

fn note(text: &str, names: Names) -> Option<NoteName> {
    let plain = names.note(text).map(|note| NoteName { note, octave: None });
    let with_octave = |pitch: Pitch| NoteName { note: pitch.note, octave: Some(pitch.octave) };
    plain.or_else(|| Pitch::parse_as(text, names).map(with_octave))
}

fn notes(text: Line, names: Names) -> Option<Vec<Part<NoteName>>> {
    list(text, |text| note(text, names))
}

/// Reads a fret for each string, run together or parted by spaces.
fn fingering(text: Line) -> Option<Part<Frets>> {
    let row = FretRow::read(text).ok()?;
    let fret = |fret: &Spanned<Option<u32>>| {
        let number = fret.value.map(u8::try_from).transpose().ok()?;
        Some(number.map(Fret::new))
    };
    let frets: Frets = row.frets.iter().map(fret).collect::<Option<_>>()?;
    (3..=12).contains(&frets.len()).then(|| part(text, frets))
}

fn numerals(text: Line, names: Names) -> Option<Numerals> {
    let (steps, key) = match text.split_once(" in ") {
        Some((steps, key)) => {
            let key = without_words(key, "key");
            (steps, Some(part(key, names.key(key.text)?)))
        }
        None => (text, None),
    };
    let steps = without_article(steps);
    let dashed = || {
        let is_gap = |c: char| c.is_whitespace() || matches!(c, ',' | '-' | '–' | '—');
        all(steps.pieces(is_gap), |numeral| names.numeral(numeral))
    };
    Some(Numerals { list: list(steps, |numeral| names.numeral(numeral)).or_else(dashed)?, key })
}

/// Reads `bar 2 of the hook`, `bars 1 to 2 of hook`, `bars 1-2 of hook`.
fn bars_of_block(whole: Line) -> Option<Phrase> {
    let (bars, name) = bars_of(whole)?;
    reference(without_the(name), Some(bars))
}

/// Reads `the hook`.
fn block(whole: Line) -> Option<Phrase> {
    reference(whole.after("the")?, None)
}

fn reference(name: Line, bars: Option<(u32, u32)>) -> Option<Phrase> {
    Some(Phrase::Reference { name: block_name(name)?, bars })
}

/// Reads `bar 2 of verse is F#m7`.
fn bars_hold(left: Line, right: Line, names: Names) -> Option<Phrase> {
    let (bars, name) = bars_of(left)?;
    Some(Phrase::Holds {
        name: block_name(without_the(name))?,
        bars: Some(bars),
        chords: chords(right, names)?,
    })
}

/// Reads `verse = A F#m7 D`.
fn block_holds(left: Line, right: Line, names: Names) -> Option<Phrase> {
    Some(Phrase::Holds {
        name: block_name(without_the(left))?,
        bars: None,
        chords: chords(right, names)?,
    })
}

/// Reads `the hook begins on A`.
fn begins(whole: Line, names: Names) -> Option<Phrase> {
    let verbs = [" begins on ", " starts on "];
    let (name, tone) = verbs.iter().find_map(|verb| whole.split_once(verb))?;
    let tone = part(tone, note(tone.text, names)?);
    Some(Phrase::Begins { name: block_name(without_the(name))?, note: tone })
}

fn block_name(name: Line) -> Option<Part<String>> {
    let is_name = name.text.starts_with(char::is_alphabetic)
        && name.text.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'));
    is_name.then(|| part(name, name.text.to_lowercase()))
}

/// The text behind a word at its front, which is written so.
fn behind<'t>(text: Line<'t>, word: &str) -> Option<Line<'t>> {
    let (first, rest) = text.first_word();
    (first.text == word && !rest.text.is_empty()).then_some(rest)
}

/// The text before a word at its end, which is written so.
fn before<'t>(text: Line<'t>, word: &str) -> Option<Line<'t>> {
    let (rest, last) = text.last_word();
    (last.text == word && !rest.text.is_empty()).then_some(rest)
}

/// The text without an article before it; `A` is a note.
fn without_article(text: Line) -> Line {
    ["a", "an", "the"].iter().find_map(|article| behind(text, article)).unwrap_or(text)
}

/// The text without words such as `the key of`, `the notes of` before it.
fn without_words<'t>(text: Line<'t>, word: &str) -> Line<'t> {
    behind(without_article(text), word).and_then(|rest| behind(rest, "of")).unwrap_or(text)
}

fn part<T>(text: Line, value: T) -> Part<T> {
    Part { value, place: text.start..text.start + text.text.len() }
}

/// Every word read alike, at least one; they are parted by spaces or commas.
fn list<T>(text: Line, read: impl Fn(&str) -> Option<T>) -> Option<Vec<Part<T>>> {
    all(text.pieces(|c| c.is_whitespace() || c == ','), read)
}

/// Every piece read alike, at least one.
fn all<'t, T>(
    pieces: impl Iterator<Item = Line<'t>>,
    read: impl Fn(&str) -> Option<T>,
) -> Option<Vec<Part<T>>> {
    let parts = pieces.map(|piece| Some(part(piece, read(piece.text)?)));
    parts.collect::<Option<Vec<_>>>().filter(|list| !list.is_empty())
}
