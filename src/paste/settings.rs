//! What an old tab says that a lesson's header can say: title, key, tempo, tuning, capo, meter.

use super::capo;
use super::lines::{Kind, Line};
use super::meter;
use super::parts;
use super::tempo;
use super::titles;
use crate::lesson::string_label::read_label;
use crate::neck::Tuning;
use crate::theory::{Key, Meter, Names};
use std::ops::Range;

/// What the words say that a header can say.
pub(super) struct Settings {
    /// The title, if the text has one.
    pub title: Option<String>,
    /// The tuning, if it is another than the usual one.
    pub tuning: Option<Tuning>,
    /// 4/4 where nothing is said.
    pub meter: Meter,
    pub has_capo: bool,
    /// What was read, each with the words that it was read from.
    pub taken: Vec<(Said, String)>,
    /// The header's lines.
    lines: Vec<String>,
}

impl Settings {
    /// The header's lines but for the title, each guess marked.
    pub fn header(&self) -> String {
        self.lines.iter().map(|line| format!("{line}\n")).collect()
    }
}

/// Tunings that go by name, hyphens left out, with their strings, the lowest first.
const NAMED: [(&str, &str); 13] = [
    ("drop d", "D A D G B E"),
    ("drop c", "C G C F A D"),
    ("half step down", "Eb Ab Db Gb Bb Eb"),
    ("1/2 step down", "Eb Ab Db Gb Bb Eb"),
    ("down 1/2 step", "Eb Ab Db Gb Bb Eb"),
    ("whole step down", "D G C F A D"),
    ("full step down", "D G C F A D"),
    ("dadgad", "D A D G A D"),
    ("open g", "D G D G B D"),
    ("open d", "D A D F# A D"),
    ("open e", "E B E G# B E"),
    ("open a", "E A E A C# E"),
    ("open c", "C G C G C E"),
];

/// What goes without saying, in small letters without spaces.
const USUAL: [&str; 4] = ["standardtuning", "standard", "nocapo", "capo:none"];

/// What looks for each, in the order in which the header has them.
const FINDERS: [fn(&str) -> Option<Said>; 6] =
    [key_in, tempo_in, swing_in, tuning_in, capo_in, meter_in];

/// A value that a line says for a key of the header.
pub(super) struct Said {
    pub key: &'static str,
    /// As the header has it.
    value: String,
    /// As the line has it.
    written: String,
}

/// Looks through the lines for what a header says; the first that is said of each holds. A line, or
/// a part of it, that says just that is taken out, a sentence stays.
pub(super) fn take(lines: &mut Vec<Line>) -> Settings {
    let title = titles::take(lines);
    let mut header: Vec<String> = title.iter().map(|(line, _)| line.clone()).collect();
    let mut settings = Settings {
        title: title.map(|(_, title)| title),
        tuning: None,
        meter: Meter::COMMON,
        has_capo: false,
        taken: Vec::new(),
        lines: Vec::new(),
    };
    let mut taken: Vec<(Said, String)> = Vec::new();
    for find in FINDERS {
        let Some((at, part, said)) = first(lines, find) else { continue };
        let Some(line) = lines.get_mut(at) else { continue };
        settings.obey(&said);
        let text = line.text.get(part.clone()).unwrap_or_default().to_string();
        // The usual tuning and meter go without saying.
        let usual = (said.key == "meter" && settings.meter == Meter::COMMON)
            || (said.key == "tuning" && settings.tuning.is_none());
        if !usual {
            header.extend(said.comment(&text));
            header.push(said.entry());
            if said.is_all_of(&text) {
                line.text = parts::without(&line.text, part);
                line.kind = if line.text.is_empty() { Kind::Blank } else { Kind::Words };
            }
        }
        taken.push((said, text));
    }
    let metered = taken.iter().any(|(said, _)| said.key == "meter");
    if let Some((meter, counts)) = meter::counted(lines).filter(|_| !metered) {
        let said = Said::new("meter", meter);
        settings.obey(&said);
        header.push(format!("# guessed: the meter, from the counts `{counts}`"));
        header.push(said.entry());
        taken.push((said, String::new()));
    }
    settings.lines = header;
    settings.taken = taken;
    settings
}

/// The first line and the part of it in which something is found, with what it is.
fn first(lines: &[Line], find: fn(&str) -> Option<Said>) -> Option<(usize, Range<usize>, Said)> {
    let words = lines.iter().enumerate().filter(|(_, line)| line.kind == Kind::Words);
    let mut parts = words
        .flat_map(|(at, line)| parts::of(&line.text).into_iter().map(move |part| (at, line, part)));
    parts.find_map(|(at, line, part)| {
        let said = find(&parts::without_leaders(line.text.get(part.clone())?))?;
        Some((at, part, said))
    })
}

