//! Where the time is: the sections with their speech, music and pauses, in whole seconds that add up as they
//! are printed.

use super::sections::{self, Section};
use super::{Script, clock};
use crate::words::paper::script::ALL;
use std::time::Duration;

/// A row of the table: its times are whole seconds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// When the section begins.
    pub at: Duration,
    /// Its heading.
    pub title: String,
    /// How long is spoken, played and paused.
    pub parts: [Duration; 3],
}

impl Row {
    /// What it shows behind its heading: speech, music, pauses, and all together.
    pub fn cells(&self) -> [String; 4] {
        let told = |time: Duration| match time.is_zero() {
            true => "–".to_owned(),
            false => clock::told(time),
        };
        let [speech, music, pauses] = self.parts.map(told);
        [speech, music, pauses, clock::told(self.parts.iter().sum())]
    }
}

/// The sections that take time and a last row for all of them. There is none of one section alone, unless
/// the script has a length to keep.
pub fn of(script: &Script) -> Option<(Vec<Row>, Row)> {
    let sections = sections::of(script).into_iter().filter(|section| !section.total().is_zero());
    let rows = in_whole_seconds(sections);
    let all = |part: usize| rows.iter().filter_map(|row| row.parts.get(part)).sum();
    let parts = [all(0), all(1), all(2)];
    let least = if script.length.is_some() { 1 } else { 2 };
    let all = Row { at: Duration::ZERO, title: script.lang.said(ALL).into_owned(), parts };
    (rows.len() >= least).then_some((rows, all))
}

/// Sections in whole seconds. One takes what lies between its beginning and its end as they are told, so that
/// all rows together are what the script runs; its parts are rounded so that they add up to that, and what one
/// loses by it, the same part of the next gets.
fn in_whole_seconds(sections: impl Iterator<Item = Section>) -> Vec<Row> {
    let mut parts = [Part::default(); 3];
    let row = |section: Section| {
        let end = section.at + section.total();
        let exact = [section.speech, section.music, section.pauses];
        parts.iter_mut().zip(exact).for_each(|(part, exact)| part.begin(exact));
        share(&mut parts, i128::from(end.as_secs() - section.at.as_secs()));
        let told = |part: Part| Duration::from_secs(u64::try_from(part.whole).unwrap_or(0));
        Row { at: section.at, title: section.title, parts: parts.map(told) }
    };
    sections.map(row).collect()
}

/// A second in nanoseconds.
const SECOND: i128 = 1_000_000_000;

/// Speech, music or pauses of the section that is rounded.
#[derive(Debug, Clone, Copy, Default)]
struct Part {
    /// What it takes, and what it lost by rounding so far, in nanoseconds.
    exact: i128,
    owed: i128,
    /// What is told, in seconds.
    whole: i128,
}

impl Part {
    fn begin(&mut self, exact: Duration) {
        self.owed = self.lacks();
        self.exact = i128::try_from(exact.as_nanos()).unwrap_or(i128::MAX / 4);
        let wanted = if self.exact > 0 { self.exact + self.owed } else { 0 };
        self.whole = (wanted / SECOND).max(0);
    }

    /// By how much less is told than it took.
    fn lacks(&self) -> i128 {
        self.exact + self.owed - self.whole * SECOND
    }
}

/// Makes parts add up to so many seconds, each as near to what it takes as can be; none stays none.
fn share(parts: &mut [Part; 3], seconds: i128) {
    let left = seconds - parts.iter().map(|part| part.whole).sum::<i128>();
    for _ in 0..left {
        let taking = parts.iter_mut().filter(|part| part.exact > 0);
        taking.max_by_key(|part| part.lacks()).into_iter().for_each(|part| part.whole += 1);
    }
    for _ in left..0 {
        let told = parts.iter_mut().filter(|part| part.whole > 0);
        told.min_by_key(|part| part.lacks()).into_iter().for_each(|part| part.whole -= 1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::script::testing::script;

    #[test]
    fn what_is_printed_adds_up() {
        // Speech that lacks a little of a second in each section, pauses that have it.
        let sections = [400, 600, 1_900, 12_340, 59_999, 700, 250, 3_600_000, 1]
            .map(|speech| ("S", [speech, 7_321 * (speech % 3), 600]));
        let named: Vec<(String, [u64; 3])> =
            sections.iter().zip('A'..).map(|((_, parts), c)| (c.to_string(), *parts)).collect();
        let script = script(&named);
        let (rows, all) = of(&script).unwrap_or_else(|| panic!("no table"));
        let sum = |row: &Row| row.parts.iter().sum::<Duration>();
        assert_eq!(rows.iter().map(sum).sum::<Duration>().as_secs(), script.runs.as_secs());
        assert_eq!(sum(&all).as_secs(), script.runs.as_secs());
        for (row, next) in rows.iter().zip(rows.iter().skip(1)) {
            assert_eq!(row.at.as_secs() + sum(row).as_secs(), next.at.as_secs(), "{row:?}");
        }
        for (row, (_, parts)) in rows.iter().zip(&named) {
            for (told, exact) in row.parts.iter().zip(parts) {
                let told = told.as_millis() as i128;
                assert!((told - i128::from(*exact)).abs() < 2_000, "{row:?}: {exact}");
                assert!(*exact > 0 || told == 0, "{row:?}: nothing stays nothing");
            }
        }
        for part in 0..3 {
            let exact: u64 = named.iter().map(|(_, parts)| parts[part]).sum();
            let told = all.parts[part].as_millis() as i128;
            assert!((told - i128::from(exact)).abs() < 2_000, "{part}: {told}, {exact}");
        }
    }

    #[test]
    fn one_section_alone_makes_no_table_unless_there_is_a_length_to_keep() {
        let mut script = script(&[("A".to_owned(), [5_000, 0, 0])]);
        assert_eq!(of(&script), None);
        script.length = Some(Duration::from_secs(60));
        let (rows, all) = of(&script).unwrap_or_else(|| panic!("no table"));
        assert_eq!((rows.len(), all.cells()), (1, ["0:05", "–", "–", "0:05"].map(str::to_owned)));
    }
}
