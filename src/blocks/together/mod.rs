//! The `together` block: riffs that are played at the same time, bar under bar. What comes out is
//! [`Parts`] whose bars are the same in all: what doesn't agree is told and left out.

mod agree;
mod kind;
mod read;

#[cfg(test)]
mod tests;

pub use kind::{TogetherBlock, WRITTEN};

use super::figure::{Desk, Figure};
use super::tab::Tab;
use super::tab::parts::{Part, Parts};
use super::tab::places::Places;
use super::{Bars, Music, Opening};
use crate::lesson::Setting;
use crate::music::tab::Riff;
use crate::theory::{Chord, Midi, Ticks};

impl Music for Parts {
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        Parts::figure(self, desk, setting)
    }

    fn blank(&self) -> Option<Box<dyn Music>> {
        Some(Box::new(self.each(Riff::emptied)?))
    }

    fn size(&self) -> usize {
        self.parts.iter().map(|part| part.tab.riff.size()).sum()
    }

    fn bars(&self) -> Bars {
        self.parts.first().map_or(Bars::Unread, |part| part.tab.bars())
    }

    fn excerpt(&self, bars: (u32, u32)) -> Option<Box<dyn Music>> {
        Some(Box::new(self.each(|riff| riff.excerpt(bars))?))
    }

    fn length(&self) -> Option<Ticks> {
        self.parts.first()?.tab.length()
    }

    fn opening(&self) -> Option<Opening> {
        self.parts.first()?.tab.opening()
    }

    fn part_names(&self) -> Vec<String> {
        self.parts.iter().map(|part| part.name.clone()).collect()
    }

    fn chords(&self) -> Vec<(u32, Chord)> {
        let chords = self.parts.iter().map(|part| part.tab.chords());
        chords.into_iter().find(|chords| !chords.is_empty()).unwrap_or_default()
    }

    fn first_notes(&self) -> Vec<Midi> {
        let starts = self.parts.iter().filter_map(|part| Some((part.tab.begins()?, &part.tab)));
        let first = starts.clone().map(|(start, _)| start).min();
        let begin = starts.filter(|(start, _)| Some(*start) == first);
        begin.flat_map(|(_, tab)| tab.first_notes()).collect()
    }
}

impl Parts {
    /// The parts made anew, each of its riff; `None` where nothing is made of one.
    fn each(&self, make: impl Fn(&Riff) -> Option<Riff>) -> Option<Parts> {
        let part = |part: &Part| {
            let riff = make(&part.tab.riff)?;
            let tab = Tab { riff, places: Places::default() };
            Some(Part { name: part.name.clone(), tab, sound: part.sound })
        };
        Some(Parts { parts: self.parts.iter().map(part).collect::<Option<_>>()? })
    }
}

impl Tab {
    /// When its first notes are played.
    fn begins(&self) -> Option<Ticks> {
        let mut events =
            self.riff.bars.iter().flat_map(|bar| bar.events.iter().map(move |one| (bar, one)));
        let (bar, event) = events.find(|(_, event)| !event.notes.is_empty())?;
        Some(bar.start + event.at)
    }
}
