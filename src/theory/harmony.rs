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
    /// For each of the bars as they are played its place among those that are written.
    pub order: Vec<usize>,
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
    /// The signs about it, where it is written.
    pub signs: BarSigns,
}

/// What is written about a bar of how it is repeated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct BarSigns {
    /// Whether a repeat begins here.
    pub repeat_start: bool,
    /// How many times in all the repeat that ends here is played.
    pub repeat_end: Option<u32>,
    /// Whether it ends with a double bar.
    pub double_end: bool,
    /// The ending that begins here: 1 or 2.
    pub ending: Option<u8>,
    /// The number of the ending that it is part of.
    pub within_ending: Option<u8>,
}
