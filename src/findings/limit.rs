//! How many there may be of a thing, and what is told where there are more.

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
    pub fn ends(&self, rule: &'static Rule, span: Span) -> Finding {
        self.finding(rule, span, "what follows from here on isn't read")
    }

    /// The fault about what of a kind stands behind a place: it isn't read, other things are.
    pub fn rest_is_left(&self, rule: &'static Rule, span: Span) -> Finding {
        self.finding(rule, span, "the rest isn't read")
    }

    /// The fault about what is found beyond so many findings: it isn't told.
    pub fn rest_is_untold(&self, rule: &'static Rule, span: Span) -> Finding {
        self.finding(rule, span, "what else is wrong isn't told")
    }

    /// The fault about a block that asks for more: nothing of it is read.
    pub fn block_is_left(&self, rule: &'static Rule, span: Span) -> Finding {
        self.finding(rule, span, "this block isn't read")
    }

    fn finding(&self, rule: &'static Rule, span: Span, consequence: &str) -> Finding {
        let message =
            format!("a lesson has at most {} {}; {consequence}", self.number(), self.what);
        Finding::new(rule, span, message)
            .note("this is more than a lesson can be; part it into several")
    }
}
