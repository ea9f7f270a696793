//! What stands on the lines: fret numbers, harmonics, slurs, slides, bends.

use super::canvas::Canvas;
use super::letters::Letter;
use super::scale::{Scale, Weight};
use super::signs::{self, Way};
use super::systems::{System, within};
use super::tab_lines::Gaps;
use super::tones::{BarTones, Link, LinkKind, Mark, MarkFace, POINTED_BRACKET, Spot, Tones};
use crate::ink::{Pt, Text};
use crate::music::tab::Slide;
use crate::neck::StringIndex;
use crate::theory::Ticks;
use crate::words::paper::tab;

/// Between a harmonic's fret and its pointed brackets, in parts of the fret's size.
pub(super) const POINTED_AIR: f32 = 0.08;

/// How high a fraction stands above the baseline in parts of its size.
const FRACTIONS: f32 = 0.85;

/// How high above the highest line a bend's arrow ends, in distances between tab lines.
const BEND_HEIGHT: f32 = 1.55;

/// How much higher the arrow of a bend ends that goes on from another, in the same.
const BEND_FURTHER: f32 = 0.75;

/// How long the stub of a slide from or to nowhere is, and the air between it and its note, in the
/// same: so short that it doesn't seem to lead to the next note (see [`SLIDE_ROOM`](super::score)).
pub(super) const STUB: f32 = 0.6;
const STUB_AIR: f32 = 0.19;

/// How high above its string's line a slur begins, how far it rises, how thick it is in its middle, and how wide it is
/// at least, in the same (looks, "Tab": 1.7 mm and 2.4 mm where lines lie 3.0 apart; 1.5 here, so that it is as far from a
/// fret on the next string as from its own).
pub(super) const SLUR_FOOT: f32 = 0.5;
const SLUR_RISE: f32 = 0.26;
const SLUR_THICK: f32 = 0.13;
const SLUR_LEAST: f32 = 0.8;

/// How high a slur begins beside its frets where the next string has one over their middles, and how far it rises where
/// that string has one between them too, in the same.
pub(super) const TUCKED_FOOT: f32 = 0.3;
const FLAT_RISE: f32 = 0.16;

/// How far a slur's ends stand apart from the middles of what it joins, so that two that meet don't touch, and from the
/// sides of the frets between which it stands.
const SLUR_INSET: f32 = 0.07;
const TUCKED_INSET: f32 = 0.13;

/// Draws a system's marks and links. Returns the letters of its hammer-ons, pull-offs and taps.
pub(super) fn draw(
    canvas: &mut Canvas,
    gaps: &mut Gaps,
    tones: &Tones,
    system: &System,
    scale: &Scale,
) -> Vec<Letter> {
    let mut letters = Vec::new();
    let bars = || system.whole_bars().filter_map(|bar| tones.bars.get(bar));
    for here in bars() {
        for mark in within(&here.marks, &system.span, |mark| mark.spot.tick) {
            draw_mark(canvas, gaps, mark, system, scale);
        }
    }
    gaps.sort();
    for here in bars() {
        let link = |index: &usize| tones.links.get(*index);
        let begins = |index: &usize| link(index).map_or(Ticks::ZERO, |link| link.from.tick);
        let ends = |index: &usize| link(index).map_or(Ticks::ZERO, |link| link.to.tick);
        let departs = within(&here.departs, &system.span, begins).iter();
        let arrives = within(&here.arrives, &system.span, ends).iter();
        let arrives = arrives.filter(|index| !system.holds(begins(index)));
        for link in departs.chain(arrives).filter_map(link) {
            letters.extend(draw_link(canvas, gaps, link, system, scale));
        }
        let taps = within(&here.taps, &system.span, |(_, spot)| spot.tick).iter();
        let tap = |(string, spot): &(StringIndex, Spot)| Letter {
            x: system.x(spot.tick) + spot.shift,
            letter: tab::TAP,
            string: *string,
            between: false,
        };
        letters.extend(taps.map(tap));
    }
    letters
}

