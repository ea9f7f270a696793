//! A bound on how deep lists and quotes nest, before the prose is parsed.
//!
//! The parser walks through every list and quote that is open for each line, so that a line of
//! 100,000 `>` with as many lines beneath it would take minutes. A lesson has a handful.

use super::limits;
use crate::findings::rules::left_out;
use crate::findings::source::{Line, Span, lines};
use crate::findings::{Finding, Findings};
use std::borrow::Cow;

/// How deep lists and quotes may nest on one line.
const DEEPEST: usize = limits::NESTING.most;

/// The text with the lines that nest too deep made blank, each run of them a finding; byte offsets
/// stay. `start` is where the text begins in the lesson.
pub(super) fn bounded<'a>(text: &'a str, start: usize, findings: &mut Findings) -> Cow<'a, str> {
    let deep: Vec<Line> = lines(text, start).filter(|line| depth(line.text) > DEEPEST).collect();
    if deep.is_empty() {
        return Cow::Borrowed(text);
    }
    let mut bounded = String::with_capacity(text.len());
    let mut told_until = None;
    for line in &deep {
        let kept = text.get(bounded.len()..line.start - start).unwrap_or_default();
        bounded.push_str(kept);
        bounded.extend(std::iter::repeat_n(' ', line.text.len()));
        if told_until.is_none_or(|end| line.start > end + "\r\n".len()) {
            findings.add(too_deep(*line));
        }
        told_until = Some(line.whole().end);
    }
    let rest = text.get(bounded.len()..).unwrap_or_default();
    bounded.push_str(rest);
    Cow::Owned(bounded)
}

fn too_deep(line: Line) -> Finding {
    let place = Span::new(line.start, line.start + line.text.len());
    left_out::deep_line(place, DEEPEST)
}

/// How deep a line can nest at the most: one for each mark of a list or quote at its front, and one
/// for each two columns of indent, which the lists of earlier lines may need. A line without a mark
/// opens nothing.
fn depth(line: &str) -> usize {
    let front = line.strip_suffix(rule_at_end(line)).unwrap_or(line);
    let mut marks = 0;
    let mut columns = 0;
    let mut rest = front;
    while let Some(c) = rest.chars().next() {
        let length = match c {
            ' ' | '\t' => {
                columns += if c == '\t' { 4 } else { 1 };
                1
            }
            '>' => {
                marks += 1;
                1
            }
            _ => match list_mark(rest) {
                Some(length) => {
                    marks += 1;
                    length
                }
                None => break,
            },
        };
        rest = rest.get(length..).unwrap_or_default();
    }
    if marks == 0 { 0 } else { marks + columns / 2 }
}

/// The bytes of a list's mark, `-` or `12.`, where a blank or the line's end follows it.
fn list_mark(text: &str) -> Option<usize> {
    let digits = text.bytes().take(9).take_while(u8::is_ascii_digit).count();
    let sign = text.as_bytes().get(digits)?;
    let marks: &[u8] = if digits > 0 { b".)" } else { b"-+*" };
    let blank = text.as_bytes().get(digits + 1).is_none_or(|c| matches!(c, b' ' | b'\t'));
    (marks.contains(sign) && blank).then_some(digits + 1)
}

/// The end of a line that can be a rule across the page (`- - -`), whose signs open no list.
fn rule_at_end(line: &str) -> &str {
    let Some(sign) = line.trim_end().chars().next_back().filter(|c| matches!(c, '-' | '*')) else {
        return "";
    };
    let front = line.trim_end_matches([sign, ' ', '\t']);
    let rule = line.get(front.len()..).unwrap_or_default();
    if rule.matches(sign).count() >= 3 { rule } else { "" }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn marks_and_indents_are_counted() {
        for (line, expected) in [
            ("", 0),
            ("words - and > more", 0),
            ("        words", 0),
            ("> > quote", 3),
            (">>> quote", 3),
            ("- - 1. item", 4),
            ("12) item", 1),
            ("-item", 0),
            ("1.item", 0),
            ("    - item", 3),
            ("\t\t- item", 5),
            ("* * * * *", 0),
            ("> - - -", 1),
            ("+ + + a", 4),
        ] {
            assert_eq!(depth(line), expected, "{line:?}");
        }
    }

    #[test]
    fn deep_lines_are_left_out_and_told_once_a_run() {
        let deep = ">".repeat(101);
        let text = format!("a\n{deep}b\r\n{deep}ü\r\nc\n{deep}\nd");
        let mut findings = Findings::default();
        let bounded = bounded(&text, 7, &mut findings);
        assert_eq!(bounded.len(), text.len());
        assert_eq!(bounded.split_whitespace().collect::<Vec<_>>(), ["a", "c", "d"]);
        let starts: Vec<usize> = findings.list().iter().map(|finding| finding.span.start).collect();
        assert_eq!(starts, [9, 7 + text.rfind(&deep).unwrap()]);
    }

    #[test]
    fn a_rule_of_many_signs_is_no_list() {
        let text = format!("{}\n> {}\n", "- ".repeat(500), "* ".repeat(500));
        assert_eq!(bounded(&text, 0, &mut Findings::default()), text);
    }
}
