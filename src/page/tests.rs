//! Whole lessons on pages.

use super::chart::{Charted, Named, set_chart};
use super::flow::{Flow, Room};
use super::{Job, Template, sample, set, sheet};
use crate::blocks;
use crate::blocks::figure::Figure;
use crate::checks;
use crate::checks::Elaborated;
use crate::findings::{Finding, Findings, Weight};
use crate::findings::{Source, Span};
use crate::ink::measure::{LineWidth, TypeSize};
use crate::ink::{Document, Fonts, Group, Item, Label, PartId, Point, Pt, Role, Text, pt};
use crate::lesson;
use crate::lesson::header::Paper;
use crate::lesson::prose::{Inline, Node};
use crate::lesson::world::MemoryWorld;
use crate::theory::Printed;

fn source(text: &str) -> Source {
    Source { name: "slow-ferry.md".to_owned(), text: text.to_owned(), trouble: None }
}

fn template(name: &str) -> Template {
    Template::load(name, |_| None).unwrap()
}

/// The lesson on pages, as a draft.
fn drafted(lesson: &Elaborated<'_>, name: &str) -> Document {
    let (template, fonts) = (template(name), Fonts::new());
    set(lesson, &Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: true })
}

fn pressed(nodes: Vec<Node>) -> Document {
    let (source, template, fonts) = (source(""), template("handout"), Fonts::new());
    let lesson = sample::lesson(&source, nodes);
    set(&lesson, &Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false })
}

/// What stands on a page: each item with its place on the paper, and the label that holds for it.
fn leaves(document: &Document, page: usize) -> Vec<(Point, Label, Item)> {
    fn walk(items: &[Item], at: Point, label: &Label, found: &mut Vec<(Point, Label, Item)>) {
        for item in items {
            match item {
                Item::Group(Group { offset, label: own, items }) => {
                    let label = if *own == Label::None { label } else { own };
                    walk(items, at + *offset, label, found);
                }
                Item::Text(place, _) => found.push((at + *place, label.clone(), item.clone())),
                other => found.push((at, label.clone(), other.clone())),
            }
        }
    }
    let mut found = Vec::new();
    walk(&document.pages[page].drawing.items, Point::default(), &Label::None, &mut found);
    found
}

fn texts(document: &Document, page: usize) -> Vec<(Point, Label, Text)> {
    let leaves = leaves(document, page).into_iter();
    leaves
        .filter_map(|(at, label, item)| match item {
            Item::Text(_, text) => Some((at, label, text)),
            _ => None,
        })
        .collect()
}

/// All words that belong to a part, page after page.
fn words_of(document: &Document, part: PartId) -> String {
    let all = (0..document.pages.len()).flat_map(|page| texts(document, page));
    let own = all.filter(|(_, label, _)| *label == Label::Part(part));
    own.map(|(_, _, text)| text.characters()).collect()
}

/// The page on which words of a part are found.
fn page_of(document: &Document, words: &str) -> Option<usize> {
    (0..document.pages.len()).find(|page| {
        let all = texts(document, *page).into_iter();
        let read_out = all.filter(|(_, label, _)| matches!(label, Label::Part(_)));
        read_out.map(|(_, _, text)| text.characters()).collect::<String>().contains(words)
    })
}

fn everything() -> Vec<Node> {
    let mut nodes = sample::prose();
    nodes.push(sample::table(60));
    nodes.extend(sample::prose());
    nodes
}

#[test]
fn everything_is_labelled_and_on_the_paper() {
    let source = source("~~~ riff\nbroken\n~~~\n");
    for name in ["handout", "large-print", "chart"] {
        let lesson = sample::lesson(&source, everything());
        let lesson = sample::with_broken_block(lesson, Span::new(0, source.text.len()));
        let document = drafted(&lesson, name);
        for page in 0..document.pages.len() {
            let drawing = &document.pages[page].drawing;
            for (at, label, item) in leaves(&document, page) {
                assert_ne!(label, Label::None, "{item:?}");
                assert!(at.x >= Pt::ZERO && at.y >= Pt::ZERO && at.y <= drawing.height, "{item:?}");
                let Item::Text(_, text) = item else { continue };
                assert!(at.x + text.width <= drawing.width, "{}", text.characters());
            }
        }
    }
}

