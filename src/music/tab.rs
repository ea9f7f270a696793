//! A tab: what a riff comes to that is written as one, in pitches or in strokes, and one that is moved
//! elsewhere: bars that add up, notes at moments in whole ticks.

use crate::neck::{Finger, Fingering, Fret, Instrument, StringIndex};
use crate::theory::{Chord, Key, Meter, Ticks};
use std::collections::BTreeMap;

/// A riff that has been read.
#[derive(Debug, Clone)]
pub struct Riff {
    /// What kind of riff it is.
    pub form: Form,
    /// The key that holds in it, if one is known; a riff that was moved to another key has that.
    pub key: Option<Key>,
    /// Its bars in written order.
    pub bars: Vec<Bar>,
    /// Whether the first bar is an upbeat, bar 0.
    pub pickup: bool,
    /// Whether the tune, or its part, ends with its last bar; an excerpt may go on.
    pub ends: bool,
    /// How long what sounded before its first bar sounds on; none but in an excerpt.
    pub held_over: Ticks,
    /// Whether it has a count. Without one, moments are columns: one tick each.
    pub timed: bool,
    /// The instrument it is for.
    pub instrument: Instrument,
    /// Whether numbers of the count rows in 6/8, 9/8 and 12/8 are the big beats.
    pub big_beats: bool,
    /// Runs over which something holds, each row's own, rising.
    pub runs: ByRow<Vec<Run>>,
    /// Whether its fingers are printed: it has a `left` row, whose gaps are filled with fingers that
    /// were worked out, or its places were found too. Without either all fingers are worked out, and
    /// none is printed.
    pub fingered: bool,
    /// The harmony in force, one entry a bar.
    pub harmony: Vec<BarHarmony>,
    /// Whether what is played was taken out, for a student to write it in.
    pub frame: bool,
}

/// What rows say, by their labels. What is checked has a place of its own in the model; whatever
/// else a row says is kept here, so that a row more changes nothing in it.
pub type ByRow<T> = BTreeMap<&'static str, T>;

/// From when to when something holds, counted from the riff's start.
pub type Run = (Ticks, Ticks);

/// The row of the runs in which notes ring on.
pub const RING: &str = "ring";
/// The row of the runs in which the palm damps the strings.
pub const MUTE: &str = "mute";
/// The row of what amplifier and pedals do.
pub const TONE: &str = "tone";
/// The row of the syllables that are sung.
pub const SUNG: &str = "sung";
/// The row of the signs of what stands out.
pub const ACCENT: &str = "accent";

/// What kind of riff it is. Whatever it is, its events hold all that is played.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// A tab, or a `notes` row that has been laid on strings.
    Tab,
    /// A strumming pattern: each event is a stroke over a chord, its notes those of the chord's shape.
    Strum(Vec<Strummed>),
    /// Chords over words, with nothing said about how they are played.
    Words,
}

/// A chord of a strumming pattern with the shape that it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Strummed {
    /// The chord.
    pub chord: Chord,
    /// Its shape.
    pub shape: Fingering,
}

impl Riff {
    /// The places that are fretted or played open: string, fret, and the finger where it is known.
    /// A bend's place is where the string is held.
    pub fn played(&self) -> Vec<(StringIndex, Fret, Option<Finger>)> {
        let events = self.bars.iter().flat_map(|bar| &bar.events);
        events
            .flat_map(|event| &event.notes)
            .filter_map(|note| Some((note.string, note.held_fret()?, note.finger)))
            .collect()
    }

    /// The riff without all that is played: its bars, counts, chords and words are left. A frame has no rhythm and
    /// no fingers; chords over words have nothing that could be taken out of them.
    pub fn emptied(&self) -> Option<Riff> {
        if self.form == Form::Words {
            return None;
        }
        let bars = self.bars.iter().map(|bar| Bar {
            number: bar.number,
            meter: bar.meter,
            chords: bar.chords.clone(),
            counts: bar.counts.clone(),
            events: Vec::new(),
            air: Vec::new(),
            remarks: bar.remarks.clone(),
            ..*bar
        });
        Some(Riff {
            form: self.form.clone(),
            bars: bars.collect(),
            held_over: Ticks::ZERO,
            instrument: self.instrument.clone(),
            runs: ByRow::new(),
            fingered: false,
            harmony: self.harmony.clone(),
            frame: true,
            ..*self
        })
    }

    /// The runs of a row.
    pub fn runs(&self, row: &str) -> &[Run] {
        self.runs.get(row).map(Vec::as_slice).unwrap_or_default()
    }

    /// The run of a row in which a moment is, counted from the riff's start.
    pub fn run_at(&self, row: &str, at: Ticks) -> Option<Run> {
        let runs = self.runs(row);
        let begun = runs.partition_point(|(from, _)| *from <= at);
        runs.get(begun.checked_sub(1)?).copied().filter(|(_, end)| *end > at)
    }

