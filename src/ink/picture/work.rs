//! What it costs to draw an SVG, counted before it is done.
//!
//! The count goes through the tree as whoever draws it does, and adds up the dots that each shape,
//! layer and effect touches. It ends as soon as they are too many.

use super::{MOST_DOTS, PictureError};
use resvg::tiny_skia::{IntSize, PathSegment, Point, Rect, Transform};
use resvg::usvg::{ClipPath, Group, Image, Mask, Node, Paint, Path, Pattern, Stroke, Tree};

/// A dot of a gradient, pattern or picture costs so many plain ones. Measured, as what follows.
const SHADED: u64 = 6;
/// A dot of a layer: it is cleared, and laid on what is beneath.
const LAYERED: u64 = 6;
/// A dot of an effect.
const EFFECT: u64 = 12;
/// A line that an edge crosses, four times for smooth edges.
const CROSSED: u64 = 8;
/// A corner of a path.
const CORNER: u64 = 60;
/// Layers reach so many times as far as the picture (they are cut off there).
const REACH: f32 = 5.0;
/// Coordinates beyond so many dots are not exact any more, and drawing with them fails.
const FARTHEST: f32 = 1e7;

/// Counts what drawing a tree on so many dots takes from `left`.
///
/// # Errors
///
/// Where that isn't enough.
pub(super) fn count(
    tree: &Tree,
    to_dots: Transform,
    (columns, rows): (u32, u32),
    left: &mut u64,
) -> Result<(), PictureError> {
    #[allow(clippy::cast_precision_loss)] // Small numbers.
    let sheet = Sheet { width: columns as f32, height: rows as f32 };
    let mut counter = Counter { left: *left, reach: sheet.reach(), layers: 0 };
    counter.spend(sheet.dots(sheet.whole()))?;
    let counted = counter.children(tree.root(), to_dots, sheet);
    *left = counter.left;
    counted
}

/// What is drawn on: the picture or a layer.
#[derive(Debug, Clone, Copy)]
struct Sheet {
    width: f32,
    height: f32,
}

impl Sheet {
    fn whole(self) -> Option<Rect> {
        Rect::from_xywh(0.0, 0.0, self.width, self.height)
    }

    /// How many dots a layer has at most.
    fn reach(self) -> f32 {
        self.width * REACH * self.height * REACH
    }