#[test]
fn nothing_is_too_small_for_the_printer() {
    let source = source("");
    let lesson = sample::lesson(&source, everything());
    for name in ["handout", "large-print", "chart"] {
        let document = drafted(&lesson, name);
        for (_, _, item) in (0..document.pages.len()).flat_map(|page| leaves(&document, page)) {
            match item {
                Item::Text(_, text) => {
                    assert!(
                        text.runs.iter().all(|run| run.style.size >= TypeSize::SMALLEST),
                        "{text:?}"
                    );
                }
                Item::Path(path) => {
                    let thin = |stroke: &crate::ink::Stroke| stroke.width < LineWidth::THINNEST;
                    assert!(!path.stroke.as_ref().is_some_and(thin), "{path:?}");
                }
                _ => {}
            }
        }
    }
}

#[test]
fn parts_stand_behind_their_parents_and_links_are_links() {
    let document = pressed(everything());
    for (index, part) in document.parts.iter().enumerate() {
        assert!(part.parent.is_none_or(|parent| parent.0 < index), "{part:?}");
    }
    let links: Vec<_> = document.pages.iter().flat_map(|page| &page.links).collect();
    assert!(links.len() >= 2);
    for link in links {
        assert_eq!(document.parts[link.part.0].role, Role::Link);
        assert!(words_of(&document, link.part).contains("the page about open strings"));
    }
}

#[test]
fn headings_begin_with_the_title_and_leave_no_level_out() {
    let document = pressed(everything());
    let levels: Vec<u8> = document
        .parts
        .iter()
        .filter_map(|part| match part.role {
            Role::Heading(level) => Some(level),
            _ => None,
        })
        .collect();
    assert_eq!(levels, [1, 2, 3, 4, 2, 3, 4]);
    let titles: Vec<&str> = document.bookmarks.iter().map(|mark| mark.title.as_str()).collect();
    assert_eq!(titles[..3], ["The figure", "With the right hand alone", "A word from the road"]);
    let levels: Vec<u8> = document.bookmarks.iter().map(|mark| mark.level).collect();
    assert_eq!(levels, [1, 2, 3, 1, 2, 3]);
}

#[test]
fn words_stand_in_their_order() {
    let document = pressed(sample::prose());
    let mut paragraphs = (0..document.parts.len()).map(|part| words_of(&document, PartId(part)));
    let words = paragraphs.find(|words| words.starts_with("Play it slowly")).unwrap();
    assert!(words.ends_with("will feel short in a month."), "{words}");
    assert!(!words.contains("  "), "{words}");
}

#[test]
fn heading_stays_with_what_follows() {
    // Whatever stands above, a heading and the two lines after it are on one page.
    for lines in 0..60 {
        let mut nodes: Vec<Node> = (0..lines).map(|_| sample::paragraph("A line.")).collect();
        nodes.push(sample::heading(2, "Afterwards"));
        nodes.push(sample::paragraph(&"The end begins here and goes on for some time. ".repeat(6)));
        let document = pressed(nodes);
        let heading = page_of(&document, "Afterwards");
        assert_eq!(heading, page_of(&document, "The end begins"), "{lines} lines above");
    }
}

#[test]
fn no_line_of_a_paragraph_stands_alone() {
    for lines in 20..60 {
        let mut nodes: Vec<Node> = (0..lines).map(|_| sample::paragraph("A line.")).collect();
        nodes.push(sample::paragraph(&"oxbow ".repeat(90)));
        let document = pressed(nodes);
        for page in 0..document.pages.len() {
            let on_page = texts(&document, page);
            let of_it = on_page.iter().filter(|(_, _, text)| text.characters().contains("oxbow"));
            assert_ne!(of_it.count(), 1, "{lines} lines above, page {page}");
        }
    }
}

#[test]
fn table_head_is_repeated_but_read_out_once() {
    let document = pressed(vec![sample::table(90)]);
    assert!(document.pages.len() > 2);
    for page in 0..document.pages.len() {
        let heads: Vec<Label> = texts(&document, page)
            .into_iter()
            .filter(|(_, _, text)| text.characters().contains("How long"))
            .map(|(_, label, _)| label)
            .collect();
        assert_eq!(heads.len(), 1, "page {page}");
        assert_eq!(heads[0] == Label::Artifact, page > 0);
    }
}

#[test]
fn page_begins_where_the_lesson_asks() {
    let nodes =
        vec![sample::paragraph("one"), Node::NewPage, Node::NewPage, sample::paragraph("two")];
    let document = pressed(nodes);
    assert_eq!(document.pages.len(), 2);
    assert_eq!(page_of(&document, "two"), Some(1));
}