    /// The chord that holds at a moment of a bar, by its index, the first time that it is played;
    /// `None` where no chord is known, or none holds.
    pub fn chord_at(&self, bar: usize, at: Ticks) -> Option<&Chord> {
        self.harmony.get(bar)?.passes.first()?.chord_at(at)
    }

    /// How many bars and notes there are.
    pub fn size(&self) -> usize {
        let notes = self.bars.iter().flat_map(|bar| &bar.events).map(|event| event.notes.len());
        self.bars.len() + notes.sum::<usize>()
    }
}

/// The harmony over one bar.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BarHarmony {
    /// The different harmonies that the bar is played over, that of the first time first. There
    /// is more than one only where a repeat meets other chords of the changes. Empty where no
    /// chords are known.
    pub passes: Vec<Pass>,
}

/// The chords of a bar one of the times that it is played.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pass {
    /// Each chord with the moment in the bar from which it holds, rising; `None` is no chord. The
    /// first stands at 0 wherever a chord is known there.
    pub chords: Vec<(Ticks, Option<Chord>)>,
}

impl Pass {
    /// The chord that holds at a moment of the bar.
    pub fn chord_at(&self, at: Ticks) -> Option<&Chord> {
        let next = self.chords.partition_point(|(from, _)| *from <= at);
        self.chords.get(next.checked_sub(1)?)?.1.as_ref()
    }
}

/// One bar.
#[derive(Debug, Clone)]
pub struct Bar {
    /// Its number: 1 is the first whole bar, 0 an upbeat.
    pub number: usize,
    /// Its meter.
    pub meter: Meter,
    /// Whether the meter is printed here, since it differs from the bar before.
    pub meter_changes: bool,
    /// When it begins, counted from the riff's start as written (repeats not played out).
    pub start: Ticks,
    /// How long it is: the meter's bar, less for an upbeat.
    pub length: Ticks,
    /// Whether a repeat begins here.
    pub repeat_start: bool,
    /// How many times in all the repeat that ends here is played.
    pub repeat_end: Option<u32>,
    /// Whether it ends with a double bar.
    pub double_end: bool,
    /// The ending that begins here: 1 or 2.
    pub ending: Option<u8>,
    /// Whether an ending holds in this bar: its number.
    pub within_ending: Option<u8>,
    /// The chords written above, rising.
    pub chords: Vec<ChordAt>,
    /// The counts, rising.
    pub counts: Vec<Count>,
    /// What is played, rising; one event a moment.
    pub events: Vec<Event>,
    /// Strokes at moments at which nothing is struck, rising: the hand keeps its swing.
    pub air: Vec<AirStroke>,
    /// What rows say at its moments in words, each row's own, rising: remarks, syllables.
    pub remarks: ByRow<Vec<Remark>>,
}

impl Bar {
    /// A bar as long, with the same signs, in which nothing is played, counted or said.
    pub fn silent(&self) -> Bar {
        Bar {
            chords: Vec::new(),
            counts: Vec::new(),
            events: Vec::new(),
            air: Vec::new(),
            remarks: ByRow::new(),
            ..*self
        }
    }

    /// What a row says at the bar's moments in words.
    pub fn remarks(&self, row: &str) -> &[Remark] {
        self.remarks.get(row).map(Vec::as_slice).unwrap_or_default()
    }
}

/// A chord symbol in a `chord` row.
#[derive(Debug, Clone)]
pub struct ChordAt {
    /// From when it holds, in the bar.
    pub at: Ticks,
    /// The chord; `None` is no chord.
    pub chord: Option<Chord>,
}

/// A sign in the count row.
#[derive(Debug, Clone)]
pub struct Count {
    /// When, in the bar.
    pub at: Ticks,
    /// As written, without brackets: `1`, `&`, `la`.
    pub sign: String,
    /// Whether all sound stops here.
    pub rest: bool,
}

/// A stroke that strikes nothing.
#[derive(Debug, Clone)]
pub struct AirStroke {
    /// When, in the bar.
    pub at: Ticks,
    /// The stroke.
    pub pick: Pick,
}

/// A word under a moment.
#[derive(Debug, Clone)]
pub struct Remark {
    /// When, in the bar.
    pub at: Ticks,
    /// The words.
    pub text: String,
}

/// Everything that is plucked or sounded anew at one moment.
#[derive(Debug, Clone)]
pub struct Event {
    /// When, in the bar.
    pub at: Ticks,
    /// To the next note or rest of the riff, over bar lines.
    pub duration: Ticks,
    /// The notes, the lowest-placed string first.
    pub notes: Vec<Note>,
    /// Plucking fingers, as written: one for all, or one a note from the lowest.
    pub right: String,
    /// The pick's stroke.
    pub pick: Option<Pick>,
    /// The signs of rows that are printed and told, and of which nothing is checked.
    pub signs: ByRow<String>,
    /// Whether a `meant` row marks it.
    pub meant: bool,
}

