//! A line that an import guessed, and nobody has confirmed by taking `# guessed` away.
//!
//! `fretleaf new --from TAB` makes a lesson of an old tab. What the tab doesn't say, such as the counts
//! under its notes, is guessed, and a comment that begins with `# guessed` says so above it. Look at
//! what was guessed, mend what isn't so, then take the comment away. No repair is made for you: only you
//! know the tune.
//!
//! ## Why it matters
//!
//! A guess on paper looks like all the rest. A student learns it as you would have taught it.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! # guessed: the counts, from the spacing of the notes
//! count 1   2   3   4   |
//! A     0---2---3---2---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! A     0---2---3---2---|
//! ~~~
//! ````

use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `guessed`.
pub static RULE: Rule =
    Rule { name: "guessed", weight: Weight::Doubt, source: include_str!("guessed.rs") };

/// What an old tab didn't say was guessed: `says` is what, `line` the whole line that tells it.
pub fn unconfirmed(span: Span, says: &str, line: Span) -> Finding {
    let what = if says.is_empty() { "" } else { ": " };
    Finding::new(&RULE, span, format!("guessed, and not yet confirmed{what}{says}"))
        .note("see whether it is so, mend what isn't, then take this line away")
        .fix("it is so: this line taken away", line, "", Ground::Choice)
}
