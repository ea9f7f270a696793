//! Bars that are others at other moments, and patterns within a bar.

use super::{assert_mends, assert_silent, doubts, found, lesson};
use crate::findings::Weight;

const EIGHTHS: &str = "count 1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |";

#[test]
fn a_bar_that_others_have_a_count_earlier_is_late() {
    let rows = |third: [&str; 2]| {
        let ([high, low], [third_high, third_low]) =
            (["0-3-2-0-3-------", "--------------2-"], third);
        format!(
            "{EIGHTHS}\nB     {high}|{high}|{third_high}|1-3-1-0---------|\nG     {low}|{low}|{third_low}|0---------------|"
        )
    };
    let sound = rows(["0-3-2-0-3-------", "--------------2-"]);
    assert_mends("odd-bar-out", "G major", &rows(["--0-3-2-0-3-----", "----------------"]), &sound);
    assert_mends("odd-bar-out", "G major", &rows(["3-2-0-3---------", "------------2---"]), &sound);
}

#[test]
fn one_bar_that_moves_another_is_a_hint() {
    let rows = "\
count 1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
B     0-3-2-0-3-------|--0-3-2-0-3-----|";
    let text = lesson("G major", &[rows]);
    assert_eq!(doubts(&text), Vec::<String>::new());
    let hint = found(&text).into_iter().find(|found| found.rule.name == "odd-bar-out").unwrap();
    assert_eq!(hint.weight, Weight::Hint);
    assert_eq!(hint.message, "the notes of this bar are those of bar 1, all an eighth late");
}

#[test]
fn a_pattern_within_a_bar_shows_its_odd_note() {
    let rows = |odd: &str| {
        format!(
            "chord G               |\ncount 1 & 2 & 3 & 4 & |\nB     3---3---{odd}---3---|\nG     --0---0---0---0-|"
        )
    };
    assert_mends("odd-bar-out", "G major", &rows("2"), &rows("3"));
    assert_silent("G major", &rows("5"));
}
