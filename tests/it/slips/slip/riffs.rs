//! Slips of what holds for many notes: a chord symbol, the order of the rows, the tuning.

use super::super::judge;
use super::{Bar, Chance, Kind, Sheet, Slip, Subject, System, Tone, Way};
use fretleaf::theory::Chord;

/// What is on the string rows stands in the opposite order under their labels.
pub fn upside_down(mut sheet: Sheet) -> Option<Slip> {
    for system in sheet.systems.clone() {
        let start = system.bars.first()?.start;
        let contents: Vec<Vec<u8>> =
            system.strings.iter().map(|line| sheet.lines[*line][start..].to_vec()).collect();
        if contents.len() < 4 {
            return None;
        }
        for (line, content) in system.strings.iter().zip(contents.iter().rev()) {
            sheet.lines[*line].truncate(start);
            sheet.lines[*line].extend(content);
        }
    }
    Some(Slip::everywhere(Kind::UpsideDown, &sheet))
}

/// A string of the tuning is named in another octave. Rows that are labelled with octaves would say so
/// themselves, so there the tuning isn't changed.
pub fn tuning_octave(
    mut sheet: Sheet,
    subject: &Subject,
    way: Way,
    chance: &mut Chance,
) -> Option<Slip> {
    let labels = |system: &System| system.strings.clone();
    let has_octave = |line: &usize| {
        sheet.lines[*line].get(1..3).is_some_and(|label| label.iter().any(u8::is_ascii_digit))
    };
    if sheet.systems.iter().flat_map(labels).any(|line| has_octave(&line)) {
        return None;
    }
    let strings: Vec<usize> = (0..subject.strings.len()).collect();
    let wrong = *chance.one_of(&strings)?;
    let by = if way == Way::Up { 1 } else { -1 };
    let name = |(index, name): (usize, &String)| {
        let letters = name.trim_end_matches(|sign: char| sign.is_ascii_digit());
        let octave: i32 = name[letters.len()..].parse().unwrap();
        format!("{letters}{}", if index == wrong { octave + by } else { octave })
    };
    let names: Vec<String> = subject.strings.iter().enumerate().map(name).collect();
    let line = format!("tuning: {}", names.join(" ")).into_bytes();
    match sheet.lines.iter().position(|line| line.starts_with(b"tuning:")) {
        Some(at) => sheet.lines[at] = line,
        None => sheet.lines.insert(1, line),
    }
    Some(Slip::everywhere(Kind::TuningOctave, &sheet))
}

/// A chord symbol has another letter, of the same length so that no column moves.
pub fn chord_symbol(
    mut sheet: Sheet,
    subject: &Subject,
    system: &System,
    bar: Bar,
    chance: &mut Chance,
) -> Option<Slip> {
    let line = system.chord?;
    let row = sheet.lines[line].clone();
    let begins = |column: &usize| {
        row.get(*column).is_some_and(|byte| *byte != b' ')
            && (*column == bar.start || row[column - 1] == b' ')
    };
    let starts: Vec<usize> = (bar.start..bar.end).filter(begins).collect();
    let at = *chance.one_of(&starts)?;
    let end = starts.iter().copied().find(|start| *start > at).unwrap_or(bar.end);
    let letter = *chance.one_of(b"ABCDEFG")?;
    sheet.lines[line][at] = letter;
    let symbol = String::from_utf8(sheet.lines[line][at..end].to_vec()).ok()?;
    let chord = Chord::parse(symbol.trim()).ok()?;
    let under: Vec<&Tone> = subject
        .tones
        .iter()
        .filter(|tone| tone.bar == bar.index)
        .filter(|tone| (at..end).contains(&Sheet::new(&subject.text).place(tone.byte).1))
        .collect();
    let is_plain = letter != row[at] && judge::contradicts(&under, &chord);
    let slip = Slip::in_bar(Kind::ChordSymbol, &sheet, system, Bar { start: at, end, ..bar });
    (letter != row[at]).then_some(Slip { is_plain, ..slip })
}
