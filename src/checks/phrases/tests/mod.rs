//! Every form of phrase, true and false, and the spelling of every chord and scale on every root.

#![allow(clippy::unwrap_used)]

mod figured;
mod spelling;
mod whole;

use super::*;
use crate::blocks::Bars;
use crate::checks::elaborate;
use crate::findings::Source;
use crate::findings::source::Spanned;
use crate::lesson::world::MemoryWorld;
use crate::lesson::{self, Setting};
use crate::theory::scale::SCALES;
use crate::theory::{Chord, Degree, Letter, Note, Scale};
use std::sync::Arc;

fn names() -> Names<'static> {
    let mut names = Names::default();
    let numbered = Bars::Numbered { last: 4, pickup: false };
    names.add("hook", Name { index: 0, bars: numbered, figure: Some(3), music: None });
    let upbeat = Bars::Numbered { last: 2, pickup: true };
    names.add("slow-turn", Name { index: 1, bars: upbeat, figure: None, music: None });
    names.add("boxes", Name { index: 2, bars: Bars::Without, figure: Some(4), music: None });
    names.add("broken", Name { index: 3, bars: Bars::Unread, figure: None, music: None });
    names
}

/// A phrase alone in its lesson, in a key; the place has a backtick before it.
fn phrase_in(text: &str, key: Option<&str>) -> PhraseAt {
    let key = key.map(|key| Key::parse(key).unwrap());
    PhraseAt {
        text: Spanned { value: text.to_owned(), span: Span::new(1, 1 + text.len()) },
        setting: Arc::new(Setting { key, ..Setting::default() }),
    }
}

fn checked(text: &str, key: Option<&str>) -> (Vec<Finding>, SetPhrase) {
    let mut findings = Findings::default();
    let set = check(&phrase_in(text, key), &names(), crate::words::Lang::English, &mut findings);
    (findings.sorted(), set)
}

/// The phrase with a fix made in it.
fn fixed(text: &str, fix: &crate::findings::Fix) -> String {
    let mut text = text.to_owned();
    text.replace_range(fix.span.start - 1..fix.span.end - 1, &fix.replace);
    text
}

fn note(text: &str) -> Note {
    Note::parse(text).unwrap()
}

/// Phrases that are true in A major.
const TRUE: &[&str] = &[
    "F#m7",
    "A F#m7 D",
    "A is IV in the key of E major",
    "the notes of A are A C# E",
    "A contains C#",
    "C6 is Am7/C",
    "C6 is Am7",
    "I-vi-IV-V",
    "Db altered = Db Ebb Fb Gbb Abb Bbb Cb",
    "A minor pentatonic",
    "x02420",
    "minor third",
    "A = A C# E",
    "A = A E C#",
    "A C# E = A",
    "A = A C#",
    "A/C# = C# E A",
    "A over C# = C# E A",
    "A/B = B A C# E",
    "Aadd9 = A C# E B",
    "A minor pentatonic = A C D E G",
    "A C D E G A = A minor pentatonic",
    "A minor = A C E",
    "A minor = A B C D E F G",
    "A major = A C# E",
    "A blues = A C D Eb E G",
    "A blues = A C D D# E G",
    "C whole tone = C D E Gb Ab Bb",
    "C altered = C Db D# E Gb G# Bb",
    "E7alt = E G# D F##",
    "E11 = E B D F# A",
    "E13 = E G# D C#",
    "C# E in F#m7",
    "D in A major",
    "C# in A major",
    "C# E in A/C#",
    "F#m7 is vi7",
    "F#m7 is vi",
    "vi7 is F#m7",
    "F#m7 is ii7 in E major",
    "Aadd9 is I",
    "E/G# is V",
    "Bsus4 is ii",
    "Bsus4 is II",
    "A D E are I IV V",
    "B7 is V7/V",
    "C# to E is a minor third",
    "E to C# is a minor third down",
    "C# to E is a third",
    "C# to E is a minor tenth",
    "A to A is an octave",
    "F to B is a tritone",
    "E to F is a half step",
    "C# is the third of A",
    "the third of A is C#",
    "A is the root of A/C#",
    "F# is the sixth of A",
    "B is the second of Aadd9",
    "D is the seventh of E7",
    "F is the sixth of A minor",
    "C is the third of A minor",
    "Eb is the flat fifth of A",
    "G is the flat seven of A7",
    "D is the fourth of A",
    "F## is the ninth of E7#9",
    "Gb is the fifth of C half-whole diminished",
    "x02420 is Aadd9",
    "Aadd9 is x02420",
    "x02220 is A",
    "xx0232 is D",
    "xxx220 is A",
    "A C# E is A",
    "C# is Db",
    "ii7 V7 I",
    "V7/ii",
    "the hook",
    "bar 2 of the hook",
    "bars 1 to 4 of hook",
    "bar 0 of slow-turn",
    "bar 9 of broken",
];

