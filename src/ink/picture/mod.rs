//! Pictures in prose: from a file's bytes (PNG, JPEG or SVG) to dots on white.
//!
//! Whatever a file holds, reading it ends: its size and the work that it asks for are counted before
//! they are done, within the limits that stand here. Nothing of a file is handed on but what shows:
//! no Exif, no words, no names.

mod colour;
mod effort;
mod exif;
mod guard;
mod jpeg;
mod png;
mod sheet;
mod svg;
mod work;

use super::drawing::{Picture, PictureData};
use super::units::{Pt, pt};
use guard::guarded;
use resvg::tiny_skia::{IntSize, Pixmap};
use sheet::{Sheet, within};
use std::fmt;
use std::sync::Arc;

/// The most dots of a picture: a camera's have 12 to 50 million.
pub const MOST_DOTS: u64 = 64_000_000;

/// The most dots along a side of a picture: what a JPEG can have (ITU-T T.81, B.2.2).
pub const MOST_DOTS_ALONG: u32 = 65_535;

/// The most dots of all pictures of a lesson together: twenty of a camera's 12 million. An SVG counts
/// by what is drawn to make it.
pub const MOST_DOTS_TOGETHER: u64 = 240_000_000;

/// The most bytes that all files of a lesson's pictures have together: 128 MiB.
pub const MOST_BYTES_TOGETHER: u64 = 128 << 20;

/// The most bytes of an SVG: 4 MiB.
pub const MOST_SVG_BYTES: usize = 4 << 20;

/// The most work to draw an SVG, in dots that are coloured: each counts as often as shapes, layers
/// and effects touch it. A full page at 300 dots an inch has 9 million.
pub const MOST_SVG_WORK: u64 = 120_000_000;

/// How deep the elements of an SVG may lie within one another, what they use included.
pub const DEEPEST_SVG: usize = 100;

/// How densely pictures are printed, in dots an inch; what is denser is made so.
pub const DOTS_PER_INCH: f32 = 300.0;

/// The most dots along a side that are kept of a picture: [`DOTS_PER_INCH`] over eight inches.
const LONGEST_SIDE: u32 = 2400;

/// Dots an inch of a picture whose size on paper nothing else tells (CSS Values 3, section 6.2).
const USUAL_DOTS_PER_INCH: f32 = 96.0;

/// Why a picture can't be printed; `Display` goes on from its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PictureError {
    /// It is of another kind.
    Kind,
    /// It has no size, or one that can't be drawn.
    Size,
    /// It has more than [`MOST_DOTS`]: so many.
    Dots(u64),
    /// It has more than [`MOST_DOTS_ALONG`] a side: so many.
    Along(u32),
    /// The lesson's pictures have more than [`MOST_DOTS_TOGETHER`] or [`MOST_BYTES_TOGETHER`].
    Together,
    /// Its end is missing.
    BreaksOff,
    /// It can't be decoded.
    Damaged,
    /// It is an SVG with words, for which we have no fonts.
    Words,
    /// It is an SVG with an effect that is not drawn; its name.
    Effect(String),
    /// It is an SVG that names another file.
    OtherFile,
    /// It is an SVG with a picture in it that can't be read.
    Within,
    /// It is an SVG that is deeper than [`DEEPEST_SVG`].
    Deep,
    /// It is an SVG whose shapes reach too far beyond it.
    Far,
    /// It is an SVG of more than [`MOST_SVG_BYTES`].
    Long,
    /// It is an SVG that takes more than [`MOST_SVG_WORK`].
    Work,
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let million = |dots: u64| dots / 1_000_000;
        match self {
            PictureError::Kind => write!(f, "is no PNG, JPEG or SVG picture"),
            PictureError::Size => write!(f, "has no size that can be drawn"),
            PictureError::Dots(dots) => {
                let tenths = dots.div_ceil(100_000);
                let (whole, tenth, most) = (tenths / 10, tenths % 10, million(MOST_DOTS));
                write!(f, "has {whole}.{tenth} million dots; a picture has at most {most} million")
            }
            PictureError::Along(dots) => {
                write!(f, "has {dots} dots along a side; a picture has at most {MOST_DOTS_ALONG}")
            }
            PictureError::Together => write!(
                f,
                "is one too many: the pictures of a lesson have at most {} million dots and {} MiB \
                 together",
                million(MOST_DOTS_TOGETHER),
                MOST_BYTES_TOGETHER >> 20
            ),
            PictureError::BreaksOff => write!(f, "breaks off before its end"),
            PictureError::Damaged => write!(f, "is damaged"),
            PictureError::Words => write!(f, "has words in it that can't be drawn"),
            PictureError::Effect(name) => write!(f, "has an effect that can't be drawn, `{name}`"),
            PictureError::OtherFile => write!(f, "names another picture, which isn't looked for"),
            PictureError::Within => {
                write!(f, "has a picture in it that is no PNG or JPEG or is damaged")
            }
            PictureError::Deep => write!(
                f,
                "nests deeper than {DEEPEST_SVG} groups, or has a part that is made of itself"
            ),
            PictureError::Far => {
                write!(f, "has shapes that reach farther than ten million dots beyond it")
            }
            PictureError::Long => write!(f, "is an SVG of more than {} MiB", MOST_SVG_BYTES >> 20),
            PictureError::Work => write!(
                f,
                "is too much to draw: its shapes, layers and effects colour over {} million dots",
                million(MOST_SVG_WORK)
            ),
        }
    }
}

impl std::error::Error for PictureError {}

