//! Runs the commands over lessons of a megabyte that ask for as much work as they can, one of each kind, and
//! prints the ten that took longest and the ten that held most memory. Fails where one is beyond what it
//! must keep to. `cargo bench --bench hostile -- WORDS` runs the kinds whose name has these words.

#[path = "../support/hostile_lessons.rs"]
mod hostile_lessons;

use hostile_lessons::KINDS;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

const FRETLEAF: &str = env!("CARGO_BIN_EXE_fretleaf");

/// How large each lesson is, in bytes.
const SIZE: usize = 1_000_000;
/// How long a run may take.
const LONGEST: Duration = Duration::from_secs(3);
/// How much memory it may hold, in MB.
const MOST: f64 = 500.0;
/// How often is looked how much memory a run holds.
const LOOK: Duration = Duration::from_millis(2);

/// What is run, behind the program's name.
const COMMANDS: [&[&str]; 3] = [&["proof"], &["press", "--draft"], &["script", "--draft"]];

/// One run.
struct Run {
    what: String,
    time: Duration,
    memory: f64,
}

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let words = words.join(" ");
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("bench-hostile");
    fs::create_dir_all(&folder)?;
    let lesson = folder.join("hostile.md");
    let mut runs = Vec::new();
    for kind in KINDS.iter().filter(|kind| kind.name.contains(&words)) {
        fs::write(&lesson, kind.of_size(SIZE))?;
        for arguments in COMMANDS {
            runs.push(run(arguments, kind.name, &lesson, &folder)?);
        }
    }
    println!("{} runs over lessons of {SIZE} bytes\n", runs.len());
    runs.sort_by_key(|run| std::cmp::Reverse(run.time));
    println!("the longest");
    runs.iter().take(10).for_each(print);
    runs.sort_by(|one, other| other.memory.total_cmp(&one.memory));
    println!("\nthe largest");
    runs.iter().take(10).for_each(print);
    let beyond = runs.iter().filter(|run| run.time > LONGEST || run.memory > MOST).count();
    if beyond > 0 {
        return Err(format!("{beyond} runs are beyond {LONGEST:?} or {MOST} MB").into());
    }
    Ok(())
}

fn print(run: &Run) {
    println!("{:>7.2} s {:>7.1} MB  {}", run.time.as_secs_f64(), run.memory, run.what);
}

/// Runs a command over a lesson.
fn run(
    arguments: &[&str],
    kind: &str,
    lesson: &Path,
    folder: &Path,
) -> Result<Run, Box<dyn Error>> {
    let mut command = Command::new(FRETLEAF);
    command.args(arguments).arg(lesson).stdout(Stdio::null()).stderr(Stdio::null());
    if arguments != ["proof"] {
        command.arg("--out").arg(folder);
    }
    let begun = Instant::now();
    let mut child = command.spawn()?;
    let facts = format!("/proc/{}/status", child.id());
    let mut memory = 0.0_f64;
    let status = loop {
        memory = memory.max(most_held(&fs::read_to_string(&facts).unwrap_or_default()));
        match child.try_wait()? {
            Some(status) => break status,
            None => thread::sleep(LOOK),
        }
    };
    let what = format!("{}, {kind}", arguments.join(" "));
    match status.code() {
        Some(0 | 1) => Ok(Run { what, time: begun.elapsed(), memory }),
        _ => Err(format!("{what}: ended with {status}").into()),
    }
}

/// The most memory that a process has held, in MB, as the system counts it; none where it doesn't.
fn most_held(facts: &str) -> f64 {
    let kilobytes = facts.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = kilobytes.and_then(|rest| rest.trim().strip_suffix(" kB"));
    kilobytes.and_then(|number| number.parse().ok()).unwrap_or(0.0) / 1024.0
}
