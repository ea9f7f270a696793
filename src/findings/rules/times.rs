//! A file of measured times names a section that the script hasn't, or has a line that can't be read.
//!
//! The file lies beside the lesson and is called as it is, `NAME-times.csv`; each line is a section's heading,
//! a comma and the time that it took, such as `The verse, 1:02.4`.
//!
//! ## Why it matters
//!
//! Clock, chapters and captions are made from what was measured. A section that has another name by now falls
//! back on what its words are thought to take, and all that follows is early or late.
//!
//! ## An example
//!
//! Its file of times has the line `Bridge, 0:40`.
//!
//! ````text
//! ## The bridge
//!
//! ~~~ say
//! Now to where the tune turns.
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! The heading is again what was measured; or else the line says `The bridge, 0:40`.
//!
//! ````text
//! ## Bridge
//!
//! ~~~ say
//! Now to where the tune turns.
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `times`.
pub static RULE: Rule =
    Rule { name: "times", weight: Weight::Doubt, source: include_str!("times.rs") };

/// How a line is written.
const FORM: &str = "write a section's heading, a comma and its time, such as `The verse, 1:02.4`; a heading with a comma stands in quotes";
/// How much of a line is shown, in characters.
const SHOWN: usize = 40;

/// A finding about the file, which has no place in the lesson: it stands at its start.
fn about(message: String) -> Finding {
    Finding::new(&RULE, Span::default(), message)
}

/// A file that can't be used, and why.
pub fn unused(file: &str, why: &str) -> Finding {
    about(format!("`{file}` {why}; no measured time is used"))
}

/// A file with more lines than are read.
pub fn too_many(file: &str, most: &str) -> Finding {
    about(format!("`{file}` has more than {most} lines; the rest isn't read"))
}

/// A line that is no section with its time.
pub fn unread(file: &str, number: usize, line: &str) -> Finding {
    let mut shown: String = line.chars().take(SHOWN).collect();
    if shown.len() < line.len() {
        shown.push('…');
    }
    about(format!("line {number} of `{file}`, `{shown}`, is no section with its time")).note(FORM)
}

/// A time in which what is said and played in its section has no room.
pub fn too_short(file: &str, number: usize, title: &str, takes: &str, needs: &str) -> Finding {
    about(format!(
        "line {number} of `{file}` gives “{title}” {takes}, but what is said and played there takes about {needs}"
    ))
    .note("measure it again, or take out what was cut from the film")
}

/// A section that the script hasn't, or hasn't as often as it is timed.
pub fn no_section(file: &str, number: usize, title: &str) -> Finding {
    about(format!(
        "line {number} of `{file}` times “{title}”, but the script has no such section, or no further one"
    ))
    .note("write the heading as the script has it, or take the line out")
}
