//! Chapters for a video's description: the headings that have something said or played under them.

use super::{Script, clock, sections};
use crate::words::listed;
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
    for section in sections::of(script).into_iter().filter(|section| section.sounds) {
        let total = section.total();
        let chapter = Chapter { at: section.at, title: section.title, item: section.item };
        match chapters.last_mut() {
            None => chapters.push(Chapter { at: Duration::ZERO, ..chapter }),
            // What lay between two of one name was joined to the first.
            Some(last) if last.title == chapter.title => {}
            // The first one is never so short that two begin in the same second.
            Some(first) if chapter.at.as_secs() == 0 => {
                let title = std::mem::replace(first, chapter).title;
                first.at = Duration::ZERO;
                joined.push(Joined { title, to: String::new() });
                joined.iter_mut().for_each(|earlier| earlier.to.clone_from(&first.title));
                joined.retain(|earlier| earlier.title != earlier.to);
            }
            Some(last) if total < SHORTEST => {
                joined.push(Joined { title: chapter.title, to: last.title.clone() });
            }
            Some(_) => chapters.push(chapter),
        }
    }
    (chapters, joined)
}

/// The list as a description has it, `0:00 Opening`, a line each.
pub fn list(script: &Script) -> String {
    let line = |chapter: Chapter| format!("{} {}\n", clock::told(chapter.at), chapter.title);
    of(script).into_iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::script::testing;

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
            // Sections of one name that are neighbours, or become so, are one chapter.
            (vec![("A", 20_000), ("A", 5_000), ("B", 20_000)], "0:00 A\n0:25 B\n", None),
            (
                vec![("A", 20_000), ("B", 5_000), ("A", 20_000), ("C", 20_000)],
                "0:00 A\n0:45 C\n",
                Some("“B” to “A”"),
            ),
            (vec![("A", 300), ("B", 200), ("A", 20_000)], "0:00 A\n", Some("“B” to “A”")),
            (vec![], "", None),
        ] {
            let spoken = |(title, speech): (&str, u64)| (title.to_owned(), [speech, 0, 0]);
            let script = testing::script(&sections.into_iter().map(spoken).collect::<Vec<_>>());
            assert_eq!(super::list(&script), list);
            let told = told.map(|told| format!("under 10 s and so joined in the chapters: {told}"));
            assert_eq!(joined_in_words(&script), told);
        }
    }
}
