//! What tones a chord or a scale has, and how they are spelled.

use super::Check;
use super::subject::{Reading, readings};
use crate::findings::rules::{bass_note, spelling};
use crate::findings::{Finding, Span};
use crate::lesson::phrase::{NoteName, Part, Sign, Subject};
use crate::theory::{Interval, Note, Pitch};
use std::ops::Range;

/// What is wrong with notes that are said to be a chord or a scale.
#[derive(Default)]
struct Slips {
    /// Right pitches under a wrong letter: their place in the list, and how they are spelled.
    misspelt: Vec<(usize, Note)>,
    /// Places in the list of notes that don't belong.
    foreign: Vec<usize>,
    /// Tones that are not named.
    missing: Vec<Note>,
    /// One of several alterations must be named and none is.
    lacks_alteration: bool,
    /// Another note than the root or the bass comes first.
    order: bool,
}

impl Slips {
    fn find(reading: Reading, notes: &[Note], sign: Sign) -> Slips {
        let mut slips = Slips::default();
        for (at, note) in notes.iter().enumerate() {
            match reading.respelled(*note) {
                _ if reading.degree_of(*note).is_some() => {}
                Some(right) => slips.misspelt.push((at, right)),
                None => slips.foreign.push(at),
            }
        }
        slips.missing = reading.missing(notes);
        slips.lacks_alteration = reading.lacks_alteration(notes);
        slips.order = sign == Sign::Equals && notes.first() != Some(&reading.first());
        slips
    }

    fn only_misspelt(&self) -> bool {
        !self.misspelt.is_empty() && self.agree_in_sound()
    }

    fn none(&self) -> bool {
        self.misspelt.is_empty() && self.agree_in_sound() && !self.order
    }

    /// Whether nothing is wrong but that a chord's root is not named.
    fn only_root(&self, reading: Reading) -> bool {
        let nothing_else =
            self.misspelt.is_empty() && self.foreign.is_empty() && !self.lacks_alteration;
        let is_chord = matches!(reading, Reading::Chord(_));
        is_chord && nothing_else && self.missing == [reading.root()]
    }

    fn agree_in_sound(&self) -> bool {
        self.foreign.is_empty() && self.missing.is_empty() && !self.lacks_alteration
    }
}