#[test]
fn true_phrases_pass() {
    for &phrase in TRUE {
        let (findings, set) = checked(phrase, Some("A major"));
        assert!(findings.is_empty(), "{phrase}: {}", findings[0].message);
        assert!(!set.faulty);
    }
}

/// Phrases that are false in A major: what is false, under which rule, and, where the first fix is the best, what it makes.
const FALSE: &[(&str, &str, &str, &str)] = &[
    ("A = A C# F", "spelling", "`A` is A C# E, not A C# F", "A = A C# E"),
    ("A = A Db E", "spelling", "the major third of `A` is spelled C#, not Db", "A = A C# E"),
    ("A = C# E A", "spelling", "`A` is spelled from its root: A C# E, not C# E A", "A = A C# E"),
    (
        "A/C# = A C# E",
        "spelling",
        "`A/C#` is spelled from its bass: C# E A, not A C# E",
        "A/C# = C# E A",
    ),
    ("A7 = A C# E", "spelling", "`A7` is A C# E G, not A C# E", "A7 = A C# E G"),
    ("A minor = A C# E", "spelling", "`Am` is A C E, not A C# E", "A minor = A C E"),
    (
        "A minor pentatonic = A C D E F",
        "spelling",
        "`A minor pentatonic` is A C D E G, not A C D E F",
        "A minor pentatonic = A C D E G",
    ),
    (
        "E7alt = E G# D",
        "spelling",
        "`E7alt` is E G# D with one or more of Bb B# F F## A# C, not E G# D",
        "",
    ),
    ("A Db E is A", "spelling", "the major third of `A` is spelled C#, not Db", "A C# E is A"),
    ("A/C# is A C# E", "bass-note", "the lowest note of `A/C#` is C#, not A", ""),
    ("C# E is A", "bass-note", "`A` without its root A", ""),
    ("C# D in F#m7", "spelling", "D is no tone of `F#m7`, which is F# A C# E", ""),
    (
        "Db in A major",
        "spelling",
        "the major third of `A major` is spelled C#, not Db",
        "C# in A major",
    ),
    ("C# is D", "spelling", "C# and D are two different notes", ""),
    ("F#m7 is ii7", "numeral", "`F#m7` is vi7 in A major, not ii7", "F#m7 is vi7"),
    ("F#m7 is VI", "numeral", "`F#m7` is vi7 in A major, not VI", "F#m7 is vi7"),
    (
        "F#m7 is vi in E major",
        "numeral",
        "`F#m7` is ii7 in E major, not vi",
        "F#m7 is ii7 in E major",
    ),
    (
        "C# to E is a major third",
        "interval",
        "C# up to E is a minor third, not a major third",
        "C# to E is a minor third",
    ),
    (
        "C to F# is fifth",
        "interval",
        "C up to F# is an augmented fourth, not a fifth",
        "C to F# is augmented fourth",
    ),
    ("E4 to C#4 is a minor third", "interval", "C#4 lies below E4, not above it", ""),
    (
        "E is the third of A",
        "degree",
        "the third of `A` is C#; E is its perfect fifth",
        "C# is the third of A",
    ),
    (
        "Db is the third of A",
        "degree",
        "the third of `A` is C#; Db is its diminished fourth",
        "C# is the third of A",
    ),
    (
        "F# is the sixth of A minor",
        "degree",
        "the sixth of `A minor` is F; F# is its major sixth",
        "F is the sixth of A minor",
    ),
    (
        "D is the seventh of Emaj7",
        "degree",
        "the seventh of `Emaj7` is D#; D is its minor seventh",
        "D# is the seventh of Emaj7",
    ),
    (
        "x02220 is Aadd9",
        "shape-misnamed",
        "the frets don't sound `Aadd9`: B (major ninth) is missing",
        "",
    ),
    ("x00232 is D", "bass-note", "A on string 5 is the lowest note of `D`, not the root D", ""),
    ("x02425 is Asus9", "unknown-chord", "`Asus9` can't be read as a chord", ""),
    ("A2 = A B C# E", "unknown-chord", "`A2` can't be read as a chord", "Aadd9 = A B C# E"),
    ("x 0 2 24 2 0 is A", "fret-range", "fret 24 is off the neck, which ends at fret 22", ""),
    ("x0220", "unread-phrase", "`x0220` is no fingering: it has 5 strings, not 6", ""),
    ("code", "unread-phrase", "`code` is no musical phrase, so it is printed as typed", ""),
    ("the hok", "unknown-name", "no block is called `hok`", "the hook"),
    (
        "the whole band",
        "unread-phrase",
        "`the whole band` is no musical phrase, so it is printed as typed",
        "",
    ),
    ("the guitar", "unread-phrase", "no block is called `guitar`", ""),
    ("bar 2 of the guitar", "unknown-name", "no block is called `guitar`", ""),
    ("bar 5 of the hook", "unknown-name", "`hook` has no bar 5, its bars are 1 to 4", ""),
    ("bars 0 to 2 of the hook", "unknown-name", "`hook` has no bar 0, its bars are 1 to 4", ""),
    ("bars 3 to 2 of the hook", "unknown-name", "bars 3 to 2 run backwards", ""),
    ("bar 1 of boxes", "unknown-name", "`boxes` has no bars", ""),
];

