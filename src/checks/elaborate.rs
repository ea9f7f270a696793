//! From the lesson as it is read to the lesson with everything worked out: each block understood
//! and checked, captions numbered, phrases checked and set.

use super::phrases::{self, Name, Names, SetPhrase};
use super::{cues, faults, notes, parts, tones};
use crate::blocks::others::bars_of;
use crate::blocks::{self, Block, Fault};
use crate::findings::Findings;
use crate::findings::report::Tally;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::{Lesson, letters};

/// The lesson with everything worked out that is printed.
#[derive(Debug)]
pub struct Elaborated<'a> {
    /// The lesson as read.
    pub lesson: Lesson<'a>,
    /// Its blocks, one a fence.
    pub blocks: Vec<Block>,
    /// Its phrases, one a phrase of the lesson.
    pub phrases: Vec<SetPhrase>,
    /// How many faults there are on the handout: all but those of the script, which has pages of its own.
    pub faults: usize,
    /// Those that lie in no block and on no phrase, for a draft.
    pub faults_elsewhere: Vec<Fault>,
}

impl Elaborated<'_> {
    /// Counts what was checked.
    pub fn tally(&self) -> Tally {
        let phrases = Tally { phrases: self.phrases.len(), ..Tally::default() };
        let blocks = self.blocks.iter().filter_map(|block| block.music.as_ref());
        blocks.map(|music| music.tally()).fold(phrases, Tally::and)
    }
}

/// Works a lesson out; what is wrong in it goes to the findings.
pub fn elaborate<'a>(lesson: Lesson<'a>, findings: &mut Findings) -> Elaborated<'a> {
    let mut read = blocks::read(&lesson);
    for (index, finding) in cues::check(&lesson, &read.music) {
        read.tell(index, finding);
    }
    for (index, finding) in tones::check(&read.music) {
        read.tell(index, finding);
    }
    for (index, finding) in parts::check(&lesson, &read) {
        read.tell(index, finding);
    }
    let of_notes = notes::check(&lesson, &read.music, &read.findings);
    for (index, found) in of_notes.into_iter().enumerate() {
        found.into_iter().for_each(|finding| read.tell(index, finding));
    }
    for (index, hint) in letters::hints(&lesson, findings) {
        read.tell(index, hint);
    }
    let mut blocks = read.finish(&lesson, findings);
    let names = names_of(&lesson, &blocks);
    let lang = lesson.header.lang;
    let check = |phrase| phrases::check(phrase, &names, lang, findings);
    let set = lesson.phrases.iter().map(check).collect();
    let elsewhere = faults::hand_out(findings.list(), &mut blocks, &lesson.phrases);
    let printed = |(fence, _): &(&Fence<'_>, &Block)| fence.kind.medium != Medium::Script;
    let in_print = lesson.fences.iter().zip(&blocks).filter(printed);
    let in_blocks: usize = in_print.map(|(_, block)| block.faults.len()).sum();
    let faults = in_blocks + elsewhere.on_phrases + elsewhere.others.len();
    Elaborated { lesson, blocks, phrases: set, faults, faults_elsewhere: elsewhere.others }
}

/// What phrases may refer to.
fn names_of<'m>(lesson: &Lesson<'_>, blocks: &'m [Block]) -> Names<'m> {
    let mut names = Names::default();
    for (index, (fence, block)) in lesson.fences.iter().zip(blocks).enumerate() {
        if let Some(name) = &fence.name {
            let bars = bars_of(fence, block.music.as_deref());
            let music = block.music.as_deref();
            names.add(&name.value, Name { index, bars, figure: block.number, music });
        }
    }
    names
}
