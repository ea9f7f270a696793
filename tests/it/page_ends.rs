//! How the pages of the demos end, and how long their lines are (looks, "Page").

#![allow(clippy::unwrap_used)]

use fretleaf::ink::{Document, Fonts, Group, Item, Label, PartId, Point, Pt, Role, Text, pt};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::page::{Job, Template};
use fretleaf::{Source, Wishes};
use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

/// A page's words and the boxes of its figures' lines that are read out: how far down they are, their part, their words.
type Piece = (Point, PartId, Option<Text>);

fn pieces(items: &[Item], at: Point, part: Option<PartId>, found: &mut Vec<Piece>) {
    for item in items {
        match item {
            Item::Group(Group { offset, label, items }) => {
                let own = match label {
                    Label::Part(own) => Some(*own),
                    Label::Artifact => None,
                    _ => part,
                };
                pieces(items, at + *offset, own, found);
            }
            Item::Text(place, text) => {
                found.extend(part.map(|part| (at + *place, part, Some(text.clone()))));
            }
            _ => found.extend(part.map(|part| (at, part, None))),
        }
    }
}

fn on_page(document: &Document, page: usize) -> Vec<Piece> {
    let mut found = Vec::new();
    pieces(&document.pages[page].drawing.items, Point::default(), None, &mut found);
    found
}

/// Calls back with each demo's handout.
fn each(template: &str, check: impl FnMut(&Document, &Job<'_>, &str)) {
    each_for(template, false, check);
}

/// Calls back with each demo's handout for a player of one hand or the other.
fn each_for(template: &str, left_handed: bool, mut check: impl FnMut(&Document, &Job<'_>, &str)) {
    let (template, fonts) = (Template::load(template, |_| None).unwrap(), Fonts::new());
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let mut demos: Vec<String> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".md"))
        .collect();
    demos.sort();
    let papers = if template.paper == Paper::A4 {
        vec![Paper::A4, Paper::Letter]
    } else {
        vec![template.paper]
    };
    for paper in papers {
        let wishes = Wishes { template: Some(template.clone()), left_handed, ..Wishes::default() };
        for name in &demos {
            let source = Source::new(name, &fs::read(folder.join(name)).unwrap());
            let world = FolderWorld::new(&folder).with_lesson(source);
            let compiled = wishes.compile(&world, name).unwrap();
            let job = Job { template: &template, paper, fonts: &fonts, draft: false };
            check(&compiled.press(&job), &job, &format!("{name} on {paper:?}"));
        }
    }
}

#[test]
fn no_last_page_is_nearly_empty() {
    for template in ["handout", "large-print", "booklet"] {
        for left_handed in [false, true] {
            each_for(template, left_handed, |document, job, name| {
                let last = document.pages.len() - 1;
                let share = share(document, job, last);
                assert!(last == 0 || share >= 1.0 / 3.0, "{name}, {template}: {share}");
            });
        }
    }
}

#[test]
fn no_heading_and_no_caption_stands_at_a_foot() {
    for template in ["handout", "large-print", "booklet"] {
        each(template, |document, job, name| {
            let text = job.side().map_or(job.column().0, |side| side.left) + job.margins().left;
            for page in 0..document.pages.len() {
                let mut all = on_page(document, page);
                all.retain(|(at, ..)| at.x < text);
                let Some((_, part, _)) =
                    all.iter().max_by(|(one, ..), (other, ..)| one.y.0.total_cmp(&other.y.0))
                else {
                    continue;
                };
                let role = document.parts[part.0].role;
                assert!(
                    !matches!(role, Role::Heading(_) | Role::Caption),
                    "{name}, {template}: page {page}"
                );
            }
        });
    }
}

#[test]
fn lines_of_prose_have_sixty_to_eighty_letters() {
    for template in ["handout", "booklet"] {
        each(template, |document, job, name| {
            let width = job.side().map_or(job.column().0, |side| side.text);
            let size = job.template.body.size;
            let mut lengths = Vec::new();
            for page in 0..document.pages.len() {
                for (_, part, text) in on_page(document, page) {
                    let Some(text) = text else { continue };
                    let is_prose = document.parts[part.0].role == Role::Paragraph
                        && text.runs.first().is_some_and(|run| run.style.size == size);
                    if is_prose && text.width >= width * 0.97 {
                        lengths.push(text.characters().trim().chars().count());
                    }
                }
            }
            let mean = lengths.iter().sum::<usize>() as f32 / lengths.len().max(1) as f32;
            assert!((60.0..=80.0).contains(&mean), "{name}, {template}: {mean} in {lengths:?}");
        });
    }
}