#[test]
fn caption_stays_with_its_figure_and_strips_stay_on_the_paper() {
    let (source, template, fonts) = (source(""), template("handout"), Fonts::new());
    let job = Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false };
    for (lines, strips, height) in [(35, 1, 80.0), (38, 3, 80.0), (41, 6, 200.0), (3, 2, 3000.0)] {
        let lesson = sample::lesson(&source, vec![]);
        let mut flow = Flow::new(&lesson, &job);
        let width = job.column().0;
        let place =
            Room { left: Pt::ZERO, width, spare: Pt::ZERO, part: None, gap: pt(6.0), lists: 0 };
        for _ in 0..lines {
            flow.lesson(&[sample::paragraph("A line.")], place);
        }
        let figure = sample::figure(&fonts, strips, width.0, height);
        flow.figure(figure, Some("the hook"), Some(3), place);
        let document = sheet::document(flow);
        let caption = page_of(&document, "3  the hook");
        assert!(caption.is_some());
        assert_eq!(caption, page_of(&document, "system 1"));
        let bottom = pt(842.0) - template.margins.bottom + pt(1.0);
        let all = (0..document.pages.len()).flat_map(|page| texts(&document, page));
        let read_out = all.filter(|(_, label, _)| matches!(label, Label::Part(_)));
        assert!(read_out.into_iter().all(|(at, _, _)| at.y <= bottom));
    }
}

#[test]
fn draft_shows_what_is_wrong() {
    let text = "~~~ riff\ne |--7b--|\n~~~\n";
    let source = source(text);
    let lesson = sample::lesson(&source, sample::prose());
    let lesson = sample::with_broken_block(lesson, Span::new(0, text.len()));
    let document = drafted(&lesson, "handout");
    let last = document.pages.len() - 1;
    let words: String =
        texts(&document, last).iter().map(|(_, _, text)| text.characters()).collect();
    assert_eq!(page_of(&document, "Fault: unknown key “foo”"), Some(0));
    for part in [
        "Fault a: bar 2 holds three and a half beats of “four”",
        "Doubt: guessed: the counts",
        "|--7b--|",
        "Draft with 3 faults and 1 doubt, marked by bars",
    ] {
        assert!(words.contains(part), "{part} in {words}");
    }
    let (template, fonts) = (template("handout"), Fonts::new());
    let job = Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false };
    let clean = set(&lesson, &job);
    assert_eq!(page_of(&clean, "Fault"), None);
}

#[test]
fn same_lesson_gives_the_same_pages() {
    let once = format!("{:?}", pressed(everything()));
    assert_eq!(once, format!("{:?}", pressed(everything())));
}

#[test]
fn empty_lesson_has_a_page() {
    let source = source("");
    let mut lesson = sample::lesson(&source, vec![]);
    lesson.lesson.header.title = String::new();
    lesson.lesson.header.rights = None;
    assert_eq!(drafted(&lesson, "handout").pages.len(), 1);
}

#[test]
fn hostile_lessons_are_printed() {
    let deep = |wrap: fn(Vec<Node>) -> Node| {
        (0..300).fold(sample::paragraph("within"), |inner, _| wrap(vec![inner]))
    };
    let stressed = (0..300).fold(sample::text("loud"), |inner, _| Inline::Emphasis(vec![inner]));
    let lessons = [
        (0..20_000).map(|_| sample::paragraph("Hello.")).collect(),
        vec![sample::paragraph(&"x".repeat(50_000))],
        vec![sample::paragraph(&"word ".repeat(20_000))],
        vec![
            Node::Code("0".repeat(50_000)),
            Node::Code("\n".repeat(2_000)),
            Node::Code(String::new()),
        ],
        vec![deep(Node::Quote)],
        vec![deep(|inner| Node::List { start: Some(u64::MAX), tight: false, items: vec![inner] })],
        vec![Node::Paragraph(vec![stressed])],
        vec![sample::heading(9, &"endless ".repeat(2_000))],
        vec![Node::List { start: None, tight: true, items: vec![vec![], vec![]] }],
        vec![wide_table(400), Node::Table { columns: vec![], head: vec![], rows: vec![vec![]] }],
        vec![Node::Paragraph(vec![Inline::Phrase(99), Inline::Picture(99)]), Node::Music(99)],
        vec![sample::paragraph("\u{202e}\u{0}\u{301}\u{200d}🎸\u{fffd}\u{2028}\u{2029}\u{a0}")],
    ];
    for nodes in lessons {
        let document = pressed(nodes);
        assert!(!document.pages.is_empty());
    }
}

