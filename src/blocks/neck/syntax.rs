//! Reading `neck` blocks.

use super::layout::{Shown, Wish};
use super::phrases::{Phrases, pieces};
use super::rows::{Row, row, unknown_row};
use super::scales::ScalesFor;
use super::{Diagram, Diagrams, Elsewhere};
use crate::findings::Span;
use crate::findings::rules::{block_syntax, unknown_name};
use crate::findings::source::Line;
use crate::findings::{Finding, Findings};
use crate::lesson::fence::Fence;
use crate::lesson::numbers::without_the;
use crate::lesson::setting::Setting;
use crate::theory::{Names, Note};
use crate::words::help::{Sign, sign};

/// What a line may show, as the help page has it.
pub(super) const SIGNS: [Sign; 6] = [
    sign("A minor pentatonic", "a scale"),
    sign("Am7", "a chord"),
    sign("notes A E", "notes, or one: `note A`"),
    sign("hook", "the notes of a block"),
    sign("scales for verse", "the scales that hold all its chords"),
    sign("e   5* 8", "a row: frets on a string, `*` at the root"),
];

/// Reads a block. `elsewhere` is what the lesson's other blocks hold.
pub fn read(
    fence: &Fence<'_>,
    elsewhere: &dyn Elsewhere,
    findings: &mut Findings,
) -> Option<Diagrams> {
    let mut reader = NeckReader { setting: &fence.setting, elsewhere, findings };
    let whole_block = reader.phrases(fence.phrases.iter().copied());
    let mut list = Vec::new();
    let mut rows: Vec<Row> = Vec::new();
    for line in &fence.lines {
        match row(line, fence.setting.names) {
            Some(row) => rows.push(row),
            None if unknown_row(line, fence.setting.names)
                .is_some_and(|label| !reader.is_known(label)) =>
            {
                reader.report_row(line);
            }
            None => {
                reader.finish_rows(&mut rows, &whole_block, &mut list);
                reader.line(line, &whole_block, &mut list);
            }
        }
    }
    reader.finish_rows(&mut rows, &whole_block, &mut list);
    let Setting { instrument, left_handed, .. } = fence.setting.clone();
    (!list.is_empty()).then_some(Diagrams {
        instrument,
        left_handed,
        named: true,
        keyed: true,
        list,
    })
}

/// Reads the lines of a block.
pub(super) struct NeckReader<'a> {
    pub(super) setting: &'a Setting,
    elsewhere: &'a dyn Elsewhere,
    pub(super) findings: &'a mut Findings,
}

impl NeckReader<'_> {
    /// Reads a line that names a subject and its phrases.
    fn line(&mut self, line: &Line<'_>, whole_block: &Phrases, list: &mut Vec<Diagram>) {
        if line.text.trim().is_empty() {
            return;
        }
        let mut pieces = pieces(line);
        let Some(subject) = (!pieces.is_empty()).then(|| pieces.remove(0)) else { return };
        let phrases = self.phrases(pieces.into_iter()).or(whole_block);
        let diagram = match subject.after("scales").and_then(|rest| rest.after("for")) {
            Some(name) => {
                self.scales_for(without_the(name).text, subject.whole(), phrases, line.whole())
            }
            None => self.subject(subject).map(|what| {
                let wish = Wish { what, phrases };
                wish.lay_out(self.setting, line.whole())
            }),
        };
        list.extend(diagram);
    }

    /// Whether a block is called so.
    fn is_known(&self, name: &str) -> bool {
        self.elsewhere.played(name).is_some()
    }

    /// What the subject's words mean: a chord symbol, a scale, notes, or else a block's name.
    fn subject(&mut self, subject: Line<'_>) -> Option<Shown> {
        let (text, span) = (subject.text, subject.whole());
        if let Some(notes) = note_list(text, self.setting.names) {
            return Some(Shown::notes(notes));
        }
        if let Ok(chord) = self.setting.names.chord(text) {
            return Some(Shown::chord(chord));
        }
        if let Some(scale) = self.setting.names.scale(text) {
            return Some(Shown::scale(scale));
        }
        if let Some(played) = self.elsewhere.played(without_the(subject).text) {
            return Some(Shown::Block(played));
        }
        let finding = unknown_name::nothing_to_show(span, text);
        let names = self.elsewhere.names();
        self.findings.add(finding.offer(
            &names.near(without_the(subject).text, 2),
            span,
            str::to_owned,
        ));
        None
    }

    /// The best scale for the chords of a `changes` block, the others with it.
    fn scales_for(
        &mut self,
        name: &str,
        span: Span,
        phrases: Phrases,
        line: Span,
    ) -> Option<Diagram> {
        let Some(progression) = self.elsewhere.progression(name) else {
            if let Some(finding) = self.no_changes(name, span) {
                self.findings.add(finding);
            }
            return None;
        };
        let Some(scales) = ScalesFor::of(progression, self.setting.key.as_ref()) else {
            let message = format!("`{name}` has no chords that a scale could hold");
            self.findings.add(block_syntax::at(span, message));
            return None;
        };
        let best = Wish { what: Shown::scale(scales.best().clone()), phrases };
        Some(Diagram { scales: Some(scales), ..best.lay_out(self.setting, line) })
    }

    /// That no progression is called so; nothing where one is that can't be read.
    fn no_changes(&self, name: &str, span: Span) -> Option<Finding> {
        let names = self.elsewhere.progressions();
        if names.has(name) {
            return None;
        }
        let finding = unknown_name::none(span, "`changes` block", name);
        let near = names.near(name, 2);
        let advice = "the scales are looked for that hold the chords of a `changes` block";
        Some(match near.words.is_empty() {
            true => finding.note(advice),
            false => finding.offer(&near, span, |near| format!("scales for {near}")),
        })
    }
}

/// The notes of `note A`, `notes A E` or two and more letters.
fn note_list(text: &str, names: Names) -> Option<Vec<Note>> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let letters = match words.as_slice() {
        ["note" | "notes", rest @ ..] => rest,
        letters if letters.len() > 1 => letters,
        _ => return None,
    };
    let notes: Option<Vec<Note>> = letters.iter().map(|letter| names.note(letter)).collect();
    notes.filter(|notes| !notes.is_empty())
}
