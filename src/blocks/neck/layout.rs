//! Subjects laid out on the neck.

use super::phrases::Phrases;
use super::syntax::NeckReader;
use super::{Diagram, Dot, Played, Subject};
use crate::findings::Span;
use crate::neck::Finger;
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Degree, Note, Scale};
use std::ops::RangeInclusive;

/// The frets that are drawn where a lesson names none: the open strings to the octave.
const USUAL_FRETS: RangeInclusive<u8> = 0..=12;

/// The widest position within which fingers are given: four frets and a stretch.
const POSITION: u8 = 5;

/// What a line is about before it is laid out on the neck.
pub(super) enum Found {
    Tones { subject: Subject, root: Option<Note>, tones: Vec<(Note, Option<Degree>)> },
    Block(Played),
}

impl NeckReader<'_> {
    /// Lays a subject out on the neck.
    pub(super) fn lay_out(&self, found: Found, phrases: Phrases, span: Span) -> Diagram {
        match found {
            Found::Tones { subject, root, tones } => {
                let frets = phrases.frets.unwrap_or_else(|| self.usual_frets());
                let strings = phrases.strings.unwrap_or_else(|| self.all_strings());
                let dots = self.dots(&tones, root, &strings, &frets, phrases.marking.as_ref());
                let (label, marking) = (phrases.label, phrases.marking);
                Diagram { subject, frets, label, marking, dots, scales: None, span }
            }
            Found::Block(played) => self.played_places(played, phrases, span),
        }
    }

    fn usual_frets(&self) -> RangeInclusive<u8> {
        let last = self.setting.instrument.last_fret();
        *USUAL_FRETS.start()..=last.min(*USUAL_FRETS.end())
    }

    fn all_strings(&self) -> Vec<usize> {
        (0..self.setting.instrument.tuning.len()).collect()
    }

    fn dots(
        &self,
        tones: &[(Note, Option<Degree>)],
        root: Option<Note>,
        strings: &[usize],
        frets: &RangeInclusive<u8>,
        marking: Option<&Chord>,
    ) -> Vec<Dot> {
        let mut dots = Vec::new();
        for &string in strings {
            for fret in frets.clone() {
                let Some(pitch) = self.setting.instrument.written_pitch(string, fret) else {
                    continue;
                };
                let tone = tones.iter().find(|(note, _)| note.class() == pitch.class());
                let Some(&(note, degree)) = tone else { continue };
                dots.push(Dot {
                    string,
                    fret,
                    note,
                    degree,
                    finger: finger_at(fret, frets),
                    root: root.is_some_and(|root| root.class() == note.class()),
                    marked: is_tone(marking, note),
                });
            }
        }
        dots
    }

    /// The places that another block plays, spelled for the key.
    fn played_places(&self, played: Played, phrases: Phrases, span: Span) -> Diagram {
        let mut places = played.places;
        places.sort_by_key(|(string, fret, finger)| (*string, *fret, finger.is_none()));
        places.dedup_by_key(|(string, fret, _)| (*string, *fret));
        if let Some(strings) = &phrases.strings {
            places.retain(|(string, ..)| strings.contains(string));
        }
        if let Some(frets) = &phrases.frets {
            places.retain(|(_, fret, _)| frets.contains(fret));
        }
        let frets = phrases.frets.unwrap_or_else(|| span_of(places.iter().map(|place| place.1)));
        let dots = places
            .into_iter()
            .filter_map(|(string, fret, finger)| {
                self.place(string, fret, finger, None, phrases.marking.as_ref())
            })
            .collect();
        let subject = Subject::Block(played.title);
        let (label, marking) = (phrases.label, phrases.marking);
        Diagram { subject, frets, label, marking, dots, scales: None, span }
    }

    /// A place that was marked by its string and fret; its note is spelled for the key.
    pub(super) fn place(
        &self,
        string: usize,
        fret: u8,
        finger: Option<Finger>,
        root: Option<Note>,
        marking: Option<&Chord>,
    ) -> Option<Dot> {
        let midi = self.setting.instrument.written_pitch(string, fret)?;
        let note = spell(midi, self.setting.key.as_ref(), marking, Direction::Unknown).note;
        let degree = root.map(|root| Degree::between(root, note));
        Some(Dot {
            string,
            fret,
            note,
            degree,
            finger,
            root: root.is_some_and(|root| root.class() == note.class()),
            marked: is_tone(marking, note),
        })
    }
}

pub(super) fn of_notes(notes: Vec<Note>) -> Found {
    let tones = notes.iter().map(|note| (*note, None)).collect();
    Found::Tones { root: None, tones, subject: Subject::Notes(notes) }
}

pub(super) fn of_chord(chord: Chord) -> Found {
    let root = chord.root;
    let mut tones: Vec<_> =
        chord.tones.iter().map(|tone| (tone.degree.above(root), Some(tone.degree))).collect();
    if let Some(bass) = chord.bass {
        tones.push((bass, Some(Degree::between(root, bass))));
    }
    Found::Tones { root: Some(root), tones, subject: Subject::Chord(chord) }
}

pub(super) fn of_scale(scale: Scale) -> Found {
    let root = scale.tonic;
    let degrees = scale.kind.degrees.iter();
    let tones = degrees.map(|degree| (degree.above(root), Some(*degree))).collect();
    Found::Tones { root: Some(root), tones, subject: Subject::Scale(scale) }
}

fn is_tone(chord: Option<&Chord>, note: Note) -> bool {
    chord.is_some_and(|chord| chord.classes() >> note.class() & 1 == 1)
}

/// One finger a fret within one position, the little finger reaching one fret further; no fingers
/// where the diagram is wider than a position, and none for open strings.
pub(super) fn finger_at(fret: u8, frets: &RangeInclusive<u8>) -> Option<Finger> {
    let lowest = (*frets.start()).max(1);
    if fret == 0 || frets.end().saturating_sub(lowest) >= POSITION {
        return None;
    }
    Some(match fret.saturating_sub(lowest) {
        0 => Finger::Index,
        1 => Finger::Middle,
        2 => Finger::Ring,
        _ => Finger::Little,
    })
}

/// The frets from the lowest to the highest of some, at least four of them.
pub(super) fn span_of(frets: impl Iterator<Item = u8> + Clone) -> RangeInclusive<u8> {
    let low = frets.clone().min().unwrap_or(0);
    let high = frets.max().unwrap_or(0);
    if low <= 1 { 0..=high.max(4) } else { low..=high.max(low.saturating_add(3)) }
}
