//! The labels of a riff's rows, and the tuning that they tell.

use super::pieces::Stack;
use super::row::Row;
use crate::lesson::string_label::{StringLabel, place, read_label};
use crate::neck::Tuning;

/// The labels of a riff's rows.
pub(super) struct Labels {
    pub rows: Vec<String>,
    /// Whether any was missing.
    pub guessed: bool,
    /// The tuning, as the fence line says it, where the letters aren't those of the lesson's.
    pub phrase: String,
}

impl Labels {
    pub fn of(stacks: &[Stack], tuning: &Tuning) -> Labels {
        let rows = stacks.first().map(|stack| stack.rows.as_slice()).unwrap_or_default();
        let usual = usual_labels(tuning);
        let whole = rows.len() == usual.len();
        let label = |(index, row): (usize, &Row)| {
            let number = number(row).and_then(|number| usual.get(number.checked_sub(1)?));
            let own = row.label.as_ref().filter(|_| self::number(row).is_none());
            own.or(number).or_else(|| usual.get(index)).cloned().unwrap_or_default()
        };
        let labels: Vec<String> = rows.iter().enumerate().map(label).collect();
        let guessed = rows.iter().any(|row| row.label.is_none());
        if fits(&labels, tuning) {
            return Labels { rows: labels, guessed, phrase: String::new() };
        }
        match own_tuning(rows) {
            Some(letters) => Labels { rows: labels, guessed, phrase: format!(" tuning {letters}") },
            None if whole => Labels { rows: usual, guessed: true, phrase: String::new() },
            None => Labels { rows: labels, guessed, phrase: String::new() },
        }
    }
}

fn number(row: &Row) -> Option<usize> {
    row.label.as_ref()?.parse().ok()
}

/// The open strings that the letters of rows tell, the lowest first, if each row has one.
fn own_tuning(rows: &[Row]) -> Option<String> {
    let labels: Vec<String> = rows.iter().map(|row| row.label.clone()).collect::<Option<_>>()?;
    let low_to_high: Vec<String> = labels.iter().rev().map(|label| capital(label)).collect();
    let letters = low_to_high.join(" ");
    let tuning = Tuning::parse(&letters).ok()?;
    fits(&labels, &tuning).then_some(letters)
}

/// The tuning of a text that doesn't say it: the header's line for it, and the tuning; nothing where it
/// is the usual one.
pub(super) fn told(stacks: &[&Stack]) -> Option<(String, Tuning)> {
    let first = stacks.first()?;
    let height = first.rows.len();
    let same = stacks.iter().all(|stack| stack.rows.len() == height);
    let bare = stacks.iter().all(|stack| stack.rows.iter().all(|row| row.label.is_none()));
    let (letters, guessed) = match height {
        4 if stacks.iter().all(|stack| is_bass(stack)) => ("E1 A1 D2 G2".to_string(), true),
        7 if bare => ("B E A D G B E".to_string(), true),
        8 if bare => ("F# B E A D G B E".to_string(), true),
        _ => {
            let letters = own_tuning(&first.rows)?;
            let agree = |stack: &&Stack| own_tuning(&stack.rows).as_ref() == Some(&letters);
            (stacks.iter().all(agree).then_some(letters)?, false)
        }
    };
    let tuning =
        Tuning::parse(&letters).ok().filter(|tuning| same && *tuning != Tuning::standard())?;
    let usual: Vec<String> = first.rows.iter().filter_map(|row| row.label.clone()).collect();
    if !guessed && fits(&usual, &Tuning::standard()) {
        return None;
    }
    let comment = match guessed {
        true => format!("# guessed: the tuning, from {height} rows\n"),
        false => "# from the letters of the rows\n".to_string(),
    };
    Some((format!("{comment}tuning: {letters}\n"), tuning))
}

/// Whether a system is four rows of a bass.
fn is_bass(stack: &Stack) -> bool {
    let labels = stack.rows.iter().zip(["G", "D", "A", "E"]);
    let fits = |(row, letter): (&Row, &str)| {
        row.label.as_ref().is_none_or(|label| label.eq_ignore_ascii_case(letter))
    };
    stack.rows.len() == 4 && labels.into_iter().all(fits)
}

/// The strings' letters as a tab has them, the highest first; a small one where the letter comes
/// again further down.
fn usual_labels(tuning: &Tuning) -> Vec<String> {
    let letters: Vec<String> =
        tuning.strings().iter().rev().map(|open| open.note.to_string()).collect();
    let again =
        |index: usize, letter: &String| letters.iter().skip(index + 1).any(|other| other == letter);
    let label = |(index, letter): (usize, &String)| {
        if index == 0 && again(index, letter) { small(letter) } else { letter.clone() }
    };
    letters.iter().enumerate().map(label).collect()
}

fn small(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

fn capital(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn fits(labels: &[String], tuning: &Tuning) -> bool {
    let read: Option<Vec<StringLabel>> = labels.iter().map(|label| read_label(label)).collect();
    read.is_some_and(|labels| !labels.is_empty() && place(&labels, tuning).is_some())
}
