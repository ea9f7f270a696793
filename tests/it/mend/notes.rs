//! Notes and bar lines: moved where nothing else can have been meant.

use super::*;

#[test]
fn a_note_that_may_have_been_meant_is_not_moved_to_others() {
    let quarters = "count   1   2   3   4   |";
    let eighths = "count   1   &   2   &   3   &   4   &   |";
    for rows in [
        // A dotted rhythm without its `a`, once and again.
        &[quarters, "G       5--5-------5----|"][..],
        &[quarters, "G       3--3----3--3----|"],
        // Swing drawn by eye.
        &[eighths, "G       5----7--5----7--5----7--5----7--|"],
        // A grace note that is as near to the count behind it.
        &[eighths, "G       -----4h5------------------------|"],
        // A roll, and a grace note on the next string.
        &[
            eighths,
            "B       5-------0-----------------------|",
            "G       -5-----------------------------|",
        ],
        // A sixteenth that isn't counted, as near as the beat.
        &["count   1   &   2   &   3   &   4   &   |", "G       0---2--3----7---8---10----------|"],
        // A grace note whose `h` was lost.
        &[eighths, "G       0---12---3------------------|"],
        &["count   1     &     2     &     |", "G       0----12-----3-----------|"],
        // An uncounted sixteenth among quarters.
        &["count   1     2     3     4     |", "G       0------2----0-----------|"],
        // No fret of this neck.
        &[eighths, "G       5---55---55-----------------79--|"],
    ] {
        let text = in_g_major(&format!("~~~ riff\n{}\n~~~", rows.join("\n")));
        assert_eq!(mended(&text), None, "{rows:?}");
    }
}

/// The counts of a bar of eighths.
const EIGHTHS: &str = "count   1   &   2   &   3   &   4   &   |";

/// The counts of two bars of two beats.
const TWO: &str = "count   1   &   2   &   |1   &   2   &   |";

/// Eighths six columns apart.
const SIXES: &str = "count   1     &     2     &     3     &     |";

/// Notes off their counts that may have been meant so.
const AS_MEANT: &[&[&str]] = &[
    // Midway, as a sixteenth.
    &[EIGHTHS, "G       0-2-----0-------0-------2-------|"],
    &["count   1 & 2 & 3 & 4 & |", "G       -0--0---0---0---|"],
    // A shuffle.
    &[
        "count   1     &     2     &     3     &     4     &     |",
        "G       0-------2---0-----------0-----------0-----------|",
    ],
    // Three columns apart: `2` at 4 is as well the second third.
    &["count   1  &  2  &  3  &  4  &  |", "G       0---2-0-----0-----2-----|"],
    // The count row has lost a column.
    &[
        "count   1   &   2  &   3   &   4   &   |1   &   2   &   3   &   4   &   |",
        "B       --------0---3-------------------|--------0---3-------------------|",
        "G       0---2-----------0---2---0---2---|0---2-----------0---2---0-------|",
    ],
    // The row's own bar line before it is a column short, and its note stands right.
    &[
        "count   1     &     2     &     |1     &     2     &     |",
        "B       ------------------------|0-----------------------|",
        "G       0-----3----------------|-------3----------------|",
    ],
    // Another string slips in the same bar.
    &[
        EIGHTHS,
        "B       ---------0----------------------|",
        "G       0---2--------0------------------|",
    ],
    // The bar line has slipped with the notes, or the counts have.
    &[TWO, "G       0----2---0---2---|0---2---0---2---|"],
    &[TWO, "G       0--2---0---2---|0---2---0---2---|"],
    &["count   1   &   2    &   |1   &   2   &   |", "G       0---2---0---2---|0---2---0---2---|"],
    &[
        "count   1   trip let 2   &   3   &   4   &   |",
        "G       0---2----4---0------2-----0-------2-------|",
    ],
    // The bar line of the count row has slipped.
    &[
        TWO,
        "B       0---3------------|0---3-----------|",
        "G       0----2-------0---|0---2---0---2---|",
        "D       -----------------|----------------|",
    ],
    // A bar line among notes.
    &[TWO, "B       5---7---8---9----|5---7---8---9---|"],
    &[TWO, "B       5---7---8---9--|5---7---8---9---|"],
    &[
        TWO,
        "B       5---7---8---9---|5---7---8---9--|",
        "G       ----------------|----------------|",
    ],
    // A digit lost of a fret of two, the first and the last.
    &[SIXES, "e       12----14----12-----4----12----14----|"],
    &[SIXES, "e       12----10----12-----0----12----10----|"],
    &[SIXES, "e       14---1------14----12----14----12----|"],
    // A run that begins, or ends, beside the note's count: the note would leave it, or come to lie under it.
    &[
        SIXES,
        "B       2-----3------5----3-----2-----3-----|",
        "ring                 =================      |",
    ],
    &[
        SIXES,
        "B       2-----3------5----3-----2-----3-----|",
        "mute    =============                       |",
    ],
    &[
        SIXES,
        "B       2-----3----5------3-----2-----3-----|",
        "ring    ============                        |",
    ],
    // A count that slipped: the note stands where it would be.
    &[
        "count   1     &      2    &     3     &     |",
        "B       2-----3-----5-----3-----2-----3-----|",
    ],
    // A count that slipped behind the last of the others, or before the first.
    &[
        "chord   G                 C     |D                       |",
        "count   1     &     2      &    |1     &     2     &     |",
        "B       0-----1-----------------|0-----1-----2-----3-----|",
        "G       ------------2-----3-----|------------------------|",
        "pick    d     u     d     u     |d     u     d     u     |",
    ],
    &["count    1    &     2     &     |", "G       0-----2-----4-----5-----|"],
    // Counts of which none tells which of them has slipped: the strokes stand with the note.
    &[
        "count   1            2          |1           2           |",
        "G       0-----------2-----------|0-----------2-----------|",
        "pick    d           d           |d           d           |",
    ],
    // A longer count that slipped from its place in time.
    &[
        "count   1           2      &    |1           2     &     |",
        "G       0-----------2-----3-----|0-----------2-----3-----|",
    ],
    // The row's own bar line has slipped into the bar.
    &[
        "count   1     &     2     &     |   1     &     2     &     |",
        "G       2-----4-----2-----4--------|2-----4------2----1-----|",
    ],
    &[
        "count   1     &     2     &     |   1     &     2     &     |",
        "G       2-----4-----2-----4--------|:2------4----2-----1----|",
    ],
    // A chord without room to go along.
    &[
        SIXES,
        "chord   G     E7sus4 D                      |",
        "B       2-----3------5----3-----2-----3-----|",
    ],
];

