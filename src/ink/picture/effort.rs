//! What it costs to read an SVG, counted before it is done.
//!
//! A few bytes can ask for much: a `use` of a `use` of many, a pattern in every shape of a pattern, a
//! marker at each corner, dashes finer than dust. The count walks the elements as often as they come to
//! be made, a step for each, and ends where the steps do. What effects there are, whose words can't
//! be drawn and which files it names come to light on the same way.

use super::{DEEPEST_SVG, PictureError};
use resvg::usvg::roxmltree::{Document, Node, NodeId};
use simplecss::{AttributeOperator, Declaration, DeclarationTokenizer, PseudoClass, StyleSheet};
use std::collections::HashMap;
use svgtypes::{
    LengthListParser, LengthUnit, PointsParser, SimplePathSegment, SimplifyingPathParser,
};

/// What an element costs, in dots that could be coloured meanwhile. Measured: some microseconds.
const ELEMENT: u64 = 800;
/// What a corner or dash of a shape costs.
const CORNER: u64 = 40;
/// What matching a rule of the style sheet with an element costs.
const RULE: u64 = 20;
/// The most rules of style sheets, each of their selectors counted: they are put in order again for
/// each. Assumed: drawings have a hundred or so.
const MOST_RULES: usize = 2_000;
/// What each byte of an attribute costs: numbers are read from it.
const BYTE: u64 = 4;

/// The effects whose work is in proportion to the dots that they change.
const EFFECTS: [&str; 14] = [
    "feBlend",
    "feColorMatrix",
    "feComponentTransfer",
    "feComposite",
    "feDropShadow",
    "feFlood",
    "feFuncA",
    "feFuncB",
    "feFuncG",
    "feFuncR",
    "feGaussianBlur",
    "feMerge",
    "feMergeNode",
    "feOffset",
];

/// Counts what reading an SVG takes from `left`.
///
/// # Errors
///
/// Where that isn't enough, it is too deep, or something in it can't be drawn.
pub(super) fn count(document: &Document<'_>, left: &mut u64) -> Result<(), PictureError> {
    let mut counter = Counter {
        ids: HashMap::new(),
        style: style(document)?,
        looks: HashMap::new(),
        left: *left,
    };
    for node in document.descendants() {
        if let Some(id) = node.attribute("id") {
            counter.ids.entry(id).or_insert(node);
        }
    }
    let counted = counter.element(document.root_element(), Looks::default(), 0);
    *left = if counted == Err(PictureError::Work) { 0 } else { counter.left };
    counted
}

/// The style sheets of a document, if they have few enough rules.
fn style<'a>(document: &'a Document<'_>) -> Result<StyleSheet<'a>, PictureError> {
    let styles = document.descendants().filter(|node| node.has_tag_name("style"));
    let texts: Vec<&str> = styles.filter_map(|node| node.text()).collect();
    let rules: usize = texts.iter().map(|text| text.matches(['{', ',']).count()).sum();
    if rules + texts.len() > MOST_RULES {
        return Err(PictureError::Work);
    }
    let mut sheet = StyleSheet::new();
    texts.into_iter().for_each(|text| sheet.parse_more(text));
    Ok(sheet)
}

/// The properties that decide what is made of an element.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Property {
    Fill,
    Stroke,
    MarkerStart,
    MarkerMid,
    MarkerEnd,
    Dashes,
    // Those from here on aren't handed down to the elements within.
    Clip,
    Mask,
}

const PROPERTIES: [(&str, Property); 8] = [
    ("fill", Property::Fill),
    ("stroke", Property::Stroke),
    ("marker-start", Property::MarkerStart),
    ("marker-mid", Property::MarkerMid),
    ("marker-end", Property::MarkerEnd),
    ("stroke-dasharray", Property::Dashes),
    ("clip-path", Property::Clip),
    ("mask", Property::Mask),
];

/// The values of the properties, each with whether it is marked as important.
#[derive(Debug, Clone, Copy, Default)]
struct Looks<'a>([Option<(&'a str, bool)>; 8]);

