//! The slips that a hand makes when it writes a tab down, put into a sound riff's text.

mod bars;
mod notes;
mod riffs;

use super::chance::Chance;
use super::corpus::{Subject, Tone};
use super::sheet::{Bar, Sheet, System};
use std::ops::Range;

/// What slips.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    NoteFret,
    NoteTwoFrets,
    NoteString,
    NoteDigit,
    NoteAny,
    NoteMissing,
    NoteAdded,
    BarString,
    BarFret,
    BarOctave,
    BarLine,
    CountLost,
    ChordSymbol,
    UpsideDown,
    TuningOctave,
}

impl Kind {
    pub const ALL: [Kind; 15] = [
        Kind::NoteFret,
        Kind::NoteTwoFrets,
        Kind::NoteString,
        Kind::NoteDigit,
        Kind::NoteAny,
        Kind::NoteMissing,
        Kind::NoteAdded,
        Kind::BarString,
        Kind::BarFret,
        Kind::BarOctave,
        Kind::BarLine,
        Kind::CountLost,
        Kind::ChordSymbol,
        Kind::UpsideDown,
        Kind::TuningOctave,
    ];

    pub fn name(self) -> &'static str {
        match self {
            Kind::NoteFret => "a note a fret off",
            Kind::NoteTwoFrets => "a note two frets off",
            Kind::NoteString => "a note a string off",
            Kind::NoteDigit => "a note without a digit",
            Kind::NoteAny => "a note anywhere else",
            Kind::NoteMissing => "a note missing",
            Kind::NoteAdded => "a note too many",
            Kind::BarString => "a bar a string off",
            Kind::BarFret => "a bar a fret off",
            Kind::BarOctave => "a bar an octave off",
            Kind::BarLine => "a bar line one count off",
            Kind::CountLost => "a count lost with its column",
            Kind::ChordSymbol => "another chord symbol",
            Kind::UpsideDown => "the rows upside down",
            Kind::TuningOctave => "an octave of the tuning",
        }
    }

    /// Whether it is of one note.
    pub fn is_of_a_note(self) -> bool {
        matches!(
            self,
            Kind::NoteFret
                | Kind::NoteTwoFrets
                | Kind::NoteString
                | Kind::NoteDigit
                | Kind::NoteAny
                | Kind::NoteMissing
                | Kind::NoteAdded
        )
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
    /// The bar that it is in, by index; none where it is in all of them.
    pub bar: Option<usize>,
    /// The note that slipped, by index, and what it sounds now.
    pub note: Option<(usize, i32)>,
    /// Whether it is one beyond dispute, where that can't be told by its text.
    pub is_plain: bool,
}

/// A bar is slipped as a whole only where it has this many notes: with fewer the slip is one of notes.
const NOTES_IN_A_BAR: usize = 3;

/// Draws a slip of a kind. `None` where the place that is drawn has no room for it.
pub fn draw(kind: Kind, subject: &Subject, chance: &mut Chance) -> Option<Slip> {
    let sheet = Sheet::new(&subject.text);
    let way = *chance.one_of(&[Way::Up, Way::Down])?;
    if kind.is_of_a_note() {
        let indices: Vec<usize> = (0..subject.tones.len()).collect();
        let index = *chance.one_of(&indices)?;
        let note = notes::Chosen { index, tone: &subject.tones[index], strings: &subject.strings };
        return match kind {
            Kind::NoteFret => notes::other_fret(sheet, &note, kind, way, 1),
            Kind::NoteTwoFrets => notes::other_fret(sheet, &note, kind, way, 2),
            Kind::NoteAny => {
                let by = *chance.one_of(&[3, 4, 5, 6, 7])?;
                notes::other_fret(sheet, &note, kind, way, by)
            }
            Kind::NoteDigit => notes::digit_lost(sheet, &note, way),
            Kind::NoteMissing => notes::missing(sheet, &note),
            Kind::NoteAdded => notes::added(sheet, &note, chance),
            _ => notes::other_string(sheet, &note, way),
        };
    }
    match kind {
        Kind::UpsideDown => return riffs::upside_down(sheet),
        Kind::TuningOctave => return riffs::tuning_octave(sheet, subject, way, chance),
        _ => {}
    }
    let system = chance.one_of(&sheet.systems)?.clone();
    let bar = *chance.one_of(&system.bars)?;
    match kind {
        Kind::BarString => bars::other_string(sheet, &system, bar, way),
        Kind::BarFret => bars::other_frets(sheet, &system, bar, kind, step(way, 1)),
        Kind::BarOctave => bars::other_frets(sheet, &system, bar, kind, step(way, 12)),
        Kind::BarLine => bars::bar_line(sheet, &system, bar, way),
        Kind::ChordSymbol => riffs::chord_symbol(sheet, subject, &system, bar, chance),
        _ => bars::count_lost(sheet, &system, bar, chance),
    }
}

fn step(way: Way, frets: i16) -> i16 {
    match way {
        Way::Up => frets,
        Way::Down => -frets,
    }
}

fn moved(fret: u8, by: i16) -> Option<u8> {
    u8::try_from(i16::from(fret) + by).ok().filter(|fret| *fret <= 20)
}

impl Slip {
    fn at_note(
        kind: Kind,
        sheet: &Sheet,
        tone: &Tone,
        columns: Range<usize>,
        note: Option<(usize, i32)>,
    ) -> Slip {
        let (line, _) = sheet.place(tone.byte);
        let lines = lines_of(sheet.system_of(line));
        let (text, bar) = (sheet.text(), Some(tone.bar));
        Slip { kind, text, lines, columns, bar, note, is_plain: false }
    }

    fn in_bar(kind: Kind, sheet: &Sheet, system: &System, bar: Bar) -> Slip {
        let (columns, lines) = (bar.start..bar.end, lines_of(system));
        let (text, bar) = (sheet.text(), Some(bar.index));
        Slip { kind, text, lines, columns, bar, note: None, is_plain: false }
    }

    fn everywhere(kind: Kind, sheet: &Sheet) -> Slip {
        let lines = 0..sheet.lines.len();
        let (text, columns) = (sheet.text(), 0..usize::MAX);
        Slip { kind, text, lines, columns, bar: None, note: None, is_plain: true }
    }
}

fn lines_of(system: &System) -> Range<usize> {
    system.rows[0]..system.rows[system.rows.len() - 1] + 1
}

/// The columns of a fret and of what was written over it.
fn width(sheet: &Sheet, line: usize, column: usize, before: usize) -> Range<usize> {
    column..column + before.max(sheet.digits(line, column)).max(1)
}
