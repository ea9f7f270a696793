//! Letters typed one for each note: plucking fingers (`p i m a`), or others that only the player knows
//! (`T P` for slapped and popped).

use super::lines_beside::{self, Mark};
use super::slots::{self, Slot};

/// The plucking fingers, in the order in which several are written for one chord.
const FINGERS: &str = "pimac";

/// How far from a note its letter may stand, in columns.
const BESIDE: usize = 1;

/// The plucking fingers of a line, if it has nothing else.
pub(super) fn fingers(line: &str) -> Option<Vec<Mark>> {
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

/// Gives each mark the note that it stands under, and sets it there; whether each has one of its own. A
/// line may begin at the margin, where its rows have their labels.
pub(super) fn place(
    bars: &mut [Vec<Slot<'_>>],
    marks: &[Mark],
    margin: usize,
    set: fn(&mut Slot<'_>, &str),
) -> bool {
    let mut slots: Vec<&mut Slot<'_>> = sounding(bars.iter_mut().flatten()).collect();
    let columns: Vec<usize> = slots.iter().map(|slot| slot.column).collect();
    let moved = slots::moved(marks, margin.cast_signed());
    let Some(places) = [marks, &moved].into_iter().find_map(|marks| {
        let places: Vec<usize> =
            marks.iter().map(|mark| beside(&columns, mark.0)).collect::<Option<_>>()?;
        places.is_sorted_by(|one, next| one < next).then_some(places)
    }) else {
        return false;
    };
    for (place, (_, letter)) in places.into_iter().zip(marks) {
        if let Some(slot) = slots.get_mut(place) {
            set(slot, letter);
        }
    }
    true
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

fn beside(columns: &[usize], column: usize) -> Option<usize> {
    let place = slots::nearest(columns, column);
    columns.get(place).filter(|at| at.abs_diff(column) <= BESIDE).map(|_| place)
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
            ("  i am", false, false),
            ("  p", false, false),
            ("  oh no", false, false),
        ] {
            let found = (fingers(line).is_some(), letters(line).is_some());
            assert_eq!(found, (is_fingers, is_letters), "{line}");
        }
    }
}
