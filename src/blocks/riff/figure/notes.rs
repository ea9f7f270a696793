//! What stands on the lines: fret numbers, harmonics, slurs, slides, bends.

use super::canvas::Canvas;
use super::scale::{Scale, Weight};
use super::signs::{self, Way};
use super::systems::{System, within};
use super::tab_lines::Gaps;
use super::tones::{BarTones, Link, LinkKind, Mark, MarkFace, POINTED_BRACKET, Spot, Tones};
use crate::ink::{Face, Pt};
use crate::music::tab::Slide;
use crate::theory::Ticks;
use crate::words::paper::tab;

/// How high above the highest line a bend's arrow ends, in distances between tab lines.
const BEND_HEIGHT: f32 = 1.35;

/// How long the stub of a slide from or to nowhere is, and the air between it and its note, in the
/// same: so short that it doesn't seem to lead to the next note (see [`SLIDE_ROOM`](super::score)).
pub(super) const STUB: f32 = 0.6;
const STUB_AIR: f32 = 0.15;

/// A letter that waits for a place above the staff: H, P, T.
pub(super) struct Letter {
    pub x: Pt,
    pub letter: &'static str,
}

/// Draws a system's marks and links. Returns the letters of its hammer-ons, pull-offs and taps.
pub(super) fn draw(
    canvas: &mut Canvas,
    gaps: &mut Gaps,
    tones: &Tones,
    system: &System,
    scale: &Scale,
) -> Vec<Letter> {
    let mut letters = Vec::new();
    for bar in system.whole_bars() {
        let Some(here) = tones.bars.get(bar) else { continue };
        for mark in within(&here.marks, &system.span, |mark| mark.spot.tick) {
            draw_mark(canvas, gaps, mark, system, scale);
        }
        let link = |index: &usize| tones.links.get(*index);
        let begins = |index: &usize| link(index).map_or(Ticks::ZERO, |link| link.from.tick);
        let ends = |index: &usize| link(index).map_or(Ticks::ZERO, |link| link.to.tick);
        let departs = within(&here.departs, &system.span, begins).iter();
        let arrives = within(&here.arrives, &system.span, ends).iter();
        let arrives = arrives.filter(|index| !system.holds(begins(index)));
        for link in departs.chain(arrives).filter_map(link) {
            letters.extend(draw_link(canvas, link, system, scale));
        }
        let taps = within(&here.taps, &system.span, |spot| spot.tick).iter();
        let tap = |spot: &Spot| Letter { x: system.x(spot.tick) + spot.shift, letter: "T" };
        letters.extend(taps.map(tap));
    }
    // Strings that do the same at once share a letter.
    letters.sort_by(|a, b| a.x.0.total_cmp(&b.x.0));
    letters.dedup_by(|a, b| a.letter == b.letter && (a.x - b.x).abs() < scale.gaps(0.1));
    letters
}

fn draw_mark(canvas: &mut Canvas, gaps: &mut Gaps, mark: &Mark, system: &System, scale: &Scale) {
    let (x, y) = (system.x(mark.spot.tick) + mark.spot.shift, scale.line_of(mark.string));
    let half = mark.spot.half;
    let baseline = y + scale.half_cap(mark.size);
    match &mark.face {
        MarkFace::Plain(text) => canvas.text_centred(x, baseline, text.clone()),
        MarkFace::Harmonic(text) => {
            let reach = mark.size * (POINTED_BRACKET - 0.1);
            let inner = text.width / 2.0 + mark.size * 0.06;
            let height = scale.cap_height(mark.size);
            canvas.path(signs::pointed_bracket(x - inner, y, reach, height));
            canvas.path(signs::pointed_bracket(x + inner, y, -reach, height));
            canvas.text_centred(x, baseline, text.clone());
        }
    }
    let air = scale.gaps(0.12);
    gaps.knock_out(mark.string, x - half - air, x + half + air);
    let rise = |slide: Slide| scale.gaps(if slide == Slide::Up { 0.33 } else { -0.33 });
    let stub = (scale.gaps(STUB_AIR), scale.gaps(STUB_AIR + STUB));
    if let Some(slide) = mark.slide_in {
        let (from, to) = (x - half - stub.1, x - half - stub.0);
        canvas.line((from, y + rise(slide)), (to, y - rise(slide)), scale.firm());
    }
    if let Some(slide) = mark.slide_out {
        let (from, to) = (x + half + stub.0, x + half + stub.1);
        canvas.line((from, y + rise(slide)), (to, y - rise(slide)), scale.firm());
    }
}

