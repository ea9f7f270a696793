//! Leading: the way through a progression in which the hand moves least.
//!
//! The cheapest way to each shape of a chord is the cheapest way to some shape of the chord before
//! and the move from there, so the chords are gone through once, and what is found is the least of
//! all ways, not a greedy one.

use super::voicing::{MEAN_UNIT, Shape};
use super::{Hand, Instrument, Neck, Posture, hold};
use crate::theory::{Chord, Midi, Note};

/// What a string that begins or ceases to sound counts, in frets.
const BEGINS_OR_CEASES: u32 = 2;

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
    /// The movement, in frets.
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
}

/// The shapes that the hand can hold, with what they cost by themselves, near a fret where one is
/// asked for; the others are left out.
pub fn candidates(
    shapes: &[Shape],
    instrument: &Instrument,
    hand: Hand,
    near: Option<u8>,
) -> Vec<Candidate> {
    let neck = Neck::of(instrument);
    let away = |mean: i64| near.map_or(0, |near| (mean - i64::from(near) * MEAN_UNIT).abs());
    let candidate = |shape: &Shape| {
        let hold = hold::easiest(shape.frets(), &neck, hand, Posture::default())?;
        let cost = Cost {
            movement: 0,
            away: away(shape.mean_fret()),
            mean: shape.mean_fret(),
            bass: shape.bass(instrument).map_or(0, |bass| i64::from(bass.number())),
            strain: (hold.strain * 1e6).round() as i64,
        };
        Some(Candidate { shape: *shape, cost })
    };
    shapes.iter().filter_map(candidate).collect()
}

/// Those of the candidates whose mean fret is nearest to the one that is asked for; all where none
/// is.
pub fn nearest(candidates: &[Candidate]) -> Vec<Candidate> {
    let least = candidates.iter().map(|candidate| candidate.cost.away).min();
    let is_nearest = |candidate: &&Candidate| Some(candidate.cost.away) == least;
    candidates.iter().filter(is_nearest).copied().collect()
}

