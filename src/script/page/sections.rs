//! The table of sections on the script's first page.

use super::*;
use crate::script::table::Row;

/// How wide a column of times is.
const COLUMN: Pt = pt(52.0);
/// Times and titles.
const ROW: Style = Style::new(Face::Sans, pt(10.0));
/// What stands above the columns.
const HEAD: Style = Style::new(Face::Sans, pt(8.5));
/// The last row.
const ALL: Style = Style::new(Face::SansSemibold, pt(10.0));

impl Setter<'_> {
    /// Sets the table across the words and the margin, over as many pages as it needs.
    pub(super) fn sections(&mut self, (rows, all): &(Vec<Row>, Row)) {
        let table = self.parts.add(Role::Table, None);
        let lang = self.lang;
        let head = words::COLUMNS.map(|words| lang.said(words).into_owned());
        self.row(("", &lang.said(words::SECTION), &head), HEAD, (table, Role::TableHead));
        for row in rows {
            let at = clock::told(row.at);
            self.row((&at, &row.title, &row.cells()), ROW, (table, Role::TableCell));
        }
        self.row(("", &all.title, &all.cells()), ALL, (table, Role::TableCell));
        self.y += pt(10.0);
    }

    /// A row: the clock before the words' edge, the title in as many lines as it needs, the times at the
    /// right.
    fn row(
        &mut self,
        (at, title, times): (&str, &str, &[String; 4]),
        style: Style,
        (table, role): (PartId, Role),
    ) {
        let fonts = self.job.fonts;
        let right = self.size.0 - EDGE;
        let lines = self.lines(&Passage::plain(title, style), right - LEFT - COLUMN * 4.0 - GUTTER);
        let leading = ROW.size * LEADING;
        self.need(lines.iter().fold(pt(6.0), |height, _| height + leading));
        let row = self.parts.add(Role::TableRow, Some(table));
        let baseline = self.y + ROW.size;
        let at = Text::set(fonts, at, style);
        let place = Point::new(LEFT - pt(16.0) - at.width, baseline);
        self.cell(row, role, [(place, at)]);
        let titles = lines
            .into_iter()
            .zip(0_u16..)
            .map(|(line, number)| (Point::new(LEFT, baseline + leading * f32::from(number)), line));
        let titles: Vec<_> = titles.collect();
        self.y += leading * f32::from(u16::try_from(titles.len().max(1)).unwrap_or(u16::MAX));
        self.cell(row, role, titles);
        // The eye finds the way from a title to its times along a line.
        let line = Point::new(LEFT, self.y + pt(1.0));
        let line = Path::rectangle(line, right - LEFT, pt(0.4), 0.7);
        self.decorate(|drawing| drawing.path(line));
        for (time, place) in times.iter().zip([3.0, 2.0, 1.0, 0.0]) {
            let time = Text::set(fonts, time, style);
            let place = Point::new(right - COLUMN * place - time.width, baseline);
            self.cell(row, role, [(place, time)]);
        }
    }

    fn cell(&mut self, row: PartId, role: Role, lines: impl IntoIterator<Item = (Point, Text)>) {
        let part = self.parts.add(role, Some(row));
        for (place, text) in lines {
            self.draw(part, |drawing| drawing.text(place, text));
        }
    }
}