impl PictureError {
    /// How to repair it, where there is a way.
    pub fn advice(&self) -> Option<&'static str> {
        match self {
            PictureError::Dots(_) | PictureError::Along(_) | PictureError::Together => {
                Some("save it smaller: a picture across the page needs 2400 dots at most")
            }
            PictureError::Size | PictureError::BreaksOff | PictureError::Damaged => {
                Some("copy it again from where it came from, or save it anew")
            }
            PictureError::Words => Some("turn the words into outlines (paths) where it was drawn"),
            PictureError::OtherFile | PictureError::Within => {
                Some("embed that picture as PNG or JPEG where it was drawn")
            }
            PictureError::Effect(_)
            | PictureError::Deep
            | PictureError::Far
            | PictureError::Long
            | PictureError::Work => Some("simplify it, or save it as PNG"),
            PictureError::Kind => Some(
                "save it as PNG or JPEG: pictures of other kinds, such as GIF and WebP, aren't printed",
            ),
        }
    }
}

/// What may still be read of a lesson's pictures.
#[derive(Debug, Clone)]
pub struct Budget {
    dots: u64,
    bytes: u64,
}

impl Default for Budget {
    fn default() -> Budget {
        Budget { dots: MOST_DOTS_TOGETHER, bytes: MOST_BYTES_TOGETHER }
    }
}

impl Budget {
    /// The dots of a picture of a size, if it may have so many.
    fn check_size(&self, columns: u32, rows: u32) -> Result<u64, PictureError> {
        let dots = u64::from(columns) * u64::from(rows);
        match columns.max(rows) {
            _ if dots == 0 => Err(PictureError::Size),
            _ if dots > MOST_DOTS => Err(PictureError::Dots(dots)),
            side if side > MOST_DOTS_ALONG => Err(PictureError::Along(side)),
            _ => Ok(dots),
        }
    }

    fn spend(&mut self, dots: u64) -> Result<(), PictureError> {
        self.dots = self.dots.checked_sub(dots).ok_or(PictureError::Together)?;
        Ok(())
    }
}

/// A picture that was read: all that shows of it, as densely as paper can hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Raster {
    /// Its size on paper if nothing makes it smaller.
    width: Pt,
    height: Pt,
    sheet: Sheet,
    /// The file without what doesn't show, if the dots are its own.
    file: Option<Embedded>,
    /// Whether it is packed as a photograph.
    photograph: bool,
}

/// A JPEG that may be embedded.
#[derive(Debug, Clone, PartialEq)]
struct Embedded {
    columns: u32,
    rows: u32,
    grey: bool,
    bytes: Arc<[u8]>,
}

/// Reads a picture, and takes what that costs from a budget.
///
/// # Errors
///
/// Where it is no picture, is damaged, or goes beyond a limit.
pub fn read(bytes: &[u8], budget: &mut Budget) -> Result<Raster, PictureError> {
    let left = budget.bytes.checked_sub(bytes.len() as u64);
    budget.bytes = left.ok_or(PictureError::Together)?;
    let read = guarded(|| {
        if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
            png::read(bytes, budget)
        } else if bytes.starts_with(b"\xFF\xD8\xFF") {
            jpeg::read(bytes, budget)
        } else {
            svg::read(bytes, budget)
        }
    });
    read.unwrap_or_else(|| {
        // Nobody knows how much was done.
        budget.dots = budget.dots.saturating_sub(MOST_SVG_WORK);
        Err(PictureError::Damaged)
    })
}

impl Raster {
    fn of_dots(size: (u32, u32), sheet: Sheet) -> Raster {
        #[allow(clippy::cast_precision_loss)] // Far fewer than 24 bits.
        let length = |dots: u32| pt(dots as f32 * 72.0 / USUAL_DOTS_PER_INCH);
        let (width, height) = (length(size.0), length(size.1));
        Raster { width, height, sheet, file: None, photograph: false }
    }

    fn of_photograph(size: (u32, u32), sheet: Sheet, file: Option<Embedded>) -> Raster {
        Raster { file, photograph: true, ..Raster::of_dots(size, sheet) }
    }

    /// The picture as it is printed: smaller where it is wider or higher than it may be, and no
    /// denser than [`DOTS_PER_INCH`].
    pub fn printed(&self, widest: Pt, highest: Pt) -> Picture {
        let shrink = (widest / self.width).min(highest / self.height).min(1.0);
        let (width, height) = (self.width * shrink, self.height * shrink);
        let frame = (dots_along(width), dots_along(height));
        if let Some(file) = &self.file
            && (file.columns <= frame.0 || file.rows <= frame.1)
        {
            let data = PictureData::Jpeg { bytes: Arc::clone(&file.bytes), grey: file.grey };
            return Picture { width, height, columns: file.columns, rows: file.rows, data };
        }
        let (columns, rows) = within((self.sheet.columns, self.sheet.rows), frame);
        let sheet = self.sheet.reduced(columns, rows);
        let packed = if self.photograph { jpeg::packed(&sheet) } else { None };
        let data = match packed {
            Some((bytes, grey)) => PictureData::Jpeg { bytes: bytes.into(), grey },
            None => PictureData::Dots(sheet.dots.into()),
        };
        Picture { width, height, columns, rows, data }
    }
}

/// How many dots a length has at [`DOTS_PER_INCH`], one at least.
fn dots_along(length: Pt) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Casts stay within bounds.
    let dots = (length.0 / 72.0 * DOTS_PER_INCH).ceil() as u32;
    dots.max(1)
}

/// Dots packed as PNG; `None` if there are not as many as the size says.
pub(super) fn encoded(columns: u32, rows: u32, dots: &[u8]) -> Option<Vec<u8>> {
    let size = IntSize::from_wh(columns, rows)?;
    let opaque = dots.as_chunks::<3>().0.iter().flat_map(|&[r, g, b]| [r, g, b, 255]);
    Pixmap::from_vec(opaque.collect(), size)?.encode_png().ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
