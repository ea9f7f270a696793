//! What the strings do: each note with how it begins, sounds and ends.

use super::{Performance, Sounding, Stroke};
use crate::music::tab::{ACCENT, Event, Joint, MUTE, Note, Pick, Slide, Sound};
use crate::neck::{Fret, StringIndex, harmonic};
use crate::theory::{Midi, Ticks};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// How long a grace note is at most, on the count that it is played on: a 32nd (assumed, to be
/// measured). All of a note take no more than half of it.
const GRACE: Ticks = Ticks(120);

/// A note as it is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Played {
    /// Where it is written.
    pub place: Place,
    /// When it begins, in ticks from the beginning of what is played.
    pub start: Ticks,
    /// When it ends, or goes over into the next.
    pub end: Ticks,
    /// The string's index, 0 the lowest-placed.
    pub string: StringIndex,
    /// What is heard of it.
    pub heard: Heard,
    /// How it begins.
    pub attack: Attack,
    /// How it ends.
    pub release: Release,
    /// How strong it is.
    pub strength: Strength,
    /// Whether it has vibrato.
    pub vibrato: bool,
    /// Whether it is bent a quarter tone above its pitch.
    pub quarter_bend: bool,
    /// Whether the palm damps it.
    pub palm_muted: bool,
}

/// Where a note is written, by indices: of its bar, its event there, its note there, and for a grace
/// note its place before that note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Place {
    pub bar: usize,
    pub event: usize,
    pub note: usize,
    pub grace: Option<usize>,
}

/// What is heard of a note. Frets are counted from the capo; pitches are as they sound, the
/// capo counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Heard {
    /// A pitch, with the fret at which the string is held, 0 for an open one. They differ by how far the
    /// string is bent.
    Fretted { fret: Fret, pitch: Midi },
    /// A harmonic, with the fret over which it is touched.
    Harmonic { fret: Fret, pitch: Midi },
    /// A stroke on damped strings.
    Muted,
}

/// How a note begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Attack {
    /// Plucked, picked or strummed; already bent where its pitch isn't its fret's.
    Plucked,
    /// Plucked, and slid into from nowhere.
    SlidIn(Slide),
    /// Tapped, with no note before it.
    Tapped,
    /// Out of the note before on its string, without a stroke.
    Joined(Joint),
}

/// How a note ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Release {
    /// With the next note or rest.
    Stopped,
    /// It was let ring: when its string is played again, a rest comes, or the ringing ends.
    Rung,
    /// It slides out to nowhere.
    SlidOut(Slide),
    /// In the next note on its string, to which it is joined.
    Into(Joint),
}

/// How strong a note is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Strength {
    /// Optional, hardly there.
    Ghost,
    /// Neither more nor less.
    Plain,
    /// It stands out.
    Accented,
}

impl Played {
    /// A plain note that isn't written anywhere: a string held at a fret, plucked, from a moment to another.
    pub const fn plain(
        string: StringIndex,
        (fret, pitch): (Fret, Midi),
        (start, end): (Ticks, Ticks),
    ) -> Played {
        Played {
            place: Place { bar: 0, event: 0, note: 0, grace: None },
            start,
            end,
            string,
            heard: Heard::Fretted { fret, pitch },
            attack: Attack::Plucked,
            release: Release::Stopped,
            strength: Strength::Plain,
            vibrato: false,
            quarter_bend: false,
            palm_muted: false,
        }
    }
}

impl<'r> Performance<'r> {
    /// The notes, rising by when they begin. Grace notes are played on the count of the note that they
    /// stand before, which comes after them: each takes a 32nd, or less where all together would take more
    /// than half of that note (assumed).
    pub fn notes(&self) -> impl Iterator<Item = Played> + use<'r, '_> {
        let mut held: BTreeMap<StringIndex, Fret> = BTreeMap::new();
        self.strokes().flat_map(move |stroke| {
            let mut notes = Vec::new();
            for (index, note) in stroke.event.notes.iter().enumerate() {
                let playing = Playing { performance: self, stroke: &stroke, note, index };
                playing.play(held.entry(note.string), &mut notes);
            }
            notes.sort_by_key(|note: &Played| note.start);
            notes
        })
    }
}

/// A note that is being played.
struct Playing<'p, 'r> {
    performance: &'p Performance<'r>,
    stroke: &'p Stroke<'r>,
    note: &'p Note,
    index: usize,
}

/// A step on the way to a note: one of its grace notes, or the note itself.
#[derive(Clone, Copy)]
struct Step {
    grace: Option<usize>,
    sound: Sound,
    ghost: bool,
    joined: Option<Joint>,
    quarter_bend: bool,
}

