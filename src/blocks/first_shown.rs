//! The shape of a chord that a teacher shows first.

use crate::neck::voicing::{self, Search};
use crate::neck::{Fingering, Fret, Hand, Instrument};
use crate::theory::Chord;

/// The best shape of a chord that the hand can hold; `None` where there is none.
pub fn first_shown(chord: &Chord, instrument: &Instrument, hand: Hand) -> Option<Fingering> {
    let shapes = Search::new(chord, instrument, hand).all();
    let best =
        voicing::ranked(&shapes, chord, instrument, hand, Fret::OPEN, 1).into_iter().next()?;
    Some(Fingering { frets: best.shape.frets().to_vec(), fingers: best.hold.fingers })
}
