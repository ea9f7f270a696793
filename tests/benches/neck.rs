//! Times the searches on the neck and prints each figure beside what it must reach and what it aims
//! at; for the search of voicings also what trying every fret of every string within
//! the hand's reach takes.

use fretleaf::neck::voicing::Search;
use fretleaf::neck::{Finger, Fret, Hand, Instrument, Neck, Posture, StringIndex, by_string, hold};
use fretleaf::theory::{Chord, Midi};
use std::time::{Duration, Instant};

/// How often each search is run; the median is printed.
const RUNS: usize = 21;

fn main() {
    println!("{:44} {:>12} {:>12} {:>9} {:>9}", "", "search", "brute force", "must", "aims at");
    let guitar = Instrument::guitar();
    for symbol in
        ["C", "F#m", "Amaj7", "E7#9", "Dm7b5", "G11", "G13", "C13#11", "C7alt", "Bb6/9", "A/C#"]
    {
        let Ok(chord) = Chord::parse(symbol) else { continue };
        let search = Search::new(&chord, &guitar, Hand::MEDIUM);
        let shapes = search.all().len();
        let quick = median(|| search.all().len());
        let start = Instant::now();
        let tried = Brute::new(&chord, &guitar).count();
        let slow = start.elapsed();
        assert_eq!(tried, shapes, "{symbol}");
        println!(
            "{:44} {:>9.3} ms {:>9.1} ms {:>9} {:>9}",
            format!("all {shapes} voicings of {symbol}"),
            milliseconds(quick),
            milliseconds(slow),
            "5 ms",
            "0.5 ms"
        );
    }
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

fn median(mut run: impl FnMut() -> usize) -> Duration {
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(run());
            start.elapsed()
        })
        .collect();
    times.sort();
    times.get(RUNS / 2).copied().unwrap_or_default()
}

/// Every tone of the chord on every string, as far as two fingers lie apart at most.
struct Brute<'a> {
    chord: &'a Chord,
    instrument: &'a Instrument,
    neck: Neck,
    most: f64,
}

impl<'a> Brute<'a> {
    fn new(chord: &'a Chord, instrument: &'a Instrument) -> Brute<'a> {
        let most =
            Hand::MEDIUM.reach(Finger::Index, Finger::Little).map_or(0.0, |reach| reach.most);
        Brute { chord, instrument, neck: Neck::of(instrument), most }
    }

    fn count(&self) -> usize {
        self.from(&mut Vec::new())
    }

    fn from(&self, frets: &mut Vec<Option<Fret>>) -> usize {
        let string = frets.len();
        if string == self.instrument.tuning.len() {
            return usize::from(self.sounds(frets) && self.is_held(frets));
        }
        let mut count = 0;
        for fret in
            std::iter::once(None).chain(Fret::OPEN.to(self.instrument.last_fret()).map(Some))
        {
            let pitch =
                fret.and_then(|fret| self.instrument.written_pitch(StringIndex::new(string), fret));
            let is_tone = pitch.is_none_or(|pitch| self.chord.classes() >> pitch.class() & 1 == 1);
            frets.push(fret);
            if is_tone && self.is_within_reach(frets) {
                count += self.from(frets);
            }
            frets.pop();
        }
        count
    }

    fn is_within_reach(&self, frets: &[Option<Fret>]) -> bool {
        let pressed = || frets.iter().flatten().copied().filter(|fret| fret.is_pressed());
        let (Some(low), Some(high)) = (pressed().min(), pressed().max()) else { return true };
        low == high || self.neck.furthest_back(high) - self.neck.furthest_forward(low) <= self.most
    }

    fn sounds(&self, frets: &[Option<Fret>]) -> bool {
        let pitches: Vec<Midi> = by_string(frets)
            .filter_map(|(string, fret)| self.instrument.written_pitch(string, (*fret)?))
            .collect();
        let classes: Vec<u8> = pitches.iter().map(|pitch| pitch.class()).collect();
        let lowest = pitches.iter().min().map(|pitch| pitch.class());
        self.chord.judge(&classes).fits()
            && self.chord.bass.is_none_or(|bass| lowest == Some(bass.class()))
    }

    fn is_held(&self, frets: &[Option<Fret>]) -> bool {
        hold::easiest(frets, &self.neck, Hand::MEDIUM, Posture::default()).is_some()
    }
}
