//! Cutting the galley into pages so that all pages together are as good as they can be: the best last page
//! for every number of slips, from the first on, so that no page is filled at the next one's cost (Knuth and
//! Plass 1981 break paragraphs so).
//!
//! A cost is told in holes at a page's foot: a hole of a share h of the page costs 8 h + 50 h², a gaping one 5 more. These, and
//! what other ends cost ([`super::galley`]), are assumed, to be measured; what they are to bring is looks, "Page":
//! pages end full, and no heading or cue stands alone at a foot. Where a page holds a slip more when its figures and
//! headings keep a little less space, they do: each page closes by itself, and only as much as it must. Where pages face
//! each other, which is known by whether they are odd or even, a slip may cost more behind a page that is turned.

use super::galley::{Galley, PARTED_SHORT, Slip};
use crate::ink::Pt;
use std::ops::Range;

/// What a hole costs for its share of a page, and for its share squared. In proportion, so that where a
/// hole can't be helped little is gained by sharing it out over the pages before it; squared, so that
/// no page is left half empty for the others' sake.
const HOLE: f32 = 8.0;
const HOLE_SQUARED: f32 = 50.0;
/// A hole of more than this share of a page reads as an end, and costs so much more: a page is better parted at a
/// less happy place.
const GAPING: f32 = 0.3;
const GAPING_COST: f32 = 5.0;
/// What it costs by the share of a page that such a hole is larger, where what follows would have had room in it:
/// no high figure excuses it.
const IDLE: f32 = 80.0;

/// How much of its space a figure or a heading keeps at least where a page's spaces are closed (looks, "Page").
pub const CLOSED: f32 = 0.7;
/// What it costs to close a page's spaces as far as they may: as much as a hole of a seventh of it.
const CLOSING: f32 = 1.9;

/// What it costs to leave a last page nearly empty: as much as to end two pages before it half empty; and more by the
/// share of a page that it lacks.
const SPARSE_END: f32 = 40.0;
const SPARSER: f32 = 100.0;
/// A last page is nearly empty when less than a third of it is filled (looks, "Page"), and a little more, since a slip
/// reaches further down than what is drawn in it.
const SPARSE: f32 = 0.345;

/// How a galley is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// The slips of each page, in order.
    pub pages: Vec<Range<usize>>,
    /// How much of their space figures and headings keep on each.
    pub kept: Vec<f32>,
}

/// The best way to print so many slips.
#[derive(Debug, Clone, Copy)]
struct Best {
    /// What it costs.
    cost: f64,
    /// Where its last page begins.
    start: usize,
    /// How much of their space figures keep on that page.
    kept: f32,
}

impl Best {
    /// Where no way is known.
    const NONE: Best = Best { cost: f64::INFINITY, start: 0, kept: 1.0 };
}

/// Cuts a galley into pages of a height. What is higher than a page stands on one alone.
pub fn cut(galley: &Galley, height: Pt) -> Cut {
    let count = galley.slips.len();
    // For each number of slips, the least cost of printing so many on an even number of pages and on an odd one, and
    // the last of these pages.
    let mut best = vec![Best { cost: 0.0, ..Best::NONE }, Best::NONE];
    for end in 1..=count {
        let found = last_page(galley, height, &best, end);
        best.extend(found);
    }
    let cost = |odd: usize| best.get(count * 2 + odd).map_or(f64::INFINITY, |best| best.cost);
    let mut odd = usize::from(cost(1) <= cost(0));
    let mut cut = Cut { pages: Vec::new(), kept: Vec::new() };
    let mut end = count;
    while end > 0 {
        let Some(Best { start, kept, .. }) = best.get(end * 2 + odd) else { break };
        let start = (*start).min(end - 1);
        cut.pages.push(start..end);
        cut.kept.push(*kept);
        (end, odd) = (start, 1 - odd);
    }
    cut.pages.reverse();
    cut.kept.reverse();
    cut
}

