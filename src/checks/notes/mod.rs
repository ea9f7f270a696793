//! Wrong notes: what each note of each riff is against the chord and the key in force, and which slips of
//! the pen explain what is nothing.
//!
//! A riff becomes a line of tones (`context`), with what isn't written inferred (`inferred_harmony`). Slips that
//! explain many notes at once are looked for first (`bar_line`, `slips`), then chord symbols that their notes
//! contradict (`contradicted`), then bars that repeat others but for one note (`repetition`, judged in `odd`) or at other
//! moments (`out_of_time`), or a pattern of their own but for one (`patterns`), and what is left is judged note by note (`wrong`). How
//! likely a note is, and what was probably meant, is weighed in `score`; `repair` writes that into the text.
//!
//! What is weighed are natural logarithms of chances, so that what speaks for and against adds up. They follow
//! the hand note, section 5: listeners miss most the wrong notes that chord and key have (Janata and others
//! 2003), so those are left alone, and half of what an open-ended check finds is false (de Reuse and Fujinaga
//! 2022), so all is doubts and no error. What it comes to is measured by `cargo test --test it slips`.

mod bar_line;
pub mod context;
mod contradicted;
mod inferred_harmony;
mod odd;
mod out_of_time;
mod patterns;
mod repair;
mod repetition;
mod score;
mod slip_findings;
mod slips;
mod wrong;

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests;

use crate::blocks::tab::Tab;
use crate::blocks::{self, Music};
use crate::findings::rules::key_inferred;
use crate::findings::source::Spanned;
use crate::findings::{Finding, Weight};
use crate::lesson::Lesson;
use crate::lesson::fence::Fence;
use crate::theory::{Key, Scale};
use context::{Line, Surroundings, Tone};
use repair::Sheet;
use repetition::Index;
use score::Habits;
use std::collections::BTreeSet;

/// How much likelier an inferred key must be than the next before notes are judged by it, a natural logarithm:
/// so is it where the next is a tenth as likely (assumed).
const PLAIN_KEY: f64 = 2.3;

/// The same before it is told to anybody: the next is a twenty-fifth as likely. Set on `tests/riffs/tuned`, where two keys in
/// a hundred are told wrong with it.
const TOLD_KEY: f64 = 3.22;

/// A riff and all that its notes are judged by.
struct Case<'a> {
    /// The index of its block.
    block: usize,
    /// Its index among the riffs.
    riff: usize,
    line: &'a Line<'a>,
    lines: &'a [Line<'a>],
    habits: Habits,
    sheet: Sheet<'a>,
    key: Option<&'a Key>,
    /// Names of the blocks of all riffs, for messages.
    names: &'a [Option<String>],
}

