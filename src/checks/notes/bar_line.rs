//! `bar-slip`: a bar line that stands a count too early or too late, told by the counts on its two sides.

use super::Case;
use crate::blocks::tab::places::{BarPlace, Sign};
use crate::findings::Span;
use crate::findings::rules::bar_slip;
use crate::findings::{Finding, Findings, Ground};
use crate::music::tab::Bar;

/// A bar, and where it stands.
type Placed<'b> = (&'b Bar, &'b BarPlace);

/// The findings about bar lines that one count explains.
pub fn check(case: &Case<'_>) -> Vec<Finding> {
    let bars = case.line.riff.bars.iter().zip(&case.line.places.bars).collect::<Vec<Placed>>();
    let pairs = bars.windows(2).filter_map(|pair| match pair {
        [one, next] if one.1.system == next.1.system => Some((*one, *next)),
        _ => None,
    });
    pairs.filter_map(|(one, next)| doubt(case, one, next)).take(Findings::PATIENCE).collect()
}

fn doubt(case: &Case<'_>, (one, place): Placed, (next, behind): Placed) -> Option<Finding> {
    let (before, after) = (&place.signs, &behind.signs);
    if counts_well(before.iter(), one) && counts_well(after.iter(), next) {
        return None;
    }
    let line = place.columns.1;
    let (late, early) = (before.last()?, after.first()?);
    let without_last = before.iter().take(before.len() - 1);
    if counts_well(without_last, one) && counts_well([late].into_iter().chain(after), next) {
        let to = late.column.checked_sub(early.column.saturating_sub(line))? + 1;
        return Some(told(case, (one, place), late.span, "late", to));
    }
    let second = after.get(1)?;
    if counts_well(before.iter().chain([early]), one) && counts_well(after.iter().skip(1), next) {
        return Some(told(case, (one, place), early.span, "early", second.column));
    }
    None
}

/// The bar line of a bar that stands a count too late or early, and the column before which it belongs.
fn told(case: &Case<'_>, (bar, place): Placed, span: Span, how: &str, to: usize) -> Finding {
    let finding = bar_slip::one_count(span, bar.number, how);
    match case.sheet.line_moved(place.system, place.columns.1, to) {
        Some((span, text)) => {
            let says = "the bar line on the other side of that count";
            finding.fix(says, span, text, Ground::Choice)
        }
        None => finding,
    }
}

/// Whether counts begin with 1, rise and stay within the bar's meter.
fn counts_well<'s>(signs: impl IntoIterator<Item = &'s Sign>, bar: &Bar) -> bool {
    let (mut beat, mut last) = (None, None);
    for sign in signs {
        beat = sign.text.parse().ok().or(beat);
        let Some(beat) = beat else { return bar.number == 0 };
        let now = (beat, part(&sign.text).unwrap_or(0));
        let begins = last.is_some() || now == (1, 0) || bar.number == 0;
        if !begins || last.is_some_and(|last| now <= last) || beat > u32::from(bar.meter.beats()) {
            return false;
        }
        last = Some(now);
    }
    last.is_some()
}

/// The part of a beat that a sign says, in twelfths.
fn part(sign: &str) -> Option<u32> {
    Some(match sign {
        "e" => 3,
        "la" | "trip" => 4,
        "&" | "+" => 6,
        "li" | "let" => 8,
        "a" => 9,
        _ => return None,
    })
}
