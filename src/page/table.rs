//! Tables: column widths, rows cut into slips, the head repeated on every page.

use super::flow::{Flow, Leads, Manner, Room, artifact};
use super::galley::{Head, LONELY_LINE, PARTED_WORDS, Slip, TOGETHER};
use super::inline::{Inner, Stretch, baseline, compose, heavy};
use super::line::Line;
use super::paragraph::Shaped;
use super::template::{LineEnds, Type};
use crate::ink::{Group, Item, Label, PartId, Path, Point, Pt, Role, Stroke, pt};
use crate::lesson::prose::{Alignment, Inline};

/// A table of fewer rows is short, and to part it costs as much as a hole of a third of a page; chosen by eye.
const SHORT_TABLE: usize = 8;
const PARTED_TABLE: f32 = 8.0;

/// A cell whose words are shaped.
#[derive(Default)]
struct Cell {
    shaped: Vec<Shaped>,
    inner: Inner,
}

impl Cell {
    fn widest_word(&self) -> Pt {
        self.shaped.iter().fold(Pt::ZERO, |widest, words| widest.max(words.widest_word()))
    }

    fn unbroken_width(&self) -> Pt {
        self.shaped.iter().fold(Pt::ZERO, |widest, words| widest.max(words.unbroken_width()))
    }
}

/// A column's place and manner.
#[derive(Debug, Clone, Copy)]
struct Column {
    left: Pt,
    width: Pt,
    manner: Manner,
}

