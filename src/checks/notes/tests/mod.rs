//! What is doubted in small riffs, and what is left in peace.

mod explained;
mod repeated;
mod slipped;

use crate::blocks;
use crate::checks::elaborate;
use crate::findings::{Finding, Findings, Source, Weight};
use crate::lesson;
use crate::lesson::world::MemoryWorld;

/// A lesson in a key with the rows of riffs.
fn lesson(key: &str, riffs: &[&str]) -> String {
    let blocks: String = riffs.iter().map(|rows| format!("~~~ riff\n{rows}\n~~~\n\n")).collect();
    format!("---\ntitle: A small one\nkey: {key}\n---\n\n{blocks}")
}

fn found(text: &str) -> Vec<Finding> {
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    elaborate(lesson, &mut findings);
    findings.sorted()
}

/// The doubts and faults: each rule with its message.
fn doubts(text: &str) -> Vec<String> {
    let findings = found(text);
    let grave = findings.iter().filter(|found| found.weight > Weight::Hint);
    grave.map(|found| format!("{}: {}", found.rule.name, found.message)).collect()
}

/// The rules of all that is found.
fn rules(text: &str) -> Vec<&'static str> {
    found(text).iter().map(|found| found.rule.name).collect()
}

#[test]
fn chords_and_notes_of_a_scale_that_is_the_key_are_at_home() {
    let spanish = "\
chord E               |F               |E               |
count 1   2   3   4   |1   2   3   4   |1   2   3   4   |
e     0---1---4---1---|1---0---1---5---|4---1---0-------|";
    assert_eq!(rules(&lesson("E phrygian dominant", &[spanish])), Vec::<&str>::new());
    assert_eq!(rules(&lesson("E major", &[spanish]))[0], "outside-key");
    let blues = "\
chord A7              |D7              |E7              |
count 1   2   3   4   |1   2   3   4   |1   2   3   4   |
e     5---8---5-------|8---5-------5---|4---7---5-------|
B     ------------7---|--------7-------|----------------|";
    assert_eq!(rules(&lesson("A blues", &[blues])), Vec::<&str>::new());
}

fn assert_silent(key: &str, rows: &str) {
    assert_eq!(doubts(&lesson(key, &[rows])), Vec::<String>::new(), "{rows}");
}

/// Checks that the only doubt is of a rule, and that its first fix gives the other rows.
fn assert_mends(rule: &str, key: &str, slipped: &str, sound: &str) {
    let text = lesson(key, &[slipped]);
    let findings = found(&text);
    let grave: Vec<&Finding> =
        findings.iter().filter(|found| found.weight > Weight::Hint).collect();
    let [doubt] = grave.as_slice() else { panic!("{:?}", doubts(&text)) };
    assert_eq!(doubt.rule.name, rule);
    let fix = doubt.fixes.first().unwrap();
    let mut mended = text.clone();
    mended.replace_range(fix.span.start..fix.span.end, &fix.replace);
    assert_eq!(mended, lesson(key, &[sound]));
    assert_eq!(doubts(&mended), Vec::<String>::new());
}

#[test]
fn what_a_harmony_book_explains_is_left_in_peace() {
    // Passing, neighbour, chromatic approach, appoggiatura and suspension; a raised seventh in minor.
    assert_silent(
        "C major",
        "\
chord   C               |Am              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
B       1-2-3-5---4-5---|5-4-5-3---2-1---|",
    );
    assert_silent(
        "C major",
        "\
chord   C       F       |
count   1 & 2 & 3 & 4 & |
e       0-----0-0-1-----|",
    );
    assert_silent(
        "A minor",
        "\
chord   Am              |E7              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
G       2-4-5-4-2---1---|4-2-1-2-4-------|
D       --------------2-|----------2-----|",
    );
}

#[test]
fn blue_notes_are_at_home_over_dominant_chords() {
    let rows = "\
chord   A7              |D7              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       ----5-8---------|----------5-8---|
B       5-8-------8-5---|5---8-----------|
G       ------------8-5-|----------------|";
    assert_silent("A major", rows);
    let plain = rows.replace("A7 ", "A  ").replace("D7 ", "D  ");
    assert!(!doubts(&lesson("A major", &[&plain])).is_empty());
}

const ARPEGGIOS: &str = "\
chord   G               |Em              |C               |D               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       --------3-------|--------0-------|--------0-------|--------2-------|
B       ------3---3-----|------0---0-----|------1---1-----|------3---3-----|
G       ----0-------0---|----0-------0---|----0-------0---|----2-------2---|
D       --0-----------0-|--2-----------2-|--2-----------2-|0-------------0-|
A       ----------------|----------------|3---------------|----------------|
E       3---------------|0---------------|----------------|----------------|";

