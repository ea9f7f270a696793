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
                self.findings.add(finding);
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
        let message = format!("`{chord}` is {right} in {key}, not {}", said.value);
        let meant = said.value.chord_in(key);
        let stands_for = format!("{} in {key} is `{meant}`", said.value);
        let finding =
            Finding::new(&numeral::RULE, self.span(&said.place), message).note(stands_for);
        let finding = self.fix(finding, &said.place, right.to_string());
        self.fix(finding, &named.place, meant.to_string())
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