fn wide_table(columns: usize) -> Node {
    let cells = || (0..columns).map(|_| vec![sample::text("wide cell")]).collect();
    let alignment = crate::lesson::prose::Alignment::Centre;
    Node::Table { columns: vec![alignment; columns], head: cells(), rows: vec![cells()] }
}

#[test]
fn sounds_stand_in_a_table_at_the_end_where_the_header_asks_for_it() {
    let riff = "~~~ riff\ncount  1                       2   |\ne      3-----------------------5---|\n\
        tone   lead: bridge pickup     lead|\n~~~\n";
    let pages = |header: &str| {
        let text = format!("---\ntitle: Sounds\nmeter: 2/4\n{header}---\n\n{riff}");
        let source = Source::new("sounds.md", text.as_bytes());
        let mut findings = Findings::default();
        let read = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
        let lesson = checks::elaborate(read, &mut findings);
        let (template, fonts) = (template("handout"), Fonts::new());
        let job = Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false };
        let words = texts(&set(&lesson, &job), 0);
        words.into_iter().map(|(_, _, text)| text.characters()).collect::<Vec<String>>()
    };
    let listed = pages("sounds: list\n");
    let heading = listed.iter().rposition(|text| text == "Sounds").unwrap();
    let table = listed[heading + 1..].join(" ");
    assert!(table.starts_with("lead bridge pickup"), "{table}");
    assert!(!pages("")[2..].contains(&"Sounds".to_owned()));
}

/// A lesson's text on pages, with a chord page or without.
fn with_chord_page(body: &str, page: bool) -> Document {
    let mut findings = Findings::default();
    let text = format!("---\ntitle: Grips\nkey: A major\n---\n\n{body}");
    let source = Source::new("grips.md", text.as_bytes());
    let read = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let lesson = checks::elaborate(read, &mut findings);
    let template = Template::parse(&format!("[chords]\npage = {page}\n")).unwrap();
    let fonts = Fonts::new();
    set(&lesson, &Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false })
}

const GRIPS: &str = "## Begin\n\n~~~ shape first\nA  x02220\nD  xx0232\n~~~\n\nMore.\n\n~~~ shape\nA  x02220\nA (high)  577655\n~~~\n";

#[test]
fn chord_page_gathers_each_shape_once_under_a_heading_of_its_own() {
    let document = with_chord_page(GRIPS, true);
    let page = page_of(&document, "Chords in this lesson").unwrap();
    assert_eq!(page, 0, "four boxes need no page of their own");
    let broken = with_chord_page(&format!("{GRIPS}\n[new page]\n"), true);
    assert_eq!(page_of(&broken, "Chords in this lesson"), Some(1));
    let symbols = texts(&document, page).into_iter().map(|(_, _, text)| text.characters());
    let symbols: Vec<String> = symbols.filter(|text| ["A", "D"].contains(&text.as_str())).collect();
    assert_eq!(symbols, ["A", "D", "A", "A", "A", "D", "A"]);
    let bookmarks: Vec<&str> = document.bookmarks.iter().map(|mark| mark.title.as_str()).collect();
    assert_eq!(bookmarks.last(), Some(&"Chords in this lesson"));
    let figures = document.parts.iter().filter(|part| part.role == Role::Figure);
    assert_eq!(figures.count(), 3);
    assert_eq!(page_of(&with_chord_page(GRIPS, false), "Chords in this lesson"), None);
}

#[test]
fn chord_page_keeps_tunings_apart_and_is_left_out_without_shapes() {
    let tuned =
        format!("{GRIPS}\n~~~ now\ntuning: D A D G B E\n~~~\n\n~~~ shape\nD  000232\n~~~\n");
    let document = with_chord_page(&tuned, true);
    let page = page_of(&document, "Chords in this lesson").unwrap();
    let words: Vec<String> =
        texts(&document, page).into_iter().map(|(_, _, text)| text.characters()).collect();
    let words = words.join(" ");
    assert!(words.contains("standard tuning") && words.contains("drop D"), "{words}");
    for body in
        ["Only words.", "~~~ shape\nH  x02220\n~~~\n", "~~~ shape, not printed\nA  x02220\n~~~\n"]
    {
        assert_eq!(page_of(&with_chord_page(body, true), "Chords in this lesson"), None, "{body}");
    }
}

