//! What an old tab says that a lesson's header can say: title, key, tempo, tuning, capo, meter.

use super::lines::{Kind, Line};
use crate::neck::Tuning;
use crate::theory::{Key, Meter};

/// What the words say that a header can say.
pub(super) struct Settings {
    /// The title, if the text has one.
    pub title: Option<String>,
    /// The tuning, if it is another than the usual one.
    pub tuning: Option<Tuning>,
    /// 4/4 where nothing is said.
    pub meter: Meter,
    /// The header's lines.
    lines: Vec<String>,
}

impl Settings {
    /// The header's lines but for the title, each guess marked.
    pub fn header(&self) -> String {
        self.lines.iter().map(|line| format!("{line}\n")).collect()
    }
}

/// Tunings that go by name, with their strings, the lowest first.
const NAMED: [(&str, &str); 12] = [
    ("drop d", "D A D G B E"),
    ("drop c", "C G C F A D"),
    ("half step down", "Eb Ab Db Gb Bb Eb"),
    ("half-step down", "Eb Ab Db Gb Bb Eb"),
    ("whole step down", "D G C F A D"),
    ("full step down", "D G C F A D"),
    ("dadgad", "D A D G A D"),
    ("open g", "D G D G B D"),
    ("open d", "D A D F# A D"),
    ("open e", "E B E G# B E"),
    ("open a", "E A E A C# E"),
    ("open c", "C G C G C E"),
];

/// The meters that are looked for among words.
const METERS: [&str; 10] = ["2/4", "3/4", "4/4", "5/4", "6/4", "7/8", "6/8", "9/8", "12/8", "3/8"];

/// The highest fret that a capo is looked for on.
const HIGHEST_CAPO: u8 = 12;

/// The tempos that a header takes, in quarter notes a minute.
const TEMPOS: std::ops::RangeInclusive<u16> = 20..=400;

/// The longest line that is taken for a title.
const LONGEST_TITLE: usize = 60;

/// The most words of one.
const MOST_WORDS: usize = 8;

/// A value that a line says for a key of the header.
struct Said {
    key: &'static str,
    value: String,
}

/// Looks through the lines for what a header says; the first that is said of each holds. A line that
/// says just that is taken out, a sentence stays.
pub(super) fn take(lines: &mut Vec<Line>) -> Settings {
    let title = take_title(lines);
    let finders: [fn(&str) -> Option<Said>; 5] = [key_in, tempo_in, tuning_in, capo_in, meter_in];
    let mut header: Vec<String> = title.iter().map(|(line, _)| line.clone()).collect();
    let mut settings = Settings {
        title: title.map(|(_, title)| title),
        tuning: None,
        meter: Meter::COMMON,
        lines: Vec::new(),
    };
    for find in finders {
        let found = lines.iter().enumerate().find_map(|(index, line)| {
            let said = find(&line.text).filter(|_| matches!(line.kind, Kind::Words))?;
            Some((index, said))
        });
        let Some((index, said)) = found else { continue };
        settings.obey(&said);
        let Some(line) = lines.get_mut(index) else { continue };
        let text = line.text.trim();
        let entry = format!("{}: {}", said.key, said.value);
        let comment = match says_just(text, &said) {
            true if squeezed(text) == squeezed(&entry) => None,
            true => Some(format!("# from the words `{text}`")),
            false => Some(format!("# guessed: from the words `{text}`")),
        };
        // The usual tuning and meter go without saying.
        let usual = entry == "meter: 4/4" || (said.key == "tuning" && settings.tuning.is_none());
        if usual {
            continue;
        }
        let just = says_just(text, &said);
        header.extend(comment);
        header.push(entry);
        if just {
            *line = Line { text: String::new(), kind: Kind::Blank };
        }
    }
    settings.lines = header;
    settings
}

impl Settings {
    fn obey(&mut self, said: &Said) {
        match said.key {
            "tuning" => {
                let tuning = Tuning::parse(&said.value).ok();
                self.tuning = tuning.filter(|tuning| *tuning != Tuning::standard());
            }
            "meter" => self.meter = Meter::parse(&said.value).unwrap_or(Meter::COMMON),
            _ => {}
        }
    }
}

