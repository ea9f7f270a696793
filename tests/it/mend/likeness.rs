//! Words that are like others: keys, labels, names.

use super::*;

#[test]
fn no_sentence_is_mended_unasked() {
    for sentence in [
        "G major = G A B C D E Gb",
        "D7 = D Gb A C",
        "Gb in D7",
        // `Bbm9` was meant, and `F#`.
        "Db in Bm9",
        "F# A# C# is Gb",
        "D is V7",
        "A is V",
        "Am is iv",
        "Em7 is ii7",
        "G Em C A is I vi IV V",
        "C/E is VI",
        "C to E is a minor third",
        "F to A is a major third down",
        "E to C is a major third",
        "D is the third of G",
        "B D G = G",
        "G = B D G",
        "C = C E Fb G",
    ] {
        let text = in_g_major(&format!("`{sentence}`."));
        assert!(found_in(&text) > 0, "{sentence}");
        assert_eq!(mended(&text), None, "{sentence}");
    }
}

#[test]
fn a_key_in_doubt_rewrites_no_numeral() {
    for header in ["key: G major\nkeyy: A minor", "keyy: A minor\nkey: G major"] {
        let lesson = format!("---\ntitle: One\n{header}\n---\n\nThe `G is i`, `Am is i`.\n");
        assert_eq!(mended(&lesson), None, "{header}");
    }
}

#[test]
fn a_key_is_mended_into_one_that_is_not_given_and_at_one_letter() {
    for (lines, right) in [
        ("tempoo: 80\ntempo: 120", None),
        ("tempo: 120\ntempoo: 80", None),
        ("note: 3", None),
        ("state: 3", None),
        ("weights: none", None),
        ("tempoo: 80", Some("tempo: 80")),
        ("tmepo: 80", Some("tempo: 80")),
        // No tempo, and a key two letters off.
        ("tempoo: quick", None),
        ("tunnin: E A D G B E", None),
    ] {
        let lesson = |lines: &str| format!("---\ntitle: One\n{lines}\n---\n");
        let text = mended(&lesson(lines)).map(|mended| mended.text);
        assert_eq!(text, right.map(lesson), "{lines}");
        let now = |lines: &str| in_g_major(&format!("~~~ now\n{lines}\n~~~"));
        let is_now = right.is_some() || lines.contains("tempo: 120");
        let text = mended(&now(lines)).map(|mended| mended.text);
        assert_eq!(text, right.filter(|_| is_now).map(now), "now: {lines}");
    }
    let fence = in_g_major("~~~ changes, tempo 80, tmepo 90\n| G |\n~~~");
    assert_eq!(mended(&fence), None);
}

#[test]
fn a_key_of_the_authors_own_stays_the_authors() {
    for lines in [
        "band: small",
        "Kay: D",
        "Capos: 3",
        "capa: 3",
        "pack: 120",
        "keys: D",
        "subtitles: English and German",
        "subtittle: English and German",
        "compose: four bars of your own",
        "lights: dim in bar 3",
        "second guitar:\n  tunning: D A D G B D",
        "slow version:\n\ttemppo: 60",
        "remark: |\n  capoo: 2",
        "second guitar:\ncappo: 5",
        "student: Jo, who has\ncappo: 2",
        "second guitar: {\n  cappo: 5\n}",
        "<!--\ncappo: 5\n-->",
        "- second guitar\ncappo: 5",
        "tempoo: 80\ncappo: 2",
    ] {
        let lesson = format!("---\ntitle: One\n{lines}\n---\n");
        assert_eq!(mended(&lesson), None, "{lines}");
        let now = in_g_major(&format!("~~~ now\n{lines}\n~~~"));
        assert_eq!(mended(&now), None, "now: {lines}");
    }
    let unended = "---\ntitle: One\n\nKay: A\n\nCapos: 3\n\n---\n\nThat is all.\n";
    assert_eq!(mended(unended), None);
}

