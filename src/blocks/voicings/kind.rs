//! The `voicings` block among the kinds of block.

use super::{Change, Melody};
use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::nearest::Known;
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::{Medium, NEAR_FRET, ON_STRINGS, Phrase};
use crate::lesson::limits::{self, Held};
use crate::neck::voicing::{Family, Inversion};
use crate::words::help::{Section, entry};
use crate::words::kinds;
use crate::words::terms;
use std::rc::Rc;

/// Chords worked out on the neck.
#[derive(Debug)]
pub struct VoicingsBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "voicings",
    called: kinds::VOICINGS,
    medium: Medium::Handout,
    phrases: &[
        ON_STRINGS,
        NEAR_FRET,
        Phrase::new(&[], "starting in first inversion", "how the first shape stands"),
        Phrase::new(&[], "keep 3 shapes", "so many for each chord"),
        Phrase::new(&[], "under tune", "beneath the notes of that riff where its harmony changes"),
    ],
};

impl Kind for VoicingsBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "Chords worked out on the neck: chords, a colon, a style and phrases. The \
                   inversions are chosen that the hand can hold and that move least over the \
                   whole line. `under` puts a chord beneath the note that sounds where the \
                   harmony changes, or, where there is no room, beneath the highest that is \
                   picked while the chord holds.",
            sections: vec![
                Section::new(
                    "Styles",
                    Family::ALL.map(|(one, name)| entry(name, terms::family(one))),
                ),
                Section::new(
                    "Inversions",
                    Inversion::ALL.map(|one| entry(terms::inversion(one), terms::lowest(one))),
                ),
            ],
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
        let melody = |name: &str| melody(others, name);
        Some(Box::new(super::read(fence, &melody, effort, findings)?))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Places, Offer::Turns]
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        let chords =
            |line: &str| line.split(':').next().unwrap_or_default().split_whitespace().count();
        held.take(limits::VOICINGS, fence.written().map(chords).sum())
    }

    fn effort(&self) -> u64 {
        1
    }

    fn can_name(&self, _line: &str) -> bool {
        true
    }
}

/// The melody of the riff of a name; where none that can be read is called so, the riffs' names.
fn melody(others: &Others<'_>, name: &str) -> Result<Melody, Rc<Known>> {
    let Some(tab) = others.music(name).and_then(|music| music.tab()) else {
        return Err(others.called(Offer::Riff));
    };
    let changes = tab.riff.tops().into_iter().map(|top| Change {
        bar: top.bar,
        chord: top.chord,
        top: top.note,
        highest: top.highest,
    });
    Ok(Melody { changes: changes.collect() })
}
