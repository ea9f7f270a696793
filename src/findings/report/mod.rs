//! The reports: the same findings for a reader at a terminal and for another program.

pub mod json;
pub mod sarif;
pub mod tally;
pub mod terminal;
pub mod visible;

pub use tally::Tally;

use super::{Finding, Weight};
use crate::words::counted;
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
        let Counts { fault, doubt, hint } = self;
        let told = [counted(fault, "fault"), counted(doubt, "doubt"), counted(hint, "hint")];
        told.join(", ")
    }
}
