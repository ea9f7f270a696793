//! Old tabs come through `new --from` whole: every fret on its string and in its order, every word kept,
//! every lesson sound enough to press.

#![allow(clippy::unwrap_used)]

use fretleaf::blocks::tab::Tab;
use fretleaf::compile;
use fretleaf::findings::Weight;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::music::tab::Riff;
use fretleaf::music::tab::{Note, Sound};
use fretleaf::paste;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The tabs, in the order of their names.
fn tabs() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pasted");
    let paths = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut tabs: Vec<PathBuf> = paths.filter(|path| path.extension().unwrap() == "txt").collect();
    tabs.sort();
    assert_eq!(tabs.len(), 47);
    tabs
}

fn lesson_of(tab: &Path) -> String {
    paste::lesson("A tab", &paste::decoded(&fs::read(tab).unwrap())).text
}

#[test]
fn every_fret_stands_on_its_string_and_in_its_order() {
    for tab in tabs() {
        let lesson = lesson_of(&tab);
        let expected = fs::read_to_string(tab.with_extension("frets")).unwrap();
        assert_eq!(frets(&lesson), expected, "{}:\n{lesson}", tab.display());
    }
}

/// What is said of how much was made is what proof counts.
#[test]
fn bars_are_told_as_proof_counts_them() {
    for tab in tabs() {
        let made = paste::lesson("A tab", &paste::decoded(&fs::read(&tab).unwrap()));
        let world = MemoryWorld::default().with_lesson("tab.md", &made.text);
        let blocks = compile(&world, "tab.md").unwrap().lesson.blocks;
        let riffs = blocks.iter().filter_map(|block| block.as_a::<Tab>());
        let bars: usize = riffs.map(|tab| tab.riff.bars.len()).sum();
        let told = made.report.first().unwrap();
        let wanted = [format!("with {bars} bar."), format!("with {bars} bars.")];
        let wanted = wanted.map(|told| told.trim_end_matches('.').to_string());
        assert!(
            bars == 0 || wanted.iter().any(|wanted| told.contains(wanted)),
            "{}: {bars} bars, but {told}\n{}",
            tab.display(),
            made.text
        );
    }
}

/// The frets of all riffs of a lesson, a line a string, as the `.frets` files have them.
fn frets(text: &str) -> String {
    let world = MemoryWorld::default().with_lesson("tab.md", text);
    let elaborated = compile(&world, "tab.md").unwrap().lesson;
    let strings = elaborated.lesson.header.setting.instrument.tuning.len();
    let mut found: BTreeMap<usize, String> =
        (1..=strings).map(|number| (number, String::new())).collect();
    for block in elaborated.blocks {
        let Some(tab) = block.as_a::<Tab>() else { continue };
        for note in notes(&tab.riff) {
            let line = found.get_mut(&(strings - note.string.index())).unwrap();
            let graces = note.graces.iter().map(|grace| grace.sound);
            let own = match note.sound {
                Sound::Fret(fret) | Sound::Harmonic(fret) => Some(fret),
                Sound::Muted => None,
            };
            graces.chain(own).for_each(|fret| line.push_str(&format!(" {fret}")));
        }
    }
    found.iter().map(|(number, frets)| format!("{number}:{frets}\n")).collect()
}

fn notes(riff: &Riff) -> impl Iterator<Item = &Note> {
    riff.bars.iter().flat_map(|bar| &bar.events).flat_map(|event| &event.notes)
}

/// Each word, number and sign of a tab stands in its lesson, as often as it stood there: in music, in
/// prose or in a comment.
#[test]
fn nothing_that_a_tab_says_is_lost() {
    for tab in tabs() {
        let text = paste::decoded(&fs::read(&tab).unwrap());
        let lesson = lesson_of(&tab);
        let lost = lost(&text, &lesson);
        assert!(lost.is_empty(), "{}: {lost:?} lost from\n{lesson}", tab.display());
    }
}

