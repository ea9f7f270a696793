//! Chapters for a video's description: the headings that have something said or played under them.

use super::{CueKind, Script, What, clock};
use crate::words::listed;
use crate::words::paper::script::OPENING;
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

/// A section that is no chapter of its own, since it is too short or begins too early.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joined {
    /// Its heading.
    pub title: String,
    /// The heading of the chapter that it belongs to.
    pub to: String,
}

/// The chapters of a script; none where nothing is said or played.
pub fn of(script: &Script) -> Vec<Chapter> {
    gathered(script).0
}

/// The sections of a script in which something is said or played and that are no chapters.
pub fn joined(script: &Script) -> Vec<Joined> {
    gathered(script).1
}

/// What is joined, in words for the command's line; nothing where nothing is.
pub fn joined_in_words(script: &Script) -> Option<String> {
    let mut joined = joined(script).into_iter().peekable();
    joined.peek()?;
    let mut told: Vec<(String, Vec<String>)> = Vec::new();
    for Joined { title, to } in joined {
        match told.last_mut().filter(|(chapter, _)| *chapter == to) {
            Some((_, titles)) => titles.push(format!("“{title}”")),
            None => told.push((to, vec![format!("“{title}”")])),
        }
    }
    let told = told.into_iter().map(|(to, titles)| format!("{} to “{to}”", listed(&titles)));
    let seconds = SHORTEST.as_secs();
    let told = told.collect::<Vec<_>>().join(", ");
    Some(format!("under {seconds} s and so joined in the chapters: {told}"))
}

fn gathered(script: &Script) -> (Vec<Chapter>, Vec<Joined>) {
    let mut chapters: Vec<Chapter> = Vec::new();
    let mut joined: Vec<Joined> = Vec::new();
    for section in sections(script).into_iter().filter(|section| section.sounds) {
        match chapters.last_mut() {
            None => chapters.push(Chapter { at: Duration::ZERO, ..section.chapter }),
            // The first one is never so short that two begin in the same second.
            Some(first) if section.chapter.at.as_secs() == 0 => {
                let title = std::mem::replace(first, section.chapter).title;
                first.at = Duration::ZERO;
                joined.iter_mut().for_each(|earlier| earlier.to.clone_from(&first.title));
                joined.push(Joined { title, to: first.title.clone() });
            }
            Some(last) if section.takes < SHORTEST => {
                let (title, to) = (section.chapter.title, last.title.clone());
                joined.push(Joined { title, to });
            }
            Some(_) => chapters.push(section.chapter),
        }
    }
    (chapters, joined)
}

/// The sections from heading to heading; what stands before the first is the opening.
fn sections(script: &Script) -> Vec<Section> {
    let section = |at: Duration, title: String, item: usize| Section {
        chapter: Chapter { at, title, item },
        takes: Duration::ZERO,
        sounds: false,
    };
    let mut sections = Vec::new();
    let mut last = section(Duration::ZERO, OPENING.to_owned(), 0);
    for (index, item) in script.items.iter().enumerate() {
        match &item.what {
            What::Heading { words, .. } => {
                sections.push(std::mem::replace(&mut last, section(item.at, words.clone(), index)));
            }
            What::Speech { .. } => last.sounds = true,
            What::Cue(cue) => last.sounds |= matches!(cue.kind, CueKind::Play),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::script::Item;

    /// A script of sections: a heading, and how many milliseconds are spoken under it.
    fn script(sections: &[(&str, u64)]) -> Script {
        let mut items = Vec::new();
        let mut now = Duration::ZERO;
        for (title, takes) in sections {
            let takes = Duration::from_millis(*takes);
            let heading = What::Heading { level: 1, words: (*title).to_owned() };
            let speech = What::Speech {
                words: "Go.".to_owned(),
                said: "Go.".to_owned(),
                stressed: Vec::new(),
                count: 1,
            };
            for (what, takes) in [(heading, Duration::ZERO), (speech, takes)] {
                items.push(Item { at: now, takes, what, span: None, faulty: false });
                now += takes;
            }
        }
        let (title, teacher) = ("t".to_owned(), String::new());
        Script { title, teacher, pace: 150, items, runs: now }
    }

    #[test]
    fn sections_that_are_joined_are_told() {
        for (sections, list, told) in [
            (vec![("A", 20_000), ("B", 20_000)], "0:00 A\n0:20 B\n", None),
            (
                vec![("A", 20_000), ("B", 5_000), ("C", 3_000), ("D", 30_000), ("E", 9_000)],
                "0:00 A\n0:28 D\n",
                Some("“B” and “C” to “A”, “E” to “D”"),
            ),
            (
                vec![("A", 300), ("B", 400), ("C", 20_000), ("D", 100)],
                "0:00 C\n",
                Some("“A”, “B” and “D” to “C”"),
            ),
            (vec![], "", None),
        ] {
            let script = script(&sections);
            assert_eq!(super::list(&script), list);
            let told = told.map(|told| format!("under 10 s and so joined in the chapters: {told}"));
            assert_eq!(joined_in_words(&script), told);
        }
    }
}
