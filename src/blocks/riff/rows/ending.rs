//! The `ending` row: endings of repeats.

use super::super::figure::{Canvas, Sheet, Teller, Told, Turn};
use super::super::lines::Row;
use super::{Kind, RowPlace, Shaping};
use crate::findings::rules::block_syntax;
use crate::ink::{Face, Pt};
use crate::music::tab::Bar;
use crate::theory::Ticks;
use crate::words::help::{Sign, sign};
use crate::words::{capital, ordinal};

/// The label of the row.
pub const LABEL: &str = "ending";

/// The endings.
const ENDINGS: [(Sign, u8); 2] =
    [(sign("1.", "for every time but the last"), 1), (sign("2.", "for the last time"), 2)];

/// Endings, each in its bar's first column.
#[derive(Debug)]
pub(super) struct Ending;

impl Kind for Ending {
    fn label(&self) -> &'static str {
        LABEL
    }

    fn says(&self) -> &'static str {
        "endings of a repeat, each in its bar's first column"
    }

    fn signs(&self) -> Vec<Sign> {
        ENDINGS.iter().map(|(sign, _)| *sign).collect()
    }

    /// Where an ending begins, and how far it holds.
    fn shape(&self, rows: &[&Row], shaping: &mut Shaping) {
        let number = |text: &str| {
            let ending = ENDINGS.iter().find(|(sign, _)| sign.is(text));
            ending.map(|(_, number)| *number)
        };
        for (index, ending) in shaping.by_bar(rows, number, block_syntax::no_ending) {
            if let Some(bar) = shaping.bars.get_mut(index) {
                bar.ending = Some(ending);
            }
        }
        hold(shaping.bars);
    }

    fn place(&self) -> RowPlace {
        RowPlace::OnTop
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        draw_brackets(canvas, sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        let ending = teller.bar.ending.filter(|_| teller.holds(Ticks::ZERO));
        let words = |ending| format!("{} ending.", capital(&ordinal(usize::from(ending))));
        let told =
            ending.map(|ending| Told { at: Ticks::ZERO, turn: Turn::Opens, words: words(ending) });
        told.into_iter().collect()
    }
}

/// An ending holds to the sign that closes its repeat, or to the next ending.
fn hold(bars: &mut [Bar]) {
    let mut within = None;
    for bar in bars {
        within = match bar.ending {
            Some(ending) => Some(ending),
            None if bar.repeat_start => None,
            None => within,
        };
        bar.within_ending = within;
        if bar.repeat_end.is_some() || bar.double_end {
            within = None;
        }
    }
}

/// Brackets over endings, all on one line.
fn draw_brackets(canvas: &mut Canvas, sheet: &Sheet) {
    let Sheet { score, system, scale } = *sheet;
    let ending = |index: usize| score.riff.bars.get(index).and_then(|bar| bar.within_ending);
    let begins = |index: usize| score.riff.bars.get(index).is_some_and(|bar| bar.ending.is_some());
    let runs = system
        .bars
        .chunk_by(|a, b| ending(a.bar) == ending(b.bar) && (a.bar == b.bar || !begins(b.bar)));
    let runs = runs.filter_map(|run| Some((run.first()?, run.last()?)));
    let runs: Vec<_> = runs.filter(|(first, _)| ending(first.bar).is_some()).collect();
    let free = runs.iter().map(|(first, last)| canvas.free_above(first.left, last.right));
    let height = scale.cap_height(scale.small_size()) + scale.gaps(0.45);
    let top = free.fold(Pt::ZERO, Pt::min) - scale.gaps(0.35) - height;
    for (first, last) in runs {
        let (from, to) = (first.left + scale.gaps(0.25), last.right - scale.gaps(0.25));
        canvas.line((from, top), (to, top), scale.firm());
        if first.opens && begins(first.bar) {
            canvas.line((from, top), (from, top + height), scale.firm());
            let number = format!("{}.", ending(first.bar).unwrap_or_default());
            let baseline = top + height - scale.gaps(0.1);
            canvas.text(from + scale.gaps(0.4), baseline, scale.small(&number, Face::SansSemibold));
        }
        if last.closes && ending(last.bar + 1) != ending(last.bar) {
            canvas.line((to, top), (to, top + height), scale.firm());
        }
        canvas.occupy(from, to, top);
    }
}
