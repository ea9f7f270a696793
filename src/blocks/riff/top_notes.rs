//! The moments at which a riff's harmony changes, each with the highest note that sounds there: the
//! melody that chords can be put under.

use crate::music::tab::Riff;
use crate::music::tab::{Event, Sound};
use crate::neck::{Fret, StringIndex};
use crate::theory::{Chord, Ticks};

/// A moment at which the harmony changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Top {
    /// The bar's number, 0 for an upbeat.
    pub bar: usize,
    /// The chord that begins.
    pub chord: Chord,
    /// The string and the fret of the highest note that begins there, or sounds on; `None` where
    /// nothing sounds that a finger or an open string makes.
    pub note: Option<(StringIndex, Fret)>,
}

impl Riff {
    /// The changes of the harmony in order, the first time that each bar is played. A chord that
    /// holds on is no change; one that comes again after `N.C.` is.
    pub fn tops(&self) -> Vec<Top> {
        let mut held: Option<&Chord> = None;
        let mut tops = Vec::new();
        for (bar, harmony) in self.bars.iter().zip(&self.harmony) {
            for (at, chord) in
                harmony.passes.first().map(|pass| pass.chords.as_slice()).unwrap_or_default()
            {
                if let Some(chord) = chord.as_ref().filter(|chord| held != Some(*chord)) {
                    let note = self.highest_at(bar.start, *at);
                    tops.push(Top { bar: bar.number, chord: chord.clone(), note });
                }
                held = chord.as_ref();
            }
        }
        tops
    }

    /// The highest note at a moment of the bar that starts at `start`.
    fn highest_at(&self, start: Ticks, at: Ticks) -> Option<(StringIndex, Fret)> {
        let moment = start.0 + at.0;
        let sounds = |start: Ticks, event: &Event| {
            let from = start.0 + event.at.0;
            from <= moment && moment < from + event.duration.0.max(1)
        };
        let events =
            self.bars.iter().flat_map(|bar| bar.events.iter().map(move |event| (bar.start, event)));
        let notes = events
            .filter(|(start, event)| sounds(*start, event))
            .flat_map(|(_, event)| &event.notes);
        let fretted = notes.filter_map(|note| match note.sound {
            Sound::Fret(fret) => {
                Some((self.instrument.written_pitch(note.string, fret)?, (note.string, fret)))
            }
            Sound::Harmonic(_) | Sound::Muted => None,
        });
        fretted.max().map(|(_, place)| place)
    }
}
