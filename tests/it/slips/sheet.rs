//! A riff's text as a grid of rows and columns, for changes that keep the columns.

/// The lines of a lesson and where in them the riff's systems stand. All is ASCII.
#[derive(Clone)]
pub struct Sheet {
    pub lines: Vec<Vec<u8>>,
    pub systems: Vec<System>,
}

/// Rows that share columns.
#[derive(Clone)]
pub struct System {
    /// The lines of all its rows, from the first to the last.
    pub rows: Vec<usize>,
    /// The line of the count row.
    pub count: usize,
    /// The line of the chord row.
    pub chord: Option<usize>,
    /// The lines of the string rows, the highest string first.
    pub strings: Vec<usize>,
    /// The columns of each bar, without its bar line, with the bar's index in the riff.
    pub bars: Vec<Bar>,
}

/// The place of a bar in its system.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Bar {
    pub index: usize,
    pub start: usize,
    pub end: usize,
}

impl Sheet {
    /// Finds the rows of the only riff in a lesson.
    pub fn new(text: &str) -> Sheet {
        let lines: Vec<Vec<u8>> = text.lines().map(|line| line.as_bytes().to_vec()).collect();
        let fence = lines.iter().position(|line| line.starts_with(b"~~~ riff")).unwrap();
        let end = fence + 1 + lines[fence + 1..].iter().position(|line| line == b"~~~").unwrap();
        let numbers: Vec<usize> = (fence + 1..end).collect();
        let mut bars = 0;
        let systems = numbers
            .split(|line| lines[*line].is_empty())
            .map(|rows| {
                let system = System::new(&lines, rows, bars);
                bars += system.bars.len();
                system
            })
            .collect();
        Sheet { lines, systems }
    }

    /// The lesson's text again.
    pub fn text(&self) -> String {
        let lines = self.lines.iter().map(|line| String::from_utf8(line.clone()).unwrap() + "\n");
        lines.collect()
    }

    /// The line and the column of a byte of the text.
    pub fn place(&self, byte: usize) -> (usize, usize) {
        let mut left = byte;
        for (number, line) in self.lines.iter().enumerate() {
            if left <= line.len() {
                return (number, left);
            }
            left -= line.len() + 1;
        }
        panic!("byte {byte} is beyond the text");
    }

    /// The system that has a row in a line.
    pub fn system_of(&self, line: usize) -> &System {
        self.systems.iter().find(|system| system.rows.contains(&line)).unwrap()
    }

    /// How many digits stand at a place.
    pub fn digits(&self, line: usize, column: usize) -> usize {
        self.lines[line][column..].iter().take_while(|byte| byte.is_ascii_digit()).count()
    }

    /// Writes another fret over the one at a place, so that no column moves. `None` where there is no
    /// room for its second digit.
    pub fn write_fret(&mut self, line: usize, column: usize, fret: u8) -> Option<()> {
        let old = self.digits(line, column);
        let new = fret.to_string();
        let after = &self.lines[line][column + old..];
        if new.len() > old
            && (after.first() != Some(&b'-') || after.get(1).is_some_and(u8::is_ascii_digit))
        {
            return None;
        }
        let width = old.max(new.len());
        let padded = format!("{new:-<width$}");
        self.lines[line][column..column + width].copy_from_slice(padded.as_bytes());
        Some(())
    }

    /// Writes a fret where only dashes stand.
    pub fn write_fret_into_dashes(&mut self, line: usize, column: usize, fret: u8) -> Option<()> {
        let new = fret.to_string();
        let place = self.lines[line].get_mut(column..column + new.len())?;
        if place.iter().any(|byte| *byte != b'-') {
            return None;
        }
        place.copy_from_slice(new.as_bytes());
        Some(())
    }
}

/// Whether a row is labelled with a note, with or without its octave.
fn is_string(row: &[u8]) -> bool {
    let label = row.split(|byte| *byte == b' ').next().unwrap_or_default();
    label.first().is_some_and(|letter| matches!(letter, b'A'..=b'G' | b'a'..=b'g'))
        && label[1..].iter().all(|sign| matches!(sign, b'#' | b'b' | b'0'..=b'9'))
}

impl System {
    fn new(lines: &[Vec<u8>], rows: &[usize], first_bar: usize) -> System {
        let labelled =
            |label: &[u8]| rows.iter().copied().find(|row| lines[*row].starts_with(label));
        let count = labelled(b"count").unwrap();
        let is_string = |row: &&usize| is_string(&lines[**row]);
        let mut bars = Vec::new();
        let mut start = b"count   ".len();
        for (column, byte) in lines[count].iter().enumerate() {
            if *byte == b'|' {
                // A line before the first count opens a bar.
                if column > start {
                    bars.push(Bar { index: first_bar + bars.len(), start, end: column });
                }
                start = column + 1;
            }
        }
        System {
            rows: rows.to_vec(),
            count,
            chord: labelled(b"chord"),
            strings: rows.iter().filter(is_string).copied().collect(),
            bars,
        }
    }

    /// The columns at which the counts of a bar begin.
    pub fn counts(&self, sheet: &Sheet, bar: Bar) -> Vec<usize> {
        let row = &sheet.lines[self.count];
        let begins = |column: &usize| {
            row[*column] != b' ' && (*column == bar.start || row[column - 1] == b' ')
        };
        (bar.start..bar.end).filter(begins).collect()
    }
}