#[test]
fn notes_that_may_have_been_meant_where_they_stand_are_the_authors() {
    for &rows in AS_MEANT {
        let text = in_g_major(&format!("~~~ riff\n{}\n~~~", rows.join("\n")));
        let found = found_in(&text);
        assert!(found > 0, "{rows:?}");
        assert_eq!(mended(&text), None, "{rows:?}");
    }
}

#[test]
fn behind_a_tab_that_leaves_open_how_wide_it_is_no_note_is_moved() {
    let rows = "count   1   &   2   &   |\nG       0----2--0---2---|\nleft\t1\t\t2\t3";
    let text = in_g_major(&format!("~~~ riff\n{rows}\n~~~"));
    let text = mended(&text).map_or(text, |mended| mended.text);
    assert!(!text.contains('\t') || text.contains("0----2--0"), "{text}");
}

/// A lesson with a row of three bars under notes.
fn with_bars(label: &str, bars: [&str; 3]) -> String {
    let count = "1   2   3   4   |".repeat(3);
    let notes = "0---2---0---2---|".repeat(3);
    let row = bars.map(|bar| format!("{bar}|")).concat();
    in_g_major(&format!("~~~ riff\ncount   {count}\nG       {notes}\n{label:<8}{row}\n~~~"))
}

#[test]
fn a_bar_line_is_moved_between_empty_bars() {
    let empty = " ".repeat(16);
    for (label, sign) in [("words", "slow            "), ("left", "2               ")] {
        let right = with_bars(label, [sign, &empty, &empty]);
        for slipped in [[15, 17], [17, 15], [16, 15], [16, 18]] {
            let [second, third] = slipped.map(|length| " ".repeat(length));
            let wrong = with_bars(label, [sign, &second, &third]);
            assert_eq!(
                mended(&wrong).map(|mended| mended.text),
                Some(right.clone()),
                "{slipped:?}"
            );
        }
    }
}

#[test]
fn a_bar_line_is_not_moved_in_a_row_whose_others_have_slipped_too() {
    let empty = " ".repeat(16);
    for bars in [
        // Words too long for their bar.
        ["let it ring for ever", &" ".repeat(14), &empty],
        // A sign too many in a bar, and the row's end a column early.
        [">       >         ", &" ".repeat(16), &" ".repeat(13)],
        // A bar line too many.
        ["soft            ", "   |            ", &" ".repeat(17)],
    ] {
        let text = with_bars("words", bars);
        assert!(found_in(&text) > 0, "{bars:?}");
        assert_eq!(mended(&text), None, "{bars:?}");
    }
}

