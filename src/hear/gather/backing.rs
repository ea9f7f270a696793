//! What is played beside a student: chords in the lesson's own shapes, and a bass.

use super::clicks;
use crate::blocks::first_shown::first_shown;
use crate::checks::Elaborated;
use crate::hear::score::{HeardBar, Part, Struck, Strum};
use crate::lesson::{Setting, Sound};
use crate::music::performance::{Place, Played};
use crate::music::tab::Pick;
use crate::neck::{Fingering, Fret, Instrument, StringIndex, Tuning};
use crate::theory::{Chord, Ticks};
use std::collections::BTreeMap;

/// What the part of the chords is called.
pub const CHORDS: &str = "chords";
/// What the part of the roots is called.
pub const BASS: &str = "bass";
/// The open strings of a bass, and how many frets it has (assumed).
const BASS_STRINGS: (&str, u8) = ("E1 A1 D2 G2", 20);
/// The pitch class of its lowest string, an E.
const LOWEST: u8 = 4;
/// The half steps from a string of it to the next.
const FOURTH: u8 = 5;

/// A chord as long as it holds within a bar.
struct Span<'b> {
    bar: (usize, &'b HeardBar),
    start: Ticks,
    end: Ticks,
    chord: &'b Chord,
}

/// The chords of bars, each as long as it holds within its bar.
fn spans(bars: &[HeardBar]) -> Vec<Span<'_>> {
    let mut spans = Vec::new();
    let mut now: Option<&Chord> = None;
    for bar in bars.iter().enumerate() {
        let (start, length) = (bar.1.start, bar.1.length);
        let mut from = start;
        let chords = bar.1.chords.iter().map(|(at, chord)| (start + *at, chord.as_ref()));
        for (until, next) in chords.chain([(start + length, None)]) {
            if let Some(chord) = now.filter(|_| from < until) {
                spans.push(Span { bar, start: from, end: until, chord });
            }
            if until < start + length {
                now = next;
            }
            from = until;
        }
    }
    spans
}

/// Chords that nothing says the rhythm of.
pub(super) struct Backed<'l, 's> {
    pub lesson: &'l Elaborated<'s>,
    /// The block above which the shapes are looked for.
    pub index: usize,
    pub setting: &'l Setting,
    /// Whether they are struck on every beat, and not only as each begins.
    pub strummed: bool,
}

impl Backed<'_, '_> {
    /// The part that plays the chords of bars.
    pub fn chords(&self, bars: &[HeardBar]) -> Part {
        let mut shapes: BTreeMap<String, Option<Fingering>> = BTreeMap::new();
        let mut notes = Vec::new();
        for span in spans(bars) {
            let shape = shapes.entry(span.chord.to_string());
            let shape = shape.or_insert_with(|| self.shape(span.chord));
            let Some(shape) = shape else { continue };
            let strikes = self.strikes(&span);
            let ends = strikes.iter().skip(1).copied().chain([span.end]);
            for (event, (start, end)) in strikes.iter().copied().zip(ends).enumerate() {
                notes.extend(self.struck(shape, (span.bar.0, event), (start, end)));
            }
        }
        Part {
            name: CHORDS.to_owned(),
            instrument: self.setting.instrument.clone(),
            sound: self.setting.sounds_like(),
            notes,
            tones: Vec::new(),
            words: Vec::new(),
        }
    }

    /// The last shape of a chord above that is for the tuning, or else the one that is shown first.
    fn shape(&self, chord: &Chord) -> Option<Fingering> {
        let Setting { instrument, hand, .. } = self.setting;
        let above = self.lesson.lesson.fences.iter().zip(&self.lesson.blocks).take(self.index);
        let fits = above.filter(|(fence, _)| fence.setting.instrument.tuning == instrument.tuning);
        let mut shapes = fits.filter_map(|(_, block)| block.music.as_deref()?.shape(chord));
        shapes.next_back().cloned().or_else(|| first_shown(chord, instrument, *hand))
    }

    /// When a chord is struck while it holds.
    fn strikes(&self, span: &Span<'_>) -> Vec<Ticks> {
        let beats = clicks::of_bar(span.bar.1).map(|click| click.at);
        let within = beats.filter(|at| self.strummed && *at > span.start && *at < span.end);
        [span.start].into_iter().chain(within).collect()
    }

    /// A stroke downwards over a shape.
    fn struck(
        &self,
        shape: &Fingering,
        place: (usize, usize),
        time: (Ticks, Ticks),
    ) -> Vec<Struck> {
        let places = shape.places().enumerate();
        let struck = places.filter_map(|(note, (string, fret, _))| {
            let pitch = self.setting.instrument.sounding_pitch(string, fret)?;
            let place = Place { bar: place.0, event: place.1, note, grace: None };
            let played = Played { place, ..Played::plain(string, (fret, pitch), time) };
            let rank = u8::try_from(note).unwrap_or(u8::MAX);
            Some(Struck { played, strum: Some(Strum { direction: Pick::Down, rank }) })
        });
        struck.collect()
    }
}

/// A bass that plays the lowest notes of chords, as they sound above a capo, each as long as its chord holds in its
/// bar; `None` where no chord is known.
pub(super) fn bass(bars: &[HeardBar], capo: u8) -> Option<Part> {
    let (strings, frets) = BASS_STRINGS;
    let tuning = Tuning::parse(strings).ok()?;
    let instrument = Instrument { scale_length: tuning.scale_length(), tuning, capo: 0, frets };
    let note = |span: Span<'_>| {
        let class = (span.chord.lowest().class() + capo % 12) % 12;
        let above = (class + 12 - LOWEST) % 12;
        let string = (above / FOURTH).min(2);
        let (string, fret) = (usize::from(string), Fret::new(above - string * FOURTH));
        let string = StringIndex::new(string);
        let pitch = instrument.sounding_pitch(string, fret)?;
        let mut played = Played::plain(string, (fret, pitch), (span.start, span.end));
        played.place.bar = span.bar.0;
        Some(Struck { played, strum: None })
    };
    let notes: Vec<Struck> = spans(bars).into_iter().filter_map(note).collect();
    (!notes.is_empty()).then(|| Part {
        name: BASS.to_owned(),
        instrument: instrument.clone(),
        sound: Sound::Bass,
        notes,
        tones: Vec::new(),
        words: Vec::new(),
    })
}
