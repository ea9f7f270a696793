//! What each chord does in the key: once under its numeral, on one line or two, where the words have room before the
//! next chord that does something else; where they have none, on the second line alone, beneath that chord's; else in
//! the figure's notes.

use super::cells::Function;
use super::strip::Strip;
use super::{function_style, mm};
use crate::blocks::figure::Desk;
use crate::ink::{Pt, Text};
use crate::theory::Printed;
use std::collections::HashMap;

/// The most lines that a function takes under its numeral.
const MOST_LINES: usize = 2;

/// A function of a numeral, by what both are in words.
type Key = (String, String);

/// What is told already, and what couldn't be told yet.
#[derive(Default)]
struct Told {
    /// Whether what has been met is told.
    met: HashMap<Key, bool>,
    /// What was met, in order, with the numeral.
    order: Vec<(Key, Printed)>,
}

/// Sets the functions that fit under their numerals, each once. Returns the others, each behind the numerals that
/// have it.
pub(super) fn set(strips: &mut [Strip<'_>], desk: &Desk<'_>) -> Vec<Printed> {
    let mut told = Told::default();
    for strip in strips {
        let ends = ends(strip, desk.width);
        let mut run: Option<(String, bool)> = None;
        let mut second = Pt::ZERO;
        for ((x, slot), end) in strip.slots_mut().zip(ends) {
            let Some(function) = slot.function.as_mut().filter(|_| slot.numeral.is_some()) else {
                continue;
            };
            let told_in_run =
                run.take().is_some_and(|(words, told)| told && words == function.words);
            let key = (function.numeral.text(), function.words.clone());
            let is_told = told.meet(&key, &function.numeral);
            if !is_told && !told_in_run {
                stand(function, (x, end), &mut second, desk);
            }
            let tells = told_in_run || !function.lines.is_empty();
            if tells {
                told.met.insert(key, true);
            }
            run = Some((function.words.clone(), tells));
        }
    }
    told.notes()
}

/// For each slot where the next one begins that does something else.
fn ends(strip: &Strip<'_>, right: Pt) -> Vec<Pt> {
    let mut next: Option<(&str, Pt)> = None;
    let mut end = right;
    let mut ends: Vec<Pt> = strip
        .slots()
        .rev()
        .map(|(x, slot)| {
            let words = slot.function.as_ref().map_or("", |function| function.words.as_str());
            if let Some((_, from)) = next.filter(|(other, _)| *other != words) {
                end = from;
            }
            next = Some((words, x));
            end
        })
        .collect();
    ends.reverse();
    ends
}

/// Sets a function's words between two ends, or lowered, where they may run on under what follows. The second line is free
/// from a place on, which moves behind what is set there.
fn stand(function: &mut Function, (from, end): (Pt, Pt), second: &mut Pt, desk: &Desk<'_>) {
    let air = mm(desk, 2.2);
    let below = from >= *second;
    let lines = lines_within(&function.words, end - from - air, desk);
    function.lines = if lines.len() > 1 && !below { Vec::new() } else { lines };
    if function.lines.is_empty() && below {
        let lines = lines_within(&function.words, desk.width - from, desk);
        function.lowered = lines.len() == 1;
        function.lines = if function.lowered { lines } else { Vec::new() };
    }
    let lowest = if function.lowered { function.lines.first() } else { function.lines.get(1) };
    if let Some(line) = lowest {
        *second = from + line.width + air;
    }
}

/// The words on as many lines as they may take; none where they have no room.
fn lines_within(words: &str, room: Pt, desk: &Desk<'_>) -> Vec<Text> {
    let lines = desk.lines(words, function_style(desk), room);
    let fits = lines.len() <= MOST_LINES && lines.iter().all(|line| line.width <= room);
    if fits { lines } else { Vec::new() }
}

impl Told {
    /// Meets a function of a numeral. Whether it is told already.
    fn meet(&mut self, key: &Key, numeral: &Printed) -> bool {
        if let Some(told) = self.met.get(key) {
            return *told;
        }
        self.met.insert(key.clone(), false);
        self.order.push((key.clone(), numeral.clone()));
        false
    }

    /// What has not been told.
    fn notes(self) -> Vec<Printed> {
        let mut notes: Vec<(&str, Printed)> = Vec::new();
        let mut places: HashMap<&str, usize> = HashMap::new();
        let Told { met, order } = &self;
        for (key, numeral) in order.iter().filter(|(key, _)| met.get(key) == Some(&false)) {
            let words = key.1.as_str();
            let place = *places.entry(words).or_insert(notes.len());
            match notes.get_mut(place) {
                Some((_, note)) => {
                    *note = std::mem::take(note).then(", ", false);
                    note.runs.extend(numeral.runs.iter().cloned());
                }
                None => notes.push((words, numeral.clone())),
            }
        }
        notes.into_iter().map(|(words, note)| note.then(format!(": {words}"), false)).collect()
    }
}

/// The greatest number of lines of a strip's functions.
pub(super) fn most_lines(strip: &Strip<'_>) -> usize {
    let functions = strip.slots().filter_map(|(_, slot)| slot.function.as_ref());
    functions
        .map(|function| function.lines.len() + usize::from(function.lowered))
        .max()
        .unwrap_or(0)
}

/// From line to line of functions.
pub(super) fn leading(desk: &Desk<'_>) -> Pt {
    function_style(desk).size * 1.15
}
