//! SVG: read within limits and drawn in dots.

use super::sheet::Sheet;
use super::{
    Budget, DOTS_PER_INCH, LONGEST_SIDE, MOST_SVG_BYTES, MOST_SVG_WORK, PictureError, Raster,
    USUAL_DOTS_PER_INCH, effort, jpeg, work,
};
use crate::ink::png::canvas;
use crate::ink::units::pt;
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{self, ImageKind, roxmltree};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The most elements, words and remarks of a file, before anything is made of them.
const MOST_NODES: u32 = 300_000;

/// What reading each byte costs, in dots that could be coloured meanwhile.
const BYTE: u64 = 4;

/// Reads an SVG. What is found out about one that can't be drawn is taken from the budget too.
pub(super) fn read(bytes: &[u8], budget: &mut Budget) -> Result<Raster, PictureError> {
    let text = std::str::from_utf8(bytes).map_err(|_| PictureError::Kind)?;
    if !text.contains("<svg") {
        return Err(PictureError::Kind);
    }
    if bytes.len() > MOST_SVG_BYTES {
        return Err(PictureError::Long);
    }
    let allowed = MOST_SVG_WORK.min(budget.dots);
    let mut left = allowed;
    let drawn = draw(text, &mut left);
    budget.dots -= allowed - left;
    match drawn {
        Err(PictureError::Work) if allowed < MOST_SVG_WORK => Err(PictureError::Together),
        drawn => drawn,
    }
}

/// Draws an SVG if what is left allows it.
fn draw(text: &str, left: &mut u64) -> Result<Raster, PictureError> {
    *left = left.checked_sub(BYTE * text.len() as u64).ok_or(PictureError::Work)?;
    let options = roxmltree::ParsingOptions {
        allow_dtd: true,
        nodes_limit: MOST_NODES,
        ..roxmltree::ParsingOptions::default()
    };
    let document = roxmltree::Document::parse_with_options(text, options).map_err(unread)?;
    effort::count(&document, left)?;
    let tree = tree(&document, left)?;
    let (width, height) = (tree.size().width(), tree.size().height());
    #[allow(clippy::cast_precision_loss)] // A small number.
    let most = LONGEST_SIDE as f32 / width.max(height);
    let scale = (DOTS_PER_INCH / USUAL_DOTS_PER_INCH).min(most);
    let mut map = canvas((width * scale).max(1.0), (height * scale).max(1.0))
        .map_err(|_| PictureError::Size)?;
    let to_dots = Transform::from_scale(scale, scale);
    work::count(&tree, to_dots, (map.width(), map.height()), left)?;
    map.fill(Color::WHITE);
    resvg::render(&tree, to_dots, &mut map.as_mut());
    let on_paper = |length: f32| pt(length * 72.0 / USUAL_DOTS_PER_INCH);
    let raster = Raster::of_dots((map.width(), map.height()), opaque(&map));
    Ok(Raster { width: on_paper(width), height: on_paper(height), ..raster })
}

fn tree(document: &roxmltree::Document<'_>, left: &mut u64) -> Result<usvg::Tree, PictureError> {
    let gallery = Arc::new(Mutex::new(Gallery { left: *left, ..Gallery::default() }));
    let tree = usvg::Tree::from_xmltree(document, &closed(&gallery));
    let mut gallery = gallery.lock().unwrap_or_else(PoisonError::into_inner);
    *left = gallery.left;
    match gallery.trouble.take() {
        Some(trouble) => Err(trouble),
        None => tree.map_err(|_| PictureError::Damaged),
    }
}

#[allow(clippy::needless_pass_by_value)] // Handed to `map_err`.
fn unread(error: roxmltree::Error) -> PictureError {
    match error {
        roxmltree::Error::NodesLimitReached => PictureError::Work,
        _ => PictureError::Damaged,
    }
}

/// The dots of a map that was filled before it was drawn on.
fn opaque(map: &Pixmap) -> Sheet {
    let dots = map.pixels().iter().flat_map(|dot| [dot.red(), dot.green(), dot.blue()]);
    Sheet { columns: map.width(), rows: map.height(), dots: dots.collect() }
}

/// The pictures within an SVG.
#[derive(Default)]
struct Gallery {
    /// What may still be done.
    left: u64,
    /// Those that were looked at, by their bytes: as they are drawn, and with how many dots.
    known: BTreeMap<Vec<u8>, (ImageKind, u64)>,
    trouble: Option<PictureError>,
}

impl Gallery {
    /// A picture as it is drawn. One that can't be is the SVG's trouble.
    fn hang(&mut self, bytes: &Arc<Vec<u8>>) -> Option<ImageKind> {
        if self.trouble.is_some() {
            return None;
        }
        match self.look_at(bytes) {
            Ok((kind, dots)) if self.left >= dots => {
                self.left -= dots;
                return Some(kind);
            }
            Ok(_) => self.trouble = Some(PictureError::Work),
            Err(trouble) => self.trouble = Some(trouble),
        }
        None
    }

    fn look_at(&mut self, bytes: &Arc<Vec<u8>>) -> Result<(ImageKind, u64), PictureError> {
        if let Some(known) = self.known.get(bytes.as_slice()) {
            return Ok(known.clone());
        }
        let mut budget = Budget { dots: self.left, bytes: u64::MAX };
        let looked = match bytes.first() {
            Some(0x89) => {
                super::png::read(bytes, &mut budget).map(|_| ImageKind::PNG(Arc::clone(bytes)))
            }
            // Turned upright and in sRGB, which who draws it doesn't look for.
            Some(0xFF) => jpeg::read(bytes, &mut budget).and_then(|raster| {
                let Sheet { columns, rows, dots } = raster.sheet;
                let png = super::encoded(columns, rows, &dots).ok_or(PictureError::Within)?;
                Ok(ImageKind::PNG(Arc::new(png)))
            }),
            _ => Err(PictureError::Within),
        };
        let dots = self.left - budget.dots;
        self.left = budget.dots;
        let looked = looked.map_err(|error| match error {
            PictureError::Together => PictureError::Work,
            _ => PictureError::Within,
        })?;
        self.known.insert(bytes.to_vec(), (looked.clone(), dots));
        Ok((looked, dots))
    }
}

/// Reading without a look at any other file: an SVG may hold pictures, not name some.
fn closed<'a>(gallery: &Arc<Mutex<Gallery>>) -> usvg::Options<'a> {
    let (held, named) = (Arc::clone(gallery), Arc::clone(gallery));
    let resolve_data = move |_: &str, data: Arc<Vec<u8>>, _: &usvg::Options| {
        held.lock().unwrap_or_else(PoisonError::into_inner).hang(&data)
    };
    let resolve_string = move |_: &str, _: &usvg::Options| {
        let mut gallery = named.lock().unwrap_or_else(PoisonError::into_inner);
        // Also what begins as data and can't be read as such.
        gallery.trouble = Some(PictureError::Within);
        None
    };
    usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(resolve_data),
            resolve_string: Box::new(resolve_string),
        },
        ..usvg::Options::default()
    }
}
