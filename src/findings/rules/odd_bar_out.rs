//! A bar repeats another one but for a single note.
//!
//! The note is another one, one too many, or missing, perhaps with its count. Bars are compared through the whole
//! riff and with the lesson's other riffs. A change at the end of a phrase, or over another chord that explains it, is
//! taken as made on purpose. It is a hint where one of two copies lacks or adds a note, or has another one that fits
//! its chord; and where the note is no fret, string or digit off and fewer than three other bars agree.
//!
//! ## Why it matters
//!
//! What repeats is learned once. If the change is meant, students should see that it is: put a `*` under the
//! note in a `meant` row, or `meant odd-bar-out: …` first in the block.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: E minor
//! ---
//!
//! ~~~ riff
//! chord   Em              |Em              |Em              |Am              |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! G       ------0---2-0---|------0---2-0---|------0---2-0---|------2---2-----|
//! D       --2-2---2-----2-|--2-1---2-----2-|--2-2---2-----2-|--2-2---2---2---|
//! A       ----------------|----------------|----------------|0---------------|
//! E       0---------------|0---------------|0---------------|----------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: E minor
//! ---
//!
//! ~~~ riff
//! chord   Em              |Em              |Em              |Am              |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! G       ------0---2-0---|------0---2-0---|------0---2-0---|------2---2-----|
//! D       --2-2---2-----2-|--2-2---2-----2-|--2-2---2-----2-|--2-2---2---2---|
//! A       ----------------|----------------|----------------|0---------------|
//! E       0---------------|0---------------|0---------------|----------------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::neck::Fret;

/// The rule `odd-bar-out`.
pub static RULE: Rule =
    Rule { name: "odd-bar-out", weight: Weight::Doubt, source: include_str!("odd_bar_out.rs") };

/// A bar repeats another but for one note, `note`; `like` is the other, such as "bar 1 of `hook`".
pub fn other_note(span: Span, like: &str, note: &str) -> Finding {
    Finding::new(&RULE, span, format!("this bar is {like} but for one note, `{note}`"))
}

/// A bar repeats another and has a note besides.
pub fn note_more(span: Span, like: &str) -> Finding {
    Finding::new(&RULE, span, format!("this bar is {like} but for one note more"))
}

/// A bar repeats another and lacks one of its notes.
pub fn note_less(span: Span, like: &str, fret: Fret) -> Finding {
    let message = format!("this bar is {like} but for one note that it lacks, fret {fret}");
    Finding::new(&RULE, span, message)
}

/// A pattern comes so many times in a bar, and once with another note, `note`.
pub fn in_pattern(span: Span, times: u32, note: &str) -> Finding {
    let message =
        format!("this bar has one pattern {times} times, and once with another note, `{note}`");
    Finding::new(&RULE, span, message)
}

/// A bar repeats another with all its notes at other moments: `how`, such as "an eighth late".
pub fn out_of_time(span: Span, like: &str, how: &str) -> Finding {
    Finding::new(&RULE, span, format!("the notes of this bar are those of {like}, all {how}"))
}