#[test]
fn a_bar_line_beside_signs_of_its_row_is_the_authors() {
    let empty = " ".repeat(16);
    for (label, sign) in [
        ("left", "2"),
        ("right", "i"),
        ("pick", "d"),
        ("accent", ">"),
        ("chord", "G"),
        ("sung", "la"),
        ("words", "soft"),
        ("mute", "---"),
        ("ring", "---"),
    ] {
        for (place, lengths) in [(0, [17, 15]), (0, [18, 14]), (2, [15, 17]), (0, [15, 17])] {
            let [first, second] = lengths;
            let (sole, other) = (format!("{sign:first$}"), format!("{sign:second$}"));
            let late = format!("{:place$}{sign:<width$}", "", width = second - place);
            for bars in [
                [sole.as_str(), other.as_str(), &empty],
                [sole.as_str(), late.as_str(), &empty],
                [&empty, sole.as_str(), other.as_str()],
                [sole.as_str(), &" ".repeat(second), &empty],
                [&" ".repeat(first), other.as_str(), &empty],
            ] {
                let text = with_bars(label, bars);
                assert!(found_in(&text) > 0, "{label} {bars:?}");
                assert_eq!(mended(&text), None, "{label} {bars:?}");
            }
        }
    }
}

#[test]
fn both_readings_of_a_bar_line_beside_signs_are_offered() {
    let empty = " ".repeat(16);
    for (wrong, line, bar) in [
        (
            ["G                 ", "D   G         "],
            ["G               ", "  D   G         "],
            ["G               ", "D   G           "],
        ),
        (
            ["G             ", "  D   G           "],
            ["G               ", "D   G           "],
            ["G               ", "  D   G         "],
        ),
    ] {
        let lesson = |[first, second]: [&str; 2]| with_bars("chord", [first, second, &empty]);
        let text = lesson(wrong);
        let findings = fretleaf::check("x.md", text.as_bytes(), &MemoryWorld::default()).findings;
        let adrift = findings.iter().find(|finding| finding.rule.name == "bar-adrift").unwrap();
        let offered: Vec<String> = adrift.fixes.iter().map(|fix| with_fix(&text, fix)).collect();
        assert_eq!(offered, [lesson(line), lesson(bar)]);
    }
}

#[test]
fn a_tab_is_as_wide_as_all_bar_lines_tell() {
    let lesson = |rows: &str| in_g_major(&format!("~~~ riff\n{rows}\n~~~"));
    let told = "count   1   2   3   4   |\nG\t0---2---0---2---|";
    let mended_text = mended(&lesson(told)).map(|mended| mended.text);
    assert_eq!(mended_text, Some(lesson(&told.replace('\t', "       "))));
    for open in [
        "count   1   2   3   4   |\nG\t  0---2---0---2---|\nB\t0---2---0---2---|",
        "count   1   2   3   4   |\nG\t0---2---0---2---|\nsung\tla  lo        lo  |",
        // A tab slipped into the notes.
        "count   1   &   2   &   3   &   4   &   |\nG\t----2---0---2---\t0---2---0---2---|",
        "count   1   &   2   &   3   &   4   &   |\nG\t0---2---0---2---\t0---2---0---2---|",
    ] {
        assert_eq!(mended(&lesson(open)), None, "{open}");
    }
}

#[test]
fn notes_are_moved_with_their_fingers_and_strokes() {
    let lesson = |rows: &str| format!("---\ntitle: One\n---\n\n~~~ riff\n{rows}\n~~~\n");
    let wrong = "\
count  1     &     2     &     |1     &     2     &     |
B      5-----7------8----9-----|5-----7-----8-----------|
G      ------------------------|-----------------5------|
left   1     3      4    4     |1     3     4    4      |
right  i     m      i    m     |i     m     i    m      |
pick   d     u      d    u     |d     u     d    u      |
accent              >          |                 >      |";
    let right = "\
count  1     &     2     &     |1     &     2     &     |
B      5-----7-----8-----9-----|5-----7-----8-----------|
G      ------------------------|------------------5-----|
left   1     3     4     4     |1     3     4     4     |
right  i     m     i     m     |i     m     i     m     |
pick   d     u     d     u     |d     u     d     u     |
accent             >           |                  >     |";
    for ends in ["\n", "\r\n"] {
        let (wrong, right) = (lesson(wrong).replace('\n', ends), lesson(right).replace('\n', ends));
        assert_music_stays(&wrong);
        assert_eq!(mended(&wrong).unwrap().text, right);
    }
}

#[test]
fn a_note_between_two_counts_is_the_authors() {
    let lesson = |row: &str| {
        format!("---\ntitle: One\n---\n\n~~~ riff\ncount 1 & 2 & |\nB     {row}|\n~~~\n")
    };
    for row in ["5-78----", "5--7----", "57--8---"] {
        let text = lesson(row);
        assert_eq!(mended(&text), None, "{row}");
    }
}