fn draw_mark(canvas: &mut Canvas, gaps: &mut Gaps, mark: &Mark, system: &System, scale: &Scale) {
    let (x, y) = (system.x(mark.spot.tick) + mark.spot.shift, scale.line_of(mark.string));
    let half = mark.spot.half;
    let baseline = y + scale.half_cap(mark.size);
    let sounding = |text: &Text| text.clone().sounding(mark.spot.tick.0);
    match &mark.face {
        MarkFace::Plain(text) => canvas.text_centred(x, baseline, sounding(text)),
        MarkFace::Harmonic(text) => {
            let reach = mark.size * (POINTED_BRACKET - 0.1);
            let inner = text.width / 2.0 + mark.size * POINTED_AIR;
            let height = scale.cap_height(mark.size);
            canvas.path(signs::pointed_bracket(x - inner, y, reach, height));
            canvas.path(signs::pointed_bracket(x + inner, y, -reach, height));
            canvas.text_centred(x, baseline, sounding(text));
        }
    }
    let air = scale.gaps(0.12);
    gaps.knock_out(mark.string, x - half - air, x + half + air);
    let rise = |slide: Slide| scale.gaps(if slide == Slide::Up { 0.33 } else { -0.33 });
    let stub = (scale.gaps(STUB_AIR), scale.gaps(STUB_AIR + STUB));
    if mark.slide_in.is_some() {
        gaps.leave_out(mark.string, x - half - stub.1 - air, x);
    }
    if mark.slide_out.is_some() {
        gaps.leave_out(mark.string, x, x + half + stub.1 + air);
    }
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
fn draw_link(
    canvas: &mut Canvas,
    gaps: &mut Gaps,
    link: &Link,
    system: &System,
    scale: &Scale,
) -> Option<Letter> {
    let place = |spot: Spot| system.holds(spot.tick).then(|| system.x(spot.tick) + spot.shift);
    let departure = place(link.from);
    let from = departure.map_or(system.left, |x| x + link.from.half);
    let arrival = place(link.to);
    let open_end = system.right - scale.gaps(0.3);
    let to = arrival.map_or(open_end, |x| x - link.to.half);
    let axis = arrival.unwrap_or(open_end);
    let y = scale.line_of(link.string);
    match link.kind {
        LinkKind::Slur(letter) => {
            let ends = (departure.unwrap_or(system.left), arrival.unwrap_or(system.right));
            let string = link.string;
            let x = draw_slur(canvas, gaps, string, ends, (from, to), scale);
            return letter.map(|letter| Letter { x, letter, string, between: true });
        }
        LinkKind::Slide(slide) => {
            let rise = scale.gaps(if slide == Slide::Up { 0.33 } else { -0.33 });
            let air = scale.gaps(STUB_AIR);
            canvas.line((from + air, y + rise), (to - air, y - rise), scale.firm());
            gaps.leave_out(link.string, from, to);
            gaps.stand_over(link.string, from, to);
        }
        LinkKind::Bend { from: level, to: target, went_on } => {
            let from = if level == 0 {
                (from + scale.gaps(0.12), y)
            } else {
                let further = if went_on { BEND_FURTHER } else { 0.0 };
                (from, -scale.gaps(BEND_HEIGHT + further - 0.2))
            };
            let clear = scale.cap_height(scale.fret_size(Weight::Grace)) / 2.0 + scale.gaps(0.15);
            let lowest = if target == 0 { y - clear } else { -scale.gaps(0.25) };
            let further = if level > 0 { BEND_FURTHER } else { 0.0 };
            let (way, tip) = if target < level {
                (Way::Down, lowest)
            } else {
                (Way::Up, -scale.gaps(BEND_HEIGHT + further))
            };
            gaps.cross_above(link.string, from.0, axis + scale.gaps(0.3));
            draw_arrow(canvas, from, (axis, tip), way, arrival.is_some(), scale);
            // Where a release leaves some of the bend, its size is what remains.
            if (way == Way::Up || target > 0) && arrival.is_some() {
                draw_bend_size(canvas, axis, target, scale);
            }
        }
        LinkKind::PreBend(target) => {
            let tip = -scale.gaps(BEND_HEIGHT);
            gaps.cross_above(link.string, axis - scale.gaps(0.3), axis + scale.gaps(0.3));
            draw_arrow(canvas, (axis, y), (axis, tip), Way::Up, true, scale);
            draw_bend_size(canvas, axis, target, scale);
        }
    }
    None
}

/// A slur over the string's line, from the middle of one thing to that of another; where the next string has a fret over
/// it, between the two. Returns its middle.
fn draw_slur(
    canvas: &mut Canvas,
    gaps: &mut Gaps,
    string: StringIndex,
    (from, to): (Pt, Pt),
    inner: (Pt, Pt),
    scale: &Scale,
) -> Pt {
    let (y, above) = (scale.line_of(string), string.index() + 1);
    let near = scale.gaps(0.3);
    let between = gaps.has_mark(above, inner);
    let tucked = between
        || gaps.has_mark(above, (from - near, from + near))
        || gaps.has_mark(above, (to - near, to + near));
    let ((from, to), foot, inset) = match tucked {
        true => (inner, TUCKED_FOOT, TUCKED_INSET),
        false => ((from, to), SLUR_FOOT, SLUR_INSET),
    };
    let short = ((scale.gaps(SLUR_LEAST) - (to - from)) / 2.0).max(-scale.gaps(inset));
    let (from, to, foot) = (from - short, to + short, y - scale.gaps(foot));
    let rise = scale.gaps(if between { FLAT_RISE } else { SLUR_RISE });
    canvas.path(signs::slur((from, foot), (to, foot), rise, scale.gaps(SLUR_THICK)));
    gaps.stand_over(string, from, to);
    if y <= Pt::ZERO {
        canvas.occupy(from, to, foot - rise);
    }
    (from + to) / 2.0
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
    canvas.path(signs::bend(from, tip, scale.firm()));
    if ends_here {
        canvas.path(signs::arrow_head(tip.0, tip.1, scale.gap(), way));
    }
    let upper = from.1.min(tip.1);
    canvas.occupy(from.0, tip.0 + scale.gaps(0.3), upper.min(Pt::ZERO));
}

fn draw_bend_size(canvas: &mut Canvas, x: Pt, quarters: i32, scale: &Scale) {
    let text = scale.bent(quarters);
    let half = text.width / 2.0 + scale.gaps(0.15);
    let baseline = canvas.free_above(x - half, x + half) - scale.gaps(0.28);
    canvas.text_centred(x, baseline, text);
    canvas.occupy(x - half, x + half, baseline - scale.small_size() * FRACTIONS);
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
