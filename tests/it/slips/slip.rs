//! The slips that a hand makes when it writes a tab down, put into a sound riff's text.

use super::chance::Chance;
use super::corpus::{Subject, Tone};
use super::sheet::{Bar, Sheet, System};
use std::ops::Range;

/// What slips.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    NoteFret,
    NoteString,
    BarString,
    BarFret,
    BarLine,
    CountLost,
}

impl Kind {
    pub const ALL: [Kind; 6] = [
        Kind::NoteFret,
        Kind::NoteString,
        Kind::BarString,
        Kind::BarFret,
        Kind::BarLine,
        Kind::CountLost,
    ];

    pub fn name(self) -> &'static str {
        match self {
            Kind::NoteFret => "a note a fret off",
            Kind::NoteString => "a note a string off",
            Kind::BarString => "a bar a string off",
            Kind::BarFret => "a bar a fret off",
            Kind::BarLine => "a bar line one count off",
            Kind::CountLost => "a count lost with its column",
        }
    }
}

/// Which way something slips: up the neck, towards the higher string, later.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Way {
    Up,
    Down,
}

/// A riff's text with one slip in it.
pub struct Slip {
    pub kind: Kind,
    pub text: String,
    /// The lines of the rows that share columns with it, from 0.
    pub lines: Range<usize>,
    /// The columns that it is in, from 0.
    pub columns: Range<usize>,
    /// The bar that it is in, by index.
    pub bar: usize,
    /// The note that slipped, by index, and what it sounds now.
    pub note: Option<(usize, i32)>,
}

/// A bar is slipped as a whole only where it has this many notes: with fewer the slip is one of notes.
const NOTES_IN_A_BAR: usize = 3;

/// Draws a slip of a kind. `None` where the place that is drawn has no room for it.
pub fn draw(kind: Kind, subject: &Subject, chance: &mut Chance) -> Option<Slip> {
    let sheet = Sheet::new(&subject.text);
    let way = *chance.one_of(&[Way::Up, Way::Down])?;
    match kind {
        Kind::NoteFret | Kind::NoteString => {
            let indices: Vec<usize> = (0..subject.tones.len()).collect();
            let index = *chance.one_of(&indices)?;
            let tone = &subject.tones[index];
            match kind {
                Kind::NoteFret => note_fret(sheet, index, tone, way),
                _ => note_string(sheet, index, tone, way),
            }
        }
        _ => {
            let system = chance.one_of(&sheet.systems)?.clone();
            let bar = *chance.one_of(&system.bars)?;
            match kind {
                Kind::BarString => bar_string(sheet, &system, bar, way),
                Kind::BarFret => bar_fret(sheet, &system, bar, way),
                Kind::BarLine => bar_line(sheet, &system, bar, way),
                _ => count_lost(sheet, &system, bar, chance),
            }
        }
    }
}

impl Slip {
    fn at_note(
        kind: Kind,
        sheet: &Sheet,
        tone: &Tone,
        columns: Range<usize>,
        note: (usize, i32),
    ) -> Slip {
        let (line, _) = sheet.place(tone.byte);
        let lines = lines_of(sheet.system_of(line));
        Slip { kind, text: sheet.text(), lines, columns, bar: tone.bar, note: Some(note) }
    }

    fn in_bar(kind: Kind, sheet: &Sheet, system: &System, bar: Bar) -> Slip {
        let columns = bar.start..bar.end;
        Slip {
            kind,
            text: sheet.text(),
            lines: lines_of(system),
            columns,
            bar: bar.index,
            note: None,
        }
    }
}

fn lines_of(system: &System) -> Range<usize> {
    system.rows[0]..system.rows[system.rows.len() - 1] + 1
}

fn slipped(fret: u8, way: Way) -> Option<u8> {
    match way {
        Way::Up => fret.checked_add(1),
        Way::Down => fret.checked_sub(1),
    }
}

fn note_fret(mut sheet: Sheet, index: usize, tone: &Tone, way: Way) -> Option<Slip> {
    let fret = slipped(tone.fret, way)?;
    let (line, column) = sheet.place(tone.byte);
    let width = sheet.digits(line, column);
    sheet.write_fret(line, column, fret)?;
    let columns = column..column + width.max(sheet.digits(line, column));
    let pitch = tone.pitch + i32::from(fret) - i32::from(tone.fret);
    Some(Slip::at_note(Kind::NoteFret, &sheet, tone, columns, (index, pitch)))
}

