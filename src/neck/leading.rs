//! Leading: the way through a progression in which the hand moves least.
//!
//! The cheapest way to each shape of a chord is the cheapest way to some shape of the chord before
//! and the move from there, so the chords are gone through once, and what is found is the least of
//! all ways, not a greedy one (the optimum path of Sayegh 1989; what counts, and in which order, as design
//! section 2).

use super::voicing::{MEAN_UNIT, Ranked, Shape, preferred};
use super::{Fret, Hand, Instrument, Neck, Posture, hold};
use crate::theory::{Chord, Midi, Note};

/// What a string that begins or ceases to sound counts, in frets.
const BEGINS_OR_CEASES: u32 = 2;
/// How many frets of movement it is worth to keep to what is shown first, for each 1 that a shape's cost
/// is behind it (assumed: so that the lines that the tests list are as they are taught).
const KEPT_FOR: f64 = 12.0;
/// The same for each string that it silences more: what it saves where it is come to and where it is left.
const SILENCED: u32 = 2 * BEGINS_OR_CEASES;

/// How far the hand moves from one shape to another: frets moved, added over the strings; a string
/// that begins or ceases to sound counts as two frets (design section 2).
pub fn movement(from: &Shape, to: &Shape) -> u32 {
    let strings = from.frets().iter().zip(to.frets());
    strings
        .map(|pair| match pair {
            (Some(from), Some(to)) => u32::from(from.abs_diff(*to)),
            (None, None) => 0,
            _ => BEGINS_OR_CEASES,
        })
        .sum()
}

/// What a way through the chords costs so far: each part is added up over the whole way, and a part
/// decides only where those before it are equal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Cost {
    /// The movement, in frets, and with it how far the shapes are behind those that are shown first.
    pub movement: u32,
    /// How far the mean frets of the shapes lie from the one that is asked for, in parts of
    /// [`MEAN_UNIT`]; 0 where none is.
    pub away: i64,
    /// The mean frets of the shapes, in parts of [`MEAN_UNIT`].
    pub mean: i64,
    /// The pitches of the basses.
    pub bass: i64,
    /// The strains, in millionths.
    pub strain: i64,
}

impl Cost {
    fn plus(self, other: Cost, movement: u32) -> Cost {
        Cost {
            movement: self.movement + other.movement + movement,
            away: self.away + other.away,
            mean: self.mean + other.mean,
            bass: self.bass + other.bass,
            strain: self.strain + other.strain,
        }
    }
}

/// A shape that may be taken for a chord, with what it costs by itself.
#[derive(Debug, Clone, Copy)]
pub struct Candidate {
    /// The shape.
    pub shape: Shape,
    cost: Cost,
    /// Whether its fingers reach it only off the places where they press by choice.
    is_stretched: bool,
}

impl Candidate {
    fn of(shape: &Shape, hold: &hold::Hold, instrument: &Instrument, near: Option<Fret>) -> Self {
        let mean = shape.mean_fret();
        let cost = Cost {
            movement: 0,
            away: near.map_or(0, |near| (mean - i64::from(near) * MEAN_UNIT).abs()),
            mean,
            bass: shape.bass(instrument).map_or(0, |bass| i64::from(bass.number())),
            strain: (hold.strain * 1e6).round() as i64,
        };
        Candidate { shape: *shape, cost, is_stretched: hold.stretch > 1.0 }
    }
}

/// The shapes that the hand can hold, with what they cost by themselves, near a fret where one is
/// asked for; the others are left out.
pub fn candidates(
    shapes: &[Shape],
    instrument: &Instrument,
    hand: Hand,
    near: Option<Fret>,
) -> Vec<Candidate> {
    let neck = Neck::of(instrument);
    let candidate = |shape: &Shape| {
        let hold = hold::easiest(shape.frets(), &neck, hand, Posture::default())?;
        Some(Candidate::of(shape, &hold, instrument, near))
    };
    shapes.iter().filter_map(candidate).collect()
}

/// The shapes of a chord that are shown first, in their order: the further one is behind the first, the
/// more frets of movement it must save.
pub fn taught(shown: &[Ranked], instrument: &Instrument, near: Option<Fret>) -> Vec<Candidate> {
    let Some(first) = shown.first() else { return Vec::new() };
    let strings = |one: &Ranked| one.shape.sounding().count();
    let candidate = |one: &Ranked| {
        let behind = ((one.cost - first.cost) * KEPT_FOR).round() as u32;
        let silenced = SILENCED * strings(first).saturating_sub(strings(one)) as u32;
        let mut candidate = Candidate::of(&one.shape, &one.hold, instrument, near);
        candidate.cost.movement = behind + silenced;
        candidate
    };
    shown.iter().map(candidate).collect()
}

