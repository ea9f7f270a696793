//! What old tabs draw and say beside their rows: each small tab with what must stand in its lesson, and what
//! must not.

#![allow(clippy::unwrap_used)]

use fretleaf::findings::Weight;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::paste;

/// The lesson of a tab, which has no fault.
fn lesson(text: &str) -> String {
    let lesson = paste::lesson("A tab", text).text;
    let checked = fretleaf::check("tab.md", lesson.as_bytes(), &MemoryWorld::default());
    let faults = checked.findings.iter().filter(|finding| finding.weight == Weight::Fault);
    let faults: Vec<&String> = faults.map(|fault| &fault.message).collect();
    assert!(faults.is_empty(), "{faults:?}\n{lesson}");
    lesson
}

fn has(lesson: &str, parts: &[&str]) {
    for part in parts {
        assert!(lesson.contains(part), "no {part:?} in\n{lesson}");
    }
}

fn has_not(lesson: &str, parts: &[&str]) {
    for part in parts {
        assert!(!lesson.contains(part), "{part:?} in\n{lesson}");
    }
}

/// Rows of these letters, the first as given and the others empty.
fn rows(letters: &str, first: &str) -> String {
    let blank: String = first.chars().map(|c| if c == '|' || c == ':' { c } else { '-' }).collect();
    let row = |(index, letter): (usize, char)| {
        format!("{letter}{}\n", if index == 0 { first } else { &blank })
    };
    letters.chars().enumerate().map(row).collect()
}

#[test]
fn strokes_of_a_bracket_beside_a_tab_are_told() {
    let told = |strokes: [&str; 4]| {
        let cells = ["-2-", "-2-", "---", "-0-"];
        let rows = ["B", "G", "D", "A"].into_iter().zip(cells).zip(strokes);
        lesson(&rows.map(|((s, c), stroke)| format!("{s}|{c}|{stroke}\n")).collect::<String>())
    };
    let all = told(["  | repeat", "  | till", "  | fade", "  |"]);
    has(&all, &["# not read, kept here: | (a bracket of 4 strokes behind bar 1)\n"]);
    has(&all, &["string B: repeat\n", "string G: till\n", "string D: fade\n"]);
    let one = told(["  | repeat", "", "", ""]);
    has(&one, &["# not read, kept here: | (a stroke behind bar 1)\n", "string B: repeat\n"]);
    has(&one, &["\ncount   1 2 3 4 |\n"]);
    has_not(&told(["", "", "", ""]), &["not read"]);
    has_not(&told(["-3-|", "-3-|", "   |", "   |"]), &["not read"]);
}
