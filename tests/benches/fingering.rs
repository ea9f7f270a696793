//! Times the search for the fingers of a passage: 1,000 notes of a melody, and 1,000 chords.

use fretleaf::neck::path::{self, Joint, Moment, Stop};
use fretleaf::neck::{Fret, Hand, Instrument, Neck, StringIndex};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// How often each passage is fingered; the median is printed.
const RUNS: usize = 21;

fn main() {
    println!("{:44} {:>9} {:>9} {:>9}", "", "median", "must", "aims at");
    report("best fingering of 1,000 notes", &passage(1), "10 ms", "1 ms");
    report("best fingering of 1,000 chords of 4 notes", &passage(4), "", "");
}

fn report(what: &str, moments: &[Moment], must: &str, aim: &str) {
    let neck = Neck::of(&Instrument::guitar());
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            black_box(path::fingers(black_box(moments), &neck, Hand::MEDIUM));
            start.elapsed()
        })
        .collect();
    times.sort();
    let median = times.get(RUNS / 2).copied().unwrap_or_default();
    println!("{what:44} {:>6.2} ms {must:>9} {aim:>9}", median.as_secs_f64() * 1000.0);
}

/// A passage that wanders over the neck, with so many notes at a time; ever the same.
fn passage(together: usize) -> Vec<Moment> {
    let mut seed = 7u32;
    let mut number = |below: u32| {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (seed >> 16) % below
    };
    let mut place = 5;
    let mut moment = || {
        place = (place + number(5)).saturating_sub(2).clamp(1, 12);
        let lowest = number(7 - together as u32) as usize;
        let stop = |string: usize, fret: u32| Stop {
            string: StringIndex::new(string),
            fret: Fret::new(fret as u8),
            finger: None,
            joint: Joint::Struck,
        };
        let stops = (0..together).map(|at| stop(lowest + at, place + number(4))).collect();
        Moment { since: Duration::from_millis(150), stops, ringing: Vec::new() }
    };
    (0..1000).map(|_| moment()).collect()
}
