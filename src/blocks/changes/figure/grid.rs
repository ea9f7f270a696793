//! Where the bars stand: lines broken into rows where they must, and columns that run through the
//! rows where they can.

use super::cells::Cell;
use super::strip::Strip;
use crate::ink::Pt;

/// A bar set in type, with the least width that it takes.
type Measured<'a> = (Cell<'a>, Pt);

/// Bars are no wider than this part of the column, so that a short chart isn't pulled apart: as wide as those
/// of a row of four, since songs go by fours.
const WIDEST: f32 = 0.25;

/// More bars than these are hard to read on one line (assumed).
const MOST_BARS: usize = 8;

/// Lays the lines of a chart out within a width. An upbeat stands before the first column, and the
/// other rows are indented by its width.
pub(super) fn strips(mut lines: Vec<Vec<Measured<'_>>>, pickup: bool, width: Pt) -> Vec<Strip<'_>> {
    let first = lines.first_mut().filter(|line| pickup && !line.is_empty());
    let mut upbeat = first.map(|line| line.remove(0));
    let indent = upbeat.as_ref().map_or(Pt::ZERO, |(_, least)| *least);
    let room = width - indent;
    let written = lines.len();
    let rows: Vec<_> = lines.into_iter().flat_map(|line| broken(line, room)).collect();
    // A line that had to be broken has the width to spare.
    let total = if rows.len() > written { filled } else { stretched };
    let columns = columns(&rows);
    let fits = columns.iter().copied().sum::<Pt>() <= room;
    let common = fits.then(|| shared(&columns, total(&columns, room)));
    let strip = |row| {
        let (left, upbeat) = match upbeat.take() {
            Some(upbeat) => (Pt::ZERO, Some(upbeat)),
            None => (indent, None),
        };
        Strip::new(left, upbeat.into_iter().chain(placed(row, common.as_deref(), room)).collect())
    };
    rows.into_iter().map(strip).collect()
}

/// The bars of a row with their widths: those of common columns, or their own.
fn placed<'a>(row: Vec<Measured<'a>>, common: Option<&[Pt]>, room: Pt) -> Vec<Measured<'a>> {
    let own = || {
        let least: Vec<Pt> = row.iter().map(|(_, least)| least.min(room)).collect();
        shared(&least, stretched(&least, room))
    };
    let widths = common.map_or_else(own, <[Pt]>::to_vec);
    row.into_iter().map(|(cell, _)| cell).zip(widths).collect()
}

/// The least width of each column.
fn columns(rows: &[Vec<Measured<'_>>]) -> Vec<Pt> {
    let mut columns: Vec<Pt> = Vec::new();
    for row in rows {
        for (index, (_, least)) in row.iter().enumerate() {
            match columns.get_mut(index) {
                Some(width) => *width = width.max(*least),
                None => columns.push(*least),
            }
        }
    }
    columns
}

/// The width that bars of such least widths take together.
fn stretched(least: &[Pt], room: Pt) -> Pt {
    let wanted = room * WIDEST * least.len() as f32;
    least.iter().copied().sum::<Pt>().max(wanted.min(room))
}

/// The width that bars take together where they fill the room.
fn filled(least: &[Pt], room: Pt) -> Pt {
    least.iter().copied().sum::<Pt>().max(room)
}

/// Shares a width out as equally as the least widths allow, since equal times are equally wide (looks,
/// "Beats"): those that need more keep what they need, and the others have one width.
pub(super) fn shared(least: &[Pt], total: Pt) -> Vec<Pt> {
    let mut falling = least.to_vec();
    falling.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (mut rest, mut count) = (total, falling.len());
    for width in falling {
        if width * count as f32 <= rest {
            break;
        }
        rest -= width;
        count -= 1;
    }
    let level = if count > 0 { rest / count as f32 } else { Pt::ZERO };
    least.iter().map(|width| width.max(level)).collect()
}

/// One line on as many rows as it needs, about as many bars on each, so that no row is left with one or
/// two; by fours where there are enough of them, as phrases go.
fn broken(line: Vec<Measured<'_>>, room: Pt) -> Vec<Vec<Measured<'_>>> {
    let least: Vec<Pt> = line.iter().map(|(_, least)| *least).collect();
    let full = lengths(&least, room, MOST_BARS);
    let even = least.len().div_ceil(full.len().max(1));
    let most = if full.len() > 1 && even > 4 { even / 4 * 4 } else { even };
    let mut bars = line.into_iter();
    let lengths = lengths(&least, room, most);
    // A line that is nothing but an upbeat is a row as well.
    let none = lengths.is_empty().then_some(0);
    lengths.into_iter().chain(none).map(|length| bars.by_ref().take(length).collect()).collect()
}

/// How many bars stand on each row if each takes as many as fit, up to a number.
fn lengths(least: &[Pt], room: Pt, most: usize) -> Vec<usize> {
    let mut lengths: Vec<usize> = Vec::new();
    let mut taken = room;
    for bar in least {
        match lengths.last_mut() {
            Some(length) if taken + *bar <= room && *length < most => {
                *length += 1;
                taken += *bar;
            }
            _ => {
                lengths.push(1);
                taken = *bar;
            }
        }
    }
    lengths
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::pt;

    #[test]
    fn a_width_is_shared_equally_above_the_least() {
        let rows: [(&[f32], f32, &[f32]); 5] = [
            (&[10.0, 10.0], 60.0, &[30.0, 30.0]),
            (&[40.0, 10.0, 10.0], 60.0, &[40.0, 10.0, 10.0]),
            (&[10.0, 40.0, 10.0], 80.0, &[20.0, 40.0, 20.0]),
            (&[50.0, 50.0], 60.0, &[50.0, 50.0]),
            (&[], 60.0, &[]),
        ];
        for (least, total, widths) in rows {
            let least: Vec<Pt> = least.iter().map(|width| pt(*width)).collect();
            let shared: Vec<f32> = shared(&least, pt(total)).iter().map(|width| width.0).collect();
            assert_eq!(shared, widths, "{least:?} in {total}");
        }
    }

    #[test]
    fn rows_take_no_more_than_fits() {
        let bars = [pt(30.0); 7];
        assert_eq!(lengths(&bars, pt(100.0), 8), [3, 3, 1]);
        assert_eq!(lengths(&bars, pt(100.0), 2), [2, 2, 2, 1]);
        assert_eq!(lengths(&[pt(300.0), pt(20.0)], pt(100.0), 8), [1, 1]);
    }
}
