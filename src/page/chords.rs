//! The chord page: the shapes of the whole lesson once more, at its end, to be kept on the music stand. It
//! is a section like others, which doesn't begin a page of its own: four boxes alone on a sheet are a
//! waste. A lesson that ends with `[new page]` gives them one.

use super::flow::{Flow, Room};
use super::title::tuning;
use crate::blocks::box_columns::Among;
use crate::blocks::figure::Desk;
use crate::blocks::shape;
use crate::blocks::shape::Gathered;
use crate::checks::Elaborated;
use crate::lesson::prose::Inline;
use crate::words::paper::chords as words;

/// The page is a section of the lesson, as `##` is.
pub const LEVEL: u8 = 2;

/// The shapes that a lesson prints, those of each tuning and capo together; where there are several, each with these as
/// its caption.
pub fn of<'a>(lesson: &'a Elaborated<'_>) -> Vec<(Gathered<'a>, Option<String>)> {
    let blocks = lesson.blocks.iter().zip(&lesson.lesson.fences);
    // A shape to be found is not given away here.
    let shapes = blocks
        .filter(|(block, _)| block.printed && !block.blank)
        .filter_map(|(block, fence)| Some((block.as_a::<shape::Shapes>()?, &fence.setting)));
    let gathered = shape::gather(shapes);
    let several = gathered.len() > 1;
    let captioned = |one: Gathered<'a>| {
        let instrument = &one.setting.instrument;
        let capo = Some(instrument.capo).filter(|capo| *capo > 0);
        let lang = lesson.lesson.header.lang;
        let capo = capo.map(words::capo);
        let held = [Some(tuning(&instrument.tuning)), capo].into_iter().flatten();
        let caption = several.then(|| {
            held.map(|words| lang.said(&words).into_owned()).collect::<Vec<_>>().join(", ")
        });
        (one, caption)
    };
    gathered.into_iter().map(captioned).collect()
}

impl Flow<'_> {
    /// Sets the chord page; nothing where the lesson prints no shapes.
    pub fn chord_page(&mut self, place: Room) {
        let gathered = of(self.lesson);
        if gathered.is_empty() {
            return;
        }
        self.heading(LEVEL, &[Inline::Text(self.lang().said(words::TITLE).into_owned())], place);
        // What was announced last holds no longer for all of the page.
        self.announced.clear();
        for (one, caption) in &gathered {
            let desk = Desk {
                lang: self.lang(),
                fonts: self.job.fonts,
                look: &self.template().figure,
                width: place.whole().width,
            };
            let figure = one.shapes.figure(&desk, one.setting, Among::Boxes).told_in(desk.lang);
            let space = self.template().spaces.figure;
            self.galley.figure_space(space);
            self.figure(figure, caption.as_deref(), None, place);
            self.galley.figure_space(space);
        }
    }
}
