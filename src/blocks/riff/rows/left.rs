//! The `left` row: fretting fingers.

use super::super::figure::{BarAt, Label};
use super::super::lines::Row;
use super::reading::{Here, Marks, Reading, Sounded, Wrong, wrong_number};
use super::{Kind, RowPlace};
use crate::blocks::figure::layer;
use crate::blocks::tab::places::NoteAt;
use crate::ink::{Face, Text};
use crate::music::tab::{Event, Joint, Note, Sound};
use crate::neck::Finger;
use crate::words::help::{Sign, explained};
use crate::words::paper::tab;
use crate::words::terms;

/// Fretting fingers. In words each note is told with its own.
#[derive(Debug)]
pub(in super::super) struct Left;

impl Kind for Left {
    fn label(&self) -> &'static str {
        "left"
    }

    fn says(&self) -> &'static str {
        "fretting fingers; several are one a note, lowest first"
    }

    fn signs(&self) -> Vec<Sign> {
        terms::fingers()
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["fingers", "fingering", "fret-hand", "lh"]
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        let needs_note = |text: &str| text.chars().any(|sign| sign != '.');
        reading
            .mark(rows, &Marks { read: fingers, needs_note, set: set_fingers, keep: |_, _, _| {} });
    }

    fn heading(&self) -> Option<&'static str> {
        Some(tab::LEFT)
    }

    fn layer(&self) -> Option<&'static str> {
        Some(layer::FINGERS)
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    /// The highest string's uppermost; one for all where they are the same.
    fn labels(&self, at: &BarAt) -> Vec<Label> {
        let line = |finger: Finger| at.scale.small(&finger.sign().to_string(), Face::SansSemibold);
        let label = |event: &Event| {
            let mut fingers: Vec<Finger> =
                event.notes.iter().rev().filter_map(|note| note.finger).collect();
            fingers.dedup();
            let lines: Vec<Text> = fingers.into_iter().map(line).collect();
            let tick = at.bar.start + event.at;
            (!lines.is_empty()).then(|| Label::centred(self.label(), tick, lines))
        };
        at.bar.events.iter().filter(|_| at.riff.fingered).filter_map(label).collect()
    }
}

/// Fingers for the notes that stand there.
fn fingers(here: &Here) -> Result<Vec<(NoteAt, Finger)>, Wrong> {
    let signs: Vec<char> = here.text.chars().collect();
    let is_none = |sign: &char| terms::NO_FINGER.written.contains(*sign);
    if !signs.iter().all(|sign| is_none(sign) || Finger::from_char(*sign).is_some()) {
        return Err(Wrong {
            message: format!("`{}` names no fretting fingers", here.text),
            advice: format!("fingers are {}", explained(&terms::fingers())),
        });
    }
    let finger = |sign: &char| Finger::from_char(*sign);
    if let [only] = signs.as_slice() {
        let fretted = |note: &&NoteAt| here.event.is_some_and(|event| is_fretted(event, **note));
        let all = here.notes.iter().flatten().filter(fretted);
        return Ok(all.filter_map(|note| Some((*note, finger(only)?))).collect());
    }
    if here.event.is_some() && signs.len() != here.notes.len() && here.whole {
        return Err(wrong_number("fretting fingers", signs.len(), here.notes.len()));
    }
    let pairs = here.notes.iter().zip(&signs);
    Ok(pairs.filter_map(|(note, sign)| Some(((*note)?, finger(sign)?))).collect())
}

fn set_fingers(at: Sounded, fingers: Vec<(NoteAt, Finger)>) {
    for (place, finger) in fingers {
        set_finger(&mut at.event.notes, place, finger);
        set_finger(at.tones, place, finger);
    }
}

fn set_finger<S, P>(notes: &mut [Note<S, P>], at: NoteAt, finger: Finger) {
    let note = notes.iter_mut().find(|note| note.string == at.string);
    let place = note.and_then(|note| match at.grace {
        Some(grace) => note.graces.get_mut(grace).map(|grace| &mut grace.finger),
        None => Some(&mut note.finger),
    });
    if let Some(place) = place {
        *place = Some(finger);
    }
}

/// Whether a note is not open, so that a finger may hold it. One that is to be laid on strings may be
/// anywhere.
fn is_fretted(event: &Event, at: NoteAt) -> bool {
    let note = event.notes.iter().find(|note| note.string == at.string);
    note.is_none_or(|note| match (at.grace, note.sound) {
        (Some(grace), _) => note.graces.get(grace).is_some_and(|grace| grace.sound.is_pressed()),
        (None, Sound::Fret(fret)) => fret.is_pressed(),
        (None, Sound::Harmonic(_)) => true,
        (None, Sound::Muted) => false,
    })
}

/// A bend, its release and a slide are made by the finger that holds the note before.
pub(in super::super) fn carry_fingers<'n, S: 'n, P: 'n>(
    notes: impl Iterator<Item = &'n mut Note<S, P>>,
) {
    for note in notes {
        let mut finger = None;
        for grace in &mut note.graces {
            let held = finger.filter(|_| stays(grace.joined));
            grace.finger = grace.finger.or(held);
            finger = grace.finger;
        }
        note.finger = note.finger.or(finger.filter(|_| stays(note.joined)));
    }
}

fn stays(joint: Option<Joint>) -> bool {
    matches!(joint, Some(Joint::Bend | Joint::Release | Joint::Slide))
}
