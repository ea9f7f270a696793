//! The `changes` block: a progression, bar by bar.

mod checks;
mod excerpt;
mod figure;
mod kind;
mod meaning;
mod play;
mod syntax;
mod words;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

pub use kind::{ChangesBlock, WRITTEN};

use super::figure::{Desk, Figure};
use super::{Bars, Music, Opening};
use crate::findings::Span;
use crate::findings::report::Tally;
use crate::findings::rules::block_syntax;
use crate::findings::source::Spanned;
use crate::findings::{Finding, Findings};
use crate::lesson::Setting;
use crate::lesson::fence::Fence;
use crate::music::performance::{self, ChordBar, Held};
use crate::theory::harmony::{BarSigns, HarmonyBar};
use crate::theory::numeral::{Around, AugmentedSixth, around};
use crate::theory::{Chord, Harmony, Key, Meter, Numeral, Ticks};

/// A progression that has been read.
#[derive(Debug, Clone, PartialEq)]
pub struct Changes {
    /// Its bars as they are written, the upbeat first if there is one.
    pub bars: Vec<Bar>,
    /// Whether the first bar is an upbeat, bar 0.
    pub pickup: bool,
    /// The meter that its own fence line sets, which is printed before the first bar.
    pub stated_meter: Option<Meter>,
    /// The bars in the order they are played, by index; the upbeat is not among them.
    order: Vec<usize>,
    /// Whether what stands in the bars was taken out, for a student to write it in.
    frame: bool,
}

/// One bar as it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// The line of the chart that it stands on, from 0.
    pub line: usize,
    /// Its number: 1 is the first whole bar, 0 an upbeat.
    pub number: usize,
    /// Where its words stand.
    pub span: Span,
    /// Its meter.
    pub meter: Meter,
    /// Whether the meter is this bar's alone, written `(2/4)`.
    pub own_meter: bool,
    /// What is written in it; nothing in an empty bar and in one that is a `%`.
    pub entries: Vec<Entry>,
    /// Whether it is a `%`, the bar before again.
    pub again: bool,
    /// Each chord with the moment in the bar from which it holds, rising; `None` is no chord.
    pub chords: Vec<(Ticks, Option<Chord>)>,
    /// The `|:` before it.
    pub repeat_start: Option<Span>,
    /// The `:|` behind it.
    pub repeat_end: Option<Repeat>,
    /// Whether a double bar line stands behind it.
    pub double_end: bool,
    /// The ending that begins here.
    pub ending: Option<Spanned<u8>>,
    /// The number of the ending that it is part of.
    pub within_ending: Option<u8>,
}

/// The end of a repeat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Repeat {
    /// How many times in all it is played, 2 or more.
    pub times: u32,
    /// Where its sign stands.
    pub span: Span,
}

/// One entry of a bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its moment in the bar.
    pub at: Ticks,
    /// What it says.
    pub says: Says,
    /// The second name in brackets that tells shapes apart.
    pub name: Option<String>,
    /// Which augmented sixth it is written as, where it is: `Ger+6`.
    pub sixth: Option<AugmentedSixth>,
    /// Where it stands, without the brackets.
    pub span: Span,
}

/// What an entry says.
#[derive(Debug, Clone, PartialEq)]
pub enum Says {
    /// A chord; a numeral is read in the key and stands here as its chord.
    Chord(Chord),
    /// A numeral where no key is in force.
    Numeral(Numeral),
    /// No chord, `N.C.`.
    NoChord,
    /// `/`: the chord before holds.
    Hold,
    /// A symbol that can't be read, as it is written.
    Unread(String),
}

impl Says {
    /// The chord, where there is one of its own.
    pub fn chord(&self) -> Option<&Chord> {
        match self {
            Says::Chord(chord) => Some(chord),
            _ => None,
        }
    }
}

