//! The `lyrics` block among the kinds of block.

use super::{Song, phrases, rows, shapes};
use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others, Settled};
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::{Medium, Phrase};
use crate::lesson::limits::{self, Held};
use crate::words::help::Section;
use crate::words::kinds;

/// A song to sing from.
#[derive(Debug)]
pub struct LyricsBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "lyrics",
    called: kinds::SONG,
    medium: Medium::Handout,
    phrases: &[
        Phrase::new(
            &["over"],
            "over verse bars 1 to 4",
            "the chords run through those changes, again from their beginning at their end",
        ),
        Phrase::new(&[], "as verse-1", "dots place that block's chords, line by line"),
        Phrase::new(
            &[],
            "sing up 2",
            "so many half steps higher; or `down`, or an interval: other names and boxes",
        ),
        Phrase::new(
            &["capo"],
            "capo best",
            "names and boxes above the capo; `best` is where most chords have open shapes",
        ),
    ],
};

impl Kind for LyricsBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "A song to sing from: pairs of rows, `chord` over `sung`. A chord belongs to the \
                   word under its column; over a space to the next one; past the last word it is \
                   played after it. A `chord` row alone is played, and a blank line parts \
                   stanzas. The boxes of a song's chords stand above its first part, each once: \
                   the last shape of that name above, or the best that is found. With `blank` each chord \
                   is a rule to write its name on. A song has no \
                   counts: one that needs them is a riff with a `sung` row.",
            sections: vec![Section::of_signs("A line", &rows::SIGNS)],
            example: include_str!("example.md"),
        }
    }

    fn read(
        &self,
        fence: &Fence<'_>,
        others: &Others<'_>,
        effort: &mut Effort,
        findings: &mut Findings,
    ) -> Option<Box<dyn Music>> {
        Some(Box::new(super::read::read(fence, others, effort, findings)?))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Turns, Offer::Lines]
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        let words = |line: &str| line.split_whitespace().count();
        held.take(limits::SUNG, fence.written().map(words).sum())
    }

    /// For each chord of the block that it names (assumed).
    fn effort(&self) -> u64 {
        2
    }

    fn follows(&self, fence: &Fence<'_>) -> Option<String> {
        phrases::model(fence)
    }

    fn settle(&self, mut songs: Settled<'_>, effort: &mut Effort) {
        shapes::set_above_first(&mut songs, effort);
    }
}

/// What a block of this kind says, where it is one.
pub(super) fn song(music: &mut dyn Music) -> Option<&mut Song> {
    music.as_a_mut()
}
