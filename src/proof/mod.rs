//! Findings: what is wrong in a lesson, where, and what would make it right.

pub mod finding;
pub mod fingering;
pub mod hold;
pub mod meant;
pub mod mend;
pub mod notes;
pub mod phrases;
pub mod report;
pub mod rules;

pub use finding::{Finding, Findings, Fix, Label, Near, Rule, Weight};
