//! Reading what a chart shall show; what can't be read is told with the nearest that can.

use super::blank::Blank;
use crate::findings::nearest::nearest;
use crate::findings::source::Line;
use crate::lesson::numbers;
use crate::lesson::symbols::{slashed, symbols};
use crate::neck::{Instrument, Tuning};
use crate::theory::scale::SCALES;
use crate::theory::{Chord, Key, Note, Scale};
use std::ops::RangeInclusive;

/// What a chart shall show.
#[derive(Debug, Clone)]
pub enum Wish {
    /// The close triads of chords.
    Triads(Vec<Chord>),
    /// The ways to hold chords.
    Chords(Vec<Chord>),
    /// Scales on the neck.
    Scales(Vec<Scale>),
    /// The chords and scale positions of keys.
    Keys(Vec<Key>),
    /// Something to write on.
    Blank(Blank),
}

/// Where on the neck things are looked for.
#[derive(Debug, Clone)]
pub struct Within {
    /// The strings, by index, rising.
    pub strings: Vec<usize>,
    /// The frets, where they are named.
    pub frets: Option<RangeInclusive<u8>>,
    /// The fret that shapes shall be near to, where one is named.
    pub near: Option<u8>,
    /// How many shapes a chord are kept, where that is named.
    pub keep: Option<usize>,
}

/// Reads chords, at least one.
///
/// # Errors
/// Says which symbol can't be read, and the nearest that can.
pub fn chords(names: &[String]) -> Result<Vec<Chord>, String> {
    let names = some(names, "a chord: `A`, `F#m7`")?;
    let chord = |symbol: Line<'_>| {
        let name = symbol.text;
        Chord::parse(&slashed(name)).map_err(|error| {
            let advice = match error.meant.as_slice() {
                [near] => format!("; did you mean `{near}`?"),
                _ => String::new(),
            };
            format!("`{name}` is no chord: {}{advice}", error.message)
        })
    };
    let text = names.join(" ");
    symbols(Line { text: &text, start: 0 }).into_iter().map(chord).collect()
}

/// Reads scales, at least one: each in one argument, or one of them in several.
///
/// # Errors
/// Says which can't be read, and the nearest that can.
pub fn scales(names: &[String]) -> Result<Vec<Scale>, String> {
    let names = some(names, "a scale: `A minor pentatonic`")?;
    one_or_each(names, Scale::parse).map_err(|name| unknown(&name, "scale", scale_names()))
}

fn scale_names() -> impl Iterator<Item = &'static str> {
    SCALES.iter().flat_map(|kind| kind.names.iter().copied())
}

/// Reads keys, at least one: each in one argument, or one of them in several.
///
/// # Errors
/// Says which can't be read, and the nearest that can.
pub fn keys(names: &[String]) -> Result<Vec<Key>, String> {
    let names = some(names, "a key: `A major`, `F#m`")?;
    one_or_each(names, Key::parse).map_err(|name| unknown(&name, "key", scale_names()))
}

fn some<'n>(names: &'n [String], what: &str) -> Result<&'n [String], String> {
    if names.is_empty() { Err(format!("say what to chart, {what}")) } else { Ok(names) }
}

/// All names together as one thing, or each as one; the name that can't be read where neither goes.
fn one_or_each<T>(names: &[String], read: fn(&str) -> Option<T>) -> Result<Vec<T>, String> {
    if let Some(one) = read(&names.join(" ")) {
        return Ok(vec![one]);
    }
    names.iter().map(|name| read(name).ok_or_else(|| name.clone())).collect()
}

/// That a name is unknown, with the nearest one on the same tonic.
fn unknown(name: &str, what: &str, kinds: impl Iterator<Item = &'static str>) -> String {
    let Some((tonic, length)) = Note::read(name.trim()) else {
        return format!("`{name}` is no {what}: it begins with no note");
    };
    let rest = name.trim().get(length..).unwrap_or_default().trim().to_lowercase();
    let near = nearest(&rest, kinds, 4);
    let advice = near.map(|near| format!("; did you mean `{tonic} {near}`?"));
    format!("`{name}` is no {what}{}", advice.unwrap_or_default())
}

/// Reads which strings: `1-3`, `3 2 1`, `1,2,3`; 1 is the highest. Gives indices, rising.
///
/// # Errors
/// Says what is no string of the tuning.
pub fn strings(text: &str, tuning: &Tuning) -> Result<Vec<usize>, String> {
    numbers::strings(text, tuning).ok_or_else(|| {
        let count = tuning.len();
        format!("`{text}` names no strings: this tuning has 1 to {count}, as in `1-3`")
    })
}

/// Reads which frets: `0-15`, `5`.
///
/// # Errors
/// Says that it is no range of frets on the instrument.
pub fn frets(text: &str, instrument: &Instrument) -> Result<RangeInclusive<u8>, String> {
    let last = instrument.last_fret();
    let found = numbers::range(text).filter(|(from, to)| from <= to && *to <= last);
    let (from, to) = found
        .ok_or_else(|| format!("`{text}` names no frets: 0 to {last} are there, as in `0-12`"))?;
    Ok(from..=to)
}
