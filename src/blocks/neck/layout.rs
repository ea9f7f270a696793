//! Subjects laid out on the neck.

use super::phrases::Phrases;
use super::{Diagram, Dot, Played, Subject};
use crate::findings::Span;
use crate::lesson::Setting;
use crate::neck::{Fret, Instrument, Position, StringIndex};
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Degree, Note, Scale};
use std::ops::RangeInclusive;

/// The frets that are drawn where a lesson names none: the open strings to the octave.
const USUAL_FRETS: RangeInclusive<Fret> = Fret::OPEN..=Fret::new(12);

/// What a diagram is to show, and how: made of a line of a block, or of what a chart is asked for.
#[derive(Debug)]
pub struct Wish {
    /// What it shows.
    pub what: Shown,
    /// Where on the neck, and how its dots look.
    pub phrases: Phrases,
}

/// What a diagram is to show.
#[derive(Debug)]
pub enum Shown {
    /// Every place of some tones.
    Tones {
        /// What they are.
        subject: Subject,
        /// Their root, where they have one.
        root: Option<Note>,
        /// The tones, with their degrees above the root.
        tones: Vec<(Note, Option<Degree>)>,
    },
    /// What another block plays.
    Block(Played),
}

impl Shown {
    /// Notes without a root.
    pub fn notes(notes: Vec<Note>) -> Shown {
        let tones = notes.iter().map(|note| (*note, None)).collect();
        Shown::Tones { root: None, tones, subject: Subject::Notes(notes) }
    }

    /// A chord's tones, and the bass that it names.
    pub fn chord(chord: Chord) -> Shown {
        let root = chord.root;
        let mut tones: Vec<_> =
            chord.tones.iter().map(|tone| (tone.degree.above(root), Some(tone.degree))).collect();
        if let Some(bass) = chord.bass {
            tones.push((bass, Some(Degree::between(root, bass))));
        }
        Shown::Tones { root: Some(root), tones, subject: Subject::Chord(chord) }
    }

    /// A scale's notes.
    pub fn scale(scale: Scale) -> Shown {
        let root = scale.tonic;
        let degrees = scale.kind.degrees.iter();
        let tones = degrees.map(|degree| (degree.above(root), Some(*degree))).collect();
        Shown::Tones { root: Some(root), tones, subject: Subject::Scale(scale) }
    }
}

impl Wish {
    /// Lays it out on the neck; `span` is where it is written.
    pub fn lay_out(self, setting: &Setting, span: Span) -> Diagram {
        let Wish { what, phrases } = self;
        match what {
            Shown::Tones { subject, root, tones } => {
                let instrument = &setting.instrument;
                let frets = phrases.frets.unwrap_or_else(|| usual_frets(instrument));
                let strings =
                    phrases.strings.unwrap_or_else(|| instrument.tuning.indices().collect());
                let (label, marking) = (phrases.label, phrases.marking);
                let places = Places { instrument, strings: &strings, frets: &frets };
                let dots = places.dots(&tones, root, marking.as_ref());
                Diagram { subject, frets, label, marking, dots, scales: None, span }
            }
            Shown::Block(played) => played_places(played, phrases, setting, span),
        }
    }
}

fn usual_frets(instrument: &Instrument) -> RangeInclusive<Fret> {
    *USUAL_FRETS.start()..=instrument.last_fret().min(*USUAL_FRETS.end())
}

/// The places of the neck where tones are looked for.
struct Places<'a> {
    instrument: &'a Instrument,
    strings: &'a [StringIndex],
    frets: &'a RangeInclusive<Fret>,
}

impl Places<'_> {
    fn dots(
        &self,
        tones: &[(Note, Option<Degree>)],
        root: Option<Note>,
        marking: Option<&Chord>,
    ) -> Vec<Dot> {
        let places = self.strings.iter().flat_map(|string| {
            let frets = self.frets.start().to(*self.frets.end());
            frets.map(move |fret| (*string, fret))
        });
        let dot = |(string, fret): (StringIndex, Fret)| {
            let class = self.instrument.written_pitch(string, fret)?.class();
            let tone = tones.iter().find(|(note, _)| note.class() == class);
            let &(note, degree) = tone?;
            Some(Dot {
                string,
                fret,
                note,
                degree,
                finger: None,
                root: root.is_some_and(|root| root.class() == note.class()),
                marked: is_tone(marking, note),
            })
        };
        fingered(places.filter_map(dot).collect(), self.frets)
    }
}

/// The places that another block plays, spelled for the key.
fn played_places(played: Played, phrases: Phrases, setting: &Setting, span: Span) -> Diagram {
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
    let (label, marking) = (phrases.label, phrases.marking);
    let dots = places.into_iter().filter_map(|(string, fret, finger)| {
        let dot = place(string, fret, None, marking.as_ref(), setting)?;
        Some(Dot { finger, ..dot })
    });
    let dots = dots.collect();
    let subject = Subject::Block(played.title);
    Diagram { subject, frets, label, marking, dots, scales: None, span }
}

/// A place that was marked by its string and fret; its note is spelled for the key.
pub(super) fn place(
    string: StringIndex,
    fret: Fret,
    root: Option<Note>,
    marking: Option<&Chord>,
    setting: &Setting,
) -> Option<Dot> {
    let midi = setting.instrument.written_pitch(string, fret)?;
    let note =
        spell(midi, setting.key.as_ref(), marking, Direction::Unknown).note.called(setting.names);
    Some(Dot {
        string,
        fret,
        note,
        degree: root.map(|root| Degree::between(root, note)),
        finger: None,
        root: root.is_some_and(|root| root.class() == note.class()),
        marked: is_tone(marking, note),
    })
}

fn is_tone(chord: Option<&Chord>, note: Note) -> bool {
    chord.is_some_and(|chord| chord.classes() >> note.class() & 1 == 1)
}

/// Gives the fretted places of some frets their fingers, where a hand plays them without moving.
pub fn fingered(mut dots: Vec<Dot>, frets: &RangeInclusive<Fret>) -> Vec<Dot> {
    if let Some(position) = Position::of(frets, dots.iter().map(|dot| dot.fret)) {
        dots.iter_mut().for_each(|dot| dot.finger = position.finger(dot.fret));
    }
    dots
}

/// The frets from the lowest to the highest of some, at least four of them.
pub(super) fn span_of(frets: impl Iterator<Item = Fret> + Clone) -> RangeInclusive<Fret> {
    let low = frets.clone().min().unwrap_or_default();
    let high = frets.max().unwrap_or_default();
    if low <= Fret::FIRST { Fret::OPEN..=high.max(Fret::new(4)) } else { low..=high.max(low.up(3)) }
}
