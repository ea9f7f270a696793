//! The figure of parts that sound together.

use crate::blocks::figure::{Desk, Element, Figure};
use crate::blocks::tab::parts::{Part, Parts};
use crate::lesson::Setting;
use crate::words::capital;

impl Parts {
    /// Engraves them, each part's figure beneath the one before it.
    pub fn figure(&self, desk: &Desk, setting: &Setting) -> Figure {
        let mut figure = Figure::default();
        for Part { name, tab } in &self.parts {
            let part = tab.figure(desk, setting);
            let above = figure.strips.len();
            let elements = part.elements.into_iter();
            figure.elements.extend(elements.map(|one| Element { strip: one.strip + above, ..one }));
            figure.strips.extend(part.strips);
            let apart = if figure.words.is_empty() { "" } else { " " };
            figure.words.push_str(&format!("{apart}{}: {}", capital(name), part.words));
        }
        figure
    }
}
