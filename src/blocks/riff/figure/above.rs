//! What stands above the staves: the rows that have their place there, and the numbers of bars and
//! repeats.

use super::super::rows::{self, RowPlace};
use super::Sheet;
use super::canvas::Canvas;
use crate::ink::{Face, Pt, Style};

/// Draws everything above a system, the nearest to it first.
pub(super) fn draw(canvas: &mut Canvas, sheet: &Sheet) {
    rows::at(RowPlace::Above).for_each(|kind| kind.draw(canvas, sheet));
    draw_times(canvas, sheet);
    rows::at(RowPlace::OnTop).for_each(|kind| kind.draw(canvas, sheet));
    draw_number(canvas, sheet);
}

/// Draws what a part of several has above its own staves: its rows, but no signs of the bars, which stand above all parts.
pub(super) fn draw_rows(canvas: &mut Canvas, sheet: &Sheet) {
    let rows = rows::at(RowPlace::Above).chain(rows::at(RowPlace::OnTop));
    rows.for_each(|kind| kind.draw(canvas, sheet));
}

/// How far a bar's number stands from what is written beside it, in distances between tab lines; where it has no such
/// room, it stands above that.
const APART: f32 = 1.2;

/// The number of a system's first bar, over the strings' letters.
fn draw_number(canvas: &mut Canvas, sheet: &Sheet) {
    let Sheet { score, system, scale } = *sheet;
    let first = system.bars.first().filter(|placed| placed.opens && placed.bar > 0);
    let Some(bar) = first.and_then(|placed| score.riff.bars.get(placed.bar)) else { return };
    // Italic and smaller than all around, lest it be read as a figure's number.
    let size = scale.letter_size();
    let style = Style::new(Face::SerifItalic, size);
    let text = scale.desk.words(&bar.number.to_string(), style);
    let to = text.width + scale.gaps(APART);
    let highest_figures = -scale.gaps(0.45);
    let free = canvas.free_above(Pt::ZERO, to);
    let baseline = if free < highest_figures { free - scale.gaps(0.4) } else { -scale.gaps(0.85) };
    canvas.text(Pt::ZERO, baseline, text);
    canvas.occupy(Pt::ZERO, to, baseline - scale.cap_height(size));
}

/// How often a repeat is played, where it is more than twice.
fn draw_times(canvas: &mut Canvas, sheet: &Sheet) {
    let Sheet { score, system, scale } = *sheet;
    for placed in system.bars.iter().filter(|placed| placed.closes) {
        let times = score.riff.bars.get(placed.bar).and_then(|bar| bar.repeat_end);
        let Some(times) = times.filter(|times| *times > 2) else { continue };
        let text = scale.small(&format!("×{times}"), Face::SansSemibold);
        let (from, to) = (placed.right - text.width, placed.right);
        let baseline = canvas.free_above(from, to) - scale.gaps(0.25);
        canvas.text(from, baseline, text);
        canvas.occupy(from, to, baseline - scale.cap_height(scale.small_size()));
    }
}
