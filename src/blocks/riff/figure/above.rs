//! What stands above the staff: letters of techniques, accents, vibrato, spans of muting and
//! ringing, chord symbols, endings, bar numbers.

use super::canvas::Canvas;
use super::notes::{self, Letter};
use super::rows::LabelFace;
use super::scale::{Scale, Weight};
use super::score::Score;
use super::signs;
use super::spacing::Lane;
use super::strokes;
use super::systems::{System, within};
use super::tones::BarTones;
use crate::ink::{Face, Pt, Text};
use crate::theory::Ticks;

/// Draws everything above a system's staff, the nearest to it first.
pub(super) fn draw(
    canvas: &mut Canvas,
    letters: &[Letter],
    score: &Score,
    system: &System,
    scale: &Scale,
) {
    let highest_figures = -scale.cap_height(scale.fret_size(Weight::Full)) / 2.0;
    canvas.occupy(system.left, system.right, highest_figures);
    letters.iter().for_each(|letter| notes::draw_letter(canvas, letter, scale));
    draw_vibrato(canvas, score, system, scale);
    draw_accents(canvas, score, system, scale);
    draw_spans(canvas, score.riff.runs("mute"), "P.M.", system, scale);
    draw_spans(canvas, score.riff.runs("ring"), "let ring", system, scale);
    draw_number(canvas, score, system, scale);
    draw_times(canvas, score, system, scale);
    draw_symbols(canvas, score, system, scale);
    draw_endings(canvas, score, system, scale);
}

/// Draws everything above the lane of a strumming pattern, the nearest to it first.
pub(super) fn draw_over_lane(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    draw_accents(canvas, score, system, scale);
    draw_spans(canvas, score.riff.runs("mute"), "P.M.", system, scale);
    draw_spans(canvas, score.riff.runs("ring"), "let ring", system, scale);
    draw_number(canvas, score, system, scale);
    draw_times(canvas, score, system, scale);
    strokes::draw_chords(canvas, score, system, scale);
    draw_endings(canvas, score, system, scale);
}

fn draw_vibrato<'a>(canvas: &mut Canvas, score: &'a Score, system: &System, scale: &Scale) {
    let bars = system.whole_bars().filter_map(|bar| score.tones.bars.get(bar));
    let mut drawn_to = Pt(f32::NEG_INFINITY);
    let here = |tones: &'a BarTones| within(&tones.vibrato, &system.span, |(spot, _)| spot.tick);
    for (spot, until) in bars.flat_map(here) {
        let from = system.x(spot.tick) + spot.shift.min(Pt::ZERO) - spot.half.min(scale.gaps(0.4));
        if from < drawn_to {
            continue;
        }
        let to = system.end_before(*until, scale.gaps(0.95)).max(from + scale.gaps(1.6));
        let y = canvas.free_above(from, to) - scale.gaps(0.55);
        canvas.path(signs::wave(from, to, y, scale.gap()));
        canvas.occupy(from, to, y - scale.gaps(0.3));
        drawn_to = to;
    }
}

fn draw_accents(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    for bar in system.whole_bars().filter_map(|bar| score.riff.bars.get(bar)) {
        let here = within(&bar.events, &system.span, |event| bar.start + event.at);
        for event in here.iter().filter(|event| event.signs.contains_key("accent")) {
            let x = system.x(bar.start + event.at);
            let half = scale.gaps(0.55);
            let y = canvas.free_above(x - half, x + half) - scale.gaps(0.55);
            canvas.path(signs::accent(x, y, scale.gap()));
            canvas.occupy(x - half, x + half, y - scale.gaps(0.4));
        }
    }
}

/// Draws spans as a word and a dashed line with a hook at its end, all at one height.
fn draw_spans(
    canvas: &mut Canvas,
    spans: &[(Ticks, Ticks)],
    word: &str,
    system: &System,
    scale: &Scale,
) {
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
fn span_ends(span: &(Ticks, Ticks), system: &System, scale: &Scale) -> (Pt, Pt) {
    let from = if span.0 < system.span.start {
        system.left + scale.gaps(0.3)
    } else {
        system.x(span.0) - scale.gaps(0.4)
    };
    (from, system.end_before(span.1, scale.gaps(0.5)).max(from + scale.gaps(0.5)))
}

/// The number of a system's first bar, over the strings' letters.
fn draw_number(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    let first = system.bars.first().filter(|placed| placed.opens && placed.bar > 0);
    let Some(bar) = first.and_then(|placed| score.riff.bars.get(placed.bar)) else { return };
    let text = scale.small(&bar.number.to_string(), Face::Sans);
    let baseline = -scale.gaps(0.85);
    let width = text.width;
    canvas.text(Pt::ZERO, baseline, text);
    let upper = baseline - scale.cap_height(scale.small_size());
    canvas.occupy(Pt::ZERO, width + scale.gaps(0.2), upper);
}

/// How often a repeat is played, where it is more than twice.
fn draw_times(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    for placed in system.bars.iter().filter(|placed| placed.closes) {
        let times = score.riff.bars.get(placed.bar).and_then(|bar| bar.repeat_end);
        let Some(times) = times.filter(|times| *times > 2) else { continue };
        let text = scale.small(&format!("×{times}"), Face::SansBold);
        let (from, to) = (placed.right - text.width, placed.right);
        let baseline = canvas.free_above(from, to) - scale.gaps(0.25);
        canvas.text(from, baseline, text);
        canvas.occupy(from, to, baseline - scale.cap_height(scale.small_size()));
    }
}

/// Chord symbols, all on one line.
fn draw_symbols(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    let bars = system.whole_bars().filter_map(|bar| score.bars.get(bar));
    let labels = bars.flat_map(|bar| within(&bar.labels, &system.span, |label| label.tick));
    let placed = labels.filter(|label| label.lane == Lane::Symbol).filter_map(|label| {
        let LabelFace::Lines(lines) = &label.face else { return None };
        let from = system.x(label.tick) - label.reach.left;
        Some((from, from + label.reach.left + label.reach.right, lines.first()?))
    });
    let symbols: Vec<(Pt, Pt, &Text)> = placed.collect();
    let free = symbols.iter().map(|(from, to, _)| canvas.free_above(*from, *to));
    // Descenders of brackets and slashes reach a fifth of the size below the baseline.
    let size = scale.desk.look.symbol_size;
    let baseline = free.fold(Pt::ZERO, Pt::min) - size * 0.2 - scale.gaps(0.25);
    for (from, to, text) in symbols {
        canvas.text(from, baseline, text.clone());
        // Raised runs stand a little above the capitals.
        canvas.occupy(from, to, baseline - size * 0.86);
    }
}

/// Brackets over endings, all on one line.
fn draw_endings(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
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
            canvas.text(from + scale.gaps(0.4), baseline, scale.small(&number, Face::SansBold));
        }
        if last.closes && ending(last.bar + 1) != ending(last.bar) {
            canvas.line((to, top), (to, top + height), scale.firm());
        }
        canvas.occupy(from, to, top);
    }
}