#[test]
fn a_wrong_note_is_told_with_the_nearest_that_fits() {
    assert_silent("G major", ARPEGGIOS);
    let slipped = ARPEGGIOS.replace("0---|----2-------2---|", "0---|----3-------2---|");
    assert_mends("wrong-note", "G major", &slipped, ARPEGGIOS);
    let text = lesson("G major", &[&slipped]);
    assert!(doubts(&text)[0].contains("bar 4, beat 2, third string"), "{:?}", doubts(&text));
}

#[test]
fn what_is_meant_is_not_doubted() {
    let slipped = ARPEGGIOS.replace("0---|----2-------2---|", "0---|----3-------2---|");
    let marked = format!("{slipped}\nmeant   {}*", " ".repeat(55));
    assert_silent("G major", &marked);
    assert_silent("G major", &format!("meant wrong-note: it should sting\n{slipped}"));
}

#[test]
fn bars_that_slipped_as_a_whole_are_one_finding() {
    let other = ARPEGGIOS.replace("--------0-------|--------2", "--------1-------|--------2");
    let fret = other
        .replace("------1---1-----", "------2---2-----")
        .replace("----0-------0---|----2", "----1-------1---|----2")
        .replace("--2-----------2-|0", "--3-----------3-|0")
        .replace("|3---------------|-", "|4---------------|-");
    assert_mends("fret-slip", "G major", &fret, ARPEGGIOS);
    let tune = "\
chord   C               |F               |G               |C               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       --------0---1---|1---3---1-0-----|----1-----------|----------------|
B       1---3-----------|------------3---|3-----3-1-0-----|1---3---1-------|
G       ----------------|----------------|----------------|----------------|";
    assert_silent("C major", tune);
}

#[test]
fn a_figure_on_other_strings_over_another_chord_is_no_slip() {
    assert_silent(
        "G major",
        "\
chord   G7              |C7              |G7              |C7              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
D       --------3---2---|--2---5---------|--------3---2---|--2---5---------|
A       --2---5-------5-|3---3-----------|--2---5-------5-|3---3-----------|
E       3---3-----------|----------------|3---3-----------|----------------|",
    );
}

const REPEATED: &str = "\
chord   Em              |Em              |Em              |Am              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
G       ------0---2-0---|------0---2-0---|------0---2-0---|------2---2-----|
D       --2-2---2-----2-|--2-2---2-----2-|--2-2---2-----2-|--2-2---2---2---|
A       ----------------|----------------|----------------|0---------------|
E       0---------------|0---------------|0---------------|----------------|";

#[test]
fn a_bar_that_differs_by_one_note_is_odd() {
    assert_silent("E minor", REPEATED);
    let bars = "|--2-2---2-----2-|--2-2---2-----2-|--2-2";
    let slipped = REPEATED.replace(bars, "|--2-2---2-----2-|--2-0---2-----2-|--2-2");
    assert_silent("E minor", &slipped);
    let slipped = REPEATED.replace(bars, "|--2-2---2-----2-|--2-3---2-----2-|--2-2");
    assert_mends("odd-bar-out", "E minor", &slipped, REPEATED);
    let fewer = REPEATED.replace(bars, "|--2-2---2-----2-|--2-----2-----2-|--2-2");
    assert!(doubts(&lesson("E minor", &[&fewer]))[0].contains("one note that it lacks"));
}

#[test]
fn riffs_are_compared_with_each_other() {
    let one = "\
chord   Am              |
count   1 & 2 & 3 & 4 & |
B       ------1---1-----|
G       ----2---2---2---|
D       --2-----------2-|
A       0---------------|";
    let again = one.replace("----2---2---2---", "----2---2---3---");
    let doubts = doubts(&lesson("A minor", &[one, one, &again]));
    assert!(doubts[0].starts_with("odd-bar-out: bar 1, beat 4, third string"), "{doubts:?}");
    assert!(doubts[0].contains("of another riff"), "{doubts:?}");
}

#[test]
fn a_change_at_the_end_of_a_phrase_is_on_purpose() {
    let rows =
        REPEATED.replace("|Am ", "|Em ").replace("|0---------------|\nE", "|----------------|\nE");
    let last = |g: &str, d: &str| {
        rows.replace("|------2---2-----|", g)
            .replace("|--2-2---2---2---|", d)
            .replace("|0---------------|----------------|", "|0---------------|0---------------|")
    };
    assert_silent("E minor", &last("|------0---2-0---|", "|--2-2---2-----0-|"));
    assert_silent("E minor", &last("|------0---2-0---|", "|--2-2---2-----4-|"));
}

