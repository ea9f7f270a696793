//! A judgement of slipped notes that knows nothing of the tool's own: whether a note stands outside
//! chord and key, and whether any kind of non-chord tone explains it. Where there is a choice of voices
//! or of readings it sides with the note, so what it calls foreign is so beyond dispute.

use super::corpus::{Subject, Tone};
use fretleaf::theory::key::Mode;
use fretleaf::theory::{Chord, Key, Ticks};

/// Whether a note of a riff, now that it sounds at another pitch, is outside the chord and the key and
/// fits no kind of non-chord tone. Never so where chord or key is not named.
pub fn is_foreign(subject: &Subject, index: usize, pitch: i32) -> bool {
    let tone = &subject.tones[index];
    let (Some(chord), Some(key)) = (&tone.chord, &subject.key) else { return false };
    let outside = !holds(chord.classes(), pitch) && !holds(key_classes(key), pitch);
    outside && !is_blue(chord, key, pitch) && !is_explained(subject, index, pitch)
}

/// Whether any note of a bar is foreign as the riff stands.
pub fn has_foreign(subject: &Subject, bar: usize) -> bool {
    let tones = subject.tones.iter().enumerate().filter(|(_, tone)| tone.bar == bar);
    tones.into_iter().any(|(index, tone)| is_foreign(subject, index, tone.pitch))
}

/// Whether the notes under a chord symbol contradict it beyond dispute: of four or more at most a third are its
/// tones, and of those on the first moment none.
pub fn contradicts(under: &[&Tone], chord: &Chord) -> bool {
    let held = |tone: &&&Tone| holds(chord.classes(), tone.pitch);
    let first = under.first().map(|tone| tone.at);
    let begins = |tone: &&&Tone| Some(tone.at) == first;
    under.len() >= 4
        && under.iter().filter(held).count() * 3 <= under.len()
        && !under.iter().filter(begins).any(|tone| held(&tone))
}

fn holds(classes: u16, pitch: i32) -> bool {
    classes & 1 << pitch.rem_euclid(12) != 0
}

/// The tones of a key; in minor the raised sixth and seventh too.
fn key_classes(key: &Key) -> u16 {
    let tonic = i32::from(key.tonic.class());
    let raised = if key.mode() == Mode::Minor { vec![tonic + 9, tonic + 11] } else { vec![] };
    let notes = key.notes().map(|note| i32::from(note.class()));
    notes.into_iter().chain(raised).fold(0, |mask, class| mask | 1 << class.rem_euclid(12))
}

/// A flat third, fifth or seventh of the chord or of the key, over a dominant seventh chord.
fn is_blue(chord: &Chord, key: &Key, pitch: i32) -> bool {
    let root = i32::from(chord.root.class());
    let dominant = [4, 10].iter().all(|tone| holds(chord.classes(), root + tone));
    let above = |from: i32| (pitch - from).rem_euclid(12);
    dominant
        && [root, i32::from(key.tonic.class())]
            .iter()
            .any(|from| [3, 6, 10].contains(&above(*from)))
}

/// Whether the notes before and after it, in either voice that it may be in, make the note a kind of
/// non-chord tone.
fn is_explained(subject: &Subject, index: usize, pitch: i32) -> bool {
    let voices = [line(subject, index, pitch), string(subject, index)];
    voices.iter().any(|(before, after)| {
        let anticipates = after.is_some_and(|next| next.pitch == pitch);
        let approaches = after.is_some_and(|next| {
            let fits = next.chord.as_ref().is_none_or(|chord| holds(chord.classes(), next.pitch));
            fits && (next.pitch - pitch).abs() == 1
        });
        let in_line = before
            .zip(*after)
            .is_some_and(|(last, next)| is_in_line(last.pitch, pitch, next.pitch));
        anticipates || approaches || in_line
    })
}

/// The tones before and after a note in a voice.
type Neighbours<'s> = (Option<&'s Tone>, Option<&'s Tone>);

/// The voice that goes by time: of the notes at the moment before and at the moment after, those that
/// are nearest in pitch.
fn line(subject: &Subject, index: usize, pitch: i32) -> Neighbours<'_> {
    let (tones, at) = (&subject.tones, subject.tones[index].at);
    let before = tones.iter().map(|tone| tone.at).filter(|other| *other < at).max();
    let after = tones.iter().map(|tone| tone.at).filter(|other| *other > at).min();
    let nearest = |moment: Option<Ticks>| {
        let there = tones.iter().filter(|tone| Some(tone.at) == moment);
        there.min_by_key(|tone| (tone.pitch - pitch).abs())
    };
    (nearest(before), nearest(after))
}

/// The voice that stays on a string, as in broken chords: the notes before and after on the note's own
/// string, no further away than a whole note.
fn string(subject: &Subject, index: usize) -> Neighbours<'_> {
    let tone = &subject.tones[index];
    let near = |other: &&Tone| {
        let apart = tone.at.since(other.at).max(other.at.since(tone.at));
        other.string == tone.string && apart <= Ticks::WHOLE
    };
    let mut near_ones = subject.tones.iter().filter(near);
    let before = near_ones.clone().rfind(|other| other.at < tone.at);
    (before, near_ones.find(|other| other.at > tone.at))
}

/// The kinds of non-chord tone between two other notes, by the textbook (step: one or two half steps).
fn is_in_line(before: i32, pitch: i32, after: i32) -> bool {
    let (arrives, leaves) = (pitch - before, after - pitch);
    let step = |way: i32| (1..=2).contains(&way.abs());
    let turns = arrives.signum() == -leaves.signum();
    let passing = step(arrives) && step(leaves) && !turns;
    let neighbour = step(arrives) && after == before;
    let suspension = arrives == 0 && step(leaves);
    let appoggiatura = arrives.abs() > 2 && step(leaves) && turns;
    let escape = step(arrives) && leaves.abs() > 2 && turns;
    let pedal = arrives == 0 && leaves == 0;
    passing || neighbour || suspension || appoggiatura || escape || pedal
}
