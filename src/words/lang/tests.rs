use super::catalogue::{Catalogue, entries};
use super::pattern::Pattern;
use super::*;
use std::collections::BTreeSet;

const TEXT: &str = "
# A remark.
count
Zähler

third string
3. Saite

[string] third
3.

third
Terz

{string} string
{string} Saite

the {what} of {chord!}
die {what} von {chord}

strings {strings,}
Saiten {strings}

words “{text!}”, bar {bar#}
Text „{text}“, Takt {bar}

“{text!}”
„{text}“

`{one!}` is not `{other!}`
`{one}` ist nicht `{other}`

{tonic-} minor
{tonic}-Moll

{number#} mm
{number} mm

and
und

a⍽half
ein⍽halb
";

fn said(english: &str) -> String {
    Catalogue::of(&[&[TEXT]]).said(english).into_owned()
}

#[test]
fn texts_are_looked_up() {
    for (english, german) in [
        ("count", "Zähler"),
        ("Count", "Zähler"),
        (" count ", " Zähler "),
        ("count\nthird", "Zähler\nTerz"),
        ("third string", "3. Saite"),
        ("a\u{a0}half", "ein\u{a0}halb"),
        ("12.5 mm", "12,5 mm"),
        ("nothing that is there", "nothing that is there"),
        ("", ""),
    ] {
        assert_eq!(said(english), german);
    }
}

#[test]
fn what_varies_is_said_too_by_where_it_stands() {
    for (english, german) in [
        ("Third string", "3. Saite"),
        ("the third of third", "die Terz von third"),
        ("strings third and third, count", "Saiten Terz und Terz, Zähler"),
        ("words “third”, bar 3", "Text „third“, Takt 3"),
        ("words “`third”, bar 3` or not”, bar 3", "words “`third”, bar 3` or not”, bar 3"),
        ("`is not` is not `b`", "`is not` ist nicht `b`"),
        ("`a` is not `third`", "`a` ist nicht `third`"),
        ("“third”", "„third“"),
        ("“third” and “fifth”", "“third” and “fifth”"),
        ("F♯ minor", "f♯-Moll"),
        ("few mm", "few mm"),
    ] {
        assert_eq!(said(english), german);
    }
}

#[test]
fn a_language_has_a_tag() {
    for (tag, lang) in
        [("en", Some(Lang::English)), (" DE ", Some(Lang::German)), ("de-AT", None), ("", None)]
    {
        assert_eq!(Lang::parse(tag), lang, "{tag}");
    }
}

#[test]
fn english_costs_nothing() {
    assert!(matches!(Lang::English.said("count"), Cow::Borrowed("count")));
}

#[test]
fn catalogues_are_whole() {
    for texts in [GERMAN_TEXTS.as_slice(), &findings::GERMAN] {
        is_whole(texts);
    }
}

fn is_whole(texts: &[&'static str]) {
    let mut seen = BTreeSet::new();
    for (english, german) in texts.iter().flat_map(|text| entries(text)) {
        assert!(seen.insert(english), "“{english}” is there twice");
        let names = |line| {
            let pattern = Pattern::read(line);
            pattern.places().map(|place| place.name.clone()).collect::<BTreeSet<String>>()
        };
        let (of_english, of_german) = (names(english), names(german));
        assert!(of_german.is_subset(&of_english), "“{german}” asks for what isn't in “{english}”");
    }
    for text in texts {
        let blocks = text.split("\n\n").map(|block| {
            block.lines().filter(|line| !line.is_empty() && !line.starts_with("# ")).count()
        });
        assert!(blocks.into_iter().all(|lines| matches!(lines, 0 | 2)), "an entry has two lines");
    }
}
