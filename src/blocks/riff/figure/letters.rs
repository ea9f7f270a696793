//! Letters of techniques, each at what it names: h, p and t, as lessons write them.
//!
//! A letter stands over its slur or its note, in the space above the next line up. Where something stands there, it stands
//! beneath the string's own line; where that has no room either, above the staff.

use super::canvas::Canvas;
use super::scale::Scale;
use super::tab_lines::Gaps;
use crate::ink::{Face, Pt, Text};
use crate::neck::StringIndex;
use crate::words::paper::tab;

/// A letter that waits for its place.
pub(super) struct Letter {
    /// Its axis.
    pub x: Pt,
    pub letter: &'static str,
    /// The string whose slur or note it names.
    pub string: StringIndex,
    /// Whether it stands between two frets, and not at one.
    pub between: bool,
}

/// The air about a letter, in distances between tab lines.
const AIR: f32 = 0.12;

/// How high a letter stands above its baseline and how far its tail hangs below it, in parts of its size (Libertinus Serif
/// Italic): h and t, and p.
const UPRIGHT: (f32, f32) = (0.71, 0.0);
const TAILED: (f32, f32) = (0.49, 0.235);

/// How far frets on the highest line reach above it at most, in the same.
const FRETS: f32 = 0.45;

/// How far an italic letter hangs over at most, in the same.
const OVERHANG: f32 = 0.02;

/// Neighbouring strings share a letter if no more lies between its axes, in the same; above the staff, where letters don't
/// tell their strings, one does for all that are this near.
const SAME_PLACE: f32 = 0.5;
const SAME_ABOVE: f32 = 1.2;

/// Draws letters. Neighbouring strings that do the same at once share one.
pub(super) fn draw(canvas: &mut Canvas, gaps: &mut Gaps, mut letters: Vec<Letter>, scale: &Scale) {
    gaps.sort();
    letters.sort_by(|a, b| a.x.0.total_cmp(&b.x.0).then(b.string.cmp(&a.string)));
    let mut above: Vec<&Letter> = Vec::new();
    for (index, letter) in letters.iter().enumerate() {
        if is_shared(&letters, index, scale) || at_its_slur(canvas, gaps, letter, scale) {
            continue;
        }
        let near = |other: &&&Letter| letter.x - other.x < scale.gaps(SAME_ABOVE);
        let mut near = above.iter().rev().take_while(near);
        if !near.any(|other| other.letter == letter.letter) {
            above.push(letter);
        }
    }
    // Those of one chord stand over each other as its strings do.
    for chord in above.chunk_by_mut(|a, b| b.x - a.x < scale.gaps(SAME_PLACE)) {
        chord.sort_by_key(|letter| letter.string);
    }
    above.into_iter().for_each(|letter| draw_above(canvas, letter.x, letter.letter, scale));
}

/// Whether the next string has the same letter at the same place.
fn is_shared(letters: &[Letter], index: usize, scale: &Scale) -> bool {
    let Some(letter) = letters.get(index) else { return false };
    let near = |other: &&Letter| (other.x - letter.x).abs() < scale.gaps(SAME_PLACE);
    let (before, after) = letters.split_at(index);
    let mut around = before.iter().rev().take_while(near).chain(after.iter().take_while(near));
    around.any(|other| {
        other.letter == letter.letter && other.string.index() == letter.string.index() + 1
    })
}

fn text(letter: &str, scale: &Scale) -> Text {
    scale.small(letter, Face::SerifItalic)
}

/// Draws a letter of an inner string where it belongs; says whether there was room.
fn at_its_slur(canvas: &mut Canvas, gaps: &Gaps, letter: &Letter, scale: &Scale) -> bool {
    let string = letter.string.index();
    if string + 1 >= scale.strings {
        return false;
    }
    let text = text(letter.letter, scale);
    let half = text.width / 2.0 + scale.gaps(AIR);
    let ends = (letter.x - half, letter.x + half);
    // Marks keep the air about them themselves.
    let own = text.width / 2.0 + scale.gaps(OVERHANG);
    let own = (letter.x - own, letter.x + own);
    let y = scale.line_of(letter.string);
    let highest = string + 2 == scale.strings;
    let covered = highest && canvas.free_above(ends.0, ends.1) < -scale.gaps(FRETS);
    if gaps.is_free(string + 1, own) && !gaps.has_mark(string + 2, own) && !covered {
        let baseline = y - scale.gap() - above_line(letter.letter, scale);
        canvas.text_centred(letter.x, baseline, text);
        if highest {
            let top = baseline - scale.cap_height(scale.small_size());
            canvas.occupy(ends.0, ends.1, top);
        }
        return true;
    }
    let below = string.checked_sub(1).filter(|below| letter.between && gaps.is_free(*below, own));
    if below.is_none() || gaps.has_mark(string, own) {
        return false;
    }
    canvas.text_centred(letter.x, y + scale.gap() - above_line(letter.letter, scale), text);
    true
}

fn shape(letter: &str) -> (f32, f32) {
    if letter == tab::PULL_OFF { TAILED } else { UPRIGHT }
}

/// How high the baseline of a letter lies above a line if it stands in the middle of the space over it.
fn above_line(letter: &str, scale: &Scale) -> Pt {
    let (rise, tail) = shape(letter);
    let size = scale.small_size();
    (scale.gap() - size * (rise - tail)) / 2.0
}

/// Draws a letter above the staff, where there is room.
fn draw_above(canvas: &mut Canvas, x: Pt, letter: &str, scale: &Scale) {
    let text = text(letter, scale);
    let half = text.width / 2.0 + scale.gaps(AIR);
    let (left, right) = (x - half, x + half);
    let tail = scale.small_size() * shape(letter).1;
    let baseline = canvas.free_above(left, right) - scale.gaps(0.2) - tail;
    canvas.text_centred(x, baseline, text);
    canvas.occupy(left, right, baseline - scale.cap_height(scale.small_size()));
}
