//! Remarks to the player that stand behind a row or beneath a system: kept with the bar and the string
//! that they speak of, or with the beat.

use super::letters;
use super::lines_beside::{self, Mark};
use super::pieces::{Cue, Stack};
use super::slots::{self, Slot};
use super::system::System;

/// A remark about a system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Remark {
    pub text: String,
    pub place: RemarkPlace,
}

/// Where a remark stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RemarkPlace {
    /// Behind a row, by its index.
    Behind(usize),
    /// Above and beneath the system, at a column of the text.
    Above(usize),
    Beneath(usize),
}

/// How many spaces part what is held from a remark behind it.
const GAP: &str = "   ";

/// How far a line beneath a system is set in that speaks of what stands above it, in columns.
const INDENT: usize = 3;

/// How far from a note a remark may stand to speak of it, in columns.
const BESIDE: usize = 1;

/// Signs that point from a remark to what stands above it.
const UP: [char; 2] = ['^', '↑'];

/// Signs that point from a remark to what it speaks of.
const ARROWS: [&str; 7] = ["<-", "<=", "->", "-->", "=>", "←", "→"];

/// Whether words begin with an arrow that points to a row.
pub(super) fn is_pointing(words: &str) -> bool {
    ARROWS.iter().any(|arrow| {
        let behind = words.strip_prefix(arrow).map(|rest| rest.trim_start_matches(['-', '>']));
        behind.is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '!', '?']))
            || behind.is_some_and(|rest| rest.starts_with(char::is_alphabetic))
    })
}

/// Whether a line of words beneath a system is set in so far that it speaks of what stands above it.
pub(super) fn is_set_in(line: &str) -> bool {
    line.chars().take_while(|c| *c == ' ').count() >= INDENT
}

/// Whether a line points to what stands above it. One that begins at the margin points to no column.
pub(super) fn points_up(line: &str) -> bool {
    line.starts_with(' ') && line.trim_start().starts_with(UP)
}

/// The remarks of a line beneath a system, each with the column of the sign that points up from it, or its own.
pub(super) fn parts_beneath(line: &str) -> Vec<Mark> {
    let pointed = |(column, text): Mark| {
        let up = text.chars().position(|c| UP.contains(&c));
        (column + up.unwrap_or(0), text)
    };
    parts(line).into_iter().map(pointed).collect()
}

/// The remarks of a line with their columns: wide gaps part them. Signs without words are parted by any.
pub(super) fn parts(line: &str) -> Vec<Mark> {
    parts_apart(line, if line.contains(char::is_alphanumeric) { GAP.len() } else { 1 })
}

/// The parts of a line between which so many spaces stand or more.
fn parts_apart(line: &str, fewest: usize) -> Vec<Mark> {
    let mut parts: Vec<Mark> = Vec::new();
    let mut gap = usize::MAX;
    for (column, character) in line.chars().enumerate() {
        match parts.last_mut().filter(|_| gap < fewest) {
            _ if character == ' ' => {
                gap = gap.saturating_add(1);
                continue;
            }
            Some((_, part)) => *part += &format!("{}{character}", " ".repeat(gap)),
            None => parts.push((column, character.to_string())),
        }
        gap = 0;
    }
    parts
}

/// A line that says what is held and something else beside it, parted; each part keeps its columns.
/// Words without dashes behind them come first and stand further apart from what else is said.
pub(super) fn parted(line: &str) -> Option<Vec<String>> {
    let is_held = |part: &str| lines_beside::held(part).is_some();
    let has_dashes = |part: &str| is_held(part) && !part.ends_with(char::is_alphabetic);
    let wide = Some(parts_apart(line, GAP.len()));
    let wide = wide.filter(|parts| parts.first().is_some_and(|(_, part)| is_held(part)));
    wide.and_then(|parts| alternating(parts, is_held))
        .or_else(|| alternating(parts_apart(line, GAP.len() - 1), has_dashes))
        .or_else(|| behind_signs(line))
}

/// A line of counts, strokes or fingers with words behind them, in brackets or further apart, parted.
fn behind_signs(line: &str) -> Option<Vec<String>> {
    let is_signs = |front: &str| {
        lines_beside::counts(front).is_some()
            || lines_beside::strokes(front).is_some()
            || letters::fingers(front).is_some()
    };
    let behind = |at: usize| {
        let (front, words) = line.split_at_checked(at)?;
        let indent = " ".repeat(front.chars().count());
        let parted = is_signs(front) && words.contains(char::is_alphabetic);
        parted.then(|| vec![front.trim_end().to_string(), format!("{indent}{}", words)])
    };
    let bracket = line.find(" (");
    bracket.and_then(behind).or_else(|| line.rfind(GAP).and_then(behind))
}

