//! The script parted by its headings, each section with the time that it takes: what chapters, the table of
//! sections and the line of a build are made of.

use super::{Cue, CueKind, Item, Script, What};
use crate::words::Lang;
use crate::words::paper::script::OPENING;
use std::time::Duration;

/// What stands under a heading, up to the next; what stands before the first is the opening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Its heading.
    pub title: String,
    /// When it begins.
    pub at: Duration,
    /// The first of its items, by its place in the script; its last is the one before the next section's first.
    pub item: usize,
    /// How long is spoken.
    pub speech: Duration,
    /// How long is played.
    pub music: Duration,
    /// How long is paused.
    pub pauses: Duration,
    /// Whether something is said or played in it.
    pub sounds: bool,
    /// Whether there is more in it than headings.
    is_filled: bool,
}

/// The sections of a script in which something is said, played or to be done, in their order. Where one has
/// the heading of the one before it, both are one; so is the talk before a heading `Opening` with what stands
/// under it.
pub fn of(script: &Script) -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    for section in
        by_headings(&script.items, script.lang).into_iter().filter(|section| section.is_filled)
    {
        match sections.last_mut().filter(|last| last.title == section.title) {
            Some(last) => last.join(&section),
            None => sections.push(section),
        }
    }
    sections
}

/// A section for each heading, and one for what stands before the first.
fn by_headings(items: &[Item], lang: Lang) -> Vec<Section> {
    let mut sections = Vec::new();
    let mut last = Section::begun(&lang.said(OPENING), Duration::ZERO, 0);
    for (index, item) in items.iter().enumerate() {
        if let What::Heading { words, .. } = &item.what {
            let begun = Section::begun(words, item.at, index);
            sections.push(std::mem::replace(&mut last, begun));
        }
        last.take(item);
    }
    sections.push(last);
    sections
}

impl Section {
    fn begun(title: &str, at: Duration, item: usize) -> Section {
        let (speech, music, pauses) = (Duration::ZERO, Duration::ZERO, Duration::ZERO);
        let (title, sounds, is_filled) = (title.to_owned(), false, false);
        Section { title, at, item, speech, music, pauses, sounds, is_filled }
    }

    fn take(&mut self, item: &Item) {
        match &item.what {
            What::Heading { .. } => return,
            What::Speech { .. } => self.speech += item.takes,
            What::Cue(Cue { kind: CueKind::Play, .. }) => self.music += item.takes,
            What::Cue(_) => {
                self.pauses += item.takes;
                self.is_filled = true;
                return;
            }
        }
        (self.is_filled, self.sounds) = (true, true);
    }

    fn join(&mut self, next: &Section) {
        self.speech += next.speech;
        self.music += next.music;
        self.pauses += next.pauses;
        self.sounds |= next.sounds;
    }

    /// How long it takes in all.
    pub fn total(&self) -> Duration {
        self.speech + self.music + self.pauses
    }
}
