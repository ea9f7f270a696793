//! The `words` row: remarks.

use super::super::figure::{Canvas, Sheet, Teller, Told, remarks};
use super::super::lines::Row;
use super::reading::Reading;
use super::{Kind, RowPlace};

/// Remarks, parted by two or more spaces.
#[derive(Debug)]
pub(super) struct Words;

impl Kind for Words {
    fn label(&self) -> &'static str {
        "words"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["text"]
    }

    fn perhaps_meant_by(&self) -> &'static [&'static str] {
        &["lyrics", "lyric"]
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.remarks(self.label(), rows);
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        remarks::draw(canvas, self.label(), sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        teller.tell_remarks(self.label(), "Remark")
    }
}