/// Whether a line is a word, a colon or a sign of equality, and the value.
fn says_just(line: &str, said: &Said) -> bool {
    let parted = line.split_once([':', '=']);
    parted.is_some_and(|(word, value)| {
        word.split_whitespace().count() <= 2 && squeezed(value) == squeezed(&said.value)
    })
}

/// A text in small letters without its spaces.
fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

/// Takes the title out: the header's lines for it, and the title.
fn take_title(lines: &mut Vec<Line>) -> Option<(String, String)> {
    let labelled = lines.iter().position(|line| title_after(&line.text).is_some());
    if let Some(at) = labelled {
        let text = lines.remove(at).text;
        let title = title_after(&text)?.to_string();
        let plain = text.trim().to_lowercase().starts_with("title:");
        let comment =
            if plain { String::new() } else { format!("# from the words `{}`\n", text.trim()) };
        return Some((format!("{comment}title: {title}"), title));
    }
    let first = lines.iter().position(|line| !line.is_blank() && line.kind != Kind::Rule)?;
    let text = lines.get(first).filter(|line| line.kind == Kind::Words)?.text.clone();
    let title = undecorated(&text)?;
    // Rules may frame it.
    let framed = |at: Option<usize>, lines: &[Line]| {
        at.filter(|at| lines.get(*at).is_some_and(|line| line.kind == Kind::Rule))
    };
    if let Some(below) = framed(Some(first + 1), lines) {
        lines.remove(below);
    }
    lines.remove(first);
    if let Some(above) = framed(first.checked_sub(1), lines) {
        lines.remove(above);
    }
    let from = if title == text.trim() { String::new() } else { format!(" `{}`", text.trim()) };
    Some((format!("# guessed: the title, from the first line{from}\ntitle: {title}"), title))
}

fn title_after(line: &str) -> Option<&str> {
    let (word, title) = line.split_once(':')?;
    let names = ["title", "song", "tune", "song title"];
    let named = names.contains(&word.trim().to_lowercase().as_str());
    Some(title.trim()).filter(|title| named && !title.is_empty())
}

/// A line without what frames it, if it may be a title: few words, the first with a capital letter, no
/// sentence and nothing that the header says otherwise.
fn undecorated(line: &str) -> Option<String> {
    let bare = line
        .trim_matches(|c: char| matches!(c, '~' | '*' | '=' | '-' | '#' | '_' | ' ' | '|' | '+'));
    let words: Vec<&str> = bare.split_whitespace().collect();
    let title = words.join(" ");
    let capital = bare.trim_start_matches(['"', '“', '\'', '‘']).starts_with(char::is_uppercase);
    let short = title.chars().count() <= LONGEST_TITLE && (1..=MOST_WORDS).contains(&words.len());
    let sentence = title.ends_with(['.', ',', ':', ';', '!']) || title.contains([':', '=']);
    let finders: [fn(&str) -> Option<Said>; 5] = [key_in, tempo_in, tuning_in, capo_in, meter_in];
    let setting = finders.iter().any(|find| find(&title).is_some());
    (capital && short && !sentence && !setting).then_some(title)
}

/// What stands behind a word of a line, the signs between left out.
fn behind<'l>(line: &'l str, word: &str) -> Option<&'l str> {
    let at = line.to_ascii_lowercase().find(word)? + word.len();
    let before = line.get(..at - word.len())?;
    let rest = line.get(at..)?;
    let whole =
        !before.ends_with(char::is_alphanumeric) && !rest.starts_with(char::is_alphanumeric);
    whole.then(|| rest.trim_start_matches([':', '=', '-', ' ', '–']))
}

fn key_in(line: &str) -> Option<Said> {
    let rest = behind(line, "key")?;
    let rest = rest.strip_prefix("of ").or_else(|| rest.strip_prefix("is ")).unwrap_or(rest);
    let words: Vec<&str> =
        rest.split([' ', ',', ';', '(', ')']).filter(|word| !word.is_empty()).collect();
    let key = (1..=words.len().min(2)).rev().find_map(|length| {
        let name = words.get(..length)?.join(" ");
        let name = name.trim_end_matches(['.', '!']);
        Key::parse(name).map(|_| name.to_string())
    })?;
    key.starts_with(char::is_uppercase).then_some(Said { key: "key", value: key })
}

