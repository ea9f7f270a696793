//! The meter that an old tab says, or that its typed counts tell.

use super::lines::{Kind, Line};
use super::lines_beside::Mark;
use super::tempo;
use crate::theory::Meter;

/// The lower numbers of the meters that are looked for among words.
const UNITS: [u8; 3] = [2, 4, 8];

/// The meters that counts tell, by the highest of them. Six of them and more are eighths: assumed, since
/// hardly anyone counts so many quarters.
const COUNTED: [(usize, &str); 7] =
    [(2, "2/4"), (3, "3/4"), (5, "5/4"), (6, "6/8"), (7, "7/8"), (9, "9/8"), (12, "12/8")];

/// The words that say that a meter is meant, and how many others may stand with them: more are a
/// sentence, which may speak of a few bars.
const WORDS: [&str; 3] = ["time", "meter", "metre"];
const MOST_BESIDE: usize = 2;

/// A word that says so where it stands for itself; beside others it is in a title.
const ALONE: &str = "waltz";

/// The meter that a word is. One of a single beat is rather a part of something: `1/2 step down`.
pub(super) fn read(word: &str) -> Option<Meter> {
    Meter::parse(word).filter(|meter| meter.beats() > 1 && UNITS.contains(&meter.unit()))
}

/// The meter that a line says: with a word for it, behind one in brackets, alone, or beside how fast it
/// goes or what `is_setting` knows as something else that a header says.
pub(super) fn said(line: &str, is_setting: impl Fn(&str) -> bool) -> Option<Meter> {
    let line = line.replace(". ", ";");
    let clauses: Vec<&str> = line.split(['(', ')', ',', ';']).map(str::trim).collect();
    let is_feel = |word: &String| tempo::is_feel(word);
    let speaks = |clause: &str| {
        let words = words(clause);
        let says = words.iter().any(|word| WORDS.contains(&word.as_str()));
        words == [ALONE] || (says && words.len() <= MOST_BESIDE + 2)
    };
    let alone = |at: usize| {
        let mut others = clauses.iter().enumerate().filter(|(other, _)| *other != at);
        let before = at.checked_sub(1).and_then(|before| clauses.get(before));
        before.is_some_and(|clause| speaks(clause))
            || others.all(|(_, clause)| words(clause).iter().all(is_feel) || is_setting(clause))
    };
    let meter = |(at, clause): (usize, &&str)| {
        let words = words(clause);
        let mut meters = words.iter().filter_map(|word| read(word));
        let (Some(meter), None) = (meters.next(), meters.next()) else { return None };
        let others = words.strip_prefix(&["in".to_string()]).unwrap_or(&words);
        let bare = others.iter().filter(|word| !is_feel(word)).count() == 1;
        let said = speaks(clause) || (bare && alone(at));
        said.then_some(meter)
    };
    clauses.iter().enumerate().find_map(meter)
}

/// The words of a clause in small letters, without the signs that end it.
fn words(clause: &str) -> Vec<String> {
    let words = clause.split([' ', ':']).map(|word| word.trim_end_matches('.').to_lowercase());
    words.filter(|word| !word.is_empty()).collect()
}

/// The meter that the typed counts of a text tell, unless it is the usual one, with the first line of them: each bar is counted up to
/// the same number, and the next one begins right behind it.
pub(super) fn counted(lines: &[Line]) -> Option<(&'static str, &str)> {
    let rows = lines.iter().filter_map(|line| match &line.kind {
        Kind::Counts(marks) => Some((line.text.trim(), bars(marks))),
        _ => None,
    });
    let rows: Vec<(&str, Vec<Vec<Beat>>)> = rows.collect();
    let mut highest = rows.iter().flat_map(|(_, bars)| bars).filter_map(|bar| Some(bar.last()?.1));
    let number = highest.next()?;
    let same = highest.all(|other| other == number);
    let mut follow = rows.iter().flat_map(|(_, bars)| bars.windows(2)).peekable();
    let full = follow.peek().is_some() && follow.all(is_full);
    let (_, meter) = COUNTED.iter().find(|(counted, _)| *counted == number)?;
    (same && full).then_some((*meter, rows.first()?.0))
}

/// A number that is counted, and its column.
type Beat = (usize, usize);

/// The numbers of the bars of a row of counts. What comes before its first 1 is an upbeat.
fn bars(marks: &[Mark]) -> Vec<Vec<Beat>> {
    let beats = marks.iter().filter_map(|(column, sign)| Some((*column, sign.parse().ok()?)));
    let beats: Vec<Beat> = beats.collect();
    let bars = beats.chunk_by(|one, next| one.1 < next.1).map(<[Beat]>::to_vec);
    bars.filter(|bar| bar.first().is_some_and(|(_, number)| *number == 1)).collect()
}

/// Whether there is no room for one more count between a bar and the next, in which bar lines take some.
fn is_full(two: &[Vec<Beat>]) -> bool {
    let [bar, next] = two else { return false };
    let (Some(first), Some(last), Some(next)) = (bar.first(), bar.last(), next.first()) else {
        return false;
    };
    (next.0 - last.0) * (last.1 - first.1) <= 2 * (last.0 - first.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_meter_is_told_from_a_sentence() {
        for (line, meter) in [
            ("3/4", Some("3/4")),
            ("time: 6/8", Some("6/8")),
            ("waltz time 3/4, slow", Some("3/4")),
            ("3/4, capo 2", Some("3/4")),
            ("Waltz (3/4)", Some("3/4")),
            ("Time 6/8.", Some("6/8")),
            ("Time: 6/8.", Some("6/8")),
            ("In 6/8.", Some("6/8")),
            ("6/8 time.", Some("6/8")),
            ("capo 2. Time 6/8. Slowly", Some("6/8")),
            ("in bar 6, 6/8", None),
            ("Grey Waltz (3/4)", None),
            ("slow (3/4)", Some("3/4")),
            ("6/8 slowly", Some("6/8")),
            ("6/8, slowly", Some("6/8")),
            ("slowly, in 5/8", Some("5/8")),
            ("tuned 1/2 step down", None),
            ("play 3/4 of it", None),
            ("Bridge (half-time), 3/4 bar then back to 4/4.", None),
            ("it is in 3/4 all the time from here on.", None),
        ] {
            let said = said(line, |clause| clause == "capo 2").map(|meter| meter.to_string());
            assert_eq!(said.as_deref(), meter, "{line}");
        }
    }
}
