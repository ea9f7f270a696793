//! Letters stand in the lesson that none of our type faces has; a □ is printed for each.
//!
//! ## Why it matters
//!
//! A box says nothing to a student. Our faces have the letters of most languages that are written in
//! Latin, Greek, Cyrillic, Hebrew or Arabic letters; for others a font file of your own helps. Put it
//! into the lesson's folder and name it in the header: `font: NAME.ttf`. A TTF or OTF file will do,
//! and only the letters that the lesson uses go into the handout.
//!
//! ## An example
//!
//! ````text
//! The song is called 川の歌.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! The song is called Kawa no uta.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `no-glyph`.
pub static RULE: Rule =
    Rule { name: "no-glyph", weight: Weight::Hint, source: include_str!("no_glyph.rs") };
