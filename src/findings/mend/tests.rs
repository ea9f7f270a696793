use super::*;
use crate::findings::rules::{no_title, spelling, wrong_note};
use crate::findings::{Ground, Rule, Source, Span};

fn source(text: &str) -> Source {
    Source::new("x.md", text.as_bytes())
}

fn found(fixes: &[(usize, usize, &str)]) -> Finding {
    of_rule(&spelling::RULE, fixes)
}

fn of_rule(rule: &'static Rule, fixes: &[(usize, usize, &str)]) -> Finding {
    let finding = Finding::new(rule, Span::default(), "something");
    fixes.iter().fold(finding, |finding, (start, end, text)| {
        finding.fix("so", Span::new(*start, *end), *text, Ground::SameMusic)
    })
}

#[test]
fn only_fixes_without_a_choice_are_made_and_none_over_another() {
    let source = source("one\ntwo\nthree\n");
    let findings = [
        found(&[(4, 7, "2")]),
        found(&[(5, 9, "x")]),
        found(&[(0, 1, "a"), (0, 1, "b")]),
        found(&[(4, 7, "2")]),
        found(&[(13, 13, "!")]),
    ];
    let mended = mend(&source, &findings, &|_| Vec::new()).unwrap();
    assert_eq!((mended.text.as_str(), mended.fixes), ("one\n2\nthree!\n", 2));
    let lines = "@@ line 2 @@\n# so\n# so\n-two\n-three\n+2\n+three!\n";
    assert_eq!(mended.difference, format!("--- x.md\n+++ x.md, mended\n{lines}"));
}

#[test]
fn what_a_doubt_or_a_hint_offers_is_left_to_the_author() {
    let findings = [&wrong_note::RULE, &no_title::RULE].map(|rule| of_rule(rule, &[(0, 1, "a")]));
    assert_eq!(mend(&source("one"), &findings, &|_| Vec::new()), None);
}

#[test]
fn nothing_to_mend_is_nothing() {
    let findings = [found(&[]), found(&[(0, 9, "far")])];
    assert_eq!(mend(&source("one"), &findings, &|_| Vec::new()), None);
}

#[test]
fn what_is_the_authors_choice_is_not_made_even_where_it_is_the_only_fix() {
    for (ground, mended) in [(Ground::SameMusic, true), (Ground::Choice, false)] {
        let fault = Finding::new(&spelling::RULE, Span::default(), "something");
        let fault = fault.fix("so", Span::new(0, 1), "a", ground);
        assert_eq!(mend(&source("one"), &[fault], &|_| Vec::new()).is_some(), mended);
    }
}

#[test]
fn a_fix_that_leaves_more_findings_is_not_made_and_the_others_are() {
    // Wherever an `x` stands, five things are found.
    let check = |text: &str| {
        let wrong = text.matches(['1', '2', '3', '4']).count();
        let worse = text.matches('x').count();
        (0..wrong + 5 * worse).map(|_| found(&[])).collect::<Vec<_>>()
    };
    let source = source("1 2 3 4");
    let findings =
        [(0, "a"), (2, "b"), (4, "x"), (6, "d")].map(|(at, text)| found(&[(at, at + 1, text)]));
    let mended = mend(&source, &findings, &check).unwrap();
    assert_eq!((mended.text.as_str(), mended.fixes), ("a b 3 d", 3));
}

#[test]
fn what_a_fix_uncovers_is_mended_in_the_next_round() {
    let check = |text: &str| match text {
        "2" => vec![found(&[(0, 1, "3")])],
        _ => Vec::new(),
    };
    let findings = [found(&[(0, 1, "2")]), found(&[])];
    let mended = mend(&source("1"), &findings, &check).unwrap();
    assert_eq!((mended.text.as_str(), mended.fixes), ("3", 2));
    assert!(mended.difference.ends_with("@@ line 1 @@\n# so\n# so\n-1\n+3\n"));
}

#[test]
fn a_fix_that_only_puts_one_fault_in_the_place_of_another_is_not_made() {
    let check = |_: &str| vec![found(&[])];
    assert_eq!(mend(&source("1"), &[found(&[(0, 1, "2")])], &check), None);
}

#[test]
fn checks_are_counted() {
    let findings: Vec<Finding> = (0..1000).map(|at| found(&[(at, at + 1, "x")])).collect();
    let counted = std::cell::Cell::new(0);
    let check = |text: &str| {
        counted.set(counted.get() + 1);
        (0..2 * text.matches('x').count() + 1000).map(|_| found(&[])).collect()
    };
    assert_eq!(mend(&source(&"-".repeat(1000)), &findings, &check), None);
    assert!(counted.get() <= MOST_CHECKS);
}

#[test]
fn the_difference_has_no_line_that_stays() {
    let (old, new) = ("a\nb\nc\nd\ne\n", "a\nB\nc\nD\ne\n");
    let repair = |says: &str, lines| Made { says: says.to_owned(), lines };
    let made = [repair("b", 1..=3), repair("d", 3..=3)];
    let hunks = "@@ line 2 @@\n# b\n-b\n+B\n@@ line 4 @@\n# b\n# d\n-d\n+D\n";
    assert_eq!(difference(old, new, &made), hunks);
    let longer = difference("a\nb\nc\n", "a\nx\ny\nc\n", &[repair("b", 1..=1)]);
    assert_eq!(longer, "@@ line 2 @@\n# b\n-b\n+x\n+y\n");
    assert_eq!(difference("a\nc\n", "a\n", &[]), "@@ line 2 @@\n-c\n");
}