/// A part's lines of words: the page, how far down, the words as they stand, their width.
type PartLine = (usize, Pt, String, Pt);

/// The lines of words of a part in a document.
fn lines_of(document: &Document, part: PartId, size: Pt) -> Vec<PartLine> {
    let mut lines: Vec<PartLine> = Vec::new();
    for page in 0..document.pages.len() {
        for (at, _, text) in on_page(document, page).into_iter().filter(|piece| piece.1 == part) {
            let Some(text) = text.filter(|text| text.runs.iter().any(|run| run.style.size == size))
            else {
                continue;
            };
            let words = text.characters();
            match lines.last_mut() {
                Some((on, y, line, width)) if *on == page && (*y - at.y).abs() < pt(0.1) => {
                    line.push_str(&words);
                    *width += text.width;
                }
                _ => lines.push((page, at.y, words, text.width)),
            }
        }
    }
    lines
}

/// Whether words are those on rights at a lesson's end.
fn is_rights(words: &Text) -> bool {
    words.characters().starts_with("Rights in a tune")
}

/// How far down a page is filled, as a share of its column.
fn share(document: &Document, job: &Job<'_>, page: usize) -> f32 {
    let mut pieces = on_page(document, page);
    // The word on rights stands at the last foot, however little is above it.
    pieces.retain(|(.., words)| !words.as_ref().is_some_and(is_rights));
    let lowest = pieces.iter().fold(Pt::ZERO, |low, (at, ..)| low.max(at.y));
    (lowest - job.margins().top) / job.column().1
}

/// How far down a page its first figure ends, where it has none its first paragraph, as a share of its column.
fn first_end(document: &Document, job: &Job<'_>, page: usize) -> f32 {
    let pieces = on_page(document, page);
    let is_figure = |part: &PartId| document.parts[part.0].role == Role::Figure;
    let first = pieces.iter().find(|(_, part, _)| is_figure(part)).or(pieces.first());
    let own = pieces.iter().filter(|(_, part, _)| first.is_some_and(|first| *part == first.1));
    let end = own.fold(Pt::ZERO, |low, (at, ..)| low.max(at.y));
    (end - job.margins().top) / job.column().1
}

#[test]
fn pages_are_filled() {
    for template in ["handout", "large-print", "booklet"] {
        each(template, |document, job, name| {
            let count = document.pages.len();
            for page in 0..count - 1 {
                let (own, next) = (share(document, job, page), share(document, job, page + 1));
                // What moves to the next page up to the end of its first figure could not fit.
                let end = first_end(document, job, page + 1);
                let held = own + end > 0.94;
                // Without what the last page begins with it would be nearly empty.
                let shared = page + 2 == count && next - end < 0.33;
                let answers = document
                    .bookmarks
                    .iter()
                    .any(|mark| mark.page == page + 1 && mark.title == "Answers");
                // In large print a figure takes half a page, and a page has room for one or two.
                let least = if template == "large-print" { 0.4 } else { 0.69 };
                assert!(
                    own >= least || held || shared || answers,
                    "{name}, {template}: page {page}, {own}"
                );
            }
        });
    }
}

#[test]
fn short_paragraphs_are_parted_at_full_feet_alone() {
    for template in ["handout", "large-print", "booklet"] {
        each(template, |document, job, name| {
            for part in (0..document.parts.len()).map(PartId) {
                if document.parts[part.0].role != Role::Paragraph {
                    continue;
                }
                let lines = lines_of(document, part, job.template.body.size);
                let pages = lines.first().map(|line| line.0)..lines.last().map(|line| line.0);
                if lines.len() > 5 || pages.start == pages.end {
                    continue;
                }
                let own = share(document, job, pages.start.unwrap());
                assert!(own > 0.85, "{name}, {template}: {own}, {lines:?}");
            }
        });
    }
}

#[test]
fn no_last_line_is_one_short_word() {
    for template in ["handout", "large-print", "booklet"] {
        each(template, |document, job, name| {
            let measure = job.side().map_or(job.column().0, |side| side.text);
            for part in (0..document.parts.len()).map(PartId) {
                if document.parts[part.0].role != Role::Paragraph {
                    continue;
                }
                let lines = lines_of(document, part, job.template.body.size);
                let Some((_, _, last, width)) = lines.last().filter(|_| lines.len() > 1) else {
                    continue;
                };
                let lonely = !last.trim().contains(' ') && *width < measure / 8.0;
                assert!(!lonely, "{name}, {template}: {lines:?}");
            }
        });
    }
}

