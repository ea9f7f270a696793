//! A part as a line of tones in the order of time, each bar once.

use crate::blocks::tab::Tab;
use crate::blocks::tab::parts::{Part, Parts};
use crate::findings::Span;
use crate::lesson::setting::Swing;
use crate::music::performance::{Heard, Pace, Performance, Played, Strength};
use crate::music::tab::{Bar, Riff};
use crate::neck::StringIndex;
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Key, Midi, Ticks};
use std::ops::Range;

/// So many tones back are looked at for what still sounds: what was struck before them has died away (assumed).
const RINGING: usize = 24;

/// A tone that is heard.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tone {
    /// The index of its bar.
    pub bar: usize,
    /// When it is struck, in the bar.
    pub at: Ticks,
    /// When it is struck, from the beginning.
    pub start: Ticks,
    /// When it ends.
    pub end: Ticks,
    /// Its string.
    pub string: StringIndex,
    /// Its pitch, as it is written beside the chords.
    pub pitch: Midi,
    /// Whether a `meant` row marks it.
    pub meant: bool,
    /// The index of its moment.
    moment: usize,
}

/// A part as it is heard.
pub(super) struct Voice<'p> {
    /// The part.
    pub part: &'p Part,
    /// Its tones, rising by when they are struck.
    pub tones: Vec<Tone>,
    /// The tones of each moment.
    moments: Vec<Range<usize>>,
    /// Whether it strikes three notes and more at once somewhere: chords, in which no note is a line of its own.
    pub is_chordal: bool,
}

impl<'p> Voice<'p> {
    /// Hears a part beside chords that are written for a capo at some fret. Ghost notes, muted strokes, quarter tones
    /// and grace notes are no tones.
    pub fn new(part: &'p Part, capo: u8) -> Voice<'p> {
        let riff = &part.tab.riff;
        let performance = Performance::as_written(riff, Pace { tempo: None, swing: Swing::None });
        let mut tones: Vec<Tone> = Vec::new();
        let mut moments: Vec<Range<usize>> = Vec::new();
        for played in performance.notes() {
            let Some(mut tone) = tone(riff, &played, capo) else { continue };
            let goes_on = tones.last().is_some_and(|last| last.start == tone.start);
            match moments.last_mut().filter(|_| goes_on) {
                Some(moment) => moment.end += 1,
                None => moments.push(tones.len()..tones.len() + 1),
            }
            tone.moment = moments.len() - 1;
            tones.push(tone);
        }
        let is_chordal = moments.iter().any(|moment| moment.len() > 2);
        Voice { part, tones, moments, is_chordal }
    }

    /// Its bars.
    pub fn bars(&self) -> &'p [Bar] {
        &self.part.tab.riff.bars
    }

    /// The tones that sound at a moment.
    pub fn sounding(&self, at: Ticks) -> impl Iterator<Item = &Tone> {
        let begun = self.tones.partition_point(|tone| tone.start <= at);
        let tones = self.tones.get(begun.saturating_sub(RINGING)..begun).unwrap_or_default();
        tones.iter().filter(move |tone| tone.end > at)
    }

    /// The highest tone that sounds at a moment.
    pub fn top(&self, at: Ticks) -> Option<&Tone> {
        self.sounding(at).max_by_key(|tone| tone.pitch)
    }

    /// The tones that are struck so many moments before (negative) or after a tone.
    fn beside(&self, tone: &Tone, by: isize) -> &[Tone] {
        let moment = tone.moment.checked_add_signed(by).and_then(|index| self.moments.get(index));
        moment.and_then(|range| self.tones.get(range.clone())).unwrap_or_default()
    }

    /// The one of them that is nearest in pitch.
    pub fn nearest(&self, tone: &Tone, by: isize) -> Option<&Tone> {
        self.beside(tone, by).iter().min_by_key(|other| (other.pitch - tone.pitch).abs())
    }

    /// Where a tone stands in the text; nowhere where its part was made.
    pub fn span(&self, tone: &Tone) -> Option<Span> {
        let Tab { places, .. } = &self.part.tab;
        Some(places.note(tone.bar, tone.at, tone.string)?.span)
    }

    /// The words for where a moment is: "bar 2, beat 1".
    pub fn place(&self, bar: usize, at: Ticks) -> String {
        self.part.tab.riff.place(bar, at, None)
    }
}

fn tone(riff: &Riff, played: &Played, capo: u8) -> Option<Tone> {
    let pitch = match played.heard {
        Heard::Fretted { pitch, .. } | Heard::Harmonic { pitch, .. } => pitch,
        Heard::Muted => return None,
    };
    let is_plain =
        played.place.grace.is_none() && !played.quarter_bend && played.strength != Strength::Ghost;
    let bar = riff.bars.get(played.place.bar)?;
    let event = bar.events.get(played.place.event)?;
    is_plain.then_some(Tone {
        bar: played.place.bar,
        at: event.at,
        start: bar.start + event.at,
        end: played.end,
        string: played.string,
        pitch: pitch + -i32::from(capo),
        meant: event.meant,
        moment: 0,
    })
}

/// The chords and the key that parts are heard under: those of the first part that has chords, or else of the first.
pub(super) struct Harmony<'p> {
    riff: Option<&'p Riff>,
    key: Option<Key>,
    /// Where the capo is that they are written for.
    pub capo: u8,
}

impl<'p> Harmony<'p> {
    /// Those of some parts; the key is the block's where no part has one.
    pub fn of(parts: &'p Parts, key: Option<Key>) -> Harmony<'p> {
        let riff = parts.leading();
        let capo = riff.map_or(0, |riff| riff.instrument.capo);
        Harmony { riff, key: riff.and_then(|riff| riff.key).or(key), capo }
    }

    /// The chord that holds at a moment of a bar.
    pub fn chord(&self, bar: usize, at: Ticks) -> Option<&'p Chord> {
        self.riff?.chord_at(bar, at)
    }

    /// Whether a chord has a pitch.
    pub fn chord_has(chord: Option<&Chord>, pitch: Midi) -> bool {
        chord.is_some_and(|chord| chord.classes() & 1 << pitch.class() != 0)
    }

    /// Whether a pitch is foreign to the key, where one is known, and to a chord.
    pub fn is_foreign(&self, pitch: Midi, chord: Option<&Chord>) -> bool {
        let outside = self.key.is_some_and(|key| key.home() & 1 << pitch.class() == 0);
        outside && !Harmony::chord_has(chord, pitch)
    }

    /// A pitch's name.
    pub fn name(&self, pitch: Midi, chord: Option<&Chord>) -> String {
        spell(pitch, self.key.as_ref(), chord, Direction::Unknown).note.to_string()
    }
}
