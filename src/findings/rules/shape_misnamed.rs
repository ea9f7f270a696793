//! The fingering sounds another chord than its name says: a tone of the chord is missing, or a foreign
//! one sounds.
//!
//! ## Why it matters
//!
//! It is the slip that every student hears. The report says what is missing and what is foreign, which
//! chord it is in truth, and the smallest change of frets that would make the name true.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 1 0
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 2 0
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::chord::Verdict;
use crate::theory::{Chord, Degree, Interval};
use crate::words::listed;

/// The rule `shape-misnamed`.
pub static RULE: Rule = Rule {
    name: "shape-misnamed",
    weight: Weight::Fault,
    source: include_str!("shape_misnamed.rs"),
};

/// Frets that don't sound the chord that they are called: what it lacks, and the strings that are foreign to it,
/// each as "B on string 3".
pub fn untrue(span: Span, chord: &Chord, verdict: &Verdict, foreign: &[String]) -> Finding {
    let mut parts = lacks(chord, verdict);
    match foreign {
        [] => {}
        [one] => parts.push(format!("{one} is foreign to it")),
        _ => parts.push(format!("{} are foreign to it", listed(foreign))),
    }
    let message = format!("the frets don't sound `{chord}`: {}", parts.join("; "));
    Finding::new(&RULE, span, message)
}

/// What a chord lacks, in words.
fn lacks(chord: &Chord, verdict: &Verdict) -> Vec<String> {
    let mut parts = Vec::new();
    let tones: Vec<String> = verdict.missing.iter().map(|degree| tone(chord, *degree)).collect();
    match tones.as_slice() {
        [] => {}
        [one] => parts.push(format!("{one} is missing")),
        _ => parts.push(format!("{} are missing", listed(&tones))),
    }
    let any: Vec<String> = verdict.missing_one_of.iter().map(Degree::to_string).collect();
    if !any.is_empty() {
        parts.push(format!("none of {} sounds", listed(&any)));
    }
    parts
}

/// A tone of a chord with its degree in words: "C# (major third)".
fn tone(chord: &Chord, degree: Degree) -> String {
    let note = degree.above(chord.root);
    match degree {
        _ if chord.bass == Some(note) => format!("{note} (bass)"),
        Degree::ROOT => format!("{note} (root)"),
        _ => format!("{note} ({})", Interval::of(degree)),
    }
}