/// What is false, under which rule, and, where the first fix is the best, what it makes.
#[test]
fn false_phrases_are_told_what_is_true() {
    for &(phrase, rule, message, repaired) in FALSE {
        let (findings, set) = checked(phrase, Some("A major"));
        let finding = findings.first().unwrap_or_else(|| panic!("{phrase} passes"));
        assert_eq!((finding.rule.name, finding.message.as_str()), (rule, message), "{phrase}");
        assert_eq!(set.faulty, finding.weight == Weight::Fault, "{phrase}");
        if !repaired.is_empty() {
            assert_eq!(fixed(phrase, &finding.fixes[0]), repaired);
        }
        assert!(finding.span.start >= 1 && finding.span.end <= 1 + phrase.len(), "{phrase}");
    }
}

#[test]
fn every_fix_makes_its_phrase_true() {
    let phrases = [
        "A = A Db F",
        "Am7 = Gb C E G",
        "A = Bbb Db E",
        "A blues = A C D Eb E F#",
        "F# G# in Em7",
        "C Db E is Am",
        "F#m7 is III in D major",
        "A to F is a fifth",
        "E to C# is a minor third",
        "E is the third of A",
        "B is the flat seven of A7",
        "x02220 is Am",
        "x0242x is A7",
        "Asuss4 = A D E",
        "the slow-trun",
    ];
    for phrase in phrases {
        let (findings, _) = checked(phrase, Some("A major"));
        assert!(!findings.is_empty(), "{phrase} passes");
        for fix in findings.iter().flat_map(|finding| &finding.fixes) {
            assert_eq!(fix.ground, Ground::Choice, "{phrase}: {} is unasked", fix.says);
        }
        for fix in
            findings.iter().filter(|_| findings.len() == 1).flat_map(|finding| &finding.fixes)
        {
            let repaired = fixed(phrase, fix);
            let (left, _) = checked(&repaired, Some("A major"));
            assert!(left.is_empty(), "{phrase} -> {repaired}: {}", left[0].message);
        }
    }
}

#[test]
fn both_sides_of_a_sentence_are_offered() {
    for (phrase, repaired) in [
        (
            "F to A is a major third down",
            &["F to A is a minor sixth down", "F to A is a major third"][..],
        ),
        ("A to F is a major third", &["A to F is a minor sixth", "A to F is a major third down"]),
        ("A/C# is VI", &["A/C# is I", "F# is VI"]),
        ("A/C# is VI/C#", &["A/C# is I/C#", "F#/C# is VI/C#"]),
        ("D is V7", &["D is IV", "E7 is V7"]),
    ] {
        let (findings, _) = checked(phrase, Some("A major"));
        let offered: Vec<String> = findings[0].fixes.iter().map(|fix| fixed(phrase, fix)).collect();
        assert_eq!(offered, repaired, "{phrase}");
        assert!(findings[0].fixes.iter().all(|fix| fix.ground == Ground::Choice), "{phrase}");
    }
}

#[test]
fn numerals_are_read_in_any_scale() {
    for phrase in [
        "F is bII in E phrygian dominant",
        "Am is iv in E phrygian dominant",
        "E7 is V7 in A harmonic minor",
        "bII in E phrygian dominant",
        "D7 is IV in A blues",
        "G is VII in A minor pentatonic",
        "Ab+ is bVI+ in C whole tone",
    ] {
        let (findings, _) = checked(phrase, Some("A major"));
        assert!(findings.is_empty(), "{phrase}: {}", findings[0].message);
    }
    let (findings, _) = checked("F is II in E phrygian dominant", None);
    assert_eq!(findings[0].message, "`F` is bII in E phrygian dominant, not II");
}

#[test]
fn a_numeral_without_a_key_is_a_hint() {
    for phrase in ["vi7", "F#m7 is vi7"] {
        let (findings, set) = checked(phrase, None);
        assert_eq!(findings[0].rule.name, "no-key", "{phrase}");
        assert!(!set.faulty);
    }
    assert!(checked("F#m7 is ii7 in E major", None).0.is_empty());
}