impl Check<'_> {
    /// Checks that a chord or scale has just these tones, spelled so.
    pub(super) fn tones(&mut self, subject: &Part<Subject>, parts: &[Part<NoteName>], sign: Sign) {
        let notes: Vec<Note> = parts.iter().map(|part| part.value.note).collect();
        let readings = readings(subject);
        let slips: Vec<Slips> =
            readings.iter().map(|reading| Slips::find(*reading, &notes, sign)).collect();
        if let Some(at) = slips.iter().position(Slips::none) {
            return self.bass(readings.get(at).copied(), parts, sign);
        }
        if sign == Sign::Is && slips.iter().zip(&readings).any(|(s, reading)| s.only_root(*reading))
        {
            return self.no_root(subject, parts);
        }
        // Of words that name both, five notes or more were meant as the scale.
        let meant = if notes.len() > 4 { readings.len() - 1 } else { 0 };
        if let (Some(reading), Some(slips)) = (readings.get(meant), slips.get(meant)) {
            let finding = self.slipped(*reading, slips, parts);
            self.raise(finding);
        }
    }

    /// Notes that are said to sound a slash chord have its bass first, which is lowest.
    fn bass(&mut self, reading: Option<Reading>, parts: &[Part<NoteName>], sign: Sign) {
        let (Some(Reading::Chord(chord)), Sign::Is, Some(first)) = (reading, sign, parts.first())
        else {
            return;
        };
        if let Some(bass) = chord.bass.filter(|bass| *bass != first.value.note) {
            let span = self.span(&first.place);
            self.raise(bass_note::not_first(span, chord, first.value.note, bass));
        }
    }

    /// Notes that are said to sound a chord and lack its root alone.
    fn no_root(&mut self, subject: &Part<Subject>, parts: &[Part<NoteName>]) {
        if let Some(reading) = readings(subject).first() {
            let span = self.span(&place_of(parts));
            self.raise(bass_note::without_root(span, reading.name(), reading.root()));
        }
    }

    fn slipped(&self, reading: Reading, slips: &Slips, parts: &[Part<NoteName>]) -> Finding {
        let whole = place_of(parts);
        if slips.only_misspelt()
            && !slips.order
            && let Some(finding) = self.misspelt(reading, &slips.misspelt, parts)
        {
            return finding;
        }
        let (name, truth) = (reading.name(), truth(reading));
        let said = join(parts.iter().map(|part| part.value.note));
        let span = self.span(&whole);
        let mut finding = if slips.agree_in_sound() {
            let from = if reading.first() == reading.root() { "root" } else { "bass" };
            spelling::other_order(span, &name, from, &truth, &said)
        } else {
            spelling::other_notes(span, &name, &truth, &said)
        };
        for note in slips.foreign.iter().filter_map(|at| parts.get(*at)) {
            finding = finding.label(self.span(&note.place), format!("no tone of `{name}`"));
        }
        if !slips.missing.is_empty() {
            finding = finding.note(format!("not named: {}", join(slips.missing.iter().copied())));
        }
        // The notes, and their order, may be right as they are, and the name wrong.
        match has_choice(reading) {
            true => finding,
            false => self.fix(finding, &whole, truth),
        }
    }

    /// Every pitch is right and some stand under a wrong letter.
    fn misspelt(
        &self,
        reading: Reading,
        slips: &[(usize, Note)],
        parts: &[Part<NoteName>],
    ) -> Option<Finding> {
        let wrong: Vec<(&Part<NoteName>, Note)> =
            slips.iter().filter_map(|(at, right)| Some((parts.get(*at)?, *right))).collect();
        let (first, right) = wrong.first()?;
        let finding = wrong_letter(self.span(&first.place), reading, first.value.note, *right);
        Some(match wrong.as_slice() {
            [(part, right)] => self.fix(finding, &part.place, right.to_string()),
            _ => {
                let finding = finding.note(format!("`{}` is {}", reading.name(), truth(reading)));
                let right = parts.iter().map(|part| {
                    let fixed = wrong.iter().find(|(wrong, _)| wrong.place == part.place);
                    fixed.map_or(part.value.note, |(_, right)| *right)
                });
                self.fix(finding, &place_of(parts), join(right))
            }
        })
    }

    /// Checks that notes are tones of a chord or scale.
    pub(super) fn within(&mut self, parts: &[Part<NoteName>], subject: &Part<Subject>) {
        let readings = readings(subject);
        let holds_all = |reading: &Reading| {
            parts.iter().all(|part| reading.degree_of(part.value.note).is_some())
        };
        if readings.iter().any(holds_all) {
            return;
        }
        // Of words that name both, the scale has all the tones that the chord has, and more.
        let Some(reading) = readings.last() else { return };
        for part in parts.iter().filter(|part| reading.degree_of(part.value.note).is_none()) {
            let finding = self.not_within(*reading, part);
            self.raise(finding);
        }
    }

    fn not_within(&self, reading: Reading, part: &Part<NoteName>) -> Finding {
        let (note, span) = (part.value.note, self.span(&part.place));
        match reading.respelled(note) {
            Some(right) => {
                let finding = wrong_letter(span, reading, note, right);
                self.fix(finding, &part.place, right.to_string())
            }
            None => spelling::no_tone(span, note, &reading.name(), &truth(reading)),
        }
    }

    /// Checks that two names are one note.
    pub(super) fn same_note(&mut self, one: &Part<NoteName>, other: &Part<NoteName>) {
        let midi = |name: NoteName| Some(Pitch::new(name.note, name.octave?).midi());
        let same_class = one.value.note.class() == other.value.note.class();
        let same_octave = match (midi(one.value), midi(other.value)) {
            (Some(one), Some(other)) => one == other,
            _ => true,
        };
        if !same_class || !same_octave {
            let text =
                |part: &Part<NoteName>| self.text().get(part.place.clone()).unwrap_or_default();
            let finding = spelling::two_notes(self.phrase.text.span, text(one), text(other));
            self.raise(finding);
        }
    }
}

/// "the major third of `A` is spelled C#, not Db".
fn wrong_letter(span: Span, reading: Reading, note: Note, right: Note) -> Finding {
    let degree = reading.degree_of(right);
    let name = match degree.filter(|_| right != reading.root()) {
        Some(degree) => Interval::of(degree).to_string(),
        None => "root".to_owned(),
    };
    spelling::wrong_letter(span, &name, &reading.name(), right, note)
}

/// The tones in words; of a `7alt` chord those that it always has.
fn truth(reading: Reading) -> String {
    let Reading::Chord(chord) = reading else { return join(reading.notes()) };
    if !has_choice(reading) {
        return join(reading.notes());
    }
    let sure = chord.tones.iter().filter(|tone| !tone.omissible);
    let choice = chord.tones.iter().filter(|tone| tone.omissible);
    let sure = join(sure.map(|tone| tone.degree.above(chord.root)));
    let choice = join(choice.map(|tone| tone.degree.above(chord.root)));
    format!("{sure} with one or more of {choice}")
}

/// Whether a chord leaves a choice of its tones, as `7alt` does.
fn has_choice(reading: Reading) -> bool {
    matches!(reading, Reading::Chord(chord) if chord.demand().one_of != 0)
}

fn join(notes: impl IntoIterator<Item = Note>) -> String {
    notes.into_iter().map(|note| note.to_string()).collect::<Vec<_>>().join(" ")
}

/// From the first note to the last.
fn place_of(parts: &[Part<NoteName>]) -> Range<usize> {
    let ends = parts.first().zip(parts.last());
    ends.map_or(0..0, |(first, last)| first.place.start..last.place.end)
}