/// The candidates that need no wide stretch; all where none does without, or where those that do are more than
/// two frets further from the place that is asked for (assumed): a known grip there is what is wanted.
pub fn unstretched(candidates: Vec<Candidate>) -> Vec<Candidate> {
    let away = |candidate: &Candidate| candidate.cost.away;
    let nearest = candidates.iter().map(away).min().unwrap_or_default();
    let is_easy = |candidate: &&Candidate| !candidate.is_stretched;
    let easy = candidates.iter().filter(is_easy).map(away).min();
    if easy.is_some_and(|easy| easy > nearest + 2 * MEAN_UNIT) {
        return candidates;
    }
    preferred(candidates, |candidate| !candidate.is_stretched)
}

/// Those of the candidates whose mean fret is nearest to the one that is asked for; all where none
/// is.
pub fn nearest(candidates: &[Candidate]) -> Vec<Candidate> {
    let least = candidates.iter().map(|candidate| candidate.cost.away).min();
    let is_nearest = |candidate: &&Candidate| Some(candidate.cost.away) == least;
    candidates.iter().filter(is_nearest).copied().collect()
}

/// So far further from the fret that is asked for than the nearest shape a line may begin (assumed: two frets).
const BEGINS_WITHIN: i64 = 2 * MEAN_UNIT;

/// The way of least movement that begins at the shape of the first chord that is nearest to the fret that is asked for; or a
/// little further from it, where the way from there moves just as far and stays nearer in all.
pub fn begun_near(chords: &[Vec<Candidate>]) -> Option<Vec<Shape>> {
    let first = chords.first()?;
    let mut layers = chords.to_vec();
    let mut from = |begun: Vec<Candidate>| {
        *layers.first_mut()? = begun;
        least_movement(&layers)
    };
    let nearest = nearest(first);
    let least = nearest.first().map_or(0, |one| one.cost.away);
    let (mut cost, mut way) = from(nearest)?;
    let within = least + 1..=least + BEGINS_WITHIN;
    let others = first.iter().filter(|one| within.contains(&one.cost.away));
    for (other, along) in others.filter_map(|one| from(vec![*one])) {
        if other.movement == cost.movement && other.away < cost.away {
            (cost, way) = (other, along);
        }
    }
    Some(way)
}

/// The way with the least total movement, a shape a chord, with what it costs; among equals the one that stays nearest to
/// the fret that is asked for, then the lower mean frets, then the lower basses, then the smaller
/// strains, each added up over the way, then the shapes that come first among the candidates. `None` where a chord has no
/// candidate.
pub fn least_movement(chords: &[Vec<Candidate>]) -> Option<(Cost, Vec<Shape>)> {
    let mut layers: Vec<Vec<Step>> = Vec::new();
    for candidates in chords {
        let layer = match layers.last() {
            None => candidates
                .iter()
                .map(|one| Step { candidate: *one, cost: one.cost, from: 0 })
                .collect(),
            Some(before) => next_layer(before, candidates),
        };
        layers.push(layer);
    }
    let last = layers.last()?;
    let (mut at, end) = last.iter().enumerate().min_by_key(|(at, step)| (step.cost, *at))?;
    let mut way = Vec::new();
    for layer in layers.iter().rev() {
        let step = layer.get(at)?;
        way.push(step.candidate.shape);
        at = step.from;
    }
    way.reverse();
    Some((end.cost, way))
}

/// The cheapest way to one shape.
#[derive(Debug, Clone, Copy)]
struct Step {
    candidate: Candidate,
    cost: Cost,
    /// The shape of the chord before that it comes from.
    from: usize,
}

/// The cheapest way to each candidate. The shapes before are tried by rising cost, so that most of
/// them are never looked at: a move costs nothing at least.
fn next_layer(before: &[Step], candidates: &[Candidate]) -> Vec<Step> {
    let mut order: Vec<(usize, &Step)> = before.iter().enumerate().collect();
    order.sort_by_key(|(at, step)| (step.cost, *at));
    let step_to = |candidate: &Candidate| {
        let mut best: Option<Step> = None;
        for (from, step) in &order {
            if best.is_some_and(|best| best.cost.movement < step.cost.movement) {
                break;
            }
            let moved = movement(&step.candidate.shape, &candidate.shape);
            let cost = step.cost.plus(candidate.cost, moved);
            if best.is_none_or(|best| cost < best.cost) {
                best = Some(Step { candidate: *candidate, cost, from: *from });
            }
        }
        best
    };
    candidates.iter().filter_map(step_to).collect()
}

/// What happens to a voice between two chords.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Voice {
    /// It sounds on, on its string or another.
    Stays(Note),
    /// It goes up from one note to the other.
    Rises(Note, Note),
    /// It goes down.
    Falls(Note, Note),
    /// It sounds in the second chord only.
    Begins(Note),
    /// It sounds in the first chord only.
    Ceases(Note),
}

