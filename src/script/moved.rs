//! Which sections of a script became longer or shorter since another build.

use super::sections::{self, Section};
use super::{Script, clock};
use std::collections::BTreeMap;
use std::time::Duration;

/// The most sections that are named.
const MOST: usize = 3;

/// A section whose time changed.
struct Moved {
    title: String,
    /// What became of it.
    how: &'static str,
    /// By how many whole seconds.
    by: u64,
}

/// The sections that moved by a second at least, the most moved first: `Bridge 0:12 longer`.
pub fn in_words(old: &Script, new: &Script) -> Vec<String> {
    let mut moved = between(&sections::of(old), &sections::of(new), old.runs);
    moved.sort_by_key(|moved| std::cmp::Reverse(moved.by));
    let told = |Moved { title, how, by }: Moved| {
        format!("{title} {} {how}", clock::told(Duration::from_secs(by)))
    };
    moved.into_iter().take(MOST).map(told).collect()
}

/// What moved. Whole seconds are counted on a clock that stands at the old running time and goes by what
/// changed alone, so that what is told adds up to how much longer the script is told to be.
fn between(old: &[Section], new: &[Section], runs: Duration) -> Vec<Moved> {
    let was: BTreeMap<_, Duration> = times(old).collect();
    let is: BTreeMap<_, Duration> = times(new).collect();
    let kept = times(new).map(|(section, time)| match was.get(&section) {
        Some(before) if *before > time => (section, "shorter", *before, time),
        Some(before) => (section, "longer", *before, time),
        None => (section, "new", Duration::ZERO, time),
    });
    let gone = times(old).filter(|(section, _)| !is.contains_key(section));
    let gone = gone.map(|(section, before)| (section, "gone", before, Duration::ZERO));
    let mut clock = runs;
    let mut moved = Vec::new();
    for ((title, _), how, before, after) in kept.chain(gone) {
        // What is gone was part of the old running time, so the clock never falls below nought.
        let next = (clock + after).saturating_sub(before);
        let by = next.as_secs().abs_diff(clock.as_secs());
        if before.abs_diff(after) >= Duration::from_secs(1) {
            moved.push(Moved { title: title.to_owned(), how, by });
        }
        clock = next;
    }
    moved
}

/// The sections by their headings, and how often these were there before, with their times.
fn times(sections: &[Section]) -> impl Iterator<Item = ((&str, usize), Duration)> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    sections.iter().map(move |section| {
        let number = seen.entry(section.title.as_str()).or_default();
        *number += 1;
        ((section.title.as_str(), *number), section.total())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::script::testing::script;

    #[test]
    fn sections_that_moved_are_told() {
        let of = |sections: &[(&str, u64)]| {
            let parts = |(title, speech): &(&str, u64)| ((*title).to_owned(), [*speech, 0, 0]);
            script(&sections.iter().map(parts).collect::<Vec<_>>())
        };
        let old = [("A", 10_400), ("B", 20_000), ("C", 5_000), ("B", 7_000)];
        for (new, told) in [
            (&old[..], &[][..]),
            (&[("A", 10_400), ("B", 21_600), ("C", 5_000), ("B", 7_000)], &["B 0:02 longer"]),
            (&[("A", 11_300), ("B", 20_000), ("C", 5_000), ("B", 7_000)], &[]),
            (&[("A", 10_400), ("B", 20_000), ("C", 5_000), ("B", 3_000)], &["B 0:04 shorter"]),
            (
                &[("A", 10_400), ("B", 20_000), ("B", 7_000)],
                &["B 0:07 longer", "B 0:07 gone", "C 0:05 gone"],
            ),
            (
                &[
                    ("N", 2_000),
                    ("A", 14_400),
                    ("B", 20_000),
                    ("C", 65_000),
                    ("B", 5_500),
                    ("M", 3_000),
                ],
                &["C 1:00 longer", "A 0:04 longer", "M 0:03 new"],
            ),
        ] {
            assert_eq!(in_words(&of(&old), &of(new)), told, "{new:?}");
        }
    }
}
