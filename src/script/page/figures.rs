//! The figures of a script's pages: at the margin beside their cues, or beneath them over the whole measure.

use super::*;
use crate::script::figures::fits_margin;

/// The air between a cue and the figure beneath it.
const ABOVE: Pt = pt(6.0);
/// A figure so high is never parted, where a page has room for it (assumed: two systems of a tab).
const WHOLE: Pt = pt(330.0);

impl Setter<'_> {
    /// A cue with the figure that it shows.
    pub(super) fn shown(&mut self, item: &Item, cue: &Cue, figure: &Figure) {
        if fits_margin(figure) {
            self.margin(figure.in_rows(), &figure.words);
            self.warn(item);
            self.cue(item, cue);
            return;
        }
        // It is wider than the words and would meet what still stands at the margin.
        self.y = self.y.max(self.figures_end);
        self.need(self.cue_height(cue) + self.first_height(figure));
        self.warn(item);
        self.cue(item, cue);
        self.beneath(figure);
    }

    fn cue_height(&self, cue: &Cue) -> Pt {
        self.height(&cue_words(cue), CUE, usize::MAX) + ABOVE
    }

    /// How high what of a figure must stay with its cue is.
    pub(super) fn first_height(&self, figure: &Figure) -> Pt {
        let height = figure.in_rows().height;
        if fits_margin(figure) {
            return height;
        }
        let first = || figure.strips.first().map_or(Pt::ZERO, |strip| strip.height);
        if height <= WHOLE { height } else { first() }
    }

    /// How high a figure is that stands beneath its cue as a whole; none that stands at the margin, or may be parted.
    pub(super) fn height_beneath(&self, figure: &Figure) -> Pt {
        let height = figure.in_rows().height;
        let is_whole = !fits_margin(figure) && height <= WHOLE;
        if is_whole { height + ABOVE * 2.0 } else { Pt::ZERO }
    }

    /// A figure over the whole measure, its last two strips together.
    fn beneath(&mut self, figure: &Figure) {
        let across = self.size.0 - LEFT - EDGE;
        self.y += ABOVE;
        let part = self.parts.add_with_words(Role::Figure, None, &figure.words);
        let widest = figure.strips.iter().fold(across, |widest, strip| widest.max(strip.width));
        let scale = across / widest;
        let mut strips = figure.strips.iter().enumerate().peekable();
        while let Some((index, strip)) = strips.next() {
            let next = strips
                .peek()
                .filter(|(next, _)| next + 1 == figure.strips.len() || held(figure, *next));
            let with =
                next.map_or(Pt::ZERO, |(next, strip)| figure.air_above(*next) + strip.height);
            let air = figure.air_above(index) * scale;
            if self.y + air + (strip.height + with) * scale > self.bottom() && index > 0 {
                self.next_page();
            } else {
                self.y += air;
            }
            let place = Point::new(LEFT, self.y);
            let height = strip.height * scale;
            let strip = if scale < 1.0 { strip.scaled(scale) } else { strip.clone() };
            self.draw(part, |page| page.place(place, strip, Label::None));
            self.y += height;
        }
        self.y += ABOVE;
    }

    /// A figure at the margin, beside the cue that is set next; below the one before it.
    fn margin(&mut self, drawing: Drawing, words: &str) {
        if self.y.max(self.figures_end) + drawing.height > self.bottom() {
            self.next_page();
        }
        // The cue goes down with its figure, so that it stands beside it.
        self.y = self.y.max(self.figures_end);
        let top = self.y;
        let left = self.size.0 - EDGE - MARGIN_FIGURE;
        self.figures_end = top + drawing.height + pt(10.0);
        let part = self.parts.add_with_words(Role::Figure, None, words);
        let place = Point::new(left, top);
        self.draw(part, |page| page.place(place, drawing, Label::None));
    }
}

/// Whether no page ends above a strip.
fn held(figure: &Figure, strip: usize) -> bool {
    matches!(figure.joints.get(strip), Some(Joint::Held(_)))
}
