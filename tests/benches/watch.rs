//! Times how long a save takes to become a new PDF under `watch --preview --script`, and how long an
//! edit of what is said takes to reach the script's pages, the live page's script view and the line
//! with the running time, in the four ways in which editors save, and looks whether memory, handles and threads stay what they are over 2,000 saves.
//! Prints the file system's own delay, measured in the same run, and ours beyond it.

#[path = "../support/watching.rs"]
mod watching;

use notify::event::{AccessKind, AccessMode, ModifyKind, RenameMode};
use notify::{EventKind, RecursiveMode, Watcher};
use std::error::Error;
use std::fs;
use std::io::{BufRead, BufReader, Write};
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
    let running = Running::start(&place, &["--preview", "--script", "slow-ferry.md"]);
    let news = listen(running.address.as_deref().unwrap_or_default())?;
    let (sender, events) = channel();
    let mut watcher = notify::recommended_watcher(move |event| {
        let _ = sender.send((Instant::now(), event));
    })?;
    watcher.watch(&place.0, RecursiveMode::NonRecursive)?;

    let mut times = Vec::new();
    for number in 0..TIMED {
        times.push(timed(&place, &text(&demo, number), number, "slow-ferry.pdf", &events)?);
    }
    let mut said = Said::default();
    for number in 0..TIMED {
        running.lines_within(Duration::ZERO);
        let text = spoken(&demo, number);
        let (_, pages) = timed(&place, &text, number, "slow-ferry-script.pdf", &events)?;
        said.pages.push(pages);
        let heard = Instant::now() - pages;
        running.line("script ");
        said.line.push(heard.elapsed());
        said.view.push(news_of(&news, &format!("harbour number {number}."))? - heard);
    }
    println!("{:44} {:>9} {:>9} {:>9} {:>9}", "", "median", "95 in 100", "must", "aims at");
    print("the file system's own delay", times.iter().map(|(system, _)| *system), "", "");
    print("save to new PDF, beyond it", times.iter().map(|(_, ours)| *ours), "40, 50 ms", "16 ms");
    print("an edit of a script to its pages", said.pages.into_iter(), "40, 50 ms", "16 ms");
    print("the same to the script view", said.view.into_iter(), "40, 50 ms", "16 ms");
    print("the same to the running time", said.line.into_iter(), "40, 50 ms", "16 ms");

    let early = holdings(&running);
    for number in TIMED..MANY {
        news.try_iter().for_each(drop);
        timed(&place, &text(&demo, number), number, "slow-ferry.pdf", &events)?;
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

/// The demo with other words in its script.
fn spoken(demo: &str, number: usize) -> String {
    demo.replace("See you at the harbour.", &format!("See you at harbour number {number}."))
}

/// How long an edit of a script took to get to each place.
#[derive(Default)]
struct Said {
    pages: Vec<Duration>,
    view: Vec<Duration>,
    line: Vec<Duration>,
}

/// Saves the lesson and waits for a PDF: the time until the system told of the save, and from then
/// until it told of the PDF.
fn timed(
    place: &Place,
    text: &str,
    number: usize,
    output: &str,
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
        let is = |name: &str| event.paths.iter().any(|path| path.ends_with(name));
        if over && is("slow-ferry.md") {
            heard = Some(at);
        }
        if let Some(heard) = heard.filter(|_| over && is(output)) {
            return Ok((heard.saturating_duration_since(saved), at - heard.max(saved)));
        }
    }
}

fn holdings(running: &Running) -> Holdings {
    thread::sleep(Duration::from_millis(200));
    Holdings::of(running.id())
}

/// Listens to the live page's news, as an open page does; each piece with the moment it came.
fn listen(address: &str) -> Result<Receiver<(Instant, String)>, Box<dyn Error>> {
    let host = address.trim_start_matches("http://").trim_end_matches('/').to_owned();
    let mut stream = TcpStream::connect(&host)?;
    write!(stream, "GET /news HTTP/1.1\r\nHost: {host}\r\n\r\n")?;
    let (sender, news) = channel();
    thread::spawn(move || {
        for line in BufReader::new(stream).lines().map_while(Result::ok) {
            if sender.send((Instant::now(), line)).is_err() {
                return;
            }
        }
    });
    Ok(news)
}

/// When news with some words came.
fn news_of(news: &Receiver<(Instant, String)>, words: &str) -> Result<Instant, Box<dyn Error>> {
    loop {
        let (at, line) = news.recv_timeout(PATIENCE).map_err(|_| format!("no news of {words}"))?;
        if line.contains(words) {
            return Ok(at);
        }
    }
}

fn print(what: &str, times: impl Iterator<Item = Duration>, must: &str, aim: &str) {
    let mut times: Vec<f64> = times.map(|time| time.as_secs_f64() * 1000.0).collect();
    times.sort_by(f64::total_cmp);
    let at = |share: usize| times.get(times.len() * share / 100).copied().unwrap_or_default();
    println!("{what:44} {:>6.1} ms {:>6.1} ms {must:>9} {aim:>9}", at(50), at(95));
}