#[test]
fn without_chords_only_strong_cases_are_doubted_and_said_to_be_inferred() {
    let plain: String = ARPEGGIOS
        .lines()
        .skip(1)
        .map(|line| format!("{line}\n"))
        .collect::<String>()
        .trim_end()
        .into();
    assert_silent("G major", &plain);
    let digits = plain.match_indices(|sign: char| sign.is_ascii_digit());
    let in_rows = digits.filter(|(at, _)| *at > plain.find('e').unwrap());
    let slipped = in_rows.map(|(at, digit)| {
        let fret: u32 = digit.parse().unwrap();
        format!("{}{}{}", &plain[..at], fret + 1, &plain[at + 1..])
    });
    let wrong = |rows: String| {
        let findings = found(&lesson("G major", &[&rows])).into_iter();
        findings.filter(|found| found.rule.name == "wrong-note").collect::<Vec<_>>()
    };
    let all: Vec<Vec<Finding>> = slipped.map(wrong).collect();
    let found = all.iter().filter(|found| !found.is_empty()).count();
    assert!(found > 0 && found < all.len() / 2, "{found} of {}", all.len());
    let inferred = |found: &Finding| found.notes.iter().any(|note| note.contains("inferred"));
    assert!(all.iter().flatten().all(inferred));
}

#[test]
fn a_key_that_is_not_named_is_inferred_where_it_is_plain() {
    let hints = |text: &str| -> Vec<String> {
        let findings = found(text).into_iter();
        findings
            .filter(|found| found.rule.name == "key-inferred")
            .map(|found| found.message)
            .collect()
    };
    let unnamed = |rows: &str| lesson("none", &[rows]).replace("key: none\n", "");
    assert_eq!(
        hints(&unnamed(ARPEGGIOS)),
        ["no key is named here; the notes are most likely in G major"]
    );
    assert!(hints(&lesson("none", &[ARPEGGIOS])).is_empty(), "there is none on purpose");
    assert!(hints(&unnamed("count   1 2 3 4 |\nB       1-3-1-0-|")).is_empty());
    assert!(hints(&lesson("G major", &[ARPEGGIOS])).is_empty());
}

#[test]
fn a_riff_that_is_off_by_the_frets_of_a_capo_is_told_whole() {
    let up: Vec<String> = ARPEGGIOS
        .lines()
        .map(|row| match row.split_at(8) {
            (label, content) if label.starts_with(['c', 'e', 'B', 'G', 'D', 'A', 'E']) => {
                let is_string = !label.starts_with('c');
                let moved = |sign: char| match sign.to_digit(10).filter(|_| is_string) {
                    Some(fret) => char::from_digit(fret + 3, 10).unwrap(),
                    None => sign,
                };
                label.to_string() + &content.chars().map(moved).collect::<String>()
            }
            _ => row.to_string(),
        })
        .collect();
    let slipped = up.join("\n");
    assert_mends("fret-slip", "G major", &slipped, ARPEGGIOS);
    let findings = found(&lesson("G major", &[&slipped]));
    let slip = findings.iter().find(|found| found.rule.name == "fret-slip").unwrap();
    assert!(slip.message.starts_with("bars 1 to 4: all of it"), "{}", slip.message);
    assert!(slip.notes.iter().any(|note| note.contains("a capo at fret 3")), "{:?}", slip.notes);
}

#[test]
fn a_riff_turned_over_is_told_and_turned_back() {
    let labels = ["e", "B", "G", "D", "A", "E"];
    let rows: Vec<&str> = ARPEGGIOS.lines().collect();
    let (head, strings) = rows.split_at(2);
    let turned = strings.iter().rev().zip(labels);
    let turned = turned.map(|(row, label)| format!("{label}{}", &row[1..]));
    let text =
        head.iter().map(|row| (*row).to_owned()).chain(turned).collect::<Vec<_>>().join("\n");
    assert_mends("upside-down", "G major", &text, ARPEGGIOS);
}

#[test]
fn a_bar_line_that_slipped_comes_back() {
    let sound = "\
chord   G                               |C                               |
count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &   4   &   |
B       0-------3-------0-------3-------|1-------3-------1---3---5-------|";
    assert_silent("G major", sound);
    for (how, columns) in [("late", (40, 44)), ("early", (40, 36))] {
        let moved: Vec<String> = sound
            .lines()
            .map(|row| {
                let mut row: Vec<char> = row.chars().collect();
                row.remove(columns.0);
                row.insert(columns.1, '|');
                row.into_iter().collect()
            })
            .collect();
        let text = lesson("G major", &[&moved.join("\n")]);
        let findings = found(&text);
        let slip = findings.iter().find(|found| found.rule.name == "bar-slip").unwrap();
        assert!(slip.message.contains(how), "{}", slip.message);
        let fix = &slip.fixes[0];
        let mut mended = text.clone();
        mended.replace_range(fix.span.start..fix.span.end, &fix.replace);
        assert_eq!(mended, lesson("G major", &[sound]));
    }
}
