//! What slips, and how it is told.

use super::*;

/// The only doubt, with its fixes taken over one by one.
fn only_doubt(text: &str) -> (String, Vec<String>) {
    let findings = found(text);
    let grave: Vec<&Finding> =
        findings.iter().filter(|found| found.weight > Weight::Hint).collect();
    let [doubt] = grave.as_slice() else { panic!("{:?}", doubts(text)) };
    let mended = |fix: &crate::findings::Fix| {
        let mut mended = text.to_owned();
        mended.replace_range(fix.span.start..fix.span.end, &fix.replace);
        mended
    };
    (doubt.rule.name.to_owned(), doubt.fixes.iter().map(mended).collect())
}

#[test]
fn a_symbol_that_the_notes_contradict_comes_before_any_note() {
    let wrong = ARPEGGIOS.replace("|Em ", "|F  ");
    let (rule, mended) = only_doubt(&lesson("G major", &[&wrong]));
    assert_eq!(rule, "chord-contradicted");
    assert_eq!(mended, [lesson("G major", &[ARPEGGIOS])]);
}

#[test]
fn over_changes_a_contradicted_symbol_is_told_at_the_riff() {
    let rows: Vec<&str> = ARPEGGIOS.lines().skip(1).collect();
    let text = format!(
        "---\ntitle: A small one\nkey: G major\n---\n\n~~~ changes verse\n| G | F | C | D |\n~~~\n\n~~~ riff over verse\n{}\n~~~\n",
        rows.join("\n")
    );
    let doubt =
        found(&text).into_iter().find(|found| found.rule.name == "chord-contradicted").unwrap();
    assert!(doubt.message.contains("bar 2: the notes spell `Em`, not `F`"), "{}", doubt.message);
    assert!(doubt.fixes.is_empty());
    assert!(text[doubt.span.start..].starts_with(|sign: char| sign.is_ascii_digit()));
}

#[test]
fn a_lost_digit_is_put_back() {
    let rows = "\
chord   Em                  |Am                  |
count   1    2    3    4    |1    2    3    4    |
e       12---10---12---15---|12---15---17---12---|
B       ----------------15--|--------------------|";
    let rows = rows.replace(
        "----------------15--|--------------------|",
        "--------------------|--------------------|",
    );
    assert_silent("E minor", &rows);
    let slipped = rows.replace("12---10---12---15---|", "12---10---1----15---|");
    let text = lesson("E minor", &[&slipped]);
    let doubt = found(&text).into_iter().find(|found| found.rule.name == "wrong-note").unwrap();
    let says: Vec<&str> = doubt.fixes.iter().map(|fix| fix.says.as_str()).collect();
    assert!(says.iter().any(|says| says.contains("fret 12")), "{says:?}");
    assert!(says.len() <= 3);
}

#[test]
fn of_two_copies_both_repairs_are_offered() {
    let two = "\
chord   Em              |Em              |Am              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
G       ------0---2-0---|------0---2-0---|------2---2-----|
D       --2-2---2-----2-|--2-2---3-----2-|--2-2---2---2---|
E       0---------------|0---------------|----------------|";
    let (rule, mended) = only_doubt(&lesson("E minor", &[two]));
    assert_eq!(rule, "odd-bar-out");
    let like_first = two.replace("--2-2---3", "--2-2---2");
    let like_second = two
        .replace("|--2-2---2-----2-|--2", "|--2-2---3-----2-|--2")
        .replace("D       --2-2---2-", "D       --2-2---3-");
    assert_eq!(mended, [like_first, like_second].map(|rows| lesson("E minor", &[&rows])));
}

