//! Runs over which something holds, above a system.

use super::canvas::Canvas;
use super::scale::Scale;
use super::systems::System;
use super::{Sheet, signs};
use crate::ink::{Face, Pt, Text};
use crate::music::tab::Run;

/// The air between two runs, beside each other and one above the other, in distances between tab lines (looks, "Tab":
/// 1 mm where they lie 3.0 apart).
const AIR: f32 = 1.0 / 3.0;

/// How far a word's letters reach beneath its baseline, in parts of its size.
const DESCENT: f32 = 0.22;

/// A row that is free is looked for among so many; what has none stands above all.
const MOST_ROWS: usize = 8;

/// A run as it is drawn.
struct Drawn {
    from: Pt,
    to: Pt,
    /// Whether it ends in this system.
    ends: bool,
    /// Its row above the lowest, where its word would run into the one before.
    level: usize,
}

/// Draws a row's runs as a word and a line with a wedge at its end, all at one height where they have room.
pub(in super::super) fn draw(canvas: &mut Canvas, row: &'static str, word: &str, sheet: &Sheet) {
    let Sheet { score, system, scale } = *sheet;
    let spans = score.riff.runs(row);
    let first = spans.partition_point(|(_, to)| *to <= system.span.start);
    let mut here =
        spans.iter().skip(first).take_while(|(from, _)| *from < system.span.end).peekable();
    if here.peek().is_none() {
        return;
    }
    let text = scale.small(&scale.desk.lang.said(word), Face::SerifItalic);
    let runs = levelled(here.map(|span| drawn(span, system, scale)), &text, scale);
    let after = |run: &Drawn| run.to.max(run.from + text.width);
    let free = runs.iter().map(|run| canvas.free_above(run.from, after(run)));
    let free = free.fold(Pt::ZERO, Pt::min) - scale.small_size() * DESCENT;
    let height = scale.cap_height(scale.small_size());
    let x_height = scale.desk.fonts.measures(Face::SerifItalic, scale.small_size()).x_height;
    let step = height + scale.small_size() * DESCENT + scale.gaps(AIR);
    for run in runs {
        #[allow(clippy::cast_precision_loss)] // A few levels.
        let baseline = free - scale.gaps(AIR) - step * run.level as f32;
        let (begin, y) = (run.from + text.width + scale.gaps(0.3), baseline - x_height / 2.0);
        canvas.text(run.from, baseline, text.clone());
        if begin + scale.gaps(0.7) < run.to {
            canvas.line((begin, y), (run.to, y), scale.thin());
            if run.ends {
                canvas.path(signs::run_end(run.to, y - scale.thin() / 2.0, scale.gap()));
            }
        }
        canvas.occupy(run.from, after(&run), baseline - height);
    }
}

/// Runs, each in the lowest row where it has room.
fn levelled(runs: impl Iterator<Item = Drawn>, text: &Text, scale: &Scale) -> Vec<Drawn> {
    let mut ends: Vec<Pt> = Vec::new();
    let place = |mut run: Drawn| {
        let free = ends.iter().take(MOST_ROWS).position(|end| *end + scale.gaps(AIR) <= run.from);
        run.level = free.unwrap_or(ends.len());
        let end = run.to.max(run.from + text.width);
        match ends.get_mut(run.level) {
            Some(kept) => *kept = end,
            None => ends.push(end),
        }
        run
    };
    runs.map(place).collect()
}

/// From the first note of a span to just before the moment at which it ends, so that the next has air.
fn drawn(span: &Run, system: &System, scale: &Scale) -> Drawn {
    let before = scale.gaps(0.4);
    let from = if span.0 < system.span.start {
        system.left + scale.gaps(0.3)
    } else {
        system.x(span.0) - before
    };
    let to = system.end_before(span.1, before + scale.gaps(AIR)).max(from + scale.gaps(0.5));
    Drawn { from, to, ends: span.1 <= system.span.end, level: 0 }
}
