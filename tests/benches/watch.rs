//! Times how long a save takes to become a new PDF under `watch --preview`, in the four ways in which
//! editors save, and looks whether memory, handles and threads stay what they are over 2,000 saves.
//! Prints the file system's own delay, measured in the same run, and ours beyond it.

#[path = "../support/watching.rs"]
mod watching;

use notify::event::{AccessKind, AccessMode, ModifyKind, RenameMode};
use notify::{EventKind, RecursiveMode, Watcher};
use std::error::Error;
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};
use watching::{Holdings, PATIENCE, Place, Running, WAYS, save};

/// How many saves are timed; the issue asks for 200.
const TIMED: usize = 200;
/// After how many saves what the program holds is compared with what it held after [`TIMED`].
const MANY: usize = 2_000;
/// The pause between two saves, in which the program comes to rest.
const PAUSE: Duration = Duration::from_millis(10);

fn main() -> Result<(), Box<dyn Error>> {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons/slow-ferry.md");
    let demo = fs::read_to_string(demo)?;
    let place = Place::new("bench-watch");
    place.write("slow-ferry.md", &demo);
    let running = Running::start(&place, &["--preview", "slow-ferry.md"]);
    listen(running.address.as_deref().unwrap_or_default())?;
    let (sender, events) = channel();
    let mut watcher = notify::recommended_watcher(move |event| {
        let _ = sender.send((Instant::now(), event));
    })?;
    watcher.watch(&place.0, RecursiveMode::NonRecursive)?;

    let mut times = Vec::new();
    for number in 0..TIMED {
        times.push(timed(&place, &text(&demo, number), number, &events)?);
    }
    println!("{:44} {:>9} {:>9} {:>9} {:>9}", "", "median", "95 in 100", "must", "aims at");
    print("the file system's own delay", times.iter().map(|(system, _)| *system), "", "");
    print("save to new PDF, beyond it", times.iter().map(|(_, ours)| *ours), "40, 50 ms", "16 ms");

    let early = holdings(&running);
    for number in TIMED..MANY {
        timed(&place, &text(&demo, number), number, &events)?;
    }
    let late = holdings(&running);
    for (saves, held) in [(TIMED, early), (MANY, late)] {
        let megabytes = held.kilobytes as f64 / 1024.0;
        let Holdings { handles, threads, .. } = held;
        println!("after save {saves:<5} {megabytes:>7.1} MB, {handles} handles, {threads} threads");
    }
    let grown = late.kilobytes as f64 / early.kilobytes as f64;
    println!("memory changed by {:+.1} %; must stay within 5 %", (grown - 1.0) * 100.0);
    Ok(())
}

/// The demo with other words in its prose, and now and then another fret in its riff.
fn text(demo: &str, number: usize) -> String {
    let text =
        demo.replace("grows from one small idea", &format!("grows from small idea no{number}"));
    if number.is_multiple_of(5) { text.replace("4h--6-", "4h--7-") } else { text }
}

/// Saves the lesson and waits for its PDF: the time until the system told of the save, and from then
/// until it told of the PDF.
fn timed(
    place: &Place,
    text: &str,
    number: usize,
    events: &Receiver<(Instant, notify::Result<notify::Event>)>,
) -> Result<(Duration, Duration), Box<dyn Error>> {
    thread::sleep(PAUSE);
    while events.try_recv().is_ok() {}
    save(&place.path("slow-ferry.md"), text, WAYS.get(number % 4).copied().ok_or("no way")?);
    let saved = Instant::now();
    let mut heard = None;
    loop {
        let (at, event) =
            events.recv_timeout(PATIENCE).map_err(|_| format!("save {number} was missed"))?;
        let event = event?;
        let over = matches!(
            event.kind,
            EventKind::Access(AccessKind::Close(AccessMode::Write))
                | EventKind::Modify(ModifyKind::Name(RenameMode::To))
        );
        let is = |ending: &str| {
            event.paths.iter().any(|path| path.ends_with(format!("slow-ferry.{ending}")))
        };
        if over && is("md") {
            heard = Some(at);
        }
        if let Some(heard) = heard.filter(|_| over && is("pdf")) {
            return Ok((heard.saturating_duration_since(saved), at - heard.max(saved)));
        }
    }
}

fn holdings(running: &Running) -> Holdings {
    thread::sleep(Duration::from_millis(200));
    Holdings::of(running.id())
}

/// Listens to the live page's news, as an open page does.
fn listen(address: &str) -> Result<(), Box<dyn Error>> {
    let host = address.trim_start_matches("http://").trim_end_matches('/').to_owned();
    let mut stream = TcpStream::connect(&host)?;
    write!(stream, "GET /news HTTP/1.1\r\nHost: {host}\r\n\r\n")?;
    thread::spawn(move || {
        let mut buffer = [0; 1 << 16];
        while stream.read(&mut buffer).is_ok_and(|count| count > 0) {}
    });
    Ok(())
}

fn print(what: &str, times: impl Iterator<Item = Duration>, must: &str, aim: &str) {
    let mut times: Vec<f64> = times.map(|time| time.as_secs_f64() * 1000.0).collect();
    times.sort_by(f64::total_cmp);
    let at = |share: usize| times.get(times.len() * share / 100).copied().unwrap_or_default();
    println!("{what:44} {:>6.1} ms {:>6.1} ms {must:>9} {aim:>9}", at(50), at(95));
}
