//! A shape can be held, but two fingers are stretched beyond what is comfortable for the hand.
//!
//! ## Why it matters
//!
//! A wide stretch should feel like reaching, never like pain. Students with smaller hands may need
//! another fingering, another place on the neck, or a note left out.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! F    1 3 x x x 5    by 1 3 . . . 4
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! F    1 3 3 2 1 1    by 1 3 4 2 1 1
//! ~~~
//! ````

use crate::findings::hand::{ShapePlace, pair};
use crate::findings::{Finding, Rule, Weight};
use crate::neck::hold::Gap;

/// The rule `stretch`.
pub static RULE: Rule =
    Rule { name: "stretch", weight: Weight::Hint, source: include_str!("stretch.rs") };

/// Two fingers are stretched farther than is comfortable.
pub fn wide(gap: &Gap, place: &ShapePlace) -> Finding {
    let message = format!(
        "{}{} stretch {:.0} mm at the least; {} spreads them {:.0} mm in comfort",
        place.before,
        pair(gap),
        gap.distance,
        place.hand.called(),
        gap.limit
    );
    Finding::new(&RULE, place.span, message)
}
