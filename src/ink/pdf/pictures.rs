//! The pictures of a file, each kept once.

use super::strings::{dictionary, name};
use crate::ink::drawing::{Picture, PictureData};
use lopdf::{Dictionary, Object, Stream};
use std::collections::HashMap;

/// The pictures that the pages show.
#[derive(Default)]
pub(super) struct Pictures {
    kept: Vec<Kept>,
    /// Their numbers by what they hold.
    numbers: HashMap<Kept, usize>,
    /// Their numbers by where their bytes lie, so that those are compared once.
    by_place: HashMap<usize, usize>,
}

/// A picture's dots, whatever its size on paper.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Kept {
    columns: u32,
    rows: u32,
    data: PictureData,
}

impl Pictures {
    /// A picture's number; `None` if there are not as many dots as its size says.
    pub(super) fn number(&mut self, picture: &Picture) -> Option<usize> {
        let place = picture.data.bytes().as_ptr().addr();
        if let Some(known) = self.by_place.get(&place) {
            return Some(*known);
        }
        let &Picture { columns, rows, .. } = picture;
        let expected = u64::from(columns) * u64::from(rows) * 3;
        let fits = match &picture.data {
            PictureData::Dots(dots) => u64::try_from(dots.len()) == Ok(expected),
            PictureData::Jpeg { .. } => true,
        };
        if expected == 0 || !fits {
            return None;
        }
        let next = self.kept.len();
        let kept = Kept { columns, rows, data: picture.data.clone() };
        let number = *self.numbers.entry(kept.clone()).or_insert(next);
        if number == next {
            self.kept.push(kept);
        }
        self.by_place.insert(place, number);
        Some(number)
    }

    /// The pictures in the order of their numbers.
    pub(super) fn streams(&self) -> impl Iterator<Item = Stream> {
        self.kept.iter().map(stream)
    }
}

fn stream(picture: &Kept) -> Stream {
    let colours = match picture.data {
        PictureData::Jpeg { grey: true, .. } => "DeviceGray",
        _ => "DeviceRGB",
    };
    let mut entries = entries(picture.columns, picture.rows, colours);
    if let PictureData::Jpeg { .. } = picture.data {
        entries.set("Filter", name("DCTDecode"));
    }
    Stream::new(entries, picture.data.bytes().to_vec())
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
