//! All signs on a sheet, as a lesson: every sign of a riff drawn with its meaning, every row, and the signs
//! of boxes, necks and repeats.

use super::{Page, find};
use crate::words::help::Section;

/// How many signs stand in a system.
const IN_A_SYSTEM: usize = 4;
/// The columns of a beat in the drawn signs.
const BEAT: usize = 4;
/// The kinds whose signs are listed beside their example, with the heading of each.
const LISTED: [(&str, &str); 3] =
    [("shape", "Chord boxes"), ("neck", "The neck"), ("changes", "Bars and repeats")];

/// The sheet, as the text of a lesson.
pub fn reference() -> String {
    let mut text = "---\ntitle: Every sign\nkey: C major\n---\n".to_owned();
    if let Some(riff) = find("riff") {
        text += &format!("\n## On a string\n\n{}", strings(&riff));
        text += &format!("\n## Rows\n\n{}{}", rows(&riff), first_fence(&riff.example));
    }
    for (name, heading) in LISTED {
        let Some(page) = find(name) else { continue };
        text += &format!("\n## {heading}\n\n{}\n", page.example);
        let own = page.sections.iter().filter(|section| section.title != "Phrases");
        text += &own.map(table).collect::<String>();
    }
    text
}

/// Every sign of a string row drawn, with its meaning above it.
fn strings(riff: &Page) -> String {
    let signs = riff.sections.iter().find(|section| section.title == "A string row");
    let signs = signs.map(|section| section.entries.as_slice()).unwrap_or_default();
    let systems: Vec<String> = signs.chunks(IN_A_SYSTEM).map(system).collect();
    format!("~~~ riff, meter 3/4\n{}~~~\n", systems.join("\n"))
}

fn system(signs: &[(String, String)]) -> String {
    let mut rows = ["words   ".to_owned(), "count   ".to_owned(), "G       ".to_owned()];
    for (written, says) in signs {
        let words = format!("{written} {says}");
        let width = (words.chars().count() + 2).max(3 * BEAT);
        for (row, content) in rows.iter_mut().zip([words, "1   2   3".to_owned(), spread(written)])
        {
            let fill = if row.starts_with('G') { '-' } else { ' ' };
            let filled: String =
                content.chars().chain(std::iter::repeat(fill)).take(width).collect();
            *row += &format!("{filled}|");
        }
    }
    rows.join("\n") + "\n"
}

/// A sign with each of its frets under a count of its own.
fn spread(written: &str) -> String {
    let mut spread = String::new();
    let (mut frets, mut before) = (0, ' ');
    for sign in written.chars() {
        if sign.is_ascii_digit() && !before.is_ascii_digit() {
            let column = frets * BEAT;
            if frets > 0 {
                spread += &"-".repeat(column.saturating_sub(spread.chars().count()));
            }
            frets += 1;
        }
        spread.push(sign);
        before = sign;
    }
    spread
}

/// The rows with what they say, then the signs of each.
fn rows(riff: &Page) -> String {
    let others = |section: &&Section| !matches!(section.title.as_str(), "A string row" | "Phrases");
    let tables: Vec<String> = riff.sections.iter().filter(others).map(table).collect();
    tables.join("\n")
}

/// The first block of an example.
fn first_fence(example: &str) -> String {
    let end = example.find("\n~~~\n").map_or(example.len(), |end| end + "\n~~~\n".len());
    format!("\n{}", example.get(..end).unwrap_or_default())
}

/// A section as a table, two entries in a row.
fn table(section: &Section) -> String {
    let cell = |entry: &(String, String)| {
        let plain = |text: &str| text.replace('|', "\\|").replace('`', "``");
        format!("`` {} `` | {}", plain(&entry.0), plain(&entry.1))
    };
    let rows = section.entries.chunks(2).map(|pair| {
        let cells: Vec<String> = pair.iter().map(cell).collect();
        let empty = if pair.len() < 2 { " | |" } else { "" };
        format!("| {} |{empty}\n", cells.join(" | "))
    });
    let title = &section.title.replace('`', "");
    format!("| {title} | | | |\n| --- | --- | --- | --- |\n{}\n", rows.collect::<String>())
}
