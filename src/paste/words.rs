//! The words of an old tab: what they say for the header, and the rest kept as prose.

use crate::neck::Tuning;
use crate::theory::Meter;

/// What the words say that a header can say.
pub(super) struct Settings {
    /// The tuning, if it is another than the usual one.
    pub tuning: Option<Tuning>,
    /// 4/4 where nothing is said.
    pub meter: Meter,
    /// The header's lines.
    lines: Vec<String>,
}

impl Settings {
    /// The header's lines, each guess marked.
    pub fn header(&self) -> String {
        self.lines.iter().map(|line| format!("{line}\n")).collect()
    }
}

/// Tunings that go by name, with their strings, the lowest first.
const NAMED: [(&str, &str); 5] = [
    ("drop d", "D A D G B E"),
    ("half step down", "Eb Ab Db Gb Bb Eb"),
    ("half-step down", "Eb Ab Db Gb Bb Eb"),
    ("open g", "D G D G B D"),
    ("open d", "D A D F# A D"),
];

/// The meters that are looked for among words.
const METERS: [&str; 10] = ["2/4", "3/4", "4/4", "5/4", "6/4", "7/8", "6/8", "9/8", "12/8", "3/8"];

/// The highest fret that a capo is looked for on.
const HIGHEST_CAPO: u8 = 12;

/// Looks through a text for tuning, capo and meter; the first that is said of each holds.
pub(super) fn settings(text: &str) -> Settings {
    let mut lines = Vec::new();
    let mut first = |found: Option<(&str, String)>| {
        let (line, entry) = found?;
        lines.push(format!("# guessed: from the words `{}`\n{entry}", line.trim()));
        Some(entry)
    };
    let tuning = text.lines().find_map(|line| Some((line, tuning_in(line)?)));
    let capo = text.lines().find_map(|line| Some((line, format!("capo: {}", capo_in(line)?))));
    let meter = text.lines().find_map(|line| Some((line, meter_in(line)?)));
    first(tuning.as_ref().map(|(line, letters)| (*line, format!("tuning: {letters}"))));
    first(capo);
    first(
        meter
            .filter(|(_, meter)| *meter != Meter::COMMON)
            .map(|(line, meter)| (line, format!("meter: {meter}"))),
    );
    Settings {
        tuning: tuning.and_then(|(_, letters)| Tuning::parse(&letters).ok()),
        meter: meter.map_or(Meter::COMMON, |(_, meter)| meter),
        lines,
    }
}

/// The open strings that a line names, if they aren't the usual ones.
fn tuning_in(line: &str) -> Option<String> {
    let lower = line.to_lowercase();
    if let Some((_, letters)) = NAMED.iter().find(|(name, _)| lower.contains(name)) {
        return Some((*letters).to_string());
    }
    let at =
        ["tuning", "tuned", "tune"].iter().find_map(|word| Some(lower.find(word)? + word.len()))?;
    // Small letters may be of another length than capitals, so the place may be none of the line's.
    let rest = line.get(at..)?.trim_start_matches([':', '=', ' ']);
    let rest = rest.strip_prefix("to ").unwrap_or(rest).trim().trim_end_matches(['.', '!']);
    let letters = rest.replace(['-', ','], " ");
    let tuning = Tuning::parse(&letters).ok()?;
    (tuning != Tuning::standard()).then_some(letters)
}

fn capo_in(line: &str) -> Option<u8> {
    let lower = line.to_lowercase();
    let (_, rest) = lower.split_once("capo")?;
    let digits: String =
        rest.chars().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).collect();
    digits.parse().ok().filter(|capo| (1..=HIGHEST_CAPO).contains(capo))
}

fn meter_in(line: &str) -> Option<Meter> {
    let lower = line.to_lowercase();
    let speaks = ["time", "meter", "metre"].iter().any(|word| lower.contains(word));
    let word = lower.split([' ', '(', ')', ',', ';', ':']).find(|word| METERS.contains(word))?;
    (speaks || lower.trim() == word).then(|| Meter::parse(word)).flatten()
}

/// Lines as prose: a heading where one names a section, as they stand where their columns matter, else
/// words.
pub(super) fn prose(lines: &[String]) -> String {
    let paragraphs = lines.split(|line| line.trim().is_empty()).filter(|lines| !lines.is_empty());
    let written: Vec<String> = paragraphs.map(paragraph).collect();
    written.join("\n")
}

fn paragraph(lines: &[String]) -> String {
    let Some((first, rest)) = lines.split_first() else { return String::new() };
    if let Some(section) = section(first) {
        let gap = if rest.is_empty() { "" } else { "\n" };
        return format!("## {}\n{gap}{}", escaped(section), paragraph(rest));
    }
    if lines.iter().any(|line| line.trim().contains("   ")) {
        return as_it_stands(lines);
    }
    let written: Vec<String> = lines.iter().map(|line| escaped(line.trim())).collect();
    written.join("\\\n") + "\n"
}

/// The name of a section: a line in square brackets.
fn section(line: &str) -> Option<&str> {
    let inner = line.trim().strip_prefix('[')?.strip_suffix(']')?.trim();
    (!inner.is_empty() && !inner.contains(['[', ']'])).then_some(inner)
}

/// Lines between fences that no line of theirs can close.
fn as_it_stands(lines: &[String]) -> String {
    let longest =
        lines.iter().map(|line| line.trim_start().chars().take_while(|c| *c == '`').count()).max();
    let fence = "`".repeat(longest.unwrap_or(0).max(2) + 1);
    format!("{fence}\n{}\n{fence}\n", lines.join("\n"))
}

/// Words in which no sign is read as more than itself.
fn escaped(words: &str) -> String {
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
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

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
    fn tuning_capo_and_meter_are_found_in_words() {
        for (text, header) in [
            ("Tuning: DADGBE", "tuning: DADGBE"),
            ("tuned to D-A-D-G-A-D.", "tuning: D A D G A D"),
            ("it is in Drop D", "tuning: D A D G B E"),
            ("Capo on 3rd fret", "capo: 3"),
            ("capo II", ""),
            ("time: 6/8", "meter: 6/8"),
            ("3/4", "meter: 3/4"),
            ("play 3/4 of it", ""),
            ("standard tuning", ""),
            ("Tuning: EADGBE", ""),
        ] {
            let said = settings(text).header();
            let lines: Vec<&str> = said.lines().filter(|line| !line.starts_with('#')).collect();
            assert_eq!(lines.join(" "), header, "{text}");
        }
    }

    #[test]
    fn lines_in_columns_stay_as_they_stand() {
        let lines = ["[Verse]", "la     la ``` la", "", "1. end"].map(String::from);
        assert_eq!(prose(&lines), "## Verse\n\n```\nla     la ``` la\n```\n\n1\\. end\n");
    }
}
