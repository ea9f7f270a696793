//! Picked chords: notes that are struck one after the other while a chord holds take the fingers of the
//! shape that the hand holds, the same chord the same way each time.

use super::Score;
use crate::music::tab::Riff;
use crate::neck::path::{Joint, Moment, Stop};
use crate::neck::voicing::{self, Search};
use crate::neck::{Finger, Fingering, Fret, Hand, Neck, by_string, hold};
use crate::theory::Chord;
use std::collections::HashMap;
use std::ops::Range;

/// The lesson's own shape of a chord.
pub type Shapes<'s> = dyn Fn(&Chord) -> Option<Fingering> + 's;

/// Fewer strings are an interval or a line, and no chord that is held.
const FEWEST_STRINGS: usize = 3;
/// A finger alone holds nothing.
const FEWEST_PRESSED: usize = 2;
/// So many of four notes at least are the chord's own: a line passes through it (assumed).
const OWN_OF_FOUR: usize = 3;
/// A hold reaches so many frets above its lowest (as a hand's position does).
const REACH: u8 = 4;

/// Gives the notes of picked chords the fingers that hold them; a chord with a written finger is left as
/// its author has it.
pub(super) fn hold(score: &mut Score, riff: &Riff, hand: Hand, shapes: &Shapes<'_>) {
    let holder = Holder { riff, hand, neck: Neck::of(&riff.instrument), shapes };
    let picked: Vec<Picked> = groups(score, riff)
        .into_iter()
        .flat_map(|(chord, moments)| {
            unfingered(score, moments).into_iter().map(move |part| (chord, part))
        })
        .filter_map(|(chord, moments)| {
            let frets = holder.picked(score.moments.get(moments.clone())?, chord)?;
            Some(Picked { chord, moments, frets })
        })
        .collect();
    let mut known: HashMap<&Chord, Vec<Held>> = HashMap::new();
    // The same chord comes again and again, and is tried once.
    let mut tried: HashMap<&[Option<Fret>], bool> = HashMap::new();
    for Picked { chord, frets, .. } in &picked {
        if *tried.entry(frets).or_insert_with(|| holder.can_hold(frets)) {
            merge(known.entry(chord).or_default(), frets, &holder);
        }
    }
    for (chord, holds) in &mut known {
        holds.iter_mut().for_each(|held| held.fingers = holder.fingers(chord, &held.frets));
    }
    for Picked { chord, moments, frets } in &picked {
        let mut holds = known.get(chord).into_iter().flatten();
        if let Some(held) = holds.find(|held| held.has_all(frets)) {
            let moments = score.moments.get_mut(moments.clone()).unwrap_or_default();
            let stops = moments.iter_mut().flat_map(|moment| &mut moment.stops);
            stops.for_each(|stop| stop.finger = held.finger(stop));
        }
    }
}

/// A chord that is picked: when, and at which frets, one a string.
struct Picked<'r> {
    chord: &'r Chord,
    moments: Range<usize>,
    frets: Vec<Option<Fret>>,
}

/// What of a chord is picked, and the fingers that hold it.
#[derive(Debug)]
struct Held {
    frets: Vec<Option<Fret>>,
    fingers: Vec<Option<Finger>>,
}

impl Held {
    fn has_all(&self, frets: &[Option<Fret>]) -> bool {
        frets.iter().zip(&self.frets).all(|(fret, held)| fret.is_none() || fret == held)
    }

    fn finger(&self, stop: &Stop) -> Option<Finger> {
        let at = stop.string.index();
        let is_held = self.frets.get(at).copied().flatten() == Some(stop.fret);
        let is_held = is_held && stop.fret.is_pressed() && stop.joint == Joint::Struck;
        self.fingers.get(at).copied().flatten().filter(|_| is_held)
    }
}

/// Adds what is picked to a hold of the chord that it goes with, or as one of its own.
fn merge(holds: &mut Vec<Held>, frets: &[Option<Fret>], holder: &Holder<'_>) {
    for held in holds.iter_mut() {
        let both = || held.frets.iter().zip(frets);
        if both().any(|(one, other)| one.is_some() && other.is_some() && one != other) {
            continue;
        }
        let whole: Vec<Option<Fret>> = both().map(|(one, other)| one.or(*other)).collect();
        if whole == held.frets || whole == frets || holder.can_hold(&whole) {
            held.frets = whole;
            return;
        }
    }
    holds.push(Held { frets: frets.to_vec(), fingers: Vec::new() });
}

