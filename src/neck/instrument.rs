//! The instrument that a lesson is for.

use super::{Fret, StringIndex, Tuning};
use crate::theory::{Midi, Note};

/// The instrument in force at a place in a lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Its open strings as they are tuned, without the capo.
    pub tuning: Tuning,
    /// The fret that the capo is on, counted from the real nut; 0 is none. Frets in a lesson count
    /// from the capo.
    pub capo: u8,
    /// How many frets the neck has, counted from the real nut, 12 to 36.
    pub frets: u8,
    /// The length of the open string, in mm.
    pub scale_length: f64,
}

impl Instrument {
    /// A guitar in standard tuning with 22 frets and no capo.
    pub fn guitar() -> Instrument {
        let tuning = Tuning::standard();
        let scale_length = tuning.scale_length();
        Instrument { tuning, capo: 0, frets: 22, scale_length }
    }

    /// The highest fret that a lesson can write: the neck's last, counted from the capo.
    pub fn last_fret(&self) -> Fret {
        Fret::new(self.frets.saturating_sub(self.capo))
    }

    /// What a string sounds at a fret, as the lesson writes it: the capo counts as the nut.
    pub fn written_pitch(&self, string: StringIndex, fret: Fret) -> Option<Midi> {
        self.tuning.open(string).map(|open| open.midi() + i32::from(fret))
    }

    /// What a string sounds at a fret, the capo counted.
    pub fn sounding_pitch(&self, string: StringIndex, fret: Fret) -> Option<Midi> {
        Some(self.written_pitch(string, fret)? + i32::from(self.capo))
    }

    /// The open string's note as the lesson writes it.
    pub fn open_note(&self, string: StringIndex) -> Option<Note> {
        self.tuning.open(string).map(|open| open.note)
    }
}
