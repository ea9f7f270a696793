//! The line that is printed for each build.

use super::build::{Built, Trouble};
use super::change::{Change, Told};
use fretleaf::findings::Weight;
use fretleaf::findings::report::Counts;
use fretleaf::script::{Script, clock, moved};
use fretleaf::words::{counted, listed};
use std::cmp::Ordering;
use std::time::Duration;

/// The most blocks, and the most findings, that a line names.
const MOST: usize = 4;

/// What stands between the clauses of a line; messages have commas and semicolons of their own.
const SIGN: &str = " · ";

/// What a line says besides the build itself.
#[derive(Debug, Clone, Default)]
pub struct Beside {
    /// Further things that were made, a clause each.
    pub clauses: Vec<String>,
    /// The time that the build took.
    pub time: Duration,
}

/// The line for a lesson's first build.
pub fn first(built: &Built, findings: &[Told], beside: &Beside) -> String {
    let clauses = vec![counted(built.document.pages.len(), "page")];
    line(built, clauses.into_iter().chain(list(findings, "")), beside)
}

/// The line for a build after another.
pub fn next(built: &Built, change: &Change, beside: &Beside) -> String {
    let clauses = [what(change), pages(change, built.document.pages.len())];
    let findings = list(&change.new, "new ").into_iter().chain(list(&change.gone, "gone: "));
    line(built, clauses.into_iter().chain(findings), beside)
}

/// What changed in a build after another, without its findings.
pub fn brief(built: &Built, change: &Change, beside: &Beside) -> String {
    let time = format!("{} ms", beside.time.as_millis());
    let clauses = [what(change), pages(change, built.document.pages.len())];
    one_line(
        &clauses
            .into_iter()
            .chain(beside.clauses.iter().cloned())
            .chain([time])
            .collect::<Vec<_>>()
            .join(SIGN),
    )
}

/// How long a script runs, by how much that differs from before and which sections moved, and how it stands
/// to the length that it is to have: `script 7:42, 0:20 longer (Bridge 0:12 longer), 0:18 under`.
pub fn script(now: &Script, before: Option<&Script>) -> String {
    let moved = before.map(|before| moved::in_words(before, now)).unwrap_or_default();
    let moved = if moved.is_empty() { String::new() } else { format!(" ({})", moved.join(", ")) };
    let runs = runs(now.runs, before.map(|before| before.runs)) + &moved;
    std::iter::once(runs).chain(now.clauses()).collect::<Vec<_>>().join(", ")
}

fn runs(now: Duration, before: Option<Duration>) -> String {
    // Whole seconds, as they are told, so that what is told adds up.
    let (now, before) = (now.as_secs(), before.unwrap_or(now).as_secs());
    let difference = clock::told(Duration::from_secs(now.abs_diff(before)));
    let told = clock::told(Duration::from_secs(now));
    match now.cmp(&before) {
        Ordering::Equal => format!("script {told}"),
        Ordering::Greater => format!("script {told}, {difference} longer"),
        Ordering::Less => format!("script {told}, {difference} shorter"),
    }
}

/// The line for a build that came to nothing.
pub fn trouble(name: &str, trouble: &Trouble, has_pages: bool) -> String {
    let rest = if has_pages { "the last pages stay" } else { "nothing is printed" };
    format!("{name}: {trouble}{SIGN}{rest}")
}

fn line(built: &Built, clauses: impl Iterator<Item = String>, beside: &Beside) -> String {
    let counts = Counts::of(&built.findings);
    let tally = (counts != Counts::default()).then(|| counts.in_words());
    let time = format!("{} ms", beside.time.as_millis());
    let all: Vec<String> =
        clauses.chain(beside.clauses.iter().cloned()).chain(tally).chain([time]).collect();
    one_line(&format!("{}: {}", built.source.name, all.join(SIGN)))
}

