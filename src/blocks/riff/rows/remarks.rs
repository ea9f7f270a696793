//! Rows of remarks, which differ in nothing but what they are called.

use super::super::figure::{Canvas, Sheet, Teller, Told, remarks};
use super::super::lines::Row;
use super::reading::Reading;
use super::{Kind, RowPlace};

/// A row of remarks, parted by two or more spaces.
#[derive(Debug)]
pub(super) struct Remarks {
    /// See [`Kind::label`].
    pub label: &'static str,
    /// See [`Kind::says`].
    pub says: &'static str,
    /// See [`Kind::meant_by`].
    pub meant_by: &'static [&'static str],
    /// See [`Kind::perhaps_meant_by`].
    pub perhaps_meant_by: &'static [&'static str],
    /// What a remark is called where it is told.
    pub called: &'static str,
}

impl Kind for Remarks {
    fn label(&self) -> &'static str {
        self.label
    }

    fn says(&self) -> &'static str {
        self.says
    }

    fn meant_by(&self) -> &'static [&'static str] {
        self.meant_by
    }

    fn perhaps_meant_by(&self) -> &'static [&'static str] {
        self.perhaps_meant_by
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.remarks(self.label, rows);
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        remarks::draw(canvas, self.label, sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        teller.tell_remarks(self.label, self.called)
    }
}