impl<'a> Looks<'a> {
    fn get(&self, property: Property) -> Option<&'a str> {
        self.0.get(property as usize).copied().flatten().map(|(value, _)| value)
    }

    fn set(&mut self, name: &str, value: &'a str, important: bool) {
        for (known, property) in PROPERTIES {
            let is_meant = known == name || (name == "marker" && known.starts_with("marker-"));
            if let (true, Some(place)) = (is_meant, self.0.get_mut(property as usize))
                && !place.is_some_and(|(_, before)| before)
            {
                *place = Some((value, important));
            }
        }
    }

    fn declare(&mut self, declaration: &Declaration<'a>) {
        self.set(declaration.name, declaration.value, declaration.important);
    }

    /// These looks where they are said, else those around.
    fn within(self, around: Looks<'a>) -> Looks<'a> {
        let mut looks = self;
        for ((_, property), place) in PROPERTIES.iter().zip(&mut looks.0) {
            let inherits = place.is_none_or(|(value, _)| value == "inherit");
            let handed_down = !matches!(property, Property::Clip | Property::Mask);
            if inherits && (handed_down || place.is_some()) {
                *place = around.0.get(*property as usize).copied().flatten();
            }
        }
        looks
    }
}

struct Counter<'a, 'i> {
    ids: HashMap<&'a str, Node<'a, 'i>>,
    style: StyleSheet<'a>,
    /// What elements say of themselves, once it was asked.
    looks: HashMap<NodeId, Looks<'a>>,
    left: u64,
}

impl<'a, 'i> Counter<'a, 'i> {
    fn spend(&mut self, cost: u64) -> Result<(), PictureError> {
        self.left = self.left.checked_sub(cost).ok_or(PictureError::Work)?;
        Ok(())
    }

    /// An element with all that is made for it and within it.
    fn element(
        &mut self,
        node: Node<'a, 'i>,
        around: Looks<'a>,
        depth: usize,
    ) -> Result<(), PictureError> {
        if depth > DEEPEST_SVG {
            return Err(PictureError::Deep);
        }
        let bytes: usize = node.attributes().map(|attribute| attribute.value().len()).sum();
        self.spend(ELEMENT + RULE * self.style.rules.len() as u64 + BYTE * bytes as u64)?;
        can_be_drawn(node)?;
        let looks = self.own_looks(node).within(around);
        self.cut_outs(looks, depth)?;
        match node.tag_name().name() {
            "use" => match self.link(node) {
                Some(target) => self.element(target, looks, depth + 1),
                None => Ok(()),
            },
            "path" | "polygon" | "polyline" | "line" | "rect" | "circle" | "ellipse" => {
                self.shape(node, looks, depth)
            }
            _ => self.children(node, looks, depth),
        }
    }

    /// What an element is cut out by.
    fn cut_outs(&mut self, looks: Looks<'a>, depth: usize) -> Result<(), PictureError> {
        for property in [Property::Clip, Property::Mask] {
            if let Some(target) = looks.get(property).and_then(|value| self.named(value)) {
                self.contents(target, depth)?;
            }
        }
        Ok(())
    }

    fn children(
        &mut self,
        node: Node<'a, 'i>,
        looks: Looks<'a>,
        depth: usize,
    ) -> Result<(), PictureError> {
        let mut elements = node.children().filter(Node::is_element);
        elements.try_for_each(|child| self.element(child, looks, depth + 1))
    }

    /// What stands in a pattern, marker, mask or gradient that something refers to; if it has
    /// nothing of its own, in the one that it is made after.
    fn contents(&mut self, node: Node<'a, 'i>, depth: usize) -> Result<(), PictureError> {
        let (mut from, mut depth) = (node, depth);
        if depth > DEEPEST_SVG {
            return Err(PictureError::Deep);
        }
        while !from.has_children()
            && let Some(other) = self.link(from)
        {
            from = other;
            depth += 1;
            if depth > DEEPEST_SVG {
                return Err(PictureError::Deep);
            }
        }
        let mut looks = Looks::default();
        let mut around: Vec<Node<'a, 'i>> = from.ancestors().filter(Node::is_element).collect();
        while let Some(outer) = around.pop() {
            looks = self.own_looks(outer).within(looks);
        }
        self.cut_outs(looks, depth + 1)?;
        self.children(from, looks, depth + 1)
    }

