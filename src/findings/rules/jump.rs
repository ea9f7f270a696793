//! At this tempo there is no time to get the hand from one place on the neck to the next.
//!
//! ## Why it matters
//!
//! A hand needs longer the further it goes and the smaller the place it must hit. Below a certain time
//! no one gets there: most often a note stands on the wrong string or fret, or the finger in the `left`
//! row makes the hand move where another wouldn't. The same note on another string, an open string on
//! the way, or a slower tempo helps.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff, tempo 160
//! count 1   e   &   a   2   3   4   |
//! e     1---13--1---13--1-----------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff, tempo 60
//! count 1   e   &   a   2   3   4   |
//! e     1---13--1---13--1-----------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::neck::path::Leap;

/// The rule `jump`.
pub static RULE: Rule =
    Rule { name: "jump", weight: Weight::Doubt, source: include_str!("jump.rs") };

/// There is no time for a shift; `before` are the words before the message, such as the bar and the count.
pub fn no_time(span: Span, before: &str, leap: &Leap) -> Finding {
    let message = format!(
        "{before}the hand goes {:.0} mm, from fret {} to fret {}, in {} ms; the fastest takes {:.0}",
        leap.distance,
        leap.from,
        leap.to,
        leap.time.as_millis(),
        leap.shortest
    );
    Finding::new(&RULE, span, message)
}
