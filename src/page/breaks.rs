//! Cutting the galley into pages so that all pages together are as good as they can be: the best last page
//! for every number of slips, from the first on, so that no page is filled at the next one's cost (Knuth and
//! Plass 1981 break paragraphs so).
//!
//! A cost is told in holes at a page's foot: a hole of a share h of the page costs 8 h + 50 h², a gaping one 5 more. These, and
//! what other ends cost ([`super::galley`]), are assumed, to be measured; what they are to bring is looks, "Page":
//! pages end full, and no heading or cue stands alone at a foot. Where a page holds a slip more when its figures and
//! headings keep a little less space, they do: each page closes by itself, and only as much as it must.

use super::galley::{Galley, Slip};
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

/// How much of its space a figure or a heading keeps at least where a page's spaces are closed (looks, "Page").
pub const CLOSED: f32 = 0.7;
/// What it costs to close a page's spaces as far as they may: as much as a hole of a seventh of it.
const CLOSING: f32 = 1.9;

/// What it costs to leave a last page nearly empty: as much as to take a figure of half a page over to it; and more by
/// the share of a page that it lacks.
const SPARSE_END: f32 = 15.0;
const SPARSER: f32 = 100.0;
/// A last page is nearly empty when less than this share of it is filled: a little under a third (looks, "Page"), the
/// eye takes the white beneath its last line for a foot.
const SPARSE: f32 = 0.315;

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

/// Cuts a galley into pages of a height. What is higher than a page stands on one alone.
pub fn cut(galley: &Galley, height: Pt) -> Cut {
    let count = galley.slips.len();
    // For each number of slips, the least cost of printing so many, and their last page.
    let mut best = vec![Best { cost: 0.0, start: 0, kept: 1.0 }];
    for end in 1..=count {
        let found = last_page(galley, height, &best, end);
        best.push(found);
    }
    let mut cut = Cut { pages: Vec::new(), kept: Vec::new() };
    let mut end = count;
    while end > 0 {
        let Some(Best { start, kept, .. }) = best.get(end) else { break };
        let start = (*start).min(end - 1);
        cut.pages.push(start..end);
        cut.kept.push(*kept);
        end = start;
    }
    cut.pages.reverse();
    cut.kept.reverse();
    cut
}

/// The best last page for the slips before `end`.
fn last_page(galley: &Galley, height: Pt, best: &[Best], end: usize) -> Best {
    let next = galley.slips.get(end);
    let free_end = next.is_none_or(|slip| slip.begins_page);
    let end_cost = next.filter(|_| !free_end).map_or(0.0, |slip| slip.cost);
    let mut found = Best { cost: f64::INFINITY, start: end - 1, kept: 1.0 };
    let mut filled = Pt::ZERO;
    let mut space = (Pt::ZERO, Pt::ZERO);
    // What the spaces between the slips may give.
    let mut slack = Pt::ZERO;
    let mut elastic = Pt::ZERO;
    for start in (0..end).rev() {
        let Some(slip) = galley.slips.get(start) else { break };
        filled += space.0 + slip.height;
        elastic += space.1;
        slack += space.1 * (1.0 - CLOSED);
        let full = filled + head_height(galley, slip);
        if full > height + slack && start + 1 < end {
            break;
        }
        let over = (full - height).max(Pt::ZERO).min(slack);
        let (kept, closing) = match over > Pt::ZERO {
            true => (1.0 - over / elastic, over / slack * CLOSING),
            false => (1.0, 0.0),
        };
        let hole = (height - full).max(Pt::ZERO) / height;
        let goes_on = start > 0 && !slip.begins_page;
        let foot_cost = match free_end {
            true if goes_on && 1.0 - hole < SPARSE => SPARSE_END + SPARSER * (SPARSE + hole - 1.0),
            true => 0.0,
            false => hole_cost(hole),
        };
        let before = best.get(start).map_or(f64::INFINITY, |best| best.cost);
        let cost = before + f64::from(foot_cost + end_cost + closing);
        // Of equal costs the fuller page is taken.
        if cost <= found.cost {
            found = Best { cost, start, kept };
        }
        if slip.begins_page {
            break;
        }
        space = (slip.space, if slip.elastic { slip.space } else { Pt::ZERO });
    }
    found
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
