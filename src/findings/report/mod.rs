//! The reports: the same findings for a reader at a terminal and for another program.

pub mod json;
pub mod sarif;
pub mod tally;
pub mod terminal;
pub mod visible;

pub use tally::Tally;

use super::{Finding, Weight};
use serde::Serialize;

/// How many findings there are of each weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Counts {
    /// Faults.
    pub fault: usize,
    /// Doubts.
    pub doubt: usize,
    /// Hints.
    pub hint: usize,
}

impl Counts {
    /// Counts findings.
    pub fn of(findings: &[Finding]) -> Counts {
        let count = |weight| findings.iter().filter(|found| found.weight == weight).count();
        Counts {
            fault: count(Weight::Fault),
            doubt: count(Weight::Doubt),
            hint: count(Weight::Hint),
        }
    }

    /// The counts of two lessons together.
    #[must_use]
    pub fn and(self, other: Counts) -> Counts {
        Counts {
            fault: self.fault + other.fault,
            doubt: self.doubt + other.doubt,
            hint: self.hint + other.hint,
        }
    }

    /// The counts in words: "1 fault, no doubts, 2 hints".
    pub fn in_words(self) -> String {
        let part = |number: usize, word: &str| counted(number, word);
        format!(
            "{}, {}, {}",
            part(self.fault, "fault"),
            part(self.doubt, "doubt"),
            part(self.hint, "hint")
        )
    }
}

/// A number of things in words: "no bars", "1 bar", "8 bars".
pub fn counted(number: usize, thing: &str) -> String {
    match number {
        0 => format!("no {thing}s"),
        1 => format!("1 {thing}"),
        _ => format!("{number} {thing}s"),
    }
}
