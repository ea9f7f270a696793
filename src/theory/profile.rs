//! How likely each pitch class is in a key, and which key a set of notes is most likely in.

use super::key::Mode;
use super::{Degree, Key, Note};

/// The chance that each degree of the chromatic scale, from the tonic up, is heard in a short
/// passage of a major key (Temperley, *Music and Probability*, 2007).
const MAJOR: [f64; 12] =
    [0.748, 0.060, 0.488, 0.082, 0.670, 0.460, 0.096, 0.715, 0.104, 0.366, 0.057, 0.400];

/// The same of a minor key.
const MINOR: [f64; 12] =
    [0.712, 0.084, 0.474, 0.618, 0.049, 0.460, 0.105, 0.747, 0.404, 0.067, 0.133, 0.330];

/// The tonics that are met, each under the name that has the smaller signature, for major keys.
const MAJOR_TONICS: [&str; 12] = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];

/// The same for minor keys.
const MINOR_TONICS: [&str; 12] = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"];

/// Half steps from one pitch class up to another, 0 to 11.
pub fn above(tonic: u8, class: u8) -> u8 {
    (class + 12 - tonic % 12) % 12
}

/// The chance that a passage in a key holds a pitch class. A mode or scale takes the profile of major
/// or minor, whichever has its third, with its own altered degrees in the place of those they stand
/// for.
pub fn chance(key: &Key, class: u8) -> f64 {
    let step = usize::from(above(key.tonic.class(), class));
    let minor = key.mode().alterations().get(2).is_some_and(|third| *third < 0);
    let (profile, parent) = if minor { (&MINOR, Mode::Minor) } else { (&MAJOR, Mode::Major) };
    let heard = |step: usize| profile.get(step).copied().unwrap_or(0.05);
    let parents = parent.degrees();
    let has = |degrees: &[Degree], step: usize| degrees.iter().any(|own| class_of(*own) == step);
    match key.scale.degrees.iter().find(|own| class_of(**own) == step) {
        Some(own) => {
            let stands_for = parents.iter().find(|degree| degree.number == own.number);
            let stands_for = stands_for.map_or(step, |degree| class_of(*degree));
            heard(if has(key.scale.degrees, stands_for) { step } else { stands_for })
        }
        // A degree that the scale has altered away is as rare as any foreign one, which is the mean of
        // major's five; one that it only leaves out is not.
        None if has(&parents, step) && !key.scale.leaves_gaps() => 0.08,
        None => heard(step),
    }
}

/// Half steps of a degree above its tonic, 0 to 11.
fn class_of(degree: Degree) -> usize {
    degree.semitones().rem_euclid(12) as usize
}

/// A key that was found, and by how much it fits better than the next with other notes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// The key.
    pub key: Key,
    /// How much likelier it is than the best key with other notes: the natural logarithm of the
    /// ratio.
    pub margin: f64,
}

/// The major or minor key that passages are most likely in, each passage hearing a class or not with the
/// chance of its profile (Temperley 2007; right in 13 of 14 tunes, hand note section 5.1). Each passage is the
/// pitch classes that are heard in it, a bit each, C lowest. `last` is the lowest note at the end, which is very often the
/// tonic. `None` where no passage has a note.
pub fn find(passages: &[u16], last: Option<u8>) -> Option<Found> {
    if passages.iter().all(|heard| *heard == 0) {
        return None;
    }
    let mut ranked: Vec<(f64, Key)> = all_keys()
        .map(|key| {
            let heard: f64 = passages.iter().map(|heard| likelihood(&key, *heard)).sum();
            // A tune ends on its tonic four times as often as not (assumed).
            let ends = if last == Some(key.tonic.class()) { 4f64.ln() } else { 0.0 };
            (heard + ends, key)
        })
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (best, key) = ranked.first().copied()?;
    let other = ranked.iter().find(|(_, other)| classes(other) != classes(&key))?;
    Some(Found { key, margin: best - other.0 })
}

/// The pitch classes of a key, a bit each, C lowest.
pub fn classes(key: &Key) -> u16 {
    key.notes().fold(0, |mask, note| mask | 1 << note.class())
}

fn all_keys() -> impl Iterator<Item = Key> {
    let keys = |tonics: [&'static str; 12], mode| {
        tonics.into_iter().filter_map(Note::parse).map(move |tonic| Key::new(tonic, mode))
    };
    keys(MAJOR_TONICS, Mode::Major).chain(keys(MINOR_TONICS, Mode::Minor))
}

fn likelihood(key: &Key, heard: u16) -> f64 {
    if heard == 0 {
        return 0.0;
    }
    (0..12u8)
        .map(|class| {
            let chance = chance(key, class);
            if heard & (1 << class) != 0 { chance.ln() } else { (1.0 - chance).ln() }
        })
        .sum()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn heard(notes: &str) -> u16 {
        notes.split(' ').fold(0, |mask, note| mask | 1 << Note::parse(note).unwrap().class())
    }

    #[test]
    fn finds_the_key_of_plain_passages() {
        let rows: [(&[&str], &str, &str); 6] = [
            (&["C E G", "F A C", "G B D", "C E G"], "C", "C major"),
            (&["A C E", "D F A", "E G# B", "A C E"], "A", "A minor"),
            (&["A C# E", "F# A C#", "D F# A", "E G# B"], "A", "A major"),
            (&["E G B", "A C E", "B D# F#", "E G B"], "E", "E minor"),
            (&["Bb D F", "Eb G Bb", "F A C", "Bb D F"], "Bb", "Bb major"),
            (&["F# A C#", "B D F#", "C# E# G#", "F# A C#"], "F#", "F# minor"),
        ];
        for (passages, last, key) in rows {
            let passages: Vec<u16> = passages.iter().map(|notes| heard(notes)).collect();
            let found = find(&passages, Some(Note::parse(last).unwrap().class())).unwrap();
            assert_eq!(found.key.to_string(), key);
        }
    }

    #[test]
    fn no_notes_have_no_key() {
        assert_eq!(find(&[], None), None);
        assert_eq!(find(&[0, 0], Some(0)), None);
    }

    #[test]
    fn a_mode_expects_its_own_degrees() {
        for (key, own, foreign) in [
            ("D dorian", "B", "Bb"),
            ("G mixolydian", "F", "F#"),
            ("E phrygian", "F", "F#"),
            ("F lydian", "B", "Bb"),
            ("E phrygian dominant", "G#", "G"),
            ("E phrygian dominant", "F", "F#"),
            ("A harmonic minor", "G#", "G"),
            ("A minor pentatonic", "B", "Bb"),
            ("C whole tone", "F#", "F"),
        ] {
            let key = Key::parse(key).unwrap();
            let chance = |note: &str| chance(&key, Note::parse(note).unwrap().class());
            assert!(chance(own) > chance(foreign), "{key}");
        }
    }
}
