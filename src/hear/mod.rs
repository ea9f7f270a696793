//! What a block sounds like, to play along with: a [`Score`] is what is heard of it, and of a score comes a
//! file of notes ([`midi`]), or of sound ([`wav`], [`flac`]): played on modelled strings ([`strings`]) sample by sample
//! ([`render`]).

pub mod flac;
pub mod gather;
pub mod midi;
pub mod names;
pub mod render;
pub mod score;
pub mod strings;
pub mod wav;

pub use crate::music::ladder::Round;
pub use score::{Click, HeardBar, Part, Pickup, Score, Struck, Strum, TimeThrough, Tone};
