//! The fretted instrument and the hand on it. Knows theory, but no text file and no paper.

pub mod anchor;
pub mod claim;
pub mod fingering;
pub mod fret;
pub mod geometry;
pub mod hand;
pub mod harmonic;
pub mod hold;
pub mod instrument;
pub mod leading;
pub mod path;
pub mod position;
pub mod speed;
pub mod string;
pub mod tuning;
pub mod voicing;

pub use claim::Claim;
pub use fingering::{Finger, Fingering};
pub use fret::Fret;
pub use geometry::Neck;
pub use hand::Hand;
pub use hold::{Hold, Posture};
pub use instrument::Instrument;
pub use position::Position;
pub use string::{StringIndex, by_string};
pub use tuning::Tuning;
