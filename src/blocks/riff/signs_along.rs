//! The signs of other rows that go along with notes that are moved under their counts: a finger, a
//! stroke or a syllable stands in its note's column and says nothing without it.

use super::clock::Under;
use super::columns::Word;
use super::lines::Row;
use super::realign::Repair;
use super::setup::Setup;
use super::written::Written;
use crate::findings::source::combined;
use crate::findings::{Ground, Span};

/// A change of more text than this is not offered, in bytes; assumed to be more than the rows of a
/// system have.
const LONGEST_CHANGE: usize = 2_000;

/// The repair with the signs moved that stand in the columns of the notes and under no count. One that
/// has no room stays; then what belongs together would be parted, and the author says what is meant.
pub(super) fn with_signs(setup: &Setup, first: &Written, repair: Repair) -> Repair {
    let mut edits = vec![(repair.span, repair.text.clone())];
    let (mut ground, mut along) = (repair.ground, Vec::new());
    let rows = setup.systems.get(first.row.0).map(|system| system.rows.as_slice());
    for row in rows.unwrap_or_default().iter().filter(|row| row.goes_with_notes()) {
        for word in row.words(1) {
            let by = repair.moved.iter().find(|(column, _)| *column == word.column);
            let Some((_, by)) = by.filter(|_| setup.clock.under(word.column) == Under::Nothing)
            else {
                continue;
            };
            match moved(row, &word, *by) {
                Some(edit) => {
                    edits.push(edit);
                    along.push(row.label.to_string());
                }
                None => ground = Ground::Choice,
            }
        }
    }
    let reach = edits.iter().fold(repair.span, |reach, (span, _)| reach.to(*span));
    along.dedup();
    let change = (reach.end - reach.start <= LONGEST_CHANGE).then(|| combined(setup.text, edits));
    match change.flatten() {
        Some((span, text)) => Repair { span, text, ground, along, ..repair },
        None if along.is_empty() => Repair { ground, ..repair },
        None => Repair { ground: Ground::Choice, ..repair },
    }
}

/// A word with the columns that it is moved over, the blank ones now on its other side. Beyond a row's
/// end all is blank.
fn moved(row: &Row, word: &Word, by: isize) -> Option<(Span, String)> {
    let length = row.columns().skip_while(|(column, _)| *column < word.column);
    let length = length.take_while(|(_, cell)| !cell.is_space() && !cell.barred).count();
    let end = word.column + length;
    let far = by.unsigned_abs();
    let over = if by < 0 { word.column.checked_sub(far)?..word.column } else { end..end + far };
    // A column more, so that the word touches no other.
    let mut around = over.start.saturating_sub(1)..over.end + 1;
    let free = |column: usize| row.at(column).is_none_or(|cell| cell.is_blank());
    let own = word.column..end;
    if over.start < row.column || !around.all(|column| own.contains(&column) || free(column)) {
        return None;
    }
    if over.clone().any(|column| row.at(column).is_some_and(|cell| cell.barred)) {
        return None;
    }
    let blank: String = over.map(|column| row.at(column).map_or(" ", |cell| cell.text)).collect();
    let whole = if by < 0 { word.column - far..end } else { word.column..end + far };
    let text = &word.text;
    let text = if by < 0 { format!("{text}{blank}") } else { format!("{blank}{text}") };
    Some((row.span(whole.start, whole.end), text))
}
