//! The PNG painter: an SVG image in dots.

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg;
use std::fmt;

/// What an image is laid on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// White paper.
    White,
    /// Nothing: what isn't inked stays see-through.
    Clear,
}

/// Why there is no image.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PngError {
    /// The SVG can't be read; the reason.
    Unreadable(String),
    /// It would have more dots than [`MOST_DOTS`], or none.
    Size,
    /// It can't be packed; the reason.
    Unpackable(String),
}

impl fmt::Display for PngError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PngError::Unreadable(why) => write!(f, "the image can't be read: {why}"),
            PngError::Size => write!(f, "the image would have no dots, or too many"),
            PngError::Unpackable(why) => write!(f, "the image can't be written: {why}"),
        }
    }
}

impl std::error::Error for PngError {}

/// The most dots of an image: an A3 page at 600 dots an inch has 70 million.
pub const MOST_DOTS: u64 = 80_000_000;

/// An SVG image of ours as PNG, with so many dots an inch.
pub fn paint(svg: &str, dots_per_inch: f32, ground: Ground) -> Result<Vec<u8>, PngError> {
    // An SVG length of a point is read as 96/72 units, and 96 units are an inch.
    let (tree, scale) = (tree(svg)?, dots_per_inch / 96.0);
    let dots = canvas(tree.size().width() * scale, tree.size().height() * scale)?;
    render(&tree, Transform::from_scale(scale, scale), dots, ground)
}

/// An SVG image of ours as PNG of so many dots across and down.
pub fn paint_to(
    svg: &str,
    (width, height): (u16, u16),
    ground: Ground,
) -> Result<Vec<u8>, PngError> {
    let (tree, width, height) = (tree(svg)?, f32::from(width), f32::from(height));
    let scale = Transform::from_scale(width / tree.size().width(), height / tree.size().height());
    render(&tree, scale, canvas(width, height)?, ground)
}

fn tree(svg: &str) -> Result<usvg::Tree, PngError> {
    usvg::Tree::from_str(svg, &usvg::Options::default())
        .map_err(|error| PngError::Unreadable(error.to_string()))
}

fn render(
    tree: &usvg::Tree,
    scale: Transform,
    mut dots: Pixmap,
    ground: Ground,
) -> Result<Vec<u8>, PngError> {
    if ground == Ground::White {
        dots.fill(Color::WHITE);
    }
    resvg::render(tree, scale, &mut dots.as_mut());
    dots.encode_png().map_err(|error| PngError::Unpackable(error.to_string()))
}

/// An empty canvas, its sides rounded up to whole dots.
pub(super) fn canvas(width: f32, height: f32) -> Result<Pixmap, PngError> {
    let (width, height) = (width.ceil(), height.ceil());
    #[allow(clippy::cast_precision_loss)] // A limit need not be exact.
    let fits = width >= 1.0 && height >= 1.0 && width * height <= MOST_DOTS as f32;
    if !fits {
        return Err(PngError::Size);
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Checked above.
    Pixmap::new(width as u32, height as u32).ok_or(PngError::Size)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const SQUARE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="36pt" height="18pt" viewBox="0 0 36 18"><path fill="#000" d="M0 0H18V18H0Z"/></svg>"##;

    #[test]
    fn an_inch_has_its_dots_and_a_ground() {
        for (ground, alpha) in [(Ground::White, 255), (Ground::Clear, 0)] {
            let map = Pixmap::decode_png(&paint(SQUARE, 144.0, ground).unwrap()).unwrap();
            assert_eq!((map.width(), map.height()), (72, 36));
            assert_eq!(map.pixel(5, 5).unwrap().alpha(), 255);
            assert_eq!(map.pixel(5, 5).unwrap().red(), 0);
            assert_eq!(map.pixel(60, 5).unwrap().alpha(), alpha);
        }
    }

    #[test]
    fn what_cannot_be_painted_is_an_error() {
        assert_eq!(paint(SQUARE, 100_000.0, Ground::White), Err(PngError::Size));
        assert_eq!(paint(SQUARE, 0.0, Ground::White), Err(PngError::Size));
        assert_eq!(paint(SQUARE, f32::NAN, Ground::White), Err(PngError::Size));
        assert!(matches!(paint("<svg", 96.0, Ground::White), Err(PngError::Unreadable(_))));
    }
}