/// What a text says and its lesson doesn't. Digits are told one by one. Words stand between spaces and bar
/// lines; of rows of tab only what is behind their last dash or bar line has words.
fn lost(text: &str, lesson: &str) -> Vec<String> {
    let lesson = lesson.replace('\\', "");
    let signs =
        |text: &str| text.chars().filter(|c| SIGNS.contains(*c)).map(String::from).collect();
    let mut said: Vec<String> = Vec::new();
    for line in text.lines() {
        // The number of a string becomes its letter.
        let labelled =
            line.starts_with(|c: char| c.is_ascii_digit()) && line.get(1..2) == Some("|");
        let digits = line.chars().skip(usize::from(labelled)).filter(char::is_ascii_digit);
        said.extend(digits.map(String::from));
        let dash = |c: char| matches!(c, '-' | '—' | '_' | '|');
        let ruled = line.contains(['|', ':', '—']) || !line.trim().contains(' ');
        let is_row = ruled && line.matches(dash).count() > 3;
        let words = match line.rfind(dash).filter(|_| is_row) {
            Some(end) => line.get(end..).unwrap().trim_start_matches(dash),
            None => line,
        };
        let bare = words.split(|c: char| c.is_whitespace() || c == '|');
        let bare = bare.map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()));
        let has_letter = |word: &&str| word.chars().any(|c| c.is_alphabetic() && c != 'x');
        said.extend(bare.filter(has_letter).map(str::to_owned));
        let told: Vec<String> = signs(words);
        said.extend(told);
    }
    let mut wanted: BTreeMap<String, usize> = BTreeMap::new();
    said.into_iter().for_each(|word| *wanted.entry(word).or_insert(0) += 1);
    let found = |word: &String| lesson.to_lowercase().matches(&word.to_lowercase()).count();
    let lost = wanted.iter().filter(|(word, times)| found(word) < **times);
    lost.map(|(word, times)| format!("{word} ({} of {times})", found(word))).collect()
}

/// Signs that say something wherever they stand among words.
const SIGNS: &str = "!?(),;'\"/+&<>%„“–¡ªº↓↑";

#[test]
fn the_lessons_pass_without_a_fault() {
    for tab in tabs() {
        let lesson = lesson_of(&tab);
        let checked = fretleaf::check("tab.md", lesson.as_bytes(), &MemoryWorld::default());
        let faults = checked.findings.iter().filter(|finding| finding.weight == Weight::Fault);
        let faults: Vec<&String> = faults.map(|fault| &fault.message).collect();
        assert!(faults.is_empty(), "{}: {faults:?}\n{lesson}", tab.display());
    }
}

/// Tabs with something odd in them, which proof may well doubt.
const ODD: [&str; 3] = ["03-wrapped", "27-technique", "34-everything-else"];

#[test]
fn clean_tabs_raise_no_doubt_but_their_guesses() {
    for tab in tabs() {
        let name = tab.file_stem().unwrap().to_str().unwrap();
        let lesson = lesson_of(&tab);
        let checked = fretleaf::check("tab.md", lesson.as_bytes(), &MemoryWorld::default());
        let doubts = checked.findings.iter().filter(|found| found.weight > Weight::Hint);
        let doubts: Vec<_> = doubts.filter(|found| found.rule.name != "guessed").collect();
        assert!(doubts.is_empty() || ODD.contains(&name), "{name}: {doubts:#?}\n{lesson}");
        let is_mark = |line: &&str| ["# guessed", "# not read"].iter().any(|m| line.starts_with(m));
        let marks = lesson.lines().filter(is_mark).count();
        let told = checked.findings.iter().filter(|found| found.rule.name == "guessed").count();
        assert_eq!(told, marks, "{name}");
    }
}

