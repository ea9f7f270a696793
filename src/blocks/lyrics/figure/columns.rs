//! Two columns, where a song has several stanzas, or a long one, and its lines are short.

use super::line::Set;
use super::{Measures, add, elements, set};
use crate::blocks::figure::{Desk, Figure, Joint};
use crate::blocks::lyrics::{Line, Song};
use crate::ink::{Drawing, Point, Pt};

/// Fewer lines than this stand in one column: side by side they would be two scraps (chosen by eye).
const FEWEST: usize = 8;
/// A strip has at most so many lines in a column, so that a page can end between two: some half a page.
const MOST: usize = 16;

/// A song in two columns.
pub(super) struct Columns<'s> {
    stanzas: Vec<Vec<(&'s Line, Set)>>,
    /// Where the second column begins.
    second: Pt,
}

/// The song in two columns; `None` where it is better in one.
pub(super) fn columns<'s>(
    song: &'s Song,
    measures: &Measures,
    desk: &Desk<'_>,
) -> Option<Columns<'s>> {
    let lines = song.stanzas.iter().map(|stanza| stanza.lines.len()).sum::<usize>();
    if lines < FEWEST {
        return None;
    }
    let width = (desk.width - measures.gutter) / 2.0;
    let mut stanzas = Vec::new();
    for stanza in &song.stanzas {
        let mut lines = Vec::new();
        for line in &stanza.lines {
            let set = set(line, measures, desk, width);
            if set.rows > 1 || set.width > width {
                return None;
            }
            lines.push((line, set));
        }
        stanzas.push(lines);
    }
    // A long stanza alone is parted in its middle.
    if let [whole] = stanzas.as_mut_slice() {
        let half = whole.split_off(whole.len().div_ceil(2));
        stanzas.push(half);
    }
    let second = width + measures.gutter;
    Some(Columns { stanzas, second })
}

impl Columns<'_> {
    /// Draws the stanzas in strips of two columns, each stanza whole, the columns as high as each other as can be.
    pub fn draw(&self, figure: &mut Figure, measures: &Measures) {
        let from = figure.strips.len();
        let mut rest = self.stanzas.as_slice();
        while !rest.is_empty() {
            let (here, behind) = rest.split_at(fitting(rest));
            let joint = match figure.strips.len() == from {
                true => Joint::Held(measures.between),
                false => Joint::Stanza(measures.stanza),
            };
            let strip = self.strip(here, figure, measures);
            add(figure, strip, joint);
            rest = behind;
        }
    }

    fn strip(
        &self,
        stanzas: &[Vec<(&Line, Set)>],
        figure: &mut Figure,
        measures: &Measures,
    ) -> Drawing {
        let heights: Vec<Pt> = stanzas.iter().map(|stanza| height(stanza, measures)).collect();
        let (left, right) = stanzas.split_at(even(&heights, measures));
        let mut drawing = Drawing::default();
        for (stanzas, x) in [(left, Pt::ZERO), (right, self.second)] {
            let mut y = Pt::ZERO;
            for (number, stanza) in stanzas.iter().enumerate() {
                y += if number > 0 { measures.stanza } else { Pt::ZERO };
                for (number, (line, set)) in stanza.iter().enumerate() {
                    y += if number > 0 { measures.between } else { Pt::ZERO };
                    set.draw(&mut drawing, Point::new(x, y));
                    elements(figure, line, set, figure.strips.len(), x);
                    drawing.width = drawing.width.max(x + set.width);
                    y += set.height;
                }
            }
            drawing.height = drawing.height.max(y);
        }
        drawing
    }
}

/// How many of some stanzas stand in the next strip: no more lines than it holds, one stanza a column at least.
fn fitting(stanzas: &[Vec<(&Line, Set)>]) -> usize {
    let mut lines = 0;
    let fitting = stanzas.iter().take_while(|stanza| {
        lines += stanza.len();
        lines <= 2 * MOST
    });
    fitting.count().max(2).min(stanzas.len())
}

fn height(stanza: &[(&Line, Set)], measures: &Measures) -> Pt {
    let lines: Pt = stanza.iter().map(|(_, set)| set.height).sum();
    lines + measures.between * stanza.len().saturating_sub(1) as f32
}

/// How many stanzas stand in the first column, so that the higher column is as low as can be, the first the higher.
fn even(heights: &[Pt], measures: &Measures) -> usize {
    let column = |heights: &[Pt]| -> Pt {
        heights.iter().copied().sum::<Pt>()
            + measures.stanza * heights.len().saturating_sub(1) as f32
    };
    let higher = |at: &usize| {
        let (left, right) = heights.split_at(*at);
        column(left).max(column(right)).0
    };
    (1..=heights.len())
        .rev()
        .min_by(|one, other| higher(one).total_cmp(&higher(other)))
        .unwrap_or_default()
}
