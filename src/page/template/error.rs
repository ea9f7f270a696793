//! Why a template can't be used, and the line that is to blame.

use std::fmt;
use std::ops::Range;

/// Why a template can't be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateError {
    /// What is wrong.
    pub message: String,
    /// Where in the template's text, in bytes, if it is a place in it.
    pub place: Option<Range<usize>>,
    /// The line of that place, from 1.
    pub line: Option<usize>,
}

impl TemplateError {
    pub(super) fn new(message: impl Into<String>) -> TemplateError {
        TemplateError { message: message.into(), place: None, line: None }
    }

    pub(super) fn at(mut self, text: &str, place: Option<Range<usize>>) -> TemplateError {
        let before = place.as_ref().and_then(|place| text.get(..place.start));
        self.line = before.map(|before| before.matches('\n').count() + 1);
        self.place = place;
        self
    }
}

impl fmt::Display for TemplateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.message),
            None => f.write_str(&self.message),
        }
    }
}

impl std::error::Error for TemplateError {}