fn note_string(mut sheet: Sheet, index: usize, tone: &Tone, way: Way) -> Option<Slip> {
    let (from, column) = sheet.place(tone.byte);
    let strings = &sheet.system_of(from).strings;
    let row = strings.iter().position(|line| *line == from)?;
    let (to, string) = match way {
        Way::Up => (*strings.get(row.checked_sub(1)?)?, tone.string + 1),
        Way::Down => (*strings.get(row + 1)?, tone.string.checked_sub(1)?),
    };
    // A row may be left out, so the next row need not be the next string.
    if tone.joined || label(&sheet, to) != label_of(string, tone.open.len()) {
        return None;
    }
    let width = sheet.digits(from, column);
    let around = column - 1..column + width + 1;
    if sheet.lines[to].get(around)?.iter().any(|byte| !matches!(byte, b'-' | b'|' | b' ')) {
        return None;
    }
    let digits = sheet.lines[from][column..column + width].to_vec();
    sheet.lines[from][column..column + width].fill(b'-');
    sheet.lines[to][column..column + width].copy_from_slice(&digits);
    let pitch = tone.open[string] + i32::from(tone.fret);
    Some(Slip::at_note(Kind::NoteString, &sheet, tone, column..column + width, (index, pitch)))
}

fn label(sheet: &Sheet, line: usize) -> u8 {
    sheet.lines[line][0]
}

/// The label of a string on the instruments of the corpus: guitars and basses in standard tuning.
fn label_of(string: usize, strings: usize) -> u8 {
    let labels: &[u8] = if strings == 6 { b"EADGBe" } else { b"EADG" };
    labels[string]
}

fn bar_string(mut sheet: Sheet, system: &System, bar: Bar, way: Way) -> Option<Slip> {
    let mut rows: Vec<Vec<u8>> =
        system.strings.iter().map(|line| sheet.lines[*line][bar.start..bar.end].to_vec()).collect();
    let is_blank = |row: &Vec<u8>| row.iter().all(|byte| *byte == b'-');
    let falls_out = match way {
        Way::Up => rows.first()?,
        Way::Down => rows.last()?,
    };
    if !is_blank(falls_out) || notes_in(&sheet, system, bar).len() < NOTES_IN_A_BAR {
        return None;
    }
    match way {
        Way::Up => rows.rotate_left(1),
        Way::Down => rows.rotate_right(1),
    }
    for (line, row) in system.strings.iter().zip(&rows) {
        sheet.lines[*line][bar.start..bar.end].copy_from_slice(row);
    }
    Some(Slip::in_bar(Kind::BarString, &sheet, system, bar))
}

fn bar_fret(mut sheet: Sheet, system: &System, bar: Bar, way: Way) -> Option<Slip> {
    let notes = notes_in(&sheet, system, bar);
    if notes.len() < NOTES_IN_A_BAR {
        return None;
    }
    for (line, column) in notes {
        let digits = &sheet.lines[line][column..column + sheet.digits(line, column)];
        let fret: u8 = std::str::from_utf8(digits).ok()?.parse().ok()?;
        sheet.write_fret(line, column, slipped(fret, way)?)?;
    }
    Some(Slip::in_bar(Kind::BarFret, &sheet, system, bar))
}

/// The places of the notes of a bar.
fn notes_in(sheet: &Sheet, system: &System, bar: Bar) -> Vec<(usize, usize)> {
    let places =
        system.strings.iter().flat_map(|line| (bar.start..bar.end).map(|column| (*line, column)));
    let is_first_digit = |(line, column): &(usize, usize)| {
        let row = &sheet.lines[*line];
        row[*column].is_ascii_digit() && !row[column - 1].is_ascii_digit()
    };
    places.filter(is_first_digit).collect()
}

/// The bar line between a bar and the next one moves before the last count of the first, or behind the
/// first count of the second.
fn bar_line(mut sheet: Sheet, system: &System, bar: Bar, way: Way) -> Option<Slip> {
    let next = *system.bars.iter().find(|next| next.start == bar.end + 1)?;
    let to = match way {
        Way::Down => *system.counts(&sheet, bar).iter().skip(1).last()?,
        Way::Up => *system.counts(&sheet, next).get(1)? - 1,
    };
    for line in &system.rows {
        let line_end = sheet.lines[*line].remove(bar.end);
        sheet.lines[*line].insert(to, line_end);
    }
    let both = Bar { end: next.end, ..bar };
    Some(Slip::in_bar(Kind::BarLine, &sheet, system, both))
}

/// A count that has a note is lost with everything up to the next one. A count that bears a chord symbol
/// is not chosen: that would be two slips.
fn count_lost(mut sheet: Sheet, system: &System, bar: Bar, chance: &mut Chance) -> Option<Slip> {
    let counts = system.counts(&sheet, bar);
    let bears_note = |column: &usize| {
        system.strings.iter().any(|line| sheet.lines[*line][*column].is_ascii_digit())
    };
    let bears_chord =
        |column: &usize| system.chord.is_some_and(|line| sheet.lines[line][*column] != b' ');
    let chosen: Vec<usize> =
        counts.iter().copied().filter(|c| bears_note(c) && !bears_chord(c)).collect();
    let from = *chance.one_of(&chosen)?;
    let to = counts.iter().copied().find(|column| *column > from).unwrap_or(bar.end);
    for line in &system.rows {
        sheet.lines[*line].drain(from..to);
    }
    let shorter = Bar { end: bar.end - (to - from), ..bar };
    Some(Slip::in_bar(Kind::CountLost, &sheet, system, shorter))
}
