//! The `pick` row: strokes.

use super::super::figure::{BarAt, Label, LabelFace, Lane, Reach, Teller, Told, Turn, strokes};
use super::super::lines::Row;
use super::reading::{Here, Marks, Reading, Sounded, Wrong};
use super::{Kind, RowPlace};
use crate::music::tab::{AirStroke, Bar, Event, Form, Pick as Stroke, Riff};
use crate::theory::Ticks;
use crate::words::help::{Sign, explained, sign};
use crate::words::paper::tab;

/// The label of the row.
pub const LABEL: &str = "pick";

/// The strokes.
const STROKES: [(Sign, Stroke); 3] = [
    (sign("d", "down"), Stroke::Down),
    (sign("u", "up"), Stroke::Up),
    (sign("x", "choked"), Stroke::Choked),
];

/// Strokes of the pick, or of the hand that strums.
#[derive(Debug)]
pub(in super::super) struct Pick;

impl Kind for Pick {
    fn label(&self) -> &'static str {
        LABEL
    }

    fn says(&self) -> &'static str {
        "strokes of the pick, or of the hand that strums"
    }

    fn signs(&self) -> Vec<Sign> {
        STROKES.iter().map(|(sign, _)| *sign).collect()
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
        let keep = |bar: &mut Bar, at, pick| {
            let place = bar.air.partition_point(|before| before.at <= at);
            bar.air.insert(place, AirStroke { at, pick });
        };
        reading.mark(rows, &Marks { read: stroke, needs_note, set, keep });
    }

    fn heading(&self) -> Option<&'static str> {
        Some(tab::PICK)
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    /// None in a strumming pattern, whose strokes stand in a lane of their own.
    fn labels(&self, at: &BarAt) -> Vec<Label> {
        if at.riff.form != Form::Tab {
            return Vec::new();
        }
        let label = |moment: Ticks, half: f32, face: LabelFace| {
            let (tick, half) = (at.bar.start + moment, at.scale.small_size() * half);
            Label {
                tick,
                lane: Lane::Row(self.label()),
                reach: Reach { left: half, right: half },
                face,
            }
        };
        let struck = at.bar.events.iter().filter_map(|event| Some((event.at, event.pick?)));
        let struck = struck.map(|(moment, pick)| label(moment, 0.4, LabelFace::Stroke(pick)));
        let air = at.bar.air.iter().map(|one| label(one.at, 0.65, LabelFace::AirStroke(one.pick)));
        struck.chain(air).collect()
    }

    /// Strokes that strike nothing; the others are told with their notes.
    fn tell(&self, teller: &Teller) -> Vec<Told> {
        let told = |one: &AirStroke| {
            let stroke = strokes::spoken(one.pick);
            let words = format!("{stroke} in the air");
            Told { at: one.at, turn: Turn::Played, words }
        };
        let is_tab = teller.riff.form == Form::Tab;
        let air = teller.here(&teller.bar.air, |one| one.at);
        air.iter().filter(|_| is_tab).map(told).collect()
    }

    /// In a strumming pattern strokes are what is played, and told so.
    fn tell_event(&self, riff: &Riff, event: &Event) -> Option<String> {
        let stroke = event.pick.filter(|_| !matches!(riff.form, Form::Strum(_)));
        stroke.map(|stroke| strokes::spoken(stroke).to_owned())
    }
}

fn stroke(here: &Here) -> Result<Stroke, Wrong> {
    let known = STROKES.iter().find(|(sign, _)| sign.is(here.text));
    known.map(|(_, stroke)| *stroke).ok_or_else(|| Wrong {
        message: format!("`{}` is no stroke", here.text),
        advice: format!("strokes are {}", explained(STROKES.iter().map(|(sign, _)| sign))),
    })
}
