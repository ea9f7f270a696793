//! How high things reach above a staff, from its left to its right.

use crate::ink::Pt;

/// The upper edge of all that stands above a staff, as steps from left to right.
#[derive(Debug)]
pub(super) struct Skyline {
    /// Where each step begins and how high it is; it reaches to where the next begins.
    steps: Vec<(Pt, Pt)>,
}

impl Default for Skyline {
    fn default() -> Skyline {
        Skyline { steps: vec![(Pt(f32::NEG_INFINITY), Pt::ZERO)] }
    }
}

impl Skyline {
    /// Lets everything between two ends be as high as an upper edge at least.
    pub fn raise(&mut self, from: Pt, to: Pt, upper: Pt) {
        let (from, to) = (self.begin(from.min(to)), self.begin(from.max(to)));
        let mut before = from.checked_sub(1).and_then(|before| self.steps.get(before)).map(|s| s.1);
        let raised: Vec<(Pt, Pt)> = self.steps.get(from..to).unwrap_or_default().to_vec();
        let raised = raised.into_iter().map(|(x, top)| (x, top.min(upper)));
        // Steps of one height are one step.
        let raised = raised.filter(|(_, top)| before.replace(*top) != Some(*top));
        let raised: Vec<(Pt, Pt)> = raised.collect();
        self.steps.splice(from..to, raised);
    }

    /// The highest upper edge between two ends.
    pub fn highest(&self, from: Pt, to: Pt) -> Pt {
        let first = self.steps.partition_point(|(x, _)| *x <= from).saturating_sub(1);
        let between = self.steps.iter().skip(first).take_while(|(x, _)| *x < to);
        between.fold(Pt::ZERO, |highest, (_, top)| highest.min(*top))
    }

    /// The index of the step that begins at a place, parted off from the step that reaches over it.
    fn begin(&mut self, x: Pt) -> usize {
        let index = self.steps.partition_point(|(begin, _)| *begin < x);
        if self.steps.get(index).is_none_or(|(begin, _)| *begin != x) {
            let before = index.checked_sub(1).and_then(|before| self.steps.get(before));
            let top = before.map_or(Pt::ZERO, |(_, top)| *top);
            self.steps.insert(index, (x, top));
        }
        index
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::pt;
    use proptest::prelude::*;
    use std::time::{Duration, Instant};

    #[test]
    fn many_boxes_take_no_time() {
        let begun = Instant::now();
        let mut skyline = Skyline::default();
        for number in (0..50_000_u16).chain(0..50_000) {
            let x = pt(f32::from(number));
            let top = skyline.highest(x, x + pt(1.5));
            skyline.raise(x, x + pt(1.5), top - pt(1.0));
        }
        assert!(begun.elapsed() < Duration::from_secs(5), "{:?}", begun.elapsed());
    }

    proptest! {
        #[test]
        fn it_is_as_high_as_the_highest_of_all_boxes(
            boxes in prop::collection::vec((-40i8..40, 1i8..20, -50i8..0), 0..40),
            asked in prop::collection::vec((-50i8..50, 1i8..30), 1..20),
        ) {
            let mut skyline = Skyline::default();
            let boxes: Vec<(f32, f32, f32)> = boxes
                .into_iter()
                .map(|(from, width, upper)| {
                    (f32::from(from), f32::from(from) + f32::from(width), f32::from(upper))
                })
                .collect();
            for (from, to, upper) in &boxes {
                skyline.raise(pt(*from), pt(*to), pt(*upper));
            }
            for (from, width) in asked {
                let (from, to) = (f32::from(from), f32::from(from) + f32::from(width));
                let touching = boxes.iter().filter(|(left, right, _)| *left < to && from < *right);
                let highest = touching.fold(0.0_f32, |highest, (_, _, upper)| highest.min(*upper));
                prop_assert_eq!(skyline.highest(pt(from), pt(to)), pt(highest));
            }
        }
    }
}
