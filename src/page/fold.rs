//! A booklet to be folded: its pages two by two on sheets that are printed on both sides, turned on the short edge,
//! laid into one another and folded once.

use super::Template;
use crate::ink::{Document, Drawing, Group, Item, Label, Page, Point, Pt};
use crate::lesson::header::Paper;

/// The paper of pages that are laid two by two on A4.
pub const PAPER: Paper = Paper::A5;

/// The numbers of the pages on each side of the sheets, from 0, left and right: for each sheet its front, then its back.
/// `count` pages are filled up with empty ones to a multiple of four, which are numbers like others.
pub fn sides(count: usize) -> Vec<(usize, usize)> {
    let all = count.max(1).next_multiple_of(4);
    let sides = (0..all / 2).map(|side| {
        let (low, high) = (side, all - 1 - side);
        if side % 2 == 0 { (high, low) } else { (low, high) }
    });
    sides.collect()
}

/// The pages of a document, two by two on the sides of sheets of A4. They are for the printer alone: nothing in them is
/// read out, and nothing leads anywhere.
pub fn folded(document: &Document) -> Document {
    let (height, width) = Template::paper_size(Paper::A4);
    let own = Template::paper_size(PAPER).0;
    let page = |(left, right): (usize, usize)| {
        let mut drawing = Drawing::new(width, height);
        for (number, x) in [(left, width / 2.0 - own), (right, width / 2.0)] {
            let items = document.pages.get(number).map(|page| page.drawing.items.clone());
            let items = items.unwrap_or_default().into_iter().map(Item::unlabelled).collect();
            let (offset, label) = (Point::new(x, Pt::ZERO), Label::Artifact);
            drawing.items.push(Item::Group(Group { offset, label, items }));
        }
        Page { drawing, ..Page::default() }
    };
    let pages = sides(document.pages.len()).into_iter().map(page).collect();
    let Document { title, author, language, .. } = document.clone();
    Document { title, author, language, pages, ..Document::default() }
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;

    #[test]
    fn folded_sheets_are_read_in_order() {
        assert_eq!(sides(4), [(3, 0), (1, 2)]);
        assert_eq!(sides(5), [(7, 0), (1, 6), (5, 2), (3, 4)]);
        assert_eq!(sides(0), sides(3));
    }

    #[test]
    fn two_pages_lie_beside_each_other_and_nothing_is_read_out() {
        let size = Template::paper_size(PAPER);
        let page = || Page { drawing: Drawing::new(size.0, size.1), ..Page::default() };
        let document = Document { pages: (0..3).map(|_| page()).collect(), ..Document::default() };
        let sheets = folded(&document);
        assert_eq!(sheets.pages.len(), 2);
        for sheet in &sheets.pages {
            let places = sheet.drawing.items.iter().filter_map(|item| match item {
                Item::Group(Group { offset, label: Label::Artifact, .. }) => Some(offset.x),
                _ => None,
            });
            let places: Vec<Pt> = places.collect();
            assert_eq!(places.len(), 2);
            assert!(places[0] >= Pt::ZERO && places[1] + size.0 <= sheet.drawing.width);
            assert!((places[1] - places[0] - size.0).0.abs() < 0.01);
        }
        assert!(sheets.parts.is_empty());
    }
}
