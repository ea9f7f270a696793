//! The order in which the bars are played: repeats and endings played out.

use super::{Bar, Repeat};
use crate::findings::rules::block_syntax;
use crate::findings::{Findings, Ground};
use std::ops::Range;

/// No lesson has a progression of more bars; a repeat that would make it longer is cut short.
const MOST_BARS: usize = 10_000;

/// The bars in the order they are played, by index, the upbeat left out; marks which bars are
/// within an ending.
pub(super) fn order(bars: &mut [Bar], pickup: bool, findings: &mut Findings) -> Vec<usize> {
    let mut player = Player {
        findings,
        order: Vec::new(),
        start: usize::from(pickup),
        first_ending: None,
        last_closed: None,
        second_ends: 0,
        is_full: false,
    };
    for index in 0..bars.len() {
        player.bar(bars, index);
    }
    player.finish(bars);
    player.order
}

struct Player<'a> {
    findings: &'a mut Findings,
    order: Vec<usize>,
    /// Where the passage begins that the next `:|` would repeat.
    start: usize,
    /// The bar in that passage where its first ending begins.
    first_ending: Option<usize>,
    /// The first ending that was closed just before, whose second must follow.
    last_closed: Option<Range<usize>>,
    /// One past the last bar of the second ending.
    second_ends: usize,
    is_full: bool,
}

impl Player<'_> {
    fn bar(&mut self, bars: &mut [Bar], index: usize) {
        let Some(bar) = bars.get(index) else { return };
        let (begins, ending, repeat) = (bar.repeat_start, bar.ending.clone(), bar.repeat_end);
        if begins.is_some() {
            self.begin_repeat(bars, index);
        }
        let closed = self.last_closed.take();
        match (ending.as_ref().map(|ending| ending.value), closed) {
            (Some(2), Some(first)) => self.second_ending(bars, index, first.len()),
            (Some(2), None) => self.fault_at_ending(bars, index, "a second ending without a first"),
            (Some(_), closed) => {
                self.without_second(bars, closed);
                self.begin_first_ending(bars, index);
            }
            (None, closed) => self.without_second(bars, closed),
        }
        if let Some(repeat) = repeat {
            self.end_repeat(bars, index, repeat);
        }
    }

    fn begin_repeat(&mut self, bars: &[Bar], index: usize) {
        self.unclosed(bars, index);
        self.play(bars, self.start..index);
        self.start = index;
    }

    /// Finds fault with a repeat or a first ending that began before a bar and wasn't closed.
    fn unclosed(&mut self, bars: &[Bar], before: usize) {
        if let Some(first) = self.first_ending.take() {
            self.fault_at_ending(bars, first, "the first ending is not closed by `:|`");
        }
        let opened = bars.get(self.start).and_then(|bar| bar.repeat_start);
        if let Some(span) = opened.filter(|_| self.start < before) {
            self.findings.add(
                block_syntax::at(span, "a repeat that is not closed")
                    .note("`:|` stands where it goes back to `|:`"),
            );
        }
    }

    fn begin_first_ending(&mut self, bars: &[Bar], index: usize) {
        match self.first_ending {
            None => self.first_ending = Some(index),
            Some(_) => self.fault_at_ending(bars, index, "a repeat has only one first ending"),
        }
    }

    /// Marks the second ending, which is taken to be as long as the first unless a sign ends it.
    fn second_ending(&mut self, bars: &mut [Bar], index: usize, longest: usize) {
        let mut end = index;
        for bar in bars.iter_mut().skip(index).take(longest) {
            let begins_something = bar.repeat_start.is_some() || bar.ending.is_some();
            if end > index && begins_something {
                break;
            }
            bar.within_ending = Some(2);
            end += 1;
            if bar.double_end || bar.repeat_end.is_some() {
                break;
            }
        }
        self.second_ends = end;
    }

    fn end_repeat(&mut self, bars: &mut [Bar], index: usize, repeat: Repeat) {
        if index < self.second_ends {
            self.findings.add(
                block_syntax::at(repeat.span, "a second ending repeats nothing")
                    .note("the first ending goes back, the second goes on")
                    .fix("a plain bar line", repeat.span, "|", Ground::Choice),
            );
            if let Some(bar) = bars.get_mut(index) {
                bar.repeat_end = None;
            }
            return;
        }
        let first = self.first_ending.take();
        let last = first.unwrap_or(index + 1);
        for bar in bars.iter_mut().take(index + 1).skip(last) {
            bar.within_ending = Some(1);
        }
        let before = self.order.len();
        for _ in 1..repeat.times {
            self.play(bars, self.start..index + 1);
            // Beyond the cap nothing more is played.
            if self.is_full || self.order.len() == before {
                break;
            }
        }
        self.play(bars, self.start..last);
        self.last_closed = first.map(|first| first..index + 1);
        self.start = index + 1;
    }

    /// Finds fault with a closed first ending that no second one follows.
    fn without_second(&mut self, bars: &[Bar], closed: Option<Range<usize>>) {
        if let Some(first) = closed {
            self.fault_at_ending(bars, first.start, "the first ending has no second");
        }
    }

    fn finish(&mut self, bars: &[Bar]) {
        let closed = self.last_closed.take();
        self.without_second(bars, closed);
        self.unclosed(bars, bars.len());
        self.play(bars, self.start..bars.len());
    }

    /// Plays bars once, as far as there is room.
    fn play(&mut self, bars: &[Bar], passage: Range<usize>) {
        let room = MOST_BARS - self.order.len();
        let too_long = passage.len() > room;
        let last = bars.get(passage.end.saturating_sub(1));
        self.order.extend(passage.take(room));
        if let Some(bar) = last.filter(|_| too_long && !self.is_full) {
            self.is_full = true;
            let span = bar.repeat_end.map_or(bar.span, |repeat| repeat.span);
            let message = "played out, the changes are longer than 10,000 bars";
            self.findings.add(block_syntax::at(span, message));
        }
    }

    fn fault_at_ending(&mut self, bars: &[Bar], index: usize, message: &str) {
        let span = bars.get(index).and_then(|bar| Some(bar.ending.as_ref()?.span));
        if let Some(span) = span {
            self.findings.add(block_syntax::at(span, message));
        }
    }
}
