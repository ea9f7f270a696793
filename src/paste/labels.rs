//! The labels of a riff's rows, and the tuning that they tell.

use super::pieces::Stack;
use super::row::Row;
use crate::lesson::string_label::{RowString, StringLabel, place, read_label};
use crate::neck::Tuning;
use crate::theory::{Names, Pitch};

/// The labels of a riff's rows.
pub(super) struct Labels {
    pub rows: Vec<String>,
    /// What had to be guessed about them.
    pub guess: Option<String>,
    /// The tuning, as the fence line says it, where the letters aren't those of the lesson's.
    pub phrase: String,
}

impl Labels {
    /// What the string of a row is called: by its label, or counted from the top where another has the same.
    pub fn named(&self, row: usize) -> String {
        let label = self.rows.get(row).map_or("", String::as_str);
        let alone = self.rows.iter().filter(|other| *other == label).count() == 1;
        if alone { format!("string {label}") } else { format!("string {}", row + 1) }
    }

    /// The labels of systems that follow each other. Letters `by_habit` are those of the usual tuning and
    /// mean the strings of this one.
    pub fn of(stacks: &[Stack], tuning: &Tuning, by_habit: bool) -> Labels {
        let rows = stacks.first().map(|stack| stack.rows.as_slice()).unwrap_or_default();
        let usual = usual_labels(tuning);
        let whole = rows.len() == usual.len();
        let label = |(index, row): (usize, &Row)| {
            let number = number(row).and_then(|number| usual.get(number.checked_sub(1)?));
            let own = row.label.as_ref().filter(|_| self::number(row).is_none());
            own.or(number).or_else(|| usual.get(index)).cloned().unwrap_or_default()
        };
        let labels: Vec<String> = rows.iter().enumerate().map(label).collect();
        let order = "the strings, from the order of the rows".to_string();
        let unlabelled = rows.iter().any(|row| row.label.is_none());
        let guess = if unlabelled { Some(order.clone()) } else { by_numbers(rows) };
        if fits(&labels, tuning) {
            return Labels { rows: labels, guess, phrase: String::new() };
        }
        if let Some(strings) = of_habit(&labels, tuning).filter(|_| by_habit) {
            let (typed, meant) = (labels.join(" "), strings.join(" "));
            let guess = format!(
                "the rows lettered {typed} are the strings {meant}, since the text says its tuning"
            );
            return Labels { rows: strings, guess: Some(guess), phrase: String::new() };
        }
        match own_tuning(rows).map(|letters| near(&letters, tuning)) {
            Some(letters) => Labels { rows: labels, guess, phrase: format!(" tuning {letters}") },
            None if whole => Labels { rows: usual, guess: Some(order), phrase: String::new() },
            None => Labels { rows: labels, guess, phrase: String::new() },
        }
    }
}

/// What is guessed of rows that have numbers for letters: the first is the highest.
fn by_numbers(rows: &[Row]) -> Option<String> {
    let numbers: Vec<String> = rows.iter().filter_map(number).map(|n| n.to_string()).collect();
    (!numbers.is_empty()).then(|| format!("the strings, from the numbers {}", numbers.join(" ")))
}

/// Whether the rows of a text are lettered as players do by habit, whatever the tuning that it says: those
/// of some system, or all, have the letters of the usual one and not of their own. Others may have their
/// own where the tuning is the usual one moved as a whole: nobody would tune back within a tune.
pub(super) fn are_by_habit<'s>(
    mut stacks: impl Iterator<Item = &'s Stack>,
    tuning: &Tuning,
) -> bool {
    let letters = |stack: &Stack| -> Vec<String> {
        stack.rows.iter().filter_map(|row| row.label.clone()).collect()
    };
    let Some(usual) = usual(tuning.len()) else { return false };
    let moved = is_moved(tuning, &usual);
    stacks.all(|stack| {
        let letters = letters(stack);
        letters.is_empty() || if fits(&letters, tuning) { moved } else { fits(&letters, &usual) }
    })
}