/// Words without line ends and other characters that a terminal obeys.
pub fn one_line(words: &str) -> String {
    words.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

fn what(change: &Change) -> String {
    match change.things.as_slice() {
        [] if change.pages.is_empty() => "as it was".to_owned(),
        [] => "changed".to_owned(),
        things if things.len() <= MOST => format!("{} changed", listed(things)),
        things => {
            let named = things.get(..MOST - 1).unwrap_or_default();
            let more = format!("{} more", things.len() - named.len());
            format!("{} changed", listed(&[named, &[more]].concat()))
        }
    }
}

fn pages(change: &Change, count: usize) -> String {
    let which = match change.pages.as_slice() {
        [] => format!("no page of {count}"),
        [page] => format!("page {page} of {count}"),
        pages if pages.len() == count => format!("all {count} pages"),
        pages => format!("pages {} of {count}", in_ranges(pages)),
    };
    match change.pages_before {
        before if before == count => which,
        before => format!("{which} (there were {before})"),
    }
}

/// Rising numbers with runs taken together: "1, 3–5".
fn in_ranges(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|one, next| one + 1 == *next);
    let words = runs.map(|run| match run {
        [first, .., last] => format!("{first}–{last}"),
        _ => run.iter().map(usize::to_string).collect(),
    });
    words.collect::<Vec<_>>().join(", ")
}

fn list(findings: &[Told], lead: &str) -> Option<String> {
    let named = findings.get(..MOST).unwrap_or(findings);
    let more = findings.len() - named.len();
    let mut words: Vec<String> = named.iter().map(told).collect();
    if more > 0 {
        words.push(format!("{more} more"));
    }
    (!words.is_empty()).then(|| format!("{lead}{}", words.join(", ")))
}

fn told(told: &Told) -> String {
    let Told { weight, place, message } = told;
    format!("{} at {}:{}: {message}", weight.name(), place.line, place.column)
}

/// The faults and doubts of a build, as a line tells them.
pub fn all(built: &Built) -> Vec<Told> {
    let places = built.source.places();
    let told = |found: &fretleaf::findings::Finding| Told {
        weight: found.weight,
        place: places.at(found.span.start),
        message: found.message.clone(),
    };
    built.findings.iter().filter(|found| found.weight > Weight::Hint).map(told).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use fretleaf::findings::source::LineColumn;

    #[test]
    fn what_changed_is_named_up_to_a_number() {
        for (things, words) in [
            (&[][..], "as it was"),
            (&["hook"], "hook changed"),
            (&["hook", "prose"], "hook and prose changed"),
            (&["a", "b", "c", "d"], "a, b, c and d changed"),
            (&["a", "b", "c", "d", "e"], "a, b, c and 2 more changed"),
        ] {
            let things = things.iter().map(|thing| (*thing).to_owned()).collect();
            assert_eq!(what(&Change { things, ..Change::default() }), words);
        }
    }

    #[test]
    fn running_times_are_told_with_their_change() {
        let ms = Duration::from_millis;
        for (now, before, words) in [
            (462_000, None, "script 7:42"),
            (462_900, Some(462_000), "script 7:42"),
            (462_000, Some(442_900), "script 7:42, 0:20 longer"),
            (59_000, Some(120_000), "script 0:59, 1:01 shorter"),
        ] {
            assert_eq!(runs(ms(now), before.map(ms)), words);
        }
    }

    #[test]
    fn pages_are_told_in_ranges() {
        for (changed, before, count, words) in [
            (&[][..], 3, 3, "no page of 3"),
            (&[2], 3, 3, "page 2 of 3"),
            (&[1, 2, 3], 3, 3, "all 3 pages"),
            (&[1, 3, 4, 5], 6, 6, "pages 1, 3–5 of 6"),
            (&[3, 4], 3, 4, "pages 3–4 of 4 (there were 3)"),
        ] {
            let change =
                Change { pages: changed.to_vec(), pages_before: before, ..Change::default() };
            assert_eq!(pages(&change, count), words);
        }
    }

    #[test]
    fn findings_are_told_with_their_places() {
        let told = |line| Told {
            weight: Weight::Fault,
            place: LineColumn { line, column: 3 },
            message: "no such name".to_owned(),
        };
        assert_eq!(list(&[], "new "), None);
        assert_eq!(list(&[told(7)], "new "), Some("new fault at 7:3: no such name".to_owned()));
        let many: Vec<Told> = (1..=6).map(told).collect();
        assert!(list(&many, "").is_some_and(|words| words.ends_with(", 2 more")));
    }
}
