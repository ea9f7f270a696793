//! The marks of a draft: a heavy bracket above each faulty place of a figure, with the letter under
//! which the fault is told beneath it.

use super::figure::{Desk, Element, Figure};
use crate::findings::Span;
use crate::ink::{Drawing, Face, Path, Point, Pt, Segment, Stroke, Style, pt};
use crate::words::paper::draft::mark;

/// A figure marks so many faults; numbers of three figures would be wider than what they mark.
const MOST_MARKS: usize = 99;

/// The width of a bracket's line: heavier than any other line of a figure.
const HEAVY: Pt = pt(1.6);

/// The air at a bracket's ends, so that those of neighbouring bars don't touch.
const BESIDE: Pt = pt(1.0);

/// The air between a bracket's feet and the numbers of the one beneath it.
const ROWS_APART: Pt = pt(3.0);

/// How far a bracket's ends reach down.
const FOOT: Pt = pt(3.0);

/// One bracket with the numbers of the faults that it stands for.
struct Bracket {
    strip: usize,
    left: Pt,
    right: Pt,
    numbers: Vec<usize>,
}

impl Bracket {
    /// Widens it where it is narrower than its numbers, within a strip.
    fn hold(&mut self, numbers: Pt, strip: Pt) {
        let lacking = numbers - (self.right - self.left);
        if lacking > Pt::ZERO {
            let left = (self.left - lacking / 2.0).min(strip - numbers).max(Pt::ZERO);
            (self.left, self.right) = (left, left + numbers);
        }
    }
}

impl Figure {
    /// The figure with its faulty places marked, which have letters in the order given. A
    /// fault whose place isn't drawn (in the fence line, in a row that isn't printed) has no mark.
    #[must_use]
    pub fn marked(mut self, faults: &[Span], desk: &Desk<'_>) -> Figure {
        let brackets = self.brackets(faults, desk);
        for (index, strip) in self.strips.iter_mut().enumerate() {
            let here: Vec<&Bracket> = brackets.iter().filter(|one| one.strip == index).collect();
            if !here.is_empty() {
                let bare = std::mem::replace(strip, Drawing::new(strip.width, Pt::ZERO));
                draw(strip, &here, desk);
                strip.set_below(bare, pt(2.0));
            }
        }
        self
    }

    /// The brackets from left to right; faults of one place share theirs.
    fn brackets(&self, faults: &[Span], desk: &Desk<'_>) -> Vec<Bracket> {
        let mut brackets: Vec<Bracket> = Vec::new();
        for (index, fault) in faults.iter().take(MOST_MARKS).enumerate() {
            let Some((strip, left, right)) = self.place_of(*fault) else { continue };
            let least = disc(desk) * 2.0;
            let wider = ((least - (right - left)) / 2.0).max(Pt::ZERO);
            let (left, right) = ((left - wider).max(Pt::ZERO), right + wider);
            let same =
                |one: &&mut Bracket| one.strip == strip && one.left == left && one.right == right;
            match brackets.iter_mut().find(same) {
                Some(bracket) => bracket.numbers.push(index),
                None => brackets.push(Bracket { strip, left, right, numbers: vec![index] }),
            }
        }
        for bracket in &mut brackets {
            let strip = self.strips.get(bracket.strip).map_or(Pt::ZERO, |strip| strip.width);
            bracket.hold(discs_width(bracket, desk), strip);
        }
        brackets.sort_by(|a, b| a.left.0.total_cmp(&b.left.0));
        brackets
    }

    /// The strip in which a place of the source is drawn, and from where to where: what is drawn of
    /// it most finely, and all that lies within it.
    fn place_of(&self, place: Span) -> Option<(usize, Pt, Pt)> {
        let size = |span: Span| span.end.saturating_sub(span.start);
        let touching = |element: &&Element| {
            let (a, b) = (element.span, place);
            a.start < b.end.max(b.start + 1) && b.start < a.end
        };
        let touched = || self.elements.iter().filter(touching);
        let finest = touched().map(|element| size(element.span)).min()?.max(size(place));
        let strip = touched().find(|element| size(element.span) <= finest)?.strip;
        let here = touched().filter(|one| one.strip == strip && size(one.span) <= finest);
        here.map(|one| (strip, one.left, one.right))
            .reduce(|(strip, left, right), (_, from, to)| (strip, left.min(from), right.max(to)))
    }
}

