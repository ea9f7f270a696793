//! Ways through chords, held against every way and a shortest-path search of its own.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::*;
use crate::neck::StringIndex;
use crate::neck::voicing::{Asked, Family, Search, ranked};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % sides
    }
}

fn chord(symbol: &str) -> Chord {
    Chord::parse(symbol).unwrap()
}

fn triads(chord: &Chord, strings: &[usize], near: Option<Fret>) -> Vec<Candidate> {
    let guitar = Instrument::guitar();
    let strings = strings.iter().copied().map(StringIndex::new).collect();
    let asked = Asked {
        chord,
        family: Family::Triads,
        instrument: &guitar,
        strings,
        frets: Fret::OPEN..=Fret::new(22),
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
    let near = [None, Some(Fret::new(dice.roll(16) as u8))][dice.roll(2)];
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
    let moved: u32 = way.windows(2).map(|pair| by_hand(&pair[0].shape, &pair[1].shape)).sum();
    let moved = moved + way.iter().map(|one| one.cost.movement).sum::<u32>();
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
    let (_, way) = least_movement(chords).unwrap();
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
    let parts = |one: &Candidate| (one.cost.away, one.cost.mean, one.cost.bass, one.cost.strain);
    let mut open = BinaryHeap::new();
    let mut closed = std::collections::BTreeSet::new();
    for (at, one) in chords[0].iter().enumerate() {
        let (away, mean, bass, strain) = parts(one);
        open.push(Reverse(((one.cost.movement, away, mean, bass, strain), 0, at)));
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
            let step = by_hand(&chords[chord][at].shape, &one.shape);
            let moved = moved + step + one.cost.movement;
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
fn ways_through_the_shapes_that_are_taught_are_the_shortest_too() {
    let guitar = Instrument::guitar();
    let shown = |symbol: &str| {
        let chord = chord(symbol);
        let shapes = Search::new(&chord, &guitar, Hand::MEDIUM).all();
        let near = Fret::new(7);
        let shown = ranked(&shapes, &chord, &guitar, Hand::MEDIUM, near, 40);
        taught(&shown, &guitar, Some(near))
    };
    for progression in [["G", "Em", "C"], ["Am7", "D7", "Gmaj7"], ["E5", "G5", "A5"]] {
        let chords: Vec<Vec<Candidate>> = progression.iter().map(|one| shown(one)).collect();
        assert!(chords.iter().all(|candidates| candidates.len() > 20));
        assert_eq!(found(&chords), shortest(&chords), "{progression:?}");
    }
}

fn shape(text: &str) -> Shape {
    let frets: Vec<Option<Fret>> =
        text.chars().map(|fret| fret.to_digit(10).map(|fret| Fret::new(fret as u8))).collect();
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
    let near = nearest(&triads(&chord("A"), &[3, 4, 5], Some(Fret::new(5))));
    let shapes: Vec<Shape> = near.iter().map(|one| one.shape).collect();
    assert_eq!(shapes, [shape("xxx655")]);
}

#[test]
fn among_ways_that_move_equally_the_nearest_is_taken() {
    for (near, second) in [(None, "xxx433"), (Some(3), "xxx433"), (Some(7), "xxx877")] {
        let of = |shapes: &[&str]| {
            let shapes: Vec<Shape> = shapes.iter().map(|text| shape(text)).collect();
            candidates(&shapes, &Instrument::guitar(), Hand::MEDIUM, near.map(Fret::new))
        };
        let (_, way) = least_movement(&[of(&["xxx655"]), of(&["xxx433", "xxx877"])]).unwrap();
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
