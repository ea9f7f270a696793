//! Picked chords: the strings on which they lie beside each other, so that the hand holds them and what
//! should ring rings on. A chord that is moved is held as it was, one in pitches as the lesson or a chart
//! shows it.

use super::guides::Guides;
use crate::music::melody::{Melody, Sounding, Tone};
use crate::music::tab::Riff;
use crate::neck::path::Stop;
use crate::neck::voicing::{MEAN_UNIT, Search, Shape, ranked};
use crate::neck::{Fingering, Fret, Hand, Neck, Posture, StringIndex, hold};
use crate::theory::{Chord, Midi};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Fewer strings are an interval or a line, and no chord that is held.
const FEWEST: usize = 3;
/// So many strings up or down a shape may go: from the lowest three strings to the highest three.
const FARTHEST: i32 = 3;
/// So many frets from the one that is asked for a shape's mean is near it: a position is four frets
/// (assumed).
const NEAR: i64 = 4;

/// Where the pitches of a chord lie.
type ChordPlaces = BTreeMap<Midi, (StringIndex, Fret)>;

/// The events in which a chord is picked through a bar, by bar and event, and what sounds.
type Picked = (Vec<(usize, usize)>, BTreeSet<Midi>);

/// For each bar and event by their indices where the notes of its chord lie.
#[derive(Debug, Default)]
pub struct Shapes(BTreeMap<(usize, usize), ChordPlaces>);

impl Shapes {
    /// Finds the shapes of a melody whose tones are on the strings that they had.
    pub fn moved(melody: &Melody, guides: &Guides, hand: Hand) -> Shapes {
        let Melody { riff, tones } = melody;
        let mover = Mover { riff, guides, hand, neck: Neck::of(&riff.instrument) };
        let mut shapes = Shapes::default();
        for (chord, events) in groups(riff) {
            let at = |(bar, event): &(usize, usize)| tones.get(*bar)?.get(*event);
            let picked = picked(events.iter().filter_map(at).flatten(), chord);
            if let Some(places) = picked.and_then(|picked| mover.place(&picked)) {
                shapes.0.extend(events.into_iter().map(|event| (event, places.clone())));
            }
        }
        shapes
    }

    /// Finds the shapes that hold what a melody picks of its chords bar by bar, the same chord in the same
    /// shape where one has all of it: the lesson's `own`, or else the one that is shown first.
    pub fn held(
        melody: &Melody,
        guides: &Guides,
        hand: Hand,
        own: &dyn Fn(&Chord) -> Option<Fingering>,
    ) -> Shapes {
        let Melody { riff, tones } = melody;
        let holder = Holder { riff, guides, hand, own };
        let mut chords: HashMap<&Chord, Vec<Picked>> = HashMap::new();
        for (chord, events) in groups(riff) {
            for events in events.chunk_by(|(bar, _), (other, _)| bar == other) {
                let at = |(bar, event): &(usize, usize)| tones.get(*bar)?.get(*event);
                if let Some(pitches) = pitches(events.iter().filter_map(at).flatten(), chord) {
                    chords.entry(chord).or_default().push((events.to_vec(), pitches));
                }
            }
        }
        let mut shapes = Shapes::default();
        for (chord, bars) in chords {
            let all = bars.iter().flat_map(|(_, pitches)| pitches).copied().collect();
            let known = holder.shapes(chord);
            let shared = holder.place(chord, &known, &all);
            for (events, pitches) in bars {
                let places = shared.clone().or_else(|| holder.place(chord, &known, &pitches));
                let Some(places) = places else { continue };
                shapes.0.extend(events.into_iter().map(|event| (event, places.clone())));
            }
        }
        shapes
    }

    /// Whether an event's chord is held in a shape.
    pub fn holds(&self, event: (usize, usize)) -> bool {
        self.0.contains_key(&event)
    }

    /// Those of the ways to play an event that keep its chord's shape; all where none does.
    pub fn kept(
        &self,
        event: (usize, usize),
        pitch: impl Fn(&Stop) -> Option<Midi>,
        mut ways: Vec<Vec<Stop>>,
    ) -> Vec<Vec<Stop>> {
        let Some(places) = self.0.get(&event) else { return ways };
        let keeps = |way: &Vec<Stop>| {
            way.iter().all(|stop| {
                let place = pitch(stop).and_then(|pitch| places.get(&pitch));
                place.is_none_or(|place| *place == (stop.string, stop.fret))
            })
        };
        if ways.iter().any(keeps) {
            ways.retain(keeps);
        }
        ways
    }
}

/// The events through which one chord holds, chord by chord.
fn groups(riff: &Riff) -> Vec<(&Chord, Vec<(usize, usize)>)> {
    let mut groups: Vec<(&Chord, Vec<(usize, usize)>)> = Vec::new();
    let mut before: Option<&Chord> = None;
    for (index, bar) in riff.bars.iter().enumerate() {
        for (number, event) in bar.events.iter().enumerate() {
            let chord = riff.chord_at(index, event.at);
            match (chord, groups.last_mut()) {
                (Some(chord), Some((_, events))) if before == Some(chord) => {
                    events.push((index, number));
                }
                (Some(chord), _) => groups.push((chord, vec![(index, number)])),
                (None, _) => {}
            }
            before = chord;
        }
    }
    groups
}

