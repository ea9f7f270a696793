//! Names of a tune's sections.

use super::cues;

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

/// The name of a section that a line gives: in square brackets, before a colon, or one of the usual
/// ones alone.
pub(super) fn name(line: &str) -> Option<String> {
    bracketed(line).or_else(|| before_colon(line)).or_else(|| usual(line))
}

fn bracketed(line: &str) -> Option<String> {
    let (inner, behind) = line.strip_prefix('[')?.split_once(']')?;
    let inner = inner.trim();
    let behind = behind.trim().trim_start_matches(':').trim();
    let plain = !inner.is_empty() && !inner.contains('[') && inner.contains(char::is_alphabetic);
    let only = behind.is_empty() || cues::times(behind).is_some();
    (plain && only).then(|| format!("{inner} {behind}").trim().to_string())
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

/// The name of a section and the chords behind it: `Intro: Em C`. The chords keep their columns.
pub(super) fn before_chords(line: &str) -> Option<(String, String)> {
    let (front, chords) = line.split_once([':', ']'])?;
    let name = front.trim().trim_start_matches('[').trim();
    let chords = chords.trim_start_matches(':');
    let indent = line.chars().count() - chords.chars().count();
    let first = name.split_whitespace().next()?.to_lowercase();
    let named = NAMES.contains(&first.trim_matches(|c: char| !c.is_alphabetic()));
    let bare = chords.trim_start_matches([':', '|', ' ']);
    let all = super::chart::read(&format!("{bare} ")).is_some() && !bare.is_empty();
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
