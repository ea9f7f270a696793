//! What rows say about whole bars: each word stands in the first column of its bar.

use super::super::bars::BarColumns;
use super::super::columns::Word;
use super::super::lines::Row;
use super::super::model::Bar;
use super::reading::is_filler;
use crate::findings::rules::{block_syntax, column_adrift};
use crate::findings::{Finding, Findings};

/// The bars that rows shape.
pub(in super::super) struct Shaping<'s> {
    pub columns: &'s [BarColumns],
    pub bars: &'s mut [Bar],
    pub findings: &'s mut Findings,
}

impl Shaping<'_> {
    /// What the words of rows say, each with its bar's index, rising. A word that can't be read is
    /// reported with what could be written.
    pub fn by_bar<T>(
        &mut self,
        rows: &[&Row],
        read: impl Fn(&str) -> Result<T, (String, &'static str)>,
    ) -> Vec<(usize, T)> {
        let mut said = Vec::new();
        let words = rows.iter().flat_map(|row| row.words(1));
        for word in words.filter(|word| !is_filler(&word.text)) {
            match read(&word.text) {
                Ok(says) => said.extend(self.begun_by(&word).map(|bar| (bar, says))),
                Err((message, advice)) => {
                    let finding = Finding::new(&block_syntax::RULE, word.span, message);
                    let finding = if advice.is_empty() { finding } else { finding.note(advice) };
                    self.findings.add(finding);
                }
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
        let message = format!("`{}` doesn't stand in a bar's first column", word.text);
        self.findings.add(Finding::new(&column_adrift::RULE, word.span, message));
        None
    }
}
