//! Where the lesson's headings are in its film, by the chapters of its script.

use crate::checks::Elaborated;
use crate::script::{self, What, chapters, clock};
use std::time::Duration;

/// When the headings of a lesson that are still to come begin in its film.
#[derive(Default)]
pub struct Film {
    address: String,
    /// Of each heading; none of those that are no chapter.
    moments: std::vec::IntoIter<Option<Duration>>,
}

/// A moment of the film.
pub struct Moment {
    /// What leads there (Media Fragments URI 1.0, section 4.2.1).
    pub address: String,
    /// When it is, as it is read.
    pub time: String,
}

impl Film {
    /// The film of a lesson; of one that has none, or whose address already leads into it, no heading has a moment.
    pub fn of(lesson: &Elaborated<'_>) -> Film {
        let address = lesson.lesson.header.video.as_ref();
        let Some(address) = address.filter(|address| !address.contains('#')) else {
            return Film::default();
        };
        let script = script::of(lesson);
        let chapters = chapters::of(&script);
        let items = script.items.iter().enumerate();
        let headings = items.filter(|(_, item)| matches!(item.what, What::Heading { .. }));
        let moments = headings.map(|(index, _)| {
            chapters.iter().find(|chapter| chapter.item == index).map(|chapter| chapter.at)
        });
        Film { address: address.clone(), moments: moments.collect::<Vec<_>>().into_iter() }
    }

    /// Where the lesson's next heading is in the film.
    pub fn next_heading(&mut self) -> Option<Moment> {
        let at = self.moments.next().flatten()?;
        let address = format!("{}#t={}", self.address, at.as_secs());
        Some(Moment { address, time: clock::told(at) })
    }
}
