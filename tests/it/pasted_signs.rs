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

#[test]
fn typed_counts_tell_the_meter_that_nobody_said() {
    let tab = |counts: &str, bars: &str| lesson(&format!("{counts}\n{}", rows("eBGDAE", bars)));
    let three = tab("   1   2   3     1   2   3", "|-0---1---3---|-1---0-------|");
    has(&three, &["# guessed: the meter, from the counts `1   2   3     1   2   3`\nmeter: 3/4\n"]);
    has(&three, &["count   1 2 3 |1 2 3 |\n"]);
    for (counts, bars, meter) in [
        ("  1 2 3 4 5  1 2 3 4 5", "|0-1-3-0-1-|1-0-1-0-1-|", Some("5/4")),
        ("  1 2 3 4 5 6  1 2 3 4 5 6", "|0-1-3-0-1-0-|1-0-1-0-1-0-|", Some("6/8")),
        ("  1 & 2 & 3 &  1 & 2 & 3 &", "|0-1-3-0-1-0-|1-0-1-0-1-0-|", Some("3/4")),
        ("  1 2 3 4  1 2 3 4", "|0-1-3-0-|1-0-1-0-|", None),
        // The last beat is left out.
        ("  1 2 3    1 2 3", "|0-1-3---|1-0-1---|", None),
        ("  1 2 3 4  1 2 3", "|0-1-3-0-|1-0-1-|", None),
        ("  1 2 3", "|0-1-3-|", None),
    ] {
        let found = tab(counts, bars);
        let said = found.lines().find_map(|line| line.strip_prefix("meter: "));
        assert_eq!(said, meter, "{counts}: {found}");
    }
    has_not(
        &lesson(&format!("4/4\n\n  1 2 3  1 2 3\n{}", rows("eBGDAE", "|0-1-3-|1-0-1-|"))),
        &["meter"],
    );
}

#[test]
fn the_meter_may_stand_beside_other_things() {
    for (line, parts) in [
        ("3/4, capo 2", &["capo: 2\n", "meter: 3/4\n"][..]),
        ("Waltz time (3/4), about 100 to the quarter.", &["tempo: 100\n", "meter: 3/4\n"]),
        ("Waltz (3/4). Capo 5.", &["capo: 5\n", "meter: 3/4\n"]),
        ("Open G: D G D G B D (low -> high). Capo 5. Waltz time (3/4), slow.", &["meter: 3/4\n"]),
    ] {
        let text = format!("A tune\n\n{line}\n\n{}", rows("eBGDAE", "|-0---1---3---|"));
        has(&paste::lesson("A tab", &text).text, parts);
    }
    for line in ["in bar 5, 3/4, then on", "it went 3/4, fast", "1/2, 3/4, full"] {
        let text = format!("A tune\n\n{line}\n\n{}", rows("eBGDAE", "|-0---1---3---|"));
        has_not(&paste::lesson("A tab", &text).text, &["meter: "]);
    }
}

#[test]
fn letters_by_habit_may_follow_letters_of_the_tuning() {
    let (usual, low) =
        (rows("eBGDAE", "|-0---2---|"), "|-0---2---|\nBb|---------|\nGb|---------|\n");
    let low = format!("eb{low}Db|---------|\nAb|---------|\nEb|---------|\n");
    let both = lesson(&format!("Tune down 1/2 step: Eb Ab Db Gb Bb eb\n\n{low}\nOUTRO\n\n{usual}"));
    has(&both, &["# guessed: the rows lettered e B G D A E are the strings eb Bb Gb Db Ab Eb"]);
    has_not(&both, &["riff tuning"]);
    // A tuning that is not the usual one moved as a whole may be left for the usual one.
    let drop = format!("Tuning: DADGBE\n\n{}\nOUTRO\n\n{usual}", rows("eBGDAD", "|-0---2---|"));
    has(&lesson(&drop), &["riff tuning E A D G B E"]);
}