impl Flow<'_> {
    /// Sets a table.
    pub fn table(
        &mut self,
        alignments: &[Alignment],
        head: &[Vec<Inline>],
        rows: &[Vec<Vec<Inline>>],
        place: Room,
    ) {
        let type_ = Type::from(self.template().table);
        let head_type = Type { face: heavy(type_.face), ..type_ };
        let head_cells = self.cells(head, head_type);
        let row_cells: Vec<Vec<Cell>> = rows.iter().map(|row| self.cells(row, type_)).collect();
        let all = std::iter::once(&head_cells).chain(&row_cells);
        let columns = self.columns(alignments, all, place);
        let width = columns.last().map_or(Pt::ZERO, |last| last.left + last.width - place.left);
        let table = self.parts.add(Role::Table, place.part);
        self.galley.space(place.gap * 1.5);
        let has_head = head_cells.iter().any(|cell| !cell.shaped.is_empty());
        let head = has_head.then(|| self.table_head(head_cells, &columns, table, width, place));
        let last = row_cells.len().saturating_sub(1);
        for (index, cells) in row_cells.into_iter().enumerate() {
            let shade = if index == last { 0.0 } else { 0.65 };
            let cost = match index {
                0 if has_head => TOGETHER,
                _ if index == last || index == 1 => LONELY_LINE,
                _ if last < SHORT_TABLE => PARTED_TABLE,
                _ => PARTED_WORDS,
            };
            let rule = self.table_rule(place, width, self.template().rules.thin, shade);
            let mut slips = self.row(cells, Role::TableCell, &columns, table);
            for (line, slip) in slips.iter_mut().enumerate() {
                slip.cost = if line == 0 { cost } else { TOGETHER };
                slip.head = head;
                slip.reach = place.left + width;
            }
            close_row(&mut slips, rule);
            slips.into_iter().for_each(|slip| self.galley.push(slip));
        }
        self.galley.space(place.gap * 1.5);
    }

    fn cells(&self, row: &[Vec<Inline>], type_: Type) -> Vec<Cell> {
        row.iter().map(|words| self.cell(words, type_)).collect()
    }

    fn cell(&self, words: &[Inline], type_: Type) -> Cell {
        let composed = compose(words, type_.style(), self.least_raised(), &self.lesson.phrases);
        let shaped = composed.stretches.iter().filter_map(|stretch| match stretch {
            Stretch::Words(passage) => Some(passage.shape(self.job.fonts)),
            // A cell has no room for a picture; where one is written, its words are read.
            Stretch::Picture(_) => None,
        });
        Cell { shaped: shaped.collect(), inner: composed.inner }
    }

    fn columns<'c>(
        &self,
        alignments: &[Alignment],
        rows: impl Iterator<Item = &'c Vec<Cell>>,
        place: Room,
    ) -> Vec<Column> {
        let mut wanted = vec![(Pt::ZERO, Pt::ZERO); alignments.len()];
        for row in rows {
            for (cell, (least, most)) in row.iter().zip(&mut wanted) {
                *least = least.max(cell.widest_word());
                *most = most.max(cell.unbroken_width());
            }
        }
        #[allow(clippy::cast_precision_loss)] // A table's columns are few.
        let count = alignments.len().max(1) as f32;
        let gap_in = |width: Pt| self.template().spaces.table_column.min(width / count * 0.3);
        let unbroken: Pt = wanted.iter().map(|(_, most)| *most).sum();
        // What has room in the text's own measure leaves the column beside it alone.
        let is_narrow = unbroken + gap_in(place.width) * (count - 1.0) <= place.width;
        let width = if is_narrow { place.width } else { place.whole().width };
        let gap = gap_in(width);
        let room = width - gap * (count - 1.0);
        let mut left = place.left;
        let mut widths = shared_room(&wanted, room);
        if self.template().table.full {
            fill(&mut widths, (width + gap) / (count / 2.0).max(1.0) - gap * 2.0, room);
        }
        let column = |(width, alignment): (Pt, &Alignment)| {
            let manner =
                Manner { alignment: *alignment, ..Manner::ragged(self.template().table.into()) };
            let column = Column { left, width, manner };
            left += width + gap;
            column
        };
        widths.into_iter().zip(alignments).map(column).collect()
    }

    fn table_rule(&self, place: Room, width: Pt, thickness: Pt, shade: f32) -> Path {
        let (from, to) = (place.left, place.left + width);
        let rule = Path::line(Point::new(from, Pt::ZERO), Point::new(to, Pt::ZERO), thickness);
        Path { stroke: Some(Stroke { shade, ..Stroke::black(thickness) }), ..rule }
    }

    /// Sets the head and keeps it for the pages that the table runs on to; its index.
    fn table_head(
        &mut self,
        cells: Vec<Cell>,
        columns: &[Column],
        table: PartId,
        width: Pt,
        place: Room,
    ) -> usize {
        let mut slips = self.row(cells, Role::TableHead, columns, table);
        let rule = self.table_rule(place, width, self.template().rules.thick, 0.0);
        close_row(&mut slips, rule);
        let mut head = Head { height: Pt::ZERO, items: Vec::new() };
        for slip in slips {
            let slip = Slip { reach: place.left + width, ..slip };
            let offset = Point::new(Pt::ZERO, head.height);
            let items = slip.items.iter().cloned().map(Item::unlabelled).collect();
            head.items.push(Item::Group(Group { offset, label: Label::None, items }));
            head.height += slip.height;
            self.galley.push(slip);
            self.galley.hold(TOGETHER);
        }
        self.galley.heads.push(head);
        self.galley.heads.len() - 1
    }

    /// A row as slips, one for each line of its highest cell.
    fn row(
        &mut self,
        cells: Vec<Cell>,
        role: Role,
        columns: &[Column],
        table: PartId,
    ) -> Vec<Slip> {
        let type_ = self.template().table;
        let row = self.parts.add(Role::TableRow, Some(table));
        let padding = self.template().spaces.table_row / 2.0;
        let mut slips = vec![Slip { height: type_.leading + padding, ..Slip::default() }];
        for (cell, column) in cells.into_iter().zip(columns) {
            let part = self.parts.add(role, Some(row));
            let leads = self.leads(&cell.inner, part);
            let fonts = self.job.fonts;
            let lines = cell
                .shaped
                .into_iter()
                .flat_map(|words| words.lines(column.width, LineEnds::Ragged, fonts));
            for (index, line) in lines.enumerate() {
                if index == slips.len() {
                    slips.push(Slip { height: type_.leading, ..Slip::default() });
                }
                let above = if index == 0 { padding } else { Pt::ZERO };
                let y = above + baseline(type_.size, type_.leading);
                if let Some(slip) = slips.get_mut(index) {
                    slip.baseline = y;
                    self.cell_line(&line, y, (part, &leads), *column, slip);
                }
            }
        }
        slips
    }

    fn cell_line(
        &self,
        line: &Line,
        y: Pt,
        part: (PartId, &Leads),
        column: Column,
        slip: &mut Slip,
    ) {
        let at = Point::new(column.left, y);
        self.line(line, at, part, column.manner, column.width, slip);
    }
}

