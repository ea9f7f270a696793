//! What is said where a chord has no place under the phrases of its line.

use crate::findings::Finding;
use crate::findings::Span;
use crate::findings::rules::no_voicing;
use crate::lesson::Setting;
use crate::neck::StringIndex;
use crate::neck::voicing::{Asked, Family, Shape, ranked};

/// The doubt that a chord has no place, with the nearest that has one.
pub(super) fn no_place(asked: &Asked, near: u8, setting: &Setting, span: Span) -> Finding {
    let family = asked.family.name();
    let what = if asked.family == Family::Any {
        "no shape".to_owned()
    } else {
        format!("no place as {family}")
    };
    let under = if asked.top.is_some() { " under that note" } else { "" };
    let what = format!("{what} here{under}");
    let finding = no_voicing::of_chord(span, asked.chord, &what);
    let finding = match reason(asked) {
        Some(reason) => finding.note(reason),
        None => finding,
    };
    match nearest(asked, near, setting) {
        Some((shape, how)) => {
            finding.note(format!("the nearest that can be held is {}, {how}", written(&shape)))
        }
        None => finding,
    }
}

/// Why a family can't be.
fn reason(asked: &Asked) -> Option<String> {
    let voices = asked.family.voices()?;
    let tones = asked.chord.tones.len();
    if asked.family == Family::Shells && asked.family.tones(asked.chord).is_none() {
        return Some(format!(
            "a shell is root, third and seventh, and `{}` has no such tones",
            asked.chord
        ));
    }
    if asked.family.tones(asked.chord).is_none() {
        let name = asked.family.name();
        return Some(format!(
            "{name} takes {voices} tones of a chord, and `{}` has {tones}",
            asked.chord
        ));
    }
    let strings = asked.strings.len();
    (strings < voices).then(|| {
        format!("{} takes {voices} strings, and {strings} are allowed", asked.family.name())
    })
}

/// The nearest shape under looser phrases, and what is looser: any strings, then any shape, then
/// without the note on top.
fn nearest(asked: &Asked, near: u8, setting: &Setting) -> Option<(Shape, String)> {
    let all: Vec<StringIndex> = asked.instrument.tuning.indices().collect();
    let loosened = [
        (
            Asked { strings: all.clone(), ..asked.clone() },
            format!("as {} on other strings", asked.family.name()),
        ),
        (Asked { family: Family::Any, ..asked.clone() }, "another kind of shape".to_owned()),
        (
            Asked { family: Family::Any, strings: all.clone(), ..asked.clone() },
            "another kind of shape on other strings".to_owned(),
        ),
        (
            Asked { family: Family::Any, strings: all, top: None, ..asked.clone() },
            "with another note on top".to_owned(),
        ),
    ];
    loosened.into_iter().find_map(|(looser, how)| {
        let shapes = looser.held(setting.hand);
        let first = ranked(&shapes, looser.chord, looser.instrument, setting.hand, near, 1);
        first.first().map(|first| (first.shape, how))
    })
}

/// A shape as a lesson writes it, in backticks.
pub(super) fn written(shape: &Shape) -> String {
    let fret = |fret: &Option<u8>| fret.map_or("x".to_owned(), |fret| fret.to_string());
    let frets: Vec<String> = shape.frets().iter().map(fret).collect();
    let joint = if frets.iter().any(|fret| fret.len() > 1) { " " } else { "" };
    format!("`{}`", frets.join(joint))
}
