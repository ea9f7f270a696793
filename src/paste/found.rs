//! What is found in a row: notes, signs that could not be read, guesses.

use std::collections::BTreeSet;

/// What is said before signs that could not be read.
pub(super) const NOT_READ: &str = "not read, kept here: ";

/// A fret, a muted stroke or a harmonic at its column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Played {
    pub column: usize,
    /// As the lesson language writes it, with what belongs to it: `7`, `(7)`, `<12>`, `7b9r7~`.
    pub text: String,
    /// The sign that joins it to the one before it on its string.
    pub join: Option<char>,
}

/// What could not be read or is written otherwise, with the index of its bar and its column there.
#[derive(Debug)]
pub(super) struct Unread {
    pub bar: usize,
    pub column: usize,
    /// What is told of it.
    pub words: String,
}

/// What a row says.
#[derive(Debug, Default)]
pub(super) struct Read {
    /// The notes of each bar.
    pub bars: Vec<Vec<Played>>,
    /// What could not be read.
    pub unread: Vec<Unread>,
    /// How many bends don't say how far they go.
    pub bends: usize,
    /// What had to be guessed, in words.
    pub guesses: BTreeSet<String>,
}

impl Read {
    /// Takes a guess in.
    pub fn guess(&mut self, guess: impl Into<String>) {
        self.guesses.insert(guess.into());
    }
}
