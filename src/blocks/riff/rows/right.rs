//! The `right` row: plucking fingers.

use super::super::figure::{BarAt, Label};
use super::super::lines::Row;
use super::reading::{Here, Marks, Reading, Sounded, Wrong, wrong_number};
use super::{Kind, RowPlace};
use crate::blocks::figure::layer;
use crate::ink::{Face, Text};
use crate::music::tab::Event;
use crate::music::tab::Riff;
use crate::words::help::{Sign, explained, sign};
use crate::words::listed;
use crate::words::paper::tab;

/// The label of the row.
pub const LABEL: &str = "right";

/// The fingers.
const FINGERS: [Sign; 5] = [
    sign("p", "thumb"),
    sign("i", "index"),
    sign("m", "middle"),
    sign("a", "ring"),
    sign("c", "little finger"),
];

/// Plucking fingers.
#[derive(Debug)]
pub(super) struct Right;

impl Kind for Right {
    fn label(&self) -> &'static str {
        LABEL
    }

    fn says(&self) -> &'static str {
        "plucking fingers; several are one a note, lowest first"
    }

    fn signs(&self) -> Vec<Sign> {
        FINGERS.to_vec()
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["rh", "pluck", "plucking"]
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        let set = |at: Sounded, fingers| at.event.right = fingers;
        reading.mark(rows, &Marks { read: fingers, needs_note: |_| true, set, keep: |_, _, _| {} });
    }

    fn heading(&self) -> Option<&'static str> {
        Some(tab::RIGHT)
    }

    fn layer(&self) -> Option<&'static str> {
        Some(layer::FINGERS)
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    /// The highest string's uppermost.
    fn labels(&self, at: &BarAt) -> Vec<Label> {
        let line = |finger: char| at.scale.small(&finger.to_string(), Face::SerifBoldItalic);
        let label = |event: &Event| {
            let fingers = event.right.chars().rev().filter(|finger| *finger != '.');
            let lines: Vec<Text> = fingers.map(line).collect();
            let tick = at.bar.start + event.at;
            (!lines.is_empty()).then(|| Label::centred(self.label(), tick, lines))
        };
        at.bar.events.iter().filter_map(label).collect()
    }

    fn tell_event(&self, _: &Riff, event: &Event) -> Option<String> {
        let called = |finger: char| {
            let sign = FINGERS.iter().find(|sign| sign.written.contains(finger));
            sign.map_or("no finger", |sign| sign.says).to_owned()
        };
        let fingers: Vec<String> = event.right.chars().map(called).collect();
        (!fingers.is_empty()).then(|| format!("plucked by {}", listed(&fingers)))
    }
}

fn fingers(here: &Here) -> Result<String, Wrong> {
    let fingers = here.text.to_ascii_lowercase();
    if !fingers.chars().all(|finger| FINGERS.iter().any(|sign| sign.written.contains(finger))) {
        return Err(Wrong {
            message: format!("`{}` names no plucking fingers", here.text),
            advice: format!("plucking fingers are {}", explained(&FINGERS)),
        });
    }
    if here.event.is_some() && fingers.len() > 1 && fingers.len() != here.sounding {
        return Err(wrong_number("plucking fingers", fingers.len(), here.sounding));
    }
    Ok(fingers)
}
