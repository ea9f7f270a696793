//! What is worth a look in changes that were read.

use super::Changes;
use crate::findings::Findings;
use crate::findings::rules::outside_key;
use crate::theory::Key;
use crate::theory::numeral::in_key;
use std::collections::HashSet;

/// Hints at every distinct chord that is not in the key, where it first stands.
pub(super) fn outside_key(changes: &Changes, key: &Key, findings: &mut Findings) {
    let mut seen = HashSet::new();
    for ((chord, span), around) in changes.chords().zip(changes.around(key)) {
        if seen.insert(chord) && !in_key(chord, key) {
            findings.add(outside_key::chord(span, chord, around, key));
        }
    }
}