/// The best last page for the slips before `end`, where it is an even one and where it is an odd one.
fn last_page(galley: &Galley, height: Pt, best: &[Best], end: usize) -> [Best; 2] {
    let mut found = [Best { start: end - 1, ..Best::NONE }; 2];
    let mut stack = Stack::default();
    let follows = follows(galley, height, end);
    for start in (0..end).rev() {
        let Some(slip) = galley.slips.get(start) else { break };
        stack.put(slip);
        let full = stack.filled + head_height(galley, slip);
        if full > height + stack.slack && start + 1 < end {
            break;
        }
        let over = (full - height).max(Pt::ZERO).min(stack.slack);
        let (kept, closing) = match over > Pt::ZERO {
            true => (1.0 - over / stack.elastic, over / stack.slack * CLOSING),
            false => (1.0, 0.0),
        };
        let hole = (height - full).max(Pt::ZERO) / height;
        let goes_on = start > 0 && !slip.begins_page;
        let foot = goes_on.then_some(stack.foot / height);
        let costs = end_costs(galley.slips.get(end), (hole, follows / height), foot);
        for (odd, (found, own)) in found.iter_mut().zip(costs).enumerate() {
            let before = best.get(start * 2 + 1 - odd).map_or(f64::INFINITY, |best| best.cost);
            let cost = before + f64::from(own + closing);
            // Of equal costs the fuller page is taken.
            if cost <= found.cost {
                *found = Best { cost, start, kept };
            }
        }
        if slip.begins_page {
            break;
        }
    }
    found
}

/// Slips that are put above each other.
#[derive(Default)]
struct Stack {
    /// How high they are.
    filled: Pt,
    /// How much of that stands at the page's foot, however little is above it.
    foot: Pt,
    /// How much of it are spaces that may be closed, and by how much they may.
    elastic: Pt,
    slack: Pt,
    /// The space above the uppermost slip, and how much of it may be closed.
    above: (Pt, Pt),
}

impl Stack {
    /// Puts a slip above the others.
    fn put(&mut self, slip: &Slip) {
        let (space, elastic) = self.above;
        self.filled += space + slip.height;
        self.elastic += elastic;
        self.slack += elastic * (1.0 - CLOSED);
        self.above = (slip.space, if slip.elastic { slip.space } else { Pt::ZERO });
        if slip.at_foot {
            self.foot += slip.height + slip.space;
        }
    }
}

/// The height of what would have to follow from a slip on where a page doesn't end before it: up to the next decent
/// end, a page's height at most.
fn follows(galley: &Galley, height: Pt, from: usize) -> Pt {
    let mut high = Pt::ZERO;
    for (index, slip) in galley.slips.iter().enumerate().skip(from) {
        if high > height || (index > from && slip.cost < PARTED_SHORT) {
            break;
        }
        high += slip.space + slip.height;
    }
    high
}

/// What it costs to end a page, an even one or an odd one, before a slip, or behind the last, a share of it left free
/// and a share needed by what follows. `foot` is the share that stands at its foot where it goes on from a page before.
fn end_costs(next: Option<&Slip>, (hole, follows): (f32, f32), foot: Option<f32>) -> [f32; 2] {
    if let Some(next) = next.filter(|slip| !slip.begins_page) {
        let idle = if follows <= hole { (hole - GAPING).max(0.0) * IDLE } else { 0.0 };
        let cost = hole_cost(hole) + idle + next.cost;
        return [cost, cost + next.turn_cost];
    }
    let missing = foot.map_or(0.0, |foot| SPARSE - (1.0 - hole - foot));
    let cost = if missing > 0.0 { SPARSE_END + SPARSER * missing } else { 0.0 };
    [cost; 2]
}

/// What a hole costs that is a share of a page.
fn hole_cost(hole: f32) -> f32 {
    let gaping = if hole > GAPING { GAPING_COST } else { 0.0 };
    hole * (HOLE + hole * HOLE_SQUARED) + gaping
}