/// The moments through which one chord holds, chord by chord.
fn groups<'r>(score: &Score, riff: &'r Riff) -> Vec<(&'r Chord, Range<usize>)> {
    let mut groups: Vec<(&Chord, Range<usize>)> = Vec::new();
    for (at, spots) in score.spots.iter().enumerate() {
        let Some(spot) = spots.first() else { continue };
        let event = riff.bars.get(spot.bar).and_then(|bar| bar.events.get(spot.event));
        let chord = event.and_then(|event| riff.chord_at(spot.bar, event.at));
        match (chord, groups.last_mut()) {
            (Some(chord), Some((same, moments))) if *same == chord && moments.end == at => {
                moments.end = at + 1;
            }
            (Some(chord), _) => groups.push((chord, at..at + 1)),
            (None, _) => {}
        }
    }
    groups
}

/// The moments of a chord, parted into its bars where some have fingers already: a melody in pitches has
/// those that it was laid out with, but for the bars in which a chord is held.
fn unfingered(score: &Score, moments: Range<usize>) -> Vec<Range<usize>> {
    let stops = |at: usize| score.moments.get(at).into_iter().flat_map(|moment| &moment.stops);
    if moments.clone().flat_map(stops).all(|stop| stop.finger.is_none()) {
        return vec![moments];
    }
    let bar =
        |at: &usize| score.spots.get(*at).and_then(|spots| spots.first()).map(|spot| spot.bar);
    let all: Vec<usize> = moments.collect();
    let bars = all.chunk_by(|one, other| bar(one) == bar(other));
    bars.filter_map(|bar| Some(*bar.first()?..*bar.last()? + 1)).collect()
}

struct Holder<'h> {
    riff: &'h Riff,
    hand: Hand,
    neck: Neck,
    shapes: &'h Shapes<'h>,
}

impl Holder<'_> {
    /// The frets of the chord's own notes, one a string; `None` where what sounds is a line, or a finger is
    /// written.
    fn picked(&self, moments: &[Moment], chord: &Chord) -> Option<Vec<Option<Fret>>> {
        let instrument = &self.riff.instrument;
        let mut frets = vec![None; instrument.tuning.len()];
        let (mut own, mut all) = (0, 0);
        for stop in moments.iter().flat_map(|moment| &moment.stops) {
            if stop.finger.is_some() {
                return None;
            }
            all += 1;
            let class = instrument.written_pitch(stop.string, stop.fret)?.class();
            if stop.joint != Joint::Struck || chord.classes() >> class & 1 == 0 {
                continue;
            }
            own += 1;
            let place = frets.get_mut(stop.string.index())?;
            if place.is_some_and(|fret| fret != stop.fret) {
                return None;
            }
            *place = Some(stop.fret);
        }
        let pressed = frets.iter().flatten().filter(|fret| fret.is_pressed()).count();
        let is_chord = frets.iter().flatten().count() >= FEWEST_STRINGS
            && pressed >= FEWEST_PRESSED
            && 4 * own >= OWN_OF_FOUR * all;
        is_chord.then_some(frets)
    }

    fn can_hold(&self, frets: &[Option<Fret>]) -> bool {
        self.easiest(frets).is_some()
    }

    fn easiest(&self, frets: &[Option<Fret>]) -> Option<hold::Hold> {
        hold::easiest(frets, &self.neck, self.hand, super::PLUCKED)
    }

    /// The fingers that hold a chord of which some frets are picked: those of the lesson's shape that has
    /// them, or else of the best shape that does, or of the picked frets alone.
    fn fingers(&self, chord: &Chord, frets: &[Option<Fret>]) -> Vec<Option<Finger>> {
        let has_all = |shape: &[Option<Fret>]| {
            by_string(frets)
                .all(|(string, fret)| fret.is_none() || shape.get(string.index()) == Some(fret))
        };
        let own = (self.shapes)(chord).filter(|shape| has_all(&shape.frets));
        if let Some(shape) = own.filter(|shape| !shape.fingers.is_empty()) {
            return shape.fingers;
        }
        let instrument = &self.riff.instrument;
        let pressed = || frets.iter().flatten().copied().filter(|fret| fret.is_pressed());
        let (low, high) =
            (pressed().min().unwrap_or_default(), pressed().max().unwrap_or_default());
        let last = instrument.last_fret().min(low.up(REACH).max(high));
        let search =
            Search { frets: Fret::OPEN..=last, ..Search::new(chord, instrument, self.hand) };
        let mut shapes = search.all();
        shapes.retain(|shape| has_all(shape.frets()));
        let near = if low > Fret::new(REACH) { low } else { Fret::OPEN };
        let best = voicing::ranked(&shapes, chord, instrument, self.hand, near, 1);
        let best = best.into_iter().next().map(|best| best.hold);
        best.or_else(|| self.easiest(frets)).map(|hold| hold.fingers).unwrap_or_default()
    }
}
