//! No key is named where a riff stands, and the notes tell one plainly.
//!
//! It is the key that its notes, and the chords over them, are most likely in. The notes are judged by it, with
//! more patience than by a key that is named. Where there is none on purpose, `key: none` says so.
//!
//! ## Why it matters
//!
//! A key in the header, in a `now` or in the fence line makes every check sharper, spells the notes rightly and
//! gives the chords their numerals.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! ---
//!
//! ~~~ riff
//! chord   G               |C               |D7              |G               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! B       ------3---3-----|------1---1-----|----1---1---1---|------0---0-----|
//! G       ----0---0---0---|----0---0---0---|--2-----------2-|----0---0---0---|
//! D       --0-----------0-|--2-----------2-|0---------------|--0-----------0-|
//! A       ----------------|3---------------|----------------|----------------|
//! E       3---------------|----------------|----------------|3---------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: G major
//! ---
//!
//! ~~~ riff
//! chord   G               |C               |D7              |G               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! B       ------3---3-----|------1---1-----|----1---1---1---|------0---0-----|
//! G       ----0---0---0---|----0---0---0---|--2-----------2-|----0---0---0---|
//! D       --0-----------0-|--2-----------2-|0---------------|--0-----------0-|
//! A       ----------------|3---------------|----------------|----------------|
//! E       3---------------|----------------|----------------|3---------------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::Key;

/// The rule `key-inferred`.
pub static RULE: Rule =
    Rule { name: "key-inferred", weight: Weight::Hint, source: include_str!("key_inferred.rs") };

/// The key that the notes are most likely in, where none is named.
pub fn likely(span: Span, key: &Key) -> Finding {
    Finding::new(&RULE, span, format!("no key is named here; the notes are most likely in {key}"))
        .note(format!("say so with `key: {key}` in the header, or in the fence line"))
}
