//! Phrases within whole lessons.

use super::*;
use crate::blocks;

/// The findings of a whole lesson, and what its phrases refer to.
fn in_lesson(text: &str) -> (Vec<Finding>, Vec<Option<usize>>) {
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let phrases = elaborate(lesson, &mut findings).phrases;
    (findings.sorted(), phrases.iter().map(|phrase| phrase.refers_to).collect())
}

#[test]
fn a_moved_riff_is_referred_to_wherever_it_stands() {
    let hook = "~~~ riff hook\ncount 1   2   |1   2   |\nG     2---4---|5---4---|\n~~~\n";
    let text = format!(
        "---\ntitle: Moves\nkey: A major\n---\n\n~~~ move high from hook\nup an octave\n~~~\n\n{hook}\nLook at `bar 2 of the high`.\n"
    );
    let (findings, refers_to) = in_lesson(&text);
    assert!(!findings.iter().any(|found| found.rule.name == "unknown-name"), "{findings:#?}");
    assert_eq!(refers_to, [Some(0)]);
}

/// Wherever a block's name is meant, the nearest names are offered: all of them where several are as
/// near.
#[test]
fn names_nearby_are_offered_wherever_one_is_meant() {
    const BLOCKS: &str = "~~~ changes verse\n| Am |\n~~~\n\n~~~ riff hook\ncount 1   2   3   4   |\nG     2---2---2---2---|\n~~~\n\n~~~ riff hood\ncount 1   2   3   4   |\nG     2---2---2---2---|\n~~~\n\n";
    for (block, offered) in [
        ("~~~ riff over verze\ncount 1   2\nG     2---\n~~~", &["verse"][..]),
        ("~~~ move low from hok\ndown an octave\n~~~", &["hook"]),
        ("~~~ voicings\nAm : triads on strings 3 2 1, under hok\n~~~", &["under hook"]),
        ("~~~ neck\nhokk, frets 0 to 5\n~~~", &["hook"]),
        ("~~~ neck\nhoop\n~~~", &["hook", "hood"]),
        ("~~~ neck\nscales for vers\n~~~", &["scales for verse"]),
        ("~~~ say\n[show hoot]\n~~~", &["hook", "hood"]),
        ("Play `the hoo`.", &["the hood", "the hook"]),
        ("Play `bar 1 of hok`.", &["bar 1 of hook"]),
        ("~~~ riff over bridge\ncount 1   2\nG     2---\n~~~", &[]),
    ] {
        let text = format!("---\ntitle: Names\nkey: A minor\n---\n\n{BLOCKS}{block}\n");
        let (findings, _) = in_lesson(&text);
        let found = findings.iter().find(|found| found.rule.name == "unknown-name");
        let fixes: Vec<&str> =
            found.unwrap().fixes.iter().map(|fix| fix.replace.as_str()).collect();
        let ends = |(fix, offered): (&&str, &&str)| offered.ends_with(*fix);
        assert_eq!(fixes.len(), offered.len(), "{block}: {fixes:?}");
        assert!(fixes.iter().zip(offered).all(ends), "{block}: {fixes:?}");
    }
}

const HELD: &str = "~~~ changes verse
| A / / / | F#m7 / / / | D / E / | A |
|: D | F#m7 | D |1. E :|2. A |
|: D | E :|x3 |
~~~

~~~ riff hook over verse
count 1   2   3   4   |1   2   3   4   |
G     2---4---6---4---|2---2---2---2---|
D     2---------------|----------------|
~~~

~~~ riff bare
count 1   2   3   4   |
G     2---2---2---2---|
~~~
";

/// What a sentence says of a block is held against what the block has.
#[test]
fn what_a_block_holds_is_checked() {
    for (phrase, message) in [
        ("bar 2 of verse is F#m7", None),
        ("bar 3 of verse is D E", None),
        ("bars 1 to 2 of the verse are A F#m7", None),
        ("bar 2 of the hook is F#m7", None),
        ("verse = A F#m7 D E A D F#m7 D E A D E", None),
        ("the hook begins on A", None),
        ("the hook begins on E3", None),
        ("the verse begins on A", None),
        ("bar 2 of verse is D", Some("bar 2 of `verse` is F#m7, not D")),
        ("bar 3 of verse is D", Some("bar 3 of `verse` is D E, not D")),
        ("verse = A D E", Some("`verse` is A F#m7 D E A D F#m7 D E A D E, not A D E")),
        ("the hook begins on D", Some("`hook` begins on E and A, not D")),
        ("the hook begins on A4", Some("`hook` begins on E and A, not A4")),
        ("bar 1 of bare is A", Some("bar 1 of `bare` has no chords")),
        ("bar 99 of verse is A", Some("`verse` has no bar 99, its bars are 1 to 11")),
        ("bar 1 of vers is A", Some("no block is called `vers`")),
        ("vers = A D", Some("no block is called `vers`")),
    ] {
        let text = format!("---\ntitle: Held\nkey: A major\n---\n\n{HELD}\nSee `{phrase}`.\n");
        let (findings, _) = in_lesson(&text);
        let faults = findings.iter().filter(|found| found.weight == Weight::Fault);
        let told: Vec<&str> = faults.map(|found| found.message.as_str()).collect();
        assert_eq!(told, message.into_iter().collect::<Vec<_>>(), "{phrase}");
    }
}
