//! Bars that repeat: which bars are the same, and which are the same but for one note.

use super::context::{Line, StringFret, Tone};
use crate::music::tab::{Bar, Sound};
use crate::theory::Ticks;
use std::collections::BTreeMap;

/// A bar of one of the lesson's riffs: the riff's index, and the bar's in it.
pub type BarOf = (usize, usize);

/// What is played in a bar, as a sum over its notes, so that a note can be taken out again.
/// Bars are the same exactly where their sums are, but for chance: 128 bits make that nothing.
type Sum = u128;

/// A note that stands in the way of a bar's being the same as another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Odd {
    /// The other bar has the note at another place.
    Other(usize, StringFret),
    /// The other bar lacks the note, and all at its moment.
    More(usize),
    /// The other bar has a note at this moment and place, which this one lacks with all at that moment.
    Less(Ticks, StringFret),
}

/// A bar that repeats another but for one note.
#[derive(Debug, Clone)]
pub struct Near {
    /// The bar.
    pub bar: BarOf,
    /// The one that it nearly repeats.
    pub like: BarOf,
    /// How many bars are just as that one.
    pub copies: usize,
    /// How many bars are just as the bar itself, it included.
    pub own_copies: usize,
    /// What differs.
    pub odd: Odd,
}

/// The bars of all riffs by what is played in them.
#[derive(Debug, Default)]
pub struct Index {
    whole: BTreeMap<Sum, Vec<BarOf>>,
    /// Bars with one of their tones taken out: the bar, and the tone's index in the riff's line.
    without: BTreeMap<Sum, Vec<(BarOf, usize)>>,
    /// The same with all the tones of one moment taken out; the index is that of the first of them.
    without_moment: BTreeMap<Sum, Vec<(BarOf, usize)>>,
    sums: BTreeMap<BarOf, Sum>,
}

/// Of bars that are alike so many are looked at: enough to vote, and the work stays in proportion (assumed).
const ENOUGH: usize = 8;
/// A bar with fewer notes repeats others by chance (hand note section 5.4).
const NOTES: usize = 3;
/// A bar of fewer moments is too easily another one with something left out (assumed).
const MOMENTS: usize = 4;