impl Event {
    /// What is played at a moment, with nothing said about it yet.
    pub fn new(at: Ticks, notes: Vec<Note>) -> Event {
        Event {
            at,
            duration: Ticks::ZERO,
            notes,
            right: String::new(),
            pick: None,
            signs: ByRow::new(),
            meant: false,
        }
    }
}

/// One note on a string; with other parameters one of a [`Melody`](super::melody::Melody).
#[derive(Debug, Clone)]
pub struct Note<S = Sound, P = Fret> {
    /// The string's index, 0 the lowest-placed.
    pub string: StringIndex,
    /// What sounds.
    pub sound: S,
    /// Whether it is optional, written `(7)`.
    pub ghost: bool,
    /// How it is reached from the note before it on the string: from its last grace note if it has
    /// any, else from the last earlier event's note on that string.
    pub joined: Option<Joint>,
    /// The grace notes before it, in order, each on the same string.
    pub graces: Vec<Grace<P>>,
    /// Slides in from nowhere.
    pub slide_in: Option<Slide>,
    /// Slides out to nowhere.
    pub slide_out: Option<Slide>,
    /// Vibrato.
    pub vibrato: bool,
    /// Bent by a quarter tone, `7b+`.
    pub quarter_bend: bool,
    /// Written `t12`: tapped, with no note before it; its first grace note is, where it has any.
    pub tapped: bool,
    /// The fretting finger, if known.
    pub finger: Option<Finger>,
}

impl<S, P> Note<S, P> {
    /// The same on a string, as what sounds there, its grace notes too.
    pub fn on<T, Q>(&self, string: StringIndex, sound: T, graces: Vec<Grace<Q>>) -> Note<T, Q> {
        Note {
            string,
            sound,
            ghost: self.ghost,
            joined: self.joined,
            graces,
            slide_in: self.slide_in,
            slide_out: self.slide_out,
            vibrato: self.vibrato,
            quarter_bend: self.quarter_bend,
            tapped: self.tapped,
            finger: self.finger,
        }
    }

    /// Whether it, or a grace note before it, is bent by a quarter tone.
    pub fn has_quarter_bend(&self) -> bool {
        self.quarter_bend || self.graces.iter().any(|grace| grace.quarter_bend)
    }
}

impl Note {
    /// The fret at which the string is held or left open: for a bent note the one that the bend
    /// starts from. `None` for muted strokes and harmonics, and for what is bent from an earlier note.
    pub fn held_fret(&self) -> Option<Fret> {
        let Sound::Fret(fret) = self.sound else { return None };
        let graces = self.graces.iter().map(|grace| (grace.sound, grace.joined));
        let mut steps = graces.chain([(fret, self.joined)]).rev();
        let pressed = |joined| !matches!(joined, Some(Joint::Bend | Joint::Release));
        steps.find(|(_, joined)| pressed(*joined)).map(|(fret, _)| fret)
    }
}

/// What a note sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sound {
    /// A fret, counted from the capo; 0 is open. After a bend it is the fret whose pitch is
    /// reached, not the one that is held.
    Fret(Fret),
    /// A harmonic over a fret.
    Harmonic(Fret),
    /// A muted stroke.
    Muted,
}

/// A grace note.
#[derive(Debug, Clone)]
pub struct Grace<P = Fret> {
    /// What sounds: a fret, or in a melody a pitch.
    pub sound: P,
    /// Whether it is optional or only bent, not picked, written `(7)`.
    pub ghost: bool,
    /// How it is reached from the one before it.
    pub joined: Option<Joint>,
    /// Bent by a quarter tone, `7b+`.
    pub quarter_bend: bool,
    /// The fretting finger, if known.
    pub finger: Option<Finger>,
}

impl<P> Grace<P> {
    /// The same as what sounds elsewhere.
    pub fn on<Q>(&self, sound: Q) -> Grace<Q> {
        Grace {
            sound,
            ghost: self.ghost,
            joined: self.joined,
            quarter_bend: self.quarter_bend,
            finger: self.finger,
        }
    }
}

/// How a note is reached from the one before it on the string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Joint {
    HammerOn,
    PullOff,
    Slide,
    Tap,
    /// Bent up to its pitch; the fret that is held is that of the note before.
    Bend,
    /// The bend let down to its pitch.
    Release,
}

/// Which way a slide runs, as written: `/` up, `\` down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Slide {
    Up,
    Down,
}

/// The pick's stroke.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Pick {
    Down,
    Up,
    Choked,
}
