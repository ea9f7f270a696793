//! A line that an import guessed, and nobody has confirmed by taking `# guessed` away.
//!
//! `fretleaf new --from TAB` makes a lesson of an old tab. What the tab doesn't say, such as the counts
//! under its notes, is guessed, and a comment that begins with `# guessed` says so above it. Look at
//! what was guessed, mend what isn't so, then take the comment away. A comment that begins with
//! `# not read` keeps a sign of the old tab that is nowhere else in the lesson: write what it means, then
//! take the comment away. No repair is made for you: only you
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
    told(span, "guessed, and not yet confirmed", says)
        .note("see whether it is so, mend what isn't, then take this line away")
        .fix("it is so: this line taken away", line, "", Ground::Choice)
}

/// What an old tab says couldn't be read: `says` is what, `line` the whole line that tells it.
pub fn not_read(span: Span, says: &str, line: Span) -> Finding {
    told(span, "not read from the old tab, and not in the music", says)
        .note("write what it means where it belongs, then take this line away")
        .fix("it is written, or means nothing: this line taken away", line, "", Ground::Choice)
}

fn told(span: Span, what: &str, says: &str) -> Finding {
    let parting = if says.is_empty() { "" } else { ": " };
    Finding::new(&RULE, span, format!("{what}{parting}{says}"))
}
