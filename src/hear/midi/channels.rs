//! Which channel plays what: one a part, one of its own for what the palm damps on an electric guitar, and one for each string
//! that bends, as long as there are any.

use super::clicks::PERCUSSION;
use super::sounded::{Sounded, sounded};
use crate::hear::Part;
use crate::lesson::Sound;
use crate::neck::StringIndex;
use crate::theory::Ticks;
use midly::num::u4;
use std::collections::{BTreeMap, BTreeSet};

/// The channels of a part, and what is played on them.
pub(super) struct Channels {
    /// What the part plays once through.
    pub notes: Vec<Sounded>,
    /// The channel of all that has none of its own.
    pub plain: u4,
    /// That of what is damped.
    pub damped: Option<u4>,
    /// Those of strings that bend.
    pub strings: BTreeMap<StringIndex, u4>,
}

impl Channels {
    /// The channels of a part that has one so far.
    fn one(plain: u4, notes: Vec<Sounded>) -> Channels {
        Channels { notes, plain, damped: None, strings: BTreeMap::new() }
    }

    /// The channel of a note.
    pub fn of(&self, note: &Sounded) -> u4 {
        let own = self.strings.get(&note.string).copied();
        own.or(self.damped.filter(|_| note.damped)).unwrap_or(self.plain)
    }

    /// The channels on which pitches move.
    pub fn bending(&self) -> BTreeSet<u4> {
        let moving = self.notes.iter().filter(|note| note.moves());
        moving.map(|note| self.of(note)).collect()
    }

    /// All that the part plays on whose tone may change, the plain one first.
    pub fn sounding(&self) -> impl Iterator<Item = u4> + use<'_> {
        [self.plain].into_iter().chain(self.strings.values().copied())
    }
}

/// Gives each part its channels: first one to each, then to what is damped, then string by string. Where none is
/// left, strings bend on their part's channel; of more than fifteen parts some share one.
pub(super) fn assign(parts: &[Part], length: Ticks) -> Vec<Channels> {
    let melodic = || (0..16).map(u4::new).filter(|channel| *channel != PERCUSSION);
    let plain = parts.iter().zip(melodic().cycle());
    let mut left = melodic().skip(parts.len());
    let mut all: Vec<Channels> =
        plain.map(|(part, plain)| Channels::one(plain, sounded(part, length))).collect();
    for (channels, part) in all.iter_mut().zip(parts) {
        let is_damped = |note: &Sounded| note.damped && !note.moves();
        if part.sound == Sound::Electric && channels.notes.iter().any(is_damped) {
            channels.damped = left.next();
        }
    }
    for channels in &mut all {
        for note in channels.notes.iter().filter(|note| note.moves()) {
            if !channels.strings.contains_key(&note.string)
                && let Some(channel) = left.next()
            {
                channels.strings.insert(note.string, channel);
            }
        }
    }
    all
}
