//! What is checked across blocks: notes and slips, phrases; and the lesson with everything worked out.

pub mod elaborate;
mod faults;
pub mod notes;
pub mod phrases;

pub use elaborate::{Elaborated, elaborate};
pub use phrases::SetPhrase;
