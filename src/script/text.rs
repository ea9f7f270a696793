//! The script as plain text.

use super::table::{self, Row};
use super::{Cue, Item, Script, What, clock};
use crate::words::Lang;
use crate::words::paper::script::COLUMNS;
use std::fmt::Write;

/// How wide the text is set, in characters.
const WIDTH: usize = 78;
/// How far it stands in from the clock's column.
const INDENT: usize = 9;

/// How wide a title in the table of sections is, and a time.
const TITLE: usize = WIDTH - INDENT - 4 * CELL;
const CELL: usize = 9;

/// The script: the clock at the left, speech beside it, cues in square brackets.
pub fn write(script: &Script) -> String {
    let mut text =
        format!("{}\n{}\n", script.title, script.lang.said(&format!("Runs {}", script.running())));
    text.push_str(&table::of(script).map(|table| written(table, script.lang)).unwrap_or_default());
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

/// The table of sections: the clock at the left, a title in lines of its own width, its times at the right.
fn written((rows, all): (Vec<Row>, Row), lang: Lang) -> String {
    let line = |at: &str, title: &str, cells: &[String]| {
        let cells: String = cells.iter().map(|cell| format!("{cell:>CELL$}")).collect();
        format!("{at:>7}  {title:<TITLE$}{cells}").trim_end().to_owned() + "\n"
    };
    let row = |row: &Row| {
        let (at, cells) = (clock::told(row.at), row.cells());
        let mut titles = textwrap::wrap(&row.title, TITLE).into_iter();
        let first = line(&at, &titles.next().unwrap_or_default(), &cells);
        titles.fold(first, |text, title| text + &line("", &title, &[]))
    };
    let head = line("", "", &COLUMNS.map(|words| lang.said(words).into_owned()));
    let rows: String = rows.iter().map(row).collect();
    format!("\n{head}{rows}{}", line("", &all.title, &all.cells()))
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
