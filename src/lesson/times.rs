//! Measured times of the script's sections: `NAME-times.csv` beside the lesson, kept by its author, a section
//! and its time a line.

use super::Lesson;
use super::kind::Medium;
use super::limits::TIMES;
use super::running_time;
use super::world::{Refusal, World};
use crate::findings::rules::times;
use crate::findings::{Findings, Source};
use std::path::Path;
use std::time::Duration;

/// A section's measured time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// The section's heading, as the file has it.
    pub title: String,
    /// How long it takes; never nought.
    pub takes: Duration,
    /// The line of the file that says so, from 1.
    pub line: usize,
}

/// The name of the file for a lesson; none for one that is no file.
pub fn file_name(source: &Source) -> Option<String> {
    let stem = Path::new(&source.name).file_stem()?.to_str()?;
    (stem != "-").then(|| format!("{stem}-times.csv"))
}

/// What is compared of a heading: its words in small letters, sharps and flats as they are typed.
pub fn key(title: &str) -> String {
    let words = title.split_whitespace().collect::<Vec<_>>().join(" ");
    words.to_lowercase().replace('♯', "#").replace('♭', "b")
}

impl Lesson<'_> {
    /// Takes the measured times, where something is said in the lesson and there are any. What can't be read
    /// of them is a doubt.
    pub(super) fn take_times(&mut self, folder: &dyn World, findings: &mut Findings) {
        let is_spoken = self.fences.iter().any(|fence| fence.kind.medium == Medium::Script);
        let Some(file) = file_name(self.source).filter(|_| is_spoken) else { return };
        match folder.read(&file) {
            Ok(bytes) => match std::str::from_utf8(&bytes) {
                Ok(text) => self.times = read(text, &file, findings),
                Err(_) => findings.add(times::unused(&file, "is no text in UTF-8")),
            },
            // A name with a colon can't be that of a file which a lesson may read.
            Err(Refusal::Missing | Refusal::Outside) => {}
            Err(refusal) => findings.add(times::unused(&file, &refusal.to_string())),
        }
    }
}

/// Reads the lines of a file; those that begin with `#` and empty ones say nothing.
fn read(text: &str, file: &str, findings: &mut Findings) -> Vec<Measured> {
    let mut measured = Vec::new();
    let lines = text.strip_prefix('\u{feff}').unwrap_or(text).lines();
    for (line, number) in lines.map(str::trim).zip(1..) {
        if number > TIMES.most {
            findings.add(times::too_many(file, &TIMES.number()));
            break;
        }
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        match section(line) {
            Some((title, takes)) => measured.push(Measured { title, takes, line: number }),
            None => findings.add(times::unread(file, number, line)),
        }
    }
    measured
}

/// The longest line, in bytes. Assumed: a heading and a time are far shorter.
const LONGEST: usize = 1_000;

/// A heading, between quotes where it has a comma (RFC 4180, 2), and its time; what stands behind a further
/// comma is the author's own.
fn section(line: &str) -> Option<(String, Duration)> {
    let line = Some(line).filter(|line| line.len() <= LONGEST)?;
    let (title, rest) = match line.strip_prefix('"') {
        Some(quote) => quoted(quote)?,
        None => line.split_once(',').map(|(title, rest)| (title.to_owned(), rest))?,
    };
    let time = rest.split(',').next()?.trim().trim_matches('"').trim();
    let takes = running_time::read(time).filter(|time| !time.is_zero())?;
    let title = title.trim();
    (!title.is_empty()).then(|| (title.to_owned(), takes))
}

/// What stands before the quote that closes, a doubled quote within for one, and what stands behind the comma
/// after it.
fn quoted(mut rest: &str) -> Option<(String, &str)> {
    let mut title = String::new();
    loop {
        let (piece, behind) = rest.split_once('"')?;
        title.push_str(piece);
        match behind.strip_prefix('"') {
            Some(within) => {
                title.push('"');
                rest = within;
            }
            None => return Some((title, behind.trim_start().strip_prefix(',')?)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_a_heading_and_its_time() {
        for (line, read) in [
            ("The verse, 1:02.4", Some(("The verse", 62_400))),
            ("The verse,1:02,take 3, good", Some(("The verse", 62_000))),
            ("\"Well, then\" , 0:07", Some(("Well, then", 7_000))),
            ("\"The \"\"hook\"\"\",\"1:00:00\"", Some(("The \"hook\"", 3_600_000))),
            ("Well, then, 0:07", None),
            ("The verse; 1:02", None),
            ("The verse, 62", None),
            ("The verse, 0:00", None),
            (", 1:00", None),
            ("\"The verse, 1:00", None),
            ("The verse, 1000000000000000000:00", None),
            ("The verse", None),
        ] {
            let read = read.map(|(title, time)| (title.to_owned(), Duration::from_millis(time)));
            assert_eq!(section(line), read, "{line}");
        }
    }

    #[test]
    fn files_are_named_by_their_lessons() {
        for (name, file) in [
            ("ferry.md", Some("ferry-times.csv")),
            ("in/my.ferry.md", Some("my.ferry-times.csv")),
            ("-", None),
            ("", None),
        ] {
            assert_eq!(file_name(&Source::new(name, b"")).as_deref(), file, "{name}");
        }
    }

    #[test]
    fn hostile_files_are_read() {
        let long = "a,".repeat(500_000);
        let many = "A, 1:00\n".repeat(TIMES.most + 1);
        for (text, found, measured) in [
            ("\u{feff}A, 1:00\r\n\r\n# B, 1:00\r\nB, 0:01.25\r\n", 0, 2),
            (long.as_str(), 1, 0),
            ("\0\0\0\nA\0, 1:00\n", 1, 1),
            ("\"\n\"\n\"\"\"\n", 3, 0),
            (many.as_str(), 1, TIMES.most),
        ] {
            let mut findings = Findings::default();
            assert_eq!(read(text, "a-times.csv", &mut findings).len(), measured);
            assert_eq!(findings.list().len(), found);
        }
    }
}
