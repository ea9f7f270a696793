//! The `move` block: a riff elsewhere on the neck, in another octave or key. What comes out is a riff.

mod kind;
mod phrases;
mod shift;

#[cfg(test)]
mod tests;

pub use kind::{MoveBlock, WRITTEN};

use crate::blocks::tab::Tab;
use crate::blocks::tab::placing;
use crate::blocks::tab::shapes::Shapes;
use crate::findings::nearest::Known;
use crate::findings::rules::{block_syntax, unknown_name};
use crate::findings::source::Line;
use crate::findings::{Finding, Findings};
use crate::lesson::fence::Fence;
use crate::music::melody::{Melody, Sounding, Tone};
use crate::music::tab::{Form, Riff};
use shift::Shift;
use std::rc::Rc;

/// What a name is that a riff is to be moved from.
#[derive(Debug)]
pub enum Source<'r> {
    /// A riff.
    Riff(&'r Tab),
    /// A block of another kind.
    NoRiff,
    /// A block that could not be understood, which has been reported there.
    Unread,
    /// A `move` that comes, by whatever way, from the one that is read.
    Itself,
    /// No block of the lesson; some are called so.
    Unknown(Rc<Known>),
}

/// The name of the block that a `move` is from.
pub fn source<'a>(fence: &Fence<'a>) -> Option<Line<'a>> {
    phrases::source(fence)
}

/// Reads a `move` block: finds its riff and lays it on the neck anew. Nothing where there is no riff
/// to be moved.
pub fn read<'r>(
    fence: &Fence,
    find: &dyn Fn(&str) -> Source<'r>,
    findings: &mut Findings,
) -> Option<Tab> {
    let phrases = phrases::read(fence, findings);
    let Some(name) = phrases::source(fence) else {
        findings.add(
            block_syntax::at(fence.head, "this `move` doesn't say what is moved")
                .note("write `move NAME from RIFF`"),
        );
        return None;
    };
    let tab = match find(name.text) {
        Source::Riff(tab) => tab,
        other => {
            findings.add(no_source(&other, name)?);
            return None;
        }
    };
    if tab.riff.form != Form::Tab {
        let message = format!("`{}` is a strumming pattern; only notes can be moved", name.text);
        findings.add(block_syntax::at(name.whole(), message));
        return None;
    }
    let shift = Shift::of(&phrases, tab.riff.key.as_ref(), findings)?;
    let melody = shifted(&tab.riff, fence, shift);
    // Its rows are written nowhere, so that no repair can move what stands in them.
    let places = tab.places.at(fence.head);
    let (setting, guides) = (&fence.setting, &phrases.guides);
    let shapes = Shapes::moved(&melody, guides, setting.hand);
    let mut tab = placing::lay(melody, places, setting, guides, shapes, findings);
    // The fingers are worked out once all notes have their places: what is picked is held as a chord.
    let events = tab.riff.bars.iter_mut().flat_map(|bar| &mut bar.events);
    for note in events.flat_map(|event| &mut event.notes) {
        note.finger = None;
        note.graces.iter_mut().for_each(|grace| grace.finger = None);
    }
    Some(tab)
}

/// Why a name gives no riff to move; nothing where that has been told already.
fn no_source(source: &Source, name: Line<'_>) -> Option<Finding> {
    let written = name.text;
    let fault = |message: String| block_syntax::at(name.whole(), message);
    match source {
        Source::Riff(_) | Source::Unread => None,
        Source::NoRiff => Some(fault(format!("`{written}` is no riff, nor one that was moved"))),
        Source::Itself => {
            Some(fault(format!("this `move` comes from itself, by way of `{written}`")))
        }
        Source::Unknown(names) => {
            let finding = unknown_name::none(name.whole(), "riff", written);
            Some(finding.offer(&names.near(written, 2), name.whole(), str::to_owned))
        }
    }
}

/// What a riff sounds in its new key, to be laid on its new instrument.
fn shifted(source: &Riff, fence: &Fence, shift: Shift) -> Melody {
    let Melody { mut riff, mut tones } = source.melody();
    riff.instrument = fence.setting.instrument.clone();
    riff.fingered = true;
    riff.key = source.key.map(|key| shift.key(key));
    for bar in &mut riff.bars {
        for chord in bar.chords.iter_mut().filter_map(|at| at.chord.as_mut()) {
            *chord = shift.chord(chord);
        }
    }
    let passes = riff.harmony.iter_mut().flat_map(|bar| &mut bar.passes);
    for chord in passes.flat_map(|pass| &mut pass.chords).filter_map(|(_, chord)| chord.as_mut()) {
        *chord = shift.chord(chord);
    }
    for tone in tones.iter_mut().flatten().flatten() {
        transpose(tone, shift.semitones);
        unfinger(tone);
    }
    Melody { riff, tones }
}

fn transpose(tone: &mut Tone, semitones: i32) {
    if let Sounding::Pitch(pitch) | Sounding::Harmonic { pitch, .. } = &mut tone.sound {
        *pitch = *pitch + semitones;
    }
    for grace in &mut tone.graces {
        grace.sound = grace.sound + semitones;
    }
}

/// Takes off the fingers of the old place.
fn unfinger(tone: &mut Tone) {
    tone.finger = None;
    for grace in &mut tone.graces {
        grace.finger = None;
    }
}
