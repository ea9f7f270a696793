//! Lines of chords that belong to no tab, written as changes.

use super::lines_beside::{is_chord, times};
use super::row::is_bar_line;
use crate::theory::Meter;

/// A line of chords.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Chart {
    /// The bar line that it begins with.
    start: String,
    bars: Vec<Bar>,
    /// How often it is played.
    times: Option<u8>,
    /// The words that say so.
    words: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Bar {
    entries: Vec<String>,
    /// The bar line behind it; empty where none was drawn.
    end: String,
}

/// Signs that only part one name from the next.
const PARTING: [&str; 6] = ["-", "–", "—", "→", "->", ">"];

/// Reads a line that has names of chords, bar lines between them or not, and nothing else but how often
/// it is played.
pub(super) fn read(line: &str) -> Option<Chart> {
    let mut chart =
        Chart { start: String::new(), bars: Vec::new(), times: None, words: String::new() };
    let mut entries: Vec<String> = Vec::new();
    let words = spaced(line);
    let words: Vec<&str> = words.split(' ').filter(|word| !word.is_empty()).collect();
    let mut begun = false;
    for (at, word) in words.iter().enumerate() {
        let rest = words.get(at..).unwrap_or_default().join(" ");
        if begun && !is_line(word) && times(&rest).is_some() {
            chart.times = times(&rest);
            chart.words = rest;
            break;
        }
        match *word {
            line if is_line(line) && !begun => chart.start = line.to_string(),
            line if is_line(line) => {
                let entries = std::mem::take(&mut entries);
                chart.bars.push(Bar { entries, end: line.to_string() });
            }
            "/" | "%" => entries.push((*word).to_string()),
            parting if PARTING.contains(&parting) && begun => {}
            name if is_chord(name) => entries.push(name.to_string()),
            _ => return None,
        }
        begun = true;
    }
    if !entries.is_empty() {
        chart.bars.push(Bar { entries, end: String::new() });
    }
    let names = chart.names();
    (names > 1 || (names == 1 && chart.is_ruled())).then_some(chart)
}

/// The line with spaces around its bar lines, each written as the lesson language does.
fn spaced(line: &str) -> String {
    let mut spaced = String::new();
    let mut signs = String::new();
    for character in line.chars().chain([' ']) {
        match character {
            c if is_bar_line(c) => signs.push('|'),
            ':' => signs.push(':'),
            _ => {
                if !signs.is_empty() {
                    spaced += &format!(" {} ", std::mem::take(&mut signs));
                }
                spaced.push(character);
            }
        }
    }
    spaced
}

fn is_line(word: &str) -> bool {
    word.contains('|') && word.chars().all(|c| matches!(c, '|' | ':'))
}

impl Chart {
    fn names(&self) -> usize {
        self.bars.iter().flat_map(|bar| &bar.entries).filter(|entry| is_chord(entry)).count()
    }

    /// Whether bar lines were drawn.
    pub fn is_ruled(&self) -> bool {
        !self.start.is_empty() || self.bars.iter().any(|bar| !bar.end.is_empty())
    }

    /// What is guessed in it: a repeat of which no sign was drawn.
    fn guess(&self) -> Option<String> {
        let closed = self.bars.iter().any(|bar| bar.end.starts_with(':'));
        let times = self.times.filter(|_| !closed)?;
        Some(format!("# guessed: what is played {times} times, from the words `{}`\n", self.words))
    }

    /// The bars as a line of a `changes` block; `None` where a bar's entries don't part it evenly.
    fn written(&self, meter: Meter) -> Option<String> {
        let mut bars = self.bars.clone();
        if !self.is_ruled() {
            let whole = bars.iter().flat_map(|bar| &bar.entries).all(|entry| is_chord(entry));
            let each = bars.into_iter().flat_map(|bar| bar.entries);
            bars = each.map(|entry| Bar { entries: vec![entry], end: String::new() }).collect();
            whole.then_some(())?;
        }
        let mut start = self.line(&self.start);
        let last = bars.len().saturating_sub(1);
        let mut text = String::new();
        for (index, bar) in bars.iter().enumerate() {
            fits(bar.entries.len(), meter).then_some(())?;
            let mut end = self.line(&bar.end);
            if let Some(times) = self.times.filter(|_| index == last) {
                if !end.contains(":|") {
                    start = "|:".to_string();
                }
                end = format!(":|x{times} |");
            }
            text += &format!(" {} {end}", bar.entries.join(" "));
        }
        Some(start + &text)
    }

    /// A bar line as the language writes it.
    fn line(&self, drawn: &str) -> String {
        match (drawn.starts_with(':'), drawn.ends_with(':')) {
            (true, true) => ":|:",
            (true, false) => ":|",
            (false, true) => "|:",
            (false, false) if drawn.len() > 1 => "||",
            (false, false) => "|",
        }
        .to_string()
    }
}

/// Whether a bar can hold so many entries.
fn fits(entries: usize, meter: Meter) -> bool {
    let beats = usize::from(meter.beats());
    let felt = usize::try_from(meter.felt_beats()).unwrap_or(beats);
    entries == beats
        || (!meter.is_compound() && entries == beats * 2)
        || (entries > 0 && felt.is_multiple_of(entries))
}

/// A `changes` block for lines that follow each other, and what was guessed in it; `None` where bars
/// can't be made of them.
pub(super) fn changes(charts: &[Chart], meter: Meter) -> Option<String> {
    let lines: Vec<String> =
        charts.iter().map(|chart| chart.written(meter)).collect::<Option<_>>()?;
    let guess = "# guessed: a bar for each chord, since no bar lines were drawn\n";
    let guess = if charts.iter().all(Chart::is_ruled) { "" } else { guess };
    let repeats: String = charts.iter().filter_map(Chart::guess).collect();
    Some(format!("~~~ changes\n{guess}{repeats}{}\n~~~\n", lines.join("\n")))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_chords_become_changes() {
        for (line, expected) in [
            ("Am F C G", Some("| Am | F | C | G |")),
            ("Am - F - C - G  x2", Some("|: Am | F | C | G :|x2 |")),
            ("| Am | F G |", Some("| Am | F G |")),
            ("Am | F", Some("| Am | F |")),
            ("|: Am | % :| x3", Some("|: Am | % :|x3 |")),
            ("||Am / / /|F||", Some("|| Am / / / | F ||")),
            ("Am F la", None),
            ("Am", None),
            ("| Am F C | G |", None),
        ] {
            let written = read(line).and_then(|chart| chart.written(Meter::COMMON));
            assert_eq!(written.as_deref(), expected, "{line}");
        }
    }

    #[test]
    fn a_repeat_without_its_sign_is_guessed() {
        for (line, guess) in [
            ("| Am | F | x2", "# guessed: what is played 2 times, from the words `x2`\n"),
            ("| Am | F | (3x)", "# guessed: what is played 3 times, from the words `(3x)`\n"),
            ("| Am | F :| x2", ""),
            ("| Am | F |", ""),
        ] {
            let written = changes(&[read(line).unwrap()], Meter::COMMON).unwrap();
            assert!(written.starts_with(&format!("~~~ changes\n{guess}|")), "{line}: {written}");
        }
    }
}
