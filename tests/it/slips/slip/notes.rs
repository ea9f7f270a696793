//! Slips of one note.

use super::{Chance, Kind, Sheet, Slip, Tone, Way, moved, step, width};

/// A note that slips.
pub struct Chosen<'s> {
    pub index: usize,
    pub tone: &'s Tone,
    /// The names of the open strings, the lowest-placed first.
    pub strings: &'s [String],
}

impl Chosen<'_> {
    /// The note as it sounds so many half steps higher.
    fn sounding(&self, by: i16) -> Option<(usize, i32)> {
        Some((self.index, self.tone.pitch + i32::from(by)))
    }
}

pub fn other_fret(
    mut sheet: Sheet,
    note: &Chosen,
    kind: Kind,
    way: Way,
    frets: i16,
) -> Option<Slip> {
    let (tone, by) = (note.tone, step(way, frets));
    let (line, column) = sheet.place(tone.byte);
    let before = sheet.digits(line, column);
    sheet.write_fret(line, column, moved(tone.fret, by)?)?;
    let columns = width(&sheet, line, column, before);
    Some(Slip::at_note(kind, &sheet, tone, columns, note.sounding(by)))
}

/// One of a fret's two digits is lost; the other stays in the first column.
pub fn digit_lost(mut sheet: Sheet, note: &Chosen, way: Way) -> Option<Slip> {
    let tone = note.tone;
    let left = match way {
        Way::Up => tone.fret % 10,
        Way::Down => tone.fret / 10,
    };
    let (line, column) = sheet.place(tone.byte);
    if tone.fret < 10 || sheet.digits(line, column) != 2 {
        return None;
    }
    sheet.write_fret(line, column, left)?;
    let by = i16::from(left) - i16::from(tone.fret);
    let columns = column..column + 2;
    Some(Slip::at_note(Kind::NoteDigit, &sheet, tone, columns, note.sounding(by)))
}

pub fn other_string(mut sheet: Sheet, note: &Chosen, way: Way) -> Option<Slip> {
    let (index, tone) = (note.index, note.tone);
    let (from, column) = sheet.place(tone.byte);
    let strings = &sheet.system_of(from).strings;
    let row = strings.iter().position(|line| *line == from)?;
    let (to, string) = match way {
        Way::Up => (*strings.get(row.checked_sub(1)?)?, tone.string + 1),
        Way::Down => (*strings.get(row + 1)?, tone.string.checked_sub(1)?),
    };
    // A row may be left out, so the next row need not be the next string.
    if tone.joined || !is_label_of(&sheet, to, note.strings.get(string)?) {
        return None;
    }
    let digits = sheet.digits(from, column);
    let around = column - 1..column + digits + 1;
    if sheet.lines[to].get(around)?.iter().any(|byte| !matches!(byte, b'-' | b'|' | b' ')) {
        return None;
    }
    let written = sheet.lines[from][column..column + digits].to_vec();
    sheet.lines[from][column..column + digits].fill(b'-');
    sheet.lines[to][column..column + digits].copy_from_slice(&written);
    let pitch = tone.open[string] + i32::from(tone.fret);
    let columns = column..column + digits;
    Some(Slip::at_note(Kind::NoteString, &sheet, tone, columns, Some((index, pitch))))
}

/// Whether a row is labelled with a string's name, with or without its octave.
fn is_label_of(sheet: &Sheet, line: usize, string: &str) -> bool {
    let row = &sheet.lines[line];
    let label: Vec<u8> = row.iter().copied().take_while(|byte| *byte != b' ').collect();
    let label = String::from_utf8(label).unwrap().to_uppercase();
    let string = string.to_uppercase();
    label == string || label == string.trim_end_matches(|sign: char| sign.is_ascii_digit())
}

pub fn missing(mut sheet: Sheet, note: &Chosen) -> Option<Slip> {
    let tone = note.tone;
    let (line, column) = sheet.place(tone.byte);
    let digits = sheet.digits(line, column);
    let is_dash = |column: usize| sheet.lines[line].get(column) == Some(&b'-');
    if tone.joined || !is_dash(column.checked_sub(1)?) || !is_dash(column + digits) {
        return None;
    }
    sheet.lines[line][column..column + digits].fill(b'-');
    let columns = column..column + digits;
    Some(Slip::at_note(Kind::NoteMissing, &sheet, tone, columns, None))
}

/// A note on the next count of the bar that has none, on the note's string.
pub fn added(mut sheet: Sheet, note: &Chosen, chance: &mut Chance) -> Option<Slip> {
    let tone = note.tone;
    let (line, column) = sheet.place(tone.byte);
    let system = sheet.system_of(line).clone();
    let bar = *system.bars.iter().find(|bar| (bar.start..bar.end).contains(&column))?;
    let is_free = |at: &usize| {
        let near = at.saturating_sub(1)..at + 2;
        system
            .strings
            .iter()
            .all(|row| sheet.lines[*row].get(near.clone()).is_some_and(|three| three == b"---"))
    };
    let free: Vec<usize> = system.counts(&sheet, bar).into_iter().filter(is_free).collect();
    let at = *chance.one_of(&free)?;
    let fret = *chance.one_of(&[tone.fret, tone.fret + 1, tone.fret + 2, tone.fret + 3])?;
    sheet.write_fret_into_dashes(line, at, fret)?;
    Some(Slip::at_note(Kind::NoteAdded, &sheet, tone, at..at + 1, None))
}
