//! Slips of a bar, its line or one of its counts.

use super::{Bar, Chance, Kind, NOTES_IN_A_BAR, Sheet, Slip, System, Way, moved};

pub fn other_string(mut sheet: Sheet, system: &System, bar: Bar, way: Way) -> Option<Slip> {
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

pub fn other_frets(
    mut sheet: Sheet,
    system: &System,
    bar: Bar,
    kind: Kind,
    by: i16,
) -> Option<Slip> {
    let notes = notes_in(&sheet, system, bar);
    if notes.len() < NOTES_IN_A_BAR {
        return None;
    }
    for (line, column) in notes {
        let digits = &sheet.lines[line][column..column + sheet.digits(line, column)];
        let fret: u8 = std::str::from_utf8(digits).ok()?.parse().ok()?;
        sheet.write_fret(line, column, moved(fret, by)?)?;
    }
    Some(Slip::in_bar(kind, &sheet, system, bar))
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
pub fn bar_line(mut sheet: Sheet, system: &System, bar: Bar, way: Way) -> Option<Slip> {
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
pub fn count_lost(
    mut sheet: Sheet,
    system: &System,
    bar: Bar,
    chance: &mut Chance,
) -> Option<Slip> {
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
