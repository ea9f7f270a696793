//! The rows beneath the rhythm: the count, fingers, strokes of the pick, syllables, remarks.

use super::super::model::{Bar, Remark};
use super::canvas::Canvas;
use super::rows::{Label, LabelFace};
use super::scale::Scale;
use super::score::Score;
use super::signs;
use super::spacing::Lane;
use super::systems::{System, within};
use crate::ink::{Face, Pt, Style};

/// The rows in the order they stand.
const ROWS: [Lane; 5] = [Lane::Count, Lane::Left, Lane::Right, Lane::Pick, Lane::Sung];

/// Draws all rows of a system.
pub(super) fn draw(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    // Nothing is nearer to the staff than fret numbers on its lowest line leave room for.
    canvas.reach_down(scale.staff_height() + scale.gaps(0.6));
    for lane in ROWS {
        draw_row(canvas, lane, score, system, scale);
    }
    draw_remarks(canvas, |bar| bar.remarks("words"), score, system, scale);
    draw_remarks(canvas, |bar| bar.remarks("tone"), score, system, scale);
    canvas.reach_down(canvas.bottom() + scale.small_size() * 0.25);
}

fn draw_row(canvas: &mut Canvas, lane: Lane, score: &Score, system: &System, scale: &Scale) {
    let bars = system.whole_bars().filter_map(|bar| score.bars.get(bar));
    let labels = bars.flat_map(|bar| within(&bar.labels, &system.span, |label| label.tick));
    let here: Vec<&Label> = labels.filter(|label| label.lane == lane).collect();
    if here.is_empty() {
        return;
    }
    let size = scale.small_size();
    let first = canvas.bottom() + scale.gaps(0.45) + scale.cap_height(size);
    let mut lowest = first;
    for label in here {
        let x = system.x(label.tick);
        match &label.face {
            LabelFace::Stroke(pick) => {
                for path in signs::pick(*pick, x, first, size) {
                    canvas.path(path);
                }
            }
            // Boxes stand above the staff.
            LabelFace::Box { .. } => {}
            LabelFace::Lines(lines) => {
                let mut baseline = first;
                for line in lines {
                    canvas.text_centred(x, baseline, line.clone());
                    lowest = lowest.max(baseline);
                    baseline += size * 1.05;
                }
            }
        }
    }
    // The descenders of p, g and brackets.
    canvas.reach_down(lowest + size * 0.2);
}

/// Remarks in words, each at its moment; one that would run into the one before it stands a line
/// lower, and one that would run out of the column begins further left.
fn draw_remarks(
    canvas: &mut Canvas,
    remarks: impl Fn(&Bar) -> &[Remark],
    score: &Score,
    system: &System,
    scale: &Scale,
) {
    let size = scale.small_size();
    let style = Style::new(Face::SerifItalic, size);
    let leading = size * 1.15;
    let top = canvas.bottom() + scale.gaps(0.45) + scale.cap_height(size);
    let mut ends: Vec<Pt> = Vec::new();
    for bar in system.whole_bars().filter_map(|bar| score.riff.bars.get(bar)) {
        let here = within(remarks(bar), &system.span, |remark| bar.start + remark.at);
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
