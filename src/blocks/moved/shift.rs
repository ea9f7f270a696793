//! How far a riff is moved in pitch, and what its key and its chords become.

use super::phrases::{Phrases, Target, Way};
use crate::findings::Finding;
use crate::findings::Findings;
use crate::findings::rules::block_syntax;
use crate::findings::source::Spanned;
use crate::theory::interval::Interval;
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Key, Midi, Note};

/// A distance in pitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Shift {
    /// How far, in half steps; downwards below 0.
    pub semitones: i32,
    /// From an old note up or down to its new one, octaves left aside.
    interval: Interval,
    way: Way,
}

impl Shift {
    /// The shift that phrases ask for, none of them asking for none. Nothing where it can't be told,
    /// which is reported.
    pub fn of(phrases: &Phrases, key: Option<&Key>, findings: &mut Findings) -> Option<Shift> {
        let way = phrases.way;
        if let Some(target) = &phrases.key {
            return match to_key(target, way, key) {
                Ok(shift) => Some(shift),
                Err(finding) => {
                    findings.add(*finding);
                    None
                }
            };
        }
        let Some(distance) = phrases.distance.as_ref().map(|distance| distance.value) else {
            let interval = Interval { number: 1, semitones: 0 };
            return Some(Shift { semitones: 0, interval, way: Way::Up });
        };
        let way = way.unwrap_or(Way::Up);
        let size = distance.interval.semitones + 12 * distance.octaves;
        let semitones = if way == Way::Up { size } else { -size };
        let shift = Shift { semitones, interval: distance.interval.simple(), way };
        Some(key.map_or(shift, |key| shift.readable(*key)))
    }

    /// The same shift, by the interval that leads to a key which can be read where the one asked for
    /// has more than seven signs.
    fn readable(self, key: Key) -> Shift {
        let target = self.note(key.tonic);
        let moved = Key { tonic: target, ..key };
        if moved.signature().abs() <= MOST_SIGNS {
            return self;
        }
        let tonic = fewest_signs(moved).tonic;
        Shift { interval: between(key.tonic, tonic, self.way), ..self }
    }

    /// What becomes of a key.
    pub fn key(self, key: Key) -> Key {
        Key { tonic: self.note(key.tonic), ..key }
    }

    /// What becomes of a chord.
    pub fn chord(self, chord: &Chord) -> Chord {
        let root = self.note(chord.root);
        Chord { root, bass: chord.bass.map(|bass| self.note(bass)), ..chord.clone() }
    }

    fn note(self, note: Note) -> Note {
        let moved = match self.way {
            Way::Up => self.interval.above(note),
            Way::Down => self.interval.below(note),
        };
        if moved.accidental.abs() <= 1 {
            return moved;
        }
        spell(Midi::new(moved.class().into()), None, None, Direction::Unknown)
            .note
            .called(note.names)
    }
}

/// No key signature has more sharps or flats.
const MOST_SIGNS: i32 = 7;

/// The key that sounds as this one does with the fewest signs.
fn fewest_signs(key: Key) -> Key {
    let class = key.tonic.class();
    let keys = [Direction::Up, Direction::Down].map(|way| {
        let tonic = spell(Midi::new(class.into()), None, None, way).note.called(key.tonic.names);
        Key { tonic, ..key }
    });
    keys.into_iter().min_by_key(|key| key.signature().abs()).unwrap_or(key)
}

fn between(from: Note, to: Note, way: Way) -> Interval {
    match way {
        Way::Up => Interval::between(from, to),
        Way::Down => Interval::between(to, from),
    }
}

/// The nearest way from tonic to tonic, a tritone upwards, unless a way is written.
fn to_key(
    target: &Spanned<Target>,
    way: Option<Way>,
    key: Option<&Key>,
) -> Result<Shift, Box<Finding>> {
    let fault = |message: String| Box::new(block_syntax::at(target.span, message));
    let Some(key) = key else {
        let finding = fault("the riff that is moved has no key to be moved from".to_string());
        return Err(Box::new(
            finding.note("`key:` in the header, or `key` in the riff's fence line, names it"),
        ));
    };
    let Target { key: wanted, tonic_only } = target.value;
    if !tonic_only && wanted.scale != key.scale {
        let message =
            format!("the riff is in {key}, and a move keeps the mode: write `to {}`", wanted.tonic);
        return Err(fault(message));
    }
    let up = (i32::from(wanted.tonic.class()) - i32::from(key.tonic.class())).rem_euclid(12);
    let semitones = match way {
        Some(Way::Up) => up,
        Some(Way::Down) => -(12 - up) % 12,
        None if up <= 6 => up,
        None => up - 12,
    };
    let way = if semitones < 0 { Way::Down } else { Way::Up };
    let interval = between(key.tonic, wanted.tonic, way).simple();
    Ok(Shift { semitones, interval, way })
}
