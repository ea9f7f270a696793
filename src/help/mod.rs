//! Help at hand: a page for everything that can be written in a lesson, made of the tables that its readers
//! use, and all signs on a sheet.

mod pages;
mod reference;

pub use pages::pages;
pub use reference::{reference, reference_template};

use crate::words::help::Section;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

/// How wide a page is, in characters.
const WIDTH: usize = 80;
/// The widest column of what is written; what is wider has a line of its own.
const WRITTEN: usize = 30;

/// A help page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// Its name.
    pub name: &'static str,
    /// What it is about, in a sentence or two.
    pub says: String,
    /// What can be written.
    pub sections: Vec<Section>,
    /// What more there is to say, set as it is to be printed.
    pub prose: &'static str,
    /// A piece of a lesson in which nothing is found; empty where nothing of it is written in one.
    pub example: String,
}

/// The page of a name, in any case.
pub fn find(name: &str) -> Option<Page> {
    pages().into_iter().find(|page| page.name.eq_ignore_ascii_case(name))
}

impl Page {
    /// The page as a terminal of 80 columns shows it.
    pub fn text(&self) -> String {
        let mut text = format!("# {}\n\n", self.name);
        if !self.says.is_empty() {
            text += &wrapped(&self.says, 0);
        }
        for section in &self.sections {
            text += &format!("\n## {}\n\n{}", section.title, listed(section));
        }
        text += self.prose;
        if !self.example.is_empty() {
            text += &format!("\n## An example\n\n{}", self.example);
        }
        text
    }

    /// What it is about, in a few words.
    pub fn summary(&self) -> &str {
        let says = if self.says.is_empty() { self.prose } else { &self.says };
        first_sentence(says).split([';', ':']).next().unwrap_or_default()
    }

    /// Its example as a whole lesson.
    pub fn lesson(&self) -> String {
        if self.example.starts_with("---\n") {
            return self.example.clone();
        }
        format!("---\ntitle: About {}\nkey: C major\n---\n\n{}", self.name, self.example)
    }
}

/// The first sentence of a text, without its full stop.
fn first_sentence(text: &str) -> &str {
    text.split(['.', '\n']).next().unwrap_or_default()
}

/// The entries of a section in two columns.
fn listed(section: &Section) -> String {
    let width = |entry: &(String, String)| entry.0.chars().count();
    let widths = section.entries.iter().map(width).filter(|width| *width <= WRITTEN);
    let column = widths.max().unwrap_or(WRITTEN);
    let line = |entry: &(String, String)| {
        let says = wrapped(&entry.1, column + 4);
        match width(entry) > column {
            true => format!("  {}\n{says}", entry.0),
            false => {
                let gap = " ".repeat(column - width(entry));
                format!("  {}{gap}  {}", entry.0, says.trim_start())
            }
        }
    };
    section.entries.iter().map(line).collect()
}

/// Words in lines that are set in so far.
fn wrapped(words: &str, indent: usize) -> String {
    let indent = " ".repeat(indent);
    let options = Options::new(WIDTH)
        .initial_indent(&indent)
        .subsequent_indent(&indent)
        .wrap_algorithm(WrapAlgorithm::FirstFit)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(false);
    textwrap::fill(words, options) + "\n"
}
