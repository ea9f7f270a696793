//! What is told of two parts, and what books on harmony and counterpoint leave in peace.
#![allow(clippy::unwrap_used)]

use crate::blocks;
use crate::checks::elaborate;
use crate::findings::{Findings, Source, Weight};
use crate::lesson;
use crate::lesson::world::MemoryWorld;

/// What clashes in two riffs of these rows, in a lesson of these keys.
fn clashes_in(keys: &str, rows: [&str; 2]) -> Vec<String> {
    let [upper, lower] = rows;
    let text = format!(
        "---\ntitle: Two\n{keys}\n---\n\n~~~ riff upper\n{upper}\n~~~\n\n~~~ riff lower\n{lower}\n~~~\n\n\
         ~~~ together both\nupper: upper\nlower: lower\n~~~\n"
    );
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    elaborate(lesson, &mut findings);
    let found = findings.sorted();
    let faults: Vec<&str> = found
        .iter()
        .filter(|one| one.weight == Weight::Fault)
        .map(|one| one.message.as_str())
        .collect();
    assert!(faults.is_empty(), "{text}: {faults:?}");
    let clashes = found.into_iter().filter(|one| one.rule.name == "clash");
    clashes.map(|one| one.message).collect()
}

/// The rows of a bar of 4/4 over a chord, or over none, with notes of equal length.
fn bar(chord: &str, notes: &[&str]) -> String {
    let chords = if chord.is_empty() { String::new() } else { format!("chord {chord:<12}|\n") };
    let each = 12 / notes.len();
    let row = |words: &mut dyn Iterator<Item = String>| -> String {
        words.map(|word| format!("{word:<each$}")).collect()
    };
    let counts = row(&mut (0..notes.len()).map(|at| (1 + at * 4 / notes.len()).to_string()));
    let notes = row(&mut notes.iter().map(|note| (*note).to_owned()));
    format!("{chords}count {counts}|\nnotes {notes}|")
}

/// What clashes in a bar over a chord in C major.
fn over(chord: &str, upper: &[&str], lower: &[&str]) -> Vec<String> {
    clashes_in("key: C major", [&bar(chord, upper), &bar("", lower)])
}

#[test]
fn notes_that_both_are_the_chords_never_clash() {
    for (chord, upper, lower) in [
        ("Cadd9", "D5", "C4"),
        ("Cmaj7", "B4", "C4"),
        ("Cmaj7", "C5", "B3"),
        ("Cmaj9", "B4", "C4"),
        ("C6", "A4", "G3"),
        ("Am(add9)", "C5", "B3"),
        ("Am(add9)", "B4", "C4"),
        ("Am9", "B4", "C4"),
        ("Em(add9)", "F#5", "G4"),
        ("Fmaj7#11", "B4", "C4"),
        ("Fmaj7#11", "E5", "F4"),
        ("Am11", "D5", "C4"),
        ("Dm6", "B4", "A3"),
        ("Cm(maj7)", "B4", "C4"),
        ("Dm7add11", "G4", "F4"),
        ("E7b9", "F5", "E4"),
        ("C7#9", "D#5", "E4"),
        ("Csus4", "F4", "G3"),
        ("Esus2", "F#4", "E3"),
    ] {
        // Neither goes on, so nothing but the chord explains it.
        let found = over(chord, &[upper], &[lower]);
        assert_eq!(found, Vec::<String>::new(), "{upper} over {lower} in {chord}");
    }
}

#[test]
fn the_same_meetings_over_a_chord_that_lacks_a_note_of_theirs_do() {
    for (chord, upper, lower) in [
        ("C", "B4", "C4"),
        ("C6", "B4", "C4"),
        ("Am", "B4", "C4"),
        ("Em", "F#5", "G4"),
        ("F", "E5", "F4"),
        ("F", "B4", "C4"),
        ("Csus4", "F4", "E3"),
        ("C", "F4", "E3"),
        ("Asus2", "C5", "B3"),
        ("C7", "B4", "C4"),
        ("", "B4", "C4"),
        ("", "F5", "E4"),
    ] {
        let found = over(chord, &[upper], &[lower]);
        assert_eq!(found.len(), 1, "{upper} over {lower} in {chord}: {found:?}");
    }
}