/// Parts of a line as lines of their own, those side by side that are of one kind on one; `None` where all
/// are of one kind.
fn alternating(parts: Vec<Mark>, kind: impl Fn(&str) -> bool) -> Option<Vec<String>> {
    let groups = parts.chunk_by(|one, next| kind(&one.1) == kind(&next.1));
    let line = |group: &[Mark]| {
        group.iter().fold(String::new(), |line, (column, part)| {
            format!("{line}{}{part}", " ".repeat(column - line.chars().count()))
        })
    };
    let lines: Vec<String> = groups.map(line).collect();
    (lines.len() > 1).then_some(lines)
}

/// The remarks about a system, each with its bar and its string or its beat; so many bars come before.
/// Accents that stand at no notes are remarks too, and what has gone `astray`: chords, counts, strokes, letters.
pub(super) fn told(
    stack: &Stack,
    system: &System<'_>,
    slots: &[Vec<Slot<'_>>],
    labels: &[String],
    before: usize,
    astray: &[Mark],
) -> Vec<String> {
    let at = |side: &str, column: usize| {
        if column > system.end() {
            return format!("behind bar {}", before + system.bars.len());
        }
        let bar = system.bars.partition_point(|bar| bar.from <= column + 1).max(1);
        let beat = slots.get(bar - 1).map(|slots| beat(slots, column)).unwrap_or_default();
        format!("{side} bar {}{beat}", before + bar)
    };
    let line = |remark: &Remark| match remark.place {
        RemarkPlace::Behind(row) => {
            let label = labels.get(row).map_or("", String::as_str);
            let bar = before + system.bars.len();
            format!("behind bar {bar}, string {label}: {}", remark.text)
        }
        RemarkPlace::Above(column) => format!("{}: {}", at("above", column), remark.text),
        RemarkPlace::Beneath(column) => format!("{}: {}", at("beneath", column), remark.text),
    };
    let accented = slots.iter().flatten().any(|slot| slot.accented);
    let accents = stack.cues.accents.iter().filter(|_| !accented).flat_map(|cue: &Cue| &cue.marks);
    let signs = accents.chain(astray);
    let signs = signs.map(|(column, sign)| format!("{}: {sign}", at("at", *column)));
    let used = |remark: &&Remark| system.bends.contains(&remark.text);
    stack.cues.remarks.iter().filter(|remark| !used(remark)).map(line).chain(signs).collect()
}

/// The beat of the note of a bar that a remark stands at, or which note it is where the beats aren't known; nothing if it
/// stands at none.
pub(super) fn beat(bar: &[Slot<'_>], column: usize) -> String {
    let sounding: Vec<usize> = (0..bar.len()).filter(|at| !bar[*at].notes.is_empty()).collect();
    let columns: Vec<usize> = sounding.iter().map(|at| bar[*at].column).collect();
    let nearest = slots::nearest(&columns, column);
    let near = columns.get(nearest).is_some_and(|at| at.abs_diff(column) <= BESIDE);
    // A bar without counts may be of any length.
    if bar.first().is_none_or(|slot| slot.count.is_empty()) {
        return if near { format!(", note {}", nearest + 1) } else { String::new() };
    }
    let upto = sounding.get(nearest).filter(|_| near).map_or(&[][..], |at| &bar[..=*at]);
    let number = |slot: &Slot<'_>| slot.count.parse::<u8>().ok();
    let beat = upto.iter().rev().find_map(number);
    match (beat, upto.last().and_then(number)) {
        (Some(beat), Some(_)) => format!(", beat {beat}"),
        (Some(beat), None) => format!(", after beat {beat}"),
        (None, _) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_held_is_parted_from_a_remark() {
        for (line, expected) in [
            (
                "  PM....      play 4 times (slower)",
                &["  PM....", "              play 4 times (slower)"][..],
            ),
            ("   let ring -------|  rit.", &["   let ring -------|", "                      rit."]),
            ("  m i   PM---|   (soft)", &["  m i", "        PM---|", "                 (soft)"]),
            ("  ~ vib   PM palm mute   x dead", &[]),
            ("  PM---   PM---", &[]),
            ("  let ring", &[]),
            ("  let ring  on", &[]),
            ("the rain    came down", &[]),
            ("  D U D U   (steady!)", &["  D U D U", "            (steady!)"]),
            ("  D   U   D (as before)", &["  D   U   D", "            (as before)"]),
            (" 1 & 2 &    or so", &[" 1 & 2 &", "            or so"]),
        ] {
            assert_eq!(parted(line).unwrap_or_default(), expected, "{line}");
        }
    }

    #[test]
    fn what_rings_is_no_word_that_is_sung() {
        let lesson =
            crate::paste::lesson("A tab", "e|-5-7-8-5-|\nB|-5-5-5-5-|\n   let ring-|  rit.\n");
        assert!(lesson.text.contains("ring    ===") && !lesson.text.contains("sung"), "{lesson:?}");
    }

    #[test]
    fn remarks_of_one_line_keep_their_columns() {
        let told = |line: &str| {
            let parts = parts(line).into_iter().map(|(column, text)| format!("{column}{text}"));
            parts.collect::<Vec<_>>().join("/")
        };
        for (line, expected) in [
            ("     ^ watch this  one", "5^ watch this  one"),
            ("   softly      ^ loud", "3softly/15^ loud"),
            ("   . . >", "3./5./7>"),
            ("", ""),
        ] {
            assert_eq!(told(line), expected, "{line}");
        }
    }

    #[test]
    fn what_stands_beneath_is_told_with_its_bar_and_beat() {
        for (beneath, behind, told) in [
            ("            ^ loud", "\n", "beneath bar 2, after beat 2: ^ loud"),
            ("      ^ loud", "\n", "beneath bar 1: ^ loud"),
            ("   so loud ^", "", "beneath bar 2, after beat 2: so loud ^"),
            ("   ^ loud", "", "beneath bar 1, beat 1: ^ loud"),
            ("slowly\n   ^ loud", "\n", "beneath bar 1, beat 1: ^ loud"),
            ("         softly", "", "beneath bar 2, beat 1: softly"),
            ("   .     >", "\n", "beneath bar 1, beat 1: .\nbeneath bar 2, beat 1: >"),
            ("   .     .", "\n", "beneath bar 1, beat 1: .\nbeneath bar 2, beat 1: ."),
            ("   8va           loco", "\n", "beneath bar 1, beat 1: 8va"),
            ("   8va                       loco", "\n", "behind bar 2: loco"),
            ("     >   >", "\n", "at bar 1: >\nat bar 2, beat 1: >"),
        ] {
            let row = |bars: &str| ["G", "D", "A", "E"].map(|s| format!("{s}|{bars}\n")).concat();
            let (first, second) = (row("-0---|-2--3--4|"), row("-0---|-2---|"));
            let text = format!("{first}{beneath}\n{behind}{second}");
            let lesson = crate::paste::lesson("A tab", &text).text;
            assert!(lesson.contains(told), "{beneath}: no {told} in\n{lesson}");
        }
    }

    #[test]
    fn arrows_point_to_rows() {
        for (words, expected) in [
            ("<- nice", true),
            ("<-- watch!", true),
            ("-> slow", true),
            ("<12>--", false),
            ("--3-", false),
        ] {
            assert_eq!(is_pointing(words), expected, "{words}");
        }
    }

    #[test]
    fn counts_and_strokes_without_a_place_are_told_with_their_bars() {
        for (beneath, told) in [
            // Counts that not all notes have.
            ("   1 & 2 &   1   2", "at bar 3, beat 1: 1 & 2 &\nat bar 4, beat 1: 1   2\n"),
            // More strokes than there are notes and beats.
            ("   d udu     d u d u", "at bar 3, beat 1: d udu\nat bar 4, beat 1: d u d u\n"),
            ("   V ^V^     V   V", "at bar 3, beat 1: V ^V^\nat bar 4, beat 1: V   V\n"),
            // Where they fit they are a row.
            ("   d u d u   d u d u", "pick    d u d u |d u d u |\n"),
        ] {
            let system = "e|-0-2-3-5-|-0-2-3-5-|\nB|---------|---------|\n";
            let text = format!("{system}\n{system}{beneath}\n\n{system}");
            let lesson = crate::paste::lesson("A tab", &text).text;
            assert!(lesson.contains(told), "{beneath}: no {told} in\n{lesson}");
            assert_eq!(lesson.matches("~~~ riff").count(), 1, "{lesson}");
        }
    }
}
