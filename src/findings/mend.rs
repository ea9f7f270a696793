//! Mending: the fixes that leave no choice, and what they change.

use super::report::Counts;
use super::{Finding, Fix, Weight};
use crate::findings::Source;
use std::ops::{Range, RangeInclusive};

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
    let mut text = source.text.clone();
    let mut repairs = Vec::new();
    let left = (MOST_TEXT / source.text.len().max(1)).clamp(3, MOST_CHECKS);
    let mut sieve = Sieve { check, left, findings: findings.to_vec() };
    for _ in 0..MOST_ROUNDS {
        let found = sieve.findings.clone();
        let mut made = Vec::new();
        sieve.sift(&text, &unasked(&text, &found), &mut made);
        if made.is_empty() {
            break;
        }
        let ends: Vec<usize> = text.match_indices('\n').map(|(at, _)| at).collect();
        repairs.extend(made.iter().map(|fix| Made::of(&ends, fix)));
        text = written(&text, &made);
    }
    let difference = format!(
        "--- {0}\n+++ {0}, mended\n{1}",
        source.name,
        difference(&source.text, &text, &repairs)
    );
    (!repairs.is_empty()).then_some(Mended { text, fixes: repairs.len(), difference })
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
        let findings = (self.check)(&written(text, &tried));
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

/// The text with fixes made, which stand in its order.
fn written(text: &str, fixes: &[&Fix]) -> String {
    let mut out = String::new();
    let mut at = 0;
    for fix in fixes {
        out += text.get(at..fix.span.start).unwrap_or_default();
        out += &fix.replace;
        at = fix.span.end;
    }
    out + text.get(at..).unwrap_or_default()
}

/// A repair that was made: its words, and the lines, counted from 0, that it touched.
struct Made {
    says: String,
    lines: RangeInclusive<usize>,
}

impl Made {
    /// The repair of a text whose lines end at `ends`.
    fn of(ends: &[usize], fix: &Fix) -> Made {
        let line = |at: usize| ends.partition_point(|end| *end < at);
        // What ends with a line's end doesn't reach into the next line.
        let last = fix.span.end.saturating_sub(1).max(fix.span.start);
        Made { says: fix.says.clone(), lines: line(fix.span.start)..=line(last) }
    }
}

/// The lines that differ between two texts, those that touch together, each with the words of the
/// repairs that touched them.
fn difference(before: &str, after: &str, made: &[Made]) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (before.lines().collect(), after.lines().collect());
    let mut text = String::new();
    for (own, others) in differing(&old, &new) {
        text += &format!("@@ line {} @@\n", own.start + 1);
        for repair in made {
            if *repair.lines.start() < own.end.max(own.start + 1)
                && *repair.lines.end() >= own.start
            {
                text += &format!("# {}\n", repair.says);
            }
        }
        text += &marked('-', old.get(own).unwrap_or_default());
        text += &marked('+', new.get(others).unwrap_or_default());
    }
    text
}

/// The lines that differ, of both texts: those that stand in each other's place, or, where a repair made
/// more or fewer lines, all from the first that differs to the last.
fn differing(old: &[&str], new: &[&str]) -> Vec<(Range<usize>, Range<usize>)> {
    if old.len() == new.len() {
        let differ: Vec<usize> =
            (0..old.len()).filter(|line| old.get(*line) != new.get(*line)).collect();
        let together = differ.chunk_by(|one, next| one + 1 == *next);
        let hunks = together.filter_map(|lines| Some(*lines.first()?..*lines.last()? + 1));
        return hunks.map(|lines| (lines.clone(), lines)).collect();
    }
    let alike = |pairs: &mut dyn Iterator<Item = (&&str, &&str)>| {
        pairs.take_while(|(old, new)| old == new).count()
    };
    let head = alike(&mut old.iter().zip(new));
    let room = old.len().min(new.len()) - head;
    let tail = alike(&mut old.iter().rev().zip(new.iter().rev()).take(room));
    vec![(head..old.len() - tail, head..new.len() - tail)]
}

fn marked(sign: char, lines: &[&str]) -> String {
    lines.iter().map(|line| format!("{sign}{line}\n")).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