fn tempo_in(line: &str) -> Option<Said> {
    let digits = |text: &str| -> Option<u16> {
        let digits: String = text
            .chars()
            .skip_while(|c| !c.is_ascii_digit())
            .take_while(char::is_ascii_digit)
            .collect();
        digits.parse().ok().filter(|tempo| TEMPOS.contains(tempo))
    };
    let lower = line.to_ascii_lowercase();
    let before_bpm = || {
        let (front, _) = lower.split_once("bpm")?;
        let word = front.split_whitespace().next_back()?;
        digits(word)
    };
    let after = ["tempo", "bpm", "♩"].iter().find_map(|word| digits(behind(line, word)?));
    let tempo = after.or_else(before_bpm)?;
    Some(Said { key: "tempo", value: tempo.to_string() })
}

/// The open strings that a line names.
fn tuning_in(line: &str) -> Option<Said> {
    let lower = line.to_lowercase();
    let said = |letters: &str| Some(Said { key: "tuning", value: letters.to_string() });
    if let Some((_, letters)) = NAMED.iter().find(|(name, _)| lower.contains(name)) {
        return said(letters);
    }
    let at =
        ["tuning", "tuned", "tune"].iter().find_map(|word| Some(lower.find(word)? + word.len()))?;
    // Small letters may be of another length than capitals, so the place may be none of the line's.
    let rest = line.get(at..)?.trim_start_matches([':', '=', ' ']);
    let rest = rest.strip_prefix("to ").unwrap_or(rest).trim().trim_end_matches(['.', '!']);
    let letters = rest.replace(['-', ','], " ");
    Tuning::parse(&letters).ok()?;
    said(&letters)
}

fn capo_in(line: &str) -> Option<Said> {
    let lower = line.to_lowercase();
    let (_, rest) = lower.split_once("capo")?;
    let digits: String =
        rest.chars().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).collect();
    let capo: u8 = digits.parse().ok().filter(|capo| (1..=HIGHEST_CAPO).contains(capo))?;
    Some(Said { key: "capo", value: capo.to_string() })
}

fn meter_in(line: &str) -> Option<Said> {
    let lower = line.to_lowercase();
    let speaks = ["time", "meter", "metre"].iter().any(|word| lower.contains(word));
    let word = lower.split([' ', '(', ')', ',', ';', ':']).find(|word| METERS.contains(word))?;
    let said = speaks || lower.trim() == word;
    said.then(|| Said { key: "meter", value: word.to_string() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paste::lines;

    fn header(text: &str) -> (String, usize) {
        let mut lines = lines::read(text);
        let said = take(&mut lines).header();
        (said, lines.iter().filter(|line| !line.is_blank()).count())
    }

    #[test]
    fn a_header_is_made_of_what_the_words_say() {
        for (text, expected) in [
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
            ("Key: G", "key: G"),
            ("in the key of A minor, slow", "key: A minor"),
            ("the key to it is patience", ""),
            ("Tempo: about 100", "tempo: 100"),
            ("a lazy 76 bpm", "tempo: 76"),
            ("♩ = 120", "tempo: 120"),
            ("Title: Wet Coats", "title: Wet Coats"),
            ("WET COATS (first try)\n\nla", "title: WET COATS (first try)"),
            ("~~~ WET COATS ~~~", "title: WET COATS"),
            ("here is the verse", ""),
            ("Then stop.", ""),
        ] {
            let said = header(text).0;
            let lines: Vec<&str> = said.lines().filter(|line| !line.starts_with('#')).collect();
            assert_eq!(lines.join(" "), expected, "{text}");
        }
    }

    #[test]
    fn what_is_said_outright_is_no_guess_and_a_sentence_stays() {
        for (text, guessed, left) in [
            ("Capo: 2", false, 0),
            ("Time: 6/8", false, 0),
            ("Title: Wet Coats", false, 0),
            ("Wet Coats", true, 0),
            ("Tempo: about 100", true, 1),
            ("capo 2 for me", true, 1),
            ("Tuning: EADGBE", false, 1),
        ] {
            let (said, kept) = header(text);
            assert_eq!((said.contains("# guessed"), kept), (guessed, left), "{text}: {said}");
        }
    }
}
