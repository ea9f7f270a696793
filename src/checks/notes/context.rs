//! A riff as a line of tones: what each sounds, what chord and key hold under it, and which tones stand
//! before and after it.

use super::inferred_harmony;
use crate::blocks::tab::Tab;
use crate::blocks::tab::places::Places;
use crate::findings::Span;
use crate::music::tab::Riff;
use crate::music::tab::{Joint, Note, Sound};
use crate::neck::{Fret, StringIndex};
use crate::theory::nonchord::{Beside, InLine, NonChord, explain};
use crate::theory::{Chord, Key, Midi, Scale, Ticks, profile};
use std::collections::BTreeMap;
use std::ops::Range;

/// What a lesson says about a riff besides its rows.
#[derive(Debug, Clone, Copy)]
pub struct Surroundings<'a> {
    /// The key in force, if one is named.
    pub key: Option<Key>,
    /// The scales that the lesson names.
    pub scales: &'a [Scale],
}

/// A riff with its tones in the order of time.
#[derive(Debug)]
pub struct Line<'a> {
    /// The riff.
    pub riff: &'a Riff,
    /// Where it stands.
    pub places: &'a Places,
    /// Its tones, at one moment the lowest-placed string first.
    pub tones: Vec<Tone>,
    /// The tones of each bar.
    pub bars: Vec<Range<usize>>,
    /// The tones of each moment.
    moments: Vec<Range<usize>>,
    /// The key that holds, named or inferred.
    pub key: Option<profile::Found>,
    /// Whether the key is inferred.
    pub key_is_inferred: bool,
    /// The pitch classes that the key or a scale named for it allows, a bit each.
    pub at_home: u16,
    /// Whether the chords are inferred.
    pub chords_are_inferred: bool,
}

/// Notes on one string further apart than a quarter aren't heard as one voice. Set on
/// `tests/riffs/tuned`.
const ON_STRING: Ticks = Ticks::QUARTER;

/// So many moments away a note that is struck again is still looked past (assumed).
const STRUCK_AGAIN: isize = 4;

/// A place on the neck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct StringFret {
    /// The string's index.
    pub string: StringIndex,
    /// The fret, counted from the capo.
    pub fret: Fret,
}

/// A tone of a riff.
#[derive(Debug, Clone)]
pub struct Tone {
    /// The index of its bar.
    pub bar: usize,
    /// When, in the bar.
    pub at: Ticks,
    /// When, from the riff's start.
    pub time: Ticks,
    /// Where it is played, or for a bend the fret whose pitch is reached.
    pub place: StringFret,
    /// Its pitch.
    pub pitch: Midi,
    /// Whether it is on a beat.
    pub strong: bool,
    /// The chord under it, if one is known.
    pub chord: Option<Under>,
    /// Whether its event is marked as meant.
    pub meant: bool,
    /// Whether a joining sign leads to it or on from it.
    pub joined: bool,
    /// Where it stands.
    pub span: Span,
    /// The index of its moment.
    moment: usize,
    /// The tones before and after it on its string.
    on_string: [Option<usize>; 2],
}

/// A chord as far as the notes over it are judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Under {
    /// The root's pitch class.
    pub root: u8,
    /// The pitch class that belongs in the bass.
    pub bass: u8,
    /// The pitch classes of its tones, a bit each; those of all the chords that the bar is played over.
    pub classes: u16,
    /// Whether it has a major third and a minor seventh.
    pub dominant: bool,
    /// Whether it is a root with its fifth and nothing else, which may be played with the notes of the blues.
    pub is_power: bool,
}

impl Under {
    /// A chord as notes over it are judged.
    pub fn of(chord: &Chord) -> Under {
        let (root, classes) = (chord.root.class(), chord.classes());
        let has = |above: u8| classes & 1 << ((root + above) % 12) != 0;
        Under {
            root,
            bass: chord.lowest().class(),
            classes,
            dominant: has(4) && has(10),
            is_power: is_power(has),
        }
    }

