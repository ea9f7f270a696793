//! Something in the lesson is left out of the handout: the tags of raw HTML, a key that the header
//! doesn't know, or a phrase that changes nothing where it stands.
//!
//! ## Why it matters
//!
//! What stands in the lesson and not on paper should be no surprise. The words between tags stay, but
//! not those of `script` and `style`, and nothing looks as the tags had it. Use the lesson's own signs for
//! emphasis, tables and pictures; a note to yourself can stand in an HTML comment, which vanishes
//! without a word.
//!
//! ## An example
//!
//! ````text
//! Press <b>firmly</b>.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! Press **firmly**.
//! ````

use crate::findings::source::Spanned;
use crate::findings::{Finding, Ground, Rule, Span, Weight};
use crate::words::help::quoted;

/// The rule `left-out`.
pub static RULE: Rule =
    Rule { name: "left-out", weight: Weight::Hint, source: include_str!("left_out.rs") };

/// Tags among words.
pub fn tags(span: Span) -> Finding {
    Finding::new(&RULE, span, "the tags of raw HTML are left out; the words between them stay")
}

/// A script or a style sheet.
pub fn code(span: Span) -> Finding {
    let message = "the tags of raw HTML are left out, and all that stands in `script` and `style`";
    Finding::new(&RULE, span, message)
}

/// A comment that doesn't end.
pub fn endless_comment(span: Span) -> Finding {
    Finding::new(&RULE, span, "this comment has no `-->`; all that follows is left out")
}

/// A key that a place, such as "a lesson's header", doesn't have.
pub fn key(span: Span, key: &str, of: &str, known: &[&str]) -> Finding {
    Finding::new(&RULE, span, format!("`{key}` is no key of {of}, and is left out"))
        .note(format!("the keys are {}", quoted(known.iter().copied())))
}

/// A language that our own words can't be printed in.
pub fn language(span: Span, tag: &str) -> Finding {
    let message = format!("`{tag}` is no language of ours; what we print ourselves is English");
    Finding::new(&RULE, span, message).note("allowed: `en` for English, `de` for German")
}

/// A line that is set in beneath a key that there isn't, and so belongs to that.
pub fn beneath_a_key(span: Span) -> Finding {
    Finding::new(&RULE, span, "this belongs to the key above it, and is left out with that")
        .note("a key of the lesson stands at the start of its line")
}

/// A phrase that guides notes to their frets, in a riff that is written in frets; `text` is the lesson's.
pub fn idle_guide(guide: &Spanned<String>, text: &str) -> Finding {
    let phrase = &guide.value;
    let message = format!("`{phrase}` changes nothing: this riff is written in frets");
    let before = text.get(..guide.span.start).unwrap_or_default();
    let kept = before.trim_end_matches([' ', '\t']);
    let kept = kept.strip_suffix(',').unwrap_or(kept).len();
    let place = Span::new(kept, guide.span.end);
    Finding::new(&RULE, guide.span, message)
        .note("it says where the notes of a `notes` row are looked for")
        .fix(format!("without `{phrase}`"), place, "", Ground::SameMusic)
}

/// A line whose lists and quotes nest too deep.
pub fn deep_line(span: Span, deepest: usize) -> Finding {
    let message = format!("lists and quotes nest deeper than {deepest} here; the line is left out");
    Finding::new(&RULE, span, message)
}

/// A list, quote or emphasis that nests too deep, though its words stay.
pub fn nesting(span: Span) -> Finding {
    Finding::new(&RULE, span, "this nests too deep; it is printed as the words around it are")
}
