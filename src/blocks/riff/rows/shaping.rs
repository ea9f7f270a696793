//! What rows say about whole bars: each word stands in the first column of its bar.

use super::super::bars::BarColumns;
use super::super::columns::Word;
use super::super::lines::Row;
use super::reading::is_filler;
use crate::findings::rules::column_adrift;
use crate::findings::{Finding, Findings, Span};
use crate::music::tab::Bar;

/// The bars that rows shape.
pub(in super::super) struct Shaping<'s> {
    pub columns: &'s [BarColumns],
    pub bars: &'s mut [Bar],
    pub findings: &'s mut Findings,
}

impl Shaping<'_> {
    /// What the words of rows say, each with its bar's index, rising. A word that can't be read is
    /// reported as `wrong` words it.
    pub fn by_bar<T>(
        &mut self,
        rows: &[&Row],
        read: impl Fn(&str) -> Option<T>,
        wrong: impl Fn(Span, &str) -> Finding,
    ) -> Vec<(usize, T)> {
        let mut said = Vec::new();
        let words = rows.iter().flat_map(|row| row.words(1));
        for word in words.filter(|word| !is_filler(&word.text)) {
            match read(&word.text) {
                Some(says) => said.extend(self.begun_by(&word).map(|bar| (bar, says))),
                None => self.findings.add(wrong(word.span, &word.text)),
            }
        }
        said
    }

    /// The bar in whose first column a word stands.
    fn begun_by(&mut self, word: &Word) -> Option<usize> {
        let index = self.columns.partition_point(|bar| bar.from <= word.column).checked_sub(1)?;
        if self.columns.get(index)?.first.contains(&word.column) {
            return Some(index);
        }
        self.findings.add(column_adrift::not_first(word.span, &word.text));
        None
    }
}
