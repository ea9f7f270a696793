//! Repeat signs typed with stars or letters for dots: what proves them, and what is guessed of them.

use super::bars::BarLine;
use super::lines_beside;
use super::pieces::Stack;
use super::remarks::RemarkPlace;
use super::system::System;
use std::collections::BTreeSet;

/// The repeat signs of a riff that had to be guessed, in words: those without colons that no partner
/// proves.
pub(super) fn guesses(systems: &[System<'_>]) -> BTreeSet<String> {
    let lines = systems.iter().flat_map(|system| {
        std::iter::once(system.start).chain(system.bars.iter().map(|bar| bar.end))
    });
    let mut guesses = BTreeSet::new();
    let mut open: Option<BarLine> = None;
    for line in lines {
        if line.repeat_end {
            guesses
                .extend(dot(line).filter(|_| open.is_none()).map(|dot| guess(&format!("{dot}|"))));
            open = None;
        }
        if line.repeat_start {
            guesses.extend(unclosed(open));
            open = Some(line);
        }
    }
    guesses.extend(unclosed(open));
    guesses
}

fn unclosed(open: Option<BarLine>) -> Option<String> {
    open.and_then(dot).map(|dot| guess(&format!("|{dot}")))
}

/// The dot of a repeat sign, if it is no colon.
fn dot(line: BarLine) -> Option<char> {
    line.dot.filter(|dot| *dot != ':')
}

fn guess(sign: &str) -> String {
    format!("`{sign}` is a repeat sign")
}

/// How often the words beside the repeat sign at a system's end say that it is played, with these words.
pub(super) fn times_beside(stack: &Stack, system: &System<'_>) -> Option<(u8, String)> {
    system.bars.last().filter(|bar| bar.end.repeat_end)?;
    let behind =
        stack.cues.remarks.iter().filter(|remark| matches!(remark.place, RemarkPlace::Behind(_)));
    let mut said = behind
        .filter_map(|remark| Some((lines_beside::times_first(&remark.text)?, remark.text.clone())));
    said.next()
}

/// How often the words above say that the only system of a riff is played, if no repeat signs stand within
/// it.
pub(super) fn times_above(stacks: &[Stack], system: &System<'_>) -> Option<(u8, String)> {
    let [stack] = stacks else { return None };
    let (last, inner) = system.bars.split_last()?;
    let repeats = |line: BarLine| line.repeat_start || line.repeat_end;
    let parted = inner.iter().any(|bar| repeats(bar.end)) || last.end.repeat_start;
    stack.cues.times_above.clone().filter(|_| !parted)
}

#[cfg(test)]
mod tests {
    use crate::paste;

    /// The guesses about repeats in systems of one string.
    fn guessed(systems: &[&str]) -> Vec<String> {
        let text = systems.iter().map(|row| format!("A{row}\nE{row}\n\n")).collect::<String>();
        let lesson = paste::lesson("A tab", &text).text;
        let lines = lesson.lines().filter_map(|line| line.strip_prefix("# guessed: "));
        lines
            .filter(|line| line.contains("repeat") || line.contains("times"))
            .map(str::to_owned)
            .collect()
    }

    #[test]
    fn stars_are_guessed_to_be_repeat_signs_unless_they_have_a_partner() {
        for (systems, expected) in [
            (&["|-0---2--*|"][..], &["`*|` is a repeat sign"][..]),
            (&["|*-0---2---|-3-------|"], &["`|*` is a repeat sign"]),
            (&["|*-0---2--*|"], &[]),
            (&["|*-0---2---|", "|-3------*|"], &[]),
            (&["|:-0---2---|-3------*|"], &[]),
            (&["|*-0---2--*|-3------o|"], &["`o|` is a repeat sign"]),
            (&["|-0---2--:|"], &[]),
        ] {
            assert_eq!(guessed(systems), expected, "{systems:?}");
        }
    }

    #[test]
    fn words_beside_a_repeat_sign_may_begin_with_how_often() {
        let said = "what is played 6 times, from the words `6 times & fade`";
        assert_eq!(guessed(&["|:-0---2--:|  6 times & fade"]), [said]);
        assert_eq!(guessed(&["|-0---2---|  6 times & fade"]), [""; 0]);
    }
}