impl Playing<'_, '_> {
    /// Plays it: its grace notes, then itself. `held` is the fret at which its string was held last.
    fn play(&self, held: Entry<StringIndex, Fret>, notes: &mut Vec<Played>) {
        let steps = self.steps();
        let sounding = self.performance.sounding(self.stroke, self.note.string);
        let starts = self.starts(steps.len(), &sounding);
        let mut held_now = match &held {
            Entry::Occupied(held) => Some(*held.get()),
            Entry::Vacant(_) => None,
        };
        for (at, (step, start)) in steps.iter().zip(&starts).enumerate() {
            if !matches!(step.joined, Some(Joint::Bend | Joint::Release))
                && let Sound::Fret(fret) = step.sound
            {
                held_now = Some(fret);
            }
            let next = steps.get(at + 1).zip(starts.get(at + 1));
            let (end, release) = match next {
                Some((next, start)) => {
                    (*start, next.joined.map_or(Release::Stopped, Release::Into))
                }
                None => self.ending(&sounding),
            };
            let heard = self.heard(step, held_now);
            let attack = self.attack(&steps, at);
            if let (Some(heard), Some(attack)) = (heard, attack) {
                notes.push(self.played(step, (*start, end), heard, attack, release));
            }
        }
        if let Some(fret) = held_now {
            held.insert_entry(fret);
        }
    }

    fn steps(&self) -> Vec<Step> {
        let note = self.note;
        let graces = note.graces.iter().enumerate().map(|(index, grace)| Step {
            grace: Some(index),
            sound: Sound::Fret(grace.sound),
            ghost: grace.ghost,
            joined: grace.joined,
            quarter_bend: grace.quarter_bend,
        });
        let main = Step {
            grace: None,
            sound: note.sound,
            ghost: note.ghost,
            joined: note.joined,
            quarter_bend: note.quarter_bend,
        };
        graces.chain([main]).collect()
    }

    /// When each step begins: what is bent before it is picked takes no time.
    fn starts(&self, steps: usize, sounding: &Sounding) -> Vec<Ticks> {
        let start = self.stroke.start;
        let graces = u32::try_from(steps.saturating_sub(1)).unwrap_or(u32::MAX);
        let each = GRACE.min((sounding.next - start) / 2 / graces.max(1));
        let mut at = start;
        let mut starts = Vec::with_capacity(steps);
        for index in 0..steps {
            starts.push(at);
            if !self.is_bent_before(index) {
                at += each;
            }
        }
        starts
    }

    /// Whether a grace note is only held to be bent, and not picked: `(7)b9`.
    fn is_bent_before(&self, index: usize) -> bool {
        let Some(grace) = self.note.graces.get(index) else { return false };
        let next = self.note.graces.get(index + 1).map_or(self.note.joined, |grace| grace.joined);
        grace.ghost && next == Some(Joint::Bend)
    }

    /// How a step begins; `None` where it is not heard.
    fn attack(&self, steps: &[Step], at: usize) -> Option<Attack> {
        if self.is_bent_before(at) {
            return None;
        }
        let joined = steps.get(at)?.joined;
        let picked_bent = at.checked_sub(1).is_some_and(|before| self.is_bent_before(before));
        Some(match joined.filter(|_| !picked_bent) {
            Some(joint) => Attack::Joined(joint),
            None if at == 0 && self.note.tapped => Attack::Tapped,
            None => self.note.slide_in.filter(|_| at == 0).map_or(Attack::Plucked, Attack::SlidIn),
        })
    }

    /// What is heard of a step while the string is held at a fret; `None` on a string that the
    /// instrument doesn't have.
    fn heard(&self, step: &Step, held: Option<Fret>) -> Option<Heard> {
        let instrument = &self.performance.riff.instrument;
        let open = instrument.sounding_pitch(self.note.string, Fret::OPEN)?;
        Some(match step.sound {
            _ if self.stroke.event.pick == Some(Pick::Choked) => Heard::Muted,
            Sound::Muted => Heard::Muted,
            Sound::Harmonic(fret) => {
                Heard::Harmonic { fret, pitch: open + harmonic::above_open(fret) }
            }
            Sound::Fret(fret) => {
                Heard::Fretted { fret: held.unwrap_or(fret), pitch: open + i32::from(fret) }
            }
        })
    }

    /// When and how the note itself ends.
    fn ending(&self, sounding: &Sounding) -> (Ticks, Release) {
        if let Some(joint) = sounding.joint {
            return (sounding.own, Release::Into(joint));
        }
        let end = sounding.rings.map_or(sounding.next, |rings| rings.max(sounding.next));
        let release = match (self.note.slide_out, sounding.rings) {
            (Some(slide), _) => Release::SlidOut(slide),
            (None, Some(_)) => Release::Rung,
            (None, None) => Release::Stopped,
        };
        (end, release)
    }

    fn played(
        &self,
        step: &Step,
        (start, end): (Ticks, Ticks),
        heard: Heard,
        attack: Attack,
        release: Release,
    ) -> Played {
        let pass = &self.stroke.pass;
        let event = self.stroke.event;
        let now = pass.bar.start + event.at;
        Played {
            place: Place {
                bar: pass.index,
                event: self.stroke.index,
                note: self.index,
                grace: step.grace,
            },
            start,
            end,
            string: self.note.string,
            heard,
            attack,
            release,
            strength: strength(step, event),
            vibrato: self.note.vibrato && step.grace.is_none(),
            quarter_bend: step.quarter_bend,
            palm_muted: self.performance.riff.run_at(MUTE, now).is_some(),
        }
    }
}

fn strength(step: &Step, event: &Event) -> Strength {
    match () {
        _ if step.ghost => Strength::Ghost,
        _ if event.signs.contains_key(ACCENT) => Strength::Accented,
        _ => Strength::Plain,
    }
}