#[test]
fn short_phrases_are_parted_to_fill_a_line_alone() {
    for template in ["handout", "large-print", "booklet"] {
        each(template, |document, job, name| {
            let third = job.side().map_or(job.column().0, |side| side.text) / 3.0;
            for page in &document.pages {
                let mut widths: BTreeMap<usize, Vec<Pt>> = BTreeMap::new();
                for anchor in &page.anchors {
                    widths.entry(anchor.source.start).or_default().push(anchor.width);
                }
                for (start, widths) in widths.into_iter().filter(|(_, widths)| widths.len() > 1) {
                    let whole: Pt = widths.iter().copied().sum();
                    // A shorter one is parted where its first line would have a hole without it.
                    let fills = widths.first().is_some_and(|first| *first > third * 0.2);
                    assert!(
                        whole > third * 0.9 || fills,
                        "{name}, {template}: at {start}, {widths:?}"
                    );
                }
            }
        });
    }
}

#[test]
fn headings_stand_nearer_to_what_they_head() {
    for template in ["handout", "large-print", "booklet"] {
        each(template, |document, job, name| {
            let text = job.side().map_or(job.column().0, |side| side.left) + job.margins().left;
            for page in 0..document.pages.len() {
                let mut words = on_page(document, page);
                words.retain(|(at, _, words)| at.x < text && words.is_some());
                words.sort_by(|(one, ..), (other, ..)| one.y.0.total_cmp(&other.y.0));
                for three in words.windows(3) {
                    let [(above, other, _), (own, part, _), (beneath, next, _)] = three else {
                        continue;
                    };
                    let is_heading =
                        |part: &PartId| matches!(document.parts[part.0].role, Role::Heading(2..));
                    if !is_heading(part) || other == part || next == part || is_heading(next) {
                        continue;
                    }
                    let (before, behind) = (own.y - above.y, beneath.y - own.y);
                    let least = job.template.body.leading;
                    assert!(
                        behind >= least && behind < before,
                        "{name}, {template}: {before}, {behind}"
                    );
                }
            }
        });
    }
}

/// The words of a page that aren't read out: its running head and its foot.
fn head_and_foot(items: &[Item], at: Point, artifact: bool, found: &mut Vec<(Point, Text)>) {
    for item in items {
        match item {
            Item::Group(Group { offset, label, items }) => {
                head_and_foot(items, at + *offset, *label == Label::Artifact, found);
            }
            Item::Text(place, text) if artifact => found.push((at + *place, text.clone())),
            _ => {}
        }
    }
}

#[test]
fn a_booklets_numbers_and_titles_stand_at_outer_edges() {
    for template in ["handout", "booklet"] {
        each(template, |document, job, name| {
            let middle = job.margins().left + job.column().0 / 2.0;
            let title = &document.title;
            for (page, sheet) in document.pages.iter().enumerate() {
                let mut found = Vec::new();
                head_and_foot(&sheet.drawing.items, Point::default(), false, &mut found);
                let number = format!("{} of {}", page + 1, document.pages.len());
                let is_right = |words: &str| {
                    let text = found.iter().rev().find(|(_, text)| text.characters() == words);
                    text.map(|(at, _)| at.x > middle)
                };
                let outer = template == "handout" || page % 2 == 0;
                let numbered = (document.pages.len() > 1).then_some(outer);
                assert_eq!(is_right(&number), numbered, "{name}: {number}");
                if page > 0 {
                    let at_right = template == "booklet" && page % 2 == 0;
                    assert_eq!(is_right(title), Some(at_right), "{name}: {title} on {number}");
                }
            }
        });
    }
}

#[test]
fn riffs_of_two_systems_and_sets_of_grips_are_whole() {
    for template in ["handout", "large-print"] {
        each(template, |document, job, name| {
            let is_checked = name.starts_with("slow-ferry.md on A4");
            for page in (1..document.pages.len()).filter(|_| is_checked) {
                let sheet = &document.pages[page];
                let mut found = Vec::new();
                head_and_foot(&sheet.drawing.items, Point::default(), false, &mut found);
                let goes_on = found.iter().any(|(_, text)| text.characters().contains("continued"));
                // Two systems of three guitars under chord boxes are higher than a page of large print.
                let least = parted_figure(document, page) / job.column().1;
                assert!(!goes_on || least > 1.0, "{name}, {template}: page {page}, {least}");
            }
        });
    }
}

