//! The `sung` row: syllables.

use super::super::figure::{BarAt, Canvas, Label, Sheet, Teller, Told, Turn, sung};
use super::super::lines::Row;
use super::reading::Reading;
use super::{Kind, RowPlace};
use crate::music::tab::{Remark, SUNG};
use crate::words::help::{Sign, sign};

/// Syllables, each under its count.
#[derive(Debug)]
pub(super) struct Sung;

impl Kind for Sung {
    fn label(&self) -> &'static str {
        SUNG
    }

    fn says(&self) -> &'static str {
        "syllables, each under its count"
    }

    fn signs(&self) -> Vec<Sign> {
        vec![sign("lee-", "a syllable whose word goes on")]
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["lyrics", "lyric", "vocal", "vocals"]
    }

    fn perhaps_meant_by(&self) -> &'static [&'static str] {
        &["text"]
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.syllables(self.label(), rows);
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    fn labels(&self, at: &BarAt) -> Vec<Label> {
        let syllables = at.bar.remarks(self.label()).iter();
        let label = |syllable: &Remark| {
            sung::label(self.label(), at.bar.start + syllable.at, &syllable.text, at.scale)
        };
        syllables.map(label).collect()
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        sung::draw(canvas, self.label(), sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        let told = |syllable: &Remark| Told {
            at: syllable.at,
            turn: Turn::Sung,
            words: format!("sung “{}”", syllable.text),
        };
        teller.remarks(self.label()).iter().map(told).collect()
    }
}