/// Whether each string of a tuning is as far from that of another as the others are.
fn is_moved(tuning: &Tuning, from: &Tuning) -> bool {
    let pairs = tuning.strings().iter().zip(from.strings());
    let mut steps = pairs.map(|(open, other)| open.midi() - other.midi());
    let first = steps.next();
    steps.all(|step| Some(step) == first)
}

/// The usual tuning of so many strings: a bass's of four.
fn usual(strings: usize) -> Option<Tuning> {
    match strings {
        4 => Tuning::parse("E1 A1 D2 G2").ok(),
        6 => Some(Tuning::standard()),
        _ => None,
    }
}

/// The strings of a tuning that rows mean which have the letters of the usual one.
fn of_habit(labels: &[String], tuning: &Tuning) -> Option<Vec<String>> {
    let read: Vec<StringLabel> =
        labels.iter().map(|label| read_label(label, Names::English)).collect::<Option<_>>()?;
    let places = place(&read, &usual(tuning.len())?)?;
    let usual = usual_labels(tuning);
    let string = |place: &RowString| match place {
        RowString::Sure(string) => usual.get(tuning.number(*string).checked_sub(1)?).cloned(),
        RowString::Open(..) => None,
    };
    places.iter().map(string).collect()
}

/// Letters of open strings with their octaves, each as near as it can be to the same string of a tuning
/// of as many; the letters as they are where they mean that without.
fn near(letters: &str, tuning: &Tuning) -> String {
    let names: Vec<&str> = letters.split(' ').collect();
    let distance = |name: &str, octave: i32, open: Pitch| {
        Pitch::parse(&format!("{name}{octave}")).map(|pitch| (pitch.midi() - open.midi()).abs())
    };
    let named = |(name, open): (&&str, &Pitch)| {
        let octave =
            (0..=6).min_by_key(|octave| distance(name, *octave, *open).unwrap_or(i32::MAX))?;
        Some(format!("{name}{octave}"))
    };
    let plain = names.len() != tuning.len()
        || names.iter().any(|name| name.ends_with(|c: char| c.is_ascii_digit()));
    let nearest: Option<Vec<String>> = names.iter().zip(tuning.strings()).map(named).collect();
    let Some(nearest) = nearest.filter(|_| !plain).map(|names| names.join(" ")) else {
        return letters.to_string();
    };
    let same = Tuning::parse(letters).is_ok_and(|own| Tuning::parse(&nearest) == Ok(own));
    if same { letters.to_string() } else { nearest }
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

/// The tuning of a text that doesn't say it, from its first tab: the header's line for it, and the
/// tuning; nothing where it is the usual one. Later tabs may be in another.
pub(super) fn told(stacks: &[&Stack]) -> Option<(String, Tuning)> {
    let first = stacks.first()?;
    let height = first.rows.len();
    let same = stacks.iter().all(|stack| stack.rows.len() == height);
    let bare = first.rows.iter().all(|row| row.label.is_none());
    let (letters, guess) = match height {
        4 if same && is_bass(first) => {
            ("E1 A1 D2 G2".to_string(), Some("a bass, from the four rows of the first tab"))
        }
        7 if bare => ("B E A D G B E".to_string(), Some("the tuning, from seven rows")),
        8 if bare => ("F# B E A D G B E".to_string(), Some("the tuning, from eight rows")),
        _ => {
            let letters = own_tuning(&first.rows)?;
            let agree = |stack: &&Stack| own_tuning(&stack.rows).as_ref() == Some(&letters);
            let whole = height >= Tuning::standard().len() || stacks.iter().all(agree);
            (whole.then_some(letters)?, None)
        }
    };
    let tuning = Tuning::parse(&letters).ok().filter(|tuning| *tuning != Tuning::standard())?;
    let usual: Vec<String> = first.rows.iter().filter_map(|row| row.label.clone()).collect();
    if guess.is_none() && fits(&usual, &Tuning::standard()) {
        return None;
    }
    let comment = match guess {
        Some(guess) => format!("# guessed: {guess}\n"),
        None => "# from the letters of the rows\n".to_string(),
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
    let read: Option<Vec<StringLabel>> =
        labels.iter().map(|label| read_label(label, Names::English)).collect();
    read.is_some_and(|labels| !labels.is_empty() && place(&labels, tuning).is_some())
}
