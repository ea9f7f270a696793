//! What the notes of a riff sound, wherever on the neck.

use crate::music::tab::{Note, Riff, Sound};
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

/// Where a natural harmonic is touched, and how many half steps above the open string it sounds: the
/// parts of a string in 2, 3, 4, 5 and 6, each at its node nearest to the nut and at the others that
/// are in use.
pub(super) const HARMONICS: [(u8, i32); 9] =
    [(12, 12), (7, 19), (19, 19), (5, 24), (24, 24), (4, 28), (9, 28), (16, 28), (3, 31)];

impl Riff {
    /// What all its notes sound.
    pub fn tones(&self) -> Tones {
        let tone = |note: &Note| {
            let open = self.instrument.written_pitch(note.string, 0)?;
            let pitch = |fret: u8| open + i32::from(fret);
            let sound = match note.sound {
                Sound::Fret(fret) => Sounding::Pitch(pitch(fret)),
                Sound::Harmonic(fret) => Sounding::Harmonic(open + harmonic_above(fret)),
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

/// How far a harmonic sounds above the open string. One over a fret that has no node close by sounds
/// as the fret does.
fn harmonic_above(fret: u8) -> i32 {
    let known = HARMONICS.iter().find(|(node, _)| *node == fret);
    known.map_or(i32::from(fret), |(_, above)| *above)
}
