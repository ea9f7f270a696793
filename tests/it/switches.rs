//! What a student may turn on and off in the page, and what the header says of it: level, film, what is on at first.

#![allow(clippy::unwrap_used)]

use fretleaf::compile;
use fretleaf::ink::Fonts;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::page::Template;
use fretleaf::web::Job;
use fretleaf::web::shelf::{self, Card};

const RIFF: &str = "~~~ riff hook\n\
    count   1   &   2   &   3   &   4   &\n\
    A       0---2---3---2---0---2---3---2\n\
    left    .   2   3   2   .   2   3   2\n~~~\n";
const SHAPES: &str = "~~~ shape grips\nA x02220\nE/G# 4x2400\n~~~\n";

/// The page of a lesson with some lines in its header and some body.
fn page_of(header: &str, body: &str) -> String {
    let text = format!("---\ntitle: T\nkey: A major\n{header}---\n\n{body}");
    let world = MemoryWorld::default().with_lesson("lesson.md", &text);
    let compiled = compile(&world, "lesson.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    compiled.web(&Job { template: &template, fonts: &fonts, draft: false })
}

/// The text between two others.
fn between<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    text.split(from).nth(1).unwrap_or_else(|| panic!("{from}")).split(to).next().unwrap()
}

#[test]
fn the_level_stands_in_the_title_block_and_on_the_shelf() {
    let header = "level: <b>second</b> year\n";
    let fact = "<dt>Level</dt><dd dir=\"auto\">&lt;b&gt;second&lt;/b&gt; year</dd>";
    assert!(page_of(header, "Words.").contains(fact));
    assert!(!page_of("", "Words.").contains("Level"));

    let text = format!("---\ntitle: T\n{header}---\n\nWords.");
    let world = MemoryWorld::default().with_lesson("lesson.md", &text);
    let card = Card::of(&compile(&world, "lesson.md").unwrap().lesson);
    assert!(shelf::page([("t.html".to_owned(), &card)].into_iter()).contains(fact));
}

/// Sections of a film: the first and the third long enough for chapters, the second not.
fn filmed() -> String {
    let said = |words: usize| format!("~~~ say\n{}\n~~~\n", "word ".repeat(words));
    format!("## One\n\n{}\n## Two\n\n{}\n## Three\n\n{}\n", said(50), said(5), said(60))
}

#[test]
fn headings_that_are_chapters_lead_to_their_times_in_the_film() {
    let page = page_of("video: https://example.org/film?a=1&b=2\n", &filmed());
    let film = "href=\"https://example.org/film?a=1&amp;b=2";
    assert!(page.contains(&format!(
        "<p class=\"film\"><a {film}\" rel=\"noreferrer\">Watch the film</a></p>"
    )));
    assert!(page.contains(&format!(
        "{film}#t=0\" rel=\"noreferrer\" aria-label=\"the film from 0:00\">0:00</a></h2>"
    )));
    // 50 and 5 words at 150 a minute.
    assert!(page.contains(&format!("{film}#t=22\"")), "{page}");
    assert_eq!(page.matches("#t=").count(), 2);
    assert!(page.contains("dir=\"auto\">Two</h2>"));
}

#[test]
fn an_address_that_leads_into_a_film_already_takes_no_times() {
    let page = page_of("video: https://example.org/#/film\n", &filmed());
    assert!(page.contains("href=\"https://example.org/#/film\""));
    assert!(!page.contains("#t="));
}

#[test]
fn a_hostile_header_is_a_fault_and_nothing_of_it_runs() {
    for header in [
        "video: javascript:alert(1)\n",
        "video: https://example.org/\"onclick=\"alert(1)\n",
        "video: https://</a><script>alert(1)</script>\n",
        "page: fingers\" onload=\"alert(1)\n",
        "page: </html><script>alert(1)</script>\n",
    ] {
        let page = page_of(header, &filmed());
        assert!(!page.contains("alert"), "{header}");
        let text = format!("---\ntitle: T\n{header}---\n");
        let checked = fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default());
        assert_eq!(checked.findings[0].rule.name, "header-value", "{header}");
    }
}

#[test]
fn the_words_of_a_figure_stand_in_the_page_once() {
    let page = page_of("", &format!("{RIFF}\n{SHAPES}"));
    for (number, last) in [(1, "And of 4"), (2, "E major over G sharp")] {
        let words = between(&page, &format!("<p id=\"words-{number}\">"), "</p>");
        assert!(words.contains('\n') && words.contains(last), "{words}");
        let line = words.lines().last().unwrap();
        assert_eq!(page.matches(line).count(), 1, "{line}");
        let told = format!("aria-describedby=\"words-{number}\"");
        let svgs = between(&page, &format!("id=\"words-{number}-title\""), "<details>");
        assert!(page.contains(&told) && svgs.contains("</svg>"));
    }
    assert!(!page.contains("<desc"));
    assert_eq!(page.matches("<summary>In words</summary>").count(), 2);
}

