//! The figures of a lesson as pictures.

use crate::cli::commands::outputs::Picture;
use fretleaf::blocks::Block;
use fretleaf::blocks::figure::{Desk, Figure};
use fretleaf::checks::Elaborated;
use fretleaf::ink::{Drawing, svg};
use fretleaf::lesson::fence::Fence;
use fretleaf::page;

/// Each printed block's figure, under the block's name, or its number in the lesson; of one that is answered at the
/// lesson's end its answer too.
pub(super) fn of<'e>(
    elaborated: &'e Elaborated<'_>,
    job: &'e page::Job<'_>,
    stem: &'e str,
) -> impl Iterator<Item = Picture> + 'e {
    let blocks = elaborated.blocks.iter().zip(&elaborated.lesson.fences).enumerate();
    blocks.flat_map(move |(index, (block, fence))| {
        let named = Named { number: index + 1, block, fence, stem };
        let desk = Desk {
            lang: elaborated.lesson.header.lang,
            fonts: job.fonts,
            look: &job.template.figure,
            width: job.column().0,
        };
        let printed = block.printed.then(|| block.printed_figure(&desk, &fence.setting, job.draft));
        let answer =
            block.answers.and_then(|_| block.answer_figure(&desk, &fence.setting, job.draft));
        let printed = printed.flatten().map(|figure| named.picture(figure, false, &desk));
        let beside_frame = printed.is_some();
        let answer = answer.map(|figure| named.picture(figure, beside_frame, &desk));
        printed.into_iter().chain(answer)
    })
}

/// A block whose figures become pictures.
struct Named<'a> {
    number: usize,
    block: &'a Block,
    fence: &'a Fence<'a>,
    stem: &'a str,
}

impl Named<'_> {
    /// A figure of it, in the lesson; the answer, where that stands beside its frame, says so in its name.
    fn picture(&self, figure: Figure, answer: bool, desk: &Desk<'_>) -> Picture {
        let figure = figure.with_notes_beneath(desk);
        let (name, what) = match &self.fence.name {
            Some(name) => (name.value.to_lowercase(), format!("figure `{}`", name.value)),
            None => (format!("block-{}", self.number), format!("figure of block {}", self.number)),
        };
        let (name, what) = match answer {
            true => (format!("{name}-answer"), format!("the answer to the {what}")),
            false => (name, format!("the {what}")),
        };
        let title = self.block.caption.as_deref().unwrap_or(&name);
        let drawing: Drawing = Figure::stacked(&figure);
        let svg = svg::figure(&drawing, title, &figure.words, desk.fonts);
        Picture { name: format!("{}-{name}", self.stem), what, svg }
    }
}