/// Draws a link; of one that comes from or leads into another system, the half that is here.
/// Returns its letter, if it has one.
fn draw_link(canvas: &mut Canvas, link: &Link, system: &System, scale: &Scale) -> Option<Letter> {
    let place = |spot: Spot| system.holds(spot.tick).then(|| system.x(spot.tick) + spot.shift);
    let from = place(link.from).map_or(system.left, |x| x + link.from.half);
    let arrival = place(link.to);
    let open_end = system.right - scale.gaps(0.3);
    let to = arrival.map_or(open_end, |x| x - link.to.half);
    let axis = arrival.unwrap_or(open_end);
    let y = scale.line_of(link.string);
    match link.kind {
        LinkKind::Slur(letter) => {
            draw_slur(canvas, from, to, y, scale);
            return letter.map(|letter| Letter { x: (from + to) / 2.0, letter });
        }
        LinkKind::Slide(slide) => {
            let rise = scale.gaps(if slide == Slide::Up { 0.33 } else { -0.33 });
            let air = scale.gaps(0.15);
            canvas.line((from + air, y + rise), (to - air, y - rise), scale.firm());
        }
        LinkKind::Bend { from: level, to: target } => {
            let from = if level == 0 {
                (from + scale.gaps(0.12), y)
            } else {
                (from, -scale.gaps(BEND_HEIGHT - 0.2))
            };
            let clear = scale.cap_height(scale.fret_size(Weight::Grace)) / 2.0 + scale.gaps(0.15);
            let lowest = if target == 0 { y - clear } else { -scale.gaps(0.25) };
            let (way, tip) = if target < level {
                (Way::Down, lowest)
            } else {
                (Way::Up, -scale.gaps(BEND_HEIGHT))
            };
            draw_arrow(canvas, from, (axis, tip), way, arrival.is_some(), scale);
            // Where a release leaves some of the bend, its size is what remains.
            if (way == Way::Up || target > 0) && arrival.is_some() {
                draw_bend_size(canvas, axis, target, scale);
            }
        }
        LinkKind::PreBend(target) => {
            let tip = -scale.gaps(BEND_HEIGHT);
            draw_arrow(canvas, (axis, y), (axis, tip), Way::Up, true, scale);
            draw_bend_size(canvas, axis, target, scale);
        }
    }
    None
}

/// A slur over the string's line.
fn draw_slur(canvas: &mut Canvas, from: Pt, to: Pt, y: Pt, scale: &Scale) {
    let foot = y - scale.gaps(0.3);
    let rise = scale.gaps(0.28).min((to - from) * 0.4 + scale.gaps(0.1));
    canvas.path(signs::slur((from, foot), (to, foot), rise, scale.gaps(0.13)));
    if y <= Pt::ZERO {
        canvas.occupy(from, to, foot - rise);
    }
}

/// A letter above the staff, where there is room.
pub(super) fn draw_letter(canvas: &mut Canvas, letter: &Letter, scale: &Scale) {
    let text = scale.small(letter.letter, Face::Sans);
    let (left, right) = (letter.x - text.width / 2.0, letter.x + text.width / 2.0);
    let air = scale.gaps(0.12);
    let lowest = -scale.gaps(0.62);
    let baseline = (canvas.free_above(left - air, right + air) - scale.gaps(0.22)).min(lowest);
    canvas.text(left, baseline, text);
    canvas.occupy(left - air, right + air, baseline - scale.cap_height(scale.small_size()));
}

/// The arrow of a bend or a release; without its head where it leads into the next system.
fn draw_arrow(
    canvas: &mut Canvas,
    from: (Pt, Pt),
    tip: (Pt, Pt),
    way: Way,
    ends_here: bool,
    scale: &Scale,
) {
    let neck = scale.gaps(if way == Way::Up { 0.4 } else { -0.4 });
    canvas.path(signs::bend(from, (tip.0, tip.1 + neck), scale.firm()));
    if ends_here {
        canvas.path(signs::arrow_head(tip.0, tip.1, scale.gap(), way));
    }
    let upper = from.1.min(tip.1);
    canvas.occupy(from.0, tip.0 + scale.gaps(0.3), upper.min(Pt::ZERO));
}

fn draw_bend_size(canvas: &mut Canvas, x: Pt, quarters: i32, scale: &Scale) {
    let text = scale.small(&bend_size(quarters), Face::Sans);
    let half = text.width / 2.0 + scale.gaps(0.15);
    let baseline = canvas.free_above(x - half, x + half) - scale.gaps(0.22);
    canvas.text_centred(x, baseline, text);
    canvas.occupy(x - half, x + half, baseline - scale.cap_height(scale.small_size()));
}

/// How far a bend goes, in whole steps: ¼, ½, full, 1½, 2 …
fn bend_size(quarters: i32) -> String {
    let whole = quarters / 4;
    let part = ["", "¼", "½", "¾"].get(usize::try_from(quarters % 4).unwrap_or(0)).unwrap_or(&"");
    match (whole, quarters % 4) {
        (0, _) => (*part).to_owned(),
        (1, 0) => tab::FULL_BEND.to_owned(),
        _ => format!("{whole}{part}"),
    }
}

/// Draws the waves of vibrato above the staff.
pub(super) fn draw_vibrato<'a>(
    canvas: &mut Canvas,
    tones: &'a Tones,
    system: &System,
    scale: &Scale,
) {
    let bars = system.whole_bars().filter_map(|bar| tones.bars.get(bar));
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
