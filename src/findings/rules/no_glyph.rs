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

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `no-glyph`.
pub static RULE: Rule =
    Rule { name: "no-glyph", weight: Weight::Hint, source: include_str!("no_glyph.rs") };

/// Letters that our faces lack; `letters` and the lines that they stand first on are in words.
pub fn no_face(span: Span, letters: &str, lines: Option<&str>) -> Finding {
    lacking(span, "no face has", letters, lines).note(
        "a font that has them, a TTF or OTF file in the lesson's folder, is named in the header: \
         `font: NAME.ttf`",
    )
}

/// Letters that our faces and the lesson's own font lack.
pub fn no_font(span: Span, letters: &str, lines: Option<&str>) -> Finding {
    lacking(span, "neither our faces nor the lesson's own font have", letters, lines)
        .note("a lesson has one font of its own: name one that has all of its letters")
}

fn lacking(span: Span, who: &str, letters: &str, lines: Option<&str>) -> Finding {
    let finding = Finding::new(&RULE, span, format!("{who} {letters}; a □ is printed for each"));
    match lines {
        Some(lines) => finding.note(format!("they stand first on lines {lines}")),
        None => finding,
    }
}
