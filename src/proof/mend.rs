//! Mending: the fixes that leave no choice, and what they change.

use super::{Finding, Fix, Weight};
use crate::lesson::Source;
use std::ops::Range;

/// A lesson's text after some fixes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mended {
    /// The text.
    pub text: String,
    /// How many fixes were made.
    pub fixes: usize,
    /// The lines that changed: those before with a `-`, those after with a `+`.
    pub difference: String,
}

/// Makes each fix that is the only one of a fault. What a doubt or a hint offers is left to the author:
/// a note that fits better may still be meant, and a taste is no mistake. Of fixes that touch the same characters only the
/// first is made: the others are found again, if they are still needed. `None` where there is none.
pub fn mend(source: &Source, findings: &[Finding]) -> Option<Mended> {
    let mut fixes: Vec<&Fix> = findings
        .iter()
        .filter(|found| found.weight == Weight::Fault)
        .filter_map(|found| match found.fixes.as_slice() {
            [only] => Some(only),
            _ => None,
        })
        .filter(|fix| source.text.get(fix.span.start..fix.span.end).is_some())
        .collect();
    fixes.sort_by_key(|fix| (fix.span, fix.replace.as_str()));
    fixes.dedup_by(|later, first| later.span.start < first.span.end || later.span == first.span);
    if fixes.is_empty() {
        return None;
    }
    let text = written(&source.text, 0..source.text.len(), &fixes);
    Some(Mended { text, fixes: fixes.len(), difference: difference(source, &fixes) })
}

/// A part of the text with the fixes made that lie in it.
fn written(text: &str, part: Range<usize>, fixes: &[&Fix]) -> String {
    let mut out = String::new();
    let mut at = part.start;
    for fix in fixes {
        out += text.get(at..fix.span.start).unwrap_or_default();
        out += &fix.replace;
        at = fix.span.end;
    }
    out + text.get(at..part.end).unwrap_or_default()
}

/// The changed lines, those that touch together.
fn difference(source: &Source, fixes: &[&Fix]) -> String {
    let mut hunks: Vec<(Range<usize>, Vec<&Fix>)> = Vec::new();
    for fix in fixes {
        let lines = whole_lines(&source.text, fix.span.start..fix.span.end);
        match hunks.last_mut().filter(|(last, _)| lines.start <= last.end) {
            Some((last, fixes)) => {
                last.end = last.end.max(lines.end);
                fixes.push(fix);
            }
            None => hunks.push((lines, vec![fix])),
        }
    }
    let places = source.places();
    let mut text = format!("--- {0}\n+++ {0}, mended\n", source.name);
    for (lines, fixes) in hunks {
        text += &format!("@@ line {} @@\n", places.at(lines.start).line);
        for fix in &fixes {
            text += &format!("# {}\n", fix.says);
        }
        let before = source.text.get(lines.clone()).unwrap_or_default();
        let after = written(&source.text, lines, &fixes);
        text += &marked('-', before);
        text += &marked('+', &after);
    }
    text
}

fn marked(sign: char, lines: &str) -> String {
    lines.lines().map(|line| format!("{sign}{line}\n")).collect()
}

/// A range of bytes widened to whole lines, the last one's end with it.
fn whole_lines(text: &str, range: Range<usize>) -> Range<usize> {
    let before = text.get(..range.start).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    // What ends with a line's end doesn't reach into the next line.
    let last = range.end.saturating_sub(1).max(range.start);
    let bytes = text.as_bytes().get(last..).unwrap_or_default();
    let end = bytes.iter().position(|byte| *byte == b'\n').map_or(text.len(), |at| last + at + 1);
    start..end
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::lesson::Span;
    use crate::proof::Findings;
    use crate::proof::Rule;
    use crate::proof::rules::{no_title, spelling, wrong_note};

    fn source(text: &str) -> Source {
        Source::new("x.md", text.as_bytes(), &mut Findings::default())
    }

    fn found(fixes: &[(usize, usize, &str)]) -> Finding {
        of_rule(&spelling::RULE, fixes)
    }

    fn of_rule(rule: &'static Rule, fixes: &[(usize, usize, &str)]) -> Finding {
        let finding = Finding::new(rule, Span::default(), "something");
        fixes.iter().fold(finding, |finding, (start, end, text)| {
            finding.fix("so", Span::new(*start, *end), *text)
        })
    }

    #[test]
    fn only_fixes_without_a_choice_are_made_and_none_over_another() {
        let source = source("one\ntwo\nthree\n");
        let findings = [
            found(&[(4, 7, "2")]),
            found(&[(5, 9, "x")]),
            found(&[(0, 1, "a"), (0, 1, "b")]),
            found(&[(4, 7, "2")]),
            found(&[(13, 13, "!")]),
        ];
        let mended = mend(&source, &findings).unwrap();
        assert_eq!((mended.text.as_str(), mended.fixes), ("one\n2\nthree!\n", 2));
        let lines = "@@ line 2 @@\n# so\n# so\n-two\n-three\n+2\n+three!\n";
        assert_eq!(mended.difference, format!("--- x.md\n+++ x.md, mended\n{lines}"));
    }

    #[test]
    fn what_a_doubt_or_a_hint_offers_is_left_to_the_author() {
        let findings =
            [&wrong_note::RULE, &no_title::RULE].map(|rule| of_rule(rule, &[(0, 1, "a")]));
        assert_eq!(mend(&source("one"), &findings), None);
    }

    #[test]
    fn nothing_to_mend_is_nothing() {
        assert_eq!(mend(&source("one"), &[found(&[]), found(&[(0, 9, "far")])]), None);
    }
}