#[test]
fn a_note_held_a_half_step_above_a_chord_tone_clashes_where_nothing_resolves_it() {
    for (chord, upper, told) in [
        ("C", ["F5", "C5"], "F in `upper` clashes with the E of `C`, a half step below"),
        ("Am", ["F5", "A4"], "F in `upper` clashes with the E of `Am`, a half step below"),
        ("Em", ["C5", "G4"], "C in `upper` clashes with the B of `Em`, a half step below"),
        ("G", ["C5", "G4"], "C in `upper` clashes with the B of `G`, a half step below"),
        ("Cmaj7", ["F5", "C5"], "F in `upper` clashes with the E of `Cmaj7`, a half step below"),
    ] {
        let root = ["C3", "A2", "E3", "G3"].into_iter().find(|root| chord.starts_with(&root[..1]));
        let lower = [root.unwrap(); 2];
        assert_eq!(over(chord, &upper, &lower), [format!("bar 1, beat 1: {told}")], "{chord}");
        // Fourths and sixths that resolve, or that the chord itself has.
        let resolved = if upper[0] == "F5" { "E5" } else { "B4" };
        assert_eq!(over(chord, &[upper[0], resolved], &lower), Vec::<String>::new(), "{chord}");
    }
}

#[test]
fn dissonances_of_the_books_are_left_in_peace() {
    for (what, upper, lower) in [
        (
            "a suspension",
            "count 1     3     |1     3     |\nnotes A4    C5    |      B4    |",
            "count 1     3     |1     3     |\nnotes F3    A3    |G3    G3    |",
        ),
        (
            "a suspension over the leading note",
            "chord C           |G           |\ncount 1     3     |1     3     |\nnotes E5    C5    |      B4    |",
            "count 1     3     |1           |\nnotes C4    E4    |D4          |",
        ),
        (
            "an accented passing note",
            "chord C           |\ncount 1  2  3  4  |\nnotes G4 F4 E4 C4 |",
            "count 1     3     |\nnotes C4    E3    |",
        ),
        (
            "a passing note against a held third",
            "chord C           |\ncount 1  2  3  4  |\nnotes E5 F5 G5 C5 |",
            "count 1           |\nnotes E3          |",
        ),
        (
            "an appoggiatura",
            "chord C           |\ncount 1     3     |\nnotes F5    E5    |",
            "count 1           |\nnotes E3          |",
        ),
        (
            "an appoggiatura from above",
            "chord C           |G           |\ncount 1     3     |1     3     |\nnotes C5    G4    |C5    B4    |",
            "count 1           |1           |\nnotes C3          |B3          |",
        ),
        (
            "a pedal",
            "chord C           |G7          |C           |\ncount 1     3     |1     3     |1           |\nnotes E5    G5    |F5    D5    |C5          |",
            "count 1           |1           |1           |\nnotes C3          |C3          |C3          |",
        ),
        (
            "a neighbour note",
            "chord C           |\ncount 1  2  3  4  |\nnotes E5 F5 E5 C5 |",
            "count 1           |\nnotes E3          |",
        ),
    ] {
        let found = clashes_in("key: C major", [upper, lower]);
        assert_eq!(found, Vec::<String>::new(), "{what}");
        let bare: Vec<&str> = upper.lines().filter(|line| !line.starts_with("chord")).collect();
        let found = clashes_in("key: C major", [&bare.join("\n"), lower]);
        assert_eq!(found, Vec::<String>::new(), "{what}, without chords");
    }
}

#[test]
fn parts_under_a_capo_are_heard_beside_the_chords_as_written() {
    let keys = "key: C major\ncapo: 3";
    // Notes of `notes` rows are those that are played above the capo, and chords are named without it.
    let clash = [
        "chord C           |\ncount 1     3     |\nB     0-----------|\nA     ------3-----|",
        "count 1     3     |\nA     3-----------|\nE     ------3-----|",
    ];
    let found = clashes_in(keys, clash);
    assert_eq!(found, ["bar 1, beat 1: C in `lower` clashes with B in `upper`: a major seventh"]);
    let named = clash[0].replace("chord C   ", "chord Cmaj7");
    let named = named.replace("Cmaj7        |", "Cmaj7       |");
    assert_eq!(clashes_in(keys, [&named, clash[1]]), Vec::<String>::new());
}

#[test]
fn in_six_eight_the_big_beats_are_where_notes_meet() {
    let lower = "count 1     4     |\nnotes C4    G3    |";
    let clash = |count: &str, notes: &str| {
        let upper = format!("chord C           |\ncount {count}|\nnotes {notes}|");
        clashes_in("key: C major\nmeter: 6/8", [&upper, lower])
    };
    let leaps = "bar 1, beat 1: C in `lower` clashes with B in `upper`: a major seventh";
    assert_eq!(clash("1     4     ", "B4    G4    "), [leaps]);
    assert_eq!(clash("1   2 3   4 ", "G4  B4E5  C5"), Vec::<String>::new());
    assert_eq!(clash("1   3 4     ", "B4  C5E5    "), Vec::<String>::new());
    assert_eq!(clash("1   3 4     ", "B4  G4E5    "), [leaps]);
}
