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