/// Reads a `changes` block. Where there are faults in it the sensible rest is kept; `None` where no
/// bar could be read.
pub fn read(fence: &Fence<'_>, findings: &mut Findings) -> Option<Changes> {
    let pickup = read_phrases(fence, findings);
    let mut told = Findings::default();
    let mut bars = meaning::bars(fence, pickup, &mut told);
    if bars.is_empty() && told.is_empty() {
        told.add(without_bars(fence));
    }
    findings.append(told);
    if bars.is_empty() {
        return None;
    }
    let order = play::order(&mut bars, pickup, findings);
    let states_meter = fence.own_keys.iter().any(|key| key == "meter");
    let stated_meter = states_meter.then_some(fence.setting.meter);
    let changes = Changes { bars, pickup, stated_meter, order, frame: false };
    if let Some(key) = &fence.setting.key {
        checks::outside_key(&changes, key, findings);
    }
    Some(changes)
}

fn without_bars(fence: &Fence<'_>) -> Finding {
    block_syntax::at(fence.head, "changes without bars")
        .note("bars stand between bar lines: `| A | D / E / |`")
}

/// Whether the fence line says `pickup`; anything else that it says is a fault.
fn read_phrases(fence: &Fence<'_>, findings: &mut Findings) -> bool {
    let mut pickup = false;
    for phrase in &fence.phrases {
        if phrase.is("pickup") {
            pickup = true;
            continue;
        }
        findings
            .add(block_syntax::no_phrase(*phrase, "a `changes` block").note(WRITTEN.fence_knows()));
    }
    pickup
}

impl Changes {
    /// The harmony in time, repeats and endings played out, to at most 10,000 bars.
    pub fn harmony(&self) -> Harmony {
        let upbeat = usize::from(self.pickup);
        let written: Vec<HarmonyBar> = self.bars.iter().map(Bar::harmony).collect();
        let whole = written.get(upbeat..).unwrap_or_default();
        Harmony {
            pickup: written.first().filter(|_| self.pickup).cloned(),
            bars: self.order.iter().filter_map(|index| written.get(*index)).cloned().collect(),
            written: whole.to_vec(),
            order: self.order.iter().map(|index| index.saturating_sub(upbeat)).collect(),
        }
    }

    /// The chords as they are played: each as long as it holds, repeats and endings played out. Some of
    /// the bars are played as their excerpt is.
    pub fn played(&self) -> impl Iterator<Item = Held<'_>> {
        performance::held(self.passes().map(|(index, bar)| ChordBar {
            index,
            from: bar.begins(),
            length: bar.length(),
            chords: &bar.chords,
            goes_on: bar.goes_on(),
        }))
    }

    /// The bars in the order in which they are played, with their indices, an upbeat first.
    pub fn passes(&self) -> impl Iterator<Item = (usize, &Bar)> {
        let upbeat = (0..1).filter(|_| self.pickup);
        let order = upbeat.chain(self.order.iter().copied());
        order.filter_map(|index| Some((index, self.bars.get(index)?)))
    }

    /// When each bar begins in what is written.
    pub fn starts(&self) -> Vec<Ticks> {
        let starts = self.bars.iter().scan(Ticks::ZERO, |next, bar| {
            let start = *next;
            *next += bar.length();
            Some(start)
        });
        starts.collect()
    }

    /// The chords as they are written, in order, each with its place in the text.
    pub fn chords(&self) -> impl Iterator<Item = (&Chord, Span)> {
        let entries = self.bars.iter().flat_map(|bar| &bar.entries);
        entries.filter_map(|entry| Some((entry.says.chord()?, entry.span)))
    }

    /// For each of the chords as they are written those around it.
    fn around(&self, key: &Key) -> Vec<Around<'_>> {
        let entries = self.bars.iter().flat_map(|bar| &bar.entries);
        let sixths = entries.filter(|entry| entry.says.chord().is_some()).map(|entry| entry.sixth);
        let around = around(&self.chords().map(|(chord, _)| chord).collect::<Vec<_>>(), key);
        around.into_iter().zip(sixths).map(|(around, sixth)| Around { sixth, ..around }).collect()
    }

    /// The lines of the chart, each with its bars.
    fn lines(&self) -> impl Iterator<Item = &[Bar]> {
        self.bars.chunk_by(|a, b| a.line == b.line)
    }
}

