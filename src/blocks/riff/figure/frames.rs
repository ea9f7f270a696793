//! Remarks in frames above a system: what to change before one plays on.

use super::Sheet;
use super::canvas::Canvas;
use super::scale::Scale;
use super::systems::within;
use crate::ink::{Face, Path, Point, Pt, Stroke, Style, Text};
use crate::music::tones;

/// The room between a frame and its words, and about the frame, in distances between tab lines.
const INSIDE: f32 = 0.4;
const ABOUT: f32 = 0.35;

/// How far letters reach beneath the baseline, in parts of their size.
const DESCENT: f32 = 0.22;

/// The words of a frame, and where it stands.
struct Framed {
    from: Pt,
    to: Pt,
    lines: Vec<Text>,
}

/// Draws a row's remarks, each at its moment in a frame; one that would run into another stands above it, and one that
/// would run out of the column begins further left.
pub(in super::super) fn draw(canvas: &mut Canvas, row: &'static str, sheet: &Sheet) {
    let Sheet { system, scale, .. } = *sheet;
    let inside = scale.gaps(INSIDE);
    let here = sheet.bars().flat_map(|bar| {
        let remarks = within(bar.remarks(row), &system.span, |remark| bar.start + remark.at);
        remarks.iter().map(move |remark| (bar.start + remark.at, remark.text.as_str()))
    });
    let frames: Vec<Framed> = here
        .map(|(tick, words)| {
            let lines = lines(words, scale);
            let widest = lines.iter().fold(Pt::ZERO, |widest, line| widest.max(line.width));
            let width = widest + inside * 2.0;
            let axis = system.x(tick) - scale.gaps(0.4);
            let from = axis.min(scale.desk.width - width - scale.thin()).max(Pt::ZERO);
            Framed { from, to: from + width, lines }
        })
        .collect();
    let free = frames.iter().map(|frame| canvas.free_above(frame.from, frame.to));
    let together = free.fold(Pt::ZERO, Pt::min);
    let mut before = Pt(f32::NEG_INFINITY);
    for frame in &frames {
        // All at one height, but where one stands over the one before.
        let clash = frame.from < before + scale.gaps(ABOUT);
        let beneath = if clash { canvas.free_above(frame.from, frame.to) } else { together };
        draw_frame(canvas, frame, beneath - scale.gaps(ABOUT), scale);
        before = before.max(frame.to);
    }
}

/// The lines of a remark: what it is called by, up to a colon, heavy.
fn lines(words: &str, scale: &Scale) -> Vec<Text> {
    let size = scale.small_size();
    let (plain, heavy) = (Style::new(Face::Serif, size), Style::new(Face::SerifSemibold, size));
    let widest = scale.desk.width - scale.gaps(INSIDE * 2.0) - scale.thin() * 2.0;
    let Some((name, rest)) = tones::named(words) else {
        return scale.desk.lines(words, plain, widest);
    };
    let name = scale.desk.words(&format!("{name}: "), heavy);
    let rest = scale.desk.lines(rest, plain, widest - name.width);
    let mut name = Some(name);
    rest.into_iter().map(|line| name.take().map_or(line.clone(), |name| name.then(line))).collect()
}

/// Draws a frame with its lower edge at a height.
fn draw_frame(canvas: &mut Canvas, frame: &Framed, lower: Pt, scale: &Scale) {
    let size = scale.small_size();
    let leading = size * 1.2;
    let foot = lower - scale.gaps(INSIDE * 0.6) - size * DESCENT;
    let mut baseline = foot;
    for line in frame.lines.iter().rev() {
        canvas.text(frame.from + scale.gaps(INSIDE), baseline, line.clone());
        baseline -= leading;
    }
    let upper = baseline + leading - scale.cap_height(size) - scale.gaps(INSIDE * 0.8);
    let corner = Point::new(frame.from, upper);
    let mut edge = Path::rectangle(corner, frame.to - frame.from, lower - upper, 0.0);
    edge.fill = None;
    edge.stroke = Some(Stroke::black(scale.thin()));
    canvas.path(edge);
    canvas.occupy(frame.from, frame.to, upper - scale.thin() / 2.0);
}
