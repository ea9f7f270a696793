//! Plucked strings by physical modelling. A string is a loop of delay in which a wave runs round, loses a
//! little each time, its high part more (`line`); how much it loses, and how long the loop has to be for a pitch,
//! stands in tables (`losses`). What a pick, a finger or a palm does to it is a [`Gesture`] (`string`,
//! `pluck`); body, pickups and amplifier stand behind the strings of a part (`amp`).
//!
//! After K. Karplus and A. Strong, "Digital Synthesis of Plucked-String and Drum Timbres", and D. A. Jaffe and
//! J. O. Smith, "Extensions of the Karplus-Strong Plucked-String Algorithm" (Computer Music Journal 7, 1983: pick
//! position as a comb, strength as a low pass, decay); V. Välimäki, J. Huopaniemi, M. Karjalainen and Z. Jánosy,
//! "Physical Modeling of Plucked String Instruments with Application to Real-Time Sound Synthesis" (Journal of
//! the Audio Engineering Society 44, 1996: fractional delay by Lagrange, one-pole loss); J. O. Smith, "Physical
//! Audio Signal Processing" (loop filters, pickups as taps).
//!
//! So that the same bytes come out on every machine, samples are made by + − × ÷ and √ on `f64` and by noise of whole
//! numbers; sines and powers stand in tables and settings, which are made by the crate `libm`.

mod amp;
mod line;
mod losses;
mod pluck;
mod string;
pub mod touch;

pub use amp::{Amp, Weights};
pub use losses::{Damping, Losses, Tuned};
pub use pluck::Pluck;
pub use string::{Gesture, Tied};

/// Samples a second.
pub const RATE: u32 = 44_100;

/// What is smaller is nothing (a billionth of the smallest step of 16 bits): numbers too small for a processor's
/// usual form would be slow.
const NOTHING: f64 = 1e-14;

/// So many samples at most are made with settings that run straight from their beginning to their end.
pub const STRETCH: usize = 32;