    /// The chord of these half steps above a root's pitch class.
    pub fn of_steps(root: u8, steps: &[u8]) -> Under {
        let classes = steps.iter().fold(0, |classes, above| classes | 1 << ((root + above) % 12));
        let has = |above: u8| steps.contains(&above);
        let (dominant, is_power) = (has(4) && has(10), is_power(has));
        Under { root, bass: root, classes, dominant, is_power }
    }

    /// Whether a pitch is one of its tones.
    pub fn holds(&self, pitch: Midi) -> bool {
        holds(self.classes, pitch)
    }
}

/// Whether a chord that has these half steps above its root is a root with its fifth.
fn is_power(has: impl Fn(u8) -> bool) -> bool {
    (0..12).all(|step| has(step) == matches!(step, 0 | 7))
}

/// Whether a set of pitch classes has a pitch.
pub fn holds(classes: u16, pitch: Midi) -> bool {
    classes & 1 << pitch.class() != 0
}

impl<'a> Line<'a> {
    /// The line of a riff. What isn't written is inferred: chords where no bar has one, and the key.
    pub fn new(tab: &'a Tab, around: &Surroundings<'_>) -> Line<'a> {
        let Tab { riff, places } = tab;
        let tones = tones(tab);
        let bars = ranges(&tones, riff.bars.len(), |tone| tone.bar);
        let moments =
            ranges(&tones, tones.last().map_or(0, |tone| tone.moment + 1), |tone| tone.moment);
        let mut line = Line {
            riff,
            places,
            tones,
            bars,
            moments,
            key: around.key.map(|key| profile::Found { key, margin: f64::INFINITY }),
            key_is_inferred: around.key.is_none(),
            at_home: 0,
            chords_are_inferred: riff.harmony.iter().all(|bar| bar.passes.is_empty()),
        };
        line.link_strings();
        if line.key_is_inferred {
            let names = riff.instrument.tuning.names_of_notes();
            let found = inferred_harmony::key(&line);
            line.key = found.map(|found| profile::Found {
                key: Key { tonic: found.key.tonic.called(names), ..found.key },
                ..found
            });
        }
        line.at_home = line.key.map_or(0, |found| at_home(&found.key, around.scales));
        if line.chords_are_inferred {
            let chords = inferred_harmony::chords(&line);
            for tone in &mut line.tones {
                tone.chord = chords.get(tone.bar).copied().flatten();
            }
        }
        line
    }

    fn link_strings(&mut self) {
        let mut last: BTreeMap<StringIndex, usize> = BTreeMap::new();
        for index in 0..self.tones.len() {
            let Some(string) = self.tones.get(index).map(|tone| tone.place.string) else {
                continue;
            };
            let before = last.insert(string, index);
            if let Some(tone) = self.tones.get_mut(index) {
                tone.on_string = [before, None];
            }
            if let Some(before) = before.and_then(|before| self.tones.get_mut(before)) {
                before.on_string = [before.on_string[0], Some(index)];
            }
        }
    }

    /// The tones of a bar.
    pub fn in_bar(&self, bar: usize) -> &[Tone] {
        self.bars.get(bar).and_then(|range| self.tones.get(range.clone())).unwrap_or_default()
    }

    /// The tones of a tone's moment.
    pub fn together(&self, tone: &Tone) -> &[Tone] {
        self.at_moment(Some(tone.moment))
    }

    /// The tones of the moment so many before (negative) or after a tone's.
    pub fn beside(&self, tone: &Tone, by: isize) -> &[Tone] {
        self.at_moment(tone.moment.checked_add_signed(by))
    }

    fn at_moment(&self, moment: Option<usize>) -> &[Tone] {
        let range = moment.and_then(|moment| self.moments.get(moment)).cloned();
        range.and_then(|range| self.tones.get(range)).unwrap_or_default()
    }

    /// The nearest tone in pitch at the moment so many before or after a tone's.
    pub fn nearest(&self, tone: &Tone, pitch: Midi, by: isize) -> Option<&Tone> {
        self.beside(tone, by).iter().min_by_key(|other| (other.pitch - pitch).abs())
    }

    /// What a place on the neck sounds.
    pub fn pitch(&self, place: StringFret) -> Option<Midi> {
        self.riff.instrument.written_pitch(place.string, place.fret)
    }

    /// Whether the key, or a scale named for it, has a pitch.
    pub fn is_at_home(&self, pitch: Midi) -> bool {
        holds(self.at_home, pitch)
    }

    /// What explains a tone, were it of another pitch, beside the chord's own tones and the key's:
    /// the way that its line moves, or the blues (hand note section 5.2). Both the voice that goes by time
    /// and the one that stays on the string are looked at, since a picked chord has several.
    pub fn explained(&self, tone: &Tone, pitch: Midi) -> Option<Explained> {
        if self.is_blue(tone, pitch) {
            let is_loose = tone.chord.is_some_and(|chord| chord.is_power);
            return Some(Explained { by: NonChord::Blue, is_loose });
        }
        let by_time = |by: isize| self.nearest(tone, pitch, by);
        let voice = [[by_time(-1), by_time(-2)], [by_time(1), by_time(2)]];
        let on_string = |side: usize| {
            let index = tone.on_string.get(side).copied().flatten()?;
            let other = self.tones.get(index)?;
            let apart = tone.time.since(other.time).max(other.time.since(tone.time));
            (apart <= ON_STRING).then_some(other)
        };
        let string = [[on_string(0), None], [on_string(1), None]];
        let in_voice = |[before, after]: [[Option<&Tone>; 2]; 2]| {
            let beside = |tones: [Option<&Tone>; 2]| tones.map(|tone| tone.map(Tone::beside));
            let (before, after) = (beside(before), beside(after));
            explain(&InLine { pitch, strong: tone.strong, before, after })
                .or_else(|| pedal(pitch, before[0], after[0]))
        };
        // A note that is struck again is one note in its line.
        let again = || {
            let other = |way: isize| {
                let mut near =
                    (1..=STRUCK_AGAIN).filter_map(|by| self.nearest(tone, pitch, way * by));
                near.find(|other| other.pitch != pitch)
            };
            in_voice([[other(-1), None], [other(1), None]])
        };
        let by_time = in_voice(voice);
        if let Some(by) = by_time.filter(|by| !leaps(*by)) {
            return Some(Explained { by, is_loose: false });
        }
        let by = again().filter(|by| !leaps(*by)).or_else(|| self.leads(tone, pitch));
        let by = by.or(by_time).or_else(|| in_voice(string))?;
        Some(Explained { by, is_loose: true })
    }

    /// A half step below the fifth or the tonic of a minor key, or of one with a minor second, beside that: the raised
    /// fourth and the leading tone, which such keys have beside their own.
    fn leads(&self, tone: &Tone, pitch: Midi) -> Option<NonChord> {
        let key = self.key?.key;
        let above_tonic = (pitch.class() + 12 - key.tonic.class()) % 12;
        let has = |step: u8| key.home() & 1 << ((key.tonic.class() + step) % 12) != 0;
        let is_dark = has(3) && !has(4) || has(1);
        let beside = [-1, 1].into_iter().flat_map(|by| self.beside(tone, by));
        let is_beside = beside.into_iter().any(|other| other.pitch - pitch == 1);
        (is_dark && matches!(above_tonic, 6 | 11) && is_beside)
            .then_some(NonChord::ChromaticApproach)
    }

    /// Whether a pitch is the lowered third, fifth or seventh of the chord or the key over a
    /// dominant chord, as the blues has them over chords with a major third (hand note section 5.4).
    fn is_blue(&self, tone: &Tone, pitch: Midi) -> bool {
        let Some(chord) = tone.chord.filter(|chord| chord.dominant || chord.is_power) else {
            return false;
        };
        let lowered = |from: u8| matches!((pitch.class() + 12 - from) % 12, 3 | 6 | 10);
        let tonic = self.key.map(|found| found.key.tonic.class());
        lowered(chord.root) || tonic.is_some_and(lowered)
    }
}

