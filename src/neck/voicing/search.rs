//! All the shapes that sound a chord and that a hand can hold.
//!
//! A shape that presses anything has a lowest pressed fret. For each such fret the strings are gone
//! through from the lowest-placed one, and each is silent, open, or on a tone of the chord from that
//! fret to the highest that the hand reaches with it. So no shape is missed and none is met twice.
//! A branch ends as soon as the strings that are left can't sound together what the chord still
//! needs and press the lowest fret, or more than four fingers would be needed.

use super::{Grip, Shape};
use crate::neck::{Fret, Hand, Instrument, Neck, StringIndex};
use crate::theory::chord::Demand;
use crate::theory::{Chord, Midi};
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
    /// The strings that may sound; the others are silent.
    pub strings: Vec<StringIndex>,
    /// The frets that may be used; an open string is fret 0.
    pub frets: RangeInclusive<Fret>,
    /// A string and a fret that must sound and be the highest note; it need be no tone of the chord.
    pub top: Option<(StringIndex, Fret)>,
}

impl<'a> Search<'a> {
    /// A search over all strings and frets.
    pub fn new(chord: &'a Chord, instrument: &'a Instrument, hand: Hand) -> Search<'a> {
        Search {
            chord,
            instrument,
            hand,
            strings: instrument.tuning.indices().collect(),
            frets: Fret::OPEN..=instrument.last_fret(),
            top: None,
        }
    }

    /// Every shape that the hand can hold, each once, by rising lowest fret.
    ///
    /// ```
    /// use fretleaf::neck::voicing::Search;
    /// use fretleaf::neck::{Fret, Hand, Instrument};
    /// use fretleaf::theory::Chord;
    ///
    /// let (chord, guitar) = (Chord::parse("C").unwrap(), Instrument::guitar());
    /// let shapes = Search::new(&chord, &guitar, Hand::MEDIUM).all();
    /// let open_c = [None, Some(3), Some(2), Some(0), Some(1), Some(0)];
    /// let open_c = open_c.map(|fret| fret.map(Fret::new));
    /// assert!(shapes.iter().any(|shape| shape.frets() == open_c));
    /// ```
    pub fn all(&self) -> Vec<Shape> {
        let last = self.instrument.last_fret();
        let grip = Grip::new(&Neck::of(self.instrument), self.hand, last);
        let mut walk = Walk::new(self, &grip);
        walk.within(Fret::OPEN..=Fret::OPEN);
        for lowest in self.frets.start().max(&Fret::FIRST).to((*self.frets.end()).min(last)) {
            walk.within(lowest..=grip.highest_with(lowest).min(*self.frets.end()));
        }
        walk.found
    }

    /// What the notes must be, the highest one being free where it is given.
    fn demand(&self) -> Demand {
        let mut demand = self.chord.demand();
        if let Some(pitch) = self.top_pitch() {
            demand.allowed |= 1 << pitch.class();
        }
        demand
    }

    fn top_pitch(&self) -> Option<Midi> {
        let (string, fret) = self.top?;
        self.instrument.written_pitch(string, fret)
    }

    /// The tones that a string may sound, the frets rising.
    fn tones_on(&self, string: StringIndex, demand: &Demand, wanted: &[u16]) -> Vec<Tone> {
        if !self.strings.contains(&string) && self.top.is_none_or(|(top, _)| top != string) {
            return Vec::new();
        }
        let tone = |fret| {
            let pitch = self.instrument.written_pitch(string, fret)?;
            let class = 1 << pitch.class();
            Some(Tone { fret, class, pitch, brings: brought(class, wanted) })
        };
        if let Some((_, fret)) = self.top.filter(|(top, _)| *top == string) {
            return tone(fret).into_iter().collect();
        }
        let below_top = |tone: &Tone| self.top_pitch().is_none_or(|top| tone.pitch < top);
        let last = self.instrument.last_fret().min(*self.frets.end());
        let frets = self.frets.start().to(last).filter_map(tone);
        frets.filter(|tone| tone.class & demand.allowed != 0).filter(below_top).collect()
    }
}

/// A tone of the chord on a string.
#[derive(Debug, Clone, Copy)]
struct Tone {
    fret: Fret,
    /// Its pitch class as a bit.
    class: u16,
    pitch: Midi,
    /// What it brings of what is wanted.
    brings: Wants,
}

/// What a shape is not complete without, each a bit: the window's lowest fret pressed, and tones of
/// the chord.
type Wants = u8;

/// The window's lowest fret.
const LOWEST_FRET: Wants = 1;
/// So many wants are looked out for, since the sets of them are bits of 128; the others of a chord with
/// more are only asked at the end.
const MOST_WANTS: usize = 7;

/// The tones that are looked out for: sets of pitch classes of which one at least must sound.
fn wanted(demand: &Demand) -> Vec<u16> {
    let each = (0..12).map(|class| 1u16 << class).filter(|class| demand.needed & class != 0);
    let choice = Some(demand.one_of).filter(|classes| *classes != 0);
    choice.into_iter().chain(each).take(MOST_WANTS - 1).collect()
}

/// What classes bring of what is wanted.
fn brought(classes: u16, wanted: &[u16]) -> Wants {
    let brought = wanted.iter().zip(1..).filter(|(wanted, _)| *wanted & classes != 0);
    brought.fold(0, |wants, (_, bit)| wants | 1 << bit)
}

/// Sets of wants, a bit for each set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Sets(u128);

impl Sets {
    /// The empty set alone.
    const EMPTY: Sets = Sets(1);

    fn contains(self, wants: Wants) -> bool {
        self.0 >> wants & 1 == 1
    }

