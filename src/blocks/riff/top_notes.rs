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
    /// Those of the highest note that begins while the chord holds within that bar: of a chord that is picked
    /// from the bass up the one on top.
    pub highest: Option<(StringIndex, Fret)>,
}

impl Riff {
    /// The changes of the harmony in order, the first time that each bar is played. A chord that
    /// holds on is no change; one that comes again after `N.C.` is.
    pub fn tops(&self) -> Vec<Top> {
        let mut held: Option<&Chord> = None;
        let mut tops = Vec::new();
        for (bar, harmony) in self.bars.iter().zip(&self.harmony) {
            let chords =
                harmony.passes.first().map(|pass| pass.chords.as_slice()).unwrap_or_default();
            for (index, (at, chord)) in chords.iter().enumerate() {
                let until = chords.get(index + 1).map_or(bar.length, |(next, _)| *next);
                if let Some(chord) = chord.as_ref().filter(|chord| held != Some(*chord)) {
                    let note = self.highest_at(bar.start, *at);
                    let begun = bar.events.iter().filter(|event| (*at..until).contains(&event.at));
                    let highest = self.highest(begun);
                    tops.push(Top { bar: bar.number, chord: chord.clone(), note, highest });
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
        self.highest(events.filter(|(start, event)| sounds(*start, event)).map(|(_, event)| event))
    }

    /// The highest note of some events that a finger or an open string makes.
    fn highest<'e>(&self, events: impl Iterator<Item = &'e Event>) -> Option<(StringIndex, Fret)> {
        let fretted = events.flat_map(|event| &event.notes).filter_map(|note| match note.sound {
            Sound::Fret(fret) => {
                Some((self.instrument.written_pitch(note.string, fret)?, (note.string, fret)))
            }
            Sound::Harmonic(_) | Sound::Muted => None,
        });
        fretted.max().map(|(_, place)| place)
    }
}
