//! The `accent` row: notes that stand out.

use super::super::figure::{Canvas, Sheet, signs};
use super::super::lines::Row;
use super::reading::{Here, Marks, Reading, Sounded, only};
use super::{Kind, RowPlace};
use crate::music::tab::{ACCENT, Event, Riff};
use crate::words::help::{Sign, sign};

/// The sign of the row.
const SIGN: Sign = sign(">", "an accent");

/// How far an accent stands above what is beneath it, in distances between tab lines (looks, "Tab": 0.8 mm where they lie
/// 3.0 apart).
const CLEAR: f32 = 0.8 / 3.0;

/// Accents.
#[derive(Debug)]
pub(super) struct Accent;

impl Kind for Accent {
    fn label(&self) -> &'static str {
        ACCENT
    }

    fn says(&self) -> &'static str {
        "accents: notes that stand out"
    }

    fn signs(&self) -> Vec<Sign> {
        vec![SIGN]
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        let set = |at: Sounded, sign| {
            at.event.signs.insert(ACCENT, sign);
        };
        let read = |here: &Here| only(SIGN, here);
        reading.mark(rows, &Marks { read, needs_note: |_| true, set, keep: |_, _, _| {} });
    }

    fn place(&self) -> RowPlace {
        RowPlace::Above
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        let scale = sheet.scale;
        for (_, x) in sheet.events().filter(|(event, _)| event.signs.contains_key(ACCENT)) {
            let half = scale.gaps(0.58);
            let y = canvas.free_above(x - half, x + half) - scale.gaps(CLEAR + signs::HALF_ACCENT);
            canvas.path(signs::accent(x, y, scale.gap()));
            canvas.occupy(x - half, x + half, y - scale.gaps(signs::HALF_ACCENT));
        }
    }

    fn tell_event(&self, _: &Riff, event: &Event) -> Option<String> {
        event.signs.contains_key(ACCENT).then(|| "accented".to_owned())
    }
}
