//! A progression in time: which chord sounds when, bar by bar, repeats played out.

use super::{Chord, Meter, Ticks};

/// A progression with its repeats played out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Harmony {
    /// The upbeat before bar 1, if the progression has one. Its moments are counted as in a whole
    /// bar that it ends; its first chord holds from that bar's start, so that a longer upbeat over
    /// it finds the chord too.
    pub pickup: Option<HarmonyBar>,
    /// The bars in the order they are played, bar 1 first.
    pub bars: Vec<HarmonyBar>,
    /// The bars in the order they are written, bar 1 first, for `bars 5 to 8`.
    pub written: Vec<HarmonyBar>,
}

/// The chords of one bar.
#[derive(Debug, Clone, PartialEq)]
pub struct HarmonyBar {
    /// The bar's meter.
    pub meter: Meter,
    /// Whether the meter is this bar's alone, written `(2/4)`.
    pub own_meter: bool,
    /// Each chord with the moment in the bar from which it holds, rising; `None` is no chord.
    pub chords: Vec<(Ticks, Option<Chord>)>,
}