/// What must stand in the lessons of some tabs.
const TAKEN_OVER: &[(&str, &[&str])] = &[
    ("04-hammer-pull", &["|:1", ":|x2\n", "## Intro"]),
    ("09-lyrics-under", &["\nsung    The   rain   came       |down"]),
    ("13-palm-mutes", &["\nmute      ===="]),
    (
        "21-typed-counts",
        &[
            "title: Wet Coats\nkey: A minor\ntempo: 84\ncapo: 2\n---",
            "## Verse\n",
            "count   1  & 2 & 3 & 4 & |1  & 2 & 3 & 4 & |",
            "pick    d    d u d   d u |",
        ],
    ),
    (
        "22-numbers-and-bars",
        &["title: \"The Long Queue\" for two thumbs", ":|x4", "\nG       0---", "\nE       ----"],
    ),
    (
        "23-song-sheet",
        &[
            "F       133211   -- (barre, sorry)\nC       x32010\nG       320003\nDm7     xx0211\n",
            "|: Am | F | C | G :|x2 |",
            "|: Am | F G | C / G / | Am :|x3 |",
            "\nC               G\nwent out one by one by one\n",
        ],
    ),
    (
        "24-seven-strings",
        &["tempo: 120", "tuning: B E A D G B E", "mute    ================|====            |"],
    ),
    ("26-tabs-and-nbsp", &["sung    boats   of   pa-   |per   down   the   drain |"]),
    ("27-technique", &["12\\.", "7b9", "(5)", "<12>", "7b8"]),
    ("30-wrapped-bar", &["|1 & 2 3 & 4 |\n", "e       0-----0-----|1-----1-----|\n"]),
    ("36-three-times", &["count   |:1 2 3 4 |1 2 3 4 :|x3\ne       |:0---2---|3---3---:|\n"]),
    ("37-dashes-before-bars", &["count   1 2 3 4 |1 2 3 4 |\nE       0---2---|3---3---|\n"]),
    (
        "38-bass-retuned",
        &[
            "# guessed: a bass, from the four rows of the first tab\ntuning: E1 A1 D2 G2\n",
            "~~~ riff\n",
            "~~~ riff tuning D A D G\n",
            "\nD       0---",
        ],
    ),
    (
        "39-letters-by-habit",
        &[
            "tuning: Eb Ab Db Gb Bb Eb\n",
            "~~~ riff\n",
            "# guessed: the rows lettered e B G D A E are the strings eb Bb Gb Db Ab Eb, since",
            "\nAb      0-------",
        ],
    ),
    (
        "40-letters-under",
        &[
            "\nwords   T  T  P  T  T  T  P  P  T  T  T  |\n",
            "\nright   p i m a m   |p    i m a m   |\n",
            "# guessed: the plucking fingers, from `p   i m a m      p   i m a m`",
        ],
    ),
    (
        "41-run",
        &[
            "# guessed: notes a column apart are played together (bar 1)\n",
            "\nA       2-2-----|\nE       0-0-0---|\n",
            "\nA       --2-----4-----2--|\nE       0----0--------0--|\n",
        ],
    ),
    (
        "42-remarks",
        &[
            "behind bar 2, string D: <- shake the 7!\n",
            "beneath bar 2: play 4 times (last time slower)\n",
            "behind bar 1, string A: <- nothing here\n",
            "\nmute    =",
        ],
    ),
    (
        "43-repeat-lines",
        &[
            "# guessed: the repeat, from `||:` and `:|| x2` on its own line\n",
            "count   |:1 2 3 4 :|x2\n",
            "```\n||:\n```",
        ],
    ),
    (
        "44-counts-beside",
        &[
            "# guessed: the counts `1 & 2 & 3 & 4 &` belong a column beside where they stood\n",
            "count   1 & 2 & |3 & 4 & |\ne       0---2---|--3---3-|\n",
            "pick    d   d u |  u",
        ],
    ),
    (
        "45-square-and-slide",
        &["# guessed: `[14]` is a harmonic\n", "no fret touches its sign: `/7`", "<14>", "5-./7"],
    ),
    (
        "46-signs-and-stars",
        &[
            "count   1 2 3 4 |1 2 3 4 |\nE       0-2-3-2-|0-2-3-5-|\n",
            "count   1 2 3 4 |1 2 3 4 |\ne       0---2---|3---2---|\n",
            "\naccent  >       |>   >   |\n",
            "# guessed: the accents, from where `>         >   >` stood\n",
            "\nbeneath bar 2, beat 1: ^ watch this one\n",
            "\nbeneath bar 2, beat 3: softly\n",
            "\nbeneath bar 1, beat 1: .\nbeneath bar 2, beat 1: .\nbeneath bar 2, after beat 3: .\n",
            "# guessed: what is played 6 times, from the words `6 times & fade`\n",
            "\nbehind bar 2, string e: 6 times & fade\n",
            "# guessed: `*|` is a repeat sign\n",
            "# guessed: a star between a fret and `|` is a repeat sign's, as in the other rows\n",
            "# guessed: `s` between two frets is a slide, which goes the way of the frets\n",
            ":|x6\n",
        ],
    ),
    (
        "47-side-by-side",
        &[
            "title: Grey Mill\n",
            "tempo: 84\n# from the words `Tuning DADGBE`\ntuning: DADGBE\n",
            "capo: 2\n---\n\nfor two thumbs\\\n",
            "low voices, or 4)\n\n~~~ riff\n# guessed: the endings, from where",
            "# not read, kept here: . (bar 2, beat 4, string G)\ncount   1 & 3 4 |1 2 3 4 |\n",
            "above bar 3, beat 1: 1 - 3 - 2 - 4\n",
            "# guessed: the first ending is closed by a repeat, which wasn't drawn\n",
            "\nending  ",
            ":|2.",
            ":|./7",
        ],
    ),
    ("31-leading-dashes", &["count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |"]),
    ("32-open-tuning", &["tuning: D A D G A D", "capo: 3", "## fade out"]),
    ("35-wrapped-words", &["|1   a    2 3 & 4 e |", "5~", "(7)b9r7"]),
    (
        "33-strokes",
        &["pick    d  d u   u d u |d d u   u d u |", "# guessed: the way of the strokes"],
    ),
];

