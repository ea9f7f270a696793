//! Bar lines, systems, and what stands beside them.

use super::super::testing::{Reading, events, fixed, located};
use super::{check, line, only};

#[test]
fn bar_lines_repeat_and_double() {
    let text = "\
~~~ riff
count  |:1   4  :|x3 1 4||1 4   :|
B      |---------|------||-------|
G      |-5------:|---5--|-5------|
";
    let riff = Reading::of(text).clean();
    let shape: Vec<_> =
        riff.bars.iter().map(|bar| (bar.repeat_start, bar.repeat_end, bar.double_end)).collect();
    assert_eq!(shape, [(true, Some(3), false), (false, None, true), (false, Some(2), false)]);
    check("~~~ riff\ncount |:1 4 :|x3\nB     --5---\nG     |-5---\n", &[]);
    check("~~~ riff\ncount 1 4:|x1\nG     5---|\n", &["block-syntax 2:12 x1"]);
}

#[test]
fn bar_lines_stand_under_each_other() {
    let text = "\
~~~ riff
count  1   4  |1   4  |1   4  |
B      5------|7------|5------|
G      5------|-7----|-5------|
";
    let found = Reading::of(text).found();
    assert_eq!(found, ["column-adrift 4:17 7", "bar-adrift 4:22 |"]);
    let text = text.replace("-7----|-5", "7-----|-5");
    let (_, findings) = Reading::of(&text).read();
    assert_eq!(located(&text, &findings[0]), "bar-adrift 4:22 |");
    assert_eq!(findings.len(), 1);
    check(&fixed(&text, &findings[0], 0), &[]);
    check("~~~ riff\ncount  1 4|1 4|1 4\nG      5--|-------\n", &["bar-adrift 3:15 -"]);
}

#[test]
fn the_first_and_the_last_bar_line_may_be_left_out() {
    for text in [
        "~~~ riff\ncount |1 4|1 4|\nB     |---|---|\nG     |5--|5--|\n",
        "~~~ riff\ncount  1 4|1 4\nG      5--|5--\n",
        "~~~ riff\ncount  1 4|1 4\nB     |---|---|\nG     |5--|5--|\n",
        "~~~ riff\ncount  1 4|1 4\nB      ---|---\nG     |5--|5--|\n",
        "~~~ riff\ncount|1 4|1 4\nG    |5--|5--\n",
        "~~~ riff\ncount  1 4|1 4\nG      5---5--\n",
    ] {
        let riff = Reading::of(text).clean();
        assert_eq!(events(&riff), ["1 0+3840 3:5", "2 0+3840 3:5"], "{text}");
    }
}

#[test]
fn rows_that_are_none_are_told() {
    check("~~~ riff\ncuont 1 4\nG     5--\n", &["row-label 2:1 cuont"]);
    check("~~~ riff\ncount 1 4\ncount 1 4\nG     5--\n", &["block-syntax 3:1 count"]);
    check("~~~ riff\ncount 1 4\nG---5--\nB     5\n", &["row-label 3:1 G---5--"]);
    check("~~~ riff\ncount 1 4\n | 4\nB     5\n", &["block-syntax 3:2 |"]);
    check("~~~ riff\n", &["block-syntax 1:1 ~~~ riff"]);
    check("~~~ riff\ncount 1\t4\nG     5--\n", &["tab-character 2:8 \t"]);
}

#[test]
fn unknown_rows_are_told_with_the_rows_that_there_are() {
    let text = "~~~ riff\ncount 1   2   3   4\ne     ------------5\nH     5---7--------\n";
    let (_, findings) = Reading::of(text).read();
    assert_eq!(findings.len(), 1, "{findings:#?}");
    assert_eq!(located(text, &findings[0]), "row-label 4:1 H");
    assert_eq!(findings[0].message, "a riff has no row `H`");
    assert_eq!(findings[0].notes[0], "did you mean `B`?");
    let rows = &findings[0].notes[1];
    assert!(
        rows.starts_with("its rows are the strings E4 B3 G3 D3 A2 E2, and `count`, "),
        "{rows}"
    );
    check(&fixed(text, &findings[0], 0), &[]);
    for (row, near) in [("cuont  1", &["count"][..]), ("lefft  1", &["left"]), ("blub   1", &[])] {
        let text = format!("{}{row}\n", line("1   2   3   4", "5-------7"));
        let (_, findings) = Reading::of(&text).read();
        let fixes: Vec<&str> = findings[0].fixes.iter().map(|fix| fix.replace.trim_end()).collect();
        assert_eq!((findings[0].rule.name, fixes.as_slice()), ("row-label", near), "{row}");
    }
    let shorter = format!("{}lefft  1\n", line("1   2   3   4", "5-------7"));
    let (_, findings) = Reading::of(&shorter).read();
    assert_eq!(fixed(&shorter, &findings[0], 0), shorter.replace("lefft", "left "));
}

