//! The steps of a note that is joined to others at its moment: grace notes, bends, releases.

use crate::music::tab::{Joint, Note, Sound};
use crate::neck::Fret;

/// One step of the chain of joined frets at one moment.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub fret: Fret,
    pub ghost: bool,
    pub joined: Option<Joint>,
    /// Whether it is only bent, not picked: in brackets before a bend.
    pub ahead: bool,
    /// Whether it is bent by a quarter tone before the next step.
    pub quarter: bool,
}

/// The steps of a note's chain: its grace notes, then itself.
pub(super) fn chain(note: &Note, fret: Fret) -> Vec<Step> {
    let graces = note.graces.iter().map(|grace| Step {
        fret: grace.sound,
        ghost: grace.ghost,
        joined: grace.joined,
        ahead: false,
        quarter: grace.quarter_bend,
    });
    let (ghost, joined) = (note.ghost, note.joined);
    let last = Step { fret, ghost, joined, ahead: false, quarter: false };
    let mut chain: Vec<Step> = graces.chain([last]).collect();
    let nexts: Vec<Option<Joint>> = chain.iter().skip(1).map(|step| step.joined).collect();
    for (step, next) in chain.iter_mut().zip(nexts) {
        step.ahead = step.ghost && next == Some(Joint::Bend);
    }
    chain
}

/// The step of a chain that is picked or lasts.
pub(super) fn main_of(chain: &[Step]) -> Option<usize> {
    chain.iter().rposition(|step| !step.is_bent())
}

/// Whether a note is bent where it stands.
pub(super) fn is_bent(note: &Note) -> bool {
    let Sound::Fret(fret) = note.sound else { return note.quarter_bend };
    let chain = chain(note, fret);
    note.quarter_bend || main_of(&chain).is_some_and(|main| main + 1 < chain.len())
}

impl Step {
    /// Whether the string is bent or let down here, and no fret picked.
    pub fn is_bent(&self) -> bool {
        matches!(self.joined, Some(Joint::Bend | Joint::Release))
    }
}