    /// How many of its dots lie in a rectangle, wherever that lies.
    fn dots(self, part: Option<Rect>) -> u64 {
        let Some(part) = part else { return 0 };
        let (width, height) = (part.width().min(self.width) + 1.0, part.height().min(self.height));
        whole(width * (height + 1.0))
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Casts stay within bounds.
fn whole(number: f32) -> u64 {
    number as u64
}

struct Counter {
    left: u64,
    /// How many dots a layer has at most.
    reach: f32,
    /// The dots of the layers that are held at once.
    layers: u64,
}

impl Counter {
    fn spend(&mut self, dots: u64) -> Result<(), PictureError> {
        self.left = self.left.checked_sub(dots).ok_or(PictureError::Work)?;
        Ok(())
    }

    fn children(&mut self, group: &Group, at: Transform, on: Sheet) -> Result<(), PictureError> {
        group.children().iter().try_for_each(|node| match node {
            Node::Group(inner) => self.group(inner, at, on),
            Node::Path(path) => self.path(path, at, on),
            Node::Image(image) => self.image(image, at, on),
            Node::Text(_) => Err(PictureError::Words),
        })
    }

    fn group(&mut self, group: &Group, at: Transform, on: Sheet) -> Result<(), PictureError> {
        let at = at.pre_concat(group.transform());
        if !group.should_isolate() {
            return self.children(group, at, on);
        }
        let frame = placed(group.layer_bounding_box().to_rect(), at)?;
        let layer = Sheet { width: frame.width() + 4.0, height: frame.height() + 4.0 };
        let size = whole((layer.width * layer.height).min(self.reach));
        self.spend(LAYERED.saturating_mul(size))?;
        self.hold(size, |counter| counter.within_layer(group, at, layer, size))
    }

    /// Does something while so many more dots are held.
    fn hold(
        &mut self,
        dots: u64,
        count: impl FnOnce(&mut Counter) -> Result<(), PictureError>,
    ) -> Result<(), PictureError> {
        self.layers += dots;
        if self.layers > MOST_DOTS {
            return Err(PictureError::Work);
        }
        count(self)?;
        self.layers -= dots;
        Ok(())
    }

    fn within_layer(
        &mut self,
        group: &Group,
        at: Transform,
        layer: Sheet,
        size: u64,
    ) -> Result<(), PictureError> {
        self.children(group, at, layer)?;
        let effects: usize =
            group.filters().iter().map(|filter| filter.primitives().len() + 1).sum();
        self.spend(EFFECT.saturating_mul(size).saturating_mul(effects as u64))?;
        if let Some(clip) = group.clip_path() {
            self.hold(size, |counter| counter.clip(clip, at, layer, size))?;
        }
        match group.mask() {
            Some(mask) => self.hold(size, |counter| counter.mask(mask, at, layer, size)),
            None => Ok(()),
        }
    }

    fn clip(
        &mut self,
        clip: &ClipPath,
        at: Transform,
        on: Sheet,
        size: u64,
    ) -> Result<(), PictureError> {
        self.spend(LAYERED.saturating_mul(size))?;
        self.clip_children(clip.root(), at.pre_concat(clip.transform()), on, size)?;
        match clip.clip_path() {
            Some(outer) => self.hold(size, |counter| counter.clip(outer, at, on, size)),
            None => Ok(()),
        }
    }

    fn clip_children(
        &mut self,
        group: &Group,
        at: Transform,
        on: Sheet,
        size: u64,
    ) -> Result<(), PictureError> {
        group.children().iter().try_for_each(|node| match node {
            Node::Path(path) => self.path(path, at, on),
            Node::Group(inner) => {
                let at = at.pre_concat(inner.transform());
                self.clip_children(inner, at, on, size)?;
                match inner.clip_path() {
                    Some(clip) => self.hold(size, |counter| counter.clip(clip, at, on, size)),
                    None => Ok(()),
                }
            }
            Node::Image(_) | Node::Text(_) => Ok(()),
        })
    }

    fn mask(
        &mut self,
        mask: &Mask,
        at: Transform,
        on: Sheet,
        size: u64,
    ) -> Result<(), PictureError> {
        self.spend(LAYERED.saturating_mul(size))?;
        self.children(mask.root(), at, on)?;
        match mask.mask() {
            Some(outer) => self.hold(size, |counter| counter.mask(outer, at, on, size)),
            None => Ok(()),
        }
    }

    fn path(&mut self, path: &Path, at: Transform, on: Sheet) -> Result<(), PictureError> {
        let dots = on.dots(Some(placed(path.stroke_bounding_box(), at)?));
        let edges = edges(path, at, on);
        if let Some(fill) = path.fill() {
            self.spend(edges)?;
            self.paint(fill.paint(), dots, at)?;
        }
        if let Some(stroke) = path.stroke() {
            // Both sides of the line, its corners and ends.
            self.spend(edges.saturating_mul(3 + dashes(path, stroke)))?;
            self.paint(stroke.paint(), dots, at)?;
        }
        Ok(())
    }

    fn paint(&mut self, paint: &Paint, dots: u64, at: Transform) -> Result<(), PictureError> {
        let stops = match paint {
            Paint::Color(_) => return self.spend(dots),
            Paint::LinearGradient(gradient) => gradient.stops().len(),
            Paint::RadialGradient(gradient) => gradient.stops().len(),
            Paint::Pattern(pattern) => {
                self.pattern(pattern, at)?;
                0
            }
        };
        self.spend(dots.saturating_mul(SHADED + stops as u64))
    }

    /// A pattern is drawn once for each shape that is filled with it.
    fn pattern(&mut self, pattern: &Pattern, at: Transform) -> Result<(), PictureError> {
        let (across, down) = at.pre_concat(pattern.transform()).get_scale();
        let (width, height) = (pattern.rect().width() * across, pattern.rect().height() * down);
        let dots = width * height;
        if dots.is_nan() || dots > self.reach {
            return Err(PictureError::Work);
        }
        let tile = Sheet { width, height };
        let size = tile.dots(tile.whole());
        self.spend(LAYERED.saturating_mul(size))?;
        let scaled = Transform::from_scale(across, down);
        self.hold(size, |counter| counter.children(pattern.root(), scaled, tile))
    }

    fn image(&mut self, image: &Image, at: Transform, on: Sheet) -> Result<(), PictureError> {
        let own = IntSize::from_wh(image.size().width() as u32, image.size().height() as u32);
        let own = own.map_or(0, |size| u64::from(size.width()) * u64::from(size.height()));
        let dots = on.dots(Some(placed(image.bounding_box(), at)?));
        self.spend(own.saturating_add(SHADED.saturating_mul(dots)))
    }
}

/// Where a rectangle comes to lie, if that isn't too far.
fn placed(rect: Rect, at: Transform) -> Result<Rect, PictureError> {
    let placed = rect.transform(at).ok_or(PictureError::Far)?;
    let sides = [placed.left(), placed.top(), placed.right(), placed.bottom()];
    let is_near = sides.iter().all(|side| side.abs() <= FARTHEST);
    if is_near { Ok(placed) } else { Err(PictureError::Far) }
}

/// What the corners of a path and the lines that its edges cross cost.
fn edges(path: &Path, at: Transform, on: Sheet) -> u64 {
    let (mut cost, mut last) = (0_u64, 0.0_f32);
    for segment in path.data().segments() {
        let (points, count) = match segment {
            PathSegment::MoveTo(to) | PathSegment::LineTo(to) => ([to; 3], 1),
            PathSegment::QuadTo(bend, to) => ([bend, to, to], 2),
            PathSegment::CubicTo(first, second, to) => ([first, second, to], 3),
            PathSegment::Close => ([Point::zero(); 3], 0),
        };
        cost += CORNER;
        for mut point in points.into_iter().take(count) {
            at.map_point(&mut point);
            cost = cost.saturating_add(CROSSED * whole((point.y - last).abs().min(on.height)));
            last = point.y;
        }
    }
    cost
}

/// Roughly how many dashes each segment of a path has.
fn dashes(path: &Path, stroke: &Stroke) -> u64 {
    let Some(list) = stroke.dasharray() else { return 0 };
    let period: f32 = list.iter().sum();
    let bounds = path.data().bounds();
    whole((bounds.width() + bounds.height()) / period.max(f32::MIN_POSITIVE))
        .saturating_mul(list.len() as u64)
}
