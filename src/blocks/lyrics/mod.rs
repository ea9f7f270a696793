//! The `lyrics` block: a song to sing from, chord names over the words that they are played at.

mod chords;
mod figure;
mod kind;
mod over;
mod phrases;
mod placing;
mod read;
mod rows;
mod shapes;
mod shift;
mod words;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

pub use kind::{LyricsBlock, WRITTEN};

use super::Music;
use super::figure::{Desk, Figure};
use crate::findings::Span;
use crate::findings::report::Tally;
use crate::ink::Pt;
use crate::lesson::Setting;
use crate::neck::{Fingering, Instrument};
use crate::theory::{Chord, Key};

/// A song, or a part of one.
#[derive(Debug, Clone)]
pub struct Song {
    /// Its stanzas, each with a line at least.
    pub stanzas: Vec<Stanza>,
    /// How its chords sound, where that is not as they are printed.
    pub sounding: Option<Sounding>,
    /// What its chords are held on: with the block's own capo, where it has one.
    pub instrument: Instrument,
    /// The boxes that stand above it, those of a whole song above its first part.
    pub boxes: Vec<Boxed>,
    /// Whether it is printed where it stands.
    printed: bool,
}

/// Lines that no blank line parts.
#[derive(Debug, Clone)]
pub struct Stanza {
    /// Its lines.
    pub lines: Vec<Line>,
}

/// A line of a song.
#[derive(Debug, Clone)]
pub enum Line {
    /// Words, chords, or both.
    Sung(Sung),
    /// Another part that is sung here again.
    Again {
        /// What it is called.
        title: String,
        /// Where that is written.
        span: Span,
    },
}

/// Words with the chords that are played at them.
#[derive(Debug, Clone, Default)]
pub struct Sung {
    /// The words, none in a line that is only played.
    pub words: Vec<Word>,
    /// What is played behind the last word, or without any.
    pub after: Vec<ChordAt>,
    /// Where the rows stand.
    pub span: Span,
}

/// A word.
#[derive(Debug, Clone)]
pub struct Word {
    /// Its parts; there are several where hyphens part it.
    pub parts: Vec<Part>,
}

/// A word, or a part of one up to its hyphen.
#[derive(Debug, Clone)]
pub struct Part {
    /// As it is typed, without the hyphen that parts it from the next.
    pub text: String,
    /// The hyphen behind it; empty where there is none.
    pub hyphen: String,
    /// The chords that are played with it, one after another.
    pub chords: Vec<ChordAt>,
    /// Where it stands.
    pub span: Span,
}

/// A chord of a song.
#[derive(Debug, Clone, PartialEq)]
pub struct ChordAt {
    /// As it is written; `None` is no chord.
    pub written: Option<Chord>,
    /// As it is printed: another name above a capo, or where the song is sung higher or lower.
    pub printed: Option<Chord>,
    /// Whether its place is left free, for a student to write its name.
    pub free: bool,
    /// Where it stands.
    pub span: Span,
}

/// What sounds where a block has a capo of its own, or is sung higher or lower.
#[derive(Debug, Clone, PartialEq)]
pub struct Sounding {
    /// The capo that the block itself names; 0 is none.
    pub capo: Option<u8>,
    /// The key that sounds, where one is in force.
    pub key: Option<Key>,
    /// The first chord as it is printed and as it sounds, which tell of the way where no key does.
    pub first: Option<(Chord, Chord)>,
    /// Why the capo is there, where it was to be found.
    pub why: Option<Why>,
}

/// Why a capo is where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Why {
    /// How many chords the song has.
    pub chords: usize,
    /// How many of them have an open shape there.
    pub open: usize,
    /// How many have one without a capo.
    pub open_without: usize,
}

/// A chord with the shape that it is held in.
#[derive(Debug, Clone)]
pub struct Boxed {
    /// The chord.
    pub chord: Chord,
    /// The shape.
    pub fingering: Fingering,
}

impl Song {
    /// Its lines with words or chords.
    fn sung(&self) -> impl Iterator<Item = &Sung> {
        self.stanzas.iter().flat_map(|stanza| &stanza.lines).filter_map(|line| match line {
            Line::Sung(sung) => Some(sung),
            Line::Again { .. } => None,
        })
    }

    /// How wide its widest line is where none is broken.
    pub fn longest_line(&self, desk: &Desk<'_>) -> Pt {
        figure::longest_line(self, desk)
    }

    /// Its chords in the order in which they are played.
    fn chords(&self) -> impl Iterator<Item = &ChordAt> {
        self.sung().flat_map(Sung::chords)
    }
}

impl Sung {
    /// Its chords in the order in which they are played.
    pub fn chords(&self) -> impl Iterator<Item = &ChordAt> {
        let with_words = self.words.iter().flat_map(|word| &word.parts);
        with_words.flat_map(|part| &part.chords).chain(&self.after)
    }

    fn chords_mut(&mut self) -> impl Iterator<Item = &mut ChordAt> {
        let with_words = self.words.iter_mut().flat_map(|word| &mut word.parts);
        with_words.flat_map(|part| &mut part.chords).chain(&mut self.after)
    }
}

impl Music for Song {
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        figure::draw(self, desk, setting)
    }

    /// Its words, with a free place over each that a chord is played at; its boxes would tell which.
    fn blank(&self) -> Option<Box<dyn Music>> {
        Song::chords(self).next()?;
        let mut frame = Song { boxes: Vec::new(), ..self.clone() };
        if let Some(sounding) = &mut frame.sounding {
            sounding.first = None;
        }
        let lines = frame.stanzas.iter_mut().flat_map(|stanza| &mut stanza.lines);
        for line in lines {
            if let Line::Sung(sung) = line {
                let emptied = |chord: &mut ChordAt| {
                    *chord = ChordAt { written: None, printed: None, free: true, span: chord.span };
                };
                sung.chords_mut().for_each(emptied);
            }
        }
        Some(Box::new(frame))
    }

    fn size(&self) -> usize {
        self.sung().map(|line| 1 + line.chords().count()).sum()
    }

    fn tally(&self) -> Tally {
        Tally { chords: self.chords().count(), ..Tally::default() }
    }

    fn turns(&self) -> Option<usize> {
        Some(self.chords().count()).filter(|chords| *chords > 0)
    }

    /// As they are written; a song has no bars, so each stands with bar 0.
    fn chords(&self) -> Vec<(u32, Chord)> {
        Song::chords(self).filter_map(|chord| Some((0, chord.written.clone()?))).collect()
    }

    fn chord_lines(&self) -> Vec<Vec<Option<Chord>>> {
        let line = |line: &Sung| line.chords().map(|chord| chord.written.clone()).collect();
        self.sung().map(line).collect()
    }
}
