//! All the shapes that sound a chord and that a hand can hold.
//!
//! A shape that presses anything has a lowest pressed fret. For each such fret the strings are gone
//! through from the lowest-placed one, and each is silent, open, or on a tone of the chord from that
//! fret to the highest that the hand reaches with it. So no shape is missed and none is met twice.
//! A branch ends as soon as the strings that are left can't sound what the chord still needs, can't
//! press the lowest fret, or more than four fingers would be needed.

use super::{Grip, Shape};
use crate::neck::{Hand, Instrument, Neck};
use crate::theory::Chord;
use crate::theory::chord::Demand;
use std::ops::RangeInclusive;

/// What is searched for: shapes that sound a chord as language section 5 says, its root among the
/// notes and, where a bass is named, the bass lowest.
#[derive(Debug, Clone)]
pub struct Search<'a> {
    /// The chord.
    pub chord: &'a Chord,
    /// The instrument.
    pub instrument: &'a Instrument,
    /// The hand that must hold the shape, the thumb behind the neck.
    pub hand: Hand,
    /// The strings that may sound, by index; the others are silent.
    pub strings: Vec<usize>,
    /// The frets that may be used; an open string is fret 0.
    pub frets: RangeInclusive<u8>,
    /// A string and a fret that must sound and be the highest note; it need be no tone of the chord.
    pub top: Option<(usize, u8)>,
}

impl<'a> Search<'a> {
    /// A search over all strings and frets.
    pub fn new(chord: &'a Chord, instrument: &'a Instrument, hand: Hand) -> Search<'a> {
        Search {
            chord,
            instrument,
            hand,
            strings: (0..instrument.tuning.len()).collect(),
            frets: 0..=instrument.last_fret(),
            top: None,
        }
    }

    /// Every shape that the hand can hold, each once, by rising lowest fret.
    pub fn all(&self) -> Vec<Shape> {
        let last = self.instrument.last_fret();
        let grip = Grip::new(&Neck::of(self.instrument), self.hand, last);
        let mut walk = Walk::new(self, &grip);
        walk.within(0..=0);
        for lowest in (*self.frets.start()).max(1)..=(*self.frets.end()).min(last) {
            walk.within(lowest..=grip.highest_with(lowest).min(*self.frets.end()));
        }
        walk.found
    }

    /// What the notes must be, the highest one being free where it is given.
    fn demand(&self) -> Demand {
        let mut demand = self.chord.demand();
        if let Some(pitch) = self.top_pitch() {
            demand.allowed |= 1 << pitch.rem_euclid(12);
        }
        demand
    }

    fn top_pitch(&self) -> Option<i32> {
        let (string, fret) = self.top?;
        self.instrument.written_pitch(string, fret)
    }

    /// The tones that a string may sound, the frets rising.
    fn tones_on(&self, string: usize, demand: &Demand) -> Vec<Tone> {
        if !self.strings.contains(&string) && self.top.is_none_or(|(top, _)| top != string) {
            return Vec::new();
        }
        let tone = |fret| {
            let pitch = self.instrument.written_pitch(string, fret)?;
            Some(Tone { fret, class: 1 << pitch.rem_euclid(12), pitch })
        };
        if let Some((_, fret)) = self.top.filter(|(top, _)| *top == string) {
            return tone(fret).into_iter().collect();
        }
        let below_top = |tone: &Tone| self.top_pitch().is_none_or(|top| tone.pitch < top);
        let last = self.instrument.last_fret().min(*self.frets.end());
        let frets = (*self.frets.start()..=last).filter_map(tone);
        frets.filter(|tone| tone.class & demand.allowed != 0).filter(below_top).collect()
    }
}

/// A tone of the chord on a string.
#[derive(Debug, Clone, Copy)]
struct Tone {
    fret: u8,
    /// Its pitch class as a bit.
    class: u16,
    pitch: i32,
}

/// What the strings gone through so far amount to.
#[derive(Debug, Clone, Copy)]
struct State {
    sounding: u16,
    lowest: i32,
    /// The frets, counted from the window's lowest, on which a finger lies that can be stretched
    /// out to the next string.
    growing: u64,
    /// How many fingers are needed at least: one for each row of strings on a fret under which
    /// nothing rings lower.
    fingers: u32,
    /// Whether the window's lowest fret is pressed.
    at_lowest: bool,
}