#[test]
fn an_effects_row_is_no_string() {
    let text = "~~~ riff\ncount 1   2\nfx    5---\nB     7---\ne     5---\n";
    assert_eq!(Reading::of(text).found().first().map(String::as_str), Some("row-label 3:1 fx"));
    let text = "~~~ riff\ncount 1   2\nfx    5---\ne     5---\nB     7---\n";
    assert_eq!(Reading::of(text).found(), ["row-label 3:1 fx"]);
}

#[test]
fn a_first_bar_that_begins_late_may_be_a_pickup() {
    use crate::findings::Weight;
    let two = "  |1   2   3   4 |1   2   3   4 ";
    for (first, rest, over, weight) in [
        ("            4 ", two, "", Some(Weight::Hint)),
        ("            4 ", two, "A|D", Some(Weight::Doubt)),
        ("            4 ", two, "A|D|E", Some(Weight::Hint)),
        ("            4 ", "  |1   2   3   4 |1   2   3", "", Some(Weight::Doubt)),
        ("    2   3   4 ", "  |1", "", Some(Weight::Doubt)),
        ("        3   4 ", "  |1   2   3   4", "", Some(Weight::Hint)),
        ("(1)         4 ", two, "A|D", None),
        ("1           4 ", two, "", None),
        ("            4 ", "", "", None),
    ] {
        let head = if over.is_empty() { "" } else { " over verse" };
        let counts = format!("{first}{rest}");
        let string: String = counts.chars().map(|c| if c == '|' { '|' } else { '-' }).collect();
        let text = format!("~~~ riff{head}\ncount  {counts}\nG      {string}\n");
        let mut reading = Reading::of(&text);
        if !over.is_empty() {
            reading = reading.over("verse", over);
        }
        let (_, findings) = reading.read();
        let found: Vec<Weight> = findings
            .iter()
            .inspect(|found| assert_eq!(found.rule.name, "no-pickup", "{text}{findings:#?}"))
            .map(|found| found.weight)
            .collect();
        assert_eq!(found, weight.into_iter().collect::<Vec<_>>(), "{text}");
    }
}

#[test]
fn a_pickup_is_called_so_or_begun_with_a_rest() {
    let text =
        "~~~ riff\ncount              4 |1   2   3   4\nG      ------------5-|7-----------\n";
    let (_, findings) = Reading::of(text).read();
    assert_eq!(findings[0].message, "bar 1 begins at beat 4 and isn't called a pickup");
    let called = fixed(text, &findings[0], 0);
    assert!(called.starts_with("~~~ riff, pickup\n"), "{called}");
    assert!(Reading::of(&called).clean().pickup);
    let rested = fixed(text, &findings[0], 1);
    assert!(rested.contains("count  (1)         4 |"), "{rested}");
    assert!(!Reading::of(&rested).clean().pickup);
    let narrow = "~~~ riff\ncount  4 |1   2   3   4\nG      5-|7-----------\n";
    assert_eq!(Reading::of(narrow).read().1[0].fixes.len(), 1);
    // The last bar of a pickup may lack its beats without a word.
    let completed =
        "~~~ riff pickup\ncount  4 |1   2   3   4   |1   2   3\nG      5-|7---------------|5--\n";
    Reading::of(completed).clean();
}

#[test]
fn tabs_are_taken_for_the_width_that_lines_the_bars_up() {
    let text = "~~~ riff\ncount\t1   4   |1   4\nB       5---7---|5---7\nG\t--------|-----\n";
    let (_, findings) = Reading::of(text).read();
    let places: Vec<String> = findings.iter().map(|finding| located(text, finding)).collect();
    assert_eq!(places, ["tab-character 2:6 \t", "tab-character 4:2 \t"]);
    let fixed_once = fixed(text, &findings[1], 0);
    check(&fixed(&fixed_once, &findings[0], 0), &[]);
}

#[test]
fn a_row_that_slips_is_told_once_and_read_on() {
    for (slipped, place, whole) in [
        (
            "5------|7-------|5------|3------",
            "bar-adrift 4:24 |",
            "5------|7------|5------|3------",
        ),
        ("5------|7-----|5------|3------", "bar-adrift 4:22 |", "5------|7------|5------|3------"),
        ("5------|7------|5-------|3---5", "bar-adrift 4:32 |", "5------|7------|5------|3---5"),
        ("5------|7------|5-----|3---5--", "bar-adrift 4:30 |", "5------|7------|5------|3---5--"),
    ] {
        let text = |row: &str| {
            let count = "1   4  |1   4  |1   4  |1   4";
            let other = "-------|-------|-------|-------";
            format!("~~~ riff\ncount  {count}\nB      {other}\nG      {row}\n")
        };
        let text_slipped = text(slipped);
        let (riff, findings) = Reading::of(&text_slipped).read();
        let places: Vec<String> =
            findings.iter().map(|finding| located(&text_slipped, finding)).collect();
        assert_eq!(places, [place]);
        assert_eq!(fixed(&text_slipped, &findings[0], 0), text(whole));
        assert_eq!(events(&riff.unwrap()), events(&Reading::of(&text(whole)).clean()));
    }
}

