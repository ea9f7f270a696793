//! What is checked across blocks: notes and slips, phrases, cues; and the lesson with everything worked out.

mod cues;
pub mod elaborate;
mod faults;
pub mod notes;
mod parts;
pub mod phrases;
mod tones;

pub use elaborate::{Elaborated, elaborate};
pub use phrases::SetPhrase;