/// What explains a tone that is foreign to chord and key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Explained {
    /// What it is.
    pub by: NonChord,
    /// Whether it says little: a leap is on one side, it is struck again, only the notes on its string lead to it or on
    /// from it, or nothing but the style of its chord or key has it.
    pub is_loose: bool,
}

/// Whether a kind of non-chord tone has a leap on one side: in a key's own notes that is a figure of every harmony
/// book, among foreign ones it may be anything.
fn leaps(by: NonChord) -> bool {
    matches!(by, NonChord::Appoggiatura | NonChord::Escape)
}

fn pedal(pitch: Midi, before: Option<Beside>, after: Option<Beside>) -> Option<NonChord> {
    let stays = |other: Option<Beside>| other.is_some_and(|other| other.pitch == pitch);
    (stays(before) && stays(after)).then_some(NonChord::Pedal)
}

impl Tone {
    fn beside(&self) -> Beside {
        let in_chord = self.chord.is_none_or(|chord| chord.holds(self.pitch));
        Beside { pitch: self.pitch, in_chord }
    }
}

/// The pitch classes that are at home in a key, and those of the scales on its tonic that the lesson
/// names.
fn at_home(key: &Key, scales: &[Scale]) -> u16 {
    let named = scales.iter().filter(|scale| scale.tonic.class() == key.tonic.class());
    named.fold(key.home(), |classes, scale| classes | scale.classes())
}

