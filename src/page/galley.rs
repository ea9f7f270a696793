//! The galley: everything that is printed, one under the other, before it is cut into pages.

use crate::findings::Span;
use crate::ink::{Anchor, Group, Item, Label, Point, Pt, pt};

/// What it costs to end a page between two things that must stay together: a heading or a cue and what
/// follows, a figure and its caption (looks, "Page"). Dearer than any hole at a page's foot, which costs 58 at most
/// (`breaks`); still possible, since some things are longer than a page.
pub const TOGETHER: f32 = 10_000.0;
/// What it costs to leave a single line of a paragraph alone on a page: more than any hole, and than a last page that
/// is nearly empty (design section 4: no lonely lines).
pub const LONELY_LINE: f32 = 80.0;
/// What it costs to part a figure between its strips that is longer than a page: as much as a hole of a fifth of it.
pub const PARTED_FIGURE: f32 = 3.0;
/// What it costs to part a figure of more than two strips that a page has room for: as much as a hole of three tenths.
pub const PARTED_LONG: f32 = 10.0;
/// What it costs to part the first or the last strip of such a figure from the others, which reads as a slip of the
/// setter's: as much as a hole of nearly half a page.
pub const PARTED_ROW: f32 = 20.0;
/// What it costs more to part a figure that a page has room for where the page is turned: as much as a hole of three
/// quarters.
pub const PARTED_AT_TURN: f32 = 40.0;
/// What it costs to part a verse that is sung: as much as a hole of nearly half a page.
pub const PARTED_WHOLE: f32 = 20.0;
/// What it costs to part a set of grips, or a riff of two systems, which are learned at a glance: as much as a hole of
/// nearly two thirds of a page.
pub const PARTED_PAIR: f32 = 30.0;
/// What it costs to part a paragraph of a few lines: as much as a hole of nearly half a page, so that it is parted
/// at a full foot at most.
pub const PARTED_SHORT: f32 = 20.0;
/// What it costs to part a paragraph, a list's item or a table: as much as a hole of a twelfth.
pub const PARTED_WORDS: f32 = 1.0;

/// A piece that no page's end cuts: a line of words, a strip of a figure.
#[derive(Debug, Default)]
pub struct Slip {
    /// Its height.
    pub height: Pt,
    /// How far down its first baseline is.
    pub baseline: Pt,
    /// What is drawn, from its top left corner at the column's left edge.
    pub items: Vec<Item>,
    /// Places that lead somewhere.
    pub links: Vec<crate::ink::Link>,
    /// Where things of the lesson's text stand in it.
    pub anchors: Vec<Anchor>,
    /// The bookmark that leads to it.
    pub bookmark: Option<(String, u8)>,
    /// Upright bars beside it.
    pub bars: Vec<Bar>,
    /// What is said beside it.
    pub notes: Vec<Note>,
    /// How far right it reaches, from the column's left edge: nothing is said beside what reaches beyond the text.
    pub reach: Pt,
    /// The space above, left out at a page's head.
    pub space: Pt,
    /// Whether that is a figure's or a heading's space, which may be closed a little.
    pub elastic: bool,
    /// What it costs to end the page before it.
    pub cost: f32,
    /// What it costs more where that page is turned: its back is the next one.
    pub turn_cost: f32,
    /// How many slips above it are its caption.
    pub captions: usize,
    /// Whether it begins a page.
    pub begins_page: bool,
    /// Whether it stands at its page's foot, with those beneath it.
    pub at_foot: bool,
    /// What is set above it where it begins a page: its table's head, or that its figure goes on.
    pub head: Option<usize>,
}

/// What is said beside a slip: its first line on that of the slip, or beneath what is said above it.
#[derive(Debug, Default)]
pub struct Note {
    /// Its left edge, from the column's.
    pub left: Pt,
    /// Its height.
    pub height: Pt,
    /// How far down its first baseline is.
    pub baseline: Pt,
    /// What is free above it beneath another.
    pub gap: Pt,
    /// What is drawn, from its top left corner.
    pub items: Vec<Item>,
}

