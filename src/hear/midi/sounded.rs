//! The notes of a part as keys that are struck: what is bent stays one key, whose pitch moves.

use crate::hear::{Part, Struck};
use crate::music::performance::{Attack, Heard, Played, Release, Strength};
use crate::music::tab::{Joint, Slide};
use crate::neck::{Fret, StringIndex};
use crate::theory::{Midi, Ticks};
use std::collections::BTreeMap;

/// How long a string is on its way to another pitch: a 32nd, or less where the note is short (assumed).
const GLIDE: Ticks = Ticks(120);
/// How long a stroke on damped strings is heard: a 32nd, or less where the note is shorter (assumed).
const DAMPED: Ticks = Ticks(120);
/// How far a slide from nowhere, or to nowhere, is heard: a whole step (assumed).
const NOWHERE: Cents = Cents(200);

/// A distance from the key's pitch, in hundredths of a half step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cents(pub i32);

/// A key that is struck and let go.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sounded {
    /// The pitch at which the string is held, or, where it is damped, that of the open string.
    pub key: Midi,
    /// When it is struck, and when let go, once through.
    pub start: Ticks,
    /// See `start`.
    pub end: Ticks,
    pub string: StringIndex,
    /// How hard it is struck, 1 to 127.
    pub velocity: u8,
    /// Whether it is a stroke on damped strings, or damped by the palm.
    pub damped: bool,
    /// The ways to other pitches, rising; a way of no length is a pitch that holds from its moment on.
    pub ways: Vec<Way>,
    /// When vibrato begins; it goes on to the end.
    pub vibrato: Option<Ticks>,
}

/// A way from one pitch to another, even in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Way {
    pub from: (Ticks, Cents),
    pub to: (Ticks, Cents),
}

impl Sounded {
    /// Whether its pitch moves, or is another than its key's.
    pub fn moves(&self) -> bool {
        self.vibrato.is_some() || !self.ways.is_empty()
    }

    /// How far the string is bent at the end of what is known of it.
    fn bent(&self) -> Cents {
        self.ways.last().map_or(Cents(0), |way| way.to.1)
    }
}

/// The keys that are struck in a part, once through, rising by their starts. What rings on ends with the time
/// through, at `length`.
pub(super) fn sounded(part: &Part, length: Ticks) -> Vec<Sounded> {
    let mut all: Vec<Sounded> = Vec::with_capacity(part.notes.len());
    let mut last: BTreeMap<StringIndex, usize> = BTreeMap::new();
    for Struck { played, .. } in &part.notes {
        let played = Played { end: played.end.min(length), ..*played };
        let before = last.get(&played.string).and_then(|index| all.get_mut(*index));
        if before.is_some_and(|before| goes_on(before, &played, part)) {
            continue;
        }
        let struck = struck(&played, part);
        last.insert(played.string, all.len());
        all.extend(struck);
    }
    all
}

/// Lets a key sound on, bent to the pitch of what is joined to it by a bend or its release; whether it did.
fn goes_on(before: &mut Sounded, played: &Played, part: &Part) -> bool {
    let joined = matches!(played.attack, Attack::Joined(Joint::Bend | Joint::Release));
    let pitch = match played.heard {
        Heard::Fretted { pitch, .. } if joined && before.end == played.start => pitch,
        _ => return false,
    };
    if held_pitch(played, part) != Some(before.key) {
        return false;
    }
    let to = Cents((pitch - before.key) * 100);
    let begun = before.ways.last().map_or(before.start, |way| way.to.0);
    let time = GLIDE.min(before.end.since(begun) / 2);
    let from = (before.end - time, before.bent());
    before.ways.push(Way { from, to: (before.end, to) });
    before.end = played.end;
    colour(before, played);
    true
}

/// The key that is struck for a note; none for one on a string that the instrument doesn't have.
fn struck(played: &Played, part: &Part) -> Option<Sounded> {
    let key = held_pitch(played, part)?;
    let muted = played.heard == Heard::Muted;
    let length = played.end.since(played.start);
    let sounds = if muted { length.min(DAMPED) } else { length };
    let mut sounded = Sounded {
        key,
        start: played.start,
        end: played.start + sounds.max(Ticks(1)),
        string: played.string,
        velocity: velocity(played),
        damped: muted || played.palm_muted,
        ways: Vec::new(),
        vibrato: None,
    };
    let from = played.start;
    if let Heard::Fretted { pitch, .. } = played.heard
        && pitch != key
    {
        let bent = (from, Cents((pitch - key) * 100));
        sounded.ways.push(Way { from: bent, to: bent });
    }
    if let Attack::SlidIn(slide) = played.attack {
        let there = sounded.bent();
        let begin = Cents(there.0 - NOWHERE.towards(slide));
        sounded.ways = vec![Way { from: (from, begin), to: (from + GLIDE.min(length / 2), there) }];
    }
    colour(&mut sounded, played);
    Some(sounded)
}

/// What moves the pitch of a note besides its bends: a quarter tone, vibrato, and a slide out of it.
fn colour(sounded: &mut Sounded, played: &Played) {
    let length = played.end.since(played.start);
    if played.quarter_bend {
        let (from, there) = (played.start + length / 4, sounded.bent());
        let to = (from + length / 4, Cents(there.0 + 50));
        sounded.ways.push(Way { from: (from, there), to });
    }
    if played.vibrato {
        sounded.vibrato.get_or_insert(played.start);
    }
    if let Release::SlidOut(slide) = played.release {
        let there = sounded.bent();
        let gone = Cents(there.0 + NOWHERE.towards(slide));
        let from = played.end - GLIDE.min(length / 2);
        sounded.ways.push(Way { from: (from, there), to: (played.end, gone) });
    }
}

impl Cents {
    /// So far in the way that a slide runs.
    fn towards(self, slide: Slide) -> i32 {
        match slide {
            Slide::Up => self.0,
            Slide::Down => -self.0,
        }
    }
}

/// The pitch of a string where it is held, as it sounds: a harmonic's is its own, a damped string's that of the
/// open one. None on a string that the instrument doesn't have.
fn held_pitch(played: &Played, part: &Part) -> Option<Midi> {
    let at = |fret| part.instrument.sounding_pitch(played.string, fret);
    match played.heard {
        Heard::Fretted { fret, .. } => at(fret),
        Heard::Harmonic { pitch, .. } => Some(pitch),
        Heard::Muted => at(Fret::OPEN),
    }
}

/// How hard a note is struck (assumed): one that is hammered, pulled or slid to is softer than one that is
/// plucked.
fn velocity(played: &Played) -> u8 {
    let plucked = match played.strength {
        Strength::Ghost => 44,
        Strength::Plain => 80,
        Strength::Accented => 108,
    };
    match played.attack {
        Attack::Joined(_) => plucked - 12,
        _ => plucked,
    }
}