fn ranges(tones: &[Tone], count: usize, index: impl Fn(&Tone) -> usize) -> Vec<Range<usize>> {
    (0..count)
        .map(|wanted| {
            let from = tones.partition_point(|tone| index(tone) < wanted);
            from..tones.partition_point(|tone| index(tone) <= wanted)
        })
        .collect()
}

fn tones(Tab { riff, places }: &Tab) -> Vec<Tone> {
    let mut tones: Vec<Tone> = Vec::new();
    let mut last: BTreeMap<StringIndex, usize> = BTreeMap::new();
    let mut moment = 0;
    for (index, bar) in riff.bars.iter().enumerate() {
        for event in &bar.events {
            let sounding: Vec<(&Note, StringFret)> =
                event.notes.iter().filter_map(|note| Some((note, place(note)?))).collect();
            for (note, place) in &sounding {
                let Some(pitch) = riff.instrument.written_pitch(place.string, place.fret) else {
                    continue;
                };
                let joined = note.joined.is_some() || !note.graces.is_empty();
                if joined
                    && let Some(before) = last.get(&place.string).and_then(|at| tones.get_mut(*at))
                {
                    before.joined = true;
                }
                let written = places.note(index, event.at, note.string);
                last.insert(place.string, tones.len());
                tones.push(Tone {
                    bar: index,
                    at: event.at,
                    time: bar.start + event.at,
                    place: *place,
                    pitch,
                    strong: riff.timed && event.at % bar.meter.felt_beat() == Ticks::ZERO,
                    chord: chord_under(riff, index, event.at),
                    meant: event.meant,
                    joined,
                    span: written.map(|place| place.span).unwrap_or_default(),
                    moment,
                    on_string: [None, None],
                });
            }
            moment += usize::from(!sounding.is_empty());
        }
    }
    tones
}

/// Where a note is judged: not a muted stroke, a harmonic, or a quarter tone.
fn place(note: &Note) -> Option<StringFret> {
    match note.sound {
        Sound::Fret(fret) if !note.quarter_bend => Some(StringFret { string: note.string, fret }),
        _ => None,
    }
}

/// Whether a note is bent to its pitch, so that its fret is not where it is held.
pub fn is_bent(note: &Note) -> bool {
    matches!(note.joined, Some(Joint::Bend | Joint::Release))
}

fn chord_under(riff: &Riff, bar: usize, at: Ticks) -> Option<Under> {
    let passes = &riff.harmony.get(bar)?.passes;
    let mut chords = passes.iter().filter_map(|pass| pass.chord_at(at)).map(Under::of);
    let first = chords.next()?;
    Some(chords.fold(first, |all, chord| Under { classes: all.classes | chord.classes, ..all }))
}