/// The radius of the disc in which a number stands.
fn disc(desk: &Desk<'_>) -> Pt {
    desk.look.small_size * 0.66
}

/// Draws brackets into an empty drawing, those that would meet in rows above each other.
fn draw(drawing: &mut Drawing, brackets: &[&Bracket], desk: &Desk<'_>) {
    let row = disc(desk) * 2.0 + FOOT + ROWS_APART;
    let mut ends: Vec<Pt> = Vec::new();
    let mut rows = Vec::new();
    for bracket in brackets {
        let discs = discs_left(bracket, brackets, desk);
        let free = ends.iter().position(|end| *end <= bracket.left.min(discs));
        let index = free.unwrap_or(ends.len());
        let end = bracket.right.max(discs + discs_width(bracket, desk));
        match ends.get_mut(index) {
            Some(taken) => *taken = end,
            None => ends.push(end),
        }
        rows.push(index);
    }
    drawing.height = row * ends.len() as f32;
    for (bracket, index) in brackets.iter().zip(rows) {
        let bottom = drawing.height - row * index as f32;
        draw_bracket(drawing, bracket, bottom, discs_left(bracket, brackets, desk), desk);
    }
}

fn discs_width(bracket: &Bracket, desk: &Desk<'_>) -> Pt {
    disc(desk) * 2.2 * bracket.numbers.len() as f32
}

/// Where a bracket's numbers begin: over its middle, or where another bracket stands over that, at the
/// end that is free.
fn discs_left(bracket: &Bracket, brackets: &[&Bracket], desk: &Desk<'_>) -> Pt {
    let width = discs_width(bracket, desk);
    let middle = ((bracket.left + bracket.right - width) / 2.0).max(Pt::ZERO);
    let same = |other: &Bracket| other.left == bracket.left && other.right == bracket.right;
    let free = |left: &Pt| {
        let meets = |other: &&&Bracket| other.left < *left + width && *left < other.right;
        brackets.iter().filter(|other| !same(other)).find(meets).is_none()
    };
    [middle, bracket.left, bracket.right - width].into_iter().find(free).unwrap_or(middle)
}

