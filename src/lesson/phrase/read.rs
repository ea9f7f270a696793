//! Reading a phrase: which of the forms its words have.

use super::{Frets, NoteName, Numerals, Part, Phrase, Sign, Subject, Way};
use crate::findings::source::{Line, Spanned};
use crate::lesson::fret_row::FretRow;
use crate::lesson::numbers::{bars_of, without_the};
use crate::lesson::symbols::{self, symbols};
use crate::neck::Fret;
use crate::theory::interval::IntervalName;
use crate::theory::{Chord, Key, Note, Numeral, Pitch, Scale};

/// A longer span is no phrase, in bytes.
const LONGEST: usize = 500;

/// Reads a span as a phrase; `None` where it is none of the forms.
pub fn read(text: &str) -> Option<Phrase> {
    if text.len() > LONGEST {
        return None;
    }
    let whole = Line { text, start: 0 }.trimmed();
    bars_of_block(whole)
        .or_else(|| begins(whole))
        .or_else(|| statement(whole))
        .or_else(|| within(whole))
        .or_else(|| contains(whole))
        .or_else(|| thing(whole))
        .or_else(|| block(whole))
}

/// Reads `A is B`, `A = B`; either side may come first.
fn statement(whole: Line) -> Option<Phrase> {
    let equals = whole.split_once("=").map(|sides| (Sign::Equals, sides));
    let is = || {
        whole
            .split_once(" is ")
            .or_else(|| whole.split_once(" are "))
            .map(|sides| (Sign::Is, sides))
    };
    let (sign, (left, right)) = equals.or_else(is)?;
    let either_way =
        |read: fn(Line, Line) -> Option<Phrase>| read(left, right).or_else(|| read(right, left));
    either_way(bars_hold)
        .or_else(|| either_way(function))
        .or_else(|| either_way(degree))
        .or_else(|| either_way(distance))
        .or_else(|| either_way(sounds))
        .or_else(|| same_chord(left, right))
        .or_else(|| tones(left, right, sign))
        .or_else(|| tones(right, left, sign))
        .or_else(|| same_note(left, right))
        .or_else(|| either_way(unread_chord))
        .or_else(|| (sign == Sign::Equals).then(|| either_way(block_holds))?)
}

/// Reads `C# E in F#m7`, `C# is in A`, `ii7 V7 in E major`.
fn within(whole: Line) -> Option<Phrase> {
    let (left, right) = whole.split_once(" in ")?;
    if let Some(numerals) = numerals(whole) {
        return Some(Phrase::Numerals(numerals));
    }
    let left = ["is", "are"].iter().find_map(|verb| before(left, verb)).unwrap_or(left);
    notes_within(left, without_words(right, "key"))
}

/// Reads `A contains C#`, `Am7 contains the notes C E`.
fn contains(whole: Line) -> Option<Phrase> {
    let (left, right) = whole.split_once(" contains ")?;
    let named = without_article(right);
    let named = ["note", "notes"].iter().find_map(|word| behind(named, word)).unwrap_or(right);
    notes_within(named, left)
}

fn notes_within(listed: Line, right: Line) -> Option<Phrase> {
    let notes = notes(listed)?;
    match subject(right) {
        Some(subject) => Some(Phrase::Within { notes, subject }),
        None => not_a_chord(right),
    }
}

/// Reads one thing, or several of a kind, of which nothing is said.
fn thing(whole: Line) -> Option<Phrase> {
    let named = without_article(whole);
    chords(whole)
        .map(Phrase::Chords)
        .or_else(|| notes(whole).map(Phrase::Notes))
        .or_else(|| Scale::parse(named.text).map(|scale| Phrase::Scale(part(named, scale))))
        .or_else(|| fingering(whole).map(Phrase::Fingering))
        .or_else(|| numerals(whole).map(Phrase::Numerals))
        .or_else(|| lone_interval(named))
}

/// An interval by itself; a bare figure is more likely a number.
fn lone_interval(named: Line) -> Option<Phrase> {
    let is_figure = named.text.bytes().all(|byte| byte.is_ascii_digit());
    let name = IntervalName::parse(named.text).filter(|_| !is_figure)?;
    Some(Phrase::Interval(part(named, name)))
}

fn function(left: Line, right: Line) -> Option<Phrase> {
    let numerals = numerals(right)?;
    let in_words = || chord(left).map(|chord| vec![part(left, chord)]);
    let Some(chords) = chords(left).or_else(in_words) else {
        return not_a_chord(left);
    };
    (chords.len() == numerals.list.len()).then_some(Phrase::Function { chords, numerals })
}

fn degree(left: Line, right: Line) -> Option<Phrase> {
    let (name, of) = right.split_once(" of ")?;
    let name = without_article(name);
    let name = part(name, IntervalName::parse(name.text)?);
    let note = part(left, note(left.text)?);
    match subject(of) {
        Some(subject) => Some(Phrase::Degree { note, name, subject }),
        None => not_a_chord(of),
    }
}

fn distance(left: Line, right: Line) -> Option<Phrase> {
    let (from, to) = left.split_once(" to ")?;
    let (from, before) = way_behind(from);
    let (right, behind) = way_behind(right);
    let name = part(right, IntervalName::parse(right.text)?);
    let (from, to) = (part(from, note(from.text)?), part(to, note(to.text)?));
    Some(Phrase::Distance { from, to, name, way: behind.or(before).unwrap_or(Way::Up) })
}

