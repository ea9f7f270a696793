//! Times the searches on the neck and prints each figure beside what it must reach and what it aims
//! at; for the search of voicings also what trying every fret of every string takes.

use fretleaf::neck::voicing::{Grip, Search};
use fretleaf::neck::{Hand, Instrument, Neck};
use fretleaf::theory::Chord;
use std::time::{Duration, Instant};

/// How often each search is run; the median is printed.
const RUNS: usize = 21;

fn main() {
    println!("{:44} {:>12} {:>12} {:>9} {:>9}", "", "search", "brute force", "must", "aims at");
    let guitar = Instrument::guitar();
    for symbol in ["C", "F#m", "Amaj7", "E7#9", "Dm7b5", "G13", "Bb6/9", "A/C#"] {
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

/// Every tone of the chord on every string, whatever lies between.
struct Brute<'a> {
    chord: &'a Chord,
    instrument: &'a Instrument,
    grip: Grip,
}

impl<'a> Brute<'a> {
    fn new(chord: &'a Chord, instrument: &'a Instrument) -> Brute<'a> {
        let grip = Grip::new(&Neck::of(instrument), Hand::MEDIUM, instrument.last_fret());
        Brute { chord, instrument, grip }
    }

    fn count(&self) -> usize {
        self.from(&mut Vec::new(), 0, i32::MAX)
    }

    fn from(&self, frets: &mut Vec<Option<u8>>, sounding: u16, lowest: i32) -> usize {
        let string = frets.len();
        if string == self.instrument.tuning.len() {
            let bass =
                self.chord.bass.is_none_or(|bass| i32::from(bass.class()) == lowest.rem_euclid(12));
            let sounds = bass && self.chord.demand().is_met_by(sounding);
            return usize::from(sounds && self.grip.can_hold(frets));
        }
        let mut count = 0;
        for fret in std::iter::once(None).chain((0..=self.instrument.last_fret()).map(Some)) {
            let pitch = fret.and_then(|fret| self.instrument.written_pitch(string, fret));
            let class = pitch.map_or(0, |pitch| 1u16 << pitch.rem_euclid(12));
            if class & !self.chord.classes() == 0 {
                frets.push(fret);
                count += self.from(
                    frets,
                    sounding | class,
                    pitch.map_or(lowest, |pitch| pitch.min(lowest)),
                );
                frets.pop();
            }
        }
        count
    }
}