    /// A shape with its paints, markers and dashes.
    fn shape(
        &mut self,
        node: Node<'a, 'i>,
        looks: Looks<'a>,
        depth: usize,
    ) -> Result<(), PictureError> {
        let outline = outline(node);
        self.spend(CORNER.saturating_mul(outline.corners))?;
        for paint in [Property::Fill, Property::Stroke] {
            if let Some(target) = looks.get(paint).and_then(|value| self.named(value)) {
                self.contents(target, depth)?;
            }
        }
        let markers = [
            (Property::MarkerStart, 1),
            (Property::MarkerMid, outline.corners),
            (Property::MarkerEnd, 1),
        ];
        for (marker, times) in markers {
            if let Some(target) = looks.get(marker).and_then(|value| self.named(value)) {
                let before = self.left;
                self.contents(target, depth)?;
                self.spend((before - self.left).saturating_mul(times.saturating_sub(1)))?;
            }
        }
        let is_stroked = looks.get(Property::Stroke).is_some_and(|paint| paint != "none");
        match looks.get(Property::Dashes).filter(|_| is_stroked) {
            Some(dashes) => self.spend(CORNER.saturating_mul(outline.dashes(dashes))),
            None => Ok(()),
        }
    }

    /// What an element says of itself: attributes, then the style sheet, then its own style.
    fn own_looks(&mut self, node: Node<'a, 'i>) -> Looks<'a> {
        if let Some(known) = self.looks.get(&node.id()) {
            return *known;
        }
        let mut looks = Looks::default();
        // The shorthand is none of the attributes.
        for attribute in node.attributes().filter(|attribute| attribute.name() != "marker") {
            looks.set(attribute.name(), attribute_value(node, attribute.name()), false);
        }
        let rules = self.style.rules.iter().filter(|rule| rule.selector.matches(&Styled(node)));
        rules.flat_map(|rule| &rule.declarations).for_each(|declared| looks.declare(declared));
        let style = attribute_value(node, "style");
        DeclarationTokenizer::from(style).for_each(|declared| looks.declare(&declared));
        self.looks.insert(node.id(), looks);
        looks
    }

    /// The element that a value like `url(#name)` names.
    fn named(&self, value: &str) -> Option<Node<'a, 'i>> {
        let (_, name) = value.split_once('#')?;
        let name = name.split([')', '"', '\'']).next()?.trim();
        value.trim_start().starts_with("url").then(|| self.ids.get(name).copied()).flatten()
    }

    /// The element that an element's link leads to.
    fn link(&self, node: Node<'a, 'i>) -> Option<Node<'a, 'i>> {
        self.ids.get(address(node)?.strip_prefix('#')?).copied()
    }
}

/// An attribute's value, whatever its namespace; it lives as long as the document.
fn attribute_value<'a>(node: Node<'a, '_>, name: &str) -> &'a str {
    let found = node.attributes().find(|attribute| attribute.name() == name);
    found.map_or("", |attribute| attribute.value())
}

/// Where an element's link leads, the plain one before that of XLink.
fn address<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    const XLINK: &str = "http://www.w3.org/1999/xlink";
    node.attribute("href").or_else(|| node.attribute((XLINK, "href"))).map(str::trim)
}

/// Whether we draw an element as it is meant.
fn can_be_drawn(node: Node<'_, '_>) -> Result<(), PictureError> {
    let name = node.tag_name().name();
    let has_words = || {
        let mut texts = node.descendants().filter_map(|inner| inner.text());
        texts.any(|text| !text.trim().is_empty())
    };
    match name {
        "text" | "foreignObject" if has_words() => Err(PictureError::Words),
        "image" => match address(node) {
            Some(address) if address.starts_with("data:") => Ok(()),
            Some(_) => Err(PictureError::OtherFile),
            None => Ok(()),
        },
        "use" if address(node).is_some_and(|address| !address.starts_with('#')) => {
            Err(PictureError::OtherFile)
        }
        _ if name.starts_with("fe") && !EFFECTS.contains(&name) => {
            Err(PictureError::Effect(name.to_owned()))
        }
        _ => Ok(()),
    }
}

/// How many corners a shape has, and a length that its outline doesn't exceed.
struct Outline {
    corners: u64,
    length: f64,
}

