//! What is said to the author of an old tab about the lesson that was made of it.

use super::words::Tally;
use crate::words::numbered;

/// How much was made.
#[derive(Debug, Default)]
pub(super) struct Made {
    pub riffs: usize,
    pub bars: usize,
    pub words: Tally,
}

/// The most lines of a kind that are listed.
const MOST_LISTED: usize = 20;

/// How many words of a line are told.
const WORDS_TOLD: usize = 8;

impl Made {
    /// Whether there is music in it.
    pub fn has_music(&self) -> bool {
        let words = &self.words;
        self.riffs + words.shapes + words.progressions > 0 || words.songs
    }

    /// What was made, guessed and kept as words, a line each.
    pub fn report(&self, lesson: &str) -> Vec<String> {
        let mut report = vec![self.made()];
        list(
            "Guessed, each marked with `# guessed`; take the mark away when it is so:",
            &marked(lesson, "# guessed: "),
            &mut report,
        );
        list(
            "Not understood, and kept in a comment:",
            &marked(lesson, "# not read, kept here: "),
            &mut report,
        );
        let words = &self.words;
        let kept = numbered(words.prose.len(), "line");
        list(&format!("Kept as prose: {kept}:"), &begun(&words.prose), &mut report);
        let kept = numbered(words.as_they_stand.len(), "line");
        list(
            &format!("Kept as they stand, since their columns matter: {kept}:"),
            &begun(&words.as_they_stand),
            &mut report,
        );
        report
    }

    fn made(&self) -> String {
        let words = &self.words;
        let bars = numbered(self.bars, "bar");
        let parts = [
            (self.riffs, format!("{} with {bars}", numbered(self.riffs, "tab"))),
            (words.progressions, numbered(words.progressions, "progression")),
            (words.shapes, numbered(words.shapes, "chord shape")),
        ];
        let parts: Vec<String> =
            parts.into_iter().filter(|(number, _)| *number > 0).map(|(_, part)| part).collect();
        match parts.as_slice() {
            [] => "There is no tab in it; chords and words are kept as they stand.".to_string(),
            parts => format!("Taken over: {}.", parts.join(", ")),
        }
    }
}

/// What comments with a mark say, each once, with the numbers of its lines.
fn marked(lesson: &str, mark: &str) -> Vec<String> {
    let mut said: Vec<(&str, Vec<String>)> = Vec::new();
    let lines = lesson.lines().enumerate();
    for (index, says) in lines.filter_map(|(index, line)| Some((index, line.strip_prefix(mark)?))) {
        let number = (index + 1).to_string();
        match said.iter_mut().find(|(other, _)| *other == says) {
            Some((_, numbers)) => numbers.push(number),
            None => said.push((says, vec![number])),
        }
    }
    let line = |(says, numbers): (&str, Vec<String>)| {
        let word = if numbers.len() == 1 { "line" } else { "lines" };
        format!("  {word} {}: {says}", numbers.join(", "))
    };
    said.into_iter().map(line).collect()
}

/// The first words of lines.
fn begun(lines: &[String]) -> Vec<String> {
    let line = |line: &String| {
        let words: Vec<&str> = line.split_whitespace().collect();
        let first = words.get(..WORDS_TOLD.min(words.len())).unwrap_or_default().join(" ");
        let more = if words.len() > WORDS_TOLD { " …" } else { "" };
        format!("  {first}{more}")
    };
    lines.iter().filter(|line| !line.trim().is_empty()).map(line).collect()
}

fn list(head: &str, lines: &[String], report: &mut Vec<String>) {
    if lines.is_empty() {
        return;
    }
    report.push(head.to_string());
    report.extend(lines.iter().take(MOST_LISTED).cloned());
    if let Some(more) = lines.len().checked_sub(MOST_LISTED).filter(|more| *more > 0) {
        report.push(format!("  and {more} more"));
    }
}
