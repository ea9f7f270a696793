//! Pictures in prose: from a file's bytes (PNG, JPEG or SVG) to dots on white.

use super::drawing::{Jpeg, Picture};
use super::png::canvas;
use super::units::pt;
use resvg::tiny_skia::{Color, IntSize, Pixmap, Transform};
use resvg::usvg::{self, roxmltree};
use std::fmt;
use std::sync::Arc;
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

/// The most dots of a picture that is read; a camera's have 12 to 24 million.
pub const MOST_DOTS: u64 = 25_000_000;

/// The most dots along a side that are kept: 300 an inch over eight inches.
const LONGEST_SIDE: u32 = 2400;

/// Why a picture can't be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PictureError {
    /// It is of another kind.
    Kind,
    /// It has more than [`MOST_DOTS`], or none.
    Size,
    /// It is damaged; the reason.
    Damaged(String),
    /// It is an SVG with text, for which a page has no fonts.
    Text,
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PictureError::Kind => write!(f, "it is neither PNG nor JPEG nor SVG"),
            PictureError::Size => {
                write!(f, "it has no dots, or more than {} million", MOST_DOTS / 1_000_000)
            }
            PictureError::Damaged(why) => write!(f, "it is damaged: {why}"),
            PictureError::Text => write!(f, "it has text in it that isn't turned into outlines"),
        }
    }
}

impl std::error::Error for PictureError {}

fn damaged(why: impl fmt::Display) -> PictureError {
    PictureError::Damaged(why.to_string())
}

/// Reads a picture. Its size on paper is that of 96 dots to the inch; the page makes it smaller
/// where it doesn't fit.
pub fn read(bytes: &[u8]) -> Result<Picture, PictureError> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        read_png(bytes)
    } else if bytes.starts_with(b"\xFF\xD8\xFF") {
        read_jpeg(bytes)
    } else {
        read_svg(bytes)
    }
}

/// Dots in sRGB, three bytes each.
struct Sheet {
    columns: u32,
    rows: u32,
    dots: Vec<u8>,
}

impl Sheet {
    fn picture(self) -> Picture {
        #[allow(clippy::cast_precision_loss)] // Far fewer than 24 bits.
        let length = |dots: u32| pt(dots as f32 * 72.0 / 96.0);
        let (width, height) = (length(self.columns), length(self.rows));
        let Sheet { columns, rows, dots } = self.shrunk();
        Picture { width, height, columns, rows, dots: dots.into(), jpeg: None }
    }

    /// The sheet with squares of dots averaged, as many as leave no side too long.
    fn shrunk(self) -> Sheet {
        let by = self.columns.max(self.rows).div_ceil(LONGEST_SIDE);
        if by <= 1 {
            return self;
        }
        let (columns, rows) = ((self.columns / by).max(1), (self.rows / by).max(1));
        let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
        let dots = places.flat_map(|(x, y)| self.average(x * by, y * by, by)).collect();
        Sheet { columns, rows, dots }
    }

    /// The mean of a square of dots.
    fn average(&self, left: u32, top: u32, side: u32) -> [u8; 3] {
        let (mut sum, mut count) = ([0_u32; 3], 0);
        for y in top..(top + side).min(self.rows) {
            for x in left..(left + side).min(self.columns) {
                for (sum, part) in sum.iter_mut().zip(self.dot(x, y)) {
                    *sum += u32::from(part);
                }
                count += 1;
            }
        }
        sum.map(|sum| u8::try_from(sum / count.max(1)).unwrap_or(u8::MAX))
    }

    fn dot(&self, column: u32, row: u32) -> [u8; 3] {
        let at = (row as usize * self.columns as usize + column as usize) * 3;
        self.dots.get(at..).and_then(|dots| dots.first_chunk()).copied().unwrap_or([255; 3])
    }

    /// The sheet turned as a camera says that it was held (Exif 2.3, tag 0x0112).
    fn turned(self, orientation: u8) -> Sheet {
        let (last_x, last_y) = (self.columns.saturating_sub(1), self.rows.saturating_sub(1));
        let upright = |x: u32, y: u32| match orientation {
            2 => (last_x - x, y),
            3 => (last_x - x, last_y - y),
            4 => (x, last_y - y),
            5 => (y, x),
            6 => (y, last_y - x),
            7 => (last_x - y, last_y - x),
            8 => (last_x - y, x),
            _ => (x, y),
        };
        let (columns, rows) = match orientation {
            2..=4 => (self.columns, self.rows),
            5..=8 => (self.rows, self.columns),
            _ => return self,
        };
        let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
        let dots = places
            .flat_map(|(x, y)| {
                let (x, y) = upright(x, y);
                self.dot(x, y)
            })
            .collect();
        Sheet { columns, rows, dots }
    }
}

