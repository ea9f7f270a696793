//! Numerals: `F#m7 is vi7`.

use super::Check;
use crate::lesson::phrase::{Numerals, Part};
use crate::proof::rules::{no_key, numeral};
use crate::proof::{Finding, Ground};
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
                let finding = self.wrong_numeral(&chord.value, numeral, &key);
                self.findings.add(finding);
            }
        }
    }

    fn wrong_numeral(&self, chord: &Chord, said: &Part<Numeral>, key: &Key) -> Finding {
        let right = Numeral::of(chord, key);
        let message = format!("`{chord}` is {right} in {key}, not {}", said.value);
        let stands_for = format!("{} in {key} is `{}`", said.value, said.value.chord_in(key));
        let finding =
            Finding::new(&numeral::RULE, self.span(&said.place), message).note(stands_for);
        self.fix(finding, &said.place, right.to_string(), Ground::Proven)
    }

    /// The key that is named with the numerals, or the one in force.
    fn key_of(&self, numerals: &Numerals) -> Option<Key> {
        numerals.key.as_ref().map(|key| key.value).or_else(|| self.key().copied())
    }

    fn without_key(&mut self) {
        let message = "a numeral stands for no chord where no key is named";
        let finding = Finding::new(&no_key::RULE, self.phrase.text.span, message);
        self.findings.add(finding.note("give the header a `key`, or write `ii7 in E major`"));
    }
}