/// An upright bar beside a slip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Where it stands, from the column's left edge.
    pub x: Pt,
    /// Its width.
    pub width: Pt,
    /// Its shade, 0 black to 1 white.
    pub shade: f32,
    /// Whether it runs on through the space above the slip.
    pub joined: bool,
}

/// What heads the pages that a table or a figure runs on to.
#[derive(Debug)]
pub struct Head {
    /// Its height, the space beneath included.
    pub height: Pt,
    /// What is drawn.
    pub items: Vec<Item>,
}

/// Everything that is printed, one under the other.
#[derive(Debug, Default)]
pub struct Galley {
    /// The slips from top to bottom.
    pub slips: Vec<Slip>,
    /// The heads of tables and figures.
    pub heads: Vec<Head>,
    space: Pt,
    elastic: bool,
    cost: f32,
    begins_page: bool,
}

impl Slip {
    /// Moves what is drawn down by so much.
    pub fn lower(&mut self, by: Pt) {
        let (offset, items) = (Point::new(Pt::ZERO, by), std::mem::take(&mut self.items));
        self.items.push(Item::Group(Group { offset, label: Label::None, items }));
        self.height += by;
        self.baseline += by;
    }

    /// The space above where figures keep a share of theirs.
    pub fn space_at(&self, kept: f32) -> Pt {
        if self.elastic { self.space * kept } else { self.space }
    }
}

impl Galley {
    /// Puts a slip beneath the others. It takes a point of room at least, so that a page holds no
    /// more than so many.
    pub fn push(&mut self, slip: Slip) {
        let space = slip.space.max(std::mem::take(&mut self.space));
        let cost = slip.cost.max(std::mem::take(&mut self.cost));
        let begins_page = std::mem::take(&mut self.begins_page) && !self.slips.is_empty();
        let height = slip.height.max(pt(1.0));
        let elastic = std::mem::take(&mut self.elastic) || slip.elastic;
        self.slips.push(Slip { height, space, elastic, cost, begins_page, ..slip });
    }

    /// Asks for a space before what comes next. Of several the largest counts.
    pub fn space(&mut self, space: Pt) {
        self.space = self.space.max(space);
    }

    /// Asks for a space that may be closed, a figure's or a heading's, before what comes next.
    pub fn figure_space(&mut self, space: Pt) {
        self.elastic = true;
        self.space(space);
    }

    /// Makes a page's end before what comes next cost so much at least.
    pub fn hold(&mut self, cost: f32) {
        self.cost = self.cost.max(cost);
    }

    /// Begins a page with what comes next.
    pub fn new_page(&mut self) {
        self.begins_page = true;
    }

    /// The index of the slip that comes next.
    pub fn next(&self) -> usize {
        self.slips.len()
    }

    /// Keeps the slips from an index on together.
    pub fn keep_whole(&mut self, from: usize) {
        for slip in self.slips.iter_mut().skip(from + 1) {
            slip.cost = TOGETHER;
        }
    }

    /// Sets the slips from an index on at their page's foot.
    pub fn at_foot(&mut self, from: usize) {
        self.slips.iter_mut().skip(from).for_each(|slip| slip.at_foot = true);
    }

    /// Notes that the slips from an index on stand for a stretch of the lesson's text.
    pub fn anchor(&mut self, from: usize, source: Span, left: Pt, width: Pt) {
        for slip in self.slips.iter_mut().skip(from) {
            let corner = Point::new(left, Pt::ZERO);
            let source = source.start..source.end;
            slip.anchors.push(Anchor { source, corner, width, height: slip.height });
        }
    }

    /// Sets a bar beside all slips from an index on.
    pub fn bar(&mut self, from: usize, bar: Bar) {
        for (index, slip) in self.slips.iter_mut().enumerate().skip(from) {
            slip.bars.push(Bar { joined: index > from, ..bar });
        }
    }
}