#[test]
fn a_letter_that_slipped_behind_the_colon_is_no_part_of_the_value() {
    for (line, meant) in [
        ("tunin:g G C E A", "tuning: G C E A"),
        ("tunin:g D A D G B E", "tuning: D A D G B E"),
        ("tunin: gEADGBE", "tuning: EADGBE"),
        ("titl:e Low", "title: Low"),
    ] {
        let lesson = |line: &str| format!("---\nteacher: Ada Birk\n{line}\n---\n");
        let text = lesson(line);
        assert_eq!(mended(&text), None, "{line}");
        let findings =
            fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default()).findings;
        let unknown = findings.iter().find(|found| found.rule.name == "header-key").unwrap();
        let first = &unknown.fixes[0];
        let mut text = text;
        text.replace_range(first.span.start..first.span.end, &first.replace);
        assert_eq!(text, lesson(meant));
    }
}

#[test]
fn of_two_keys_that_may_be_the_same_none_is_mended() {
    for lines in [
        "kee: A major\nkye: D major",
        "kee: A major\nkee: D major",
        "keyy: A minor\nkay: C major\ncapo: 2",
        "tunning: drop D\ntunig: D A D G A D",
        // `capo0` isn't `capo` alone, but may be.
        "capp: 2\ncapo0: 3",
    ] {
        let lesson = format!("---\ntitle: One\n{lines}\n---\n");
        assert_eq!(mended(&lesson), None, "{lines}");
        let now = in_g_major(&format!("~~~ now\n{lines}\n~~~"));
        assert_eq!(mended(&now), None, "now: {lines}");
    }
    // A comment is no key.
    let lesson = |key: &str| format!("---\ntitle: One\n# kee: A major\n{key}: D major\n---\n");
    assert_eq!(mended(&lesson("kye")).map(|mended| mended.text), Some(lesson("key")));
}

#[test]
fn a_rows_label_is_mended_where_the_row_tells_what_it_is() {
    let lesson = |top: &str, row: &str| {
        in_g_major(&format!("~~~ riff\n{top}\nG       0---2---0---2---|\n{row}\n~~~"))
    };
    let count = "count   1   2   3   4   |";
    for row in [
        "kick    d   d   d   d   |",
        "tick    d   d   d   d   |",
        "lick    d   u   d   u   |",
        "bone    1   3   1   3   |",
        "zone    1   3   1   3   |",
        "lords   soft            |",
        "wards   soft            |",
        "sun     la  lo          |",
        "sunk    la  lo          |",
        "let     1   2   1   2   |",
        "light   i   m   i   m   |",
        "king    ------------    |",
        "mate    ------------    |",
        // Notes as well as chords, and words.
        "chort   A   D           |",
        "chort   soft            |",
        "chort                   |",
    ] {
        let text = lesson(count, row);
        assert!(found_in(&text) > 0, "{row}");
        assert_eq!(mended(&text), None, "{row}");
    }
    for (wrong, right) in [
        (
            lesson("cuont   1   2   3   4   |", "left    1   2   3   4   |"),
            lesson(count, "left    1   2   3   4   |"),
        ),
        (lesson(count, "chrod   G   D7          |"), lesson(count, "chord   G   D7          |")),
    ] {
        assert_eq!(mended(&wrong).map(|mended| mended.text), Some(right));
    }
    for row in ["cuont   la  lo  la  lo  |", "mount   soft            |"] {
        assert_eq!(mended(&lesson(row, "left    1   2   3   4   |")), None, "{row}");
    }
}

#[test]
fn no_name_of_a_block_is_mended_by_likeness() {
    let lesson = |name: &str, said: &str| {
        format!("---\ntitle: One\n---\n\n~~~ changes {name}\n| G |\n~~~\n\nSee `the {said}`.\n")
    };
    for (name, said) in [
        ("verse", "vers"),
        ("verse", "vase"),
        ("intro", "outro"),
        ("part-a", "part-b"),
        ("lick", "link"),
    ] {
        assert_eq!(mended(&lesson(name, said)), None, "{said} for {name}");
    }
}

#[test]
fn words_that_cannot_be_read_behind_a_figures_name_are_told() {
    let riff = "~~~ riff fig\ncount 1   2   |\nB     1---3---|\n~~~\n";
    let text = in_g_major(&format!("{riff}\n~~~ say\n[play fig twise]\nListen.\n~~~"));
    let findings = fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default()).findings;
    let finding = findings.iter().find(|finding| finding.weight == Weight::Fault).unwrap();
    assert_eq!(finding.message, "`twise` can't be read behind a figure's name");
    assert!(finding.notes[0].contains("`twice`"), "{:?}", finding.notes);
    assert_eq!(text.get(finding.span.start..finding.span.end), Some("twise"));
}