const NOTHING: State =
    State { sounding: 0, lowest: i32::MAX, growing: 0, fingers: 0, at_lowest: false };

/// What the strings from one on can still sound in a window.
#[derive(Debug, Clone, Copy, Default)]
struct Left {
    classes: u16,
    at_lowest: bool,
}

/// The way through the strings in one window of frets after the other.
struct Walk<'a> {
    demand: Demand,
    bass: Option<u8>,
    /// The string that must sound.
    must: Option<usize>,
    /// What each string may sound on the whole neck.
    tones: Vec<Vec<Tone>>,
    grip: &'a Grip,
    /// What each string may sound in the window: its open tone, then the pressed ones.
    options: Vec<Vec<Tone>>,
    /// For each string, and for the end, what is left from there.
    left: Vec<Left>,
    /// The window's lowest fret.
    lowest: u8,
    shape: Shape,
    found: Vec<Shape>,
}

impl<'a> Walk<'a> {
    fn new(search: &Search, grip: &'a Grip) -> Walk<'a> {
        let strings = search.instrument.tuning.len();
        let demand = search.demand();
        Walk {
            demand,
            bass: search.chord.bass.map(|bass| bass.class()),
            must: search.top.map(|(string, _)| string),
            tones: (0..strings).map(|string| search.tones_on(string, &demand)).collect(),
            grip,
            options: vec![Vec::new(); strings],
            left: vec![Left::default(); strings + 1],
            lowest: 0,
            shape: Shape::silent(strings),
            found: Vec::new(),
        }
    }

    /// Finds the shapes whose pressed frets lie in a window, its lowest one among them; those that
    /// press nothing for the window of fret 0.
    fn within(&mut self, window: RangeInclusive<u8>) {
        self.lowest = *window.start();
        for (options, tones) in self.options.iter_mut().zip(&self.tones) {
            options.clear();
            options
                .extend(tones.iter().filter(|tone| tone.fret == 0 || window.contains(&tone.fret)));
        }
        let mut left = Left::default();
        for (place, options) in self.left.iter_mut().rev().skip(1).zip(self.options.iter().rev()) {
            for tone in options {
                left.classes |= tone.class;
                left.at_lowest |= tone.fret == self.lowest;
            }
            *place = left;
        }
        self.string(0, State { at_lowest: self.lowest == 0, ..NOTHING });
    }

    /// Goes on from a string, the ones before being set.
    fn string(&mut self, string: usize, state: State) {
        let left = self.left.get(string).copied().unwrap_or_default();
        let lacks = self.demand.needed & !(state.sounding | left.classes) != 0;
        if lacks || !(state.at_lowest || left.at_lowest) {
            return;
        }
        if string == self.options.len() {
            return self.end(&state);
        }
        let mut at = 0;
        while let Some(tone) = self.options.get(string).and_then(|options| options.get(at)).copied()
        {
            at += 1;
            let state = state.with(tone, self.lowest);
            if state.fingers <= 4 {
                self.shape.set(string, Some(tone.fret));
                self.string(string + 1, state);
            }
        }
        self.shape.set(string, None);
        if self.must != Some(string) {
            self.string(string + 1, State { growing: 0, ..state });
        }
    }

    /// Takes the shape in, if it is one of those that are searched for.
    fn end(&mut self, state: &State) {
        let bass = self.bass.is_none_or(|bass| state.lowest.rem_euclid(12) == i32::from(bass));
        let sounds = bass && self.demand.is_met_by(state.sounding);
        if sounds && self.grip.can_hold(self.shape.frets()) {
            self.found.push(self.shape);
        }
    }
}

impl State {
    /// The state with one more string sounding.
    fn with(self, tone: Tone, lowest_fret: u8) -> State {
        let place = tone.fret.saturating_sub(lowest_fret).min(63);
        let pressed = tone.fret > 0;
        let not_above = u64::MAX >> (63 - place);
        let growing = if pressed { self.growing & not_above } else { 0 };
        let new = pressed && growing >> place & 1 == 0;
        State {
            sounding: self.sounding | tone.class,
            lowest: self.lowest.min(tone.pitch),
            growing: if pressed { growing | 1 << place } else { 0 },
            fingers: self.fingers + u32::from(new),
            at_lowest: self.at_lowest || tone.fret == lowest_fret,
        }
    }
}
