//! The page for a student's screen: it has all that the handout has, and nothing of a lesson runs in it.

#![allow(clippy::unwrap_used)]

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use fretleaf::compile;
use fretleaf::findings::Source;
use fretleaf::ink::Fonts;
use fretleaf::lesson::world::{FolderWorld, MemoryWorld};
use fretleaf::web::Job;
use sha2::{Digest, Sha256};
use std::fs;
use std::path::Path;

/// The page of a lesson with some body.
fn page_of(body: &str) -> String {
    let text = format!("---\ntitle: A <b>Title</b>\nkey: A major\n---\n\n{body}");
    let world = MemoryWorld::default().with_lesson("lesson.md", &text);
    page_in(&world, "lesson.md")
}

fn page_in(world: &MemoryWorld, lesson: &str) -> String {
    let compiled = compile(world, lesson).unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    compiled.web(&Job { template: &template, fonts: &fonts, draft: false })
}

/// What a lesson may hold that would run if any of it were markup; `tests/web/page.mjs` opens its page.
const HOSTILE: &str = include_str!("../web/hostile.md");

/// A page's text without its scripts, and these.
fn without_scripts(page: &str) -> (String, Vec<&str>) {
    let (mut rest, mut scripts) = (String::new(), Vec::new());
    let mut left = page;
    while let Some((before, from)) = left.split_once("<script") {
        let (script, behind) = from.split_once("</script>").unwrap();
        rest.push_str(before);
        scripts.push(script);
        left = behind;
    }
    (rest + left, scripts)
}

/// The source expression of a style or script.
fn expression(text: &str) -> String {
    format!("'sha256-{}'", BASE64_STANDARD.encode(Sha256::digest(text)))
}

/// The tags of a page, each as it stands between its angle brackets.
fn tags(page: &str) -> Vec<&str> {
    page.split('<').skip(1).filter_map(|rest| rest.split('>').next()).collect()
}

#[test]
fn nothing_of_a_lesson_runs() {
    let world = MemoryWorld::default().with_lesson("lesson.md", HOSTILE);
    let page = page_in(&world, "lesson.md");
    let (body, scripts) = without_scripts(page.split("</head>").nth(1).unwrap());
    // What is heard, as data, and the page's own script, which the policy names; nothing else would run.
    assert_eq!(scripts.len(), 2);
    assert!(scripts[0].starts_with(" type=\"application/json\" id=\"heard\">{"));
    let script = scripts[1].strip_prefix('>').unwrap();
    assert!(page.contains(&format!("script-src {}\"", expression(script))), "{script}");
    for tag in tags(&body) {
        let name = tag.trim_start_matches('/').split(' ').next().unwrap();
        assert!(!["script", "style", "iframe", "object", "b>", "base"].contains(&name), "{tag}");
        let outside = tag.split('"').step_by(2).collect::<String>().to_lowercase();
        assert!(!outside.contains(" on") && !outside.contains("style="), "{tag}");
        assert!(!tag.to_lowercase().contains("href=\"javascript:"), "{tag}");
        assert!(!tag.contains("href=\"data:"), "{tag}");
    }
    assert!(page.contains("<title>A &lt;b&gt;Title&lt;/b&gt;</title>"));
    assert!(page.contains("&lt;script&gt;"));
}

#[test]
fn the_policy_names_the_style_that_stands_in_the_page() {
    let page = page_of("Words.");
    let style = page.split("<style>").nth(1).unwrap().split("</style>").next().unwrap();
    let policy = format!("default-src 'none'; style-src {}; img-src data:", expression(style));
    assert!(page.contains(&policy), "{policy}");
    assert!(!page.contains("<script"));
}

#[test]
fn figures_are_set_for_each_column_and_share_their_glyphs() {
    let (count, frets) = ("1   &   2   &   3   &   4   &   |", "0---2---3---2---0---2---3---2---|");
    let riff =
        format!("~~~ riff hook\ncount   {}\nA       {}\n~~~\n\n", count.repeat(5), frets.repeat(5));
    let bars = format!("{riff}Play `bar 2 of the hook`.\n\n~~~ shape grip\nA x 0 2 2 2 0\n~~~\n");
    let page = page_of(&bars);
    for columns in
        ["class=\"narrow\"", "class=\"middle\"", "class=\"wide\"", "class=\"narrow middle wide\""]
    {
        assert_eq!(page.matches(columns).count(), 1, "{columns}");
    }
    assert!(page.contains("<figure id=\"figure-1\" data-block=\"0\""));
    assert!(page.contains("href=\"#figure-1\">bar\u{a0}2 of"), "{page}");
}

#[test]
fn a_name_is_given_once() {
    let text = include_str!("../../lessons/slow-ferry.md");
    let world = MemoryWorld::default().with_lesson("slow-ferry.md", text);
    let page = page_in(&world, "slow-ferry.md");
    let names =
        tags(&page).into_iter().filter_map(|tag| tag.split(" id=\"").nth(1)?.split('"').next());
    let mut names: Vec<&str> = names.collect();
    names.sort_unstable();
    for two in names.windows(2) {
        assert_ne!(two[0], two[1]);
    }
}

#[test]
fn prose_keeps_its_shape() {
    let page = page_of(
        "## One\n\n- [x] done\n- [ ] to do\n\n3. three\n4. *four*\n\n> **said**\n\n| a | b |\n| :-: | --: |\n| 1 | 2 |\n\n## Two\n\n`F#m7`\n\n## Three\n\n---\n\nPractise it.\n",
    );
    for part in [
        "<h1 class=\"title\" dir=\"auto\">A &lt;b&gt;Title&lt;/b&gt;</h1>",
        "<dt>Key</dt><dd dir=\"auto\">A major</dd>",
        "<li><a href=\"#section-2\">Two</a></li>",
        "<h2 id=\"section-1\" dir=\"auto\">One</h2>",
        "<span class=\"box done\" role=\"img\" aria-label=\"done\"></span><p dir=\"auto\">done</p>",
        "<ol class=\"tight\" start=\"3\">",
        "<em>four</em>",
        "<blockquote>",
        "<th class=\"centre\" dir=\"auto\">a</th>",
        "<td class=\"right\" dir=\"auto\">2</td>",
        "F♯m<sup>7</sup>",
        "<b>Look after your hands. </b>",
    ] {
        assert!(page.contains(part), "{part} in {page}");
    }
}

/// So many bytes a telephone takes at once, wherever it is.
const MOST_BYTES: usize = 400_000;

#[test]
fn no_demo_takes_more_than_a_telephone_takes() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let entries = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
    let lessons: Vec<_> =
        entries.filter(|path| path.extension().is_some_and(|end| end == "md")).collect();
    assert!(lessons.len() > 5);
    for lesson in lessons {
        let name = lesson.file_name().unwrap().to_str().unwrap();
        let source = Source::new(name.to_owned(), &fs::read(&lesson).unwrap());
        let world = FolderWorld::new(folder.clone()).with_lesson(source);
        let compiled = compile(&world, name).unwrap();
        let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
        let page = compiled.web(&Job { template: &template, fonts: &fonts, draft: false });
        assert!(page.len() < MOST_BYTES, "{name}: {}", page.len());
    }
}
