//! Letters typed one for each note: plucking fingers (`p i m a`), or others that only the player knows
//! (`T P` for slapped and popped).

use super::lines_beside::{self, Mark};
use super::slots::Slot;

/// The plucking fingers, in the order in which several are written for one chord.
const FINGERS: &str = "pimac";

/// The words for the hand that plucks, in small letters without dots.
const HAND: [&str; 3] = ["rh", "right", "pima"];

/// The plucking fingers of a line, if it has nothing else but a word for their hand before them.
pub(super) fn fingers(line: &str) -> Option<Vec<Mark>> {
    let line = &lines_beside::without_label(line, &HAND);
    let is_finger = |word: &str| {
        let order: Option<Vec<usize>> = word.chars().map(|finger| FINGERS.find(finger)).collect();
        order.is_some_and(|order| order.is_sorted_by(|one, next| one < next))
    };
    all(line, is_finger)
}

/// The letters of a line whose words are nothing else.
pub(super) fn letters(line: &str) -> Option<Vec<Mark>> {
    all(line, |word| word.chars().count() == 1 && word.chars().all(char::is_alphabetic))
}

fn all(line: &str, fits: impl Fn(&str) -> bool) -> Option<Vec<Mark>> {
    let words = lines_beside::words(line);
    (words.len() > 1 && words.iter().all(|(_, word)| fits(word))).then_some(words)
}

/// Gives the marks of each bar its notes in their order, where there are as many; whether there are in
/// every bar that has marks.
pub(super) fn place_in_order(
    bars: &mut [Vec<Slot<'_>>],
    marks: &[Vec<Mark>],
    set: fn(&mut Slot<'_>, &str),
) -> bool {
    let as_many = |(bar, marks): (&mut Vec<Slot<'_>>, &Vec<Mark>)| {
        marks.is_empty() || sounding(bar.iter_mut()).count() == marks.len()
    };
    if !bars.iter_mut().zip(marks).all(as_many) {
        return false;
    }
    for (bar, marks) in bars.iter_mut().zip(marks) {
        for (slot, (_, letter)) in sounding(bar.iter_mut()).zip(marks) {
            set(slot, letter);
        }
    }
    true
}

fn sounding<'s, 'b: 's>(
    slots: impl Iterator<Item = &'s mut Slot<'b>>,
) -> impl Iterator<Item = &'s mut Slot<'b>> {
    slots.filter(|slot| !slot.notes.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fingers_are_told_from_other_letters_and_from_words() {
        for (line, is_fingers, is_letters) in [
            ("  p i m a m", true, true),
            ("  p  ima", true, false),
            ("  T T P T", false, true),
            ("RH    a  m  i", true, false),
            ("R.H.: a  m  i", true, false),
            ("  i am", false, false),
            ("  p", false, false),
            ("  oh no", false, false),
        ] {
            let found = (fingers(line).is_some(), letters(line).is_some());
            assert_eq!(found, (is_fingers, is_letters), "{line}");
        }
    }

    #[test]
    fn a_letter_before_a_bar_line_stands_in_its_bar() {
        let typed = "   1 & 2 &   1 & 2 &\n";
        for (lines, row, expected) in [
            // The labels would move the last letter over the bar line.
            ("  T i m a   i", "--0-1-2-3--|0-1-2-3----", "at bar 1: T i m a i ```"),
            // The count behind the bar line stands over it, a column away.
            (
                &format!("{typed}   T i m a  i  m"),
                "-0-1-2-3---|0-1-2-3---",
                "at bar 1, beat 1: T i m a i at bar 2, after beat 1: m ```",
            ),
            (
                &format!("{typed}   d u d u  d  u"),
                "-0-1-2-3---|0-1-2-3---",
                "at bar 1, beat 1: d u d u d at bar 2, after beat 1: u ```",
            ),
            // Over the bar line it stands at the nearest note.
            ("   T i m a i  i m a", "-0-1-2-3-|0-1-2-3-", "words T i m a |i i m a |"),
            // What begins beside the labels, or stays in its bars, is moved by them.
            (" T i m a i i m a", "-0-1-2-3-0-1-2-3-", "words T i m a i i m a |"),
            ("  T i m a   i i m a", "--0-1-2-3-|-0-1-2-3-", "words T i m a |i i m a |"),
        ] {
            let text = format!("{lines}\ne|{row}|\n");
            let lesson = crate::paste::lesson("A tab", &text).text;
            let words: Vec<&str> = lesson.split_whitespace().collect();
            assert!(words.join(" ").contains(expected), "no {expected} in\n{text}{lesson}");
        }
    }
}
