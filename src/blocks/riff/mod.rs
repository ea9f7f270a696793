//! The `riff` block: a tab with its count.
//!
//! A riff is read in steps, each in a file of its own: lines become rows in systems (`columns`,
//! `lines`), each of a kind that `rows` lists, rows find their strings (`labels`), systems are cut into bars (`bars`,
//! `shared_bar_lines`, `adrift`), the count becomes a clock (`rows`, `upbeat`, `clock`), frets and joining signs become chains of notes
//! (`frets`, `string_rows`, `written`, `unplayable_joints`), which are placed by the clock (`setup`, `joined_notes`,
//! `realign`, `slipped_note`), and the other rows say more about them (`harmony`, `over_changes`, `rows`). A riff may be written in pitches (`pitches`), which
//! are laid on strings as phrases guide it, or in strokes (`strums`). What comes out is a
//! [`tab`](crate::music::tab), which riffs share with those that are moved. Its hands are then looked at:
//! whether they can hold, get there and pluck in time (`hand`, `pluck`).

pub mod figure;
pub mod over_changes;

mod adrift;
mod bars;
mod clock;
mod columns;
mod excerpt;
mod frets;
mod hand;
mod harmony;
mod joined_notes;
mod kind;
mod labels;
mod laid;
mod lines;
mod phrases;
mod pitches;
mod place;
mod pluck;
mod read;
mod realign;
mod rows;
mod setup;
mod shared_bar_lines;
mod signs_along;
mod slipped_note;
mod string_rows;
mod strums;
pub mod top_notes;
mod unplayable_joints;
mod upbeat;
mod written;

#[cfg(test)]
mod bar_line_tests;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;

use crate::words::help::Section;
pub use kind::{RiffBlock, WRITTEN};
pub use over_changes::Progressions;
pub use read::read;
pub use rows::label;

use super::figure::{Desk, Figure};
use super::tab::places::Places;
use super::tab::{Tab, guides, placing};
use super::{Bars, Music, Opening, Place};
use crate::findings::Findings;
use crate::findings::report::Tally;
use crate::lesson::Setting;
use crate::music::performance::Passes;
use crate::music::tab::Sound;
use crate::theory::{Chord, Midi, Ticks};

impl Tab {
    /// Works out the fingers that are not written, and doubts what the hands can't do; `shapes` gives the
    /// lesson's own shapes of chords, in which what is picked of them is held.
    pub fn try_hands(
        &mut self,
        setting: &Setting,
        shapes: &hand::Shapes<'_>,
        findings: &mut Findings,
    ) {
        hand::work_out(self, setting, shapes, findings);
        pluck::check(self, setting, findings);
    }
}

impl Music for Tab {
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        Tab::figure(self, desk, setting)
    }

    fn size(&self) -> usize {
        self.riff.size()
    }

    fn tally(&self) -> Tally {
        let bars = &self.riff.bars;
        let notes = bars.iter().flat_map(|bar| &bar.events).flat_map(|event| &event.notes);
        Tally {
            bars: bars.len(),
            notes: notes.map(|note| 1 + note.graces.len()).sum(),
            chords: bars.iter().map(|bar| bar.chords.len()).sum(),
            phrases: 0,
        }
    }

    fn blank(&self) -> Option<Box<dyn Music>> {
        let riff = self.riff.emptied()?;
        Some(Box::new(Tab { riff, places: Places::default() }))
    }

    fn bars(&self) -> Bars {
        Bars::up_to(self.riff.bars.last().map(|bar| bar.number), self.riff.pickup)
    }

    fn excerpt(&self, bars: (u32, u32)) -> Option<Box<dyn Music>> {
        let riff = self.riff.excerpt(bars)?;
        Some(Box::new(Tab { riff, places: Places::default() }))
    }

    fn length(&self) -> Option<Ticks> {
        self.riff.timed.then(|| Passes::played_out(&self.riff.bars).length())
    }

    fn opening(&self) -> Option<Opening> {
        let first = self.riff.bars.first().filter(|_| self.riff.timed)?;
        let upbeat = if first.number == 0 { first.length } else { Ticks::ZERO };
        Some(Opening { meter: first.meter, upbeat })
    }

    fn chords(&self) -> Vec<(u32, Chord)> {
        let bars = self.riff.bars.iter().zip(&self.riff.harmony);
        let sounding = bars.flat_map(|(bar, harmony)| {
            let number = u32::try_from(bar.number).unwrap_or(u32::MAX);
            let chords = harmony.passes.first().into_iter().flat_map(|pass| &pass.chords);
            chords.filter_map(move |(_, chord)| Some((number, chord.clone()?)))
        });
        sounding.collect()
    }

    fn first_notes(&self) -> Vec<Midi> {
        let mut events = self.riff.bars.iter().flat_map(|bar| &bar.events);
        let first = events.find(|event| !event.notes.is_empty());
        let notes = first.into_iter().flat_map(|event| &event.notes);
        notes
            .filter_map(|note| match note.sound {
                Sound::Fret(fret) => self.riff.instrument.written_pitch(note.string, fret),
                Sound::Harmonic(_) | Sound::Muted => None,
            })
            .collect()
    }

    fn tab(&self) -> Option<&Tab> {
        Some(self)
    }

    fn played(&self) -> Option<Vec<Place>> {
        Some(self.riff.played())
    }
}

/// What can be written in a riff: its rows, and the signs of each that has any.
fn help() -> Vec<Section> {
    let entry = |kind: &&dyn rows::Kind| (kind.label().to_owned(), kind.says().to_owned());
    let rows = Section::new("Rows", rows::ALL.iter().map(entry));
    let strings = Section::of_signs("A string row", &string_rows::signs());
    let with_signs = rows::ALL.iter().map(|kind| (kind.label(), kind.signs()));
    let signs = with_signs.filter(|(_, signs)| !signs.is_empty());
    let signs =
        signs.map(|(label, signs)| Section::of_signs(&format!("The `{label}` row"), &signs));
    [rows, strings].into_iter().chain(signs).collect()
}
