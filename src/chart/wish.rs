//! What a chart shall show, and reading it; what can't be read is told with the nearest that can.

use super::asked::Asked;
use super::blank::Blank;
use super::error::{ChartError, Unknown};
use super::shapes;
use crate::blocks::shape;
use crate::findings::nearest::nearest;
use crate::findings::source::Line;
use crate::lesson::numbers;
use crate::lesson::symbols::{slashed, symbols};
use crate::neck::{Fret, Instrument, StringIndex, Tuning};
use crate::theory::scale::SCALES;
use crate::theory::{Chord, Key, Names, Scale};
use std::ops::RangeInclusive;

/// What a chart shall show.
#[derive(Debug)]
pub enum Wish<'a> {
    /// The close triads of chords.
    Triads(Vec<Chord>),
    /// The ways to hold chords.
    Chords(Vec<Chord>),
    /// Scales on the neck.
    Scales(Vec<Scale>),
    /// The chords and scale positions of keys.
    Keys(Vec<Key>),
    /// Fingerings, named or checked.
    Shapes(Vec<shape::Wish<'a>>),
    /// Something to write on.
    Blank(Blank),
}

impl Wish<'_> {
    /// The key that all of it is in, where it is one.
    pub fn key(&self) -> Option<Key> {
        match self {
            Wish::Keys(keys) => keys.first().copied().filter(|_| keys.len() == 1),
            _ => None,
        }
    }
}

/// Where on the neck things are looked for.
#[derive(Debug, Clone)]
pub struct Within {
    /// The strings, by index, rising.
    pub strings: Vec<StringIndex>,
    /// The frets, where they are named.
    pub frets: Option<RangeInclusive<Fret>>,
    /// The fret that shapes shall be near to, where one is named.
    pub near: Option<Fret>,
    /// How many shapes a chord are kept, where that is named.
    pub keep: Option<usize>,
}

/// Reads chords by the names that notes go by, at least one.
///
/// # Errors
/// Says which symbol can't be read, and the nearest that can.
pub fn chords(what: &[String], names: Names) -> Result<Vec<Chord>, ChartError> {
    let what = some(what, "a chord: `A`, `F#m7`")?;
    let chord = |symbol: Line<'_>| {
        let name = symbol.text;
        names.chord(&slashed(name)).map_err(|error| ChartError::NoChord(name.to_owned(), error))
    };
    let text = what.join(" ");
    symbols(Line { text: &text, start: 0 }).into_iter().map(chord).collect()
}

/// Reads scales, at least one: each in one argument, or one of them in several.
///
/// # Errors
/// Says which can't be read, and the nearest that can.
pub fn scales(what: &[String], names: Names) -> Result<Vec<Scale>, ChartError> {
    let what = some(what, "a scale: `A minor pentatonic`")?;
    one_or_each(what, |name| names.scale(name))
        .map_err(|name| ChartError::NoScale(unknown(name, names)))
}

/// Reads keys, at least one: each in one argument, or one of them in several.
///
/// # Errors
/// Says which can't be read, and the nearest that can.
pub fn keys(what: &[String], names: Names) -> Result<Vec<Key>, ChartError> {
    let what = some(what, "a key: `A major`, `F#m`")?;
    one_or_each(what, |name| names.key(name))
        .map_err(|name| ChartError::NoKey(unknown(name, names)))
}

/// Reads fingerings, each with a name behind it or none.
///
/// # Errors
/// Says which can't be read, and how it is written.
pub fn fingerings(asked: &Asked) -> Result<Vec<shape::Wish<'_>>, ChartError> {
    let wishes: Vec<_> = asked.things().map(shapes::fingering).collect::<Result<_, _>>()?;
    if wishes.is_empty() {
        Err(ChartError::Nothing("a fingering: `\"x02420 Aadd9\"`"))
    } else {
        Ok(wishes)
    }
}

/// Reads what shall be left blank.
///
/// # Errors
/// Says what can be.
pub fn blank(what: &[String]) -> Result<Blank, ChartError> {
    let name = some(what, "`boxes`, `tab` or `neck`")?.join(" ");
    Blank::parse(&name).ok_or(ChartError::NoBlank(name))
}

fn some<'w>(what: &'w [String], example: &'static str) -> Result<&'w [String], ChartError> {
    if what.is_empty() { Err(ChartError::Nothing(example)) } else { Ok(what) }
}

/// All names together as one thing, or each as one; the name that can't be read where neither goes.
fn one_or_each<T>(what: &[String], read: impl Fn(&str) -> Option<T>) -> Result<Vec<T>, String> {
    if let Some(one) = read(&what.join(" ")) {
        return Ok(vec![one]);
    }
    what.iter().map(|name| read(name).ok_or_else(|| name.clone())).collect()
}

/// An unknown name, with the nearest known one on the same tonic.
fn unknown(name: String, names: Names) -> Unknown {
    let Some((tonic, length)) = names.read(name.trim()) else {
        return Unknown { name, tonic: None, near: None };
    };
    let rest = name.trim().get(length..).unwrap_or_default().trim().to_lowercase();
    let near = nearest(&rest, SCALES.iter().flat_map(|kind| kind.names.iter().copied()), 4);
    Unknown { name, tonic: Some(tonic), near }
}

/// Reads which strings: `1-3`, `3 2 1`, `1,2,3`; 1 is the highest. Gives indices, rising.
///
/// # Errors
/// Says what is no string of the tuning.
pub fn strings(text: &str, tuning: &Tuning) -> Result<Vec<StringIndex>, ChartError> {
    let none = || ChartError::NoStrings(text.to_owned(), tuning.len());
    numbers::strings(text, tuning).ok_or_else(none)
}

/// Reads which frets: `0-15`, `5`.
///
/// # Errors
/// Says that it is no range of frets on the instrument.
pub fn frets(text: &str, instrument: &Instrument) -> Result<RangeInclusive<Fret>, ChartError> {
    let last = instrument.last_fret();
    let found = numbers::range(text).filter(|(from, to)| from <= to && *to <= last);
    let (from, to) = found.ok_or_else(|| ChartError::NoFrets(text.to_owned(), last))?;
    Ok(from..=to)
}
