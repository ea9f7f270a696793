//! Letters that no face has: they are told wherever they are printed, unless a font of the lesson's own
//! or of its template has them.

#![allow(clippy::unwrap_used, clippy::panic)]

use fretleaf::findings::{Finding, Span};
use fretleaf::lesson::world::MemoryWorld;

fn hints_of(lesson: &str) -> Vec<Finding> {
    let checked = fretleaf::check("a.md", lesson.as_bytes(), &MemoryWorld::default());
    checked.findings.into_iter().filter(|found| found.rule.name == "no-glyph").collect()
}

fn messages(lesson: &str) -> Vec<String> {
    hints_of(lesson).into_iter().map(|found| found.message).collect()
}

#[test]
fn letters_that_no_face_has_are_told_wherever_they_are_printed() {
    for (lesson, letters) in [
        ("---\ntitle: 日本\n---\n", "`日` and `本`"),
        ("---\ntitle: a\nteacher: 김\n---\n", "`김`"),
        ("---\ntitle: a\n---\n\nA word: हिन्दी\n", "`हि` and `न्दी`"),
        ("---\ntitle: a\n---\n\n# กีตาร์\n", "`กี`, `ต`, `า` and `ร์`"),
        ("---\ntitle: a\n---\n\n- *a **🎸***\n", "`🎸`"),
        ("---\ntitle: a\n---\n\n| a |\n| --- |\n| `字` |\n", "`字`"),
        ("---\ntitle: a\n---\n\n    字\n", "`字`"),
        ("---\ntitle: a\n---\n\n~~~ shape\nAm x02210 -- 字\n~~~\n", "`字`"),
        ("---\ntitle: a\n---\n\n~~~ shape -- 字\nAm x02210\n~~~\n", "`字`"),
        (
            "---\ntitle: a\n---\n\n~~~ riff\ncount  1 2 3 4 |\ne      0-1-0-3-|\nsung   字 b 字 c |\n~~~\n",
            "`字`",
        ),
        (
            "---\ntitle: a\n---\n\n~~~ riff\ncount  1 2 3 4 |\ne      0-1-0-3-|\nwords  字       |\n~~~\n",
            "`字`",
        ),
        ("---\ntitle: a\n---\n\n~~~ say\nSay 字.\n[camera 手]\n~~~\n", "`字` and `手`"),
        ("---\ntitle: a\n---\n\n<b>字</b>\n\n<div>\n字 本\n</div>\n", "`字` and `本`"),
    ] {
        assert_eq!(
            messages(lesson),
            [format!("no face has {letters}; a □ is printed for each")],
            "{lesson}"
        );
    }
}

#[test]
fn what_is_not_printed_has_no_letters() {
    for lesson in [
        "---\ntitle: a\n# 字\n---\n\n<!-- 字 -->\n\n<script>\n字\n</script>\n",
        "---\ntitle: a\n---\n\n~~~ shape, not printed -- 字\nAm x02210\n~~~\n",
        "---\ntitle: a\n---\n\n~~~ shape\nmeant stretch: 字\n# 字\nAm x02210\n~~~\n",
        "---\ntitle: a\n---\n\nA ♯ B𝄫 é š “x” … café\u{301} ☎\u{FE0F} שלום Ж α ≤ “°”\n",
    ] {
        assert_eq!(messages(lesson), Vec::<String>::new(), "{lesson}");
    }
}

#[test]
fn many_letters_are_shown_in_part_with_their_lines() {
    let lesson = "---\ntitle: a\n---\n\n一二三\n\n四五六七八一\n\n九十\n";
    let found = hints_of(lesson);
    let [hint] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(
        hint.message,
        "no face has `一`, `二`, `三`, `四`, `五`, `六`, `七`, `八` and 2 more letters; \
         a □ is printed for each"
    );
    assert_eq!(
        hint.notes.first().map(String::as_str),
        Some("they stand first on lines 5, 7 and 9")
    );
    assert_eq!(hint.span, Span::new(18, 21));
}

#[test]
fn a_block_may_mean_it() {
    let lesson = "---\ntitle: a\n---\n\n~~~ shape\nmeant no-glyph: the box is wanted\nAm x02210 -- 字\n~~~\n";
    assert_eq!(messages(lesson), Vec::<String>::new());
}

const HAN: &[u8] = include_bytes!("../fonts/han.ttf");

/// The findings of a lesson with header lines and a letter that the faces of the house lack.
fn found(header: &str, folder: MemoryWorld) -> Vec<String> {
    let text = format!("---\ntitle: a\n{header}---\n\nThe river is 川.\n");
    let checked = fretleaf::check("a.md", text.as_bytes(), &folder);
    let told = |found: &Finding| {
        let place = checked.source.slice(found.span);
        format!("{} `{place}`: {}", found.rule.name, found.message)
    };
    checked.findings.iter().map(told).collect()
}

fn folder() -> MemoryWorld {
    MemoryWorld::default().with("han.ttf", HAN).with("below/han.ttf", HAN)
}

#[test]
fn the_headers_font_has_the_letters_that_ours_lack() {
    const LACKING: &str = "no-glyph `川`: no face has `川`; a □ is printed for each";
    assert_eq!(found("", folder()), [LACKING]);
    assert_eq!(found("font: han.ttf\n", folder()), [""; 0]);
    assert_eq!(found("Font: \"below/han.ttf\"\n", folder()), [""; 0]);
    for (header, message) in [
        ("font: no.ttf\n", "`no.ttf`: the font `no.ttf` is missing"),
        (
            "font: ../han.ttf\n",
            "`../han.ttf`: the font `../han.ttf` is outside the lesson's folder",
        ),
        ("font: short.ttf\n", "`short.ttf`: the font `short.ttf` is a broken font file"),
        ("font: text.ttf\n", "`text.ttf`: the font `text.ttf` is no TTF or OTF font"),
        ("font:\n", "`font`: the font is missing behind its key"),
    ] {
        let short = HAN.get(..3000).unwrap_or_default();
        let folder = folder().with("short.ttf", short).with("text.ttf", *b"a text");
        let message = format!("header-value {message}");
        assert_eq!(found(header, folder), [message, LACKING.to_owned()], "{header}");
    }
}

#[test]
fn a_templates_font_serves_where_the_header_names_none() {
    let folder = |font: &str| folder().with("mine.toml", format!("font = \"{font}\"\n"));
    assert_eq!(found("template: mine.toml\n", folder("below/han.ttf")), [""; 0]);
    assert_eq!(found("template: mine.toml\nfont: han.ttf\n", folder("no.ttf")), [""; 0]);
    let found = found("template: mine.toml\n", folder("no.ttf"));
    assert_eq!(
        found.first().map(String::as_str),
        Some("header-value `mine.toml`: the font `no.ttf` is missing")
    );
}