#[test]
fn what_was_typed_is_taken_over() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pasted");
    for (tab, parts) in TAKEN_OVER {
        let lesson = lesson_of(&folder.join(tab).with_extension("txt"));
        for part in *parts {
            assert!(lesson.contains(part), "{tab}: no {part:?} in\n{lesson}");
        }
    }
}

#[test]
fn the_author_is_told_what_was_made_and_what_is_no_tab() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pasted-report");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let run = |file: &str, text: &str| {
        fs::write(folder.join(file), text).unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_fretleaf"))
            .args(["new", "--from", file])
            .current_dir(&folder)
            .output()
            .unwrap();
        let told = [output.stdout, output.stderr].concat();
        (output.status.code(), String::from_utf8(told).unwrap())
    };
    let (status, told) = run("tab.txt", "Wet Coats\n\nsoftly\ne|-0-h--PM-2-|\nB|---1----3--|\n");
    assert_eq!(status, Some(0));
    for part in [
        "Taken over: 1 tab with 1 bar.",
        "line 2: the title, from the first line",
        "the counts, from the spacing of the notes",
        "PM (bar 1, column 9 of the tab, string e)",
        "Kept as prose: 1 line:\n  softly\n",
    ] {
        assert!(told.contains(part), "no {part:?} in {told}");
    }
    let (status, told) = run("letter.txt", "Dear all,\n\nno class on Friday.\n");
    assert_eq!(status, Some(2));
    assert!(told.contains("`letter.txt` has no tab, chords or shapes"), "{told}");
    assert!(!told.contains("guessed") && !folder.join("letter.md").exists(), "{told}");
    let (status, told) = run("empty.txt", " \n\n");
    assert_eq!(status, Some(2));
    assert!(told.contains("`empty.txt` is empty"), "{told}");
    let (status, told) = run("picture.txt", "GIF\u{0}\u{1}\u{2}e|--0--|\n");
    assert_eq!(status, Some(2));
    assert!(told.contains("`picture.txt` is no text"), "{told}");
    let system = "e|-0---1-|\nB|-1---1-|\n";
    let (_, told) = run("twice.txt", &format!("Two\n\n{system}\nthen\n\n{system}"));
    assert!(told.contains("lines 7, 16: the counts, from the spacing of the notes"), "{told}");
    let (status, told) = run("song.txt", "Am      F\nAll the lamps\n");
    assert_eq!(status, Some(0));
    assert!(told.contains("There is no tab in it"), "{told}");
    let strict = Command::new(env!("CARGO_BIN_EXE_fretleaf"))
        .args(["proof", "--strict", "tab.md"])
        .current_dir(&folder)
        .output();
    assert_eq!(strict.unwrap().status.code(), Some(1));
}

#[test]
fn the_lessons_press_as_drafts() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pasted");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let run = |arguments: &[&std::ffi::OsStr]| {
        let output = Command::new(env!("CARGO_BIN_EXE_fretleaf"))
            .args(arguments)
            .current_dir(&folder)
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8_lossy(&output.stderr).into_owned())
    };
    for tab in tabs() {
        let made = run(&["new".as_ref(), "--from".as_ref(), tab.as_os_str()]);
        assert_eq!(made, (Some(0), String::new()), "{}", tab.display());
        let lesson = PathBuf::from(tab.file_name().unwrap()).with_extension("md");
        let (status, said) = run(&["press".as_ref(), "--draft".as_ref(), lesson.as_os_str()]);
        assert!(matches!(status, Some(0 | 1)), "{}: {said}", tab.display());
        assert!(folder.join(lesson).with_extension("pdf").exists(), "{}: {said}", tab.display());
    }
}

#[test]
fn a_lesson_from_a_tab_overwrites_nothing_and_takes_the_name_given() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pasted-names");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(
        folder.join("old.txt"),
        "e|-0---1-|\nB|-1---1-|\nG|-0---2-|\nD|-----3-|\nA|-3-----|\nE|-------|\n",
    )
    .unwrap();
    let run = |arguments: &[&str]| {
        let command = Command::new(env!("CARGO_BIN_EXE_fretleaf"))
            .args(arguments)
            .current_dir(&folder)
            .output();
        command.unwrap().status.code()
    };
    assert_eq!(run(&["new", "--from", "old.txt", "two-chords"]), Some(0));
    assert!(
        fs::read_to_string(folder.join("two-chords.md")).unwrap().contains("title: Two chords")
    );
    assert_eq!(run(&["new", "--from", "old.txt", "two-chords"]), Some(2));
    assert_eq!(run(&["new", "--from", "missing.txt"]), Some(2));
    assert_eq!(run(&["new"]), Some(2));
}
