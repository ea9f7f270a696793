//! What is told of signs that could not be read, or are written otherwise.

use super::found::NOT_READ;
use super::labels::Labels;
use super::pieces::Stack;
use super::remarks;
use super::slots::Slot;
use super::system::System;

/// What is told of signs in the rows of a system and beside them, with their places; so many bars come
/// before.
pub(super) fn told(
    system: &System<'_>,
    stack: &Stack,
    bars: &[Vec<Slot<'_>>],
    labels: &Labels,
    before: usize,
) -> String {
    let line = |(bar, row, column, words): &(usize, usize, usize, String)| {
        let beat = bars.get(bar - 1).map(|slots| remarks::beat(slots, *column));
        let beat = beat.filter(|beat| !beat.is_empty());
        let beat = beat.unwrap_or_else(|| format!(", column {} of the tab", column + 1));
        let string = labels.named(*row);
        format!("# {words} (bar {}{beat}, {string})\n", before + bar)
    };
    let signs: String = system.unread.iter().map(line).collect();
    let last = before + system.bars.len();
    signs + &broken(stack, before + 1, last) + &bracket(system, last)
}

/// Lines beside the rows of some bars that begin as rows and can't be read.
fn broken(stack: &Stack, first: usize, last: usize) -> String {
    let line = |text: &String| {
        format!("# {NOT_READ}{} (a line beside the rows of bars {first} to {last})\n", text.trim())
    };
    stack.cues.broken.iter().map(line).collect()
}

/// The strokes of a bracket behind the last bar of a system, which has this number.
fn bracket(system: &System<'_>, bar: usize) -> String {
    let strokes = match system.strokes {
        0 => return String::new(),
        1 => "a stroke".to_string(),
        several => format!("a bracket of {several} strokes"),
    };
    format!("# {NOT_READ}| ({strokes} behind bar {bar})\n")
}
