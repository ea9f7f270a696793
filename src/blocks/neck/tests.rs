#![allow(clippy::unwrap_used, clippy::panic)]

use super::{Diagrams, Subject};
use crate::blocks;
use crate::blocks::figure::DotLabel;
use crate::findings::Findings;
use crate::findings::Source;
use crate::lesson;
use crate::lesson::world::MemoryWorld;
use crate::neck::{Finger, Fret};
use crate::theory::fitting::Fitting;

/// Reads a lesson's body and hands its diagrams and the findings to a check: rule, and the text
/// that is marked.
fn read(body: &str, check: impl FnOnce(&[&Diagrams], &[(&str, String)])) {
    read_with("", body, check);
}

/// The same with more lines in the header.
fn read_with(header: &str, body: &str, check: impl FnOnce(&[&Diagrams], &[(&str, String)])) {
    let mut findings = Findings::default();
    let text = format!("---\ntitle: Necks\nkey: A minor\n{header}---\n\n{body}");
    let source = Source::new("necks.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let blocks = blocks::read(&lesson).finish(&lesson, &mut findings);
    let diagrams: Vec<&Diagrams> = blocks.iter().filter_map(|block| block.as_a()).collect();
    let findings = findings.list().iter();
    let marked = findings.map(|found| (found.rule.name, source.slice(found.span).to_owned()));
    check(&diagrams, &marked.collect::<Vec<_>>());
}

/// The dots of the first diagram as `string:fret`, strings numbered as players do.
fn places(diagrams: &[&Diagrams]) -> Vec<String> {
    let first = diagrams.first().unwrap();
    let tuning = &first.instrument.tuning;
    let dots = first.list.first().unwrap().dots.iter();
    dots.map(|dot| format!("{}:{}", tuning.number(dot.string), dot.fret)).collect()
}

#[test]
fn lines_show_scales_chords_notes_and_blocks() {
    for (line, expected) in [
        ("A minor pentatonic, frets 5 to 6", "6:5 5:5 4:5 3:5 2:5 1:5"),
        ("A minor pentatonic frets 5-6, strings 1 2", "2:5 1:5"),
        ("Am, frets 0 to 1, on strings 1-3", "2:1 1:0"),
        ("A5, frets 5 – 5", "6:5 2:5 1:5"),
        ("A5 Frets 5, String 2 - 1", "2:5 1:5"),
        ("note A, frets 0 to 4", "5:0 3:2"),
        ("notes A E, frets 0 to 2", "6:0 5:0 4:2 3:2 1:0"),
        ("A E, frets 0 to 2", "6:0 5:0 4:2 3:2 1:0"),
    ] {
        read(&format!("~~~ neck\n{line}\n~~~\n"), |diagrams, findings| {
            assert_eq!(findings, [], "{line}");
            assert_eq!(places(diagrams).join(" "), expected, "{line}");
        });
    }
}

#[test]
fn a_block_shows_the_places_that_it_plays() {
    let riff = "~~~ riff hook\ncount 1   2   3   4   |\nB     ----5-------8---|\nG     5-------7-------|\n~~~\n";
    read(&format!("{riff}\n~~~ neck\nhook\n~~~\n"), |diagrams, findings| {
        assert!(findings.iter().all(|(rule, _)| *rule == "outside-key"), "{findings:?}");
        assert_eq!(places(diagrams), ["3:5", "3:7", "2:5", "2:8"]);
        let diagram = diagrams.first().unwrap().list.first().unwrap();
        assert_eq!(diagram.frets, Fret::new(5)..=Fret::new(8));
        assert!(matches!(&diagram.subject, Subject::Block(title) if title == "hook"));
    });
}

#[test]
fn rows_that_touch_are_one_diagram_with_its_root() {
    let body = "~~~ neck box, label notes\ne   5* 8\nB   5 8\n\nG   5\n~~~\n";
    read(body, |diagrams, findings| {
        assert_eq!(findings, []);
        let list = &diagrams.first().unwrap().list;
        assert_eq!(list.len(), 2);
        assert_eq!(places(diagrams), ["2:5", "2:8", "1:5", "1:8"]);
        let first = list.first().unwrap();
        assert_eq!(first.label, Some(DotLabel::Notes));
        let roots: Vec<String> =
            first.dots.iter().filter(|dot| dot.root).map(|dot| dot.note.to_string()).collect();
        assert_eq!(roots, ["A"]);
        let degrees: Vec<String> =
            first.dots.iter().map(|dot| dot.degree.unwrap().to_string()).collect();
        assert_eq!(degrees, ["5", "b7", "R", "b3"]);
    });
}

#[test]
fn fingers_stand_within_one_position_only() {
    read("~~~ neck\nA minor pentatonic, frets 5 to 8, label fingers\n~~~\n", |diagrams, _| {
        let first = diagrams.first().unwrap().list.first().unwrap();
        let fingers = first.dots.iter().map(|dot| (dot.fret, dot.finger));
        for (fret, finger) in fingers {
            let expected = match fret.number() {
                5 => Finger::Index,
                7 => Finger::Ring,
                _ => Finger::Little,
            };
            assert_eq!(finger, Some(expected), "fret {fret}");
        }
    });
    read("~~~ neck\nA minor pentatonic, all frets\n~~~\n", |diagrams, _| {
        let first = diagrams.first().unwrap().list.first().unwrap();
        assert_eq!(first.frets, Fret::OPEN..=Fret::new(22));
        assert!(first.dots.iter().all(|dot| dot.finger.is_none()));
    });
}

#[test]
fn marking_tells_the_chord_s_tones_apart() {
    read("~~~ neck\nA major, frets 4 to 5, strings 3, marking E7\n~~~\n", |diagrams, findings| {
        assert_eq!(findings, []);
        let dots = &diagrams.first().unwrap().list.first().unwrap().dots;
        let marked: Vec<(String, bool)> =
            dots.iter().map(|dot| (dot.note.to_string(), dot.marked)).collect();
        assert_eq!(marked, [("B".to_owned(), true)]);
    });
}

#[test]
fn what_can_t_be_read_is_told_at_its_place() {
    for (line, rule, place) in [
        ("A wobbly scale", "unknown-name", "A wobbly scale"),
        ("A major, frets 8 to 5", "block-syntax", "frets 8 to 5"),
        ("A major, frets 5 to 40", "fret-range", "frets 5 to 40"),
        ("A major, strings 7", "block-syntax", "strings 7"),
        ("A major, label colours", "block-syntax", "label colours"),
        ("A major, marking H7", "unknown-chord", "marking H7"),
        ("A major, sideways", "block-syntax", "sideways"),
        ("scales for verse", "unknown-name", "scales for verse"),
        ("e 5 40", "fret-range", "40"),
        ("F 5", "row-label", "F"),
        ("H 5 7*", "row-label", "H"),
        ("fx 5 7", "row-label", "fx"),
    ] {
        read(&format!("~~~ neck\n{line}\n~~~\n"), |_, findings| {
            assert_eq!(findings, [(rule, place.to_owned())], "{line}");
        });
    }
}

/// A progression and a block that asks for its scales.
fn scales_for(changes: &str, line: &str) -> String {
    format!("~~~ changes verse\n{changes}\n~~~\n\n~~~ neck\n{line}\n~~~\n")
}

#[test]
fn scales_for_a_progression_are_ranked_and_the_best_is_drawn() {
    let body =
        scales_for("| Am7 | D7 | Am7 | D7 |", "scales for the verse, frets 5 to 8, strings 1");
    read(&body, |diagrams, findings| {
        assert!(findings.iter().all(|(rule, _)| *rule == "outside-key"), "{findings:?}");
        let diagram = diagrams.first().unwrap().list.first().unwrap();
        assert!(
            matches!(&diagram.subject, Subject::Scale(scale) if scale.to_string() == "A dorian")
        );
        assert_eq!(places(diagrams), ["1:5", "1:7", "1:8"]);
        let scales = diagram.scales.as_ref().unwrap();
        let chords: Vec<String> = scales.guided.iter().map(|g| g.chord.to_string()).collect();
        assert_eq!(chords, ["Am7", "D7"], "a change that comes again is told once");
    });
}

#[test]
fn a_progression_that_no_scale_holds_says_which_chord_breaks_the_nearest() {
    read(&scales_for("| Am | Dm | E | F#m |", "scales for verse"), |diagrams, _| {
        let diagram = diagrams.first().unwrap().list.first().unwrap();
        let scales = diagram.scales.as_ref().unwrap();
        let Fitting::Nearest(nearly) = &scales.fitting else { panic!("{scales:?}") };
        assert_eq!(nearly.scale.to_string(), "A harmonic minor");
        let words = scales.words();
        assert!(words.contains("No scale holds every chord of “verse”"), "{words}");
        assert!(words.contains("it lacks F sharp and C sharp of F sharp minor"), "{words}");
    });
}

#[test]
fn scales_are_looked_for_in_a_progression_only() {
    for (line, place, repair) in [
        ("scales for vers", "scales for vers", Some("scales for verse")),
        ("scales for elsewhere", "scales for elsewhere", None),
    ] {
        let mut findings = Findings::default();
        let body = scales_for("| Am |", line);
        let text = format!("---\ntitle: Necks\nkey: A minor\n---\n\n{body}");
        let source = Source::new("necks.md", text.as_bytes());
        let lesson =
            lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
        blocks::read(&lesson).finish(&lesson, &mut findings);
        let found = findings.list().first().unwrap();
        assert_eq!((found.rule.name, source.slice(found.span)), ("unknown-name", place));
        assert_eq!(found.fixes.first().map(|fix| fix.replace.as_str()), repair);
    }
    read(&scales_for("| N.C. |", "scales for verse"), |_, findings| {
        assert_eq!(findings, [("block-syntax", "scales for verse".to_owned())]);
    });
}
