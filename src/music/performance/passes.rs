//! The bars in the order in which they are played: repeats and endings played out.

use crate::music::tab::Bar;
use crate::theory::Ticks;
use std::ops::Range;

/// One time that a bar is played.
#[derive(Debug, Clone, Copy)]
pub struct Pass<'b> {
    /// The bar's index.
    pub index: usize,
    /// The bar.
    pub bar: &'b Bar,
    /// Which time of its repeat this is, from 1.
    pub time: u32,
    /// When it begins, counted from the beginning of all that is played.
    pub start: Ticks,
}

/// The times that bars are played, one after the other. Nothing is kept of those that are over, so
/// however often a repeat is played, it takes no room.
#[derive(Debug, Clone)]
pub struct Passes<'b> {
    bars: &'b [Bar],
    section: Section,
    /// The next bar, and which time its section is played.
    next: (usize, u32),
    start: Ticks,
}

/// Bars that are played so many times before it goes on behind them.
#[derive(Debug, Clone)]
struct Section {
    bars: Range<usize>,
    times: u32,
}

impl<'b> Passes<'b> {
    /// Each bar once, as written.
    pub fn as_written(bars: &'b [Bar]) -> Passes<'b> {
        Passes::beginning_with(Section { bars: 0..bars.len(), times: 1 }, bars)
    }

    /// All bars, repeats and endings played out. A first ending is for every time but the last, any
    /// other for the last; an upbeat is never repeated.
    pub fn played_out(bars: &'b [Bar]) -> Passes<'b> {
        let upbeat = usize::from(bars.first().is_some_and(|bar| bar.number == 0));
        Passes::beginning_with(Section { bars: 0..upbeat, times: 1 }, bars)
    }

    /// All whole bars, repeats and endings played out, without an upbeat.
    pub fn without_upbeat(bars: &'b [Bar]) -> Passes<'b> {
        let mut passes = Passes::played_out(bars);
        passes.next = (passes.section.bars.end, 1);
        passes
    }

    fn beginning_with(section: Section, bars: &'b [Bar]) -> Passes<'b> {
        let next = (section.bars.start, 1);
        Passes { bars, section, next, start: Ticks::ZERO }
    }

    /// How long they take together.
    pub fn length(self) -> Ticks {
        self.fold(Ticks::ZERO, |whole, pass| whole + pass.bar.length)
    }

    /// The section that begins with a bar: to the sign that repeats it, or to where a repeat begins.
    fn section_from(&self, begin: usize) -> Section {
        for (index, bar) in self.bars.iter().enumerate().skip(begin) {
            if bar.repeat_start && index > begin {
                return Section { bars: begin..index, times: 1 };
            }
            if let Some(times) = bar.repeat_end {
                return Section { bars: begin..index + 1, times };
            }
        }
        Section { bars: begin..self.bars.len(), times: 1 }
    }

    /// Whether a bar is left out one of the times that its section is played.
    fn leaves_out(&self, bar: &Bar, time: u32) -> bool {
        let times = self.section.times;
        match bar.within_ending {
            Some(1) => times > 1 && time == times,
            Some(_) => time < times,
            None => false,
        }
    }
}

impl<'b> Iterator for Passes<'b> {
    type Item = Pass<'b>;

    fn next(&mut self) -> Option<Pass<'b>> {
        loop {
            let (index, time) = self.next;
            if index < self.section.bars.end {
                self.next.0 += 1;
                let bar = self.bars.get(index)?;
                if self.leaves_out(bar, time) {
                    continue;
                }
                let pass = Pass { index, bar, time, start: self.start };
                self.start += bar.length;
                return Some(pass);
            }
            if time < self.section.times {
                self.next = (self.section.bars.start, time + 1);
            } else if index < self.bars.len() {
                self.section = self.section_from(index);
                self.next = (index, 1);
            } else {
                return None;
            }
        }
    }
}