impl Outline {
    /// How many dashes of a list its line has at most; any number where lengths hang on something
    /// else than the list.
    fn dashes(&self, list: &str) -> u64 {
        let lengths = LengthListParser::from(list).filter_map(Result::ok);
        let lengths: Option<Vec<f64>> =
            lengths.map(|length| Some((length.number * in_units(length.unit)?).max(0.0))).collect();
        let Some(lengths) = lengths else { return u64::MAX };
        let period: f64 = lengths.iter().sum();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Casts stay within bounds.
        #[allow(clippy::cast_precision_loss)] // Far fewer than 53 bits.
        let dashes = (self.length / period * lengths.len() as f64) as u64;
        if period > 0.0 { dashes } else { 0 }
    }
}

/// How many units of an SVG a unit of length has (CSS Values 3, section 6.2), if that is fixed.
fn in_units(unit: LengthUnit) -> Option<f64> {
    match unit {
        LengthUnit::None | LengthUnit::Px => Some(1.0),
        LengthUnit::In => Some(96.0),
        LengthUnit::Cm => Some(96.0 / 2.54),
        LengthUnit::Mm => Some(96.0 / 25.4),
        LengthUnit::Pt => Some(96.0 / 72.0),
        LengthUnit::Pc => Some(16.0),
        LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => None,
    }
}

fn outline(node: Node<'_, '_>) -> Outline {
    match node.tag_name().name() {
        "path" => along(path_points(node.attribute("d").unwrap_or_default())),
        "polygon" | "polyline" => {
            let points = PointsParser::from(node.attribute("points").unwrap_or_default());
            along(points)
        }
        _ => {
            // Each measure of a plain shape, gone round four times twice over, is more than its
            // outline; one that hangs on something else might be any.
            let measure = |attribute: &str| {
                let length = attribute.parse::<svgtypes::Length>().ok()?;
                Some(
                    in_units(length.unit)
                        .map_or(f64::INFINITY, |unit| (length.number * unit).abs()),
                )
            };
            let names = ["x1", "x2", "y1", "y2", "width", "height", "r", "rx", "ry"];
            let measures =
                names.iter().filter_map(|name| node.attribute(*name)).filter_map(measure);
            Outline { corners: 8, length: 8.0 * measures.sum::<f64>() }
        }
    }
}

/// The points that a path's course goes by, those that curves bend to included.
fn path_points(course: &str) -> impl Iterator<Item = (f64, f64)> {
    let segments = SimplifyingPathParser::from(course).map_while(Result::ok);
    segments.flat_map(|segment| {
        let (points, count) = match segment {
            SimplePathSegment::MoveTo { x, y } | SimplePathSegment::LineTo { x, y } => {
                ([(x, y); 3], 1)
            }
            SimplePathSegment::Quadratic { x1, y1, x, y } => ([(x1, y1), (x, y), (x, y)], 2),
            SimplePathSegment::CurveTo { x1, y1, x2, y2, x, y } => {
                ([(x1, y1), (x2, y2), (x, y)], 3)
            }
            SimplePathSegment::ClosePath => ([(0.0, 0.0); 3], 0),
        };
        points.into_iter().take(count)
    })
}

/// The outline along points, which may be closed once.
fn along(points: impl Iterator<Item = (f64, f64)>) -> Outline {
    let mut outline = Outline { corners: 0, length: 0.0 };
    let mut last: Option<(f64, f64)> = None;
    for (x, y) in points {
        if let Some((before_x, before_y)) = last {
            outline.length += (x - before_x).hypot(y - before_y);
        }
        last = Some((x, y));
        outline.corners += 1;
    }
    outline.length *= 2.0;
    outline
}

/// An element to the style sheet's selectors.
struct Styled<'a, 'i>(Node<'a, 'i>);

impl simplecss::Element for Styled<'_, '_> {
    fn parent_element(&self) -> Option<Self> {
        self.0.parent_element().map(Styled)
    }

    fn prev_sibling_element(&self) -> Option<Self> {
        self.0.prev_sibling_element().map(Styled)
    }

    fn has_local_name(&self, name: &str) -> bool {
        self.0.tag_name().name() == name
    }

    fn attribute_matches(&self, name: &str, operator: AttributeOperator<'_>) -> bool {
        self.0.attribute(name).is_some_and(|value| operator.matches(value))
    }

    fn pseudo_class_matches(&self, class: PseudoClass<'_>) -> bool {
        matches!(class, PseudoClass::FirstChild) && self.prev_sibling_element().is_none()
    }
}