    /// These sets, and each with what a tone brings.
    fn with(self, brings: Wants) -> Sets {
        let bits = (0..MOST_WANTS).filter(|bit| brings >> bit & 1 == 1);
        Sets(bits.fold(self.0, |sets, bit| {
            // With a want a set's number grows by so much; the sets without it lie in every other
            // stretch of so many.
            let stretch = 1u32 << bit;
            let without = u128::MAX / ((1 << stretch) + 1);
            sets | (sets & without) << stretch
        }))
    }
}

/// Higher than any pitch: the lowest where nothing sounds.
const ABOVE_ALL: Midi = Midi::new(i32::MAX);

/// What the strings gone through so far amount to.
#[derive(Debug, Clone, Copy)]
struct State {
    sounding: u16,
    /// What is still wanted.
    missing: Wants,
    lowest: Midi,
    /// The frets, counted from the window's lowest, on which a finger lies that can be stretched
    /// out to the next string.
    growing: u64,
    /// How many fingers are needed at least: one for each row of strings on a fret under which
    /// nothing rings lower.
    fingers: u32,
}

/// The way through the strings in one window of frets after the other.
struct Walk<'a> {
    demand: Demand,
    bass: Option<u8>,
    /// The string that must sound.
    must: Option<StringIndex>,
    /// What each string may sound on the whole neck.
    tones: Vec<Vec<Tone>>,
    /// What is wanted of every shape, but for the window's lowest fret.
    wants: Wants,
    grip: &'a Grip,
    /// What each string may sound in the window: its open tone, then the pressed ones.
    options: Vec<Vec<Tone>>,
    /// For each string, and for the end, what the strings from there can bring together.
    left: Vec<Sets>,
    /// The window's lowest fret.
    lowest: Fret,
    shape: Shape,
    found: Vec<Shape>,
}

impl<'a> Walk<'a> {
    fn new(search: &Search, grip: &'a Grip) -> Walk<'a> {
        let strings = search.instrument.tuning.len();
        let demand = search.demand();
        let wanted = wanted(&demand);
        Walk {
            demand,
            bass: search.chord.bass.map(|bass| bass.class()),
            must: search.top.map(|(string, _)| string),
            tones: search
                .instrument
                .tuning
                .indices()
                .map(|string| search.tones_on(string, &demand, &wanted))
                .collect(),
            wants: brought(demand.allowed, &wanted),
            grip,
            options: vec![Vec::new(); strings],
            left: vec![Sets::EMPTY; strings + 1],
            lowest: Fret::OPEN,
            shape: Shape::silent(strings),
            found: Vec::new(),
        }
    }

    /// Finds the shapes whose pressed frets lie in a window, its lowest one among them; those that
    /// press nothing for the window of fret 0.
    fn within(&mut self, window: RangeInclusive<Fret>) {
        self.lowest = *window.start();
        for (options, tones) in self.options.iter_mut().zip(&self.tones) {
            options.clear();
            let here =
                tones.iter().filter(|tone| tone.fret.is_open() || window.contains(&tone.fret));
            options.extend(here.map(|tone| tone.in_window(self.lowest)));
        }
        let mut left = Sets::EMPTY;
        for (place, options) in self.left.iter_mut().rev().skip(1).zip(self.options.iter().rev()) {
            left = options.iter().fold(left, |sets, tone| Sets(sets.0 | left.with(tone.brings).0));
            *place = left;
        }
        self.string(StringIndex::LOWEST, State::nothing(self.wants | LOWEST_FRET));
    }

    /// Goes on from a string, the ones before being set.
    fn string(&mut self, string: StringIndex, state: State) {
        if self.left.get(string.index()).is_none_or(|left| !left.contains(state.missing)) {
            return;
        }
        if string.index() == self.options.len() {
            return self.end(&state);
        }
        let mut at = 0;
        while let Some(tone) =
            self.options.get(string.index()).and_then(|options| options.get(at)).copied()
        {
            at += 1;
            let state = state.with(tone, self.lowest);
            if state.fingers <= 4 {
                self.shape.set(string, Some(tone.fret));
                self.string(string.next(), state);
            }
        }
        self.shape.set(string, None);
        if self.must != Some(string) {
            self.string(string.next(), State { growing: 0, ..state });
        }
    }

    /// Takes the shape in, if it is one of those that are searched for.
    fn end(&mut self, state: &State) {
        let bass = self.bass.is_none_or(|bass| state.lowest.class() == bass);
        let sounds = bass && self.demand.is_met_by(state.sounding);
        if sounds && self.grip.can_hold(self.shape.frets()) {
            self.found.push(self.shape);
        }
    }
}

impl Tone {
    /// The tone with what it brings in a window of frets.
    fn in_window(self, lowest_fret: Fret) -> Tone {
        let lowest = if self.fret == lowest_fret { LOWEST_FRET } else { 0 };
        Tone { brings: self.brings | lowest, ..self }
    }
}

impl State {
    /// Nothing sounding yet.
    fn nothing(missing: Wants) -> State {
        State { sounding: 0, missing, lowest: ABOVE_ALL, growing: 0, fingers: 0 }
    }

    /// The state with one more string sounding.
    fn with(self, tone: Tone, lowest_fret: Fret) -> State {
        let place = tone.fret.above(lowest_fret).min(63);
        let pressed = tone.fret.is_pressed();
        let not_above = u64::MAX >> (63 - place);
        let growing = if pressed { self.growing & not_above } else { 0 };
        let new = pressed && growing >> place & 1 == 0;
        State {
            sounding: self.sounding | tone.class,
            missing: self.missing & !tone.brings,
            lowest: self.lowest.min(tone.pitch),
            growing: if pressed { growing | 1 << place } else { 0 },
            fingers: self.fingers + u32::from(new),
        }
    }
}
