//! The `pick` row: strokes.

use super::super::lines::Row;
use super::super::model::{Event, Pick as Stroke};
use super::Kind;
use super::reading::{Here, Marks, Reading, Wrong};

/// Strokes of the pick, or of the hand that strums.
#[derive(Debug)]
pub(in super::super) struct Pick;

impl Kind for Pick {
    fn label(&self) -> &'static str {
        "pick"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["strum", "strums", "strumming", "stroke", "strokes", "picking", "picks"]
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        // A hand that keeps its swing strokes the air too.
        let needs_note = |_: &str| false;
        let set = |event: &mut Event, stroke| event.pick = Some(stroke);
        reading.mark(rows, &Marks { read: stroke, needs_note, set });
    }
}

fn stroke(here: &Here) -> Result<Stroke, Wrong> {
    match here.text {
        "d" | "D" => Ok(Stroke::Down),
        "u" | "U" => Ok(Stroke::Up),
        "x" | "X" => Ok(Stroke::Choked),
        text => Err(Wrong {
            message: format!("`{text}` is no stroke"),
            advice: "strokes are `d` down, `u` up and `x` choked",
        }),
    }
}
