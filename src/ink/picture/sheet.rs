//! Dots on paper: made fewer by averaging, and turned upright.

/// Dots in sRGB, three bytes each, line by line from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sheet {
    pub columns: u32,
    pub rows: u32,
    pub dots: Vec<u8>,
}

impl Sheet {
    /// The sheet with so many dots, where it has more: each is the mean of what it stands for.
    pub fn reduced(&self, columns: u32, rows: u32) -> Sheet {
        let mut reducer = Reducer::new((self.columns, self.rows), (columns, rows));
        let line = self.columns as usize * 3;
        self.dots.chunks_exact(line.max(1)).for_each(|row| reducer.take(row));
        reducer.sheet()
    }

    fn dot(&self, column: u32, row: u32) -> [u8; 3] {
        let at = (row as usize * self.columns as usize + column as usize) * 3;
        self.dots.get(at..).and_then(|dots| dots.first_chunk()).copied().unwrap_or([255; 3])
    }

    /// The sheet turned as a camera says that it was held (Exif 2.3, tag 0x0112).
    pub fn turned(self, orientation: u8) -> Sheet {
        let (last_x, last_y) = (self.columns.saturating_sub(1), self.rows.saturating_sub(1));
        let upright = |x: u32, y: u32| match orientation {
            2 => (last_x - x, y),
            3 => (last_x - x, last_y - y),
            4 => (x, last_y - y),
            5 => (y, x),
            6 => (y, last_y - x),
            7 => (last_x - y, last_y - x),
            8 => (last_x - y, x),
            _ => (x, y),
        };
        let (columns, rows) = match orientation {
            2..=4 => (self.columns, self.rows),
            5..=8 => (self.rows, self.columns),
            _ => return self,
        };
        let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
        let dots = places
            .flat_map(|(x, y)| {
                let (x, y) = upright(x, y);
                self.dot(x, y)
            })
            .collect();
        Sheet { columns, rows, dots }
    }
}

