//! Names of a tune's sections.

use super::lines_beside;

/// Words that name a section, in small letters.
const NAMES: [&str; 32] = [
    "intro",
    "verse",
    "chorus",
    "bridge",
    "solo",
    "outro",
    "refrain",
    "pre-chorus",
    "prechorus",
    "interlude",
    "ending",
    "coda",
    "hook",
    "riff",
    "break",
    "fill",
    "lead",
    "tag",
    "instrumental",
    "strophe",
    "vers",
    "schluss",
    "zwischenspiel",
    "estribillo",
    "estrofa",
    "puente",
    "couplet",
    "pont",
    "ritornello",
    "strofa",
    "finale",
    "turnaround",
];

/// How many words a section's name has at most.
const MOST_WORDS: usize = 3;

/// How many words a section's name has at most that stands in square brackets: more are a remark.
const MOST_IN_BRACKETS: usize = 6;

/// The name of a section that a line gives: in square brackets, before a colon, or one of the usual
/// ones, alone or with words in brackets or behind a dash.
pub(super) fn name(line: &str) -> Option<String> {
    bracketed(line)
        .or_else(|| before_colon(line))
        .or_else(|| usual(line))
        .or_else(|| with_words(line))
}

fn bracketed(line: &str) -> Option<String> {
    let (inner, behind) = line.strip_prefix('[')?.split_once(']')?;
    let inner = inner.trim();
    let behind = behind.trim().trim_start_matches(':').trim();
    let plain = !inner.is_empty() && !inner.contains('[') && inner.contains(char::is_alphabetic);
    let few = inner.split_whitespace().count() <= MOST_IN_BRACKETS;
    let remark = || behind.starts_with('(') && behind.find(')') == Some(behind.len() - 1);
    let remark = is_numbered_name(inner) && remark();
    let only = behind.is_empty() || remark || lines_beside::times(behind).is_some();
    (plain && few && only).then(|| format!("{inner} {behind}").trim().to_string())
}

fn before_colon(line: &str) -> Option<String> {
    let name = line.strip_suffix(':')?.trim();
    let few = name.split_whitespace().count() <= MOST_WORDS;
    let plain = name.starts_with(char::is_alphabetic) && !name.contains([':', '=', '|', ',']);
    (few && plain).then(|| name.to_string())
}

fn usual(line: &str) -> Option<String> {
    let words: Vec<String> = line.split_whitespace().map(str::to_lowercase).collect();
    let bare = |word: &String| word.trim_matches(|c: char| !c.is_alphabetic()).to_string();
    let is_name = |word: &String| NAMES.contains(&bare(word).as_str());
    let named = words.first().is_some_and(is_name) || words.last().is_some_and(is_name);
    let ends = !line.ends_with(['.', ',', '!', '?', ';']);
    let plain = line.starts_with(char::is_alphabetic) && !line.contains(['|', '=', ':']);
    (named && plain && ends && words.len() <= MOST_WORDS).then(|| line.to_string())
}

/// A usual name, numbered or not, with words in brackets or behind a dash: `Outro - once more`.
fn with_words(line: &str) -> Option<String> {
    let in_brackets = || line.strip_suffix(')').and_then(|inner| inner.split_once(" ("));
    let behind_dash = || line.split_once(" - ").or_else(|| line.split_once(" – "));
    let (name, _) = in_brackets().or_else(behind_dash)?;
    is_numbered_name(name).then(|| line.trim_end_matches(':').to_string())
}

/// Whether words are one of the usual names, with a number or without.
fn is_numbered_name(words: &str) -> bool {
    let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
    let is_number = |word: &String| word.chars().all(|c| c.is_ascii_digit());
    words
        .split_first()
        .is_some_and(|(first, rest)| NAMES.contains(&first.as_str()) && rest.iter().all(is_number))
}

/// The name of a section and the chords behind it: `Intro: Em C`. The chords keep their columns.
pub(super) fn before_chords(line: &str) -> Option<(String, String)> {
    let (front, chords) = line.split_once([':', ']'])?;
    let name = front.trim().trim_start_matches('[').trim();
    let chords = chords.trim_start_matches(':');
    let indent = line.chars().count() - chords.chars().count();
    let first = name.split_whitespace().next()?.to_lowercase();
    let named = NAMES.contains(&first.trim_matches(|c: char| !c.is_alphabetic()));
    let bare = chords.trim_start_matches([':', '|', ' ']);
    let all = super::chord_lines::read(&format!("{bare} ")).is_some() && !bare.is_empty();
    let few = name.split_whitespace().count() <= MOST_WORDS;
    (named && few && all).then(|| (name.to_string(), " ".repeat(indent) + chords))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_are_told_from_sentences() {
        for (line, expected) in [
            ("[Verse 1]", Some("Verse 1")),
            ("[Intro] x2", Some("Intro x2")),
            ("Chorus:", Some("Chorus")),
            ("Gtr 2 (optional):", Some("Gtr 2 (optional)")),
            ("VERSE (fingers!)", Some("VERSE (fingers!)")),
            ("[Intro]  (let everything ring)", Some("Intro (let everything ring)")),
            ("INTRO (riff 1, 2x)", Some("INTRO (riff 1, 2x)")),
            ("VERSE 2 (same chords as verse 1)", Some("VERSE 2 (same chords as verse 1)")),
            ("Outro - play Intro once:", Some("Outro - play Intro once")),
            ("[A.H.]        (N.H.)", None),
            ("[here my cat walked on the keyboard, bar 3 may be off]", None),
            ("the bridge (the old one) is far", None),
            ("over the bridge - and back", None),
            ("Solo for a cat (in E)", None),
            ("Estribillo", Some("Estribillo")),
            ("main riff", Some("main riff")),
            ("[7]", None),
            ("bridge. some of the names got lost", None),
            ("Then same again but:", None),
            ("play the riff.", None),
        ] {
            assert_eq!(name(line).as_deref(), expected, "{line}");
        }
    }

    #[test]
    fn a_section_may_stand_before_its_chords() {
        let parted = before_chords("Intro:  Em  C");
        assert_eq!(parted, Some(("Intro".to_string(), "        Em  C".to_string())));
        assert_eq!(before_chords("Key: G"), None);
        assert_eq!(before_chords("Verse: sing it"), None);
    }
}
