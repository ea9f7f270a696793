//! Chapters for a video's description: the headings that have something said or played under them.

use super::{Script, What, clock};
use std::time::Duration;

/// The shortest chapter; a shorter section joins the one before.
pub const SHORTEST: Duration = Duration::from_secs(10);

/// A chapter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chapter {
    /// When it begins; the first at 0:00.
    pub at: Duration,
    /// Its heading.
    pub title: String,
    /// What it begins with, by its place among the script's items.
    pub item: usize,
}

/// A heading's section.
struct Section {
    chapter: Chapter,
    takes: Duration,
    /// Whether something is said or played in it.
    sounds: bool,
}

/// The chapters of a script; none where nothing is said or played.
pub fn of(script: &Script) -> Vec<Chapter> {
    let mut chapters: Vec<Chapter> = Vec::new();
    for section in sections(script).into_iter().filter(|section| section.sounds) {
        match chapters.last_mut() {
            None => chapters.push(Chapter { at: Duration::ZERO, ..section.chapter }),
            // The first one is never so short that two begin in the same second.
            Some(first) if section.chapter.at.as_secs() == 0 => {
                *first = Chapter { at: Duration::ZERO, ..section.chapter };
            }
            Some(_) if section.takes < SHORTEST => {}
            Some(_) => chapters.push(section.chapter),
        }
    }
    chapters
}

/// The sections from heading to heading; what stands before the first is the opening.
fn sections(script: &Script) -> Vec<Section> {
    let section = |at: Duration, title: String, item: usize| Section {
        chapter: Chapter { at, title, item },
        takes: Duration::ZERO,
        sounds: false,
    };
    let mut sections = Vec::new();
    let mut last = section(Duration::ZERO, "Opening".to_owned(), 0);
    for (index, item) in script.items.iter().enumerate() {
        match &item.what {
            What::Heading { words, .. } => {
                sections.push(std::mem::replace(&mut last, section(item.at, words.clone(), index)));
            }
            What::Speech { .. } => last.sounds = true,
            What::Cue { plays, .. } => last.sounds |= plays,
        }
        last.takes += item.takes;
    }
    sections.push(last);
    sections
}

/// The list as a description has it, `0:00 Opening`, a line each.
pub fn list(script: &Script) -> String {
    let line = |chapter: Chapter| format!("{} {}\n", clock::told(chapter.at), chapter.title);
    of(script).into_iter().map(line).collect()
}
