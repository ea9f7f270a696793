//! Picked chords that are moved: the strings on which they lie beside each other, so that the hand holds
//! them as it did and what should ring rings on.

use super::guides::Guides;
use crate::music::melody::{Sounding, Tone, Tones};
use crate::music::tab::Riff;
use crate::neck::path::Stop;
use crate::neck::{Fret, Hand, Neck, Posture, StringIndex, hold};
use crate::theory::{Chord, Midi};
use std::collections::BTreeMap;

/// Fewer strings are an interval or a line, and no chord that is held.
const FEWEST: usize = 3;
/// So many strings up or down a shape may go: from the lowest three strings to the highest three.
const FARTHEST: i32 = 3;

/// For each bar and event by their indices where the notes of its chord lie.
#[derive(Debug, Default)]
pub(super) struct Shapes(BTreeMap<(usize, usize), BTreeMap<Midi, (StringIndex, Fret)>>);

impl Shapes {
    /// Finds the shapes of a riff whose tones are on the strings that they had.
    pub fn of(riff: &Riff, tones: &Tones, guides: &Guides, hand: Hand) -> Shapes {
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
        let Sounding::Pitch(pitch) = tone.sound else { return None };
        let is_own = chord.classes() >> pitch.class() & 1 == 1;
        if !is_own || tone.joined.is_some() || !tone.graces.is_empty() {
            return None;
        }
        if *picked.entry(tone.string).or_insert(pitch) != pitch {
            return None;
        }
    }
    (picked.len() >= FEWEST).then_some(picked)
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
    fn place(
        &self,
        picked: &BTreeMap<StringIndex, Midi>,
    ) -> Option<BTreeMap<Midi, (StringIndex, Fret)>> {
        let moved = (-FARTHEST..=FARTHEST).filter_map(|by| Some((by, self.moved(picked, by)?)));
        let away = |places: &BTreeMap<Midi, (StringIndex, Fret)>| {
            let near = self.guides.near.map_or(0, i64::from);
            let apart = |(_, fret): &(StringIndex, Fret)| i64::from(*fret) - near;
            self.guides.near.map_or(0, |_| places.values().map(apart).sum::<i64>().abs())
        };
        let best = moved.min_by_key(|(by, places)| (away(places), by.abs()));
        best.map(|(_, places)| places)
    }

    /// A picked chord so many strings higher, if it can be held there.
    fn moved(
        &self,
        picked: &BTreeMap<StringIndex, Midi>,
        by: i32,
    ) -> Option<BTreeMap<Midi, (StringIndex, Fret)>> {
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