/// Whether words say the same as was taken.
pub(super) fn says(words: &str, taken: &Said) -> bool {
    let said = FINDERS.iter().filter_map(|find| find(&parts::without_leaders(words)));
    said.into_iter().any(|said| said.key == taken.key && said.value == taken.value)
}

impl Said {
    /// What is said in the words that stand there, which need not be the header's.
    fn new(key: &'static str, value: impl Into<String>) -> Said {
        let value = value.into();
        Said { key, written: value.clone(), value }
    }

    /// The header's line for it.
    fn entry(&self) -> String {
        format!("{}: {}", self.key, self.value)
    }

    /// Where it comes from, unless the words are the header's own.
    fn comment(&self, text: &str) -> Option<String> {
        match self.is_all_of(text) {
            true if squeezed(text) == squeezed(&self.entry()) => None,
            true => Some(format!("# from the words `{text}`")),
            false => Some(format!("# guessed: the {}, from the words `{text}`", self.key)),
        }
    }

    /// Whether words are the value behind the key, or behind a colon or a sign of equality.
    fn is_all_of(&self, text: &str) -> bool {
        let text = parts::without_leaders(text);
        let is_value = |words: &str| squeezed(words) == squeezed(&self.written);
        let is_name = |words: &str| {
            let mut each = words.split_whitespace();
            !words.contains(',') && !each.any(tempo::is_feel) && words.split(' ').count() <= 2
        };
        let by_sign = text
            .split_once([':', '='])
            .is_some_and(|(word, value)| is_name(word.trim()) && is_value(value));
        let by_key = text
            .split_once(' ')
            .is_some_and(|(word, value)| word.eq_ignore_ascii_case(self.key) && is_value(value));
        by_sign || by_key
    }
}

impl Settings {
    fn obey(&mut self, said: &Said) {
        match said.key {
            "tuning" => {
                let tuning = Tuning::parse(&said.value).ok();
                self.tuning = tuning.filter(|tuning| *tuning != Tuning::standard());
            }
            "capo" => self.has_capo = true,
            "meter" => self.meter = Meter::parse(&said.value).unwrap_or(Meter::COMMON),
            _ => {}
        }
    }
}

/// A text in small letters without its spaces.
fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

/// Whether a line says something that a header says otherwise than as its title, or begins to.
pub(super) fn is_setting(line: &str) -> bool {
    let begins = |word: &&str| {
        let front = line.trim_start().get(..word.len());
        front.is_some_and(|front| front.eq_ignore_ascii_case(word))
    };
    let parts = parts::of(line).into_iter().filter_map(|part| line.get(part));
    let mut parts = parts.map(parts::without_leaders);
    ["capo", "tuning"].iter().any(begins)
        || parts.any(|part| FINDERS.iter().any(|find| find(&part).is_some()))
}

/// What stands behind a word of a line, the signs between left out.
pub(super) fn behind<'l>(line: &'l str, word: &str) -> Option<&'l str> {
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
    key.starts_with(char::is_uppercase).then(|| Said::new("key", key))
}