#[test]
fn a_note_too_many_or_too_few_is_a_hint_of_two_copies_and_a_doubt_of_three() {
    let bar = "------0---2-0---|";
    let rows = |copies: usize| {
        let bars = |bar: &str| bar.repeat(copies);
        format!(
            "chord   {}Am              |\ncount   {}1 & 2 & 3 & 4 & |\nG       {}------2---2-----|\nD       {}--2-2---2---2---|",
            bars("Em              |"),
            bars("1 & 2 & 3 & 4 & |"),
            bars(bar),
            bars("--2-2---2-----2-|"),
        )
    };
    for (copies, weight) in [(2, Weight::Hint), (3, Weight::Doubt)] {
        for (from, to, says) in [
            ("--2-2---2-----2-|", "--2-----2-----2-|", "lacks"),
            ("--2-2---2-----2-|", "2-2-2---2-----2-|", "more"),
        ] {
            let text = lesson("E minor", &[&rows(copies).replacen(from, to, 1)]);
            let odd: Vec<Finding> =
                found(&text).into_iter().filter(|found| found.rule.name == "odd-bar-out").collect();
            let odd = odd.iter().find(|odd| odd.message.contains(says)).unwrap();
            assert_eq!(odd.weight, weight, "{copies} copies: {}", odd.message);
            let fix = odd.fixes.first().unwrap();
            let mut mended = text.clone();
            mended.replace_range(fix.span.start..fix.span.end, &fix.replace);
            assert_eq!(mended, lesson("E minor", &[&rows(copies)]), "{}", odd.message);
        }
    }
}

#[test]
fn a_lost_count_comes_back_with_its_columns() {
    let slipped: String = REPEATED
        .lines()
        .map(|row| {
            let mut row: Vec<char> = row.chars().collect();
            row.drain(31..33);
            row.into_iter().collect::<String>() + "\n"
        })
        .collect();
    let text = lesson("E minor", &[slipped.trim_end()]);
    let odd = found(&text).into_iter().find(|found| found.rule.name == "odd-bar-out").unwrap();
    let fix = odd.fixes.first().unwrap();
    let mut mended = text.clone();
    mended.replace_range(fix.span.start..fix.span.end, &fix.replace);
    assert_eq!(mended, lesson("E minor", &[REPEATED]));
}

#[test]
fn an_octave_is_told_against_a_repetition_or_a_leap_out_and_back() {
    let up = |rows: &str, bar: &str, high: &str| rows.replacen(bar, high, 1);
    let repeated = "\
chord   C                       |C                       |F                       |
count   1     2     3     4     |1     2     3     4     |1     2     3     4     |
B       1-----3-----5-----3-----|1-----3-----5-----3-----|6-----5-----3-----1-----|";
    assert_silent("C major", repeated);
    let slipped = up(repeated, "|1-----3-----5-----3-----|6", "|13----15----17----15----|6");
    assert_mends("octave-slip", "C major", &slipped, repeated);
    // A line that climbs by itself is music.
    assert_silent(
        "C major",
        "\
chord   C                       |C                       |F                       |
count   1     2     3     4     |1     2     3     4     |1     2     3     4     |
B       1-----3-----5-----8-----|13----12----13----15----|10----8-----6-----5-----|",
    );
}

#[test]
fn rows_that_are_left_out_are_turned_over_as_they_stand() {
    let sound = "\
chord   Am              |Dm              |E7              |Am              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       ------0---0-----|------1---1-----|------0---0-----|------0---0-----|
B       ----1---1---1---|----3---3---3---|----0---0---0---|----1---1---1---|
G       --2-----------2-|--2-----------2-|--1-----------1-|--2-----------2-|
A       0---------------|5---------------|7---------------|0---------------|";
    assert_silent("A minor", sound);
    let rows: Vec<&str> = sound.lines().collect();
    let (head, strings) = rows.split_at(2);
    let turned = strings.iter().rev().zip(["e", "B", "G", "A"]);
    let turned = turned.map(|(row, label)| format!("{label}{}", &row[1..]));
    let text =
        head.iter().map(|row| (*row).to_owned()).chain(turned).collect::<Vec<_>>().join("\n");
    assert_mends("upside-down", "A minor", &text, sound);
}

#[test]
fn what_only_a_leap_saves_is_a_stranger_and_many_are_one_hint() {
    let one = "\
chord   C               |G               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       0-----------0---|----------------|
B       --5-8-9-5-3---3-|0---0-3---------|";
    let text = lesson("C major", &[one]);
    assert_eq!(rules(&text), ["stranger"]);
    assert_eq!(doubts(&text), Vec::<String>::new());
}
