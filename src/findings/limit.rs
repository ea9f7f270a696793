//! How many there may be of a thing, and what is told where there are more.

use super::rules::{block_syntax, header_key, not_text};
use super::source::Span;
use super::{Finding, Rule};

/// The most that a lesson may hold of one thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    /// The thing, in the plural, as messages and the README name it.
    pub what: &'static str,
    /// How many there may be.
    pub most: usize,
}

/// What to do where a lesson asks for too much.
pub(super) const PART_IT: &str = "this is more than a lesson can be; part it into several";

/// Findings that are kept.
pub const FINDINGS: Limit = Limit { what: "findings", most: 10_000 };

impl Limit {
    /// The number as it is written: "20,000".
    pub fn number(&self) -> String {
        let digits = self.most.to_string();
        let mut number = String::new();
        for (index, digit) in digits.chars().enumerate() {
            if index > 0 && (digits.len() - index).is_multiple_of(3) {
                number.push(',');
            }
            number.push(digit);
        }
        number
    }

    /// The fault about all that stands behind a place: it isn't read.
    pub fn ends(&self, span: Span) -> Finding {
        self.finding(&not_text::RULE, span, "what follows from here on isn't read")
    }

    /// The fault about the lines of a header behind a place: they aren't read, other things are.
    pub fn lines_are_left(&self, span: Span) -> Finding {
        self.finding(&header_key::RULE, span, "the rest isn't read")
    }

    /// The fault about what is found beyond so many findings: it isn't told.
    pub fn rest_is_untold(&self, span: Span) -> Finding {
        self.finding(&not_text::RULE, span, "what else is wrong isn't told")
    }

    /// The fault about a block that asks for more: nothing of it is read.
    pub fn block_is_left(&self, span: Span) -> Finding {
        self.finding(&block_syntax::RULE, span, "this block isn't read")
    }

    fn finding(&self, rule: &'static Rule, span: Span, consequence: &str) -> Finding {
        let message =
            format!("a lesson has at most {} {}; {consequence}", self.number(), self.what);
        Finding::new(rule, span, message).note(PART_IT)
    }
}