/// The pitch that each string sounds of a picked chord; `None` where what sounds is a line.
fn picked<'t>(
    tones: impl Iterator<Item = &'t Tone>,
    chord: &Chord,
) -> Option<BTreeMap<StringIndex, Midi>> {
    let mut picked = BTreeMap::new();
    for tone in tones {
        let pitch = own_pitch(tone, chord)?;
        if *picked.entry(tone.string).or_insert(pitch) != pitch {
            return None;
        }
    }
    (picked.len() >= FEWEST).then_some(picked)
}

/// The pitches of a chord that is picked without a written finger; `None` where what sounds is a line.
fn pitches<'t>(tones: impl Iterator<Item = &'t Tone>, chord: &Chord) -> Option<BTreeSet<Midi>> {
    let pitch = |tone: &Tone| own_pitch(tone, chord).filter(|_| tone.finger.is_none());
    let pitches: Option<BTreeSet<Midi>> = tones.map(pitch).collect();
    pitches.filter(|pitches| pitches.len() >= FEWEST)
}

/// What a note of a chord that is struck by itself sounds; `None` of another.
fn own_pitch(tone: &Tone, chord: &Chord) -> Option<Midi> {
    let Sounding::Pitch(pitch) = tone.sound else { return None };
    let is_own = chord.classes() >> pitch.class() & 1 == 1;
    (is_own && tone.joined.is_none() && tone.graces.is_empty()).then_some(pitch)
}

struct Holder<'h> {
    riff: &'h Riff,
    guides: &'h Guides,
    hand: Hand,
    own: &'h dyn Fn(&Chord) -> Option<Fingering>,
}

impl Holder<'_> {
    /// Every shape of a chord on the strings that may be used.
    fn shapes(&self, chord: &Chord) -> Vec<Shape> {
        let instrument = &self.riff.instrument;
        let strings = instrument.tuning.indices();
        let strings = strings.filter(|string| self.guides.allows(*string)).collect();
        Search { strings, ..Search::new(chord, instrument, self.hand) }.all()
    }

    /// Where the pitches of a chord lie on the shape that holds them: the lesson's own, or the first that is
    /// shown of those that are known.
    fn place(
        &self,
        chord: &Chord,
        known: &[Shape],
        pitches: &BTreeSet<Midi>,
    ) -> Option<ChordPlaces> {
        let own = (self.own)(chord).map(|own| Shape::of(&own.frets));
        own.and_then(|own| self.on(&own, pitches)).or_else(|| {
            let has_all = |shape: &&Shape| self.on(shape, pitches).is_some();
            let shapes: Vec<Shape> = known.iter().filter(has_all).copied().collect();
            let near = self.guides.near.unwrap_or_default();
            let first = ranked(&shapes, chord, &self.riff.instrument, self.hand, near, 1);
            self.on(&first.first()?.shape, pitches)
        })
    }

    /// Where pitches lie on a shape, if it has them all and is near the fret that is asked for.
    fn on(&self, shape: &Shape, pitches: &BTreeSet<Midi>) -> Option<ChordPlaces> {
        let away = |near: Fret| (shape.mean_fret() - i64::from(near) * MEAN_UNIT).abs();
        if self.guides.near.is_some_and(|near| away(near) > NEAR * MEAN_UNIT) {
            return None;
        }
        let sounds = |place: &(StringIndex, Fret), pitch: Midi| {
            self.guides.allows(place.0)
                && self.riff.instrument.written_pitch(place.0, place.1) == Some(pitch)
        };
        let on_shape =
            |pitch: &Midi| Some((*pitch, shape.sounding().find(|place| sounds(place, *pitch))?));
        pitches.iter().map(on_shape).collect()
    }
}

struct Mover<'m> {
    riff: &'m Riff,
    guides: &'m Guides,
    hand: Hand,
    neck: Neck,
}

impl Mover<'_> {
    /// Where a picked chord lies anew: on the strings that it had, or on as many beside them; nearest to the
    /// fret that is asked for, else to the strings that it had.
    fn place(&self, picked: &BTreeMap<StringIndex, Midi>) -> Option<ChordPlaces> {
        let moved = (-FARTHEST..=FARTHEST).filter_map(|by| Some((by, self.moved(picked, by)?)));
        let away = |places: &ChordPlaces| {
            let near = self.guides.near.map_or(0, i64::from);
            let apart = |(_, fret): &(StringIndex, Fret)| i64::from(*fret) - near;
            self.guides.near.map_or(0, |_| places.values().map(apart).sum::<i64>().abs())
        };
        let best = moved.min_by_key(|(by, places)| (away(places), by.abs()));
        best.map(|(_, places)| places)
    }

    /// A picked chord so many strings higher, if it can be held there.
    fn moved(&self, picked: &BTreeMap<StringIndex, Midi>, by: i32) -> Option<ChordPlaces> {
        let instrument = &self.riff.instrument;
        let mut frets = vec![None; instrument.tuning.len()];
        let mut places = BTreeMap::new();
        for (string, pitch) in picked {
            let index = usize::try_from(string.index() as i32 + by).ok()?;
            let string = StringIndex::new(index);
            let open = instrument.written_pitch(string, Fret::OPEN)?;
            let fret =
                Fret::checked(*pitch - open).filter(|fret| *fret <= instrument.last_fret())?;
            *frets.get_mut(index).filter(|_| self.guides.allows(string))? = Some(fret);
            places.insert(*pitch, (string, fret));
        }
        let posture = Posture { thumb: false, strum: false };
        hold::easiest(&frets, &self.neck, self.hand, posture)?;
        Some(places)
    }
}
