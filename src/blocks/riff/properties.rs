//! Riffs at random: sound ones raise nothing, one slip raises its own rule at its own place, and
//! no text at all is too strange.
#![allow(clippy::unwrap_used)]

use super::testing::{Reading, fixed};
use crate::findings::Finding;
use crate::music::tab::Sound;
use proptest::prelude::*;

/// How many columns a count takes.
const WIDTH: usize = 5;
const STRINGS: [&str; 6] = ["e", "B", "G", "D", "A", "E"];

/// A note by its bar, count and row, and how it is written.
#[derive(Debug, Clone)]
struct Note {
    bar: usize,
    count: usize,
    row: usize,
    text: String,
}

/// A well-formed riff.
#[derive(Debug, Clone)]
struct SoundRiff {
    beats: usize,
    parts: usize,
    bars: usize,
    notes: Vec<Note>,
}

impl SoundRiff {
    fn counts(&self) -> usize {
        self.beats * self.parts
    }

    /// The rows: the count first, then the strings from the highest.
    fn rows(&self) -> Vec<Vec<char>> {
        let mut rows = vec![self.count_row()];
        for (row, label) in STRINGS.iter().enumerate() {
            let mut cells: Vec<char> = format!("{label:7}").chars().collect();
            for _ in 0..self.bars {
                cells.extend("-".repeat(self.counts() * WIDTH).chars());
                cells.push('|');
            }
            for note in self.notes.iter().filter(|note| note.row == row) {
                for (offset, sign) in note.text.chars().enumerate() {
                    cells[self.column(note.bar, note.count) + offset] = sign;
                }
            }
            rows.push(cells);
        }
        rows
    }

    fn count_row(&self) -> Vec<char> {
        let parts: &[&str] = match self.parts {
            1 => &[],
            2 => &["&"],
            3 => &["la", "li"],
            _ => &["e", "&", "a"],
        };
        let mut row = format!("{:7}", "count");
        for _ in 0..self.bars {
            for beat in 1..=self.beats {
                row.push_str(&format!("{beat:<WIDTH$}"));
                for part in parts {
                    row.push_str(&format!("{part:<WIDTH$}"));
                }
            }
            row.push('|');
        }
        row.chars().collect()
    }

    fn column(&self, bar: usize, count: usize) -> usize {
        7 + bar * (self.counts() * WIDTH + 1) + count * WIDTH
    }

    fn meter(&self) -> String {
        format!("{}/4", self.beats)
    }

    fn findings(&self, text: &str) -> Vec<Finding> {
        Reading::of(text).meter(&self.meter()).read().1
    }
}

fn text(rows: &[Vec<char>]) -> String {
    let lines: Vec<String> = rows.iter().map(|row| row.iter().collect()).collect();
    format!("~~~ riff\n{}\n", lines.join("\n"))
}

/// The byte of a column of a row; the text is ASCII.
fn byte(rows: &[Vec<char>], row: usize, column: usize) -> usize {
    "~~~ riff\n".len() + rows[..row].iter().map(|row| row.len() + 1).sum::<usize>() + column
}

fn note_text() -> impl Strategy<Value = String> {
    prop_oneof![
        8 => (0_u8..=22).prop_map(|fret| fret.to_string()),
        1 => Just("x".to_string()),
        1 => (0_u8..=9).prop_map(|fret| format!("({fret})")),
        1 => prop_oneof![Just("<5>".to_string()), Just("<7>".to_string())],
        1 => Just("5h7".to_string()),
    ]
}

fn sound_riff() -> impl Strategy<Value = SoundRiff> {
    (2_usize..=7, 1_usize..=4, 1_usize..=5).prop_flat_map(|(beats, parts, bars)| {
        let note = (0..bars, 0..beats * parts, 0..STRINGS.len(), note_text())
            .prop_map(|(bar, count, row, text)| Note { bar, count, row, text });
        prop::collection::vec(note, 1..30).prop_map(move |mut notes| {
            notes.sort_by_key(|note| (note.row, note.bar, note.count));
            notes.dedup_by_key(|note| (note.row, note.bar, note.count));
            SoundRiff { beats, parts, bars, notes }
        })
    })
}

