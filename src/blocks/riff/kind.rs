//! The `riff` block among the kinds of block.

use super::Progressions;
use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::nearest::Known;
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::{Medium, NEAR_FRET, ON_STRINGS, PICKUP, Phrase};
use crate::lesson::limits::{BARS, COLUMNS, Held};
use crate::neck::{Fingering, Instrument};
use crate::theory::{Chord, Harmony};
use crate::words::kinds;
use std::rc::Rc;

/// A tab with its count, or one in pitches or strokes.
#[derive(Debug)]
pub struct RiffBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "riff",
    called: kinds::RIFF,
    medium: Medium::Handout,
    phrases: &[
        Phrase::new(
            &["over"],
            "over verse bars 5 to 8",
            "the chords are those of a `changes` block",
        ),
        PICKUP,
        NEAR_FRET,
        ON_STRINGS,
    ],
};

impl Kind for RiffBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "A tab with its count: a stack of rows that share columns. The `count` row is \
                   the clock: what stands in one column happens at the count that stands there. \
                   String rows begin with the open string's letter, the highest first. A grace \
                   note is written tight against its join, `2h4`; with dashes between, `2h--4`, \
                   each note has a count of its own. A riff of `chord`, `count` and `pick` alone \
                   is a strumming pattern; `over NAME` lays one that is shorter than those changes \
                   under each of their bars.",
            sections: super::help(),
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
        let mut tab = super::read(fence, others, effort, findings)?;
        let shapes = |chord: &Chord| others.shape(chord, &fence.setting.instrument);
        tab.try_hands(&fence.setting, &shapes, findings);
        Some(Box::new(tab))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Bars, Offer::Riff, Offer::Places]
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        let lines = || fence.lines.iter().map(|line| line.text);
        if lines().any(is_too_wide) {
            return Err(COLUMNS);
        }
        held.take(BARS, bars(lines()))
    }

    /// For each bar of the changes that it is over (measured).
    fn effort(&self) -> u64 {
        4
    }
}

impl Progressions for Others<'_> {
    fn names(&self) -> Rc<Known> {
        self.called(Offer::Progression)
    }

    fn harmony(&self, name: &str) -> Option<Harmony> {
        self.music(name)?.harmony()
    }

    fn shape(&self, chord: &Chord, instrument: &Instrument) -> Option<Fingering> {
        self.last_shape(chord, instrument)
    }
}

/// The bars of a riff at most: of each system those of the fullest row.
fn bars<'t>(lines: impl Iterator<Item = &'t str>) -> usize {
    let (mut bars, mut system) = (0, 0);
    for line in lines {
        if line.trim().is_empty() {
            bars += std::mem::take(&mut system);
        } else {
            let bars = line.split('|').filter(|bar| !bar.trim().is_empty());
            system = system.max(bars.count());
        }
    }
    bars + system
}

/// Whether a row is wider than one can be.
fn is_too_wide(line: &str) -> bool {
    line.len() > COLUMNS.most && line.chars().count() > COLUMNS.most
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_riff_has_the_bars_of_its_fullest_rows() {
        for (text, count) in [
            ("", 0),
            ("count 1 2\ne     2-0", 1),
            ("count 1 2 |1 2 |\ne     2-0-|2-0-|", 2),
            ("count 1 |\n\ncount 1 |1 |\ne     0", 1 + 2),
        ] {
            assert_eq!(bars(text.lines()), count, "{text:?}");
        }
    }
}
