//! What isn't written: the key, and a chord for each bar. Experts agree on three chords in four at best (Koops
//! and others 2019), so a single note is doubted by what is inferred in strong cases only.

use super::context::{Line, Under, holds};
use crate::theory::profile::{self, Found};

/// With fewer tones a riff's key is anybody's guess (assumed).
const TONES_FOR_A_KEY: usize = 12;

/// The key that a riff's tones, and the chords over them, are most likely in.
pub fn key(line: &Line<'_>) -> Option<Found> {
    if line.tones.len() < TONES_FOR_A_KEY {
        return None;
    }
    let heard = |bar: usize| {
        line.in_bar(bar).iter().fold(0, |heard, tone| {
            heard | 1 << tone.pitch.class() | tone.chord.map_or(0, |chord| chord.classes)
        })
    };
    let passages: Vec<u16> = (0..line.bars.len()).map(heard).collect();
    let end = line.tones.last().map(|last| line.together(last));
    let lowest = end.and_then(|tones| tones.iter().map(|tone| tone.pitch).min());
    profile::find(&passages, lowest.map(|pitch| pitch.class()))
}

/// Intervals above the root of the chords that are looked for: major, minor, dominant seventh.
const KINDS: [&[u8]; 3] = [&[0, 4, 7], &[0, 3, 7], &[0, 4, 7, 10]];

/// The likeliest chord over each bar: a path through all triads and sevenths, on which chords of
/// the key, chords that stay and roots that move by fourths are preferred, as harmony books say that they
/// follow one another. The weights are natural logarithms of chances; assumed, to be measured.
pub fn chords(line: &Line<'_>) -> Vec<Option<Under>> {
    let all: Vec<Under> =
        (0..12).flat_map(|root| KINDS.map(|kind| Under::of_steps(root, kind))).collect();
    let mut best: Vec<f64> = all.iter().map(|chord| at_home(line, chord)).collect();
    let mut paths: Vec<Vec<usize>> = Vec::new();
    for bar in 0..line.bars.len() {
        let came: Vec<(f64, usize)> = all.iter().map(|to| arrive(&all, &best, to)).collect();
        best = all
            .iter()
            .zip(&came)
            .map(|(chord, (score, _))| score + at_home(line, chord) + heard(line, bar, chord))
            .collect();
        paths.push(came.into_iter().map(|(_, from)| from).collect());
    }
    let mut at =
        (0..all.len()).max_by(|a, b| score(&best, *a).total_cmp(&score(&best, *b))).unwrap_or(0);
    let mut path = Vec::new();
    for (bar, from) in paths.iter().enumerate().rev() {
        let sounds = !line.in_bar(bar).is_empty();
        path.push(all.get(at).copied().filter(|_| sounds));
        at = from.get(at).copied().unwrap_or(0);
    }
    path.reverse();
    path
}

fn score(scores: &[f64], index: usize) -> f64 {
    scores.get(index).copied().unwrap_or(f64::NEG_INFINITY)
}

/// The best way to a chord, and the chord that it comes from.
fn arrive(all: &[Under], best: &[f64], to: &Under) -> (f64, usize) {
    let ways = all.iter().zip(best).enumerate().map(|(index, (from, score))| {
        let moved = match profile::above(from.root, to.root) {
            0 => 0.0,
            // By a fourth up or down.
            5 | 7 => -0.7,
            // By a whole step or a minor third.
            2 | 9 | 10 | 3 => -1.2,
            _ => -2.0,
        };
        (score + moved, index)
    });
    ways.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0))
}

/// How likely a chord is before anything is heard: less for each of its tones that is foreign to the key,
/// and for a seventh, which fits whatever its triad does.
fn at_home(line: &Line<'_>, chord: &Under) -> f64 {
    let foreign = (chord.classes & !line.at_home).count_ones();
    let seventh = if chord.dominant { -0.5 } else { 0.0 };
    if line.at_home == 0 { seventh } else { seventh - 1.2 * f64::from(foreign) }
}

/// How well a chord fits the tones of a bar: those on a beat count more, since what lies between is oftener
/// no chord tone, and so does the lowest where it is the root.
fn heard(line: &Line<'_>, bar: usize, chord: &Under) -> f64 {
    let tones = line.in_bar(bar);
    let lowest = tones.iter().map(|tone| tone.pitch).min();
    tones
        .iter()
        .map(|tone| {
            let weight = if tone.strong { 1.0 } else { 0.6 };
            let root = Some(tone.pitch) == lowest && tone.pitch.class() == chord.root;
            let fits = if holds(chord.classes, tone.pitch) { 0.0 } else { -1.4 };
            weight * fits + if root { 0.8 } else { 0.0 }
        })
        .sum()
}
