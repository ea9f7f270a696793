//! The rhythm beneath the staff: stems, beams, flags, dots, rests, ties, triplets.

use super::canvas::Canvas;
use super::rhythm::{Kind, Rhythm, Sign, Tuplet};
use super::scale::Scale;
use super::score::Score;
use super::signs;
use super::systems::{Placed, System, within};
use crate::ink::{Face, Pt};
use crate::theory::Ticks;

/// The heights of the rhythm's parts, counted from the uppermost stave's highest line.
struct Heights {
    /// Where stems begin.
    head: Pt,
    /// Where they end.
    foot: Pt,
    /// The middle of rests.
    middle: Pt,
}

impl Heights {
    /// Stems begin 2.6 mm beneath the staves and are 6.2 mm long where lines lie 3.0 apart (looks, "Tab").
    fn beneath(foot: Pt, scale: &Scale) -> Heights {
        let head = foot + scale.gaps(2.6 / 3.0);
        let foot = head + scale.gaps(6.2 / 3.0);
        Heights { head, foot, middle: (head + foot) / 2.0 }
    }
}

/// How thick a beam is (looks, "Tab": 1.05 mm where lines lie 3.0 apart), and how far the next one lies above
/// it.
const BEAM: f32 = 0.35;
const BEAM_STEP: f32 = 0.6;

/// Draws a system's rhythm.
pub(super) fn draw(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    let heights = Heights::beneath(canvas.foot(), scale);
    let lines = BarsOf { score, system };
    let mut tied_in = system.bars.first().is_some_and(|placed| lines.is_tied_before(placed));
    let mut tie_from = system.left;
    for (placed, start, rhythm) in lines.rhythms() {
        let signs: Vec<(Sign, Pt)> = lines.signs(rhythm, start).collect();
        for (sign, x) in &signs {
            let note = matches!(sign.kind, Kind::Note { .. });
            if note && tied_in {
                draw_tie(canvas, tie_from, *x, &heights, scale);
            }
            tied_in = sign.kind == Kind::Note { tied: true };
            tie_from = *x;
            draw_sign(canvas, sign, *x, placed, &heights, scale);
        }
        for group in signs.chunk_by(|a, b| a.0.beam.is_some() && a.0.beam == b.0.beam) {
            draw_beams(canvas, group, &heights, scale);
        }
        for tuplet in within(&rhythm.tuplets, &system.span, |tuplet| start + tuplet.from) {
            draw_tuplet(canvas, tuplet, &signs, &heights, scale);
        }
    }
    if tied_in {
        draw_tie(canvas, tie_from, system.right, &heights, scale);
    }
    canvas.reach_down(heights.foot);
}

/// The rhythms of a system's bars.
struct BarsOf<'a> {
    score: &'a Score<'a>,
    system: &'a System,
}

impl<'a> BarsOf<'a> {
    /// Each bar once, with its first moment in the riff and its rhythm.
    fn rhythms(&self) -> impl Iterator<Item = (&'a Placed, Ticks, &'a Rhythm)> {
        let (score, bars) = (self.score, &self.system.bars);
        let fresh = bars.iter().enumerate().filter(move |(index, placed)| {
            let before = index.checked_sub(1).and_then(|before| bars.get(before));
            before.is_none_or(|before| before.bar != placed.bar)
        });
        fresh.filter_map(move |(_, placed)| {
            let (bar, ready) = (score.riff.bars.get(placed.bar)?, score.bars.get(placed.bar)?);
            Some((placed, bar.start, &ready.rhythm))
        })
    }

    /// The signs of a bar that lie in the system, with their axes.
    fn signs(&self, rhythm: &'a Rhythm, start: Ticks) -> impl Iterator<Item = (Sign, Pt)> {
        let here = within(&rhythm.signs, &self.system.span, |sign| start + sign.at);
        here.iter().map(move |sign| (*sign, self.system.x(start + sign.at)))
    }

    /// Whether a tie leads into a piece from what is before it.
    fn is_tied_before(&self, placed: &Placed) -> bool {
        let rhythm = |bar: usize| self.score.bars.get(bar).map(|ready| &ready.rhythm);
        let last = if placed.opens {
            placed.bar.checked_sub(1).and_then(rhythm).and_then(|rhythm| rhythm.signs.last())
        } else {
            let start = self.score.riff.bars.get(placed.bar).map_or(Ticks::ZERO, |bar| bar.start);
            let signs = rhythm(placed.bar).map_or(&[][..], |rhythm| &rhythm.signs);
            let next = signs.partition_point(|sign| start + sign.at < self.system.span.start);
            next.checked_sub(1).and_then(|last| signs.get(last))
        };
        last.is_some_and(|sign| sign.kind == Kind::Note { tied: true })
    }
}

