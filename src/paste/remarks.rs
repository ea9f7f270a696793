//! Remarks to the player that stand behind a row or beneath a system: kept with the bar and the string
//! that they speak of.

use super::cues;
use super::pieces::Stack;
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
    /// Beneath the system, at a column of the text.
    Beneath(usize),
}

/// How many spaces part what is held from a remark behind it.
const GAP: &str = "   ";

/// How far a line beneath a system is set in that speaks of what stands above it, in columns.
const INDENT: usize = 3;

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

/// A line that says what is held and then something else, parted; each keeps its columns.
pub(super) fn parted(line: &str) -> Option<(String, String)> {
    let indent = line.len() - line.trim_start().len();
    let gaps = line.match_indices(GAP).map(|(at, _)| at).filter(|at| *at > indent);
    gaps.into_iter().find_map(|at| {
        let (front, behind) = line.split_at_checked(at)?;
        let words = behind.trim_start();
        let says = words.starts_with(|c: char| c.is_alphanumeric() || c == '(');
        cues::held(front).filter(|_| says && cues::held(words).is_none())?;
        let column = front.chars().count() + behind.chars().count() - words.chars().count();
        Some((front.to_string(), " ".repeat(column) + words))
    })
}

/// The remarks about a system, each with its bar and its string; so many bars come before.
pub(super) fn told(
    stack: &Stack,
    system: &System<'_>,
    labels: &[String],
    before: usize,
) -> Vec<String> {
    let line = |remark: &Remark| match remark.place {
        RemarkPlace::Behind(row) => {
            let label = labels.get(row).map_or("", String::as_str);
            let bar = before + system.bars.len();
            format!("behind bar {bar}, string {label}: {}", remark.text)
        }
        RemarkPlace::Beneath(column) => {
            let bar = system.bars.partition_point(|bar| bar.from <= column + 1).max(1);
            format!("beneath bar {}: {}", before + bar, remark.text)
        }
    };
    stack.cues.remarks.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_held_is_parted_from_a_remark() {
        let parted = |line: &str| super::parted(line);
        assert_eq!(
            parted("  PM....      play 4 times (slower)"),
            Some(("  PM....".to_string(), "              play 4 times (slower)".to_string()))
        );
        for line in ["  PM---   PM---", "  let ring", "the rain    came down"] {
            assert_eq!(parted(line), None, "{line}");
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
}
