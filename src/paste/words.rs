//! Lines that are no tab, written as headings, progressions, shapes or prose.

use super::chord_lines::{self, Chart};
use super::lines::{Kind, Line};
use super::lines_beside;
use super::shapes::{self, Shape};
use crate::neck::Tuning;
use crate::theory::Meter;

/// How much of each was written.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Tally {
    pub shapes: usize,
    pub progressions: usize,
    /// Lines of words.
    pub prose: Vec<String>,
    /// Lines that are printed as they stand, since their columns matter.
    pub as_they_stand: Vec<String>,
    /// Whether chords stand over words among these.
    pub songs: bool,
}

/// What the header says that holds for the words too.
pub(super) struct Held<'t> {
    pub tuning: &'t Tuning,
    pub meter: Meter,
    pub has_capo: bool,
}

/// Writes lines, one paragraph after another.
pub(super) fn text(lines: &[Line], held: &Held<'_>, tally: &mut Tally) -> String {
    let mut paragraphs: Vec<String> = Vec::new();
    let mut head: Option<&Line> = None;
    for group in lines.split(Line::is_blank) {
        let mut rest = group;
        while let Some((paragraph, behind)) = next(rest, head, held, tally) {
            paragraphs.push(paragraph);
            head = rest.len().checked_sub(behind.len() + 1).and_then(|last| rest.get(last));
            rest = behind;
        }
    }
    paragraphs.join("\n")
}

/// The paragraph that lines begin with below another, and the lines behind it.
fn next<'l>(
    lines: &'l [Line],
    head: Option<&Line>,
    held: &Held<'_>,
    tally: &mut Tally,
) -> Option<(String, &'l [Line])> {
    let first = lines.first()?;
    match &first.kind {
        Kind::Section(name) => return Some((format!("## {}\n", heading(name)), lines.get(1..)?)),
        Kind::Rule => return Some(("***\n".to_string(), lines.get(1..)?)),
        _ => {}
    }
    let shapes = lines.iter().map_while(|line| shapes_of(line, held.tuning));
    let shapes: Vec<&[Shape]> = shapes.collect();
    if !shapes.is_empty() {
        let all = shapes.concat();
        tally.shapes += all.len();
        let without = head.filter(|line| held.has_capo && is_without_capo(&line.text));
        let block = shapes::block(&all, without.map(|line| line.text.trim()));
        return Some((block, lines.get(shapes.len()..)?));
    }
    let charts: Vec<Chart> = lines.iter().map_while(chart_of).collect();
    let behind = lines.get(charts.len()..)?;
    let over_words = behind.first().is_some_and(|line| line.kind == Kind::Words);
    if let Some(changes) =
        chord_lines::changes(&charts, held.meter).filter(|_| !charts.is_empty() && !over_words)
    {
        tally.progressions += 1;
        return Some((changes, behind));
    }
    let ends = |line: &Line| {
        matches!(line.kind, Kind::Section(_) | Kind::Rule)
            || shapes_of(line, held.tuning).is_some()
            || chart_of(line).is_some_and(|chart| chart.is_ruled())
    };
    let length = lines.iter().skip(1).position(ends).map_or(lines.len(), |at| at + 1);
    let (words, behind) = lines.split_at_checked(length)?;
    Some((prose(words, tally), behind))
}

/// Whether words say that what they speak of has no capo.
fn is_without_capo(line: &str) -> bool {
    let words = line.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let words: Vec<String> = words.map(str::to_lowercase).collect();
    words.windows(2).any(|two| matches!(two, [no, capo] if capo == "capo" && matches!(no.as_str(), "no" | "without")))
}

fn shapes_of<'l>(line: &'l Line, tuning: &Tuning) -> Option<&'l [Shape]> {
    match &line.kind {
        Kind::Shapes(shapes) => {
            shapes.iter().all(|shape| shape.strings() == tuning.len()).then_some(shapes)
        }
        _ => None,
    }
}

/// A line of chords; the names of a guitar's strings are none.
fn chart_of(line: &Line) -> Option<Chart> {
    let squeezed: String = line.text.chars().filter(|c| !c.is_whitespace()).collect();
    let strings = squeezed.eq_ignore_ascii_case("EADGBE");
    matches!(line.kind, Kind::Words | Kind::Chords(_))
        .then(|| chord_lines::read(&line.text))
        .flatten()
        .filter(|_| !strings)
}