#[test]
fn tuplets_above_lettered_rows_are_no_string() {
    let above = "     |-3-|     |-3-|         let ring";
    let bars = "|---8-10-8----8-10-8--|-12---------|";
    let tab = lesson(&format!("{above}\n{}", rows("eBGDAE", bars)));
    has(
        &tab,
        &["above bar 1, after beat 1: |-3-|\n", "above bar 1, after beat 3: |-3-|\n", "\nring "],
    );
    has_not(&tab, &["not read", "order of the rows"]);
    // Signs of another kind may stand between.
    let above = "     |-3-|     |-3-|     *";
    let tab = lesson(&format!("{above}\n     e e e     e e e\n{}", rows("eBGDAE", bars)));
    has(&tab, &["above bar 1, after beat 1: |-3-|\n", "above bar 2, beat 1: *\n"]);
    has_not(&tab, &["not read", "order of the rows"]);
    let bare = rows("eBGDA", bars);
    has(&lesson(&format!("|---8-10-8----8-10-8--|-12---------|\n{bare}")), &["order of the rows"]);
}

#[test]
fn a_bracket_that_the_legend_calls_a_tie_is_one() {
    let tab = |legend: &str, first: &str, second: &str| {
        let blank: String = first.chars().map(|c| if c == '|' { c } else { '-' }).collect();
        lesson(&format!("{legend}\n\nG{first}\nD{second}\nA{blank}\nE{blank}\n"))
    };
    let notes = "|-5---5---5---5---|-(5)-----3-------|";
    let none = "|-----------------|-----------------|";
    let tied = tab("(5) = tied over from previous bar", notes, none);
    let told = "(5) is tied over, as the text says `(5) = tied over from previous bar` (bar 2, ";
    has(&tied, &["\nG       5-5-5-5-|----3---|\n", told]);
    for legend in ["", "(5) = ghost note", "(2nd time louder)", "(1) play it"] {
        has(&tab(legend, notes, none), &["(5)---3"]);
        has_not(&tab(legend, notes, none), &["text says"]);
    }
    // Another note has come between, or another meaning: no tie can be written.
    for (legend, below) in
        [("(5): tied", "|---------------3-|-----------------|"), ("x = mute   (5) = Gtr 2", none)]
    {
        has(
            &tab(legend, notes, below),
            &["(5)-", "# guessed: (5) is optional, though the text says"],
        );
    }
}

#[test]
fn endings_may_hold_for_several_times() {
    for above in ["             1.-3.     4.", "             1.,2.,3.  4."] {
        let tab = lesson(&format!("{above}\n{}", rows("eBGDAE", "|:-0-1-3-0-|-0-----:|-3-----|")));
        let words = above.trim();
        has(&tab, &[&format!("# guessed: the endings, from where `{words}` stood\n"), ":|x4"]);
        has(&tab, &["# guessed: what is played 4 times, from its endings\n"]);
        let ending = tab.lines().find(|line| line.starts_with("ending")).unwrap();
        has(ending, &["|1.", ":|2."]);
        has_not(&tab, &["```"]);
    }
    let numbers = "  1.   2.   3.   4.";
    let tab = lesson(&format!("{numbers}\n{}", rows("eBGDAE", "|-01-|-03-|-01-|-03-|")));
    has_not(&tab, &["ending"]);
}

#[test]
fn shapes_headed_no_capo_have_none() {
    let shapes = " C   = x32010\n D   = xx0232\n";
    let riff = rows("eBGDAE", "|-0---1---|");
    let tab = |head: &str| lesson(&format!("Capo: 5\n\n{riff}\n{head}\n{shapes}"));
    has(
        &tab("chord shapes (no capo):"),
        &["~~~ shape capo none\n# guessed: no capo, from the words"],
    );
    has(&tab("without capo"), &["~~~ shape capo none\n"]);
    has(&tab("chord shapes:"), &["~~~ shape\n"]);
    let plain = lesson(&format!("{riff}\nchord shapes, no capo:\n{shapes}"));
    has(&plain, &["~~~ shape\n"]);
}

