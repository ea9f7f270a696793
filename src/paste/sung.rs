//! Words that are sung: which lines they are, and their syllables.

use super::directions;
use super::lines_beside::{self, Mark};

/// Words that begin a remark to the player and hardly a line that is sung.
const REMARKS: [&str; 26] = [
    "repeat", "play", "let", "then", "same", "note", "notes", "slow", "slowly", "fast", "slide",
    "bend", "hold", "use", "fade", "end", "palm", "pick", "strum", "hammer", "pull", "keep",
    "with", "ring", "again", "continue",
];

/// Words of the trade that are hardly ever sung.
const TRADE: [&str; 27] = [
    "mute", "muted", "finger", "fingers", "palm", "fret", "string", "strings", "strum", "riff",
    "bar", "bars", "chord", "chords", "guitar", "gtr", "capo", "fermata", "fine", "coda", "segno",
    "rit", "ritard", "cresc", "dolce", "loco", "staccato",
];

/// Whether a line beneath a system is sung: words and nothing else, set under the notes and not at the
/// margin.
pub(super) fn looks_sung(line: &str) -> bool {
    let words: Vec<Mark> = lines_beside::words(line);
    let letters = |c: char| {
        c.is_alphabetic()
            || matches!(
                c,
                ' ' | '\'' | '’' | '-' | '–' | ',' | '.' | '!' | '?' | ';' | '…' | '"' | '“' | '”'
            )
    };
    let plain = line.chars().all(|c| letters(c) || c == '|') && line.contains(char::is_alphabetic);
    let spread = line.trim().contains("  ");
    let indented = line.starts_with("  ");
    let first = words.first().map(|(_, word)| word.to_lowercase()).unwrap_or_default();
    let bare = |word: &str| word.trim_matches(|c: char| !c.is_alphabetic()).to_lowercase();
    let remark = REMARKS.contains(&first.trim_matches(|c: char| !c.is_alphabetic()));
    let trade = words.iter().any(|(_, word)| TRADE.contains(&bare(word).as_str()));
    plain
        && !trade
        && !directions::among(line)
        && words.len() > 1
        && (spread || (indented && !remark))
}

/// The syllables of a line with their columns. A dash that stands alone belongs to the syllable before
/// it, which goes on.
pub(super) fn syllables(line: &str) -> Vec<Mark> {
    let mut syllables: Vec<Mark> = Vec::new();
    for (column, word) in lines_beside::words(line) {
        let dashes = word.chars().all(|c| matches!(c, '-' | '–'));
        match syllables.last_mut().filter(|_| dashes) {
            Some((_, before)) if before.ends_with('-') => {}
            Some((_, before)) => before.push('-'),
            None if dashes => {}
            None => syllables.push((column, word)),
        }
    }
    syllables
}

/// Places for syllables that rise: each as near to the one wanted as those before and behind it leave
/// room. `None` where there are fewer places than syllables.
pub(super) fn places(wanted: &[usize], all: usize) -> Option<Vec<usize>> {
    let spare = all.checked_sub(wanted.len())?;
    let mut free = 0;
    let place = |(index, wanted): (usize, &usize)| {
        let place = (*wanted).clamp(free, spare + index);
        free = place + 1;
        place
    };
    Some(wanted.iter().enumerate().map(place).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sung_lines_are_told_from_remarks() {
        for (line, sung) in [
            ("   The rain came    down", true),
            ("  and no one knew", true),
            ("let     it   be-  gin", true),
            ("  let it ring", false),
            ("Repeat and fade", false),
            ("   rit.      D.S. al Coda", false),
            ("      D.C. al Fine", false),
            ("      N.B. ghost", false),
            ("   N.H. or A.H.?", false),
            ("   (whispered) oh   no", false),
            ("  ^ keep these two ringing", false),
            ("  Bass, fingers; mute with right hand palm!", false),
            ("     oh", false),
        ] {
            assert_eq!(looks_sung(line), sung, "{line}");
        }
    }

    #[test]
    fn dashes_belong_to_the_syllable_before_them() {
        let told = |line: &str| syllables(line).into_iter().map(|(_, s)| s).collect::<Vec<_>>();
        assert_eq!(told("eve - ning  o--ver -- me"), ["eve-", "ning", "o--ver-", "me"]);
    }

    #[test]
    fn syllables_find_places_in_their_order() {
        assert_eq!(places(&[0, 0, 5], 8), Some(vec![0, 1, 5]));
        assert_eq!(places(&[7, 7, 7], 8), Some(vec![5, 6, 7]));
        assert_eq!(places(&[1, 2, 3], 2), None);
        assert_eq!(places(&[], 0), Some(vec![]));
    }
}