/// The size of a picture within a frame, its proportions kept; never larger than it is, and one dot
/// at least.
pub(super) fn within((columns, rows): (u32, u32), frame: (u32, u32)) -> (u32, u32) {
    let share = |most: u32, side: u32| f64::from(most) / f64::from(side.max(1));
    let shrink = share(frame.0, columns).min(share(frame.1, rows)).min(1.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // No larger than before.
    let side = |side: u32| ((f64::from(side) * shrink).round() as u32).max(1);
    (side(columns), side(rows))
}

/// Takes a sheet in line by line and makes a smaller one: each of its dots is the mean of the area
/// that it covers, dots that lie across its edge counted for the part that lies within.
pub(super) struct Reducer {
    from: (u32, u32),
    to: (u32, u32),
    /// The line that was taken last, squeezed: sums of dots, weighted by `from.0` in all.
    line: Vec<u32>,
    /// The dots of the line in the making, weighted by `from.0` times `from.1` in all.
    sums: Vec<u64>,
    /// What weight the line in the making lacks still.
    lacks: u32,
    dots: Vec<u8>,
}

impl Reducer {
    /// From one size to another one, neither side of which is larger.
    pub fn new(from: (u32, u32), to: (u32, u32)) -> Reducer {
        let to = (to.0.clamp(1, from.0.max(1)), to.1.clamp(1, from.1.max(1)));
        let width = to.0 as usize * 3;
        let dots = Vec::with_capacity(width * to.1 as usize);
        Reducer { from, to, line: vec![0; width], sums: vec![0; width], lacks: from.1, dots }
    }

    /// Takes the next line.
    pub fn take(&mut self, row: &[u8]) {
        if self.from == self.to {
            self.dots.extend(row);
            return;
        }
        self.squeeze(row);
        // Of this line's weight so much goes into the line in the making, the rest into the next.
        let now = self.to.1.min(self.lacks);
        self.add(now);
        self.lacks -= now;
        if self.lacks == 0 {
            self.end_line();
            self.lacks = self.from.1;
            let rest = self.to.1 - now;
            self.add(rest);
            self.lacks -= rest;
        }
    }

    fn squeeze(&mut self, row: &[u8]) {
        let (full, weight) = (self.from.0, self.to.0);
        self.line.fill(0);
        let mut cells = self.line.as_chunks_mut::<3>().0.iter_mut();
        let Some(mut cell) = cells.next() else { return };
        let mut lacks = full;
        for dot in row.as_chunks::<3>().0 {
            let now = weight.min(lacks);
            put(cell, dot, now);
            lacks -= now;
            if lacks == 0 {
                let Some(next) = cells.next() else { return };
                cell = next;
                put(cell, dot, weight - now);
                lacks = full - (weight - now);
            }
        }
    }

    fn add(&mut self, weight: u32) {
        for (sum, part) in self.sums.iter_mut().zip(&self.line) {
            *sum += u64::from(*part) * u64::from(weight);
        }
    }

    fn end_line(&mut self) {
        let whole = (u64::from(self.from.0) * u64::from(self.from.1)).max(1);
        let mean = |sum: &u64| u8::try_from((sum + whole / 2) / whole).unwrap_or(u8::MAX);
        self.dots.extend(self.sums.iter().map(mean));
        self.sums.fill(0);
    }

    /// The smaller sheet; lines that never came are white.
    pub fn sheet(self) -> Sheet {
        let Reducer { to: (columns, rows), mut dots, .. } = self;
        dots.resize(columns as usize * rows as usize * 3, u8::MAX);
        Sheet { columns, rows, dots }
    }
}

fn put(cell: &mut [u32; 3], dot: &[u8; 3], weight: u32) {
    for (sum, part) in cell.iter_mut().zip(dot) {
        *sum += u32::from(*part) * weight;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(columns: u32, rows: u32, greys: &[u8]) -> Sheet {
        Sheet { columns, rows, dots: greys.iter().flat_map(|&grey| [grey; 3]).collect() }
    }

    fn greys(sheet: &Sheet) -> Vec<u8> {
        sheet.dots.chunks(3).map(|dot| dot[0]).collect()
    }

    #[test]
    fn fewer_dots_are_the_means_of_what_they_cover() {
        for (columns, rows, before, to, after) in [
            (4, 1, vec![10, 20, 30, 50], (2, 1), vec![15, 40]),
            (3, 1, vec![0, 90, 30], (2, 1), vec![30, 50]),
            (1, 3, vec![0, 90, 30], (1, 2), vec![30, 50]),
            (3, 3, vec![9, 9, 0, 9, 9, 0, 0, 0, 0], (1, 1), vec![4]),
            (5, 2, vec![1, 2, 3, 4, 5, 1, 2, 3, 4, 5], (5, 1), vec![1, 2, 3, 4, 5]),
            (2, 2, vec![1, 2, 3, 4], (2, 2), vec![1, 2, 3, 4]),
            (2, 1, vec![1, 2], (9, 9), vec![1, 2]),
        ] {
            assert_eq!(greys(&sheet(columns, rows, &before).reduced(to.0, to.1)), after);
        }
        let white = sheet(997, 3, &[255; 2991]).reduced(331, 2);
        assert!(white.dots.iter().all(|&part| part == 255));
    }

    #[test]
    fn a_frame_keeps_proportions() {
        for (size, frame, within_it) in [
            ((8660, 5774), (2400, 2400), (2400, 1600)),
            ((100, 50), (2400, 2400), (100, 50)),
            ((60_000, 1), (2400, 2400), (2400, 1)),
            ((1, 60_000), (300, 300), (1, 300)),
        ] {
            assert_eq!(within(size, frame), within_it);
        }
    }

    #[test]
    fn a_turned_camera_is_turned_back() {
        // Exif 2.3, orientation: where the file's first row and first column are seen.
        let rows: [(u8, u32, [u8; 6]); 8] = [
            (1, 3, [1, 2, 3, 4, 5, 6]),
            (2, 3, [3, 2, 1, 6, 5, 4]),
            (3, 3, [6, 5, 4, 3, 2, 1]),
            (4, 3, [4, 5, 6, 1, 2, 3]),
            (5, 2, [1, 4, 2, 5, 3, 6]),
            (6, 2, [4, 1, 5, 2, 6, 3]),
            (7, 2, [6, 3, 5, 2, 4, 1]),
            (8, 2, [3, 6, 2, 5, 1, 4]),
        ];
        for (orientation, columns, seen) in rows {
            let turned = sheet(3, 2, &[1, 2, 3, 4, 5, 6]).turned(orientation);
            assert_eq!((turned.columns, greys(&turned)), (columns, seen.to_vec()), "{orientation}");
        }
    }
}
