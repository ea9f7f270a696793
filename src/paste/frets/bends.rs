//! Bends and releases: how far they go, and which of them are one.

use super::{FretReader, NEAR};
use crate::paste::directions::BENDS;
use crate::paste::found::Played;

/// How far a bend goes whose pitch is not written: a whole step.
pub(super) const USUAL: u8 = 2;

/// What is guessed of bends and releases.
const BENT: &str = "bends go up a whole step where the tab didn't say how far";
const RELEASED: &str = "a release without a bend is of a note bent before it is picked";
const AGAIN: &str = "a bend to a pitch reached before is of a note picked again while it is bent";

impl FretReader<'_> {
    /// How many cells say how far a bend goes, if they do.
    pub(super) fn written_bend(&mut self, column: usize, rest: &[char]) -> Option<usize> {
        let near = self.waiting == Some('b') && self.waited <= NEAR;
        let last = self.last.filter(|_| near)?;
        let text: String = rest.iter().take(5).collect();
        let (words, steps) = BENDS.iter().find(|(words, _)| text.starts_with(words))?;
        let pitch = last.saturating_add(*steps);
        self.last_note()?.text += &format!("b{pitch}");
        self.waiting = None;
        self.last = Some(pitch);
        self.tell(column, format!("guessed: how far a bend goes, from `{words}`"));
        Some(words.chars().count())
    }

    /// Gives the bend or the release that waits its pitch. A release of a note that isn't bent is that of
    /// a note bent before it is picked.
    pub(super) fn pitch(&mut self, pitch: u8) {
        let (Some(sign), Some(last)) = (self.waiting.take(), self.last) else { return };
        self.last = Some(pitch);
        let Some(note) = self.last_note() else { return };
        let bent = note.text.contains(['b', 'r']);
        if sign == 'r' && !bent && note.text == last.to_string() {
            note.text = format!("({pitch})b{last}r{pitch}");
            self.read.guess(RELEASED);
        } else {
            note.text += &format!("{sign}{pitch}");
        }
    }

    /// Whether a fret is the pitch of the bend or release that waits for one: near it, and on its side.
    pub(super) fn is_pitch_of_bend(&self, fret: u8) -> bool {
        let near = self.waited <= NEAR;
        match (self.waiting, self.last) {
            (Some('b'), Some(last)) => near && fret > last,
            (Some('r'), Some(last)) => near && fret < last,
            _ => false,
        }
    }

    /// Takes a bend in that goes to the pitch to which the note before it is bent already; whether it does.
    /// Apart from that note it is picked again, bent; tight behind it nothing new is played.
    pub(super) fn is_bent_again(&mut self, column: usize, fret: u8) -> bool {
        let waits = self.waiting == Some('b') && self.last == Some(fret) && self.waited <= NEAR;
        let pressed = self.last_note().filter(|_| waits).and_then(|note| bent_from(&note.text));
        let Some(pressed) = pressed.map(str::to_string) else { return false };
        self.waiting = None;
        if self.loose {
            let (column, text) = (self.waits_at.1, format!("({pressed})b{fret}"));
            self.note(Played { column, text, join: None });
            self.read.guess(AGAIN);
        } else {
            self.tell(column, format!("guessed: `b{fret}` says again how far a note is bent"));
        }
        true
    }

    /// Gives a bend or a release that waits for its pitch the usual one.
    pub(super) fn end_bend(&mut self) {
        let (Some(sign @ ('b' | 'r')), Some(last)) = (self.waiting, self.last) else { return };
        if sign == 'b' {
            let said = self.steps.get(self.read.bends).copied();
            self.read.bends += 1;
            self.bent = said.unwrap_or(USUAL);
            self.pitch(last.saturating_add(self.bent));
        } else {
            let back = std::mem::replace(&mut self.bent, USUAL);
            self.pitch(last.saturating_sub(back));
        }
        if self.steps.is_empty() {
            self.read.guess(BENT);
        }
    }
}

/// The fret at which the string of a note is pressed that is bent and not let down.
fn bent_from(note: &str) -> Option<&str> {
    let (before, _) = note.rsplit_once('b').filter(|(_, behind)| !behind.contains('r'))?;
    let from = before.trim_start_matches(|c: char| !c.is_ascii_digit());
    let end = from.find(|c: char| !c.is_ascii_digit()).unwrap_or(from.len());
    from.get(..end)
}
