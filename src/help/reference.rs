//! All signs on a sheet, as a lesson: every sign of a riff drawn with its meaning, every row, and the signs
//! of boxes, necks and repeats.

use super::{Page, find};
use crate::page::{Template, TemplateError};
use crate::words::help::Section;

/// How many signs stand in a system.
const IN_A_SYSTEM: usize = 4;
/// The columns of a beat in the drawn signs.
const BEAT: usize = 4;
/// The columns before the first beat, in which what leads to a fret has room.
const LEAD: usize = 2;
/// More signs of a row have a table of their own.
const BESIDE_A_ROW: usize = 6;
/// How many signs stand in a row of a table.
const IN_A_ROW: usize = 2;
/// The kinds whose signs are listed, with the heading of each, and whether its example is drawn.
const LISTED: [(&str, &str, bool); 3] =
    [("shape", "Chord boxes", true), ("neck", "The neck", false), ("changes", "Changes", true)];

/// The sheet, as the text of a lesson.
pub fn reference() -> String {
    let mut text = "---\ntitle: Every sign\nkey: C major\n---\n".to_owned();
    if let Some(riff) = find("riff") {
        text += &format!("\n## On a string\n\n{}", strings(&riff));
        text += &format!("\n## Rows\n\n{}", rows(&riff));
    }
    for (name, heading, drawn) in LISTED {
        let Some(page) = find(name) else { continue };
        let figure = if drawn { first_block(&page.example) } else { String::new() };
        text += &format!("\n## {heading}\n\n{figure}\n");
        let own = page.sections.iter().filter(|section| section.title != "Phrases");
        text += &own.map(table).collect::<String>();
    }
    text
}

/// How the sheet looks where nothing else is asked for: two pages on either paper.
///
/// # Errors
/// Where it says something that no template may say.
pub fn reference_template() -> Result<Template, TemplateError> {
    Template::parse(include_str!("reference.toml"))
}

/// Every sign of a string row drawn, with its meaning beneath it.
fn strings(riff: &Page) -> String {
    let signs = riff.sections.iter().find(|section| section.title == "A string row");
    let signs = signs.map(|section| section.entries.as_slice()).unwrap_or_default();
    let systems: Vec<String> = signs.chunks(IN_A_SYSTEM).map(system).collect();
    format!("~~~ riff, meter 3/4\n{}~~~\n", systems.join("\n"))
}

fn system(signs: &[(String, String)]) -> String {
    let mut rows = ["words   ".to_owned(), "count   ".to_owned(), "G       ".to_owned()];
    for (written, says) in signs {
        let words = format!("{}{written} {says}", " ".repeat(LEAD));
        let counts = format!("{}1   2   3", " ".repeat(LEAD));
        let width = (words.chars().count() + 2).max(LEAD + 3 * BEAT);
        for (row, content) in rows.iter_mut().zip([words, counts, spread(written)]) {
            let fill = if row.starts_with('G') { '-' } else { ' ' };
            let filled = content.chars().chain(std::iter::repeat(fill)).take(width);
            row.extend(filled.chain(['|']));
        }
    }
    rows.join("\n") + "\n"
}

/// A sign with each of its frets under a count of its own, and what joins them in the midst.
fn spread(written: &str) -> String {
    let is_fret = |sign: char| sign.is_ascii_digit() || sign == 'x';
    let mut spread = String::new();
    let mut rest = written;
    for column in (LEAD..).step_by(BEAT) {
        let (before, from) = rest.split_at(rest.find(is_fret).unwrap_or(rest.len()));
        let room = if spread.is_empty() { before.len() } else { BEAT / 2 };
        let joint = column.saturating_sub(room);
        let filled = |text: &str, to: usize| "-".repeat(to.saturating_sub(text.len()));
        if !from.is_empty() {
            spread += &filled(&spread, joint);
        }
        spread += before;
        if from.is_empty() {
            break;
        }
        spread += &filled(&spread, column);
        let (fret, behind) = from.split_at(from.find(|sign| !is_fret(sign)).unwrap_or(from.len()));
        spread += fret;
        rest = behind;
    }
    spread
}

/// The rows with what they say and their signs, a riff that has them all, and the signs of the rows that have
/// many.
fn rows(riff: &Page) -> String {
    let rows = riff.sections.iter().find(|section| section.title == "Rows");
    let rows = rows.map(|section| section.entries.as_slice()).unwrap_or_default();
    let mut text = "| row | says | its signs |\n| --- | --- | --- |\n".to_owned();
    let mut more = String::new();
    for (label, says) in rows {
        let of_row = |section: &&Section| section.title.contains(&format!("`{label}`"));
        let section = riff.sections.iter().find(of_row);
        let signs = match section {
            Some(section) if section.entries.len() > BESIDE_A_ROW => {
                more += &table(section);
                "see below".to_owned()
            }
            section => section.map(beside).unwrap_or_default(),
        };
        text += &format!("| {} | {} | {signs} |\n", typed(label), plain(says));
    }
    format!("{text}\n{}\n{more}", first_block(&riff.example))
}

/// The first block of an example, without its name, so that it needs no caption.
fn first_block(example: &str) -> String {
    let end = example.find("\n~~~\n").map_or(example.len(), |end| end + "\n~~~\n".len());
    let block = example.get(..end).unwrap_or_default();
    let (head, lines) = block.split_once('\n').unwrap_or((block, ""));
    let (named, phrases) = head.split_at(head.find(',').unwrap_or(head.len()));
    let kind = named.split(' ').nth(1).unwrap_or_default();
    format!("~~~ {kind}{phrases}\n{lines}")
}

/// The signs of a section one behind the other.
fn beside(section: &Section) -> String {
    let sign = |(written, says): &(String, String)| format!("{} {}", typed(written), plain(says));
    section.entries.iter().map(sign).collect::<Vec<_>>().join(", ")
}

/// A section as a table, with so many entries in a row that all tables have the same columns.
fn table(section: &Section) -> String {
    let cells =
        |(written, says): &(String, String)| format!("{} | {} |", typed(written), plain(says));
    let rows = section.entries.chunks(IN_A_ROW).map(|entries| {
        let filled: String = entries.iter().map(cells).collect();
        format!("|{filled}{}\n", " | |".repeat(IN_A_ROW - entries.len()))
    });
    let rows: String = rows.collect();
    let rest = IN_A_ROW * 2 - 1;
    let title = section.title.replace('`', "");
    format!("\n| {title} |{}\n|{}\n{rows}", " |".repeat(rest), " --- |".repeat(rest + 1))
}

/// What is written as it stands in a cell.
fn typed(written: &str) -> String {
    format!("`` {} ``", plain(written))
}

/// Words in a cell; what they have between backticks is typed too.
fn plain(words: &str) -> String {
    words.replace('|', "\\|").replace('`', "``")
}