/// Draws a bracket whose feet end at a height, its numbers white in black discs on its line, beginning
/// at a place.
fn draw_bracket(drawing: &mut Drawing, bracket: &Bracket, bottom: Pt, discs: Pt, desk: &Desk<'_>) {
    let line = bottom - FOOT;
    let inset = HEAVY / 2.0 + BESIDE;
    let (left, right) = (bracket.left + inset, bracket.right - inset);
    let segments = vec![
        Segment::Move(Point::new(left, bottom)),
        Segment::Line(Point::new(left, line)),
        Segment::Line(Point::new(right, line)),
        Segment::Line(Point::new(right, bottom)),
    ];
    drawing.path(Path { segments, fill: None, stroke: Some(Stroke::black(HEAVY)) });
    let style = Style { shade: 1.0, ..Style::new(Face::SansSemibold, desk.look.small_size) };
    let radius = disc(desk);
    let first = discs + radius * 1.1;
    for (index, number) in bracket.numbers.iter().enumerate() {
        let centre = Point::new(first + radius * 2.2 * index as f32, line - radius);
        drawing.path(Path::circle(centre, radius, Some(0.0), None));
        let number = desk.words(&mark(*number), style);
        let cap = desk.fonts.measures(Face::SansSemibold, desk.look.small_size).cap_height;
        drawing.text_centred(centre.x, centre.y + cap / 2.0, number);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::blocks::figure::{DotLabel, Look, RestingParts};
    use crate::ink::{Extent, Fonts, Item};
    use crate::words::Lang;

    /// Two strips of two bars each, 100 wide. A bar has ten bytes, its notes the third and seventh.
    fn figure() -> Figure {
        let mut elements = Vec::new();
        for bar in 0..4 {
            let (from, strip) = (bar * 10, bar / 2);
            let left = pt(50.0) * (bar % 2) as f32;
            let right = left + pt(50.0);
            elements.push(Element { span: Span::new(from, from + 10), strip, left, right });
            for (byte, x) in [(from + 2, 10.0), (from + 6, 30.0)] {
                let (left, right) = (left + pt(x), left + pt(x + 10.0));
                elements.push(Element { span: Span::new(byte, byte + 1), strip, left, right });
            }
        }
        let strips = vec![Drawing::new(pt(100.0), pt(40.0)); 2];
        Figure { strips, elements, ..Figure::default() }
    }

    fn with_desk<T>(run: impl FnOnce(&Desk<'_>) -> T) -> T {
        let fonts = Fonts::new();
        let look = Look {
            string_gap: pt(7.0),
            fret_size: pt(8.5),
            symbol_size: pt(10.5),
            small_size: pt(7.5),
            sung_size: pt(11.0),
            box_gap: pt(9.0),
            label: DotLabel::Degrees,
            resting_parts: RestingParts::Shown,
        };
        run(&Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(100.0) })
    }

    #[test]
    fn the_finest_element_is_the_place() {
        let rows = [
            (2, 3, Some((0, 10.0, 20.0))),
            // Nothing is drawn at the fourth byte but the bar.
            (4, 5, Some((0, 0.0, 50.0))),
            (4, 4, Some((0, 0.0, 50.0))),
            // Two notes, and what a whole row spans: the strip it begins in.
            (22, 27, Some((1, 10.0, 40.0))),
            (10, 40, Some((0, 50.0, 100.0))),
            (36, 37, Some((1, 80.0, 90.0))),
            (40, 41, None),
        ];
        for (from, to, expected) in rows {
            let place = figure().place_of(Span::new(from, to));
            let place = place.map(|(strip, left, right)| (strip, left.0, right.0));
            assert_eq!(place, expected, "{from} to {to}");
        }
    }

    #[test]
    fn numbers_stand_apart_from_other_marks() {
        // A bar and its notes, singly and together; the discs are the only circles.
        let places = [(4, 5), (2, 3), (6, 7), (14, 15), (12, 13), (12, 17)];
        for faults in (1..64).map(|set: usize| {
            let chosen = places.iter().enumerate().filter(|(at, _)| set >> at & 1 == 1);
            chosen.map(|(_, (from, to))| Span::new(*from, *to)).collect::<Vec<_>>()
        }) {
            with_desk(|desk| {
                let marked = figure().marked(&faults, desk);
                let extents: Vec<Extent> = marked.strips[0]
                    .items
                    .iter()
                    .filter(|item| matches!(item, Item::Path(path) if path.fill.is_some()))
                    .filter_map(|item| Extent::of(std::slice::from_ref(item)))
                    .collect();
                assert_eq!(extents.len(), faults.len());
                for (at, one) in extents.iter().enumerate() {
                    for other in extents.iter().skip(at + 1) {
                        let x = one.from.x - other.to.x;
                        let x = x.max(other.from.x - one.to.x);
                        let y = (one.from.y - other.to.y).max(other.from.y - one.to.y);
                        // Numbers of one mark touch nearly; those of two stand well apart.
                        let level = (one.from.y - other.from.y).abs() < pt(0.1);
                        let least = if level { pt(0.5) } else { pt(5.0) };
                        assert!(x.max(y) >= least, "{faults:?}: {one:?} {other:?}");
                    }
                }
            });
        }
    }

    #[test]
    fn strips_grow_by_their_marks_alone() {
        with_desk(|desk| {
            let faults = [Span::new(2, 3), Span::new(4, 5), Span::new(5, 6), Span::new(99, 100)];
            let marked = figure().marked(&faults, desk);
            let numbers = |strip: &Drawing| -> Vec<String> {
                let texts = strip.items.iter().filter_map(|item| match item {
                    Item::Text(_, text) => Some(text.characters()),
                    _ => None,
                });
                texts.collect()
            };
            // The bar begins before its note; two faults share it, and the note's mark stands above.
            assert_eq!(numbers(&marked.strips[0]), ["b", "c", "a"]);
            assert!(marked.strips[0].height > pt(60.0));
            assert_eq!(marked.strips[1].height, pt(40.0));
            assert!(marked.strips[1].items.is_empty());
        });
    }
}
