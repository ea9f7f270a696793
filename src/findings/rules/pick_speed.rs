//! Notes are plucked faster than a hand can.
//!
//! ## Why it matters
//!
//! A pick that goes back and forth makes 20 notes a second at the very most, one finger alone 10. What
//! is faster is most often a count or a tempo that was not meant. Slurs help where the speed is meant.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff, tempo 200
//! count 1   '   e   '   &   '   a   '   2   3   4   |
//! e     0---1---0---1---0---1---0---1---0-----------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff, tempo 100
//! count 1   '   e   '   &   '   a   '   2   3   4   |
//! e     0---1---0---1---0---1---0---1---0-----------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::neck::speed::Plucking;

/// The rule `pick-speed`.
pub static RULE: Rule =
    Rule { name: "pick-speed", weight: Weight::Doubt, source: include_str!("pick_speed.rs") };

/// So many notes come faster than they can be plucked so: `rate` a second, `most` at the most. At `tempo` it
/// would be easy, where one would do.
pub fn too_fast(
    span: Span,
    notes: usize,
    plucking: Plucking,
    (rate, most): (f64, f64),
    tempo: Option<String>,
) -> Finding {
    let with = words(plucking);
    let message =
        format!("{notes} notes at {rate:.0} a second; {with} makes {most:.0} at the most");
    let finding = Finding::new(&RULE, span, message);
    match tempo {
        Some(tempo) => finding.note(format!("at tempo {tempo} it would be no trouble")),
        None => finding.note("fewer notes, or slurs, would make it possible"),
    }
}

fn words(plucking: Plucking) -> &'static str {
    match plucking {
        Plucking::Alternate => "a pick that goes back and forth",
        Plucking::TwoFingers => "a pair of fingers in turn",
        Plucking::Row => "a row of thumb and fingers",
        Plucking::Again => "the same stroke again and again",
    }
}
