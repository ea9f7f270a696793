//! What becomes of notes and their techniques in the places that were found for them.

use super::guides::Guides;
use super::places::Places;
use super::placing::{Planned, PlannedTone};
use crate::findings::Finding;
use crate::findings::rules::technique_lost;
use crate::music::melody::{Sounding, Tone};
use crate::music::tab::{Grace, Joint, Note, Riff, Sound};
use crate::neck::path::Stop;
use crate::neck::{Fret, Instrument, StringIndex, harmonic};
use crate::theory::{Midi, Ticks};
use std::collections::BTreeMap;

/// Sets notes down where they were placed.
pub(super) struct Setter<'g> {
    instrument: &'g Instrument,
    guides: &'g Guides,
    /// For each moment of the search the place of each note.
    placed: &'g [Vec<Stop>],
    /// For each string the moment and the note in it that were last on it.
    last_on: BTreeMap<StringIndex, (usize, usize)>,
    /// The techniques that were lost.
    pub lost: Vec<Lost>,
}

/// A technique that a place does not allow.
pub(super) struct Lost {
    moment: (usize, Ticks),
    string: StringIndex,
    /// The string that the note was on.
    from: StringIndex,
    what: &'static str,
    why: &'static str,
}

/// A note that was set down.
pub(super) struct Set {
    /// The note.
    pub note: Note,
    /// The string that it was on.
    pub from: StringIndex,
}

const CROSSES: &str = "since it would cross strings";
const OPEN: &str = "since the open string has no fret for it";
const NO_NODE: &str = "since no string has it";
const NO_STRING: &str = "since no string is free for it";

impl Lost {
    /// The finding that tells it.
    pub fn finding(&self, riff: &Riff, places: &Places) -> Finding {
        let (bar, at) = self.moment;
        let place = riff.place(bar, at, Some(self.string));
        let span = places.note(bar, at, self.from).map(|note| note.span).unwrap_or_default();
        technique_lost::lost(span, self.what, self.why).heard_at(&place)
    }
}

