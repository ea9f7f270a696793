//! What the notes of a riff sound, wherever on the neck.

use crate::music::tab::{Note, Riff, Sound};
use crate::neck::harmonic;

/// A note as it is to sound.
#[derive(Debug, Clone)]
pub struct Tone {
    /// The note with its marks. Its string only tells which notes follow each other on one string.
    pub note: Note,
    /// What it sounds.
    pub sound: Sounding,
    /// The pitches of its grace notes.
    pub graces: Vec<i32>,
}

/// What a note sounds, pitches as MIDI numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sounding {
    /// A pitch; after a bend the one that is reached.
    Pitch(i32),
    /// A pitch as a natural harmonic.
    Harmonic(i32),
    /// A muted stroke.
    Muted,
}

/// The tones of each event of each bar.
pub type Tones = Vec<Vec<Vec<Tone>>>;

impl Riff {
    /// What all its notes sound.
    pub fn tones(&self) -> Tones {
        let tone = |note: &Note| {
            let pitch =
                |fret: u8| self.instrument.written_pitch(note.string, fret).unwrap_or_default();
            let sound = match note.sound {
                Sound::Fret(fret) => Sounding::Pitch(pitch(fret)),
                Sound::Harmonic(fret) => Sounding::Harmonic(pitch(0) + harmonic::above_open(fret)),
                Sound::Muted => Sounding::Muted,
            };
            let graces = note.graces.iter().map(|grace| pitch(grace.fret)).collect();
            Tone { note: note.clone(), sound, graces }
        };
        let bars = self.bars.iter().map(|bar| {
            bar.events.iter().map(|event| event.notes.iter().map(tone).collect()).collect()
        });
        bars.collect()
    }
}

/// What the notes of a riff sound whose frets are the pitches of its `notes` row.
pub fn pitched(riff: &Riff) -> Tones {
    let tone = |note: &Note| {
        let sound = match note.sound {
            Sound::Fret(pitch) | Sound::Harmonic(pitch) => Sounding::Pitch(i32::from(pitch)),
            Sound::Muted => Sounding::Muted,
        };
        let graces = note.graces.iter().map(|grace| i32::from(grace.fret)).collect();
        Tone { note: note.clone(), sound, graces }
    };
    let bars = riff
        .bars
        .iter()
        .map(|bar| bar.events.iter().map(|event| event.notes.iter().map(tone).collect()).collect());
    bars.collect()
}
