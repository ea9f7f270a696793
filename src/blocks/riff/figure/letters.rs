//! Letters of techniques, each at what it names: h, p and t, as lessons write them.
//!
//! A letter stands over its slur or its note, in the space above the next line up. Where something stands there, it stands on
//! the string's own line between two frets; where that has no room either, above the staff.

use super::canvas::Canvas;
use super::scale::Scale;
use super::tab_lines::Gaps;
use crate::ink::{Face, Pt, Text};
use crate::neck::StringIndex;

/// A letter that waits for its place.
pub(super) struct Letter {
    /// Its axis.
    pub x: Pt,
    pub letter: &'static str,
    /// The string whose slur or note it names.
    pub string: StringIndex,
    /// The room on the string's line between what the slur joins; none for a note.
    pub between: Option<(Pt, Pt)>,
}

/// The air about a letter, and how high it stands above the line beneath it, in distances between tab lines.
const AIR: f32 = 0.12;
const ABOVE_LINE: f32 = 0.16;

/// Two letters are at one place if no more lies between their axes, in the same.
const SAME_PLACE: f32 = 0.1;

/// Draws letters. Neighbouring strings that do the same at once share one.
pub(super) fn draw(canvas: &mut Canvas, gaps: &mut Gaps, mut letters: Vec<Letter>, scale: &Scale) {
    gaps.sort();
    letters.sort_by(|a, b| a.x.0.total_cmp(&b.x.0).then(b.string.cmp(&a.string)));
    let mut above: Vec<(Pt, &str)> = Vec::new();
    let mut before: Option<&Letter> = None;
    for letter in &letters {
        let alike = |other: &Letter| {
            let place = (other.x - letter.x).abs() < scale.gaps(SAME_PLACE);
            place && other.letter == letter.letter
        };
        let shared = before
            .is_some_and(|other| alike(other) && other.string.index() == letter.string.index() + 1);
        before = Some(letter);
        if shared || at_its_slur(canvas, gaps, letter, scale) {
            continue;
        }
        let same = |(x, other): &(Pt, &str)| {
            (*x - letter.x).abs() < scale.gaps(SAME_PLACE) && *other == letter.letter
        };
        if !above.last().is_some_and(same) {
            above.push((letter.x, letter.letter));
        }
    }
    above.into_iter().for_each(|(x, letter)| draw_above(canvas, x, letter, scale));
}

fn text(letter: &str, scale: &Scale) -> Text {
    scale.small(letter, Face::SerifItalic)
}

/// Draws a letter of an inner string where it belongs; says whether there was room.
fn at_its_slur(canvas: &mut Canvas, gaps: &mut Gaps, letter: &Letter, scale: &Scale) -> bool {
    let string = letter.string.index();
    if string + 1 >= scale.strings {
        return false;
    }
    let text = text(letter.letter, scale);
    let half = text.width / 2.0 + scale.gaps(AIR);
    let ends = (letter.x - half, letter.x + half);
    let y = scale.line_of(letter.string);
    if gaps.is_free(string + 1, ends) && !gaps.has_mark(string + 2, ends) {
        canvas.text_centred(letter.x, y - scale.gaps(1.0 + ABOVE_LINE), text);
        return true;
    }
    let Some((from, to)) = letter.between else { return false };
    if from > ends.0 || to < ends.1 {
        return false;
    }
    let x_height = scale.desk.fonts.measures(Face::SerifItalic, scale.small_size()).x_height;
    canvas.text_centred(letter.x, y + x_height / 2.0, text);
    gaps.knock_out(letter.string, ends.0, ends.1);
    true
}

/// Draws a letter above the staff, where there is room.
fn draw_above(canvas: &mut Canvas, x: Pt, letter: &str, scale: &Scale) {
    let text = text(letter, scale);
    let half = text.width / 2.0 + scale.gaps(AIR);
    let (left, right) = (x - half, x + half);
    let baseline = canvas.free_above(left, right) - scale.gaps(0.2);
    canvas.text_centred(x, baseline, text);
    canvas.occupy(left, right, baseline - scale.cap_height(scale.small_size()));
}
