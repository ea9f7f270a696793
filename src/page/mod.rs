//! Pages: templates, paragraphs, and the flow of prose and figures onto sheets of paper.
//!
//! A lesson becomes a [galley]: all that is printed, one thing under the other. The galley
//! is [cut](breaks) into pages, and each page is laid on a [sheet] of paper.

pub mod abreast;
pub mod advice;
mod ahead;
mod answers;
mod asides;
pub mod breaks;
mod caution;
pub mod chart;
pub mod chords;
pub mod chosen_template;
pub mod draft;
pub mod figures;
pub mod flow;
pub mod fold;
pub mod galley;
pub mod inline;
pub mod line;
mod lists;
pub mod named;
pub mod paragraph;
pub mod parts;
mod pictures;
pub mod sheet;
pub mod sounds;
pub mod table;
pub mod template;
pub mod title;
pub mod told;

pub use template::{Template, TemplateError};

use crate::blocks::lyrics::Song;
use crate::checks::Elaborated;
use crate::ink::{Document, Fonts, Pt, Role};
use crate::lesson::header::Paper;
use flow::{Flow, Manner, Room};
use galley::TOGETHER;
use template::Margins;

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

    /// The margins on the job's paper.
    pub fn margins(&self) -> Margins {
        self.template.margins_on(self.paper)
    }

    /// The width and height of what lies between the margins; figures may be so wide.
    pub fn column(&self) -> (Pt, Pt) {
        let (width, height) = self.paper_size();
        let margins = self.margins();
        (width - margins.left - margins.right, height - margins.top - margins.bottom)
    }

    /// The column beside the text, by what lies left of it and its width: in proportion to the paper. None
    /// where the template has none, or where too narrow a text would be left beside it.
    pub fn side(&self) -> Option<SideColumn> {
        let side = self.template.side;
        let share = self.paper_size().0 / Template::paper_size(self.template.paper).0;
        let (width, gutter) = (side.width * share, side.gutter * share);
        let text = self.column().0 - width - gutter;
        let is_wide = text >= self.template.body.size * NARROWEST_TEXT;
        (width > Pt::ZERO && is_wide).then_some(SideColumn { text, left: text + gutter, width })
    }

    /// Where the lesson's own blocks stand, some space between them.
    fn room(&self, gap: Pt) -> Room {
        let whole = self.column().0;
        let width = self.side().map_or(whole, |side| side.text);
        Room { left: Pt::ZERO, width, spare: whole - width, part: None, gap, lists: 0 }
    }
}

/// The narrowest text that a column is set beside, in sizes of its type: about 60 letters (looks, "Page").
const NARROWEST_TEXT: f32 = 26.0;

/// The column beside the text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideColumn {
    /// The width of the text.
    pub text: Pt,
    /// Where the column begins, from the text's left edge.
    pub left: Pt,
    /// Its width.
    pub width: Pt,
}

/// Sets a lesson on pages; one page at least.
pub fn set(lesson: &Elaborated<'_>, job: &Job<'_>) -> Document {
    ahead::beside(lesson, job, |ahead| {
        let mut flow = Flow::new(lesson, job);
        flow.ahead = Some(ahead);
        flowing(flow)
    })
}

fn flowing(mut flow: Flow<'_>) -> Document {
    let (lesson, job) = (flow.lesson, flow.job);
    let place = job.room(job.template.body.paragraph_space);
    flow.title_block(place);
    flow.lesson(&lesson.lesson.nodes, place);
    if job.template.chords.page {
        flow.chord_page(place);
    }
    if lesson.lesson.header.sounds {
        flow.sounds(place);
    }
    flow.answers(place);
    let sings = lesson.blocks.iter().any(|block| block.printed && block.as_a::<Song>().is_some());
    if let Some(rights) = advice::rights_in_tune(&lesson.lesson.header, sings) {
        flow.galley.space(place.gap * 2.0);
        flow.galley.hold(TOGETHER);
        let from = flow.galley.next();
        let rights = &lesson.lesson.header.lang.said(rights);
        flow.words(rights, Role::Paragraph, Manner::ragged(job.template.small), place);
        flow.galley.keep_whole(from);
        flow.galley.at_foot(from);
    }
    sheet::document(flow)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod abreast_tests;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod aside_tests;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod neck_tests;
#[cfg(test)]
mod sample;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
