//! Remarks in frames above a system: what to change before one plays on.

use super::Sheet;
use super::canvas::Canvas;
use super::scale::Scale;
use super::systems::within;
use crate::ink::{Face, Path, Point, Pt, Segment, Stroke, Style, Text};
use crate::music::tones;

/// The room between a frame and its words, and about the frame, in distances between tab lines.
const INSIDE: f32 = 0.4;
const ABOUT: f32 = 0.35;

/// How far letters reach beneath the baseline, in parts of their size.
const DESCENT: f32 = 0.22;

/// A row that is free is looked for among so many; what has none stands above all.
const MOST_ROWS: usize = 8;

/// From baseline to baseline, in parts of the size.
const LEADING: f32 = 1.2;

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
    let tallest = frames.iter().map(|frame| height(frame, scale)).fold(Pt::ZERO, Pt::max);
    let step = tallest + scale.gaps(ABOUT);
    let mut ends: Vec<Pt> = Vec::new();
    for frame in &frames {
        let mut lowest = ends.iter().take(MOST_ROWS);
        let free = lowest.position(|end| *end + scale.gaps(ABOUT) <= frame.from);
        let level = free.unwrap_or(ends.len());
        match ends.get_mut(level) {
            Some(end) => *end = frame.to,
            None => ends.push(frame.to),
        }
        #[allow(clippy::cast_precision_loss)] // A few levels.
        draw_frame(canvas, frame, together - scale.gaps(ABOUT) - step * level as f32, scale);
    }
}

/// How high a frame is.
fn height(frame: &Framed, scale: &Scale) -> Pt {
    let size = scale.small_size();
    #[allow(clippy::cast_precision_loss)] // A few lines.
    let below = size * LEADING * frame.lines.len().saturating_sub(1) as f32 + size * DESCENT;
    below + scale.cap_height(size) + scale.gaps(INSIDE * 1.4)
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
    let leading = size * LEADING;
    let foot = lower - scale.gaps(INSIDE * 0.6) - size * DESCENT;
    let mut baseline = foot;
    for line in frame.lines.iter().rev() {
        canvas.text(frame.from + scale.gaps(INSIDE), baseline, line.clone());
        baseline -= leading;
    }
    let upper = baseline + leading - scale.cap_height(size) - scale.gaps(INSIDE * 0.8);
    let corners = [(frame.from, upper), (frame.to, upper), (frame.to, lower), (frame.from, lower)];
    let mut points = corners.map(|(x, y)| Point::new(x, y)).into_iter();
    let start = points.next().map(Segment::Move);
    let segments =
        start.into_iter().chain(points.map(Segment::Line)).chain([Segment::Close]).collect();
    canvas.path(Path { segments, fill: None, stroke: Some(Stroke::black(scale.thin())) });
    canvas.occupy(frame.from, frame.to, upper - scale.thin() / 2.0);
}
