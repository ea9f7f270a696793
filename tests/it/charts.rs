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

/// The frets of a guitar's shape as they are written: `x02420`.
fn written(shape: &Value) -> String {
    let strings = shape["strings"].as_array().unwrap();
    let on = |number: u64| strings.iter().find(|place| place["string"] == number);
    let fret = |number| on(number).map_or("x".to_owned(), |place| place["fret"].to_string());
    (1..=6).rev().map(fret).collect()
}

/// The frets of the positions of a scale: from the lowest to the highest.
fn positions(chart: &Value) -> Vec<(u64, u64)> {
    let ends = |position: &Value| {
        let places = position["strings"].as_array().unwrap().iter();
        let frets: Vec<u64> = places.map(|place| place["fret"].as_u64().unwrap()).collect();
        (*frets.iter().min().unwrap(), *frets.iter().max().unwrap())
    };
    chart["positions"].as_array().unwrap().iter().map(ends).collect()
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
        "name": "A", "inversion": 2, "strain": 0.73, "span_mm": 21.9,
        "strings": [
            {"string": 3, "fret": 9, "finger": 1, "note": "E", "degree": "5"},
            {"string": 2, "fret": 10, "finger": 3, "note": "A", "degree": "R"},
            {"string": 1, "fret": 9, "finger": 2, "note": "C#", "degree": "3"}
        ]
    });
    assert!(shapes.contains(&expected), "{shapes:#?}");
    let all: Vec<String> = shapes.iter().map(written).collect();
    assert_eq!(all, ["xxx220", "xxx655", "xxx9109", "xxx141412"]);
    assert_eq!(chart["path"], json!([]));
    assert_eq!(chart.as_object().unwrap().len(), 2, "a chord has no positions");
    let open = &worked_out(&["shape", "x02210"])["shapes"][0]["strings"];
    assert_eq!(
        open[0],
        json!({"string": 5, "fret": 0, "finger": null, "note": "A", "degree": "R"})
    );
    assert_eq!(open.as_array().unwrap().len(), 5, "silent strings are left out");
}

#[test]
fn a_scale_s_positions_have_their_notes_and_degrees() {
    let chart = worked_out(&["scale", "A minor pentatonic"]);
    assert_eq!(positions(&chart), [(0, 3), (2, 5), (5, 8), (7, 10), (9, 13)]);
    let third = &chart["positions"][2];
    assert_eq!((&third["name"], &third["span_mm"]), (&json!("A minor pentatonic"), &json!(78.4)));
    let places = third["strings"].as_array().unwrap();
    assert_eq!(places.len(), 12);
    assert_eq!(
        places[..2],
        [
            json!({"string": 6, "fret": 5, "finger": 1, "note": "A", "degree": "R"}),
            json!({"string": 6, "fret": 8, "finger": 4, "note": "C", "degree": "b3"}),
        ]
    );
    let asked = worked_out(&["scale", "A minor pentatonic", "--frets", "5-6"]);
    assert_eq!(positions(&asked), [(5, 5)]);
}

#[test]
fn a_position_has_one_finger_a_fret() {
    let fingers = |frets: &str, string: u64| -> Vec<(u64, u64)> {
        let chart = worked_out(&["scale", "A minor pentatonic", "--frets", frets]);
        let places = chart["positions"][0]["strings"].as_array().unwrap().clone();
        let on = places.into_iter().filter(|place| place["string"] == string);
        on.map(|place| (place["fret"].as_u64().unwrap(), place["finger"].as_u64().unwrap()))
            .collect()
    };
    assert_eq!(fingers("2-5", 6), [(3, 2), (5, 4)]);
    assert_eq!(fingers("2-5", 4), [(2, 1), (5, 4)]);
    // The index finger reaches back to the ninth fret.
    assert_eq!(fingers("9-13", 3), [(9, 1), (12, 3)]);
    assert_eq!(fingers("9-13", 2), [(10, 1), (13, 4)]);
    // Positions that are found are fingered as those that are asked for.
    let found = worked_out(&["scale", "A minor pentatonic"]);
    let asked = worked_out(&["scale", "A minor pentatonic", "--frets", "2-5"]);
    assert_eq!(found["positions"][1], asked["positions"][0]);
}

