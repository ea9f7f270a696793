//! The `ring` row: what rings on.

use super::super::figure::{Canvas, Sheet, Teller, Told, spans};
use super::super::lines::Row;
use super::super::model::RING;
use super::reading::Reading;
use super::{Kind, Place};

/// Runs in which notes ring on.
#[derive(Debug)]
pub(super) struct Ring;

impl Kind for Ring {
    fn label(&self) -> &'static str {
        RING
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.runs(self.label(), rows);
    }

    fn place(&self) -> Place {
        Place::Above
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        spans::draw(canvas, self.label(), "let ring", sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        teller.tell_runs(self.label(), "Let ring from here.", "The ringing ends.")
    }
}
