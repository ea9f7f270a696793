//! The chords that are written over a bar: its own row's, or those of the changes that the riff is
//! over.

use crate::music::tab::{Pass, Riff};
use crate::theory::{Chord, Printed, Ticks};
use crate::words::paper::tab;

/// A chord that is written over a moment of a bar.
pub(in super::super) struct Symbol<'a> {
    /// The moment, in the bar.
    pub at: Ticks,
    /// The chord; `None` is no chord.
    pub chord: Option<&'a Chord>,
    /// The other chords that a later time of a repeat meets there.
    pub later: Vec<Option<&'a Chord>>,
}

impl Symbol<'_> {
    /// The symbol as it is printed, later times' chords in brackets behind it.
    pub fn printed(&self) -> Printed {
        let printed = |chord: Option<&Chord>| match chord {
            Some(chord) => chord.printed(),
            None => Printed::plain(tab::NO_CHORD),
        };
        self.later.iter().fold(printed(self.chord), |symbol, later| {
            let mut symbol = symbol.then(" (", false);
            symbol.runs.extend(printed(*later).runs);
            symbol.then(")", false)
        })
    }

    /// The symbol in words.
    pub fn spoken(&self) -> String {
        let spoken = |chord: Option<&Chord>| chord.map_or_else(|| "no chord".into(), Chord::spoken);
        let later = self.later.iter().map(|chord| format!(", another time {}", spoken(*chord)));
        spoken(self.chord) + &later.collect::<String>()
    }
}

/// What is written over a bar, by its index: the symbols of its own row as they stand; where it
/// has none, what changes in the harmony.
pub(in super::super) fn over(riff: &Riff, index: usize) -> Vec<Symbol<'_>> {
    let Some(bar) = riff.bars.get(index) else { return Vec::new() };
    if !bar.chords.is_empty() {
        let own = bar.chords.iter();
        let symbol = |at, chord| Symbol { at, chord, later: Vec::new() };
        return own.map(|chord| symbol(chord.at, chord.chord.as_ref())).collect();
    }
    let passes = riff.harmony.get(index).map_or(&[][..], |harmony| &harmony.passes);
    let Some((first, rest)) = passes.split_first() else { return Vec::new() };
    let mut before = index.checked_sub(1).and_then(|before| last_chord(riff, before));
    let mut symbols = Vec::new();
    for (at, chord) in &first.chords {
        let others = rest.iter().filter_map(|pass| other_chord(pass, *at, chord));
        let mut later = Vec::new();
        for other in others {
            if !later.contains(&other) {
                later.push(other);
            }
        }
        if before != Some(chord) || !later.is_empty() {
            symbols.push(Symbol { at: *at, chord: chord.as_ref(), later });
        }
        before = Some(chord);
    }
    symbols
}

/// The chord with which the harmony leaves a bar.
fn last_chord(riff: &Riff, index: usize) -> Option<&Option<Chord>> {
    let first = riff.harmony.get(index)?.passes.first()?;
    first.chords.last().map(|(_, chord)| chord)
}

/// The chord that begins at a moment another time, where it differs.
fn other_chord<'a>(pass: &'a Pass, at: Ticks, chord: &Option<Chord>) -> Option<Option<&'a Chord>> {
    let place = pass.chords.binary_search_by(|(from, _)| from.cmp(&at)).ok()?;
    let (_, other) = pass.chords.get(place)?;
    (other != chord).then_some(other.as_ref())
}