#[test]
fn scales_are_near_a_fret_and_so_many_are_kept() {
    let found = |rest: &[&str]| {
        positions(&worked_out(&[&["scale", "A", "minor", "pentatonic"], rest].concat()))
    };
    assert_eq!(found(&["--keep", "2"]), [(0, 3), (2, 5)]);
    assert_eq!(found(&["--near", "6", "--keep", "1"]), [(5, 8)]);
    // The fifth position begins at the fifth fret.
    for (near, position) in [("2", (2, 5)), ("5", (5, 8)), ("7", (7, 10)), ("12", (12, 15))] {
        assert_eq!(found(&["--near", near])[0], position, "{near}");
    }
    assert_eq!(found(&["--near", "8"])[..2], [(7, 10), (5, 8)]);
    assert_eq!(found(&["--near", "13", "--keep", "1"]), [(12, 15)]);
    let all = found(&["--near", "12"]);
    assert!(all.iter().all(|(low, high)| (6..=18).contains(&((low + high) / 2))), "{all:?}");
}

/// Tunings in fourths, fifths and thirds, open ones and re-entrant ones, of three to eight strings.
const TUNINGS: [&str; 20] = [
    "standard",
    "D A D G B E",
    "DADGAD",
    "open D",
    "open E minor",
    "open G",
    "open C",
    "drop C",
    "all fourths",
    "high-strung",
    "seven strings",
    "eight strings",
    "bass",
    "five-string bass",
    "ukulele",
    "ukulele, low G",
    "mandolin",
    "tenor banjo",
    "five-string banjo, open G",
    "D3 A3 D4",
];

#[test]
fn positions_come_out_in_any_tuning() {
    for tuning in TUNINGS {
        for scale in
            ["A minor pentatonic", "Eb major", "F# blues", "C harmonic minor", "D chromatic"]
        {
            let chart = worked_out(&["scale", scale, "--tuning", tuning]);
            let found = positions(&chart);
            let what = format!("{scale} in {tuning}: {found:?}");
            assert!(found.len() >= 2, "{what}");
            assert!(found.windows(2).all(|pair| pair[0].0 < pair[1].0), "{what}");
            assert!(found[0].0 <= 2 && found[found.len() - 1].1 >= 9, "{what}");
            // No further than a medium hand spans, five frets of a long neck at most.
            let positions = chart["positions"].as_array().unwrap();
            for (position, (low, high)) in positions.iter().zip(found) {
                let span = position["span_mm"].as_f64().unwrap();
                assert!(span <= 147.0 || high - low < 5, "{what}: {span} mm");
            }
        }
    }
}