fn check_size(columns: u32, rows: u32) -> Result<(), PictureError> {
    let dots = u64::from(columns) * u64::from(rows);
    if dots == 0 || dots > MOST_DOTS { Err(PictureError::Size) } else { Ok(()) }
}

fn read_png(bytes: &[u8]) -> Result<Picture, PictureError> {
    let (columns, rows) = png_size(bytes).ok_or_else(|| damaged("it breaks off"))?;
    check_size(columns, rows)?;
    let map = Pixmap::decode_png(bytes).map_err(damaged)?;
    Ok(on_white(&map).picture())
}

/// The size in dots of a PNG, which stands 16 bytes from its beginning (ISO 15948, 11.2.2).
fn png_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let side = |at: usize| Some(u32::from_be_bytes(*bytes.get(at..)?.first_chunk()?));
    Some((side(16)?, side(20)?))
}

/// Dots laid on white paper.
fn on_white(map: &Pixmap) -> Sheet {
    let dots = map.pixels().iter().flat_map(|dot| {
        // What the ink leaves bare is white; the dots' colours are weighted already.
        let paper = u8::MAX - dot.alpha();
        [dot.red(), dot.green(), dot.blue()].map(|part| part.saturating_add(paper))
    });
    Sheet { columns: map.width(), rows: map.height(), dots: dots.collect() }
}

fn read_jpeg(bytes: &[u8]) -> Result<Picture, PictureError> {
    let options = DecoderOptions::default().jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(damaged)?;
    let info = decoder.info().ok_or_else(|| damaged("it has no size"))?;
    let (columns, rows) = (u32::from(info.width), u32::from(info.height));
    check_size(columns, rows)?;
    let dots = decoder.decode().map_err(damaged)?;
    let orientation = info.exif_data.as_deref().and_then(orientation).unwrap_or(1);
    let mut picture = Sheet { columns, rows, dots }.turned(orientation).picture();
    // A file of grey or of colours may go into a PDF as it is.
    let upright = !(2..=8).contains(&orientation);
    picture.jpeg = (upright && matches!(info.components, 1 | 3)).then(|| Jpeg {
        columns,
        rows,
        grey: info.components == 1,
        bytes: Arc::from(bytes),
    });
    Ok(picture)
}

/// How a camera was held: the value of Exif's tag 0x0112 in its first directory.
fn orientation(exif: &[u8]) -> Option<u8> {
    let little = exif.starts_with(b"II");
    let short = |at: usize| {
        let bytes = *exif.get(at..)?.first_chunk()?;
        Some(if little { u16::from_le_bytes(bytes) } else { u16::from_be_bytes(bytes) })
    };
    let long = |at: usize| {
        let bytes = *exif.get(at..)?.first_chunk()?;
        Some(if little { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) })
    };
    let directory = usize::try_from(long(4)?).ok()?;
    let entries = (0..usize::from(short(directory)?)).map(|index| directory + 2 + index * 12);
    let found = entries.into_iter().find(|&entry| short(entry) == Some(0x0112))?;
    short(found + 8)?.try_into().ok()
}

fn read_svg(bytes: &[u8]) -> Result<Picture, PictureError> {
    let text = std::str::from_utf8(bytes).map_err(|_| PictureError::Kind)?;
    if !text.contains("<svg") {
        return Err(PictureError::Kind);
    }
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let document = roxmltree::Document::parse_with_options(text, options).map_err(damaged)?;
    if document.descendants().any(|node| node.tag_name().name() == "text") {
        return Err(PictureError::Text);
    }
    let tree = usvg::Tree::from_xmltree(&document, &closed()).map_err(damaged)?;
    draw(&tree)
}

/// Reading without a look at any other file: an SVG may hold small pictures, not name some.
fn closed<'a>() -> usvg::Options<'a> {
    let resolve_data = |_: &str, data: Arc<Vec<u8>>, _: &usvg::Options| {
        let fits = |(columns, rows)| check_size(columns, rows).is_ok();
        match data.first() {
            Some(0x89) if png_size(&data).is_some_and(fits) => Some(usvg::ImageKind::PNG(data)),
            Some(0xFF) if jpeg_size(&data).is_some_and(fits) => Some(usvg::ImageKind::JPEG(data)),
            _ => None,
        }
    };
    usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(resolve_data),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    }
}

/// The size in dots of a JPEG.
fn jpeg_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut decoder = JpegDecoder::new(ZCursor::new(bytes));
    decoder.decode_headers().ok()?;
    decoder.info().map(|info| (u32::from(info.width), u32::from(info.height)))
}

