//! The pictures of a file, each kept once.

use super::strings::{dictionary, name};
use crate::ink::drawing::Picture;
use lopdf::{Dictionary, Object, Stream};
use std::sync::Arc;

/// The pictures that the pages show.
#[derive(Default)]
pub(super) struct Pictures {
    kept: Vec<Picture>,
}

impl Pictures {
    /// A picture's number; `None` if there are not as many dots as its size says.
    pub(super) fn number(&mut self, picture: &Picture) -> Option<usize> {
        let expected = u64::from(picture.columns) * u64::from(picture.rows) * 3;
        if expected == 0 || u64::try_from(picture.dots.len()) != Ok(expected) {
            return None;
        }
        if let Some(known) = self.kept.iter().position(|kept| same(kept, picture)) {
            return Some(known);
        }
        self.kept.push(picture.clone());
        Some(self.kept.len() - 1)
    }

    /// The pictures in the order of their numbers.
    pub(super) fn streams(&self) -> impl Iterator<Item = Stream> {
        self.kept.iter().map(stream)
    }
}

/// Whether two pictures have the same dots, whatever their sizes on paper.
fn same(a: &Picture, b: &Picture) -> bool {
    let size = |picture: &Picture| (picture.columns, picture.rows);
    Arc::ptr_eq(&a.dots, &b.dots) || (size(a) == size(b) && a.dots == b.dots)
}

fn stream(picture: &Picture) -> Stream {
    match &picture.jpeg {
        None => {
            Stream::new(entries(picture.columns, picture.rows, "DeviceRGB"), picture.dots.to_vec())
        }
        Some(jpeg) => {
            let colours = if jpeg.grey { "DeviceGray" } else { "DeviceRGB" };
            let mut entries = entries(jpeg.columns, jpeg.rows, colours);
            entries.set("Filter", name("DCTDecode"));
            Stream::new(entries, jpeg.bytes.to_vec())
        }
    }
}

fn entries(columns: u32, rows: u32, colours: &str) -> Dictionary {
    dictionary([
        ("Type", name("XObject")),
        ("Subtype", name("Image")),
        ("Width", Object::Integer(columns.into())),
        ("Height", Object::Integer(rows.into())),
        ("ColorSpace", name(colours)),
        ("BitsPerComponent", Object::Integer(8)),
    ])
}
