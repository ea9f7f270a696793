//! A progression in time: which chord holds from when to when.

use crate::theory::{Chord, Ticks};

/// A bar of a progression one time that it is played.
#[derive(Debug, Clone, Copy)]
pub struct ChordBar<'c> {
    /// Its index among the bars as written.
    pub index: usize,
    /// The moment of the bar with which it begins: 0, but in an upbeat, whose moments are those of a
    /// whole bar.
    pub from: Ticks,
    /// How long it lasts.
    pub length: Ticks,
    /// Each chord with the moment of the bar from which it holds, rising; `None` is no chord.
    pub chords: &'c [(Ticks, Option<Chord>)],
    /// Whether it goes on with the chord before it, so that this one isn't played anew.
    pub goes_on: bool,
}

/// A chord that holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held<'c> {
    /// The index of the bar in which it begins.
    pub bar: usize,
    /// When it begins, in ticks from the beginning of what is played.
    pub start: Ticks,
    /// When the next one begins, or all ends.
    pub end: Ticks,
    /// The chord; `None` is no chord.
    pub chord: Option<&'c Chord>,
}

/// The chords of bars in the order in which they are played, each as long as it holds, over bar lines
/// too.
pub fn held<'c>(bars: impl Iterator<Item = ChordBar<'c>>) -> impl Iterator<Item = Held<'c>> {
    Chords { bars, end: Ticks::ZERO, bar: None, now: None }
}

struct Chords<'c, I> {
    bars: I,
    /// When the last bar ends that was begun.
    end: Ticks,
    /// The bar that is being played, when it began, and how many of its chords have begun.
    bar: Option<(ChordBar<'c>, Ticks, usize)>,
    /// The chord that holds; its end is not known yet.
    now: Option<Held<'c>>,
}

impl<'c, I: Iterator<Item = ChordBar<'c>>> Chords<'c, I> {
    /// The next chord that begins; it ends where it begins, for its end is not known yet.
    fn next_begun(&mut self) -> Option<Held<'c>> {
        loop {
            if let Some((bar, start, begun)) = &mut self.bar
                && let Some((at, chord)) = bar.chords.get(*begun)
            {
                *begun += 1;
                let moment = *start + at.since(bar.from);
                let chord = chord.as_ref();
                let is_held = self.now.is_some_and(|now| now.chord == chord);
                if bar.goes_on && *begun == 1 && is_held {
                    continue;
                }
                return Some(Held { bar: bar.index, start: moment, end: moment, chord });
            }
            let bar = self.bars.next()?;
            self.bar = Some((bar, self.end, 0));
            self.end += bar.length;
        }
    }
}

impl<'c, I: Iterator<Item = ChordBar<'c>>> Iterator for Chords<'c, I> {
    type Item = Held<'c>;

    fn next(&mut self) -> Option<Held<'c>> {
        loop {
            let Some(next) = self.next_begun() else {
                return self.now.take().map(|now| Held { end: self.end, ..now });
            };
            // Of the chords that an upbeat leaves out, the last holds at its beginning.
            match self.now.replace(next) {
                Some(now) if now.start < next.start => {
                    return Some(Held { end: next.start, ..now });
                }
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_upbeat_begins_with_the_chord_that_holds_where_it_begins() {
        let chord = |symbol: &str| Chord::parse(symbol).ok();
        let at = |ticks: u32, symbol: &str| (Ticks(ticks), chord(symbol));
        let (upbeat, bar) =
            ([at(0, "E"), at(960, "A"), at(2880, "D")], [at(0, "D"), at(1920, "E7")]);
        let bars = [
            ChordBar {
                index: 0,
                from: Ticks(1920),
                length: Ticks(1920),
                chords: &upbeat,
                goes_on: false,
            },
            ChordBar {
                index: 1,
                from: Ticks::ZERO,
                length: Ticks(3840),
                chords: &bar,
                goes_on: true,
            },
        ];
        let told = |held: Held<'_>| {
            let chord = held.chord.map(Chord::to_string).unwrap_or_default();
            format!("{}-{} {}:{chord}", held.start.0, held.end.0, held.bar)
        };
        let held: Vec<String> = held(bars.into_iter()).map(told).collect();
        assert_eq!(held, ["0-960 0:A", "960-3840 0:D", "3840-5760 1:E7"]);
    }
}