#[test]
fn a_ukulele_s_2010_is_f() {
    let names = |tuning: &str, frets: &str| -> Vec<String> {
        let chart = worked_out(&["shape", frets, "--tuning", tuning]);
        let shapes = chart["shapes"].as_array().unwrap().iter();
        shapes.map(|shape| shape["name"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(names("G C E A", "2010")[0], "F");
    let all = names("ukulele", "0000");
    assert_eq!(all[..2], ["C6", "Am7"]);
    let slash = |name: &String| name.contains('/');
    assert!(all.iter().skip_while(|name| !slash(name)).all(slash), "plain names first: {all:?}");
    assert_eq!(names("standard", "xx0202")[0], "D6");
}

#[test]
fn a_tuning_s_name_is_as_good_as_its_strings() {
    for (name, strings) in
        [("drop D", "D A D G B E"), ("Standard", "EADGBE"), ("bass, drop D", "DADG")]
    {
        let of = |tuning: &str| worked_out(&["chord", "D", "--tuning", tuning]);
        assert_eq!(of(name), of(strings), "{name}");
    }
}

#[test]
fn words_are_read_as_in_a_lesson() {
    let slash = worked_out(&["chord", "A/C#"]);
    assert_eq!(worked_out(&["chord", "A over C#"]), slash);
    assert_eq!(worked_out(&["chord", "A", "over", "C#"]), slash);
    let some = worked_out(&["triads", "A", "D", "--strings", "1-3", "--frets", "2-9"]);
    let worded = ["triads", "A, D", "--strings", "3 to 1", "--frets", "2 – 9"];
    assert_eq!(worked_out(&worded), some);
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
        let sounding =
            shapes.iter().take(4).map(|shape| shape["strings"].as_array().unwrap().len());
        assert!(sounding.min() >= Some(4), "{name}: {shapes:#?}");
    }
}

#[test]
fn two_strings_are_no_chord_where_more_can_sound() {
    let sounding = |arguments: &[&str]| -> Vec<usize> {
        let chart = worked_out(arguments);
        let shapes = chart["shapes"].as_array().unwrap();
        shapes.iter().map(|shape| shape["strings"].as_array().unwrap().len()).collect()
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
        &["chord", "H7", "B", "Fism", "--names", "german"],
    ] {
        let output = run(&place, arguments);
        assert!(output.status.success(), "{arguments:?}: {output:?}");
    }
    let expected = [
        "blank-boxes.pdf",
        "blank-neck-left-handed.pdf",
        "blank-tab-tuning-bass.pdf",
        "chord-B-flat-m7-A-over-C-sharp-letter.pdf",
        "chord-H7-B-Fism-names-german.pdf",
        "key-F-sharp-minor-label-notes-title-For-the-wall.pdf",
        "scale-A-minor-pentatonic.pdf",
        "shape-x02420.pdf",
        "triads-F-sharp-strings-1-2-3-page-1.png",
        "triads-F-sharp-strings-1-2-3-page-1.svg",
        "triads-F-sharp-strings-1-2-3.pdf",
    ];
    assert_eq!(files(&place), expected.map(str::to_owned).into());
}

#[test]
fn charts_that_differ_have_names_that_differ() {
    let place = folder("charts-names");
    let mine = "based-on = \"handout\"\n[body]\nsize = 9\n";
    fs::write(place.join("mine.toml"), mine).unwrap();
    let chords = "C G7 F Am Dm E7 ".repeat(20);
    let other = format!("{chords} Bb");
    let mut written = BTreeSet::new();
    for arguments in [
        &["C"] as &[&str],
        &["C", "G7", "F"],
        &["C", "G7", "F", "--tuning", "D A D G B E"],
        &["C", "G7", "F", "--tuning", "DADGAD"],
        &["C", "--strings", "1-4"],
        &["C", "--strings", "1,2,4,5"],
        &["C", "--frets", "0-5"],
        &["C", "--near", "5"],
        &["C", "--keep", "5"],
        &["C", "--names", "german"],
        &["C", "--capo", "3"],
        &["C", "--hand", "small"],
        &["C", "--left-handed"],
        &["C", "--label", "notes"],
        &["C", "--label", "fingers"],
        &["C", "--title", "Monday"],
        &["C", "--title", "Monday!"],
        &["C", "--paper", "letter"],
        &["C", "--template", "large-print"],
        &["C", "--template", "mine.toml"],
        &[&chords],
        &[&other],
    ] {
        let output = run(&place, &[&["chord"], arguments].concat());
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.success() && output.stdout.is_empty(), "{arguments:?}: {said}");
        let named = said.trim_end().strip_suffix("` is written");
        let file = named.and_then(|named| named.strip_prefix('`')).unwrap();
        assert!(place.join(file).is_file(), "{said}");
        assert!(file.len() <= 160 && written.insert(file.to_owned()), "{arguments:?}: {file}");
    }
    // What is usual anyway makes no other chart.
    run(&place, &["chord", "C", "--tuning", "standard", "--label", "degrees", "--paper", "a4"]);
    assert_eq!(files(&place).len(), written.len() + 1);
}

#[test]
fn a_left_handed_chart_is_another_picture_of_the_same_shapes() {
    let place = folder("charts-left");
    let drawn = |arguments: &[&str], file: &str| {
        assert!(run(&place, &[&["chord", "C", "--svg"], arguments].concat()).status.success());
        fs::read_to_string(place.join(file)).unwrap()
    };
    let right = drawn(&[], "chord-C-page-1.svg");
    assert_eq!(right, drawn(&[], "chord-C-page-1.svg"));
    assert_ne!(right, drawn(&["--left-handed"], "chord-C-left-handed-page-1.svg"));
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
fn notes_are_typed_and_told_by_the_names_that_are_asked_for() {
    let english = worked_out(&["chord", "B7", "--keep", "2"]);
    for (arguments, name, notes) in [
        (&["chord", "H7", "--names", "german"] as &[&str], "H7", ["H", "Dis", "Fis", "A"]),
        (&["chord", "Si7", "--names", "solfege"], "Si7", ["Si", "Re#", "Fa#", "La"]),
    ] {
        let chart = worked_out(&[arguments, &["--keep", "2"]].concat());
        for (shape, same) in chart["shapes"].as_array().unwrap().iter().zip([0, 1]) {
            assert_eq!(shape["name"], name);
            assert_eq!(written(shape), written(&english["shapes"][same]));
            for place in shape["strings"].as_array().unwrap() {
                assert!(notes.contains(&place["note"].as_str().unwrap()), "{place}");
            }
        }
    }
    let frets = |arguments: &[&str]| worked_out(arguments)["shapes"].clone();
    let key = frets(&["key", "h-Moll", "--names", "german"]);
    assert_eq!(key[0]["name"], "Hm");
    assert_eq!(key.as_array().map(Vec::len), frets(&["key", "Bm"]).as_array().map(Vec::len));
    let shape = frets(&["shape", "x24442", "--names", "german"]);
    assert_eq!(shape[0]["name"], "H");
    let tuned = frets(&["shape", "000000", "--names", "german", "--tuning", "D A D F# H D"]);
    assert_eq!(tuned[0]["strings"][4]["note"], "H");
}

#[test]
fn what_is_wrong_is_shown_as_it_was_typed() {
    let place = folder("charts-typed");
    for (arguments, shown) in [
        (
            &["chord", "C", "--capo", "99"] as &[&str],
            " --> chart:2:8\n  |\n2 | --capo 99\n  |        ^^\n",
        ),
        (&["shape", "x02210", "x02420 A"], " --> chart:2:8\n  |\n2 | x02420 A\n"),
        (&["shape", "x0242"], "1 | x0242\n  | ^^^^^\n"),
    ] {
        let said = String::from_utf8(run(&place, arguments).stderr).unwrap();
        assert!(said.contains(shown), "{arguments:?}: {said}");
    }
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
        (&["shape", "10-12-12-11-10-10"], 2, "write its frets with spaces"),
        (&["shape", ""], 2, "say what to chart"),
        (&["chord", "A", "--strings", "1-9"], 2, "`1-9` names no strings"),
        (&["chord", "A", "--frets", "9-3"], 2, "`9-3` names no frets"),
        (&["chord", "A", "--tuning", "xyz"], 2, "`xyz` is no open string"),
        (&["chord", "A", "--keep", "0"], 2, "1 or more"),
        (&["triads", "A5"], 2, "`A5` has no triad"),
        (&["chord", "H"], 2, "`H` is no chord"),
        (&["chord", "Hmoj7", "--names", "german"], 2, "did you mean `Hmaj7`?"),
        (&["key", "H dorain", "--names", "german"], 2, "did you mean `H dorian`?"),
        (&["chord", "A", "--names", "french"], 2, "`french`"),
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

#[test]
fn the_sheet_of_all_signs_is_printed_and_takes_no_words_or_options() {
    let folder = folder("chart-reference");
    assert!(run(&folder, &["reference"]).status.success());
    assert_eq!(files(&folder), BTreeSet::from(["reference.pdf".to_owned()]));
    for (arguments, what) in [
        (&["reference", "A"][..], "A"),
        (&["reference", "--json"], "--json"),
        (&["reference", "--near", "5"], "--near"),
    ] {
        let refused = run(&folder, arguments);
        assert_eq!(refused.status.code(), Some(2));
        let said = String::from_utf8_lossy(&refused.stderr).into_owned();
        assert!(said.contains(&format!("takes no `{what}`")), "{said}");
    }
}
