//! The header has no title.
//!
//! ## Why it matters
//!
//! The title stands at the head of the page and in the list of a reader's open documents. Without one
//! the file's name is printed.
//!
//! ## An example
//!
//! ````text
//! ---
//! key: A major
//! ---
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! key: A major
//! ---
//! ````

use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `no-title`.
pub static RULE: Rule =
    Rule { name: "no-title", weight: Weight::Hint, source: include_str!("no_title.rs") };

fn untitled(span: Span, title: &str) -> Finding {
    Finding::new(&RULE, span, format!("the lesson has no title; `{title}` is printed"))
}

/// A header names no title: `inside` is where its keys begin, `title` what is printed instead.
pub fn in_header(open: Span, inside: usize, title: &str) -> Finding {
    let here = Span::new(inside, inside);
    untitled(open, title).fix("a title", here, format!("title: {title}\n"), Ground::SameMusic)
}

/// A lesson without a header has no title.
pub fn without_header(title: &str) -> Finding {
    let header = format!("---\ntitle: {title}\n---\n\n");
    let start = Span::default();
    untitled(start, title).fix("a header with a title", start, header, Ground::SameMusic)
}
