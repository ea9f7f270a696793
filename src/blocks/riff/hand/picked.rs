//! Picked chords: notes that are struck one after the other while a chord holds take the fingers of the
//! shape that the hand holds, the same chord the same way each time.

use super::Score;
use crate::music::tab::Riff;
use crate::neck::anchor::{self, Choices};
use crate::neck::path::{Joint, Moment, Stop};
use crate::neck::voicing::{self, Search};
use crate::neck::{Finger, Fingering, Fret, Hand, Neck, Posture, StringIndex, by_string, hold};
use crate::theory::Chord;
use std::collections::HashMap;
use std::ops::Range;

/// The lesson's own shape of a chord.
pub type Shapes<'s> = dyn Fn(&Chord) -> Option<Fingering> + 's;

/// Fewer strings are an interval or a line, and no chord that is held.
const FEWEST_STRINGS: usize = 3;
/// A finger alone holds nothing.
const FEWEST_PRESSED: usize = 1;
/// So many of four notes at least are the chord's own: a line passes through it (assumed).
const OWN_OF_FOUR: usize = 3;
/// A hold reaches so many frets above its lowest (as a hand's position does).
const REACH: u8 = 4;

/// Gives the notes of picked chords the fingers that hold them, fingers that can stay from chord to chord
/// staying; a chord with a written finger is left as its author has it.
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
    let (held, of_each) = holder.held(&picked);
    let choices: Vec<Choices> = held.iter().map(|held| holder.choices(held)).collect();
    let fingers = anchor::fingers(&choices, &changes(&picked, &of_each));
    for (Picked { moments, .. }, at) in picked.iter().zip(of_each) {
        let of_chord = at.and_then(|at| Some((held.get(at)?, fingers.get(at)?)));
        let Some((held, fingers)) = of_chord else { continue };
        let moments = score.moments.get_mut(moments.clone()).unwrap_or_default();
        let stops = moments.iter_mut().flat_map(|moment| &mut moment.stops);
        stops.for_each(|stop| stop.finger = held.finger(fingers, stop));
    }
}

/// From which hold to which the hand goes, where one picked chord follows another at once.
fn changes(picked: &[Picked], of_each: &[Option<usize>]) -> Vec<(usize, usize)> {
    let pairs = picked.windows(2).zip(of_each.windows(2));
    let change = pairs.filter_map(|(picked, held)| match (picked, held) {
        ([one, other], [Some(from), Some(to)]) => {
            (one.moments.end == other.moments.start).then_some((*from, *to))
        }
        _ => None,
    });
    change.collect()
}

/// A chord that is picked: when, and at which frets, one a string.
struct Picked<'r> {
    chord: &'r Chord,
    moments: Range<usize>,
    frets: Vec<Option<Fret>>,
}

/// What of a chord is picked in one hold of it.
#[derive(Debug)]
struct Held<'r> {
    chord: &'r Chord,
    frets: Vec<Option<Fret>>,
}