/// The height of what is set above this slip where a page begins with it.
pub fn head_height(galley: &Galley, slip: &Slip) -> Pt {
    let head = slip.head.and_then(|index| galley.heads.get(index));
    head.map_or(Pt::ZERO, |head| head.height)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::pt;
    use crate::page::galley::TOGETHER;

    /// A galley of slips: height, space above, cost of a page's end before it.
    fn galley(slips: &[(f32, f32, f32)]) -> Galley {
        let mut galley = Galley::default();
        for (height, space, cost) in slips {
            let (height, space) = (pt(*height), pt(*space));
            galley.push(Slip { height, space, cost: *cost, ..Slip::default() });
        }
        galley
    }

    #[test]
    fn pages_are_filled() {
        let galley = galley(&[(10.0, 0.0, 0.0); 25]);
        assert_eq!(cut(&galley, pt(100.0)).pages, [0..10, 10..20, 20..25]);
    }

    #[test]
    fn space_at_a_pages_head_is_left_out() {
        let galley = galley(&[(50.0, 10.0, 0.0); 4]);
        assert_eq!(cut(&galley, pt(110.0)).pages, [0..2, 2..4]);
    }

    #[test]
    fn what_belongs_together_stays_together() {
        let galley = galley(&[(40.0, 0.0, 0.0), (40.0, 0.0, 0.0), (40.0, 0.0, TOGETHER)]);
        assert_eq!(cut(&galley, pt(100.0)).pages, [0..1, 1..3]);
    }

    #[test]
    fn too_high_a_slip_stands_alone() {
        let galley = galley(&[(40.0, 0.0, 0.0), (400.0, 0.0, TOGETHER), (40.0, 0.0, TOGETHER)]);
        assert_eq!(cut(&galley, pt(100.0)).pages, [0..1, 1..2, 2..3]);
    }

    #[test]
    fn looks_back_for_the_better_end() {
        // Greedily the first page would take three slips and leave a lonely one behind.
        let galley =
            galley(&[(30.0, 0.0, 0.0), (30.0, 0.0, 0.0), (30.0, 0.0, 0.0), (30.0, 0.0, 40.0)]);
        assert_eq!(cut(&galley, pt(100.0)).pages, [0..2, 2..4]);
    }

    #[test]
    fn the_last_page_is_not_left_nearly_empty() {
        let galley = galley(&[(20.0, 0.0, 0.0); 5]);
        assert_eq!(cut(&galley, pt(100.0)).pages.len(), 1);
        let mut more = galley;
        more.push(Slip { height: pt(5.0), ..Slip::default() });
        assert_eq!(cut(&more, pt(100.0)).pages, [0..3, 3..6]);
    }

    #[test]
    fn a_page_that_is_turned_ends_where_that_disturbs_least() {
        let turned = |before: usize| {
            let mut galley = galley(&[(20.0, 0.0, 0.0); 15]);
            galley.slips[before].turn_cost = 40.0;
            cut(&galley, pt(100.0)).pages
        };
        // Behind its first page the second faces the third.
        assert_eq!(turned(10), [0..5, 5..10, 10..15]);
        assert_eq!(turned(5)[0], 0..4);
    }

    #[test]
    fn a_page_is_left_half_empty_for_a_high_figure_alone() {
        // The last page is filled at the cost of those before it, the first of which had room for words.
        let (figure, words) = (3.5, 0.0);
        let slips = [
            (42.0, 0.0, words),
            (10.0, 0.0, words),
            (14.0, 0.0, words),
            (27.0, 0.0, figure),
            (8.0, 0.0, words),
            (12.0, 0.0, words),
            (60.0, 0.0, figure),
            (30.0, 0.0, words),
        ];
        assert_eq!(cut(&galley(&slips), pt(100.0)).pages, [0..3, 3..6, 6..8]);
    }

    #[test]
    fn a_page_begins_where_it_must() {
        let mut galley = galley(&[(10.0, 0.0, 0.0)]);
        galley.new_page();
        galley.push(Slip { height: pt(10.0), cost: TOGETHER, ..Slip::default() });
        assert_eq!(cut(&galley, pt(100.0)).pages, [0..1, 1..2]);
    }

    #[test]
    fn nothing_makes_no_page() {
        assert!(cut(&Galley::default(), pt(100.0)).pages.is_empty());
    }

    #[test]
    fn figures_close_up_where_that_saves_a_page() {
        let figures = |spaces: f32| {
            let mut galley = Galley::default();
            for _ in 0..4 {
                galley.figure_space(pt(spaces));
                galley.push(Slip { height: pt(20.0), ..Slip::default() });
            }
            cut(&galley, pt(100.0))
        };
        // 80 of figures and three spaces: 102.5, 98 when closed; 110, 104 when closed.
        let saved = figures(7.5);
        assert_eq!((saved.pages.len(), saved.kept.len()), (1, 1));
        assert!((saved.kept[0] - 20.0 / 22.5).abs() < 1e-5, "only as much as it must: {saved:?}");
        let open = figures(10.0);
        assert_eq!((open.pages.len(), open.kept), (2, vec![1.0, 1.0]));
    }
}
