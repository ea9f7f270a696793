//! Which letter a fretted pitch is written with: the key decides, then the chord, then the way
//! that the melody moves.

use super::key::Mode;
use super::{Chord, Degree, Key, Letter, Midi, Note, Pitch};

/// Which way a melody moves on from a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Direction {
    Up,
    Down,
    Unknown,
}

/// Spells a pitch. A tone of the key is written as the key has it, then a
/// tone of the chord as the chord has it, then a minor key's raised sixth and seventh; any other
/// pitch is sharp on the way up and flat on the way down, and plain where it can be. It goes by the names of the key's
/// tonic or of the chord's root.
pub fn spell(midi: Midi, key: Option<&Key>, chord: Option<&Chord>, direction: Direction) -> Pitch {
    let class = midi.class();
    let note = key
        .and_then(|key| of_class(key.notes(), class))
        .or_else(|| key.and_then(|key| of_class(key.harmony().notes(), class)))
        .or_else(|| chord.and_then(|chord| of_class(tones_and_bass(chord), class)))
        .or_else(|| key.and_then(|key| of_class(raised(key), class)))
        .unwrap_or_else(|| foreign(class, key, direction));
    let names = key.map(|key| key.tonic.names).or(chord.map(|chord| chord.root.names));
    in_octave(note.called(names.unwrap_or_default()), midi)
}

fn of_class(notes: impl IntoIterator<Item = Note>, class: u8) -> Option<Note> {
    notes.into_iter().find(|note| note.class() == class)
}

fn tones_and_bass(chord: &Chord) -> impl Iterator<Item = Note> {
    chord.notes().into_iter().chain(chord.bass)
}

/// The raised seventh and sixth that a minor key borrows from its melodic form.
fn raised(key: &Key) -> Vec<Note> {
    if key.mode() != Mode::Minor {
        return Vec::new();
    }
    [7, 6].map(|number| Degree::new(number, 0).above(key.tonic)).into()
}

/// The spelling of a pitch class that neither key nor chord has.
fn foreign(class: u8, key: Option<&Key>, direction: Direction) -> Note {
    let (sharp, flat) = (nearest(class, 1), nearest(class, -1));
    if sharp.accidental == 0 {
        return sharp;
    }
    match direction {
        Direction::Up => sharp,
        Direction::Down => flat,
        Direction::Unknown => key.map_or(usual(class), |key| chromatic(class, key)),
    }
}

/// The natural note of a class, or the one that a sharp (1) or a flat (−1) gives.
fn nearest(class: u8, sign: i8) -> Note {
    let plain = |accidental: i8| Letter::ALL.map(|letter| Note::new(letter, accidental));
    of_class(plain(0), class)
        .or_else(|| of_class(plain(sign), class))
        .unwrap_or(Note::new(Letter::C, class as i8))
}

/// The spelling that is met most where no key is known: F♯ C♯ G♯, B♭ E♭.
fn usual(class: u8) -> Note {
    let sign = if matches!(class, 1 | 6 | 8) { 1 } else { -1 };
    nearest(class, sign)
}

/// The spelling in the chromatic scale on a key's tonic: lowered degrees, but a raised fourth.
fn chromatic(class: u8, key: &Key) -> Note {
    const ALTERED: [(u8, i8); 5] = [(2, -1), (3, -1), (4, 1), (6, -1), (7, -1)];
    let notes = ALTERED.map(|(number, alter)| Degree::new(number, alter).above(key.tonic));
    of_class(notes, class).filter(|note| note.accidental.abs() == 1).unwrap_or(usual(class))
}

/// A note in the octave in which it sounds as the pitch.
fn in_octave(note: Note, midi: Midi) -> Pitch {
    let letter = midi.number() - i32::from(note.accidental) - note.letter.semitones();
    let octave = letter.div_euclid(12) - 1;
    Pitch::new(note, octave.clamp(i32::from(i8::MIN), i32::from(i8::MAX)) as i8)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::chord::Tone;
    use super::*;
    use Direction::{Down, Unknown, Up};

    fn spelled(midi: i32, key: &str, direction: Direction) -> String {
        spell(Midi::new(midi), Key::parse(key).as_ref(), None, direction).to_string()
    }

    fn dominant(root: &str) -> Chord {
        let tones = [(1, 0), (3, 0), (5, 0), (7, -1)];
        let tone = |(number, alter)| Tone { degree: Degree::new(number, alter), omissible: false };
        Chord {
            root: Note::parse(root).unwrap(),
            tones: tones.map(tone).into(),
            bass: None,
            suffix: "7".into(),
        }
    }

    #[test]
    fn the_key_decides_first() {
        let rows = [
            (61, "A major", "C#4"),
            (61, "Ab major", "Db4"),
            (60, "C# major", "B#3"),
            (59, "Gb major", "Cb4"),
            (56, "A minor", "G#3"),
            (54, "A minor", "F#3"),
            (66, "D dorian", "F#4"),
            (61, "A mixolydian", "C#4"),
        ];
        for (midi, key, pitch) in rows {
            assert_eq!(spelled(midi, key, Unknown), pitch, "{midi} in {key}");
        }
    }

    #[test]
    fn then_the_chord_and_then_the_direction() {
        let key = Key::parse("A major");
        let over = |root: &str, midi| {
            spell(Midi::new(midi), key.as_ref(), Some(&dominant(root)), Up).to_string()
        };
        assert_eq!(over("F", 63), "Eb4");
        assert_eq!(over("B", 63), "D#4");
        assert_eq!(over("F", 61), "C#4");
        let rows = [
            (63, "A", Up, "D#4"),
            (63, "A", Down, "Eb4"),
            (60, "A", Up, "C4"),
            (60, "A", Down, "C4"),
            (63, "A", Unknown, "D#4"),
            (63, "C", Unknown, "Eb4"),
            (66, "C", Unknown, "F#4"),
            (70, "", Unknown, "Bb4"),
            (66, "", Unknown, "F#4"),
            (70, "", Up, "A#4"),
        ];
        for (midi, key, direction, pitch) in rows {
            assert_eq!(spelled(midi, key, direction), pitch, "{midi} {direction:?} in {key}");
        }
    }

    #[test]
    fn a_scale_spells_its_own_tones_and_then_those_of_its_chords() {
        for (midi, key, pitch) in [
            (68, "E phrygian dominant", "G#4"),
            (65, "E phrygian dominant", "F4"),
            (68, "A harmonic minor", "G#4"),
            (59, "Eb minor pentatonic", "Cb4"),
            (66, "Eb minor pentatonic", "Gb4"),
            (65, "F# major pentatonic", "E#4"),
            (63, "A blues", "Eb4"),
        ] {
            assert_eq!(spelled(midi, key, Unknown), pitch, "{midi} in {key}");
        }
    }

    #[test]
    fn every_spelling_sounds_as_the_pitch() {
        for scale in crate::theory::scale::SCALES {
            for tonic in ["C", "F#", "Gb", "G#", "Fb", "B#"] {
                let key = Key { tonic: Note::parse(tonic).unwrap(), scale };
                for (midi, direction) in
                    (0..128).map(Midi::new).flat_map(|m| [Up, Down, Unknown].map(|d| (m, d)))
                {
                    let pitch = spell(midi, Some(&key), None, direction);
                    assert_eq!(pitch.midi(), midi, "{pitch} in {key}");
                }
            }
        }
    }
}
