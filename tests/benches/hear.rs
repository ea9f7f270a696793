//! Times what a loop is made into for the ear, as notes and as sound, on one core, and prints each figure beside what
//! it must reach; then how much more memory ten minutes of sound hold than three. Fails where a note's decay costs more
//! than notes do: numbers near nothing are slow where they are not made nothing.

#[path = "../support/busy_score.rs"]
mod busy_score;

use fretleaf::hear::{Score, midi, render};
use std::fs;
use std::hint::black_box;
use std::io;
use std::time::{Duration, Instant};

/// How often each is run; the fastest is printed, since others may work beside it.
const RUNS: usize = 7;

fn main() -> io::Result<()> {
    let minute = busy_score::score(60, 1);
    println!("{:44} {:>9} {:>9} {:>9}", "", "fastest", "must", "aims at");
    report("three parts of a minute as MIDI", "100 ms", "10 ms", || {
        black_box(midi::write(&minute, io::sink()).is_ok());
    });
    report("the same as sound", "1000 ms", "400 ms", || play(&minute));
    for part in &minute.parts {
        let alone = Score { parts: vec![part.clone()], ..minute.clone() };
        let all = report(&format!("  {} alone", part.name), "", "", || play(&alone));
        let mut first = alone;
        first.parts.iter_mut().for_each(|part| part.notes.truncate(6));
        let decay = report("    its first notes, and their decay", "", "", || play(&first));
        if decay > all {
            return Err(io::Error::other(format!("{}: decay costs more than notes", part.name)));
        }
    }
    play(&busy_score::score(60, 3));
    let before = most_held();
    play(&busy_score::score(60, 10));
    println!(
        "{:44} {:>6.1} MB {:>9}",
        "ten minutes hold more than three",
        most_held() - before,
        "1 MB"
    );
    Ok(())
}

fn play(score: &Score) {
    let played = render::render(score, 440.0, &mut |samples| {
        black_box(samples);
        Ok::<(), ()>(())
    });
    black_box(played.is_ok());
}

fn report(what: &str, must: &str, aim: &str, run: impl Fn()) -> Duration {
    let time = |_| {
        let start = Instant::now();
        run();
        start.elapsed()
    };
    let fastest = (0..RUNS).map(time).min().unwrap_or_default();
    println!("{what:44} {:>6.1} ms {must:>9} {aim:>9}", fastest.as_secs_f64() * 1000.0);
    fastest
}

/// The most memory that this process has held, in MB, as the system counts it; none where it doesn't.
fn most_held() -> f64 {
    let facts = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kilobytes = facts.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = kilobytes.and_then(|rest| rest.trim().strip_suffix(" kB"));
    kilobytes.and_then(|number| number.parse().ok()).unwrap_or(0.0) / 1024.0
}
