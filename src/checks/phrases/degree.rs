//! Degrees: `C# is the third of A`.

use super::Check;
use super::subject::{Reading, readings};
use crate::findings::Finding;
use crate::findings::rules::degree;
use crate::lesson::phrase::{NoteName, Part, Subject};
use crate::theory::interval::IntervalName;
use crate::theory::{Degree, Interval, Note};
use std::ops::Range;

impl Check<'_> {
    /// Checks that a note is the degree that it is said to be.
    pub(super) fn degree(
        &mut self,
        note: &Part<NoteName>,
        name: &Part<IntervalName>,
        subject: &Part<Subject>,
    ) {
        let readings = readings(subject);
        let right = right_degrees(name.value, &readings);
        let Some(reading) = readings.last() else { return };
        let (root, said) = (reading.root(), note.value.note);
        let heard = Degree::between(root, said);
        let is_right = right.iter().any(|degree| degree.simple() == heard)
            || readings.iter().any(|reading| is_under_other_letter(reading, name.value, said));
        let Some(wanted) = right.first().filter(|_| !is_right) else { return };
        let finding = self.wrong_degree(note, name, subject, (root, *wanted));
        self.raise(finding);
    }

    fn wrong_degree(
        &self,
        note: &Part<NoteName>,
        name: &Part<IntervalName>,
        subject: &Part<Subject>,
        (root, wanted): (Note, Degree),
    ) -> Finding {
        let text = |place: &Range<usize>| self.text().get(place.clone()).unwrap_or_default();
        let (of, degree_name) = (text(&subject.place), text(&name.place));
        let right = wanted.above(root);
        let own_name = own_name(note.value.note, root);
        let said = note.value.note;
        let span = self.phrase.text.span;
        let finding = degree::another(span, (degree_name, of), right, (said, &own_name));
        let finding = self.fix(finding, &note.place, right.to_string());
        self.fix(finding, &name.place, own_name)
    }
}

/// The degrees that a name may mean, any of them right: those of that number that the chord or
/// scale has, or, where it has none, the major or perfect one; what a word says otherwise holds.
fn right_degrees(name: IntervalName, readings: &[Reading]) -> Vec<Degree> {
    let number = match name {
        IntervalName::Exact(interval) => return vec![interval.simple().degree()],
        IntervalName::HalfSteps(1) => return vec![Degree::new(2, -1)],
        IntervalName::HalfSteps(2) => return vec![Degree::new(2, 0)],
        IntervalName::HalfSteps(_) => return vec![Degree::new(4, 1), Degree::new(5, -1)],
        IntervalName::Number(number) => Degree::new(number, 0).simple().number,
    };
    let own = readings.iter().flat_map(Reading::degrees);
    let own: Vec<Degree> = own.filter(|degree| degree.simple().number == number).collect();
    if own.is_empty() { vec![Degree::new(number, 0)] } else { own }
}

/// Whether a scale that may be spelled with either letter has the note under the letter of that
/// number.
fn is_under_other_letter(reading: &Reading, name: IntervalName, note: Note) -> bool {
    let IntervalName::Number(number) = name else { return false };
    let number = Degree::new(number, 0).simple().number;
    reading.degree_of(note).is_some_and(|degree| degree.simple().number == number)
}

/// What a note is above a root, in words.
fn own_name(note: Note, root: Note) -> String {
    if note == root {
        return "root".to_owned();
    }
    Interval::between(root, note).to_string()
}
