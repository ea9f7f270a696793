//! A melody: what a riff comes to whose notes are pitches and are on no strings yet. Laid on strings it
//! is a [`tab`](super::tab).

use super::tab::{Note, Riff, Sound};
use crate::neck::Fret;
use crate::neck::harmonic;
use crate::theory::Midi;

/// A riff that has not been laid on strings.
#[derive(Debug, Clone)]
pub struct Melody {
    /// All of it but its notes: no event has any.
    pub riff: Riff,
    /// The notes of its events.
    pub tones: Tones,
}

/// The tones of each event of each bar.
pub type Tones = Vec<Vec<Vec<Tone>>>;

/// A note as it is to sound. Its string is the one that it was on, or only tells which notes follow
/// each other as on one string.
pub type Tone = Note<Sounding, Midi>;

/// What a tone sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sounding {
    /// A pitch; after a bend the one that is reached.
    Pitch(Midi),
    /// A natural harmonic.
    Harmonic {
        /// Its pitch.
        pitch: Midi,
        /// The fret over which the string was touched.
        over: Fret,
    },
    /// A muted stroke.
    Muted,
}

impl Riff {
    /// What it sounds, wherever on the neck.
    pub fn melody(&self) -> Melody {
        let mut riff = self.clone();
        let events = riff.bars.iter_mut().flat_map(|bar| &mut bar.events);
        events.for_each(|event| event.notes.clear());
        Melody { riff, tones: self.tones() }
    }

    /// What all its notes sound.
    pub fn tones(&self) -> Tones {
        let tone = |note: &Note| {
            let open = self.instrument.written_pitch(note.string, Fret::OPEN)?;
            let pitch = |fret: Fret| open + i32::from(fret);
            let sound = match note.sound {
                Sound::Fret(fret) => Sounding::Pitch(pitch(fret)),
                Sound::Harmonic(over) => {
                    Sounding::Harmonic { pitch: open + harmonic::above_open(over), over }
                }
                Sound::Muted => Sounding::Muted,
            };
            let graces = note.graces.iter().map(|grace| grace.on(pitch(grace.sound))).collect();
            Some(note.on(note.string, sound, graces))
        };
        let bars = self.bars.iter().map(|bar| {
            bar.events.iter().map(|event| event.notes.iter().filter_map(tone).collect()).collect()
        });
        bars.collect()
    }
}
