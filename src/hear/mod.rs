//! What a block sounds like, to play along with: a [`Score`] is what is heard of it, and of a score comes a
//! file of notes ([`midi`]).

pub mod gather;
pub mod midi;
pub mod names;
pub mod score;

pub use score::{Click, HeardBar, Part, Pickup, Round, Score, Struck, Strum, TimeThrough, Tone};