#[test]
fn the_chords_of_the_lesson_stand_at_its_end_where_the_template_asks_for_it() {
    let text = format!("---\ntitle: T\n---\n\n{SHAPES}\n{RIFF}");
    let world = MemoryWorld::default().with_lesson("lesson.md", &text);
    let compiled = compile(&world, "lesson.md").unwrap();
    let fonts = Fonts::new();
    let page = |page: bool| {
        let mut template = Template::usual().unwrap();
        template.chords.page = page;
        compiled.web(&Job { template: &template, fonts: &fonts, draft: false })
    };
    let (with, without) = (page(true), page(false));
    let chords = with.split("Chords in this lesson").nth(1).unwrap();
    assert!(chords.contains("<svg") && chords.contains("E major over G sharp"));
    assert!(!without.contains("Chords in this lesson"));
}

/// The classes of a page's root.
fn classes(page: &str) -> Vec<&str> {
    between(page, "<html lang=\"en\" class=\"", "\"")
        .split(' ')
        .filter(|it| !it.is_empty())
        .collect()
}

#[test]
fn the_header_says_what_is_on_at_first() {
    for (header, on) in [
        ("", &["fingers"][..]),
        ("page: none\n", &[]),
        ("page: Large digits, note names\n", &["large-digits", "note-names"]),
        ("page: left-handed, fingers\n", &["left-handed", "fingers"]),
        ("handed: left\n", &["left-handed", "fingers", "drawn-left"]),
        ("handed: left\npage: note names\n", &["left-handed", "note-names", "drawn-left"]),
    ] {
        assert_eq!(classes(&page_of(header, SHAPES)), on, "{header}");
    }
}

#[test]
fn boxes_to_tick_are_there_for_what_the_figures_have_and_hidden_until_the_script_runs() {
    let neck = "~~~ neck\nA minor pentatonic, frets 5 to 8\n~~~\n";
    let changes = "~~~ changes verse\n| A | D |\n~~~\n";
    for (body, names) in [
        ("Words.", &[][..]),
        (changes, &["large-digits"]),
        (RIFF, &["large-digits", "fingers"]),
        (neck, &["left-handed", "large-digits", "note-names"]),
        (SHAPES, &["left-handed", "large-digits", "note-names", "fingers"]),
    ] {
        let page = page_of("", body);
        let named = page.split("<input type=\"checkbox\" name=\"").skip(1);
        let named: Vec<&str> = named.map(|rest| rest.split('"').next().unwrap()).collect();
        assert_eq!(named, names, "{body}");
        let hidden = page.contains("<fieldset id=\"switches\" hidden=\"\"><legend>Show</legend>");
        assert_eq!(hidden, !names.is_empty());
    }
}

#[test]
fn a_box_stands_in_the_page_once_with_both_labels_and_its_fingers_apart() {
    let again = SHAPES.replace("grips", "again");
    let page = page_of("", &format!("{SHAPES}\n{again}"));
    let drawn = page.split("<g id=\"b").skip(1);
    let boxes: Vec<&str> = drawn.map(|rest| rest.split("<g id=").next().unwrap()).collect();
    // Two shapes; they are drawn alike wherever they stand.
    assert_eq!(boxes.len(), 2);
    for layer in ["degrees", "notes", "fingers"] {
        assert_eq!(
            boxes.iter().filter(|one| one.contains(&format!("<g class=\"{layer}\">"))).count(),
            2
        );
    }
    assert!(page.matches("href=\"#b1\"").count() >= 2);
}

#[test]
fn what_an_author_asks_for_on_a_neck_is_not_switched() {
    let neck = |label: &str| {
        page_of("", &format!("~~~ neck\nA minor pentatonic, frets 5 to 8{label}\n~~~\n"))
    };
    assert!(neck("").contains("<g class=\"notes\">"));
    for label in [", label notes", ", label degrees", ", label none"] {
        assert!(!neck(label).contains("<g class=\"notes\">"), "{label}");
    }
}

#[test]
fn rows_of_fingers_are_headed_for_either_hand_and_may_be_hidden() {
    let page = page_of("", RIFF);
    assert!(page.contains("<g class=\"fingers\">"));
    // On paper nothing is switched.
    let text = format!("---\ntitle: T\n---\n\n{RIFF}\n{SHAPES}");
    let world = MemoryWorld::default().with_lesson("lesson.md", &text);
    let compiled = compile(&world, "lesson.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    let paper = compiled.paper(&template);
    let job = fretleaf::page::Job { template: &template, paper, fonts: &fonts, draft: false };
    let svg = fretleaf::ink::svg::page(&compiled.press(&job), 0, &fonts);
    assert!(!svg.contains("class=\"fingers\"") && !svg.contains("class=\"notes\""));
}
