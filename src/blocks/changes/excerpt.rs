//! Some bars of changes, as changes of their own.

use super::{Bar, Changes, Entry, Says};

impl Changes {
    /// The bars from one number to another as a cue shows them: each once, so without repeat signs
    /// and endings, the first with the chord that holds in it. `None` where there are none.
    pub fn excerpt(&self, (first, last): (u32, u32)) -> Option<Changes> {
        let numbers = u64::from(first)..=u64::from(last);
        let chosen = self.bars.iter().filter(|bar| numbers.contains(&(bar.number as u64)));
        let mut bars: Vec<Bar> = chosen.map(played_once).collect();
        opened(bars.first_mut()?);
        let pickup = self.pickup && bars.first().is_some_and(|bar| bar.number == 0);
        let order = (usize::from(pickup)..bars.len()).collect();
        Some(Changes { bars, pickup, order, ..*self })
    }
}

fn played_once(bar: &Bar) -> Bar {
    Bar { repeat_start: None, repeat_end: None, ending: None, within_ending: None, ..bar.clone() }
}

/// Writes out the chords of a bar that goes on with what stands before it.
fn opened(bar: &mut Bar) {
    let holds = |entry: &Entry| matches!(entry.says, Says::Hold);
    if !bar.again && bar.entries.first().is_some_and(|first| !holds(first)) {
        return;
    }
    let says = |chord: &Option<_>| chord.clone().map_or(Says::NoChord, Says::Chord);
    let written = bar.chords.iter().map(|(at, chord)| Entry {
        at: *at,
        says: says(chord),
        name: None,
        sixth: None,
        span: bar.span,
    });
    let held = bar
        .entries
        .iter()
        .filter(|entry| holds(entry) && !bar.chords.iter().any(|(at, _)| *at == entry.at));
    let mut entries: Vec<Entry> = written.chain(held.cloned()).collect();
    entries.sort_by_key(|entry| entry.at);
    (bar.entries, bar.again) = (entries, false);
}