/// Words as prose, each line on its own; as they stand where their columns matter.
fn prose(lines: &[Line], tally: &mut Tally) -> String {
    let texts: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
    let owned = || texts.iter().map(|text| text.trim().to_string());
    let cue = |line: &Line| {
        !matches!(line.kind, Kind::Words | Kind::Times(_) | Kind::Shapes(_) | Kind::Directions(_))
    };
    let spread = |text: &&str| text.trim().contains("   ") || lines_beside::is_figures(text);
    if lines.iter().any(cue) || texts.iter().any(spread) {
        tally.as_they_stand.extend(owned());
        tally.songs |= lines.iter().any(|line| matches!(line.kind, Kind::Chords(_)));
        return as_it_stands(&texts);
    }
    tally.prose.extend(owned());
    let written: Vec<String> = texts.iter().map(|text| escaped(text.trim())).collect();
    written.join("\\\n") + "\n"
}

/// Lines between fences that no line of theirs can close.
pub(super) fn as_it_stands(lines: &[&str]) -> String {
    let ticks = |line: &&str| line.trim_start().chars().take_while(|c| *c == '`').count();
    let longest = lines.iter().map(ticks).max();
    let fence = "`".repeat(longest.unwrap_or(0).max(2) + 1);
    format!("{fence}\n{}\n{fence}\n", lines.join("\n"))
}

/// A heading's words: number signs at their end would be taken off.
fn heading(words: &str) -> String {
    let escaped = escaped(words);
    match escaped.strip_suffix('#').filter(|front| !front.ends_with('\\')) {
        Some(front) => format!("{front}\\#"),
        None => escaped,
    }
}

/// Words in which no sign is read as more than itself.
pub(super) fn escaped(words: &str) -> String {
    let mut escaped = String::new();
    let mut number = true;
    for character in words.chars() {
        let at_start = escaped.is_empty();
        let after_number = number && !at_start;
        number &= character.is_ascii_digit();
        let means_more = match character {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' => true,
            '#' | '-' | '+' | '=' => at_start,
            '.' | ')' => after_number,
            _ => false,
        };
        if means_more {
            escaped.push('\\');
        }
        escaped.push(character);
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paste::lines;

    fn written(text: &str) -> String {
        let mut tally = Tally::default();
        let tuning = Tuning::standard();
        let held = Held { tuning: &tuning, meter: Meter::COMMON, has_capo: false };
        super::text(&lines::read(text), &held, &mut tally)
    }

    #[test]
    fn signs_that_would_mean_more_are_escaped() {
        for (words, written) in [
            ("play it - twice!", "play it - twice!"),
            ("- once", "\\- once"),
            ("1. first", "1\\. first"),
            ("no. 1", "no. 1"),
            ("# 3", "\\# 3"),
            ("`A` is *not* <b>", "\\`A\\` is \\*not\\* \\<b\\>"),
        ] {
            assert_eq!(escaped(words), written);
        }
    }

    #[test]
    fn each_kind_of_line_is_written_in_its_own_way() {
        for (text, expected) in [
            (
                "[Verse]\nla     la ``` la\n\n1. end",
                "## Verse\n\n```\nla     la ``` la\n```\n\n1\\. end\n",
            ),
            (
                "Am: x02210\nC x32010 (ring)",
                "~~~ shape\nAm      x02210\nC       x32010   -- (ring)\n~~~\n",
            ),
            ("Chorus: Am F | G", "## Chorus\n\n~~~ changes\n| Am F | G |\n~~~\n"),
            (
                "Am F C G",
                "~~~ changes\n# guessed: a bar for each chord, since no bar lines were drawn\n| Am | F | C | G |\n~~~\n",
            ),
            ("Am   F\nla la la", "```\nAm   F\nla la la\n```\n"),
            ("F  G\nOh oh\n| Am |", "```\nF  G\nOh oh\n```\n\n~~~ changes\n| Am |\n~~~\n"),
            ("  (1)(2)  (3)", "```\n  (1)(2)  (3)\n```\n"),
            ("one\n=====\ntwo", "one\n\n***\n\ntwo\n"),
            ("Am: x0221", "Am: x0221\n"),
            ("E A D G B E", "```\nE A D G B E\n```\n"),
            ("Riff #", "## Riff \\#\n"),
        ] {
            assert_eq!(written(text), expected, "{text}");
        }
    }
}