impl Held<'_> {
    fn has_all(&self, frets: &[Option<Fret>]) -> bool {
        frets.iter().zip(&self.frets).all(|(fret, held)| fret.is_none() || fret == held)
    }

    /// The finger of a note, of those that hold the chord.
    fn finger(&self, fingers: &[Option<Finger>], stop: &Stop) -> Option<Finger> {
        let at = stop.string.index();
        let is_held = self.frets.get(at).copied().flatten() == Some(stop.fret);
        let is_held = is_held && stop.fret.is_pressed() && stop.joint == Joint::Struck;
        fingers.get(at).copied().flatten().filter(|_| is_held)
    }
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

    /// The holds of all that is picked, of each chord as few as hold it all, and for each picked chord which
    /// of them is its own.
    fn held<'r>(&self, picked: &[Picked<'r>]) -> (Vec<Held<'r>>, Vec<Option<usize>>) {
        let mut held: Vec<Held> = Vec::new();
        let mut of_chord: HashMap<&Chord, Vec<usize>> = HashMap::new();
        // The same chord comes again and again, and is tried once.
        let mut tried: HashMap<&[Option<Fret>], bool> = HashMap::new();
        for Picked { chord, frets, .. } in picked {
            if !*tried.entry(frets).or_insert_with(|| self.can_hold(frets)) {
                continue;
            }
            let known = of_chord.entry(chord).or_default();
            let mut fitting = known
                .iter()
                .filter_map(|at| Some((*at, self.together(&held.get(*at)?.frets, frets)?)));
            match fitting.next() {
                Some((at, frets)) => {
                    held.get_mut(at).into_iter().for_each(|held| held.frets.clone_from(&frets))
                }
                None => {
                    known.push(held.len());
                    held.push(Held { chord, frets: frets.clone() });
                }
            }
        }
        let own = |Picked { chord, frets, .. }: &Picked| {
            let mut known = of_chord.get(chord)?.iter().copied();
            known.find(|at| held.get(*at).is_some_and(|held| held.has_all(frets)))
        };
        let of_each = picked.iter().map(own).collect();
        (held, of_each)
    }

    /// What is picked here and there as one, where one hold has both.
    fn together(&self, here: &[Option<Fret>], there: &[Option<Fret>]) -> Option<Vec<Option<Fret>>> {
        let both = || here.iter().zip(there);
        if both().any(|(one, other)| one.is_some() && other.is_some() && one != other) {
            return None;
        }
        let whole: Vec<Option<Fret>> = both().map(|(one, other)| one.or(*other)).collect();
        (whole == here || whole == there || self.can_hold(&whole)).then_some(whole)
    }

    fn can_hold(&self, frets: &[Option<Fret>]) -> bool {
        hold::easiest(frets, &self.neck, self.hand, super::PLUCKED).is_some()
    }

    /// The ways to hold a chord of which some frets are picked: as the lesson's shape that has them, or else as
    /// the best shape that does, or as the picked frets alone.
    fn choices(&self, held: &Held) -> Choices {
        let has_picked = |shape: &[Option<Fret>]| {
            let on = |string: StringIndex| shape.get(string.index());
            by_string(&held.frets).all(|(string, fret)| fret.is_none() || on(string) == Some(fret))
        };
        let own = (self.shapes)(held.chord).filter(|shape| has_picked(&shape.frets));
        if let Some(shape) = own.filter(|shape| !shape.fingers.is_empty()) {
            return Choices::given(shape);
        }
        let choices = if held.chord.is_plain() { Choices::taught } else { Choices::derived };
        let best = self.best(held, &has_picked);
        match best {
            Some(shape) => choices(shape, &self.neck, self.hand, Posture::default()),
            None => choices(held.frets.clone(), &self.neck, self.hand, super::PLUCKED),
        }
    }

    /// Whether what is picked has every tone of its chord, on strings beside one another: where one between is
    /// left out, the shape that is picked from is a larger one.
    fn is_whole(&self, held: &Held) -> bool {
        let sounds = |fret: &&Option<Fret>| fret.is_some();
        let silent = held.frets.iter().skip_while(|fret| !sounds(fret)).skip_while(sounds);
        if silent.flatten().next().is_some() {
            return false;
        }
        let pitch = |(string, fret): (StringIndex, &Option<Fret>)| {
            self.riff.instrument.written_pitch(string, (*fret)?)
        };
        let pitches = by_string(&held.frets).filter_map(pitch);
        let classes = pitches.fold(0, |classes, pitch| classes | 1 << pitch.class());
        held.chord.classes() & !classes == 0
    }

    /// The best shape of a chord that has what is picked; where that is the whole chord, nothing more is pressed.
    fn best(
        &self,
        held: &Held,
        has_picked: &dyn Fn(&[Option<Fret>]) -> bool,
    ) -> Option<Vec<Option<Fret>>> {
        let (instrument, chord) = (&self.riff.instrument, held.chord);
        let pressed = |frets: &[Option<Fret>]| -> Vec<Fret> {
            frets.iter().flatten().copied().filter(|fret| fret.is_pressed()).collect()
        };
        let picked = pressed(&held.frets);
        let low = picked.iter().min().copied().unwrap_or_default();
        let high = picked.iter().max().copied().unwrap_or_default();
        let last = instrument.last_fret().min(low.up(REACH).max(high));
        let search =
            Search { frets: Fret::OPEN..=last, ..Search::new(chord, instrument, self.hand) };
        let mut shapes = search.all();
        let most = if self.is_whole(held) { picked.len() } else { instrument.tuning.len() };
        shapes.retain(|shape| has_picked(shape.frets()) && pressed(shape.frets()).len() <= most);
        let near = if low > Fret::new(REACH) { low } else { Fret::OPEN };
        let best = voicing::ranked(&shapes, chord, instrument, self.hand, near, 1);
        Some(best.first()?.shape.frets().to_vec())
    }
}
