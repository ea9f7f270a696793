//! Runs over which something holds, above a system.

use super::Sheet;
use super::canvas::Canvas;
use super::scale::Scale;
use super::systems::System;
use crate::ink::{Face, Pt};
use crate::music::tab::Run;

/// Draws a row's runs as a word and a dashed line with a hook at its end, all at one height.
pub(in super::super) fn draw(canvas: &mut Canvas, row: &'static str, word: &str, sheet: &Sheet) {
    let Sheet { score, system, scale } = *sheet;
    let spans = score.riff.runs(row);
    let first = spans.partition_point(|(_, to)| *to <= system.span.start);
    let here = spans.iter().skip(first).take_while(|(from, _)| *from < system.span.end);
    let ends: Vec<(Pt, Pt)> = here.map(|span| span_ends(span, system, scale)).collect();
    let free = ends.iter().map(|(from, to)| canvas.free_above(*from, *to));
    let free = free.fold(Pt::ZERO, Pt::min);
    let height = scale.cap_height(scale.small_size());
    let baseline = free - scale.gaps(0.3);
    let line = baseline - height / 2.0;
    for (from, to) in ends {
        let text = scale.small(word, Face::SerifItalic);
        let after = from + text.width + scale.gaps(0.35);
        canvas.text(from, baseline, text);
        if after + scale.gaps(0.5) < to {
            canvas.dashes((after, line), (to, line), scale.fine(), scale.gaps(0.4));
            canvas.line((to, line - height / 2.0), (to, line + height / 2.0), scale.fine());
        }
        canvas.occupy(from, to.max(after), baseline - height - scale.gaps(0.1));
    }
}

/// From the first note of a span to just before the moment at which it ends.
fn span_ends(span: &Run, system: &System, scale: &Scale) -> (Pt, Pt) {
    let from = if span.0 < system.span.start {
        system.left + scale.gaps(0.3)
    } else {
        system.x(span.0) - scale.gaps(0.4)
    };
    (from, system.end_before(span.1, scale.gaps(0.5)).max(from + scale.gaps(0.5)))
}