/// How high a figure is at least that goes on with a page: as far as its words and signs lie apart, on that page and on the one
/// before it.
fn parted_figure(document: &Document, page: usize) -> Pt {
    let is_figure = |part: &PartId| document.parts[part.0].role == Role::Figure;
    let here = on_page(document, page);
    let Some((_, own, _)) = here.iter().find(|(_, part, _)| is_figure(part)) else {
        return Pt::ZERO;
    };
    let height = |pieces: &[Piece]| {
        let own = || pieces.iter().filter(|(_, part, _)| part == own).map(|(at, ..)| at.y);
        own().fold(Pt::ZERO, Pt::max) - own().reduce(Pt::min).unwrap_or(Pt::ZERO)
    };
    height(&on_page(document, page - 1)) + height(&here)
}

#[test]
fn the_foot_keeps_clear_of_the_columns() {
    for template in ["handout", "large-print"] {
        each(template, |document, job, name| {
            let bottom = job.margins().top + job.column().1;
            for sheet in &document.pages {
                let mut found = Vec::new();
                head_and_foot(&sheet.drawing.items, Point::default(), false, &mut found);
                for (at, text) in found.iter().filter(|(at, _)| at.y > bottom) {
                    let size = text.runs.first().map_or(Pt::ZERO, |run| run.style.size);
                    let clear = at.y - size * 0.72 - bottom;
                    assert!(
                        clear > pt(22.6),
                        "{name}, {template}: {clear:?}, {}",
                        text.characters()
                    );
                }
            }
        });
    }
}

#[test]
fn the_word_on_rights_stands_at_the_last_foot() {
    each("handout", |document, job, name| {
        let last = document.pages.len() - 1;
        let pieces = on_page(document, last);
        let rights = pieces.iter().find(|(.., words)| words.as_ref().is_some_and(is_rights));
        let Some((at, ..)) = rights else { return };
        let above = job.margins().top + job.column().1 - at.y;
        assert!(above < job.template.small.leading, "{name}: {above:?}");
    });
}

#[test]
fn what_is_told_is_not_told_again() {
    each("handout", |document, _, name| {
        let mut told: BTreeMap<usize, String> = BTreeMap::new();
        for page in 0..document.pages.len() {
            for (_, part, words) in on_page(document, page) {
                let words = words.map(|words| words.characters()).unwrap_or_default();
                let is_title = document.parts[part.0].role == Role::Figure
                    && ["A major pentatonic", "G blues"].contains(&words.trim());
                assert!(!is_title, "{name}: the caption says {words}");
                told.entry(part.0).or_default().push_str(&words);
            }
        }
        for words in told.values().filter(|words| words.contains("bar\u{a0}1 of the hook")) {
            assert_eq!(words.matches("(figure").count(), 1, "{name}: {words}");
        }
    });
}

#[test]
fn captions_stand_right_above_their_figures() {
    each("handout", |document, job, name| {
        let role = |part: PartId| document.parts[part.0].role;
        for page in 0..document.pages.len() {
            let pieces = on_page(document, page);
            for (at, ..) in pieces.iter().filter(|(_, part, _)| role(*part) == Role::Caption) {
                let below = pieces.iter().filter(|(below, part, _)| {
                    role(*part) == Role::Figure && below.y > at.y && below.x >= job.margins().left
                });
                let figure = below.fold(at.y + pt(500.0), |top, (below, ..)| top.min(below.y));
                let most = job.template.caption.leading + job.template.spaces.caption;
                assert!(figure - at.y < most * 1.5, "{name}: page {page}, {}", figure - at.y);
            }
        }
    });
}

#[test]
fn no_figure_is_parted_where_a_booklets_page_is_turned() {
    each("booklet", |document, _, name| {
        // The tune of the bakery is longer than a page.
        if name.starts_with("closed-bakery.md") {
            return;
        }
        for sheet in document.pages.iter().skip(1).step_by(2) {
            let mut found = Vec::new();
            head_and_foot(&sheet.drawing.items, Point::default(), false, &mut found);
            let goes_on = found.iter().any(|(_, text)| text.characters().contains("continued"));
            assert!(!goes_on, "{name}");
        }
    });
}
