//! The answers: blocks filled in at the lesson's end, in the order of the figures that they answer. They are a
//! section like others; a lesson that ends with `[new page]` gives them a sheet of their own.

use super::flow::{Flow, Room};
use crate::blocks::figure::Desk;
use crate::lesson::prose::Inline;
use crate::words::paper::answers as words;

/// They are a section of the lesson, as `##` is.
const LEVEL: u8 = 2;

impl Flow<'_> {
    /// Sets the answers; nothing where the lesson has none.
    pub fn answers(&mut self, place: Room) {
        let lesson = self.lesson;
        let blocks = lesson.blocks.iter().enumerate();
        let mut answers: Vec<(usize, usize)> =
            blocks.filter_map(|(index, block)| Some((block.answers?, index))).collect();
        answers.sort_unstable();
        let mut is_headed = false;
        for (_, index) in answers {
            let (Some(block), Some(fence)) =
                (lesson.blocks.get(index), lesson.lesson.fences.get(index))
            else {
                continue;
            };
            let look = &self.template().figure;
            let desk =
                Desk { lang: self.lang(), fonts: self.job.fonts, look, width: place.whole().width };
            let Some(figure) = block.answer_figure(&desk, &fence.setting, self.job.draft) else {
                continue;
            };
            if !std::mem::replace(&mut is_headed, true) {
                self.heading(
                    LEVEL,
                    &[Inline::Text(self.lang().said(words::TITLE).into_owned())],
                    place,
                );
            }
            // What was announced last is said of the music above.
            self.announced.clear();
            let space = self.template().spaces.figure;
            self.galley.figure_space(space);
            let from = self.galley.next();
            self.figure(figure, block.caption.as_deref(), block.number, place);
            self.galley.anchor(from, block.span, place.left, place.width);
            self.galley.figure_space(space);
        }
    }
}