impl Music for Changes {
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        Changes::figure(self, desk, setting)
    }

    /// Its bars with nothing in them.
    fn blank(&self) -> Option<Box<dyn Music>> {
        let emptied = |bar: &Bar| Bar {
            entries: Vec::new(),
            chords: Vec::new(),
            again: false,
            ending: bar.ending.clone(),
            ..*bar
        };
        let bars = self.bars.iter().map(emptied).collect();
        Some(Box::new(Changes { bars, order: self.order.clone(), frame: true, ..*self }))
    }

    /// How many bars there are, as written and as played.
    fn size(&self) -> usize {
        self.bars.len() + self.order.len()
    }

    fn tally(&self) -> Tally {
        let entries = self.bars.iter().flat_map(|bar| &bar.entries);
        let names_chord = |says: &Says| matches!(says, Says::Chord(_) | Says::Numeral(_));
        let chords = entries.filter(|entry| names_chord(&entry.says)).count();
        Tally { bars: self.bars.len(), chords, ..Tally::default() }
    }

    fn bars(&self) -> Bars {
        Bars::up_to(self.bars.last().map(|bar| bar.number), self.pickup)
    }

    fn excerpt(&self, bars: (u32, u32)) -> Option<Box<dyn Music>> {
        Some(Box::new(Changes::excerpt(self, bars)?))
    }

    /// An upbeat lasts from its first chord on.
    fn length(&self) -> Option<Ticks> {
        Some(self.passes().fold(Ticks::ZERO, |whole, (_, bar)| whole + bar.length()))
    }

    fn opening(&self) -> Option<Opening> {
        let first = self.bars.first()?;
        let upbeat = if first.number == 0 { first.length() } else { Ticks::ZERO };
        Some(Opening { meter: first.meter, upbeat })
    }

    fn harmony(&self) -> Option<Harmony> {
        Some(Changes::harmony(self))
    }

    fn chords(&self) -> Vec<(u32, Chord)> {
        let sounding = self.bars.iter().flat_map(|bar| {
            let number = u32::try_from(bar.number).unwrap_or(u32::MAX);
            bar.chords.iter().filter_map(move |(_, chord)| Some((number, chord.clone()?)))
        });
        sounding.collect()
    }

    /// A line of the chart each, equal neighbours once.
    fn chord_lines(&self) -> Vec<Vec<Option<Chord>>> {
        let line = |bars: &[Bar]| {
            let chords = bars.iter().flat_map(|bar| &bar.chords);
            let mut chords: Vec<Option<Chord>> = chords.map(|(_, chord)| chord.clone()).collect();
            chords.dedup();
            chords
        };
        self.lines().map(line).collect()
    }

    fn progression(&self) -> Option<Vec<Chord>> {
        Some(self.chords().map(|(chord, _)| chord.clone()).collect())
    }
}

impl Bar {
    fn harmony(&self) -> HarmonyBar {
        let signs = BarSigns {
            repeat_start: self.repeat_start.is_some(),
            repeat_end: self.repeat_end.map(|repeat| repeat.times),
            double_end: self.double_end,
            ending: self.ending.as_ref().map(|ending| ending.value),
            within_ending: self.within_ending,
        };
        let Bar { meter, own_meter, .. } = *self;
        HarmonyBar { meter, own_meter, chords: self.chords.clone(), signs }
    }

    /// The moment with which it begins: an upbeat is as many beats before the next bar as it has entries. (Its
    /// first chord holds from the whole bar's beginning on, for whoever asks what is there.)
    pub fn begins(&self) -> Ticks {
        if self.number > 0 || self.entries.is_empty() {
            return Ticks::ZERO;
        }
        self.meter.bar().since(self.meter.felt_beat() * self.entries.len() as u32)
    }

    /// How long it is: the meter's bar, less in an upbeat.
    pub fn length(&self) -> Ticks {
        self.meter.bar().since(self.begins())
    }

    /// Whether it goes on with the chord before it: it begins with `/`, or is empty.
    fn goes_on(&self) -> bool {
        !self.again && self.entries.first().is_none_or(|entry| entry.says == Says::Hold)
    }

    /// The bar as messages name it: "bar 3", "the pickup".
    fn name(&self) -> String {
        if self.number == 0 { "the pickup".into() } else { format!("bar {}", self.number) }
    }
}
