//! What is said where a chord has no place under the phrases of its line.

use super::Voiced;
use super::meaning::{FEWEST, Wish};
use crate::findings::Finding;
use crate::findings::rules::no_voicing;
use crate::findings::source::Spanned;
use crate::lesson::Setting;
use crate::neck::voicing::{Asked, Family, Inversion, Shape, ranked};
use crate::neck::{Fret, StringIndex};
use crate::theory::Chord;
use crate::words::terms;

/// The doubt that a chord of a wish has no place, with the nearest that has one.
pub(super) fn no_place(
    wish: &Wish,
    at: usize,
    setting: &Setting,
    chord: &Spanned<Chord>,
) -> Finding {
    let top = wish.chords.get(at).and_then(|(_, top)| *top);
    let asked = &wish.asked(&chord.value, top, setting);
    let (near, span) = (wish.near_of(top).unwrap_or_default(), chord.span);
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

/// The doubt that a chord has no place in the inversion that is asked for, with the nearest in another.
pub(super) fn no_inversion(
    wanted: Inversion,
    nearest: Option<&Voiced>,
    chord: &Spanned<Chord>,
) -> Finding {
    let what = format!("no place in {}", terms::inversion(wanted));
    let finding = no_voicing::of_chord(chord.span, &chord.value, &what);
    let Some(nearest) = nearest else { return finding };
    let name = nearest.inversion.map_or("with an added tone lowest", terms::inversion);
    let shape = written(&nearest.shape);
    finding.note(format!("the nearest that can be held is {shape}, {name}"))
}

/// Why a chord can't be under a note, or a family can't be.
fn reason(asked: &Asked) -> Option<String> {
    above_a_bass(asked).or_else(|| of_family(asked))
}

/// Why a chord can't be under a note on a low string, as a bass line has them.
fn above_a_bass(asked: &Asked) -> Option<String> {
    let (top, _) = asked.top?;
    let room = asked.strings.iter().filter(|string| **string <= top).count();
    let notes = asked.family.voices().unwrap_or(asked.chord.tones.len().min(FEWEST));
    (room < notes).then(|| {
        format!(
            "the riff's note would be the highest of {notes}, and from string {} down there is room for \
             {room}: chords above a bass line stand in a line without `under`",
            asked.instrument.tuning.number(top)
        )
    })
}

fn of_family(asked: &Asked) -> Option<String> {
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
fn nearest(asked: &Asked, near: Fret, setting: &Setting) -> Option<(Shape, String)> {
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
    let fret = |fret: &Option<Fret>| fret.map_or("x".to_owned(), |fret| fret.to_string());
    let frets: Vec<String> = shape.frets().iter().map(fret).collect();
    let joint = if frets.iter().any(|fret| fret.len() > 1) { " " } else { "" };
    format!("`{}`", frets.join(joint))
}
