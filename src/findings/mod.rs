//! Findings: the text with its places, what is wrong in it, where, and what would make it right.

pub mod finding;
pub mod hand;
pub mod limit;
pub mod line;
pub mod meant;
pub mod mend;
pub mod nearest;
pub mod report;
pub mod rules;
pub mod slip;
pub mod source;

pub use finding::{Finding, Findings, Fix, Ground, Label, Rule, Weight};
pub use limit::Limit;
pub use source::{Source, Span};
