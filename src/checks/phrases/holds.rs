//! What blocks hold: `bar 2 of verse is F#m7`, `verse = A F#m7 D`, `the hook begins on A`.

use super::{Check, Names};
use crate::blocks::Music;
use crate::blocks::bars::wrong_bars;
use crate::findings::rules::{spelling, unknown_name};
use crate::lesson::phrase::{NoteName, Part};
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Midi, Pitch};

impl Check<'_> {
    /// Checks that a block, or some of its bars, holds just these chords, equal neighbours once.
    pub(super) fn holds(
        &mut self,
        name: &Part<String>,
        bars: Option<(u32, u32)>,
        said: &[Part<Chord>],
        names: &Names<'_>,
    ) {
        let Some(block) = names.find(&name.value) else {
            return self.no_such_block(name, bars.is_some(), names);
        };
        let whole = self.phrase.text.span;
        if let Some(finding) =
            bars.and_then(|bars| wrong_bars(whole, &name.value, block.bars, bars))
        {
            return self.raise(finding);
        }
        let Some(music) = block.music else { return };
        let held = held(music, bars);
        let what = what(&name.value, bars);
        if held.is_empty() {
            return self.raise(unknown_name::no_chords(whole, &what));
        }
        if !said.iter().map(|part| &part.value).eq(&held) {
            let place = said.first().zip(said.last());
            let place = place.map_or(0..0, |(first, last)| first.place.start..last.place.end);
            let right = joined(held.iter());
            let wrong = joined(said.iter().map(|part| &part.value));
            let finding = spelling::other_chords(self.span(&place), &what, &right, &wrong);
            let finding = self.fix(finding, &place, right);
            self.raise(finding);
        }
    }

    /// Checks that a note is among the first that a block plays; of changes it is their first root.
    pub(super) fn begins(&mut self, name: &Part<String>, note: &Part<NoteName>, names: &Names<'_>) {
        let Some(block) = names.find(&name.value) else {
            return self.no_such_block(name, false, names);
        };
        let Some(music) = block.music else { return };
        let notes = music.first_notes();
        let root = music.chords().first().map(|(_, chord)| chord.root);
        let said = note.value;
        let is_said = |midi: &Midi| match said.octave {
            Some(octave) => Pitch::new(said.note, octave).midi() == *midi,
            None => midi.class() == said.note.class(),
        };
        let called = said.note.names;
        let spelled = |midi: &Midi| {
            spell(*midi, self.key(), None, Direction::Unknown).note.called(called).to_string()
        };
        let right: Vec<String> = match root {
            Some(root) if notes.is_empty() => vec![root.to_string()],
            _ => notes.iter().map(spelled).collect(),
        };
        let span = self.span(&note.place);
        let fits = notes.iter().any(is_said) || notes.is_empty() && root == Some(said.note);
        if right.is_empty() {
            self.raise(unknown_name::no_notes(self.phrase.text.span, &name.value));
        } else if !fits {
            let text = self.text().get(note.place.clone()).unwrap_or_default();
            let finding = spelling::other_beginning(span, &name.value, &right, text);
            self.raise(finding);
        }
    }

    /// Checks that two chords sound the same: all their notes, and where one names a bass the lowest.
    pub(super) fn same_chord(&mut self, one: &Part<Chord>, other: &Part<Chord>) {
        let (left, right) = (&one.value, &other.value);
        let named = left.bass.is_some() || right.bass.is_some();
        let same_bass = !named || left.lowest().class() == right.lowest().class();
        if left.classes() != right.classes() || !same_bass {
            let notes = |chord: &Chord| {
                let bass = chord.bass.filter(|bass| !chord.notes().contains(bass));
                let notes = bass.into_iter().chain(chord.notes());
                notes.map(|note| note.to_string()).collect::<Vec<_>>().join(" ")
            };
            let (span, sides) = (self.phrase.text.span, [left, right].map(notes));
            self.raise(spelling::two_chords(span, left, right, &sides));
        }
    }
}

/// The chords of a block, or of some of its bars, in their order, equal neighbours once.
fn held(music: &dyn Music, bars: Option<(u32, u32)>) -> Vec<Chord> {
    let is_meant = |bar: u32| bars.is_none_or(|(first, last)| (first..=last).contains(&bar));
    let chords = music.chords().into_iter().filter(|(bar, _)| is_meant(*bar));
    let mut chords: Vec<Chord> = chords.map(|(_, chord)| chord).collect();
    chords.dedup();
    chords
}

/// A block or bars of it as a message names them.
fn what(name: &str, bars: Option<(u32, u32)>) -> String {
    match bars {
        None => format!("`{name}`"),
        Some((first, last)) if first == last => format!("bar {first} of `{name}`"),
        Some((first, last)) => format!("bars {first} to {last} of `{name}`"),
    }
}

fn joined<'c>(chords: impl Iterator<Item = &'c Chord>) -> String {
    chords.map(Chord::to_string).collect::<Vec<_>>().join(" ")
}
