//! Whether the cues of all scripts of a lesson fit what is said.

use crate::blocks::Music;
use crate::blocks::say::{Order, Part, Said, Say, Shown, Speech};
use crate::findings::Finding;
use crate::findings::Span;
use crate::findings::rules::cue;
use crate::lesson::Lesson;
use crate::lesson::phrase::{self, Phrase};
use crate::theory::Names;
use std::collections::BTreeSet;

/// Cues that don't fit what is said, each with the index of the script that it stands in.
pub(super) fn check(
    lesson: &Lesson<'_>,
    music: &[Option<Box<dyn Music>>],
) -> Vec<(usize, Finding)> {
    let blocks = music.iter().enumerate();
    let scripts = blocks.filter_map(|(index, music)| Some((index, music.as_ref()?.as_a()?)));
    let scripts: Vec<(usize, &Say)> = scripts.collect();
    let mut findings = passed_over(&scripts);
    findings.extend(never_shown(&scripts, lesson));
    findings
}

/// The figures that are followed by the next one with nothing said or played between.
fn passed_over(scripts: &[(usize, &Say)]) -> Vec<(usize, Finding)> {
    let mut findings = Vec::new();
    let mut unused: Option<(usize, Span)> = None;
    for (script, part) in parts(scripts) {
        match part {
            Part::Speech(_) => unused = None,
            Part::Cue(cue) => match cue.order {
                Order::Play(_) => unused = None,
                Order::Show(_) => {
                    let before = unused.replace((script, cue.span));
                    findings.extend(before.map(|(script, span)| (script, cue::no_word(span))));
                }
                Order::Pause(_) | Order::Retake | Order::Free => {}
            },
        }
    }
    findings
}

/// The blocks that speeches name and no cue shows, each at the first place.
fn never_shown(scripts: &[(usize, &Say)], lesson: &Lesson<'_>) -> Vec<(usize, Finding)> {
    let mut told: BTreeSet<usize> = parts(scripts).filter_map(|(_, part)| shown(part)).collect();
    let mut findings = Vec::new();
    for (script, part) in parts(scripts) {
        let Part::Speech(speech) = part else { continue };
        for (name, span) in references(speech, lesson.header.setting.names) {
            if lesson.block(&name).is_some_and(|index| told.insert(index)) {
                findings.push((script, cue::never_shown(span, &name)));
            }
        }
    }
    findings
}

fn parts<'s>(scripts: &'s [(usize, &Say)]) -> impl Iterator<Item = (usize, &'s Part)> {
    scripts.iter().flat_map(|(index, say)| say.parts.iter().map(move |part| (*index, part)))
}

fn shown(part: &Part) -> Option<usize> {
    let Part::Cue(cue) = part else { return None };
    match &cue.order {
        Order::Show(Shown::Block { index, .. } | Shown::Shape { index, .. }) => Some(*index),
        _ => None,
    }
}

/// The blocks that a speech names, each with its place.
fn references(speech: &Speech, names: Names) -> impl Iterator<Item = (String, Span)> {
    speech.pieces.iter().filter_map(move |piece| match &piece.said {
        Said::Phrase(text) => match phrase::read(&text.value, names)? {
            Phrase::Reference { name, .. } => Some((name.value, text.span)),
            _ => None,
        },
        Said::Words(_) => None,
    })
}
