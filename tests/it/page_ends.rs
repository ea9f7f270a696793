//! How the pages of the demos end, and how long their lines are (looks, "Page").

#![allow(clippy::unwrap_used)]

use fretleaf::ink::{Document, Fonts, Group, Item, Label, PartId, Point, Pt, Role, Text};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::page::{Job, Template};
use fretleaf::{Source, Wishes};
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
fn each(template: &str, mut check: impl FnMut(&Document, &Job<'_>, &str)) {
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
        let wishes = Wishes { template: Some(template.clone()), ..Wishes::default() };
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
    each("handout", |document, job, name| {
        let last = document.pages.len() - 1;
        let lowest = on_page(document, last).iter().fold(Pt::ZERO, |low, (at, ..)| low.max(at.y));
        let share = (lowest - job.margins().top) / job.column().1;
        assert!(last == 0 || share > 0.3, "{name}: {share} of the last page");
    });
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
