//! A cue doesn't fit what is said: a figure is shown and nothing is said or played before the next
//! one, a figure is spoken of by its name and never shown, or a cue stands among words.
//!
//! ## Why it matters
//!
//! A figure that nobody speaks of flashes by, and one that is only spoken of leaves the viewer
//! looking for it.
//!
//! A cue stands on a line of its own. `[show …]`, `[play …]`, `[pause …]`, `[retake]`, `[camera …]`, `[tone …]` and
//! `[note …]` among words on a line are a fault: they would be read out and never done. Other words in brackets are
//! said as they are typed, such as `[sic]`; a hint tells it, for `[breathe]` may have been meant as a cue. Of
//! a link, as in `[the site](https://example.org)`, the words are said. A backslash before each bracket says that it
//! is meant so: `\[sic\]`.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ changes chorus
//! | D | A |
//! ~~~
//!
//! ~~~ say
//! [show verse]
//! [show chorus]
//! Both have the same two chords.
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ changes chorus
//! | D | A |
//! ~~~
//!
//! ~~~ say
//! [show verse]
//! The verse has two chords.
//! [show chorus]
//! The chorus turns them round.
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `cue`.
pub static RULE: Rule = Rule { name: "cue", weight: Weight::Hint, source: include_str!("cue.rs") };

/// A figure is shown, and the next one before a word is said about it.
pub fn no_word(span: Span) -> Finding {
    Finding::new(&RULE, span, "this figure is shown and no word is said before the next one")
        .note("say what to look at, or leave the cue out")
}

/// A figure is spoken of and no cue shows it.
pub fn never_shown(span: Span, name: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{name}` is spoken of and never shown"))
        .note(format!("a cue shows it: `[show {name}]`"))
}

/// A cue stands among words on a line.
pub fn among_words(span: Span, cue: &str) -> Finding {
    let message = format!("the cue `{cue}` stands among words, where it would be said");
    Finding::new(&RULE, span, message)
        .weighing(Weight::Fault)
        .note("a cue stands on a line of its own")
}

/// A cue begins with a word that is nearly one of those that are known, before something that these take.
pub fn fumbled(span: Span, word: &str) -> Finding {
    let message = format!("`{word}` is no word that shows, plays or pauses anything");
    Finding::new(&RULE, span, message)
        .weighing(Weight::Fault)
        .note("a cue in your own words begins with another word")
}

/// Words in brackets stand among others and are no cue that is known.
pub fn said_as_typed(span: Span, words: &str) -> Finding {
    let message = format!("`{words}` stands among words, and so is said as it is typed");
    Finding::new(&RULE, span, message)
        .note("a cue stands on a line of its own; `\\[` and `\\]` say that it is meant so")
}
