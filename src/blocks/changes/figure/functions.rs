//! What each chord does in the key: under its numeral, on one line or two, where the words have room before the
//! next one; else in the figure's notes.

use super::cells::{Function, Slot};
use super::strip::Strip;
use super::{function_style, mm};
use crate::blocks::figure::Desk;
use crate::ink::Pt;
use crate::theory::Printed;

/// The most lines that a function takes under its numeral.
const MOST_LINES: usize = 2;

/// Sets the functions that fit under their numerals. Returns the others, each behind the numerals that have it.
pub(super) fn set(strips: &mut [Strip<'_>], desk: &Desk<'_>) -> Vec<Printed> {
    let mut left_over: Vec<(String, Vec<Printed>)> = Vec::new();
    for strip in strips {
        let mut end = desk.width;
        for (x, slot) in strip.slots_mut().rev() {
            let Some(function) = &mut slot.function else { continue };
            let room = end - x - mm(desk, 2.2);
            end = x;
            let lines = desk.lines(&function.words, function_style(desk), room);
            let fits = lines.len() <= MOST_LINES && lines.iter().all(|line| line.width <= room);
            if fits {
                function.lines = lines;
            }
        }
        for (_, slot) in strip.slots_mut() {
            take_over(slot, &mut left_over);
        }
    }
    left_over.into_iter().map(|(words, numerals)| note(&words, numerals)).collect()
}

/// Puts a function that has no room with those that do the same.
fn take_over(slot: &mut Slot, left_over: &mut Vec<(String, Vec<Printed>)>) {
    let Some(Function { words, numeral, lines }) = slot.function.take() else { return };
    if !lines.is_empty() {
        slot.function = Some(Function { words, numeral, lines });
        return;
    }
    match left_over.iter_mut().find(|(other, _)| *other == words) {
        Some((_, numerals)) if numerals.contains(&numeral) => {}
        Some((_, numerals)) => numerals.push(numeral),
        None => left_over.push((words, vec![numeral])),
    }
}

fn note(words: &str, numerals: Vec<Printed>) -> Printed {
    let mut note = Printed::default();
    for (index, numeral) in numerals.into_iter().enumerate() {
        if index > 0 {
            note = note.then(", ", false);
        }
        note.runs.extend(numeral.runs);
    }
    note.then(": ", false).then(words, false)
}

/// The greatest number of lines of a strip's functions, and the height of one.
pub(super) fn lines(strip: &Strip<'_>) -> usize {
    strip
        .slots()
        .filter_map(|(_, slot)| slot.function.as_ref())
        .map(|f| f.lines.len())
        .max()
        .unwrap_or(0)
}

/// From line to line of functions.
pub(super) fn leading(desk: &Desk<'_>) -> Pt {
    function_style(desk).size * 1.15
}