impl Index {
    /// Takes the bars of all riffs in.
    pub fn of(lines: &[Line<'_>]) -> Index {
        let mut index = Index::default();
        for (riff, line) in lines.iter().enumerate() {
            for (bar, range) in line.bars.iter().enumerate() {
                index.take_in(line, (riff, bar), range.start);
            }
        }
        index
    }

    fn take_in(&mut self, line: &Line<'_>, bar: BarOf, first: usize) {
        let tones = line.in_bar(bar.1);
        let sum = ground(line, bar.1).wrapping_add(
            tones.iter().fold(0, |sum, tone| sum.wrapping_add(of_tone(tone.at, tone.place))),
        );
        self.sums.insert(bar, sum);
        if tones.len() < NOTES {
            return;
        }
        self.whole.entry(sum).or_default().push(bar);
        for (offset, tone) in tones.iter().enumerate() {
            let rest = sum.wrapping_sub(of_tone(tone.at, tone.place));
            note(&mut self.without, rest, (bar, first + offset));
        }
        if tones.chunk_by(|one, next| one.at == next.at).count() < MOMENTS {
            return;
        }
        let mut offset = 0;
        for moment in tones.chunk_by(|one, next| one.at == next.at) {
            let rest =
                moment.iter().fold(sum, |sum, tone| sum.wrapping_sub(of_tone(tone.at, tone.place)));
            note(&mut self.without_moment, rest, (bar, first + offset));
            offset += moment.len();
        }
    }

    /// How many other bars are just as this one.
    pub fn twins(&self, bar: BarOf) -> usize {
        self.copies(bar).saturating_sub(1)
    }

    fn copies(&self, bar: BarOf) -> usize {
        self.sums.get(&bar).and_then(|sum| self.whole.get(sum)).map_or(0, Vec::len)
    }

    /// The bars that are just as one would be with its tones at other places.
    pub fn like(&self, line: &Line<'_>, bar: BarOf, places: &[(Ticks, StringFret)]) -> &[BarOf] {
        let sum = places
            .iter()
            .fold(ground(line, bar.1), |sum, (at, place)| sum.wrapping_add(of_tone(*at, *place)));
        let bars = self.whole.get(&sum).map(Vec::as_slice).unwrap_or_default();
        if bars == [bar] { &[] } else { bars }
    }

    /// Another bar that is just as one would be with its tones at other places, or has besides them no more than its first
    /// moment or its last: so much falls out of a bar whose notes are moved.
    pub fn like_within(
        &self,
        lines: &[Line<'_>],
        line: &Line<'_>,
        bar: BarOf,
        places: &[(Ticks, StringFret)],
    ) -> Option<BarOf> {
        let sum = places
            .iter()
            .fold(ground(line, bar.1), |sum, (at, place)| sum.wrapping_add(of_tone(*at, *place)));
        let is_end = |(other, index): &&(BarOf, usize)| {
            let tones =
                lines.get(other.0).map(|line| (line.in_bar(other.1), line.tones.get(*index)));
            tones.is_some_and(|(tones, taken)| {
                let at = taken.map(|tone| tone.at);
                let ends = [tones.first(), tones.last()];
                ends.iter().any(|end| end.map(|tone| tone.at) == at)
            })
        };
        let whole = self.whole.get(&sum).into_iter().flatten().copied();
        let parts = self.without_moment.get(&sum).into_iter().flatten();
        let parts = parts.filter(is_end).map(|(other, _)| *other);
        whole.chain(parts).find(|other| *other != bar)
    }

    /// All bars that repeat another but for one note, each with the other that has most copies, in the order
    /// of the bars.
    pub fn near(&self, lines: &[Line<'_>]) -> Vec<Near> {
        let mut found: BTreeMap<BarOf, Near> = BTreeMap::new();
        let mut offer = |near: Near| {
            let best = found.get(&near.bar).map_or(0, |best| best.copies);
            if near.copies > best {
                found.insert(near.bar, near);
            }
        };
        for (rest, bars) in &self.without_moment {
            for (bar, index) in bars {
                if let Some([like, ..]) = self.whole.get(rest).map(Vec::as_slice) {
                    self.offer_missing(lines, *bar, *index, *like, &mut offer);
                }
            }
        }
        for bars in self.without.values() {
            for (bar, index) in bars {
                for (like, other) in bars.iter().filter(|(like, _)| like != bar) {
                    let Some(place) = place_there(lines, (*bar, *index), (*like, *other)) else {
                        continue;
                    };
                    offer(self.near_to(*bar, *like, Odd::Other(*index, place)));
                }
            }
        }
        found.into_values().collect()
    }

    fn offer_missing(
        &self,
        lines: &[Line<'_>],
        bar: BarOf,
        index: usize,
        like: BarOf,
        offer: &mut impl FnMut(Near),
    ) {
        offer(self.near_to(bar, like, Odd::More(index)));
        if let Some(tone) = lines.get(bar.0).and_then(|line| line.tones.get(index)) {
            offer(self.near_to(like, bar, Odd::Less(tone.at, tone.place)));
        }
    }

    fn near_to(&self, bar: BarOf, like: BarOf, odd: Odd) -> Near {
        Near { bar, like, copies: self.copies(like), own_copies: self.copies(bar), odd }
    }
}

fn note(without: &mut BTreeMap<Sum, Vec<(BarOf, usize)>>, rest: Sum, bar: (BarOf, usize)) {
    let bars = without.entry(rest).or_default();
    if bars.len() < ENOUGH {
        bars.push(bar);
    }
}

/// The place of the other tone, where the two are struck at one moment and not in one place.
fn place_there(
    lines: &[Line<'_>],
    (bar, index): (BarOf, usize),
    (like, other): (BarOf, usize),
) -> Option<StringFret> {
    let tone = lines.get(bar.0)?.tones.get(index)?;
    let other = lines.get(like.0)?.tones.get(other)?;
    (tone.at == other.at && tone.place != other.place).then_some(other.place)
}

/// Whether one place is the other with a slip of a fret or a string (the moves of the hand note, section 5.4), or with a
/// digit lost of two.
pub fn is_slip(one: StringFret, other: StringFret) -> bool {
    let (low, high) = (one.fret.min(other.fret).number(), one.fret.max(other.fret).number());
    let digit_lost = high >= 10 && low < 10 && (high / 10 == low || high % 10 == low);
    let fret_off = one.string == other.string && (high - low == 1 || digit_lost);
    let string_off = low == high && one.string.abs_diff(other.string) == 1;
    fret_off || string_off
}

/// What a bar is besides its tones: its length, its strings, and strokes that have no pitch.
fn ground(line: &Line<'_>, bar: usize) -> Sum {
    let Some(bar) = line.riff.bars.get(bar) else { return 0 };
    let strings = line.riff.instrument.tuning.strings();
    let tuning =
        strings.iter().fold(0, |sum: Sum, open| mixed(&[sum as u64, open.midi().number() as u64]));
    let strokes =
        bar.events.iter().flat_map(|event| event.notes.iter().map(move |note| (event.at, note)));
    strokes
        .filter_map(|(at, note)| match note.sound {
            Sound::Muted => Some(mixed(&[u64::from(at.0), note.string.index() as u64, 1000])),
            Sound::Harmonic(fret) => {
                Some(mixed(&[u64::from(at.0), note.string.index() as u64, 2000 + u64::from(fret)]))
            }
            Sound::Fret(_) => None,
        })
        .fold(mixed(&[u64::from(bar.length.0), tuning as u64]), Sum::wrapping_add)
}

fn of_tone(at: Ticks, place: StringFret) -> Sum {
    mixed(&[u64::from(at.0), place.string.index() as u64, u64::from(place.fret)])
}

/// Numbers stirred into one (the finaliser of SplitMix64, twice with other seeds).
fn mixed(numbers: &[u64]) -> Sum {
    let stir = |seed: u64| {
        numbers.iter().fold(seed, |state, number| {
            let mut z = (state ^ number).wrapping_add(0x9E37_79B9_7F4A_7C15);
            z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            z ^ (z >> 31)
        })
    };
    Sum::from(stir(1)) << 64 | Sum::from(stir(2))
}

/// Whether a tone lies where its bar leads on to the next.
pub fn ends_its_bar(line: &Line<'_>, tone: &Tone) -> bool {
    line.riff.bars.get(tone.bar).is_some_and(|bar| is_late(bar, tone.at))
}

/// Whether a moment lies in the last third of its bar (the share is assumed).
pub fn is_late(bar: &Bar, at: Ticks) -> bool {
    at.0 >= bar.length.0 / 3 * 2
}