fn draw_sign(
    canvas: &mut Canvas,
    sign: &Sign,
    x: Pt,
    placed: &Placed,
    heights: &Heights,
    scale: &Scale,
) {
    let gap = scale.gap();
    let dot_y = match sign.kind {
        Kind::WholeBarRest => {
            let middle = (placed.left + placed.right) / 2.0;
            for path in signs::rest(0, middle, heights.middle, gap) {
                canvas.path(path);
            }
            return;
        }
        Kind::Rest => {
            for path in signs::rest(sign.value.halvings, x, heights.middle, gap) {
                canvas.path(path);
            }
            heights.middle - scale.gaps(0.3)
        }
        Kind::Note { .. } => {
            draw_note(canvas, sign, x, heights, scale);
            heights.head + scale.gaps(0.25)
        }
    };
    if sign.value.dotted {
        let beside = match sign.value.halvings {
            0 => 0.8,
            1 => 1.24,
            _ => 0.4,
        };
        canvas.path(signs::dot(x + scale.gaps(beside), dot_y, gap));
    }
}

/// A note: a stem, with a hollow head above it for a half, the head alone for a whole.
fn draw_note(canvas: &mut Canvas, sign: &Sign, x: Pt, heights: &Heights, scale: &Scale) {
    let head = heights.head + scale.gaps(0.25);
    let hollow = sign.value.halvings < 2;
    if hollow {
        // A stem leaves its head at the side.
        let beside = if sign.value.halvings == 0 { 0.0 } else { signs::HALF_HEAD };
        canvas.path(signs::hollow_head(x + scale.gaps(beside), head, scale.gap()));
    }
    if sign.value.halvings == 0 {
        return;
    }
    let from = if hollow { head } else { heights.head };
    canvas.line((x, from), (x, heights.foot), scale.firm());
    if sign.beam.is_some() {
        return;
    }
    for flag in 0..sign.value.flags() {
        let y = heights.foot - scale.gaps(0.55 * f32::from(flag));
        canvas.path(signs::flag(x, y, scale.gap()));
    }
}

/// The beams of a group: one over all, further ones over the shorter notes, a stub for a lone one.
fn draw_beams(canvas: &mut Canvas, group: &[(Sign, Pt)], heights: &Heights, scale: &Scale) {
    let most = group.iter().map(|(sign, _)| sign.value.flags()).max().unwrap_or(0);
    let Some(first) = group.first() else { return };
    if first.0.beam.is_none() || group.len() < 2 {
        return;
    }
    let half = scale.firm() / 2.0;
    for level in 0..most {
        let upper = heights.foot - scale.gaps(BEAM + BEAM_STEP * f32::from(level));
        for run in group.chunk_by(|a, b| a.0.value.flags() > level && b.0.value.flags() > level) {
            let (Some(left), Some(right)) = (run.first(), run.last()) else { continue };
            if left.0.value.flags() <= level {
                continue;
            }
            let (from, to) = match run.len() {
                1 if left.1 == first.1 => (left.1, left.1 + stub(group, left.1, scale)),
                1 => (left.1 - stub(group, left.1, scale), left.1),
                _ => (left.1, right.1),
            };
            canvas.path(signs::beam(from - half, to + half, upper, scale.gaps(BEAM)));
        }
    }
}

/// The length of a beam's stub: less than half the way to the neighbour.
fn stub(group: &[(Sign, Pt)], x: Pt, scale: &Scale) -> Pt {
    let nearest = group.iter().map(|(_, other)| (*other - x).abs()).filter(|far| *far > Pt::ZERO);
    nearest.fold(scale.gaps(0.9), |stub, far| stub.min(far * 0.45))
}

fn draw_tie(canvas: &mut Canvas, from: Pt, to: Pt, heights: &Heights, scale: &Scale) {
    let foot = heights.head - scale.gaps(0.15);
    let air = scale.gaps(0.22);
    let rise = scale.gaps(0.34);
    canvas.path(signs::slur((from + air, foot), (to - air, foot), rise, scale.gaps(0.13)));
}

/// A triplet's number beneath its notes, with a bracket where no beam holds them together.
fn draw_tuplet(
    canvas: &mut Canvas,
    tuplet: &Tuplet,
    signs: &[(Sign, Pt)],
    heights: &Heights,
    scale: &Scale,
) {
    let inner = |(sign, _): &&(Sign, Pt)| (tuplet.from..tuplet.to).contains(&sign.at);
    let notes: Vec<&(Sign, Pt)> = signs.iter().filter(inner).collect();
    let (Some((first, left)), Some((last, right))) = (notes.first(), notes.last()) else { return };
    let beamed = first.beam.is_some() && notes.iter().all(|(sign, _)| sign.beam == first.beam);
    let whole = first.at == tuplet.from && last.at + last.length == tuplet.to;
    let number = scale.small(&tuplet.number.to_string(), Face::SerifBoldItalic);
    let size = scale.small_size();
    let line = heights.foot + scale.gaps(0.3) + scale.cap_height(size) / 2.0;
    let middle = (*left + *right) / 2.0;
    let half = number.width / 2.0 + scale.gaps(0.2);
    if !(beamed && whole) {
        let (from, to) = (*left - scale.gaps(0.4), *right + scale.gaps(0.4));
        let tip = line - scale.gaps(0.35);
        canvas.line((from, tip), (from, line), scale.firm());
        canvas.line((from, line), ((middle - half).max(from), line), scale.firm());
        canvas.line(((middle + half).min(to), line), (to, line), scale.firm());
        canvas.line((to, line), (to, tip), scale.firm());
    }
    canvas.text_centred(middle, line + scale.cap_height(size) / 2.0, number);
    canvas.reach_down(line + scale.cap_height(size) / 2.0);
}