/// A shape and the chord whose notes it sounds.
#[derive(Debug, Clone, Copy)]
pub struct Sounding<'a> {
    /// The shape.
    pub shape: &'a Shape,
    /// The chord, which spells its notes.
    pub chord: &'a Chord,
}

impl Sounding<'_> {
    /// The pitches that sound, low to high, each once, with their notes as the chord spells them.
    fn notes(&self, instrument: &Instrument) -> Vec<(Midi, Note)> {
        let spell = |pitch: Midi| {
            use crate::theory::spelling::{Direction, spell};
            let degree = self.chord.degree_of_class(pitch.class());
            let foreign = || spell(pitch, None, Some(self.chord), Direction::Unknown).note;
            (pitch, degree.map_or_else(foreign, |degree| degree.above(self.chord.root)))
        };
        let mut notes: Vec<(Midi, Note)> = self.shape.pitches(instrument).map(spell).collect();
        notes.sort_unstable_by_key(|(pitch, _)| *pitch);
        notes.dedup_by_key(|(pitch, _)| *pitch);
        notes
    }
}

/// What the voices do between two chords, from the lowest up. A pitch that both sound stays; the
/// voices that are left move in their order, so that they cross nowhere, those that move furthest
/// beginning or ceasing where their numbers differ.
pub fn voices(from: Sounding, to: Sounding, instrument: &Instrument) -> Vec<Voice> {
    let (from, to) = (from.notes(instrument), to.notes(instrument));
    let stays = |(pitch, _): &(Midi, Note)| from.iter().any(|(other, _)| other == pitch);
    let mut moves: Vec<(Midi, Voice)> = to
        .iter()
        .filter(|note| stays(note))
        .map(|(pitch, note)| (*pitch, Voice::Stays(*note)))
        .collect();
    let leave: Vec<(Midi, Note)> = from
        .iter()
        .filter(|(pitch, _)| !to.iter().any(|(other, _)| other == pitch))
        .copied()
        .collect();
    let arrive: Vec<(Midi, Note)> = to.iter().filter(|note| !stays(note)).copied().collect();
    moves.extend(paired(&leave, &arrive));
    moves.sort_by_key(|(pitch, _)| *pitch);
    moves.into_iter().map(|(_, voice)| voice).collect()
}

/// Voices that move, each in its order with one of the other chord: the pairing with the least
/// movement among those that leave out only what is too many. Both lists have 12 notes at most.
fn paired(leave: &[(Midi, Note)], arrive: &[(Midi, Note)]) -> Vec<(Midi, Voice)> {
    match (leave, arrive) {
        ([], rest) => rest.iter().map(|(pitch, note)| (*pitch, Voice::Begins(*note))).collect(),
        (rest, []) => rest.iter().map(|(pitch, note)| (*pitch, Voice::Ceases(*note))).collect(),
        _ => {
            let spare = leave.len().abs_diff(arrive.len());
            let longer = leave.len().max(arrive.len());
            let ways =
                (0u32..1 << longer).filter(|left_out| left_out.count_ones() as usize == spare);
            let best = ways.min_by_key(|left_out| moved(leave, arrive, *left_out));
            pair(leave, arrive, best.unwrap_or_default())
        }
    }
}

fn moved(leave: &[(Midi, Note)], arrive: &[(Midi, Note)], left_out: u32) -> i32 {
    let kept = |notes: &[(Midi, Note)], other: usize| -> Vec<Midi> {
        let all = notes.iter().enumerate();
        let kept = all.filter(|(at, _)| notes.len() <= other || left_out >> at & 1 == 0);
        kept.map(|(_, (pitch, _))| *pitch).collect()
    };
    let from = kept(leave, arrive.len());
    from.iter().zip(kept(arrive, leave.len())).map(|(from, to)| (*from - to).abs()).sum()
}

fn pair(leave: &[(Midi, Note)], arrive: &[(Midi, Note)], left_out: u32) -> Vec<(Midi, Voice)> {
    let is_out = |notes: &[(Midi, Note)], other: usize, at: usize| {
        notes.len() > other && left_out >> at & 1 == 1
    };
    let mut voices = Vec::new();
    let (mut from, mut to) = (0, 0);
    loop {
        match (leave.get(from), arrive.get(to)) {
            (Some((pitch, note)), _) if is_out(leave, arrive.len(), from) => {
                voices.push((*pitch, Voice::Ceases(*note)));
                from += 1;
            }
            (_, Some((pitch, note))) if is_out(arrive, leave.len(), to) => {
                voices.push((*pitch, Voice::Begins(*note)));
                to += 1;
            }
            (Some((low, first)), Some((high, second))) => {
                let voice = if low < high {
                    Voice::Rises(*first, *second)
                } else {
                    Voice::Falls(*first, *second)
                };
                voices.push((*high, voice));
                (from, to) = (from + 1, to + 1);
            }
            _ => return voices,
        }
    }
}

#[cfg(test)]
mod tests;