/// The way with the least total movement, a shape a chord; among equals the one that stays nearest to
/// the fret that is asked for, then the lower mean frets, then the lower basses, then the smaller
/// strains, each added up over the way, then the shapes that come first among the candidates. `None` where a chord has no candidate.
pub fn least_movement(chords: &[Vec<Candidate>]) -> Option<Vec<Shape>> {
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
    let (mut at, _) = last.iter().enumerate().min_by_key(|(at, step)| (step.cost, *at))?;
    let mut way = Vec::new();
    for layer in layers.iter().rev() {
        let step = layer.get(at)?;
        way.push(step.candidate.shape);
        at = step.from;
    }
    way.reverse();
    Some(way)
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
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::neck::voicing::{Asked, Family, Search, is_whole};
    use std::cmp::Reverse;
    use std::collections::BinaryHeap;

    struct Dice(u64);

    impl Dice {
        fn roll(&mut self, sides: usize) -> usize {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 33) as usize % sides
        }
    }

    fn chord(symbol: &str) -> Chord {
        Chord::parse(symbol).unwrap()
    }

    fn triads(chord: &Chord, strings: &[usize], near: Option<u8>) -> Vec<Candidate> {
        let guitar = Instrument::guitar();
        let strings = strings.to_vec();
        let asked = Asked {
            chord,
            family: Family::Triads,
            instrument: &guitar,
            strings,
            frets: 0..=22,
            top: None,
        };
        candidates(&asked.shapes(), &guitar, Hand::MEDIUM, near)
    }

    /// A random progression of triads over one to three sets of strings, a few of each chord's
    /// shapes left out.
    fn progression(dice: &mut Dice, chords: usize, most: usize) -> Vec<Vec<Candidate>> {
        let roots = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
        let qualities = ["", "m", "dim", "aug", "sus2", "sus4"];
        let low = dice.roll(3);
        let near = [None, Some(dice.roll(16) as u8)][dice.roll(2)];
        let strings: Vec<usize> = (low..=(low + 2 + dice.roll(3)).min(5)).collect();
        let one = |dice: &mut Dice| {
            let symbol = format!("{}{}", roots[dice.roll(12)], qualities[dice.roll(6)]);
            let mut candidates = triads(&chord(&symbol), &strings, near);
            while candidates.len() > most {
                candidates.swap_remove(dice.roll(candidates.len()));
            }
            candidates
        };
        (0..chords).map(|_| one(dice)).filter(|candidates| !candidates.is_empty()).collect()
    }

    /// What a way costs, in the order in which it decides.
    type Total = (u32, i64, i64, i64, i64);

    fn total(way: &[Candidate]) -> Total {
        let moved = way.windows(2).map(|pair| by_hand(&pair[0].shape, &pair[1].shape)).sum();
        let sum = |part: fn(&Cost) -> i64| way.iter().map(|one| part(&one.cost)).sum();
        (
            moved,
            sum(|cost| cost.away),
            sum(|cost| cost.mean),
            sum(|cost| cost.bass),
            sum(|cost| cost.strain),
        )
    }

    /// Movement as design section 2 has it, string by string.
    fn by_hand(from: &Shape, to: &Shape) -> u32 {
        let mut moved = 0;
        for string in 0..from.frets().len() {
            moved += match (from.frets()[string], to.frets()[string]) {
                (Some(one), Some(other)) => (i32::from(one) - i32::from(other)).unsigned_abs(),
                (one, other) if one.is_some() != other.is_some() => 2,
                _ => 0,
            };
        }
        moved
    }

    fn found(chords: &[Vec<Candidate>]) -> Total {
        let way = least_movement(chords).unwrap();
        let chosen: Vec<Candidate> = way
            .iter()
            .zip(chords)
            .map(|(shape, candidates)| *candidates.iter().find(|one| one.shape == *shape).unwrap())
            .collect();
        total(&chosen)
    }

    /// Every way there is.
    fn exhaustive(chords: &[Vec<Candidate>], way: &mut Vec<Candidate>, best: &mut Option<Total>) {
        let Some(candidates) = chords.get(way.len()) else {
            let total = total(way);
            if best.is_none_or(|best| total < best) {
                *best = Some(total);
            }
            return;
        };
        for candidate in candidates {
            way.push(*candidate);
            exhaustive(chords, way, best);
            way.pop();
        }
    }

    /// A shortest path from place to place, the nearest place first.
    fn shortest(chords: &[Vec<Candidate>]) -> Total {
        let parts =
            |one: &Candidate| (one.cost.away, one.cost.mean, one.cost.bass, one.cost.strain);
        let mut open = BinaryHeap::new();
        let mut closed = std::collections::BTreeSet::new();
        for (at, one) in chords[0].iter().enumerate() {
            let (away, mean, bass, strain) = parts(one);
            open.push(Reverse(((0, away, mean, bass, strain), 0, at)));
        }
        while let Some(Reverse((so_far, chord, at))) = open.pop() {
            if chord + 1 == chords.len() {
                return so_far;
            }
            if !closed.insert((chord, at)) {
                continue;
            }
            for (next, one) in chords[chord + 1].iter().enumerate() {
                let (away, mean, bass, strain) = parts(one);
                let (moved, so_far_away, so_far_mean, so_far_bass, so_far_strain) = so_far;
                let moved = moved + by_hand(&chords[chord][at].shape, &one.shape);
                let cost = (
                    moved,
                    so_far_away + away,
                    so_far_mean + mean,
                    so_far_bass + bass,
                    so_far_strain + strain,
                );
                open.push(Reverse((cost, chord + 1, next)));
            }
        }
        panic!("no way")
    }

    #[test]
    fn no_way_moves_less_than_the_one_found() {
        let mut dice = Dice(5);
        for _ in 0..200 {
            let chords = 2 + dice.roll(4);
            let chords = progression(&mut dice, chords, 8);
            let mut best = None;
            exhaustive(&chords, &mut Vec::new(), &mut best);
            assert_eq!(Some(found(&chords)), best);
        }
    }

    #[test]
    fn a_shortest_path_search_finds_the_same() {
        let mut dice = Dice(12);
        for _ in 0..200 {
            let chords = 2 + dice.roll(11);
            let chords = progression(&mut dice, chords, usize::MAX);
            assert_eq!(found(&chords), shortest(&chords));
        }
    }

    #[test]
    fn ways_through_all_whole_chords_are_the_shortest_too() {
        let guitar = Instrument::guitar();
        let whole = |symbol: &str| {
            let chord = chord(symbol);
            let mut shapes = Search::new(&chord, &guitar, Hand::MEDIUM).all();
            shapes.retain(|shape| is_whole(shape, &chord, &guitar));
            candidates(&shapes, &guitar, Hand::MEDIUM, Some(7))
        };
        for progression in [["G", "Em", "C"], ["Am7", "D7", "Gmaj7"], ["E5", "G5", "A5"]] {
            let chords: Vec<Vec<Candidate>> = progression.iter().map(|one| whole(one)).collect();
            assert!(chords.iter().all(|candidates| candidates.len() > 20));
            assert_eq!(found(&chords), shortest(&chords), "{progression:?}");
        }
    }

    fn shape(text: &str) -> Shape {
        let frets: Vec<Option<u8>> =
            text.chars().map(|fret| fret.to_digit(10).map(|fret| fret as u8)).collect();
        Shape::of(&frets)
    }

    #[test]
    fn movement_counts_frets_and_strings() {
        for (from, to, moved) in [
            ("xxx220", "xxx220", 0),
            ("xxx220", "xxx222", 2),
            ("x02220", "xx0232", 7),
            ("xxx655", "xx765x", 4),
        ] {
            assert_eq!(movement(&shape(from), &shape(to)), moved, "{from} {to}");
            assert_eq!(movement(&shape(to), &shape(from)), moved, "{to} {from}");
        }
    }

    #[test]
    fn the_first_shape_is_the_nearest() {
        let near = nearest(&triads(&chord("A"), &[3, 4, 5], Some(5)));
        let shapes: Vec<Shape> = near.iter().map(|one| one.shape).collect();
        assert_eq!(shapes, [shape("xxx655")]);
    }

    #[test]
    fn among_ways_that_move_equally_the_nearest_is_taken() {
        for (near, second) in [(None, "xxx433"), (Some(3), "xxx433"), (Some(7), "xxx877")] {
            let of = |shapes: &[&str]| {
                let shapes: Vec<Shape> = shapes.iter().map(|text| shape(text)).collect();
                candidates(&shapes, &Instrument::guitar(), Hand::MEDIUM, near)
            };
            let way = least_movement(&[of(&["xxx655"]), of(&["xxx433", "xxx877"])]).unwrap();
            assert_eq!(way, [shape("xxx655"), shape(second)], "{near:?}");
        }
    }

    #[test]
    fn voices_stay_rise_and_fall() {
        for (from, to, said) in [
            (("E", "xxx454"), ("A", "xxx655"), "Rises B C#, Stays E, Rises G# A"),
            (("A", "xxx655"), ("F#m", "xxx675"), "Stays C#, Rises E F#, Stays A"),
            (("D", "xxx775"), ("A", "xxx655"), "Falls D C#, Falls F# E, Stays A"),
            (("A", "x02220"), ("A", "xxx220"), "Ceases A, Ceases E, Stays A, Stays C#, Stays E"),
            (("C5", "x355xx"), ("C", "x3555x"), "Stays C, Stays G, Stays C, Begins E"),
        ] {
            let guitar = Instrument::guitar();
            let (one, other) = (chord(from.0), chord(to.0));
            let (first, second) = (shape(from.1), shape(to.1));
            let voices = voices(
                Sounding { shape: &first, chord: &one },
                Sounding { shape: &second, chord: &other },
                &guitar,
            );
            let written: Vec<String> = voices
                .iter()
                .map(|voice| match voice {
                    Voice::Stays(note) => format!("Stays {note}"),
                    Voice::Rises(one, other) => format!("Rises {one} {other}"),
                    Voice::Falls(one, other) => format!("Falls {one} {other}"),
                    Voice::Begins(note) => format!("Begins {note}"),
                    Voice::Ceases(note) => format!("Ceases {note}"),
                })
                .collect();
            assert_eq!(written.join(", "), said, "{from:?} {to:?}");
        }
    }
}
