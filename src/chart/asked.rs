//! What a chart is asked for, as it was typed: a line an argument, so that what is found has its place.

use crate::findings::Source;
use crate::findings::source::{Line, lines};

/// What a chart is asked for.
#[derive(Debug)]
pub struct Asked {
    source: Source,
    /// How many things are named before the options.
    things: usize,
}

/// What stands before an option's name.
const SIGN: &str = "--";

impl Asked {
    /// Things that are named, and options with their values.
    pub fn new(things: &[String], options: &[(&str, &str)]) -> Asked {
        let things_typed = things.iter().map(|thing| on_one_line(thing));
        let options = options.iter();
        let options = options.map(|(name, value)| format!("{SIGN}{name} {}", on_one_line(value)));
        let typed: String = things_typed.chain(options).map(|line| line + "\n").collect();
        let source = Source::new("chart", typed.as_bytes());
        Asked { source, things: things.len() }
    }

    /// The text.
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// What is named.
    pub fn things(&self) -> impl Iterator<Item = Line<'_>> {
        lines(&self.source.text, 0).take(self.things)
    }

    /// The options' names and their values.
    pub fn options(&self) -> Vec<(Line<'_>, Line<'_>)> {
        let options = lines(&self.source.text, 0).skip(self.things);
        options.map(|option| option.split_at(SIGN.len()).1.first_word()).collect()
    }
}

/// An argument without what would end its line.
fn on_one_line(text: &str) -> String {
    text.split(char::is_control).collect::<Vec<_>>().join(" ")
}