#[test]
fn string_rows_find_their_strings() {
    check("~~~ riff\ncount 1 4\nC     5--\nB     ---\n", &["row-label 3:1 C"]);
    check("~~~ riff\ncount 1 4\nB     5--\nG     ---\nB     ---\nG     --2\n", &[]);
    check(
        "~~~ riff\ncount 1 4\nE     5--\nA     ---\nD     3--\nG     --\n",
        &["upside-down 3:1 E"],
    );
    let text = "~~~ riff\ncount 1 4\nD     5--\nA     ---\n";
    let open = Reading::of(text).tuning("D2 A2 D3 G3 A3 D4");
    assert_eq!(open.found(), ["row-label 3:1 D", "row-label 4:1 A"]);
    let (_, findings) = open.read();
    assert_eq!(fixed(text, &findings[0], 0), text.replace("D ", "D4"));
    let riff = Reading::of("~~~ riff\ncount 1 4\nCb    5--\n").clean();
    assert_eq!(only(&riff).string.index(), 4);
}

#[test]
fn a_last_bar_line_slips_by_a_filler_too_many_or_too_few() {
    for (row, fixed_row) in [
        ("0-------|5--------|", "0-------|5-------|"),
        ("0-------|5------|", "0-------|5-------|"),
        ("0--------|5-------|", "0-------|5-------|"),
        ("0------|5-------|", "0-------|5-------|"),
        ("0-------|5----------|", "0-------|5-------|"),
    ] {
        let text = |row: &str| format!("~~~ riff\ncount  1   4   |1   4   |\nG      {row}\n");
        let slipped = text(row);
        let (riff, findings) = Reading::of(&slipped).read();
        let names: Vec<&str> = findings.iter().map(|finding| finding.rule.name).collect();
        assert_eq!(names, ["bar-adrift"], "{row}");
        assert_eq!(fixed(&slipped, &findings[0], 0), text(fixed_row), "{row}");
        assert_eq!(riff.unwrap().bars.len(), 2, "{row}");
    }
}

#[test]
fn rows_for_one_string_clash_where_both_have_a_note() {
    let rows = |first: &str, second: &str, third: &str| {
        format!("~~~ riff\ncount  1   2   3   4\n{first}\n{second}\n{third}\n")
    };
    for (text, found) in [
        (rows("e      0---2---3---5", "E4     3-----------7", ""), vec!["4:8 3", "4:20 7"]),
        (
            rows("e      0---2---3---5", "e      3-------0----", "B      1------------"),
            vec!["4:8 3", "4:16 0"],
        ),
        (
            rows("B3     0---2--------", "G      1-------0----", "B3     5---3--------"),
            vec!["5:8 5", "5:12 3"],
        ),
        (rows("e      0---2---3---5", "e      3-------0----", ""), vec![]),
        (rows("e      0-------3----", "E4     ----2-------5", ""), vec![]),
    ] {
        let found: Vec<String> =
            found.into_iter().map(|place| format!("same-string {place}")).collect();
        assert_eq!(Reading::of(&text).found(), found, "{text}");
    }
    let text = rows("e      0---2---3---5", "E4     3-----------7", "");
    let (riff, findings) = Reading::of(&text).read();
    let labels: Vec<&str> =
        findings[1].labels.iter().map(|label| &text[label.span.start..label.span.end]).collect();
    assert_eq!(labels, ["5"]);
    assert_eq!(
        findings[1].message,
        "bar 1, beat 4, first string: two notes on one string at the same time"
    );
    assert_eq!(events(&riff.unwrap()).len(), 4);
}

#[test]
fn systems_have_rows_of_their_own() {
    let text = "\
~~~ riff
count  1   4  |
G      5------|

count  |1   4
E      |3----
D      |----5
";
    let riff = Reading::of(text).clean();
    assert_eq!(events(&riff), ["1 0+3840 3:5", "2 0+2880 1:3", "2 2880+960 4:5"]);
    check(
        "~~~ riff\ncount  1   4\nG      5---\n\nG      5---\n",
        &["block-syntax 5:1 G", "column-adrift 5:8 5"],
    );
}