/// Asserts that the one finding is of a rule and marks `length` columns from a place.
fn check(
    riff: &SoundRiff,
    rows: &[Vec<char>],
    rule: &str,
    at: (usize, usize),
    length: usize,
) -> Finding {
    let text = text(rows);
    let findings = riff.findings(&text);
    let start = byte(rows, at.0, at.1);
    assert_eq!(findings.len(), 1, "{text}\n{findings:#?}");
    assert_eq!(findings[0].rule.name, rule, "{text}");
    assert_eq!((findings[0].span.start, findings[0].span.end), (start, start + length), "{text}");
    findings[0].clone()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn sound_riffs_raise_nothing(riff in sound_riff()) {
        let text = text(&riff.rows());
        let read = Reading::of(&text).meter(&riff.meter()).clean();
        prop_assert_eq!(read.bars.len(), riff.bars);
        let events = read.bars.iter().flat_map(|bar| &bar.events);
        prop_assert_eq!(events.map(|event| event.notes.len()).sum::<usize>(), riff.notes.len());
    }

    #[test]
    fn every_note_is_read_at_its_count(riff in sound_riff()) {
        let text = text(&riff.rows());
        let read = Reading::of(&text).meter(&riff.meter()).clean();
        for note in &riff.notes {
            let bar = &read.bars[note.bar];
            let at = bar.counts[note.count].at;
            let event = bar.events.iter().find(|event| event.at == at).unwrap();
            let string = STRINGS.len() - 1 - note.row;
            let found = event.notes.iter().find(|found| found.string.index() == string).unwrap();
            let written = match found.sound {
                _ if !found.graces.is_empty() => "5h7".to_string(),
                Sound::Fret(fret) if found.ghost => format!("({fret})"),
                Sound::Fret(fret) => fret.to_string(),
                Sound::Harmonic(fret) => format!("<{fret}>"),
                Sound::Muted => "x".to_string(),
            };
            prop_assert_eq!(&written, &note.text);
        }
    }

    #[test]
    fn a_note_moved_is_adrift_and_is_moved_back(riff in sound_riff(), pick in any::<prop::sample::Index>()) {
        let note = pick.get(&riff.notes);
        let mut rows = riff.rows();
        let column = riff.column(note.bar, note.count);
        let length = note.text.len();
        rows[note.row + 1][column..=column + length].rotate_right(1);
        let marked = if note.text == "5h7" { 1 } else { length };
        let finding = check(&riff, &rows, "column-adrift", (note.row + 1, column + 1), marked);
        prop_assert_eq!(fixed(&text(&rows), &finding, 0), text(&riff.rows()));
    }

    #[test]
    fn a_bar_line_moved_is_adrift_and_is_moved_back(riff in sound_riff(), row in 1_usize..=6, bar in any::<prop::sample::Index>()) {
        let mut rows = riff.rows();
        let column = riff.column(bar.index(riff.bars) + 1, 0) - 1;
        rows[row].swap(column - 1, column);
        let finding = check(&riff, &rows, "bar-adrift", (row, column - 1), 1);
        prop_assert_eq!(fixed(&text(&rows), &finding, 0), text(&riff.rows()));
    }

    #[test]
    fn a_beat_too_many_is_told(riff in sound_riff(), bar in any::<prop::sample::Index>()) {
        let mut rows = riff.rows();
        let column = riff.column(bar.index(riff.bars), (riff.beats - 1) * riff.parts);
        rows[0][column] = char::from(b'1' + u8::try_from(riff.beats).unwrap());
        check(&riff, &rows, "bar-length", (0, column), 1);
    }

    #[test]
    fn a_falling_count_is_told(riff in sound_riff(), bar in any::<prop::sample::Index>(), beat in any::<prop::sample::Index>()) {
        let mut rows = riff.rows();
        let beat = 1 + beat.index(riff.beats - 1);
        let column = riff.column(bar.index(riff.bars), beat * riff.parts);
        rows[0][column] = '1';
        check(&riff, &rows, "count-order", (0, column), 1);
    }

    #[test]
    fn a_fret_off_the_neck_is_told(mut riff in sound_riff(), pick in any::<prop::sample::Index>(), fret in 23_u8..=99) {
        let index = pick.index(riff.notes.len());
        riff.notes[index].text = fret.to_string();
        let note = riff.notes[index].clone();
        let column = riff.column(note.bar, note.count);
        check(&riff, &riff.rows(), "fret-range", (note.row + 1, column), 2);
    }

    #[test]
    fn an_unknown_row_is_told(riff in sound_riff(), row in 0_usize..=7) {
        let mut rows = riff.rows();
        rows.insert(row, "lefft  1".chars().collect());
        let finding = check(&riff, &rows, "row-label", (row, 0), 5);
        prop_assert_eq!(&finding.notes[0], "did you mean `left`?");
    }

    #[test]
    fn a_tab_character_is_told(riff in sound_riff(), row in 0_usize..=6, pick in any::<prop::sample::Index>()) {
        let mut rows = riff.rows();
        let blank = |column: &usize| matches!(rows[row][*column], ' ' | '-');
        let blanks: Vec<usize> = (1..rows[row].len()).filter(blank).collect();
        let column = *pick.get(&blanks);
        rows[row][column] = '\t';
        check(&riff, &rows, "tab-character", (row, column), 1);
    }

    #[test]
    fn no_text_is_too_strange(
        lines in prop::collection::vec("(count|chord|e|B|G|left|pick|mute|ring|sung|words|ending|meter|meant|notes)?[ |:()<>0-9hptbrx~./\\\\&eala'+=*A-G#\t\u{e9}\u{301}-]{0,40}", 0..12),
        head in "(over verse|pickup|over v bars 1-9|near fret 3|[ -~]{0,12})",
        meter in prop_oneof![Just("4/4"), Just("6/8"), Just("1/32"), Just("32/1")],
    ) {
        let text = format!("~~~ riff {head}\n{}\n", lines.join("\n"));
        let (_, findings) = Reading::of(&text).meter(meter).over("verse", "A|D E").read();
        for finding in &findings {
            prop_assert!(text.get(finding.span.start..finding.span.end).is_some(), "{finding:?}");
            for fix in &finding.fixes {
                prop_assert!(text.get(fix.span.start..fix.span.end).is_some(), "{finding:?}");
            }
        }
    }

    #[test]
    fn any_characters_are_read(rows in prop::collection::vec("\\PC{0,30}", 0..8)) {
        let text = format!("~~~ riff\ncount 1 2\n{}\n", rows.join("\n"));
        Reading::of(&text).read();
    }
}
