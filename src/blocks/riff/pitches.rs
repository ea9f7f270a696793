//! The notes of a `notes` row: `C#5`, a letter alone in the octave last written, `A4+C#5` together.

use super::columns::Cell;
use super::frets::Found;
use super::lines::Row;
use super::written::Heard;
use crate::findings::Span;
use crate::theory::{Names, Pitch};
use crate::words::help::{Sign, sign};

/// How notes are written.
pub(super) const SIGNS: [Sign; 3] = [
    sign("C#5", "a note; C4 is middle C"),
    sign("A", "in the octave last used"),
    sign("A4+C#5", "together"),
];

/// Why no note could be read; `None` where nothing more can be said than that it is none.
type Unread = Option<String>;

/// Reads the notes that sound together from a cell on. `octave` is the octave last written.
pub(super) fn read(
    row: &Row,
    index: usize,
    names: Names,
    octave: &mut Option<i8>,
) -> Result<Found, Unread> {
    let text =
        |index: usize| row.cells.get(index).filter(|cell| !cell.barred).map(|cell| cell.text);
    let bracket = text(index) == Some("(");
    let mut at = index + usize::from(bracket);
    let mut pitches: Vec<(Pitch, Span)> = Vec::new();
    loop {
        let (pitch, length) = read_pitch(&row.cells, (at, names), octave)?;
        pitches.push((pitch, row.span(row.column + at, row.column + at + length)));
        at += length;
        if text(at) != Some("+") {
            break;
        }
        at += 1;
    }
    if bracket {
        (text(at) == Some(")"))
            .then_some(())
            .ok_or_else(|| Some("this bracket isn't closed behind its note".to_string()))?;
        at += 1;
    }
    if pitches.len() > MOST_NOTES {
        return Err(Some(format!(
            "more than {MOST_NOTES} notes together, as no instrument has strings"
        )));
    }
    Ok(Found {
        heard: Heard::Pitches(pitches),
        too_high: None,
        ghost: bracket,
        length: at - index,
        inside: usize::from(bracket),
    })
}

/// More notes than this have no strings, whatever the tuning.
const MOST_NOTES: usize = 12;

/// No note has a name of more cells: `Sol##`.
const LONGEST_NAME: usize = 5;

/// Reads one note; returns how many cells it takes. A `b` right behind the letter is a flat, not a
/// bend.
fn read_pitch(
    cells: &[Cell],
    (index, names): (usize, Names),
    octave: &mut Option<i8>,
) -> Result<(Pitch, usize), Unread> {
    let free = || cells.iter().skip(index).map_while(|cell| (!cell.barred).then_some(cell.text));
    let first = free().next().ok_or(None)?;
    let text: String = free().take(LONGEST_NAME).collect();
    let Some((note, bytes)) = names.read(&text).filter(|_| first.len() == 1) else {
        let small = first.len() == 1 && first != "b" && names.read_any_case(&text).is_some();
        return Err(small.then(|| {
            format!("`{first}`: notes are written with capitals, `{}5`", first.to_uppercase())
        }));
    };
    let length = text.get(..bytes).map_or(0, |name| name.chars().count());
    let digit = free().nth(length).and_then(|text| text.parse::<i8>().ok());
    let written = digit.filter(|digit| (0..=9).contains(digit));
    *octave = written.or(*octave);
    let Some(octave) = *octave else {
        return Err(Some(format!(
            "`{note}` has no octave yet: write `{note}4`, the next letters follow it"
        )));
    };
    Ok((Pitch::new(note, octave), length + usize::from(written.is_some())))
}