/// How far from the left margin words of ours stand that begin with others.
fn place_of(document: &Document, words: &str) -> Pt {
    let all = texts(document, 0).into_iter();
    let found = all.filter(|(_, label, _)| matches!(label, Label::Part(_)));
    let mut found = found.filter(|(_, _, text)| text.characters().trim() == words);
    let (at, _, text) = found.next().unwrap();
    at.x + text.runs.iter().map(|run| run.x).fold(pt(9999.0), Pt::min)
}

#[test]
fn lists_and_quotations_stand_on_the_side_from_which_they_are_read() {
    let list = |start, words: [&str; 2]| Node::List {
        start,
        tight: true,
        items: words.map(|words| vec![sample::paragraph(words)]).to_vec(),
    };
    let document = pressed(vec![
        list(None, ["ראשון", "left"]),
        list(Some(7), ["שני", "right"]),
        Node::Quote(vec![sample::paragraph("ציטוט")]),
    ]);
    let template = template("handout");
    let job = Job { template: &template, paper: Paper::A4, fonts: &Fonts::new(), draft: false };
    let right = template.margins.left + job.side().unwrap().text;
    let indent = template.spaces.indent;
    assert!(place_of(&document, "ראשון") < right - indent);
    assert!(place_of(&document, "left") > template.margins.left);
    let numbers: Vec<Pt> = texts(&document, 0)
        .into_iter()
        .filter(|(_, _, text)| text.characters().starts_with('7'))
        .map(|(at, _, text)| at.x + text.runs[0].x)
        .collect();
    assert!(numbers.iter().any(|x| *x > right - indent && *x < right), "{numbers:?}");
    let bullets: Vec<Pt> = texts(&document, 0)
        .into_iter()
        .filter(|(_, _, text)| text.characters().trim() == "•")
        .map(|(at, _, _)| at.x)
        .collect();
    assert!(bullets[0] > right - indent && bullets[1] < template.margins.left + indent);
}

#[test]
fn a_draft_counts_and_tells_every_fault() {
    let source = source(
        "---\ntitle: A small one\nkey: A blues\nfoo: bar\n---\n\n`C is the third of A`.\n\n\
         ~~~ say\n[pause for breath]\n`C is the third of A`\n~~~\n\n\
         ~~~ riff hook -- One\nH 0\n~~~\n\n~~~ riff HOOK, caption A, title B\n~~~\n",
    );
    let mut findings = Findings::default();
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let lesson = checks::elaborate(lesson, &mut findings);
    let findings = findings.sorted();
    let faults: Vec<_> = findings.iter().filter(|one| one.weight == Weight::Fault).collect();
    let said = lesson.blocks.iter().find(|block| block.faults.len() == 2).unwrap();
    let is_said = |one: &&Finding| said.span.start < one.span.start && one.span.end < said.span.end;
    let (said, faults): (Vec<&Finding>, Vec<&Finding>) = faults.into_iter().partition(is_said);
    assert_eq!(said.len(), 2, "the script's");
    let document = drafted(&lesson, "handout");
    let words = |page| {
        let texts = texts(&document, page).into_iter();
        texts.map(|(_, _, text)| text.characters()).collect::<String>()
    };
    let words: String = (0..document.pages.len()).map(words).collect();
    let foot = format!("Draft with {} faults, marked by bars", faults.len());
    assert!(words.contains(&foot), "{foot} in {words}");
    for told in ["Fault: unknown key “foo”", "is taken", "a second caption"] {
        assert!(words.contains(told), "{told} in {words}");
    }
    assert_eq!(words.matches("Fault").count(), faults.len() - 1, "all but the phrase's");
}

#[test]
fn a_figures_notes_are_printed_behind_it() {
    let (source, template, fonts) = (source(""), template("handout"), Fonts::new());
    let lesson = sample::lesson(&source, vec![]);
    let job = Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false };
    let note = Printed::plain("open dots belong to A").then("add9", true);
    let figure = Figure { notes: vec![note], ..sample::figure(&fonts, 1, 300.0, 60.0) };
    let figures = vec![Named { name: None, caption: None, figure }];
    let chart = Charted { names: Vec::new(), figures };
    let document = set_chart(&lesson, chart, &job);
    let roles: Vec<Role> = document.parts.iter().map(|part| part.role).collect();
    assert_eq!(roles[roles.len() - 2..], [Role::Figure, Role::Paragraph]);
    let last = PartId(document.parts.len() - 1);
    assert_eq!(words_of(&document, last), "open dots belong to Aadd9");
}