#[test]
fn how_often_may_be_said_in_the_line_above() {
    let plain = rows("eBGDAE", "|-0---1---3---3---|");
    let drawn = rows("eBGDAE", "|:-0---1---3---3---:|");
    for (above, tab, words) in [
        ("Riff A (x4)\n", &plain, Some((4, "x4"))),
        ("[Verse]  -- bass stays low, play 3x", &drawn, Some((3, "play 3x"))),
        ("Play 3 times:", &drawn, Some((3, "Play 3 times"))),
        ("Verse, 4 times\n", &plain, Some((4, "4 times"))),
        ("Verse\n", &plain, None),
        ("the E rings 3 times, then stop", &plain, None),
    ] {
        let made = lesson(&format!("A tune\n\n{above}\n{tab}"));
        let mark =
            |(n, words)| format!("# guessed: what is played {n} times, from the words `{words}`\n");
        match words {
            Some((n, words)) => has(&made, &[&mark((n, words)), &format!(":|x{n}\n")]),
            None => has_not(&made, &[":|"]),
        }
    }
    // Two repeats: which one is meant can't be told.
    let two = rows("eBGDAE", "|:-0---1---:|:-3---3---:|");
    has_not(&lesson(&format!("A tune\n\nVerse, 4 times\n{two}")), &[":|x"]);
}

#[test]
fn a_bend_picked_again_goes_no_further() {
    let tab = lesson(&rows("GDAE", "|-12-12-12b14--b14r12--10---|"));
    has(&tab, &["12b14-(12)b14r12---10", "# guessed: a bend to a pitch reached before"]);
    has_not(&tab, &["b16", "without a bend", "didn't say how far"]);
}

#[test]
fn a_harmonic_of_a_fretted_note_is_one_note() {
    let tab = lesson(&rows("AE", "|----3---5<17>--3---|"));
    has(&tab, &["`5<17>` is a harmonic, of which the fret that is pressed is written (bar 1, "]);
    has_not(&tab, &["-<17>"]);
}

/// A part of two systems, a repeat around both; `between` parts them.
fn part_of_two(above: &str, between: &str) -> String {
    let (first, second) = ("|:-9-7-5-4-|-5-4-2-0-", "-|-0-2-0-2-|-0-----:|");
    lesson(&format!("{above}\n{}\n{between}\n{}", rows("DAGDAD", first), rows("DAGDAD", second)))
}

#[test]
fn chords_beside_a_remark_part_no_repeat() {
    let tab = part_of_two("Part B (twice)", "   D         A   (hold)");
    has(&tab, &["\nchord   D", "above bar 4: (hold)\n", "|0-------:|"]);
    has_not(&tab, &["x2", "|:|", "5-4-2-0-:|"]);
    assert_eq!(tab.matches("~~~ riff").count(), 1, "{tab}");
    // Over words they stand as they stood.
    let song = lesson("A tune\n\n  G      D  (hold)\n  Oh my, oh my\n");
    has(&song, &["```\n  G      D  (hold)\n  Oh my, oh my\n```\n"]);
}

#[test]
fn a_repeat_that_ends_in_the_next_tab_is_told() {
    let begins = "# guessed: the repeat that begins here ends in the next tab";
    let ends = "# guessed: the repeat that ends here begins in the tab before";
    for above in ["Part B", "Part B (3 times)"] {
        let tab = part_of_two(above, "which is where it turns");
        has(&tab, &[begins, ends]);
        has_not(&tab, &["5-4-2-0-:|", ":|x"]);
    }
    has_not(&part_of_two("Part B", "## Coda\n\nCoda"), &[begins, ends]);
}

#[test]
fn endings_on_a_line_that_was_moved_find_their_bars() {
    let bars = "|---------|-0--------3----|-0--------||";
    let endings = "                   |1.            |2.";
    let tab = |below: &str| lesson(&format!("{endings}\n{}{below}\n", rows("GDAE", bars)));
    has(&tab(""), &["\nending ", "2.", "which wasn't drawn"]);
    let closed = tab("                                    :||");
    has(
        &closed,
        &["\nending ", "# guessed: the repeat sign on its own line closes the first ending"],
    );
    has_not(&closed, &["```", "wasn't drawn"]);
    let first = closed.lines().find(|line| line.starts_with("G ")).unwrap();
    assert_eq!(first.matches(":|").count(), 1, "{closed}");
}