#[test]
fn phrases_are_set_with_proper_signs_and_raised_extensions() {
    let rows = [
        ("F#m7", "F♯m^7"),
        ("Bb C# Fx", "B♭ C♯ F𝄪"),
        ("C#5hE", "C#5hE"),
        ("E2 Bb2", "E2 B♭2"),
        ("CM7 = C E G B", "C^maj7 = C E G B"),
        ("A over C#", "A/C♯"),
        ("F# minor pentatonic", "F♯ minor pentatonic"),
        ("b3", "♭3"),
        ("the flat seven", "the flat seven"),
        ("vi7", "vi^7 (F♯m^7)"),
        ("ii7 V7 in Bb major", "ii^7 V^7 (Cm^7 F^7) in B♭ major"),
        ("F#m7 is vi7", "F♯m^7 is vi^7"),
        ("F# is the #11 of C7#11", "F♯ is the ♯11 of C^7♯11"),
        ("A minor is vi in C", "A minor is vi in C"),
        ("the hook", "the hook (figure\u{a0}3)"),
        ("bar 2 of the hook", "bar 2 of the hook (figure\u{a0}3)"),
        ("the Slow-turn", "the slow turn"),
        ("code # b", "code # b"),
    ];
    for (phrase, wanted) in rows {
        let (_, set) = checked(phrase, Some("A major"));
        let mark = |run: &crate::theory::printed::Run| if run.raised { "^" } else { "" };
        let runs = set.printed.runs.iter().map(|run| format!("{}{}", mark(run), run.text));
        assert_eq!(runs.collect::<String>(), wanted, "{phrase}");
    }
    assert_eq!(checked("bar 1 of the slow-turn", None).1.refers_to, Some(1));
    assert_eq!(checked("F#m7", None).1.refers_to, None);
}

#[test]
fn a_phrase_over_a_quoted_line_end_offers_no_fix_and_stays_in_its_place() {
    let mut phrase = phrase_in("A = A Db E", None);
    phrase.text.span = Span::new(5, 20);
    let mut findings = Findings::default();
    check(&phrase, &names(), crate::words::Lang::English, &mut findings);
    let mut shape = phrase_in("x02220 is Am", None);
    shape.text.span = Span::new(5, 20);
    check(&shape, &names(), crate::words::Lang::English, &mut findings);
    assert_eq!(findings.list().len(), 2);
    for finding in findings.list() {
        assert_eq!(finding.span, Span::new(5, 20));
        assert!(finding.fixes.is_empty() && finding.labels.is_empty());
    }
}

#[test]
fn any_text_at_all_is_taken() {
    let texts = [
        "",
        " ",
        "=",
        " is ",
        "=is=",
        "`",
        "é = ♯",
        "\u{1D12B}",
        "A = ",
        " of ",
        "bars  of x",
        "Aé",
        "A♯♯♯ = A",
        "x♭",
        "A in",
        "is the third of",
        "99999999999999999999",
        "bar 99999999999 of hook",
    ];
    for text in texts {
        checked(text, Some("A major"));
    }
    checked(&"A = ".repeat(10_000), None);
}

proptest::proptest! {
    /// Whatever is made of a phrase's words, it is read without a panic, is printed, and its
    /// findings stay in its place.
    #[test]
    fn words_in_any_order_are_taken(words in proptest::collection::vec(0..WORDS.len(), 0..12)) {
        let text: String = words.iter().map(|at| WORDS[*at]).collect();
        let (findings, set) = checked(&text, Some("F# minor"));
        for finding in findings {
            let places = finding.fixes.iter().map(|fix| fix.span).chain([finding.span]);
            for span in places {
                assert!(1 <= span.start && span.start <= span.end && span.end <= 1 + text.len());
                assert!(text.is_char_boundary(span.start - 1) && text.is_char_boundary(span.end - 1));
            }
        }
        assert_eq!(set.printed.text().is_empty(), text.is_empty());
    }
}

/// The pieces of phrases.
const WORDS: [&str; 40] = [
    " ",
    " is ",
    " = ",
    " of ",
    " to ",
    " in ",
    " over ",
    "the ",
    "bar ",
    "bars ",
    "A",
    "F#",
    "B♭",
    "E♭♭",
    "m",
    "7",
    "maj",
    "(",
    ")",
    "/",
    "sus4",
    "b5",
    "#9",
    "alt",
    " major",
    " minor",
    "third",
    "flat seven",
    "vi",
    "V7",
    "°",
    "x02420",
    "x",
    "0 2 ",
    "hook",
    "down",
    "é",
    "𝄪",
    "4",
    "-",
];
