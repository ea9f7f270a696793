//! Numerals: `F#m7 is vi7`.

use super::Check;
use crate::findings::Finding;
use crate::findings::rules::{no_key, numeral};
use crate::lesson::phrase::{Numerals, Part};
use crate::theory::{Chord, Key, Numeral};

impl Check<'_> {
    /// Numerals alone say nothing false, but without a key they stand for no chords.
    pub(super) fn lone_numerals(&mut self, numerals: &Numerals) {
        if self.key_of(numerals).is_none() {
            self.without_key();
        }
    }

    /// Checks that chords are the numerals that they are said to be.
    pub(super) fn function(&mut self, chords: &[Part<Chord>], numerals: &Numerals) {
        let Some(key) = self.key_of(numerals) else {
            return self.without_key();
        };
        for (chord, numeral) in chords.iter().zip(&numerals.list) {
            if !numeral.value.agrees_with(&chord.value, &key) {
                let finding = self.wrong_numeral(chord, numeral, &key);
                self.raise(finding);
            }
        }
    }

    /// Whether the chord or the numeral is the slip nobody can tell.
    fn wrong_numeral(&self, named: &Part<Chord>, said: &Part<Numeral>, key: &Key) -> Finding {
        let chord = &named.value;
        let right = Numeral::of(chord, key);
        // A numeral need not name the bass.
        let bass = right.bass.filter(|_| said.value.bass.is_some());
        let right = Numeral { bass, ..right };
        let meant = said.value.chord_in(key);
        let finding = numeral::another(self.span(&said.place), chord, key, &right, &said.value);
        let finding = self.fix(finding, &said.place, right.to_string());
        self.fix(finding, &named.place, meant.to_string())
    }

    /// The key that is named with the numerals, or the one in force.
    fn key_of(&self, numerals: &Numerals) -> Option<Key> {
        numerals.key.as_ref().map(|key| key.value).or_else(|| self.key().copied())
    }

    fn without_key(&mut self) {
        self.raise(no_key::in_phrase(self.phrase.text.span));
    }
}
