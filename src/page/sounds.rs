//! The table of sounds: what the `tone` rows of a lesson name and what each name sets, in order of first use, at the
//! lesson's end.

use super::flow::{Flow, Room};
use crate::blocks::tab::Tab;
use crate::checks::Elaborated;
use crate::lesson::prose::{Alignment, Inline};
use crate::music::tab::TONE;
use crate::music::tones;
use crate::words::paper::sounds as words;
use std::collections::BTreeMap;

/// The table is a section of the lesson, as `##` is.
pub const LEVEL: u8 = 2;

impl Flow<'_> {
    /// Sets the table; nothing where no tone has a name.
    pub fn sounds(&mut self, place: Room) {
        let rows = of(self.lesson);
        if rows.is_empty() {
            return;
        }
        self.heading(LEVEL, &[Inline::Text(self.lang().said(words::TITLE).into_owned())], place);
        self.table(&[Alignment::Left; 2], &[], &rows, place);
    }
}

/// The rows of a lesson's table, a name and its setting each.
pub fn of(lesson: &Elaborated<'_>) -> Vec<Vec<Vec<Inline>>> {
    let tabs = lesson.blocks.iter().filter(|block| block.printed);
    let bars = tabs.filter_map(|block| block.as_a::<Tab>()).flat_map(|tab| &tab.riff.bars);
    let used: Vec<&str> =
        bars.flat_map(|bar| bar.remarks(TONE)).map(|tone| tone.text.as_str()).collect();
    rows(&used)
}

/// A row for each name with its setting, in the order in which names and settings are first used.
fn rows(used: &[&str]) -> Vec<Vec<Vec<Inline>>> {
    let mut settings = BTreeMap::new();
    for (name, setting) in used.iter().filter_map(|text| tones::named(text)) {
        settings.entry(tones::key(name)).or_insert((name, setting));
    }
    let name_of = |text: &&str| {
        tones::named(text).map_or(tones::key(text.trim()), |(name, _)| tones::key(name))
    };
    let row = |key: String| {
        let (name, setting) = settings.remove(&key)?;
        let name = Inline::Strong(vec![Inline::Text(name.to_owned())]);
        Some(vec![vec![name], vec![Inline::Text(setting.to_owned())]])
    };
    used.iter().map(name_of).filter_map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_in_the_order_of_their_first_use() {
        let used = ["Lead", "clean: neck pickup", "wah", "lead: long delay", "clean", "Clean"];
        let told = |words: &[Inline]| match words {
            [Inline::Text(text)] => text.clone(),
            [Inline::Strong(words)] => match words.as_slice() {
                [Inline::Text(text)] => format!("*{text}*"),
                _ => String::new(),
            },
            _ => String::new(),
        };
        let rows = rows(&used);
        let told: Vec<Vec<String>> =
            rows.iter().map(|row| row.iter().map(|cell| told(cell)).collect()).collect();
        assert_eq!(told, [["*lead*", "long delay"], ["*clean*", "neck pickup"]]);
        assert!(super::rows(&["clean", "wah on"]).is_empty());
    }
}
