//! The notes of a string row: frets, harmonics and muted strokes, with the brackets around them.

use super::columns::Cell;
use super::written::Heard;
use crate::music::tab::Sound;
use crate::neck::Fret;

/// The highest fret that a harmonic is written over: the longest neck of the language. A neck may
/// end before it, since only the string is touched.
const LAST_HARMONIC: u32 = 36;

/// A note found among cells.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub heard: Heard,
    pub too_high: Option<u32>,
    pub ghost: bool,
    /// How many cells it takes, brackets included.
    pub length: usize,
    /// How many of them are brackets before it.
    pub inside: usize,
}

impl Found {
    /// A muted stroke in one cell.
    fn muted() -> Found {
        Found {
            heard: Heard::Sound(Sound::Muted),
            too_high: None,
            ghost: false,
            length: 1,
            inside: 0,
        }
    }
}

/// Reads a note, a ghost in its brackets.
pub(super) fn read_note(cells: &[Cell], index: usize) -> Option<Found> {
    let bare = |index: usize| cells.get(index).filter(|cell| !cell.barred);
    let text = |index: usize| bare(index).map(|cell| cell.text);
    if let "(" = text(index)? {
        let inner = read_plain(cells, index + 1)?;
        (text(index + 1 + inner.length)? == ")").then_some(())?;
        return Some(Found {
            ghost: true,
            length: inner.length + 2,
            inside: inner.inside + 1,
            ..inner
        });
    }
    read_plain(cells, index)
}

/// Reads a fret, a harmonic or a muted stroke.
fn read_plain(cells: &[Cell], index: usize) -> Option<Found> {
    let text = |index: usize| cells.get(index).filter(|cell| !cell.barred).map(|cell| cell.text);
    let plain = Found::muted();
    match text(index)? {
        "x" | "X" => Some(plain),
        "<" => {
            let (fret, length) = read_number(cells, index + 1)?;
            (text(index + 1 + length)? == ">").then_some(())?;
            let heard = Heard::Sound(Sound::Harmonic(fret_of(fret)));
            let too_high = (fret > LAST_HARMONIC).then_some(fret);
            Some(Found { heard, too_high, length: length + 2, inside: 1, ..plain })
        }
        _ => {
            let (fret, length) = read_number(cells, index)?;
            let heard = Heard::Sound(Sound::Fret(fret_of(fret)));
            let too_high = u8::try_from(fret).is_err().then_some(fret);
            Some(Found { heard, too_high, length, ..plain })
        }
    }
}

/// The fret of a number, or the highest that there is where the number is higher.
fn fret_of(number: u32) -> Fret {
    Fret::new(u8::try_from(number).unwrap_or(u8::MAX))
}

/// Reads digits that touch; returns their number and how many they are.
fn read_number(cells: &[Cell], index: usize) -> Option<(u32, usize)> {
    let digits = cells.iter().skip(index).map_while(|cell| cell.digit().filter(|_| !cell.barred));
    digits.fold(None, |read, digit| {
        let (number, length) = read.unwrap_or((0_u32, 0));
        Some((number.saturating_mul(10).saturating_add(digit), length + 1))
    })
}