/// The open strings that a line names.
fn tuning_in(line: &str) -> Option<Said> {
    let lower = line.to_lowercase();
    let said = |letters: &str| Some(Said::new("tuning", letters));
    if let Some(letters) = spelled(line).filter(|_| speaks_of_tuning(&lower)) {
        return said(&letters);
    }
    let plain = lower.replace('-', " ");
    if let Some((_, letters)) = NAMED.iter().find(|(name, _)| plain.contains(name)) {
        return said(letters);
    }
    if let Some(letters) = in_one_word(line) {
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

/// The open strings that stand in one word before the word for a tuning: `BEAD tuning`.
fn in_one_word(line: &str) -> Option<&str> {
    let words: Vec<&str> = line.split([' ', ',', ';', '(', ')']).collect();
    let mut pairs = words.windows(2).filter_map(|two| match two {
        [notes, word] if word.eq_ignore_ascii_case("tuning") => Some(*notes),
        _ => None,
    });
    pairs.find(|notes| {
        notes.chars().all(char::is_uppercase) && notes.len() >= 4 && Tuning::parse(notes).is_ok()
    })
}

/// Whether a line in small letters speaks of how the strings are tuned.
fn speaks_of_tuning(lower: &str) -> bool {
    ["tuning", "tuned", "tune", "step down", "steps down", "down"]
        .iter()
        .any(|word| lower.contains(word))
}

/// The notes that a line spells out in brackets or at its end, a string each.
fn spelled(line: &str) -> Option<String> {
    let bracketed = || {
        let (_, behind) = line.split_once(['(', '['])?;
        behind.split_once([')', ']']).map(|(notes, _)| notes.replace(['-', ','], " "))
    };
    let last = || {
        let words = line.trim_end_matches(['.', '!', ' ']).split([' ', '-', ',']);
        let mut notes: Vec<&str> = words
            .rev()
            .filter(|word| !word.is_empty())
            .take_while(|word| is_open_string(word))
            .collect();
        notes.reverse();
        Some(notes.join(" "))
    };
    let is_spelled =
        |notes: &String| notes.split_whitespace().count() > 2 && Tuning::parse(notes).is_ok();
    bracketed().filter(is_spelled).or_else(|| last().filter(is_spelled))
}

/// Whether a word is a note, with its octave or without.
fn is_open_string(word: &str) -> bool {
    word.starts_with(char::is_uppercase) && read_label(word, Names::English).is_some()
}

fn tempo_in(line: &str) -> Option<Said> {
    tempo::read(line).map(|tempo| Said::new("tempo", tempo))
}

fn swing_in(line: &str) -> Option<Said> {
    tempo::swung(line).map(|swung| Said::new("swing", swung))
}

fn capo_in(line: &str) -> Option<Said> {
    let (value, written) = capo::read(line)?;
    Some(Said { key: "capo", value: value.to_string(), written })
}

fn meter_in(line: &str) -> Option<Said> {
    let others = [key_in, tempo_in, swing_in, tuning_in, capo_in];
    let is_setting = |clause: &str| {
        USUAL.contains(&squeezed(clause).as_str())
            || others.iter().any(|find| find(clause).is_some())
    };
    meter::said(line, is_setting).map(|meter| Said::new("meter", meter.to_string()))
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

    /// Words above a tab with the header that they make.
    const SAID: &[(&str, &str)] = &[
        ("Tuning: DADGBE", "tuning: DADGBE"),
        ("tuned to D-A-D-G-A-D.", "tuning: D A D G A D"),
        ("it is in Drop D", "tuning: D A D G B E"),
        ("Capo on 3rd fret", "capo: 3"),
        ("capo II", "capo: 2"),
        ("Capo V.", "capo: 5"),
        ("Capo....: 3", "capo: 3"),
        ("capo II, 6/8", "capo: 2 meter: 6/8"),
        ("Capo II. 6/8", "capo: 2 meter: 6/8"),
        ("capo II, slow", "capo: 2"),
        ("capo II. slow", "capo: 2"),
        ("Standard tuning, capo III.", "capo: 3"),
        (
            "Tuned DADGAD, capo II. Time 6/8. Dotted quarter = 88",
            "tempo: dotted 88 tuning: D A D G A D capo: 2 meter: 6/8",
        ),
        ("Time: 6/8.", "meter: 6/8"),
        ("capo 4th fret (sounds in A)", "capo: 4"),
        ("Capo: none / 2 live", ""),
        ("Tuning: DADGBE (drop-D)", "tuning: D A D G B E"),
        ("4-string, BEAD tuning; slow", "tuning: BEAD"),
        ("standard tuning / capo 3 / 6/8 slowly", "capo: 3 meter: 6/8"),
        ("6/8, slowly", "meter: 6/8"),
        ("standard tuning, 6/8", "meter: 6/8"),
        ("standard tuning, capo 3, 6/8", "capo: 3 meter: 6/8"),
        ("Capo: 3 / Key: G", "key: G capo: 3"),
        ("no capo / 3/4 time", "meter: 3/4"),
        ("Capo optional (I use 2 or 4)", ""),
        ("capo I think 3", ""),
        ("no capo, verse 2", ""),
        ("the capo helps in verse 2", ""),
        ("Capo: 2 or 4", ""),
        ("da capo, 2 times", ""),
        ("Moderately slow, 84", "tempo: 84"),
        ("6/8   ♩. = 60   Key of D", "key: D tempo: dotted 60 meter: 6/8"),
        ("dotted quarter = 58", "tempo: dotted 58"),
        ("q. = 60", "tempo: dotted 60"),
        ("Not too fast (96)", "tempo: 96"),
        ("slow down at bar 40", ""),
        ("q = 112, swing the 8ths", "tempo: 112 swing: eighths"),
        ("Swung 16ths", "swing: sixteenths"),
        ("swing the 8ths in bar 9", ""),
        ("don't swing the eighths", ""),
        ("4 string, tuned down 1/2 step: Eb Ab Db Gb", "tuning: Eb Ab Db Gb"),
        ("tuned down 1/2 step (Eb Ab Db Gb)", "tuning: Eb Ab Db Gb"),
        ("tuned down 1/2 step", "tuning: Eb Ab Db Gb Bb Eb"),
        ("half step down (Eb-Ab-Db-Gb-Bb-Eb)", "tuning: Eb Ab Db Gb Bb Eb"),
        (
            "Capo II            Tuning DADGBE            Moderately slow, 84",
            "tempo: 84 tuning: DADGBE capo: 2",
        ),
        ("Key: G | Capo: 3; Tempo:   90 | 3/4 time", "key: G tempo: 90 capo: 3 meter: 3/4"),
        ("time: 6/8", "meter: 6/8"),
        ("3/4", "meter: 3/4"),
        ("play 3/4 of it", ""),
        ("la la\n\nBridge (half-time), 3/4 bar then back to 4/4.", ""),
        ("it is in 3/4 all the time from here on.", ""),
        ("waltz time 3/4, slow", "meter: 3/4"),
        ("standard tuning", ""),
        ("Tuning: EADGBE", ""),
        ("Key: G", "key: G"),
        ("in the key of A minor, slow", "key: A minor"),
        ("the key to it is patience", ""),
        ("Tempo: about 100", "tempo: 100"),
        ("a lazy 76 bpm", "tempo: 76"),
        ("♩ = 120", "tempo: 120"),
        ("slow (mm=84)", "tempo: 84"),
        ("drop it, q = 72", "tempo: 72"),
        ("Speed: 140-ish", "tempo: 140"),
        ("Speed = about 140", "tempo: 140"),
        ("80 bpm", "tempo: 80"),
        ("full speed for 24 bars", ""),
        ("speed: slow, 40 bars", ""),
        ("Subject: TAB: Paper Boats (slow)", "title: Paper Boats (slow)"),
        ("Title - Paper Boats", "title: Paper Boats"),
        ("Títle - Paper Boats", "title: Paper Boats"),
        ("low road - bass tab\n\nla", "title: low road - bass tab"),
        ("From: dora\n\nPAPER BOATS\nla", "title: PAPER BOATS"),
        ("      Page 1 of 2\n\nPaper Boats\nla", "title: Paper Boats"),
        ("page 3\nPaper Boats\nla", "title: Paper Boats"),
        ("Page of Boats\nla", "title: Page of Boats"),
        ("Title: Wet Coats", "title: Wet Coats"),
        ("WET COATS (first try)\n\nla", "title: WET COATS (first try)"),
        ("~~~ WET COATS ~~~", "title: WET COATS"),
        ("Title....: Grey Mill", "title: Grey Mill"),
        ("Title ........ Grey Mill", "title: Grey Mill"),
        ("* Grey Mill *", "title: Grey Mill"),
        ("| Title: Grey Mill |", "title: Grey Mill"),
        ("tune... down a bit", ""),
        ("here is the verse", ""),
        ("Then stop.", ""),
    ];

    #[test]
    fn a_header_is_made_of_what_the_words_say() {
        for &(text, expected) in SAID {
            let said = header(text).0;
            let lines: Vec<&str> = said.lines().filter(|line| !line.starts_with('#')).collect();
            assert_eq!(lines.join(" "), expected, "{text}");
        }
    }

    #[test]
    fn a_frame_around_the_title_is_no_line() {
        for text in [
            "+-----------+\n| Grey Mill |\n+-----------+",
            "===========\nGrey Mill\n===========",
            "***********\n*         *\n* Grey Mill *\n*         *\n***********",
            "/=========\\\n| Grey Mill |\n\\=========/",
            "╔═════════╗\n║ Grey Mill ║\n╚═════════╝",
            "=====\nTitle...: Grey Mill\n=====",
        ] {
            let mut lines = lines::read(text);
            assert_eq!(take(&mut lines).title.as_deref(), Some("Grey Mill"), "{text}");
            assert!(lines.iter().all(Line::is_blank), "{text}: {lines:?}");
        }
        let mut lines = lines::read("+-----+\n| Grey Mill |\n| by the weir |\n+-----+\nla");
        take(&mut lines);
        let left: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
        assert_eq!(left, ["by the weir", "la"]);
    }

    #[test]
    fn what_is_said_outright_is_no_guess_and_a_sentence_stays() {
        for (text, guessed, left) in [
            ("Capo: 2", false, 0),
            ("Time: 6/8", false, 0),
            ("Title: Wet Coats", false, 0),
            ("Wet Coats", true, 0),
            ("Title - Wet Coats", true, 0),
            ("Subject: Wet Coats", true, 0),
            ("Speed: 140-ish", true, 1),
            ("Tempo: about 100", true, 1),
            ("capo 2 for me", true, 1),
            ("Tuning: EADGBE", false, 1),
            ("Capo II", false, 0),
            ("Capo: none / 2 live", false, 1),
            ("Andante, q=66", true, 1),
            ("Capo II   Tuning DADGBE", false, 0),
            ("| Capo: 2 |", false, 0),
            ("Capo 2   for two voices", false, 1),
        ] {
            let (said, kept) = header(text);
            assert_eq!((said.contains("# guessed"), kept), (guessed, left), "{text}: {said}");
        }
    }
}
