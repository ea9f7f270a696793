//! What the notes of a riff sound, wherever on the neck.

use crate::music::tab::{Note, Riff, Sound};
use crate::neck::harmonic;
use crate::theory::Midi;

/// A note as it is to sound.
#[derive(Debug, Clone)]
pub struct Tone {
    /// The note with its marks. Its string only tells which notes follow each other on one string.
    pub note: Note,
    /// What it sounds.
    pub sound: Sounding,
    /// The pitches of its grace notes.
    pub graces: Vec<Midi>,
}

/// What a note sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sounding {
    /// A pitch; after a bend the one that is reached.
    Pitch(Midi),
    /// A pitch as a natural harmonic.
    Harmonic(Midi),
    /// A muted stroke.
    Muted,
}

/// The tones of each event of each bar.
pub type Tones = Vec<Vec<Vec<Tone>>>;

impl Riff {
    /// What all its notes sound.
    pub fn tones(&self) -> Tones {
        let tone = |note: &Note| {
            let open = self.instrument.written_pitch(note.string, 0)?;
            let pitch = |fret: u8| open + i32::from(fret);
            let sound = match note.sound {
                Sound::Fret(fret) => Sounding::Pitch(pitch(fret)),
                Sound::Harmonic(fret) => Sounding::Harmonic(open + harmonic::above_open(fret)),
                Sound::Muted => Sounding::Muted,
            };
            let graces = note.graces.iter().map(|grace| pitch(grace.fret)).collect();
            Some(Tone { note: note.clone(), sound, graces })
        };
        let bars = self.bars.iter().map(|bar| {
            bar.events.iter().map(|event| event.notes.iter().filter_map(tone).collect()).collect()
        });
        bars.collect()
    }
}

/// What the notes of a riff sound whose frets are the pitches of its `notes` row.
pub fn pitched(riff: &Riff) -> Tones {
    let tone = |note: &Note| {
        let sound = match note.sound {
            Sound::Fret(pitch) | Sound::Harmonic(pitch) => Sounding::Pitch(Midi::new(pitch.into())),
            Sound::Muted => Sounding::Muted,
        };
        let graces = note.graces.iter().map(|grace| Midi::new(grace.fret.into())).collect();
        Tone { note: note.clone(), sound, graces }
    };
    let bars = riff
        .bars
        .iter()
        .map(|bar| bar.events.iter().map(|event| event.notes.iter().map(tone).collect()).collect());
    bars.collect()
}
