//! Texts that are made to be slow or deep, and texts thrown together.

use super::*;
use proptest::prelude::*;

#[test]
fn what_nests_too_deep_is_flattened_with_one_hint() {
    let quotes = format!("{}a\n", "> ".repeat(60));
    let lists = format!("{}*b* c\n", "- ".repeat(60));
    let stress = format!("{}d{}\n", "*e **f ".repeat(30), "c**c*".repeat(30));
    for text in [quotes, lists, stress] {
        let found = told(&titled(&text));
        let [finding] = found.as_slice() else { panic!("{text} {found:?}") };
        assert!(finding.contains("left-out: this nests too deep"), "{finding}");
    }
    assert!(sketch(&format!("{}*b* c\n", "- ".repeat(60))).contains("p(b c)"));
}

/// Texts that are made to be slow or deep: each must be read in proportion to its length.
#[test]
fn hostile_texts_are_read() {
    let many = 100_000;
    for text in [
        ">".repeat(many),
        ">".repeat(many) + "a\n" + &"b\n".repeat(many),
        "- ".repeat(many) + "~~~\n" + &"\n".repeat(many),
        "1. ".repeat(many),
        "`".repeat(many),
        "`a".repeat(many),
        "[".repeat(many),
        "![".repeat(many),
        "[a](".repeat(many),
        "![a](b.png) ".repeat(many / 10),
        "*a **b ".repeat(many / 10) + &"** *".repeat(many / 10),
        "<!--".repeat(many),
        "x <b>\n".repeat(many / 10),
        "~~~\n".repeat(many / 10),
        "~~~ riff a\n~~~\n".repeat(many / 10),
        "~~~ now\nkey: E\n~~~\n".repeat(many / 20),
        format!("~~~ {}\n", "riff,".repeat(many)),
        format!("~~~ riff {}\n", "- – ".repeat(many)),
        format!("~~~ riff {}\n", "meter 3/4, ".repeat(many / 10)),
        format!("~~~ say\n{}\n", "`A` ".repeat(many / 10)),
        format!("~~~ say\n{}\n", (0..400).map(|n| "`".repeat(n) + " ").collect::<String>()),
        format!("{}|\n{}|\n{}", "|a".repeat(5000), "|-".repeat(5000), "|x\n".repeat(5000)),
        format!("---\n{}---\n", "title: T\n".repeat(many / 10)),
        format!("---\n{}", "a\n".repeat(many)),
        format!("---\n{}: x\n---\n", "k".repeat(many)),
        "a\u{301}\u{301}`b`".repeat(many / 20),
    ] {
        let text = titled("") + &text;
        let begun = std::time::Instant::now();
        told(&text);
        let head: String = text.chars().skip(17).take(20).collect();
        // Far more than a build without optimising takes; anything worse than linear takes longer.
        assert!(begun.elapsed().as_secs() < 20, "{head:?} took {:?}", begun.elapsed());
    }
}

/// What lessons are made of, to be thrown together.
const PIECES: &[&str] = &[
    "---\n",
    "\n",
    "\r\n",
    "\t",
    " ",
    "  ",
    "> ",
    "- ",
    "1. ",
    "~~~",
    "```",
    "`",
    "``",
    " riff",
    " now",
    " say",
    "hook",
    ", ",
    " -- ",
    "meter 3/4",
    "key: E\n",
    "title: ü\n",
    "tempo: 9\n",
    "capo: 40\n",
    "count 1 & 2\n",
    "meant jump: x\n",
    "# ",
    "| a | b |\n",
    "|---|---|\n",
    "*",
    "**",
    "_",
    "[",
    "]",
    "(",
    ")",
    "![",
    "<b>",
    "<!--",
    "-->",
    "<div>\n",
    "&amp;",
    "\\",
    "[new page]",
    "e\u{301}",
    "👍🏽",
    "\u{0}",
    "word",
    "\n\n",
];

/// Reads a text and checks that every place in what comes out lies on whole characters of it.
fn check_spans(source: &Source, mut findings: Findings) {
    let lesson = read(source, &folder(), &mut findings);
    let sound = |span: crate::findings::Span| source.text.get(span.start..span.end).is_some();
    for finding in findings.list() {
        assert!(sound(finding.span), "{finding:?}");
        assert!(finding.labels.iter().all(|label| sound(label.span)), "{finding:?}");
        assert!(finding.fixes.iter().all(|fix| sound(fix.span)), "{finding:?}");
    }
    for fence in &lesson.fences {
        assert!(sound(fence.span) && sound(fence.head), "{fence:?}");
        for line in &fence.lines {
            assert_eq!(source.slice(line.whole()), line.text);
        }
    }
    assert!(lesson.phrases.iter().all(|phrase| sound(phrase.text.span)));
}

proptest! {
    #[test]
    fn any_bytes_are_read(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        check_spans(&Source::new("a.md", &bytes), Findings::default());
    }

    #[test]
    fn any_mix_of_marks_is_read(
        pieces in prop::collection::vec(prop::sample::select(PIECES), 0..60),
    ) {
        check_spans(&source(&pieces.concat()), Findings::default());
    }
}
