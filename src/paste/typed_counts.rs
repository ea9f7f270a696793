//! Counts that were typed above or beneath a system: whether they are sound, and which of them each note has.

use super::lines_beside::Mark;
use crate::theory::Meter;

/// How far a note may stand from the count that was typed for it, in columns.
pub(super) const SLIPPED: usize = 1;

/// How notes are given counts that were typed.
#[derive(Clone, Copy)]
pub(super) enum Placing {
    /// Each a count at most so many columns before it or behind.
    Within((usize, usize)),
    /// Some stand halfway between two counts.
    Between,
}

/// The counts of a bar, if they are sound and every note has one; the notes stand in these columns.
pub(super) fn laid(
    counts: Vec<Mark>,
    columns: &[usize],
    meter: Meter,
    place: Placing,
) -> Option<Typed> {
    if !is_sound(&counts, meter) {
        return None;
    }
    match place {
        Placing::Within(slip) => {
            let at = matched(&counts, columns, slip)?;
            Some((counts, at))
        }
        Placing::Between => between(&counts, columns),
    }
}

/// Which of the counts that were typed each note has, by their columns: its own, at most so many before it or behind.
/// `None` where a note has none.
fn matched(counts: &[Mark], columns: &[usize], slip: (usize, usize)) -> Option<Vec<usize>> {
    let mut free = 0;
    let mut matched = Vec::new();
    for column in columns {
        let is_near = |at: usize| at + slip.0 >= *column && at <= *column + slip.1;
        let near = |index: &usize| counts.get(*index).is_some_and(|(at, _)| is_near(*at));
        let first = free + counts.get(free..)?.partition_point(|(at, _)| at + slip.0 < *column);
        let nearest = (first..=first + 2).filter(near);
        let index =
            nearest.min_by_key(|index| counts.get(*index).map(|c| c.0.abs_diff(*column)))?;
        matched.push(index);
        free = index + 1;
    }
    Some(matched)
}

/// The counts of a bar with their columns, and which of them each note has.
pub(super) type Typed = (Vec<Mark>, Vec<usize>);

/// The counts of a bar with those halfway between them that notes stand at, where most stand at the others.
fn between(counts: &[Mark], columns: &[usize]) -> Option<Typed> {
    let halved = halved(counts);
    let at = matched(&halved, columns, (0, 0))?;
    let is_typed = |index: &usize| halved.get(*index).is_some_and(|mark| counts.contains(mark));
    if at.iter().filter(|index| is_typed(index)).count() * 2 <= at.len() && !at.is_empty() {
        return None;
    }
    let is_kept = |index: &usize| at.contains(index) || is_typed(index);
    let kept: Vec<usize> = (0..halved.len()).filter(is_kept).collect();
    let at = at.iter().map(|index| kept.partition_point(|kept| kept < index)).collect();
    Some((kept.iter().filter_map(|index| halved.get(*index).cloned()).collect(), at))
}

/// Counts with those halfway between them, and behind the last.
fn halved(counts: &[Mark]) -> Vec<Mark> {
    let mut halved = Vec::new();
    let mut gap = 0;
    for (index, (column, sign)) in counts.iter().enumerate() {
        let next = counts.get(index + 1);
        gap = next.map_or(gap, |(next, _)| next - column);
        let is_number = |sign: &str| sign.starts_with(|c: char| c.is_ascii_digit());
        let follows = next.or_else(|| counts.get(1)).map(|(_, next)| is_number(next));
        let half = match (is_number(sign), follows) {
            (true, Some(true)) => Some("&"),
            (true, Some(false)) => Some("e"),
            (false, _) if matches!(sign.as_str(), "&" | "+") => Some("a"),
            _ => None,
        };
        halved.push((*column, sign.clone()));
        halved.extend(half.filter(|_| gap > 1).map(|sign| (column + gap / 2, sign.to_string())));
    }
    halved
}

/// Whether counts rise within a bar of a meter.
fn is_sound(counts: &[Mark], meter: Meter) -> bool {
    let mut beat = None;
    let mut before = None;
    counts.iter().all(|(_, sign)| {
        let part = match sign.as_str() {
            "e" => 1,
            "&" | "+" => 2,
            "a" => 3,
            number => {
                beat = number.parse::<usize>().ok().filter(|beat| *beat <= meter.beats().into());
                0
            }
        };
        let now = beat.map(|beat| beat * 4 + part);
        let rises = now.is_some() && now > before;
        before = now;
        rises
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_halved_by_their_signs() {
        for (counts, expected) in [
            ("0:1 4:+ 8:2 12:+", "0:1 2:e 4:+ 6:a 8:2 10:e 12:+ 14:a"),
            ("0:1 4:2 8:3", "0:1 2:& 4:2 6:& 8:3 10:&"),
            ("0:1 1:2", "0:1 1:2"),
        ] {
            let read = |text: &str| -> Vec<Mark> {
                let marks = text.split(' ').map(|mark| mark.split_once(':').unwrap());
                marks.map(|(column, sign)| (column.parse().unwrap(), sign.to_string())).collect()
            };
            assert_eq!(halved(&read(counts)), read(expected), "{counts}");
        }
    }

    #[test]
    fn typed_counts_are_matched_by_their_columns() {
        let counts = |line: &str| crate::paste::lines_beside::counts(line).unwrap();
        assert_eq!(matched(&counts("1 & 2 &"), &[0, 2, 7], (SLIPPED, 0)), Some(vec![0, 1, 3]));
        assert_eq!(matched(&counts("1 & 2 &"), &[0, 1, 2], (SLIPPED, 0)), None);
        assert_eq!(matched(&counts("1   2"), &[2], (SLIPPED, 0)), None);
        for (line, meter, sound) in [
            ("1 e & a 2", "4/4", true),
            ("1 & e", "4/4", false),
            ("1 2 3 1", "4/4", false),
            ("1 2 3 4", "3/4", false),
            ("& 2 3", "4/4", false),
        ] {
            let meter = Meter::parse(meter).unwrap();
            assert_eq!(is_sound(&counts(line), meter), sound, "{line}");
        }
    }
}
