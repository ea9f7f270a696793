//! Bars that go on from one system to the next, since a line was too narrow for them.

use super::pieces::Stack;
use super::remarks::{Remark, RemarkPlace};
use super::row::{Row, is_bar_line};

/// How much wider or narrower than its neighbours a bar may be that is put together again, in columns.
const LOOSE: usize = 2;

/// Puts bars together again that begin in one system and end in the next: the first has no bar line at
/// its end, and both parts are as wide as a bar is.
pub(super) fn join(stacks: &mut Vec<Stack>) {
    let mut joined: Vec<Stack> = Vec::new();
    for mut below in std::mem::take(stacks) {
        if let Some(above) = joined.last_mut()
            && goes_on(above, &below)
        {
            take_over(above, &mut below);
            if is_used_up(&below) {
                continue;
            }
        }
        joined.push(below);
    }
    *stacks = joined;
}

/// Whether nothing but the bar line is left.
fn is_used_up(stack: &Stack) -> bool {
    stack.rows.iter().all(|row| row.cells.iter().all(|c| is_bar_line(*c)))
}

fn goes_on(above: &Stack, below: &Stack) -> bool {
    let Some((first, second)) = above.rows.first().zip(below.rows.first()) else { return false };
    let open = above.rows.iter().all(|row| row.cells.last().is_some_and(|c| !is_bar_line(*c)));
    let same = |rows: &[Row], row: &Row| {
        rows.iter().all(|other| lines(other) == lines(row) && other.start == row.start)
    };
    let cues = &below.cues;
    let plain = cues.counts.is_none()
        && cues.strokes.is_none()
        && cues.accents.is_none()
        && cues.sung.is_none()
        && cues.held.is_empty()
        && cues.fingers.is_none()
        && cues.letters.is_none()
        && cues.endings.is_none()
        && cues.opens.is_none()
        && cues.closes.is_none()
        && cues.times.is_none()
        && above.cues.counts.is_none();
    let (lines_above, lines_below) = (lines(first), lines(second));
    let [.., from, to] = lines_above.as_slice() else { return false };
    let [begin, end, ..] = lines_below.as_slice() else { return false };
    let usual = to - from - 1;
    let whole = (first.cells.len() - to - 1) + (end - begin - 1);
    let fits = usual.abs_diff(whole) <= LOOSE && *begin == 0;
    open && plain && fits && same(&above.rows, first) && same(&below.rows, second)
}

/// The columns of a row's bar lines.
fn lines(row: &Row) -> Vec<usize> {
    let lines = row.cells.iter().enumerate().filter(|(_, c)| is_bar_line(**c));
    lines.map(|(column, _)| column).collect()
}

/// Moves the first bar of a system, with its bar line, its chords and remarks, to the end of the one
/// above.
fn take_over(above: &mut Stack, below: &mut Stack) {
    let Some((first, second)) = above.rows.first().zip(below.rows.first()) else { return };
    let Some(end) = lines(second).get(1).copied() else { return };
    let (at, margin) = (first.start + first.cells.len(), second.start);
    for (row, next) in above.rows.iter_mut().zip(&mut below.rows) {
        row.cells.extend(next.cells.get(1..=end).unwrap_or_default());
        next.cells.drain(..end.min(next.cells.len()));
        next.start += end;
    }
    let used_up = is_used_up(below);
    let goes = |remark: &mut Remark| match remark.place {
        RemarkPlace::Behind(_) => used_up,
        RemarkPlace::Beneath(column) => used_up || column < margin + end,
    };
    let moved = below.cues.remarks.extract_if(.., goes).map(|remark| match remark.place {
        RemarkPlace::Behind(_) => remark,
        RemarkPlace::Beneath(column) => {
            Remark { place: RemarkPlace::Beneath(at + column.saturating_sub(margin + 1)), ..remark }
        }
    });
    above.cues.remarks.extend(moved);
    let Some(chords) = &mut below.cues.chords else { return };
    let moved = chords.marks.partition_point(|(column, _)| *column < margin + end);
    let moved = chords.marks.drain(..moved);
    let moved: Vec<_> =
        moved.map(|(column, name)| (at + column.saturating_sub(margin + 1), name)).collect();
    match &mut above.cues.chords {
        Some(chords) => chords.marks.extend(moved),
        None => {
            above.cues.chords = Some(super::pieces::Cue { marks: moved, text: chords.text.clone() })
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::paste;

    #[test]
    fn remarks_go_with_the_bar_that_is_put_together() {
        for (second, remark, expected) in [
            ("|--2-|-3----4--|", "    ^ here", "beneath bar 2, beat 4: ^ here"),
            ("|--2-|-3----4--|", "        ^ here", "beneath bar 3, beat 1: ^ here"),
            ("|--2-|", "    ^ here", "beneath bar 2, beat 4: ^ here"),
            ("|--2-|  well!", "", "behind bar 2, string A: well!"),
        ] {
            let first = "|-0----5--|-1---";
            let text = format!("A{first}\nE{first}\n\nA{second}\nE{second}\n{remark}\n");
            let lesson = paste::lesson("A tab", &text).text;
            assert!(lesson.contains(expected), "no {expected} in\n{lesson}");
        }
    }
}
