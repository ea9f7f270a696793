//! The script as plain text.

use super::{Cue, Item, Script, What, clock};
use std::fmt::Write;

/// How wide the text is set, in characters.
const WIDTH: usize = 78;
/// How far it stands in from the clock's column.
const INDENT: usize = 9;

/// The script: the clock at the left, speech beside it, cues in square brackets.
pub fn write(script: &Script) -> String {
    let runs = clock::told(script.runs);
    let mut text = format!("{}\nRuns {runs} at {} words a minute\n", script.title, script.pace);
    for item in &script.items {
        let at = clock::told(item.at);
        match &item.what {
            What::Heading { words, .. } => {
                // A heading has no moment of its own: the first thing under it has.
                let _ = write!(text, "\n{words}\n{}\n", "-".repeat(words.chars().count()));
            }
            What::Speech { words, .. } => text.push_str(&entry(&at, &marked(item, words.clone()))),
            What::Cue(Cue { words, .. }) => {
                text.push_str(&entry(&at, &marked(item, format!("[{words}]"))));
            }
        }
    }
    text
}

/// What is at fault, in a draft, with a sign before it.
fn marked(item: &Item, words: String) -> String {
    if item.faulty { format!("(!) {words}") } else { words }
}

/// A moment and what happens then, broken into lines.
fn entry(at: &str, words: &str) -> String {
    let first = format!("{at:>7}  ");
    let rest = " ".repeat(INDENT);
    let options = textwrap::Options::new(WIDTH).initial_indent(&first).subsequent_indent(&rest);
    format!("\n{}\n", textwrap::fill(words, options))
}
