//! From a lesson's script to what the page shows of it: items with their moments, chapters, figures.

use super::board::Sheets;
use super::view::{Sheet, sheet_name};
use crate::cli::watch::build::Scripted;
use fretleaf::blocks::figure::Figure;
use fretleaf::findings::Source;
use fretleaf::ink::{Drawing, Fonts, fingerprint, svg};
use fretleaf::script::page::curved;
use fretleaf::script::told::Told;
use fretleaf::script::{Item, Script, What, chapters, clock, reading, table};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A script as the page shows it.
#[derive(Debug, Serialize)]
pub struct ScriptView {
    /// How long it runs, in words.
    running: String,
    /// Where the time is: its sections, the last row all of them together; empty where there is no table.
    sections: Vec<SectionView>,
    /// Whether it is to have a length.
    has_length: bool,
    chapters: Vec<ChapterView>,
    items: Vec<ItemView>,
    /// The same for the view to read from.
    read: reading::ScriptView,
}

#[derive(Debug, Serialize)]
struct SectionView {
    at: String,
    title: String,
    /// Speech, music, pauses, and all together.
    times: [String; 4],
}

#[derive(Debug, Serialize)]
struct ChapterView {
    at: String,
    title: String,
    /// The item that it begins with, by its place in the list.
    item: usize,
}

#[derive(Debug, Serialize)]
struct ItemView {
    at: String,
    kind: &'static str,
    /// A heading's level.
    #[serde(skip_serializing_if = "Option::is_none")]
    level: Option<u8>,
    words: String,
    /// A cue as it is read.
    #[serde(skip_serializing_if = "Option::is_none")]
    told: Option<Told>,
    /// The lines of the lesson that it stands in, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    lines: Option<(usize, usize)>,
    #[serde(skip_serializing_if = "Option::is_none")]
    figure: Option<FigureView>,
}

#[derive(Debug, Serialize)]
struct FigureView {
    /// The name under which its picture is fetched.
    sheet: String,
    width: f32,
    height: f32,
    /// Its description.
    words: String,
}

/// What the page shows of a script.
pub fn view(scripted: &Scripted, source: &Source) -> ScriptView {
    let script = &scripted.script;
    let chapters = chapters::of(script).into_iter();
    let places = source.places();
    let item = |(index, item): (usize, &Item)| {
        let (kind, level, words) = match &item.what {
            What::Heading { level, words } => ("heading", Some(*level), words),
            What::Speech { words, .. } => ("speech", None, words),
            What::Cue(cue) => ("cue", None, &cue.words),
        };
        let told = match &item.what {
            What::Cue(cue) => Some(cue.told()),
            What::Heading { .. } | What::Speech { .. } => None,
        };
        ItemView {
            at: clock::told(item.at),
            kind,
            level,
            words: curved(words),
            told,
            lines: item.span.map(|span| (places.at(span.start).line, places.at(span.end).line)),
            figure: scripted.figures.get(&index).map(figure),
        }
    };
    ScriptView {
        running: script.running(),
        sections: sections(script),
        has_length: script.length.is_some(),
        chapters: chapters
            .map(|chapter| ChapterView {
                at: clock::told(chapter.at),
                title: chapter.title,
                item: chapter.item,
            })
            .collect(),
        items: script.items.iter().enumerate().map(item).collect(),
        read: reading::view(script),
    }
}

fn sections(script: &Script) -> Vec<SectionView> {
    let rows = table::of(script).into_iter().flat_map(|(rows, all)| rows.into_iter().chain([all]));
    rows.map(|row| SectionView { at: clock::told(row.at), times: row.cells(), title: row.title })
        .collect()
}

/// The figures of a script under their names; those that look as before are taken over.
pub fn sheets(scripted: &Scripted, old: &Sheets, fonts: &Fonts) -> Sheets {
    let sheet = |figure: &Figure| {
        let drawing = figure.in_rows();
        let name = name(&drawing);
        let known = old.get(&name).cloned();
        let painted = || Sheet {
            picture: svg::figure(&drawing, "figure", &figure.words, fonts),
            words: "{}".to_owned(),
        };
        (name, known.unwrap_or_else(|| Arc::new(painted())))
    };
    scripted.figures.values().map(sheet).collect::<BTreeMap<_, _>>()
}

fn name(drawing: &Drawing) -> String {
    sheet_name(fingerprint::of_drawing(drawing, &[]))
}

fn figure(figure: &Figure) -> FigureView {
    let drawing = figure.in_rows();
    FigureView {
        sheet: name(&drawing),
        width: drawing.width.0,
        height: drawing.height.0,
        words: figure.words.clone(),
    }
}