impl<'g> Setter<'g> {
    /// Sets down what a search has placed.
    pub fn new(
        instrument: &'g Instrument,
        guides: &'g Guides,
        placed: &'g [Vec<Stop>],
    ) -> Setter<'g> {
        Setter { instrument, guides, placed, last_on: BTreeMap::new(), lost: Vec::new() }
    }

    /// The notes of an event, the lowest-placed string first.
    pub fn notes(&mut self, event: &Planned) -> Vec<Set> {
        let mut notes = Vec::new();
        let mut now = Vec::new();
        for planned in &event.tones {
            let stops: Vec<Stop> =
                planned.steps.iter().filter_map(|step| self.stop(*step)).collect();
            let Some((main, graces)) = stops.split_last().filter(|_| planned.sounds) else {
                continue;
            };
            let note = self.note(event.moment, planned, main, graces);
            notes.push(Set { note, from: planned.tone.string });
            now.extend(planned.steps.last().map(|last| (main.string, *last)));
        }
        self.last_on.extend(now);
        self.add_muted(event, &mut notes);
        notes.sort_by_key(|set| set.note.string);
        notes
    }

    fn stop(&self, (moment, note): (usize, usize)) -> Option<Stop> {
        self.placed.get(moment)?.get(note).copied()
    }

    fn note(
        &mut self,
        moment: (usize, Ticks),
        planned: &PlannedTone,
        main: &Stop,
        graces: &[Stop],
    ) -> Note {
        let tone = planned.tone;
        let mut lost = Vec::new();
        let sound = self.sound(tone, main, &mut lost);
        let mut note = tone.on(main.string, sound, Vec::new());
        note.finger = main.finger;
        self.set_graces(&mut note, tone, main, graces, &mut lost);
        self.keep_joint(&mut note, planned, &mut lost);
        self.keep_slides(&mut note, planned, &mut lost);
        self.keep_on_neck(&mut note, main);
        keep_marks(&mut note, main, &mut lost);
        let (string, from) = (main.string, tone.string);
        let lost = lost.into_iter().map(|(what, why)| Lost { moment, string, from, what, why });
        self.lost.extend(lost);
        note
    }

    /// The fret of a pitch on a string; that of a bend may be one that no neck has.
    fn fret(&self, pitch: Midi, string: StringIndex) -> Fret {
        let open = self.instrument.written_pitch(string, Fret::OPEN);
        open.and_then(|open| Fret::checked(pitch - open)).unwrap_or_default()
    }

    fn sound(&self, tone: &Tone, main: &Stop, lost: &mut Losses) -> Sound {
        match tone.sound {
            Sounding::Muted => Sound::Muted,
            Sounding::Pitch(pitch) => Sound::Fret(self.fret(pitch, main.string)),
            Sounding::Harmonic { pitch, over } => {
                let above = i32::from(self.fret(pitch, main.string));
                let nodes = || harmonic::NODES.iter().filter(|(_, sounds)| *sounds == above);
                let written = |(node, _): &&(Fret, i32)| *node == over;
                match nodes().find(written).or(nodes().next()).filter(|_| main.fret.is_open()) {
                    Some((node, _)) => Sound::Harmonic(*node),
                    None => {
                        lost.push(("harmonic", NO_NODE));
                        Sound::Fret(main.fret)
                    }
                }
            }
        }
    }

    /// Sets the grace notes before their note, or none where they have no place on its string.
    fn set_graces(
        &self,
        note: &mut Note,
        tone: &Tone,
        main: &Stop,
        graces: &[Stop],
        lost: &mut Losses,
    ) {
        let whole = graces.len() == tone.graces.len();
        if !whole || graces.iter().any(|grace| grace.string != main.string) {
            lost.push((note.joined.map_or("grace note", technique), CROSSES));
            note.joined = None;
            return;
        }
        let placed = tone.graces.iter().zip(graces);
        let grace = |(grace, stop): (&Grace<Midi>, &Stop)| Grace {
            finger: stop.finger,
            ..grace.on(self.fret(grace.sound, stop.string))
        };
        note.graces = placed.map(grace).collect();
    }

    /// Takes off the joint to an earlier event where another note, or none, is before it on its
    /// string now.
    fn keep_joint(&self, note: &mut Note, planned: &PlannedTone, lost: &mut Losses) {
        let kept =
            planned.from.is_some() && self.last_on.get(&note.string) == planned.from.as_ref();
        let joint = first_joint(note);
        if let Some(joined) = joint.take_if(|_| !kept) {
            lost.push((technique(joined), CROSSES));
        }
    }

    /// Takes off the slides from or to an open string.
    fn keep_slides(&self, note: &mut Note, planned: &PlannedTone, lost: &mut Losses) {
        let from = planned.from.and_then(|step| self.stop(step)).map(|stop| stop.fret);
        let mut before = from.unwrap_or(Fret::FIRST);
        let last = match note.sound {
            Sound::Fret(fret) => fret,
            Sound::Harmonic(_) | Sound::Muted => return,
        };
        let graces = note.graces.iter_mut().map(|grace| (grace.sound, &mut grace.joined));
        for (fret, joined) in graces.chain([(last, &mut note.joined)]) {
            if *joined == Some(Joint::Slide) && (before.is_open() || fret.is_open()) {
                *joined = None;
                lost.push((technique(Joint::Slide), OPEN));
            }
            before = fret;
        }
    }

    /// Lets a note whose bend was lost be pressed: where it was bent up to, or where that is off the
    /// neck where it was held.
    fn keep_on_neck(&self, note: &mut Note, main: &Stop) {
        let Sound::Fret(fret) = note.sound else { return };
        let bent = matches!(note.joined, Some(Joint::Bend | Joint::Release));
        if bent || fret == main.fret {
            return;
        }
        if fret > self.instrument.last_fret() {
            note.sound = Sound::Fret(main.fret);
        } else {
            note.finger = None;
        }
    }

    /// Lays muted strokes on the strings that are free, each as near as can be to where it was.
    fn add_muted(&mut self, event: &Planned, notes: &mut Vec<Set>) {
        let muted = event.tones.iter().filter(|planned| planned.tone.sound == Sounding::Muted);
        for planned in muted {
            let from = planned.tone.string;
            let free = |string: &StringIndex| {
                self.guides.allows(*string)
                    && notes.iter().all(|other| other.note.string != *string)
            };
            let strings = self.instrument.tuning.indices().filter(free);
            match strings.min_by_key(|string| string.abs_diff(from)) {
                Some(string) => {
                    let note = planned.tone.on(string, Sound::Muted, Vec::new());
                    notes.push(Set { note, from });
                }
                None => self.lost.push(Lost {
                    moment: event.moment,
                    string: from.min(StringIndex::new(self.instrument.tuning.len() - 1)),
                    from,
                    what: "muted stroke",
                    why: NO_STRING,
                }),
            }
        }
    }
}

/// Techniques that were lost, and why.
type Losses = Vec<(&'static str, &'static str)>;

/// How a note, its grace notes before it, comes out of an earlier event.
fn first_joint(note: &mut Note) -> &mut Option<Joint> {
    match note.graces.first_mut() {
        Some(grace) => &mut grace.joined,
        None => &mut note.joined,
    }
}

/// Takes off what can't be done on an open string.
fn keep_marks(note: &mut Note, main: &Stop, lost: &mut Losses) {
    if main.fret.is_pressed() || matches!(note.sound, Sound::Harmonic(_)) {
        return;
    }
    if note.slide_in.take().is_some() || note.slide_out.take().is_some() {
        lost.push(("slide", OPEN));
    }
    if std::mem::take(&mut note.vibrato) {
        lost.push(("vibrato", OPEN));
    }
    if note.has_quarter_bend() {
        note.quarter_bend = false;
        note.graces.iter_mut().for_each(|grace| grace.quarter_bend = false);
        lost.push(("bend", OPEN));
    }
}

/// The word for a joint.
fn technique(joint: Joint) -> &'static str {
    match joint {
        Joint::HammerOn => "hammer-on",
        Joint::PullOff => "pull-off",
        Joint::Slide => "slide",
        Joint::Tap => "tap",
        Joint::Bend => "bend",
        Joint::Release => "release",
    }
}
