//! Remarks beneath a system.

use super::Sheet;
use super::canvas::Canvas;
use super::systems::within;
use crate::ink::{Face, Pt, Style};

/// Draws a row's remarks, each at its moment; one that would run into the one before it stands a line
/// lower, and one that would run out of the column begins further left.
pub(in super::super) fn draw(canvas: &mut Canvas, row: &'static str, sheet: &Sheet) {
    let Sheet { system, scale, .. } = *sheet;
    let size = scale.small_size();
    let style = Style::new(Face::SerifItalic, size);
    let leading = size * 1.15;
    let top = canvas.bottom() + scale.gaps(0.45) + scale.cap_height(size);
    let mut ends: Vec<Pt> = Vec::new();
    for bar in sheet.bars() {
        let here = within(bar.remarks(row), &system.span, |remark| bar.start + remark.at);
        for remark in here {
            let axis = system.x(bar.start + remark.at) - scale.gaps(0.4);
            for text in scale.desk.lines(&remark.text, style, scale.desk.width) {
                let from = axis.min(scale.desk.width - text.width).max(Pt::ZERO);
                let free = ends.iter().position(|end| *end < from);
                let level = free.unwrap_or(ends.len());
                let end = from + text.width + scale.gaps(0.8);
                match ends.get_mut(level) {
                    Some(kept) => *kept = end,
                    None => ends.push(end),
                }
                #[allow(clippy::cast_precision_loss)] // A few lines.
                let baseline = top + leading * level as f32;
                canvas.text(from, baseline, text);
                canvas.reach_down(baseline + size * 0.2);
            }
        }
    }
}
