//! Mending: the fixes that leave no choice, and what they change.

use super::report::Counts;
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
    /// The lines that changed, round by round: those before with a `-`, those after with a `+`.
    pub difference: String,
}

/// What a repair shows anew is repaired in the next round. Assumed: what needs more rounds is no slip.
const MOST_ROUNDS: usize = 8;

/// So many times a lesson is checked anew at most, to find the fixes that would leave more findings.
const MOST_CHECKS: usize = 40;

/// So much text is checked anew at most, in bytes, so that a large lesson isn't checked forty times; but
/// three times always.
const MOST_TEXT: usize = 2_000_000;

/// Makes the fixes of faults that leave no choice, round by round, as long as there are any. One that
/// would leave as many faults as before, or more findings, isn't made. `check` tells what is found in a text.
/// `None` where nothing is mended.
pub fn mend(
    source: &Source,
    findings: &[Finding],
    check: &dyn Fn(&str) -> Vec<Finding>,
) -> Option<Mended> {
    let mut mended = Mended {
        text: source.text.clone(),
        fixes: 0,
        difference: format!("--- {0}\n+++ {0}, mended\n", source.name),
    };
    let left = (MOST_TEXT / source.text.len().max(1)).clamp(3, MOST_CHECKS);
    let mut sieve = Sieve { check, left, findings: findings.to_vec() };
    for _ in 0..MOST_ROUNDS {
        let before = Source { name: source.name.clone(), text: mended.text.clone() };
        let found = sieve.findings.clone();
        let mut made = Vec::new();
        sieve.sift(&before.text, &unasked(&before.text, &found), &mut made);
        if made.is_empty() {
            break;
        }
        mended.text = written(&before.text, 0..before.text.len(), &made);
        mended.fixes += made.len();
        mended.difference += &difference(&before, &made);
    }
    (mended.fixes > 0).then_some(mended)
}

/// The fixes that may be made unasked: each the only one of a fault, on a ground that leaves no
/// choice. Of fixes that touch the same characters only the first: the others are found again, if they
/// are still needed.
fn unasked<'f>(text: &str, findings: &'f [Finding]) -> Vec<&'f Fix> {
    let faults = findings.iter().filter(|found| found.weight == Weight::Fault);
    let only = faults.filter_map(|fault| match fault.fixes.as_slice() {
        [only] if only.ground.holds_unasked() => Some(only),
        _ => None,
    });
    let mut fixes: Vec<&Fix> =
        only.filter(|fix| text.get(fix.span.start..fix.span.end).is_some()).collect();
    fixes.sort_by_key(|fix| (fix.span, fix.replace.as_str()));
    fixes.dedup_by(|later, first| later.span.start < first.span.end || later.span == first.span);
    fixes
}

/// Tells the fixes that leave no more findings than there were from those that do.
struct Sieve<'c> {
    check: &'c dyn Fn(&str) -> Vec<Finding>,
    /// How many more times the lesson may be checked.
    left: usize,
    /// What is found with the fixes made so far.
    findings: Vec<Finding>,
}

impl Sieve<'_> {
    /// Makes fixes of a text, all at once if that leaves a fault less for each and no more findings, else
    /// each half by itself.
    fn sift<'f>(&mut self, text: &str, fixes: &[&'f Fix], made: &mut Vec<&'f Fix>) {
        if fixes.is_empty() || self.left == 0 {
            return;
        }
        self.left -= 1;
        let mut tried = [made.as_slice(), fixes].concat();
        tried.sort_by_key(|fix| fix.span);
        let findings = (self.check)(&written(text, 0..text.len(), &tried));
        if are_better(&findings, &self.findings, fixes.len()) {
            self.findings = findings;
            *made = tried;
        } else if fixes.len() > 1 {
            let (first, second) = fixes.split_at(fixes.len() / 2);
            self.sift(text, first, made);
            self.sift(text, second, made);
        }
    }
}

/// Whether so many fixes leave a fault less for each, and no more findings.
fn are_better(now: &[Finding], before: &[Finding], fixes: usize) -> bool {
    let faults = |list: &[Finding]| Counts::of(list).fault;
    now.len() <= before.len() && faults(now) + fixes <= faults(before)
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
    let mut text = String::new();
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
mod tests;
