//! Pages: templates, paragraphs, and the flow of prose and figures onto sheets of paper.
//!
//! A lesson becomes a [galley]: all that is printed, one thing under the other. The galley
//! is [cut](breaks) into pages, and each page is laid on a [sheet] of paper.

pub mod advice;
mod answers;
pub mod breaks;
pub mod chart;
mod chords;
pub mod chosen_template;
mod draft;
pub mod figures;
pub mod flow;
pub mod galley;
pub mod inline;
pub mod line;
mod lists;
pub mod paragraph;
pub mod parts;
pub mod sheet;
pub mod table;
pub mod template;
pub mod title;

pub use template::{Template, TemplateError};

use crate::checks::Elaborated;
use crate::ink::{Document, Fonts, Pt, Role};
use crate::lesson::header::Paper;
use flow::{Flow, Manner, Room};
use galley::TOGETHER;

/// How a lesson is to be printed.
pub struct Job<'a> {
    /// The looks.
    pub template: &'a Template,
    /// The paper.
    pub paper: Paper,
    /// The type faces.
    pub fonts: &'a Fonts,
    /// Whether it is a draft, whose faulty places are marked.
    pub draft: bool,
}

impl Job<'_> {
    /// The paper's width and height.
    pub fn paper_size(&self) -> (Pt, Pt) {
        Template::paper_size(self.paper)
    }

    /// The column's width and height.
    pub fn column(&self) -> (Pt, Pt) {
        let (width, height) = self.paper_size();
        let margins = &self.template.margins;
        (width - margins.left - margins.right, height - margins.top - margins.bottom)
    }
}

/// Sets a lesson on pages; one page at least.
pub fn set(lesson: &Elaborated<'_>, job: &Job<'_>) -> Document {
    let mut flow = Flow::new(lesson, job);
    let place = Room {
        left: Pt::ZERO,
        width: job.column().0,
        part: None,
        gap: job.template.body.paragraph_space,
        lists: 0,
    };
    flow.title_block(place);
    flow.lesson(&lesson.lesson.nodes, place);
    if job.template.chords.page {
        flow.chord_page(place);
    }
    flow.answers(place);
    if let Some(rights) = advice::rights_in_tune(&lesson.lesson.header) {
        flow.galley.space(place.gap * 2.0);
        flow.galley.hold(TOGETHER);
        flow.words(rights, Role::Paragraph, Manner::ragged(job.template.small), place);
    }
    sheet::document(flow)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod neck_tests;
#[cfg(test)]
mod sample;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
