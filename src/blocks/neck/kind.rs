//! The `neck` block among the kinds of block.

use super::phrases::LABELS;
use super::{Elsewhere, Played, Progression};
use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::nearest::Known;
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::{Medium, ON_STRINGS, Phrase};
use crate::lesson::limits::{self, Held};
use crate::words::help::Section;
use crate::words::kinds;
use std::rc::Rc;

/// Diagrams of the neck.
#[derive(Debug)]
pub struct NeckBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "neck",
    called: kinds::NECK_DIAGRAM,
    medium: Medium::Handout,
    phrases: &[
        Phrase::new(&["frets"], "frets 5 to 8", "the frets that are drawn"),
        Phrase::new(&["all"], "all frets", "the whole neck"),
        ON_STRINGS,
        Phrase::new(&["label"], "label degrees", "what stands in the dots"),
        Phrase::new(&["marking"], "marking G7", "the tones of that chord stand out"),
    ],
};

impl Kind for NeckBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "Diagrams of the neck, one a line: what is shown, then phrases. Or rows, a \
                   string's letter and the frets to mark, which are one diagram. `scales for` \
                   finds the scales that hold every chord of a progression, but for what an altered \
                   dominant may leave out: first the scale of the key, then those on its tonic (or, \
                   without a key, on the last chord's root where its dominant leads there), then on \
                   the root of the first chord and of the last, among these the one with the fewest \
                   notes that no chord has. Where no scale \
                   holds all chords, the nearest says what it lacks; at the end stand the blues \
                   and pentatonic scales that are played over such chords.",
            sections: vec![
                Section::of_signs("What is shown", &super::syntax::SIGNS),
                Section::of_signs("Labels", LABELS.iter().map(|(sign, _)| sign)),
            ],
            example: include_str!("example.md"),
        }
    }

    fn read(
        &self,
        fence: &Fence<'_>,
        others: &Others<'_>,
        _effort: &mut Effort,
        findings: &mut Findings,
    ) -> Option<Box<dyn Music>> {
        Some(Box::new(super::read(fence, others, findings)?))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Turns]
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        held.take(limits::DIAGRAMS, fence.written().count())
    }

    fn effort(&self) -> u64 {
        1
    }

    fn can_name(&self, _line: &str) -> bool {
        true
    }
}

impl Elsewhere for Others<'_> {
    fn played(&self, name: &str) -> Option<Played> {
        let other = self.named(name)?;
        Some(Played { places: other.music?.played()?, title: other.title()? })
    }

    fn names(&self) -> Rc<Known> {
        self.called(Offer::Places)
    }

    fn progression(&self, name: &str) -> Option<Progression> {
        let other = self.named(name)?;
        Some(Progression { chords: other.music?.progression()?, title: other.title()? })
    }

    fn progressions(&self) -> Rc<Known> {
        self.called(Offer::Progression)
    }
}
