//! What the rules about bars that slipped as a whole say alike.

use super::{Finding, Rule, Span};

/// Bars that slipped.
#[derive(Debug, Clone, Copy)]
pub struct Slipped<'a> {
    /// Where they begin.
    pub span: Span,
    /// Which they are: "bar 2", "bars 2 to 4".
    pub bars: &'a str,
    /// What they would fit: "what is around it".
    pub fits: &'a str,
}

impl Slipped<'_> {
    /// The finding that they are written so, and would fit with the repair.
    pub(super) fn finding(&self, rule: &'static Rule, how: &str, repair: &str) -> Finding {
        let Slipped { span, bars, fits } = self;
        let message =
            format!("{bars}: all of it seems to be written {how}; {repair} it fits {fits}");
        Finding::new(rule, *span, message)
    }
}