/// Checks the notes of all riffs that could be read: a list of findings for each block. `found` is what
/// was found in the blocks so far; the notes of a block with faults aren't judged.
pub fn check(
    lesson: &Lesson<'_>,
    music: &[Option<Box<dyn Music>>],
    found: &[Vec<Finding>],
) -> Vec<Vec<Finding>> {
    let scales = scales(lesson);
    let riffs: Vec<(usize, &Fence<'_>, &Tab)> = riffs(lesson, music).collect();
    let around = |fence: &Fence<'_>| Surroundings { key: fence.setting.key, scales: &scales };
    let lines: Vec<Line<'_>> =
        riffs.iter().map(|(_, fence, tab)| Line::new(tab, &around(fence))).collect();
    let names: Vec<Option<String>> = riffs
        .iter()
        .map(|(_, fence, _)| fence.name.as_ref().map(|name| name.value.clone()))
        .collect();
    let index = Index::of(&lines);
    let near = index.near(&lines);
    let mut findings = vec![Vec::new(); music.len()];
    for (riff, ((block, fence, _), line)) in riffs.iter().zip(&lines).enumerate() {
        let case = Case {
            block: *block,
            riff,
            line,
            lines: &lines,
            habits: Habits::of(line),
            sheet: Sheet { text: &lesson.source.text, places: line.places },
            key: line.key.as_ref().map(|found| &found.key),
            names: &names,
        };
        let sound = found
            .get(*block)
            .is_none_or(|found| found.iter().all(|one| one.weight < Weight::Fault));
        let own = judge(&case, fence, sound, &index, &near);
        if let Some(place) = findings.get_mut(case.block) {
            *place = own;
        }
    }
    findings
}

fn riffs<'l, 'a>(
    lesson: &'l Lesson<'a>,
    music: &'l [Option<Box<dyn Music>>],
) -> impl Iterator<Item = (usize, &'l Fence<'a>, &'l Tab)> {
    let blocks = lesson.fences.iter().zip(music).enumerate();
    let written = blocks.filter(|(_, (fence, _))| fence.kind == blocks::riff::WRITTEN);
    written.filter_map(|(block, (fence, music))| Some((block, fence, music.as_ref()?.tab()?)))
}

/// The scales that the lesson names, in phrases and diagrams.
fn scales(lesson: &Lesson<'_>) -> Vec<Scale> {
    let phrases = lesson.phrases.iter().map(|phrase| phrase.text.value.as_str());
    let necks = lesson.fences.iter().filter(|fence| fence.kind == blocks::neck::WRITTEN);
    let lines = necks.flat_map(|fence| fence.lines.iter().map(|line| line.text));
    let names = lesson.header.setting.names;
    let named = |text: &str| text.split([',', '=']).find_map(|part| names.scale(part.trim()));
    phrases.chain(lines).filter_map(named).collect()
}

/// Judges a riff: what explains most first, and nothing is told twice.
fn judge(
    case: &Case<'_>,
    fence: &Fence<'_>,
    sound: bool,
    index: &Index,
    near: &[repetition::Near],
) -> Vec<Finding> {
    let mut findings = bar_line::check(case);
    if !sound {
        return findings;
    }
    findings.extend(key_hint(case, fence));
    if slips::is_upside_down(case.line) {
        findings.push(slip_findings::upside_down(case, fence));
        return findings;
    }
    let slipped = match slips::capo(case.line) {
        Some(all) => vec![all],
        None => slips::find(case.lines, case.riff, &case.habits, index),
    };
    let mut settled: BTreeSet<usize> = slipped.iter().flat_map(|run| run.bars.clone()).collect();
    findings.extend(slipped.iter().filter_map(|run| slip_findings::slipped(case, run)));
    for (bar, finding) in contradicted::check(case, &settled) {
        settled.insert(bar);
        findings.push(finding);
    }
    for (bar, finding) in odd::check(case, near, &settled) {
        settled.insert(bar);
        findings.push(finding);
    }
    let mut told = out_of_time::check(case, index, &settled);
    let moved = told.iter().map(|(bar, _)| *bar).chain(settled.iter().copied()).collect();
    told.extend(patterns::check(case, index, &moved));
    // A hint about a bar leaves its notes to be judged.
    settled
        .extend(told.iter().filter(|(_, found)| found.weight > Weight::Hint).map(|(bar, _)| *bar));
    findings.extend(told.into_iter().map(|(_, finding)| finding));
    findings.extend(wrong::check(case, &settled));
    findings
}

/// The hint that names the key that was inferred, unless the lesson says that there is none.
fn key_hint(case: &Case<'_>, fence: &Fence<'_>) -> Option<Finding> {
    let asked = case.line.key_is_inferred && !fence.setting.says_no_key;
    let found = case.line.key.filter(|found| asked && found.margin > TOLD_KEY)?;
    if !is_framed(case.line, found.key.tonic.class()) {
        return None;
    }
    let place = fence.name.as_ref().map_or(fence.head, |name: &Spanned<String>| name.span);
    Some(key_inferred::likely(place, &found.key))
}

/// Whether a riff begins or ends on a pitch class: with its first tone or its last, or the lowest of the bars that they are in.
/// Of keys with the same notes that is the home.
fn is_framed(line: &Line<'_>, class: u8) -> bool {
    let ends = [line.tones.first(), line.tones.last()];
    let is_home = |tone: &Tone| tone.pitch.class() == class;
    ends.into_iter().flatten().any(|end| {
        is_home(end)
            || line.in_bar(end.bar).iter().min_by_key(|tone| tone.pitch).is_some_and(is_home)
    })
}