/// Ends a row: room beneath its last line, and a rule.
fn close_row(slips: &mut [Slip], rule: Path) {
    let Some(last) = slips.last_mut() else { return };
    last.height += pt(2.5);
    let at = Point::new(Pt::ZERO, last.height);
    let items = vec![artifact(rule)];
    last.items.push(Item::Group(Group { offset: at, label: Label::None, items }));
}

/// The widths of columns that want so much at least (their widest word) and at most (no line broken): each
/// what it wants where there is room; else what is beyond the least is shared in proportion, so that no word
/// is cut and the longest cells are broken most; else the least is cut in proportion.
fn shared_room(wanted: &[(Pt, Pt)], room: Pt) -> Vec<Pt> {
    let least: Pt = wanted.iter().map(|(least, _)| *least).sum();
    let most: Pt = wanted.iter().map(|(_, most)| *most).sum();
    let share = |&(narrow, wide): &(Pt, Pt)| {
        if most <= room {
            wide
        } else if least < room {
            narrow + (wide - narrow) * ((room - least) / (most - least))
        } else {
            narrow * (room / least)
        }
    };
    // A hair more, so that the sum of a column's words is never a rounding error wider than it.
    wanted.iter().map(share).map(|width| width + pt(0.01)).collect()
}

/// Widens columns to all their room: those of pairs, such as a sign and what it says, so that each pair has the same,
/// where none needs more; else the last.
fn fill(widths: &mut [Pt], pair: Pt, room: Pt) {
    let all: Pt = widths.iter().copied().sum();
    let pairs = || widths.chunks_exact(2);
    let is_paired = pairs().len() > 1 && pairs().remainder().is_empty();
    if is_paired && pairs().all(|columns| columns.iter().copied().sum::<Pt>() <= pair) {
        let signs = widths.iter().step_by(2).fold(Pt::ZERO, |widest, width| widest.max(*width));
        let fits = |columns: &[Pt]| columns.last().is_some_and(|says| signs + *says <= pair);
        let alike = widths.chunks_exact(2).all(fits);
        for columns in widths.chunks_exact_mut(2) {
            if let [sign, says] = columns {
                *sign = if alike { signs } else { *sign };
                *says = pair - *sign;
            }
        }
    } else if let Some(last) = widths.last_mut() {
        *last += (room - all).max(Pt::ZERO);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn full_tables_have_pairs_of_one_width() {
        for (widths, full) in [
            (vec![10.0, 30.0, 20.0, 50.0], vec![20.0, 70.0, 20.0, 70.0]),
            (vec![10.0, 75.0, 60.0, 20.0], vec![10.0, 80.0, 60.0, 30.0]),
            (vec![10.0, 100.0, 20.0, 50.0], vec![10.0, 100.0, 20.0, 50.0]),
            (vec![10.0, 30.0, 20.0], vec![10.0, 30.0, 140.0]),
        ] {
            let mut found: Vec<Pt> = widths.iter().map(|width| pt(*width)).collect();
            fill(&mut found, pt(90.0), pt(180.0));
            assert_eq!(
                found,
                full.iter().map(|width| pt(*width)).collect::<Vec<_>>(),
                "{widths:?}"
            );
        }
    }

    #[test]
    fn room_is_shared() {
        let wanted = |columns: &[(f32, f32)]| -> Vec<(Pt, Pt)> {
            columns.iter().map(|(least, most)| (pt(*least), pt(*most))).collect()
        };
        for (columns, room, widths) in [
            (vec![(10.0, 50.0), (20.0, 60.0)], 200.0, vec![50.0, 60.0]),
            (vec![(10.0, 50.0), (20.0, 100.0)], 90.0, vec![30.0, 60.0]),
            (vec![(30.0, 50.0), (90.0, 100.0)], 60.0, vec![15.0, 45.0]),
            (vec![], 60.0, vec![]),
        ] {
            let found = shared_room(&wanted(&columns), pt(room));
            let near = found.iter().zip(&widths).all(|(a, b): (&Pt, &f32)| (a.0 - b).abs() < 0.02);
            assert!(near && found.len() == widths.len(), "{columns:?}: {found:?}");
        }
    }
}
