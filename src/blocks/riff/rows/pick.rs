//! The `pick` row: strokes.

use super::super::figure::{BarAt, Label, LabelFace, Lane, Reach, strokes};
use super::super::lines::Row;
use super::reading::{Here, Marks, Reading, Sounded, Wrong};
use super::{Kind, RowPlace};
use crate::music::tab::{Event, Pick as Stroke};
use crate::music::tab::{Form, Riff};

/// The label of the row.
pub const LABEL: &str = "pick";

/// Strokes of the pick, or of the hand that strums.
#[derive(Debug)]
pub(in super::super) struct Pick;

impl Kind for Pick {
    fn label(&self) -> &'static str {
        LABEL
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
        let set = |at: Sounded, stroke| at.event.pick = Some(stroke);
        reading.mark(rows, &Marks { read: stroke, needs_note, set });
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    /// None in a strumming pattern, whose strokes stand in a lane of their own.
    fn labels(&self, at: &BarAt) -> Vec<Label> {
        let half = at.scale.small_size() * 0.4;
        let reach = Reach { left: half, right: half };
        let label = |event: &Event| {
            let (tick, lane) = (at.bar.start + event.at, Lane::Row(self.label()));
            event.pick.map(|pick| Label { tick, lane, reach, face: LabelFace::Stroke(pick) })
        };
        let picked = at.riff.form == Form::Tab;
        at.bar.events.iter().filter(|_| picked).filter_map(label).collect()
    }

    /// In a strumming pattern strokes are what is played, and told so.
    fn tell_event(&self, riff: &Riff, event: &Event) -> Option<String> {
        let stroke = event.pick.filter(|_| !matches!(riff.form, Form::Strum(_)));
        stroke.map(|stroke| strokes::spoken(stroke).to_owned())
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
