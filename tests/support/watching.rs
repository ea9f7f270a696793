//! A lesson's folder and a `fretleaf watch` that runs in it, for tests and benches.

#![allow(dead_code, clippy::unwrap_used, clippy::expect_used)]

use std::fs::{self, File};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// How long a test waits for what must happen.
pub const PATIENCE: Duration = Duration::from_secs(20);

/// A folder of a test's own, empty at its start.
pub struct Place(pub PathBuf);

impl Place {
    pub fn new(name: &str) -> Place {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        Place(folder)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_fretleaf"));
        command.args(arguments).current_dir(&self.0);
        command
    }

    pub fn files(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

/// The ways in which editors save.
#[derive(Debug, Clone, Copy)]
pub enum Way {
    InPlace,
    WriteAndRename,
    BackupAndWrite,
    DeleteAndWrite,
}

pub const WAYS: [Way; 4] =
    [Way::InPlace, Way::WriteAndRename, Way::BackupAndWrite, Way::DeleteAndWrite];

/// Saves a file in one of the ways.
pub fn save(path: &Path, text: &str, way: Way) {
    let beside = path.with_extension("md~");
    match way {
        Way::InPlace => {}
        Way::WriteAndRename => {
            fs::write(&beside, text).unwrap();
            return fs::rename(&beside, path).unwrap();
        }
        Way::BackupAndWrite => fs::rename(path, &beside).unwrap(),
        Way::DeleteAndWrite => fs::remove_file(path).unwrap(),
    }
    let mut file = File::create(path).unwrap();
    let (first, second) = text.as_bytes().split_at(text.len() / 2);
    file.write_all(first).unwrap();
    file.write_all(second).unwrap();
}

/// A `watch` that runs.
pub struct Running {
    child: Child,
    lines: Receiver<String>,
    /// The live page's address, where there is one.
    pub address: Option<String>,
}

impl Running {
    /// Starts it and waits for its first build.
    pub fn start(place: &Place, arguments: &[&str]) -> Running {
        let running = Running::begin(place, arguments);
        running.line("");
        running
    }

    /// Starts it.
    pub fn begin(place: &Place, arguments: &[&str]) -> Running {
        let mut command = place.command(&["watch"]);
        command.args(arguments).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let (sender, lines) = channel();
        let errors = BufReader::new(child.stderr.take().unwrap());
        thread::spawn(move || {
            errors.lines().map_while(Result::ok).try_for_each(|line| sender.send(line))
        });
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let address = arguments.contains(&"--preview").then(|| {
            let mut line = String::new();
            out.read_line(&mut line).unwrap();
            line.trim().to_owned()
        });
        Running { child, lines, address }
    }

    /// The next line that holds some words; those before it are passed over.
    pub fn line(&self, words: &str) -> String {
        let until = Instant::now() + PATIENCE;
        loop {
            let left = until.saturating_duration_since(Instant::now());
            let line = self.lines.recv_timeout(left);
            let line = line.unwrap_or_else(|_| panic!("no line says “{words}”"));
            if line.contains(words) {
                return line;
            }
        }
    }

    /// The lines that come within a time.
    pub fn lines_within(&self, time: Duration) -> Vec<String> {
        thread::sleep(time);
        self.lines.try_iter().collect()
    }

    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Interrupts it as a user does, and gives the status that it ends with.
    pub fn interrupt(mut self) -> Option<i32> {
        Command::new("kill").arg("-INT").arg(self.child.id().to_string()).status().unwrap();
        let until = Instant::now() + PATIENCE;
        while Instant::now() < until {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code();
            }
            thread::sleep(Duration::from_millis(5));
        }
        panic!("an interrupt does not end it");
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What a process holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Holdings {
    pub kilobytes: u64,
    pub handles: usize,
    pub threads: usize,
}

impl Holdings {
    #[cfg(target_os = "linux")]
    pub fn of(id: u32) -> Holdings {
        let status = fs::read_to_string(format!("/proc/{id}/status")).unwrap();
        let kilobytes = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap();
        let kilobytes = kilobytes.trim().strip_suffix(" kB").unwrap().parse().unwrap();
        let count = |folder: &str| fs::read_dir(format!("/proc/{id}/{folder}")).unwrap().count();
        Holdings { kilobytes, handles: count("fd"), threads: count("task") }
    }
}

/// Waits until something is so.
pub fn until(what: &str, mut so: impl FnMut() -> bool) {
    let end = Instant::now() + PATIENCE;
    while !so() {
        assert!(Instant::now() < end, "never: {what}");
        thread::sleep(Duration::from_millis(1));
    }
}

/// Whether bytes are a whole PDF that says some words uncompressed, as its title is said.
pub fn says(pdf: &[u8], words: &str) -> bool {
    pdf.windows(words.len()).any(|window| window == words.as_bytes())
}

/// Whether bytes are a PDF from its first byte to its last.
pub fn is_whole(pdf: &[u8]) -> bool {
    pdf.starts_with(b"%PDF-") && pdf.trim_ascii_end().ends_with(b"%%EOF")
}
