//! Drawings that stand together in one HTML page: each glyph's outline is in it once, and they are drawn in the
//! colours of the words around them.

use super::super::drawing::{Drawing, Group, Item, Label, Picture};
use super::super::face::Fonts;
use super::{Painter, address, decimals, number, packed, shade};
use std::collections::{BTreeMap, BTreeSet};
use svg::node::Node;
use svg::node::element::Element;

/// The colour of the page's ground, a custom property that its style sets.
const GROUND: &str = "var(--paper)";

/// The drawings of a page while they are painted.
pub struct InPage<'a> {
    painter: Painter<'a>,
}

impl<'a> InPage<'a> {
    /// No drawings yet.
    pub fn new(fonts: &'a Fonts) -> InPage<'a> {
        let painter = Painter {
            fonts,
            document: None,
            tint,
            glyphs: BTreeSet::new(),
            pictures: BTreeMap::new(),
            names: BTreeMap::new(),
        };
        InPage { painter }
    }

    /// What a drawing shows, to stand within an `svg` whose words tell it.
    pub fn content(&mut self, drawing: Drawing) -> String {
        let items = unlabelled(drawing.items);
        let drawn = items.iter().filter_map(|item| self.painter.item(item));
        drawn.map(|element| element.to_string()).collect::<Vec<_>>().join("\n")
    }

    /// The outlines of all glyphs in the drawings so far, for the page to have once.
    pub fn outlines(mut self) -> String {
        let mut image = Element::new("svg");
        image.assign("class", "outlines");
        image.assign("width", "0");
        image.assign("height", "0");
        image.assign("aria-hidden", "true");
        image.append(self.painter.defined());
        image.to_string()
    }
}

/// The `viewBox` of a drawing.
pub fn view_box(drawing: &Drawing) -> String {
    format!("0 0 {} {}", number(drawing.width), number(drawing.height))
}

/// A length in CSS px, to a tenth.
pub fn px(length: f32) -> String {
    decimals(length, 1)
}

/// A picture as an address of its own bytes; nothing if its dots don't fill it.
pub fn picture(picture: &Picture) -> Option<String> {
    let (kind, bytes) = packed(picture)?;
    Some(address(kind, &bytes))
}

/// Items without their words: those of the whole drawing tell what is in it.
fn unlabelled(items: Vec<Item>) -> Vec<Item> {
    let bare = |item| match item {
        Item::Group(Group { offset, items, .. }) => {
            Item::Group(Group { offset, label: Label::None, items: unlabelled(items) })
        }
        item => item,
    };
    items.into_iter().map(bare).collect()
}

/// Black is the colour of the words, white that of the ground, whichever is the lighter.
fn tint(level: f32) -> String {
    match level {
        0.0 => "currentColor".to_owned(),
        1.0 => GROUND.to_owned(),
        grey => shade(grey),
    }
}
