//! What is said to the author of an old tab about the lesson that was made of it.

use super::words::Tally;

/// How much was made.
#[derive(Debug, Default)]
pub(super) struct Made {
    pub riffs: usize,
    pub bars: usize,
    pub words: Tally,
}

/// The most lines of a kind that are listed.
const MOST_LISTED: usize = 20;

impl Made {
    /// Whether there is music in it.
    pub fn has_music(&self) -> bool {
        let words = &self.words;
        self.riffs + words.shapes + words.progressions > 0 || words.songs
    }

    /// What was made, guessed and kept as words, a line each.
    pub fn report(&self, lesson: &str) -> Vec<String> {
        let marked = |mark: &str| -> Vec<String> {
            let lines = lesson.lines().enumerate();
            let marked = lines.filter_map(|(index, line)| Some((index, line.strip_prefix(mark)?)));
            marked.map(|(index, says)| format!("  line {}: {says}", index + 1)).collect()
        };
        let mut report = vec![self.made()];
        list(
            "Guessed, each marked with `# guessed`; take the mark away when it is so:",
            &marked("# guessed: "),
            &mut report,
        );
        list(
            "Not understood, and kept in a comment:",
            &marked("# not read, kept here: "),
            &mut report,
        );
        let words = &self.words;
        if words.prose > 0 {
            report.push(format!("Kept as prose: {}.", told(words.prose, "line")));
        }
        if words.as_they_stand > 0 {
            let what = told(words.as_they_stand, "line");
            report.push(format!("Kept as they stand, since their columns matter: {what}."));
        }
        report
    }

    fn made(&self) -> String {
        let words = &self.words;
        let bars = told(self.bars, "bar");
        let parts = [
            (self.riffs, format!("{} with {bars}", told(self.riffs, "tab"))),
            (words.progressions, told(words.progressions, "progression")),
            (words.shapes, told(words.shapes, "chord shape")),
        ];
        let parts: Vec<String> =
            parts.into_iter().filter(|(number, _)| *number > 0).map(|(_, part)| part).collect();
        match parts.as_slice() {
            [] => "There is no tab in it; chords and words are kept as they stand.".to_string(),
            parts => format!("Taken over: {}.", parts.join(", ")),
        }
    }
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

fn told(number: usize, what: &str) -> String {
    match number {
        1 => format!("1 {what}"),
        number => format!("{number} {what}s"),
    }
}