/// Takes `up` or `down` off the end of a text.
fn way_behind(text: Line) -> (Line, Option<Way>) {
    let ways = [("up", Way::Up), ("down", Way::Down)];
    let found = ways.iter().find_map(|(word, way)| Some((before(text, word)?, Some(*way))));
    found.unwrap_or((text, None))
}

fn sounds(left: Line, right: Line) -> Option<Phrase> {
    let fingering = fingering(left)?;
    match chord(right) {
        Some(chord) => Some(Phrase::Sounds { fingering, chord: part(right, chord) }),
        None => not_a_chord(right),
    }
}

/// Reads what has tones on the left, and the tones on the right. One letter against another says
/// nothing of tones.
fn tones(left: Line, right: Line, sign: Sign) -> Option<Phrase> {
    let (subject, notes) = (subject(without_words(left, "notes"))?, notes(right)?);
    let letters_alone = notes.len() == 1 && Note::parse(left.text).is_some();
    (!letters_alone).then_some(Phrase::Tones { subject, notes, sign })
}

fn same_note(left: Line, right: Line) -> Option<Phrase> {
    Some(Phrase::SameNote(part(left, note(left.text)?), part(right, note(right.text)?)))
}

/// Reads two chords, neither of them a letter alone, which might be a note.
fn same_chord(left: Line, right: Line) -> Option<Phrase> {
    let named = |text: Line| {
        let chord = chord(text).filter(|_| Note::parse(text.text).is_none())?;
        Some(part(text, chord))
    };
    Some(Phrase::SameChord(named(left)?, named(right)?))
}

/// Reads several notes on the right; only a chord could stand on the left.
fn unread_chord(left: Line, right: Line) -> Option<Phrase> {
    notes(right).filter(|notes| notes.len() > 1)?;
    not_a_chord(left)
}

/// What looks like a symbol and isn't one.
fn not_a_chord(text: Line) -> Option<Phrase> {
    let looks_so = Note::read(text.text).is_some() && !text.text.contains(char::is_whitespace);
    if !looks_so {
        return None;
    }
    let error = Chord::parse(text.text).err()?;
    Some(Phrase::NotAChord(part(text, error)))
}

fn subject(text: Line) -> Option<Part<Subject>> {
    let subject = match (chord(text), Scale::parse(text.text)) {
        (Some(chord), Some(scale)) => Subject::Either(chord, scale),
        (Some(chord), None) => Subject::Chord(chord),
        (None, Some(scale)) => Subject::Scale(scale),
        (None, None) => return None,
    };
    Some(part(text, subject))
}

/// Reads one chord: `F#m7`, `A over C#`, `A major`, `A minor`.
fn chord(text: Line) -> Option<Chord> {
    if let Some((over, bass)) = text.split_once(" over ") {
        let chord = chord(over).filter(|chord| chord.bass.is_none())?;
        return Chord::of(chord.root, &chord.suffix, Some(Note::parse(bass.text)?)).ok();
    }
    let in_words = || {
        let (root, length) = Note::read(text.text)?;
        let suffix = match text.text.get(length..)?.trim_start() {
            "major" => "",
            "minor" => "m",
            _ => return None,
        };
        Chord::of(root, suffix, None).ok()
    };
    Chord::read(text.text).or_else(in_words)
}

/// Reads one chord in any form, or several symbols.
fn chords(text: Line) -> Option<Vec<Part<Chord>>> {
    let has_words = text.text.ends_with("major") || text.text.ends_with("minor");
    let one = || chord(text).filter(|_| !has_words).map(|chord| vec![part(text, chord)]);
    one().or_else(|| all(symbols(text).into_iter(), symbols::chord))
}

fn note(text: &str) -> Option<NoteName> {
    let plain = Note::parse(text).map(|note| NoteName { note, octave: None });
    let with_octave = |pitch: Pitch| NoteName { note: pitch.note, octave: Some(pitch.octave) };
    plain.or_else(|| Pitch::parse(text).map(with_octave))
}

fn notes(text: Line) -> Option<Vec<Part<NoteName>>> {
    list(text, note)
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

fn numerals(text: Line) -> Option<Numerals> {
    let (steps, key) = match text.split_once(" in ") {
        Some((steps, key)) => {
            let key = without_words(key, "key");
            (steps, Some(part(key, Key::parse(key.text)?)))
        }
        None => (text, None),
    };
    let steps = without_article(steps);
    let dashed = || {
        let is_gap = |c: char| c.is_whitespace() || matches!(c, ',' | '-' | '–' | '—');
        all(steps.pieces(is_gap), Numeral::parse)
    };
    Some(Numerals { list: list(steps, Numeral::parse).or_else(dashed)?, key })
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
fn bars_hold(left: Line, right: Line) -> Option<Phrase> {
    let (bars, name) = bars_of(left)?;
    Some(Phrase::Holds {
        name: block_name(without_the(name))?,
        bars: Some(bars),
        chords: chords(right)?,
    })
}

/// Reads `verse = A F#m7 D`.
fn block_holds(left: Line, right: Line) -> Option<Phrase> {
    Some(Phrase::Holds { name: block_name(without_the(left))?, bars: None, chords: chords(right)? })
}

/// Reads `the hook begins on A`.
fn begins(whole: Line) -> Option<Phrase> {
    let verbs = [" begins on ", " starts on "];
    let (name, tone) = verbs.iter().find_map(|verb| whole.split_once(verb))?;
    let tone = part(tone, note(tone.text)?);
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
