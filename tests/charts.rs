//! `chart` as a user runs it: what it works out, what it writes and what it refuses.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

/// A folder of a test's own, empty at its start.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn run(folder: &PathBuf, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fretleaf"));
    command.current_dir(folder).arg("chart").args(arguments).output().unwrap()
}

fn worked_out(arguments: &[&str]) -> Value {
    let arguments = [arguments, &["--json"]].concat();
    let output = run(&PathBuf::from(env!("CARGO_TARGET_TMPDIR")), &arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Frets as they are written: `x02420`.
fn written(shape: &Value) -> String {
    let frets = shape["frets"].as_array().unwrap();
    frets.iter().map(|fret| fret.as_u64().map_or("x".to_owned(), |fret| fret.to_string())).collect()
}

fn files(folder: &PathBuf) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).unwrap();
    entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

#[test]
fn json_is_as_the_design_shows_it() {
    let chart = worked_out(&["triads", "A", "--strings", "1-3"]);
    let shapes = chart["shapes"].as_array().unwrap();
    let expected = json!({
        "name": "A", "frets": [null, null, null, 9, 10, 9], "fingers": [null, null, null, 1, 3, 2],
        "notes": ["E", "A", "C#"], "degrees": ["5", "R", "3"], "inversion": 2,
        "strain": 0.73, "span_mm": 21.9
    });
    assert!(shapes.contains(&expected), "{shapes:#?}");
    let all: Vec<String> = shapes.iter().map(written).collect();
    assert_eq!(all, ["xxx220", "xxx655", "xxx9109", "xxx141412"]);
    assert_eq!(chart["path"], json!([]));
}

#[test]
fn a_path_has_a_shape_a_chord_and_begins_near() {
    let chart = worked_out(&["triads", "A", "F#m", "D", "E", "--strings", "1-3", "--near", "5"]);
    let path = chart["path"].as_array().unwrap();
    let names: Vec<&str> = path.iter().map(|shape| shape["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["A", "F#m", "D", "E"]);
    assert_eq!(written(&path[0]), "xxx655");
}

/// The shape that beginners learn first, written down before the order was tuned.
const FIRST_SHAPES: [(&str, &str); 42] = [
    ("C", "x32010"),
    ("A", "x02220"),
    ("G", "320003"),
    ("E", "022100"),
    ("D", "xx0232"),
    ("Am", "x02210"),
    ("Em", "022000"),
    ("Dm", "xx0231"),
    ("F", "xx3211"),
    ("Bm", "x24432"),
    ("Bb", "x13331"),
    ("B", "x24442"),
    ("F#m", "244222"),
    ("Gm", "355333"),
    ("Cm", "x35543"),
    ("C#m", "x46654"),
    ("Fm", "133111"),
    ("E7", "020100"),
    ("A7", "x02020"),
    ("D7", "xx0212"),
    ("G7", "320001"),
    ("C7", "x32310"),
    ("B7", "x21202"),
    ("Am7", "x02010"),
    ("Em7", "022030"),
    ("Dm7", "xx0211"),
    ("Cmaj7", "x32000"),
    ("Fmaj7", "xx3210"),
    ("Amaj7", "x02120"),
    ("Dmaj7", "xx0222"),
    ("Gmaj7", "320002"),
    ("Asus2", "x02200"),
    ("Asus4", "x02230"),
    ("Dsus2", "xx0230"),
    ("Dsus4", "xx0233"),
    ("Esus4", "022200"),
    ("Cadd9", "x32030"),
    ("D/F#", "200232"),
    ("Bm7", "x20202"),
    ("G/B", "x20003"),
    ("Aadd9", "x02420"),
    ("A5", "x022xx"),
];

#[test]
fn what_beginners_learn_first_is_among_the_first_six() {
    let mut late = Vec::new();
    for (name, taught) in FIRST_SHAPES {
        let chart = worked_out(&["chord", name, "--near", "0"]);
        let first = chart["shapes"].as_array().unwrap().iter().take(6).map(written);
        let first: Vec<String> = first.collect();
        if !first.iter().any(|shape| shape == taught) {
            late.push(format!("{name} {taught}: {}", first.join(" ")));
        }
    }
    assert!(late.is_empty(), "{}", late.join("\n"));
}

#[test]
fn fragments_come_behind_whole_chords() {
    for name in ["C", "A", "G", "E", "D", "Am", "Em", "Dm", "F", "B7", "E7", "Cmaj7"] {
        let chart = worked_out(&["chord", name, "--near", "0"]);
        let shapes = chart["shapes"].as_array().unwrap();
        let sounding = shapes.iter().take(4).map(|shape| shape["notes"].as_array().unwrap().len());
        assert!(sounding.min() >= Some(4), "{name}: {shapes:#?}");
    }
}

#[test]
fn two_strings_are_no_chord_where_more_can_sound() {
    let sounding = |arguments: &[&str]| -> Vec<usize> {
        let chart = worked_out(arguments);
        let shapes = chart["shapes"].as_array().unwrap();
        shapes.iter().map(|shape| shape["notes"].as_array().unwrap().len()).collect()
    };
    assert!(sounding(&["chord", "C#m"]).iter().all(|strings| *strings >= 3));
    assert!(sounding(&["chord", "C#m", "--strings", "1-2"]).iter().all(|strings| *strings == 2));
    assert!(sounding(&["chord", "A5", "--keep", "24"]).contains(&2));
}

#[test]
fn blank_pages_fit_both_papers() {
    let place = folder("charts-blank");
    for blank in ["boxes", "tab", "neck"] {
        for paper in ["a4", "letter"] {
            assert!(run(&place, &["blank", blank, "--paper", paper, "--svg"]).status.success());
        }
    }
    assert!(files(&place).iter().all(|file| !file.contains("page-2")));
}

#[test]
fn files_are_named_after_what_they_show() {
    let place = folder("charts-files");
    for arguments in [
        &["triads", "F#", "--strings", "1-3", "--svg", "--png"] as &[&str],
        &["chord", "Bbm7", "A/C#", "--paper", "letter"],
        &["scale", "A", "minor", "pentatonic"],
        &["key", "F#m", "--label", "notes", "--title", "For the wall"],
        &["shape", "x02420"],
        &["blank", "boxes"],
        &["blank", "tab", "--tuning", "EADG"],
        &["blank", "neck", "--left-handed"],
    ] {
        let output = run(&place, arguments);
        assert!(output.status.success(), "{arguments:?}: {output:?}");
    }
    let expected = [
        "blank-boxes.pdf",
        "blank-neck.pdf",
        "blank-tab.pdf",
        "chord-B-flat-m7-A-over-C-sharp.pdf",
        "key-F-sharp-minor.pdf",
        "scale-A-minor-pentatonic.pdf",
        "shape-x02420.pdf",
        "triads-F-sharp-page-1.png",
        "triads-F-sharp-page-1.svg",
        "triads-F-sharp.pdf",
    ];
    assert_eq!(files(&place), expected.map(str::to_owned).into());
}

#[test]
fn a_left_handed_chart_is_another_picture_of_the_same_shapes() {
    let place = folder("charts-left");
    let drawn = |arguments: &[&str]| {
        assert!(run(&place, &[&["chord", "C", "--svg"], arguments].concat()).status.success());
        fs::read_to_string(place.join("chord-C-page-1.svg")).unwrap()
    };
    let right = drawn(&[]);
    assert_eq!(right, drawn(&[]));
    assert_ne!(right, drawn(&["--left-handed"]));
    assert_eq!(worked_out(&["chord", "C"]), worked_out(&["chord", "C", "--left-handed"]));
}

#[test]
fn a_key_has_its_seven_triads_and_seventh_chords() {
    let chart = worked_out(&["key", "A major"]);
    let names: Vec<&str> =
        chart["shapes"].as_array().unwrap().iter().map(|s| s["name"].as_str().unwrap()).collect();
    assert_eq!(names[..7], ["A", "Bm", "C#m", "D", "E", "F#m", "G#dim"]);
    assert_eq!(names[7..], ["Amaj7", "Bm7", "C#m7", "Dmaj7", "E7", "F#m7", "G#m7b5"]);
}

#[test]
fn any_scale_is_a_key_with_the_chords_that_it_has() {
    let names = |key: &str| -> String {
        let chart = worked_out(&["key", key]);
        let shapes = chart["shapes"].as_array().unwrap();
        shapes.iter().map(|s| s["name"].as_str().unwrap()).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(
        names("E phrygian dominant"),
        "E F G#dim Am Bdim Caug Dm E7 Fmaj7 G#dim7 Am(maj7) Bm7b5 Cmaj7#5 Dm7"
    );
    assert_eq!(names("A minor pentatonic"), names("A minor"));
    assert_eq!(names("C whole tone").split(' ').next(), Some("Caug"));
    let place = folder("charts-scale-keys");
    let output = run(&place, &["key", "E", "phrygian", "dominant"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(files(&place), BTreeSet::from(["key-E-phrygian-dominant.pdf".to_owned()]));
}

#[test]
fn a_fingering_is_named_best_name_first() {
    let chart = worked_out(&["shape", "x02420"]);
    assert_eq!(chart["shapes"][0]["name"], "Aadd9");
}

#[test]
fn what_is_unknown_is_told_with_the_nearest() {
    let place = folder("charts-unknown");
    for (arguments, status, words) in [
        (&["chord", "Amajj7"] as &[&str], 2, "did you mean `Amaj7`?"),
        (&["triads", "Amm"], 2, "`Amm` is no chord"),
        (&["scale", "A minr pentatonic"], 2, "did you mean `A minor pentatonic`?"),
        (&["key", "A dorain"], 2, "did you mean `A dorian`?"),
        (&["shape", "x02420 A"], 1, "shape-misnamed"),
        (&["chord", "A", "--strings", "1-9"], 2, "`1-9` names no strings"),
        (&["chord", "A", "--frets", "9-3"], 2, "`9-3` names no frets"),
        (&["chord", "A", "--tuning", "xyz"], 2, "`xyz` is no open string"),
        (&["chord", "A", "--keep", "0"], 2, "1 or more"),
        (&["triads", "A5"], 2, "`A5` has no triad"),
        (&["blank", "paper"], 2, "`boxes`, `tab` or `neck`"),
        (&["chords", "A"], 2, "chord"),
    ] {
        let output = run(&place, arguments);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(status), "{arguments:?}: {said}");
        assert!(said.contains(words), "{arguments:?}: {said}");
    }
    assert_eq!(files(&place), BTreeSet::new());
}