/// An SVG in dots, 300 to the inch or as many as may be.
fn draw(tree: &usvg::Tree) -> Result<Picture, PictureError> {
    let (width, height) = (tree.size().width(), tree.size().height());
    #[allow(clippy::cast_precision_loss)] // A small number.
    let most = LONGEST_SIDE as f32 / width.max(height);
    let scale = (300.0 / 96.0_f32).min(most);
    let mut map = canvas(width * scale, height * scale).map_err(|_| PictureError::Size)?;
    map.fill(Color::WHITE);
    resvg::render(tree, Transform::from_scale(scale, scale), &mut map.as_mut());
    let (width, height) = (pt(width * 72.0 / 96.0), pt(height * 72.0 / 96.0));
    Ok(Picture { width, height, ..on_white(&map).picture() })
}

/// A picture's dots packed as PNG; `None` if there are not as many as its size says.
pub(super) fn encoded(picture: &Picture) -> Option<Vec<u8>> {
    let size = IntSize::from_wh(picture.columns, picture.rows)?;
    let opaque = picture.dots.as_chunks::<3>().0.iter().flat_map(|&[r, g, b]| [r, g, b, 255]);
    Pixmap::from_vec(opaque.collect(), size)?.encode_png().ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A JPEG of 16 by 8 dots: a red square, and a white one to its right.
    const TWO_SQUARES: &[u8] = &[
        0xFF, 0xD8, 0xFF, 0xE0, 0x00, 0x10, 0x4A, 0x46, 0x49, 0x46, 0x00, 0x01, 0x01, 0x00, 0x00,
        0x01, 0x00, 0x01, 0x00, 0x00, 0xFF, 0xDB, 0x00, 0x43, 0x00, 0x0D, 0x09, 0x0A, 0x0B, 0x0A,
        0x08, 0x0D, 0x0B, 0x0A, 0x0B, 0x0E, 0x0E, 0x0D, 0x0F, 0x13, 0x20, 0x15, 0x13, 0x12, 0x12,
        0x13, 0x27, 0x1C, 0x1E, 0x17, 0x20, 0x2E, 0x29, 0x31, 0x30, 0x2E, 0x29, 0x2D, 0x2C, 0x33,
        0x3A, 0x4A, 0x3E, 0x33, 0x36, 0x46, 0x37, 0x2C, 0x2D, 0x40, 0x57, 0x41, 0x46, 0x4C, 0x4E,
        0x52, 0x53, 0x52, 0x32, 0x3E, 0x5A, 0x61, 0x5A, 0x50, 0x60, 0x4A, 0x51, 0x52, 0x4F, 0xFF,
        0xDB, 0x00, 0x43, 0x01, 0x0E, 0x0E, 0x0E, 0x13, 0x11, 0x13, 0x26, 0x15, 0x15, 0x26, 0x4F,
        0x35, 0x2D, 0x35, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F,
        0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F,
        0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F,
        0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0xFF, 0xC0, 0x00, 0x11, 0x08, 0x00, 0x08,
        0x00, 0x10, 0x03, 0x01, 0x22, 0x00, 0x02, 0x11, 0x01, 0x03, 0x11, 0x01, 0xFF, 0xC4, 0x00,
        0x16, 0x00, 0x01, 0x01, 0x01, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00,
        0x00, 0x00, 0x00, 0x00, 0x05, 0x07, 0xFF, 0xC4, 0x00, 0x14, 0x10, 0x01, 0x00, 0x00, 0x00,
        0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0xFF, 0xC4,
        0x00, 0x15, 0x01, 0x01, 0x01, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00,
        0x00, 0x00, 0x00, 0x00, 0x04, 0x05, 0xFF, 0xC4, 0x00, 0x1A, 0x11, 0x00, 0x01, 0x05, 0x01,
        0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x04, 0x05,
        0x41, 0x42, 0x81, 0xC1, 0xFF, 0xDA, 0x00, 0x0C, 0x03, 0x01, 0x00, 0x02, 0x11, 0x03, 0x11,
        0x00, 0x3F, 0x00, 0x84, 0xDA, 0xC0, 0x74, 0xF2, 0x58, 0x76, 0xA6, 0xF0, 0xFF, 0xD9,
    ];

    fn sheet(columns: u32, rows: u32, greys: &[u8]) -> Sheet {
        Sheet { columns, rows, dots: greys.iter().flat_map(|&grey| [grey; 3]).collect() }
    }

    fn greys(sheet: &Sheet) -> Vec<u8> {
        sheet.dots.chunks(3).map(|dot| dot[0]).collect()
    }

    #[test]
    fn a_png_comes_back_and_lies_on_white() {
        let mut map = Pixmap::new(2, 1).unwrap();
        map.pixels_mut()[0] = Color::BLACK.premultiply().to_color_u8();
        let picture = read(&map.encode_png().unwrap()).unwrap();
        assert_eq!((picture.columns, picture.rows), (2, 1));
        assert_eq!((picture.width, picture.height), (pt(1.5), pt(0.75)));
        assert_eq!(*picture.dots, [0, 0, 0, 255, 255, 255]);
        assert_eq!(read(&encoded(&picture).unwrap()).unwrap(), picture);
    }

    #[test]
    fn a_jpeg_is_read_and_kept_as_it_is() {
        let picture = read(TWO_SQUARES).unwrap();
        assert_eq!((picture.columns, picture.rows), (16, 8));
        let [red, green, ..] = *picture.dots else { panic!() };
        assert!(red > 150 && green < 90, "{red} {green}");
        assert!(picture.dots.last().is_some_and(|&blue| blue > 240));
        let jpeg = picture.jpeg.unwrap();
        assert_eq!((jpeg.columns, jpeg.rows, jpeg.grey), (16, 8, false));
        assert_eq!(*jpeg.bytes, *TWO_SQUARES);
    }

    #[test]
    fn an_svg_is_drawn_on_white_at_300_dots_an_inch() {
        let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="96" height="48"><rect width="48" height="48"/></svg>"#;
        let picture = read(svg).unwrap();
        assert_eq!((picture.columns, picture.rows), (300, 150));
        assert_eq!((picture.width, picture.height), (pt(72.0), pt(36.0)));
        assert_eq!((picture.dots.first(), picture.dots.last()), (Some(&0), Some(&255)));
    }

    #[test]
    fn an_svg_sees_no_other_file() {
        let svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><image width="9" height="9" href="{}/Cargo.toml"/></svg>"#,
            env!("CARGO_MANIFEST_DIR")
        );
        assert!(read(svg.as_bytes()).unwrap().dots.iter().all(|&part| part == 255));
    }

    #[test]
    fn what_cannot_be_read_says_why() {
        let text =
            br#"<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text>a</text></svg>"#;
        assert_eq!(read(text), Err(PictureError::Text));
        assert_eq!(read(b"GIF89a"), Err(PictureError::Kind));
        assert_eq!(read(b""), Err(PictureError::Kind));
        let mut huge = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
        huge.extend([0, 1, 0, 0, 0, 1, 0, 0]);
        assert_eq!(read(&huge), Err(PictureError::Size));
        let short = TWO_SQUARES.get(..100).unwrap();
        assert!(matches!(read(short), Err(PictureError::Damaged(_))));
    }

    #[test]
    fn a_large_sheet_is_averaged() {
        let by_row = |row: u32| if row.is_multiple_of(2) { 100 } else { 200 };
        let dots: Vec<u8> = (0..4800).map(by_row).collect();
        let small = sheet(1, 4800, &dots).shrunk();
        assert_eq!((small.columns, small.rows), (1, 2400));
        assert!(greys(&small).iter().all(|&grey| grey == 150));
    }

    #[test]
    fn a_turned_camera_is_turned_back() {
        // Exif 2.3, orientation: where the file's first row and first column are seen.
        let rows: [(u8, u32, [u8; 6]); 8] = [
            (1, 3, [1, 2, 3, 4, 5, 6]),
            (2, 3, [3, 2, 1, 6, 5, 4]),
            (3, 3, [6, 5, 4, 3, 2, 1]),
            (4, 3, [4, 5, 6, 1, 2, 3]),
            (5, 2, [1, 4, 2, 5, 3, 6]),
            (6, 2, [4, 1, 5, 2, 6, 3]),
            (7, 2, [6, 3, 5, 2, 4, 1]),
            (8, 2, [3, 6, 2, 5, 1, 4]),
        ];
        for (orientation, columns, seen) in rows {
            let turned = sheet(3, 2, &[1, 2, 3, 4, 5, 6]).turned(orientation);
            assert_eq!((turned.columns, greys(&turned)), (columns, seen.to_vec()), "{orientation}");
        }
    }

    #[test]
    fn the_orientation_is_found_in_either_byte_order() {
        let big = b"MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0";
        let little = b"II\x2A\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0";
        assert_eq!(orientation(big), Some(6));
        assert_eq!(orientation(little), Some(6));
        assert_eq!(orientation(b"MM\0\x2A\xFF\xFF\xFF\xFF"), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        #[test]
        fn damaged_bytes_never_panic(at in 0..TWO_SQUARES.len(), byte in any::<u8>(), cut in 0..TWO_SQUARES.len()) {
            let mut bytes = TWO_SQUARES.to_vec();
            bytes[at] = byte;
            let _ = read(&bytes);
            bytes.truncate(cut);
            let _ = read(&bytes);
        }
    }
}
