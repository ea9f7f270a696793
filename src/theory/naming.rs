//! Names for notes that sound together: every chord that they are, the best name first.

use super::chord::Demand;
use super::{Chord, Degree, Key, Letter, Midi, Note};
use std::sync::LazyLock;

/// The kinds of chord that a name is looked for among, each with what it costs: plain triads are
/// named first, then sevenths, then what is rarer. The order is a teacher's; the figures are
/// assumed, and only their differences count.
const KINDS: [(&str, u32); 58] = [
    ("", 0),
    ("m", 0),
    ("5", 2),
    ("dim", 6),
    ("aug", 7),
    ("sus4", 8),
    ("sus2", 8),
    ("7", 10),
    ("m7", 10),
    ("maj7", 10),
    ("dim7", 11),
    ("m7b5", 11),
    ("add9", 12),
    ("7sus4", 13),
    ("madd9", 13),
    ("6", 14),
    ("m6", 14),
    ("9", 16),
    ("m9", 16),
    ("maj9", 16),
    ("6/9", 17),
    ("9sus4", 17),
    ("m(maj7)", 18),
    ("m6/9", 19),
    ("7#5", 20),
    ("7b9", 20),
    ("7#9", 20),
    ("7b5", 20),
    ("maj7#5", 20),
    ("maj7#11", 21),
    ("7#11", 21),
    ("13", 21),
    ("add11", 22),
    ("madd11", 22),
    ("11", 22),
    ("m11", 22),
    ("13sus4", 22),
    ("maj13", 23),
    ("m13", 23),
    ("7b13", 23),
    ("9#11", 23),
    ("maj9#11", 23),
    ("13#11", 24),
    ("13b9", 24),
    ("7add13", 24),
    ("maj7sus2", 24),
    ("maj7sus4", 24),
    ("7sus2", 24),
    ("7sus4b9", 24),
    ("m(maj9)", 24),
    ("m9b5", 24),
    ("9#5", 24),
    ("7#5#9", 25),
    ("7b9b13", 25),
    ("7alt", 26),
    ("(b5)", 27),
    ("(#11)", 27),
    ("sus4add9", 27),
];

/// What it costs a name that another tone of the chord than its root is lowest.
const INVERTED: u32 = 9;
/// What it costs a name that a tone from beyond the octave, such as an added ninth, is lowest:
/// `A/B` is a better name than `Aadd9/B`.
const UPENDED: u32 = 16;
/// What it costs a name that the lowest note is none of the chord's own.
const FOREIGN_BASS: u32 = 22;
/// What it costs a name that the fifth is missing.
const NO_FIFTH: u32 = 6;
/// What each other missing tone costs.
const MISSING: u32 = 8;

/// A kind of chord on C, ready to be compared.
struct Kind {
    chord: Chord,
    demand: Demand,
    cost: u32,
}

static READY: LazyLock<Vec<Kind>> = LazyLock::new(|| {
    let c = Note::new(Letter::C, 0);
    let ready = |(suffix, cost)| {
        let chord = Chord::of(c, suffix, None).ok()?;
        Some(Kind { demand: chord.demand(), chord, cost })
    };
    KINDS.into_iter().filter_map(ready).collect()
});

/// The names of notes that sound together, best first. Every note is accounted for in each; the
/// notes go from low to high. Fewer than two different notes have no name.
///
/// Names are spelled as near to the key as may be, without one with the fewest signs.
pub fn names(sounding: &[Midi], key: Option<&Key>) -> Vec<Chord> {
    let Some(lowest) = sounding.first() else {
        return Vec::new();
    };
    let bass = lowest.class();
    let mask = sounding.iter().fold(0u16, |mask, midi| mask | 1 << midi.class());
    let mut found: Vec<(u32, u8, Chord)> = Vec::new();
    for root in (0..12u8).filter(|root| mask & 1 << root != 0) {
        for kind in READY.iter() {
            if let Some((cost, slash)) = fit(kind, root, bass, mask) {
                found.push((cost, root, spelled(&kind.chord, root, slash, key)));
            }
        }
    }
    // Roots are ranked from the bass upwards where all else is equal.
    found.sort_by_key(|(cost, root, _)| (*cost, (root + 12 - bass) % 12));
    found.into_iter().map(|(_, _, chord)| chord).collect()
}

/// What it costs to call the notes a kind of chord on a root, and the bass that a slash must name;
/// `None` where the notes are not that chord.
fn fit(kind: &Kind, root: u8, bass: u8, mask: u16) -> Option<(u32, Option<u8>)> {
    let sounding = rotate(mask, root);
    let low = rotate(1 << bass, root);
    let slash = (bass != root).then_some(bass);
    if kind.demand.is_met_by(sounding) {
        let missing = missing_cost(&kind.chord, sounding);
        return Some((kind.cost + missing + inversion_cost(&kind.chord, low), slash));
    }
    let foreign = kind.demand.allowed & low == 0 && kind.demand.is_met_by(sounding & !low);
    let complete = foreign && missing_cost(&kind.chord, sounding) == 0;
    complete.then_some((kind.cost + FOREIGN_BASS, slash))
}

/// What it costs that a tone of the chord on C is lowest.
fn inversion_cost(on_c: &Chord, low: u16) -> u32 {
    match on_c.degree_of_class(low.trailing_zeros() as u8) {
        Some(Degree::ROOT) => 0,
        Some(degree) if degree.number <= 7 => INVERTED,
        _ => UPENDED,
    }
}

/// Turns a mask of pitch classes so that the root stands in bit 0.
fn rotate(mask: u16, root: u8) -> u16 {
    (mask >> root | mask << (12 - root)) & 0xfff
}

/// What the tones cost that the chord has and nobody plays. An altered chord is no poorer for
/// having only some of its alterations.
fn missing_cost(on_c: &Chord, sounding: u16) -> u32 {
    let gaps = on_c.tones.iter().filter(|tone| {
        let altered = tone.omissible && tone.degree.alter != 0;
        !altered && sounding & 1 << tone.degree.semitones().rem_euclid(12) == 0
    });
    gaps.map(|tone| if tone.degree == Degree::new(5, 0) { NO_FIFTH } else { MISSING }).sum()
}

/// The chord on a root, over a bass, each spelled as near to the key as may be.
fn spelled(on_c: &Chord, root: u8, slash: Option<u8>, key: Option<&Key>) -> Chord {
    let centre = OPEN_CENTRE + key.map_or(0, Key::signature);
    let notes_on = |root: Note| on_c.tones.iter().map(move |tone| tone.degree.above(root));
    let strangeness = |root: &Note| {
        let doubles = notes_on(*root).filter(|note| note.accidental.abs() > 1).count();
        let far: i32 = notes_on(*root).map(|note| (fifths(note) - centre).abs()).sum();
        (doubles, far)
    };
    let root = spellings(root).min_by_key(strangeness).unwrap_or(on_c.root);
    let bass = slash.and_then(|class| {
        let own = notes_on(root).find(|note| note.class() == class);
        own.or_else(|| spellings(class).min_by_key(|note| (fifths(*note) - centre).abs()))
    });
    Chord { root, bass, ..on_c.clone() }
}

/// The middle of the natural notes on the line of fifths, which is D, two up from C; a key's notes
/// lie as much further up as it has sharps.
const OPEN_CENTRE: i32 = 2;

/// A note's place on the line of fifths, counted from C: G is 1, F is −1, F# is 6.
fn fifths(note: Note) -> i32 {
    let natural = match note.letter {
        Letter::F => -1,
        Letter::C => 0,
        Letter::G => 1,
        Letter::D => 2,
        Letter::A => 3,
        Letter::E => 4,
        Letter::B => 5,
    };
    natural + 7 * i32::from(note.accidental)
}

/// The ways to spell a pitch class with at most one sign.
fn spellings(class: u8) -> impl Iterator<Item = Note> {
    let all =
        Letter::ALL.into_iter().flat_map(|letter| [0, 1, -1].map(|sign| Note::new(letter, sign)));
    all.filter(move |note| note.class() == class)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::theory::Pitch;
    use crate::theory::key::Mode;

    fn named(pitches: &str, key: Option<&Key>) -> Vec<String> {
        let midi: Vec<Midi> =
            pitches.split(' ').map(|pitch| Pitch::parse(pitch).unwrap().midi()).collect();
        names(&midi, key).iter().map(Chord::to_string).collect()
    }

    #[test]
    fn the_best_name_is_the_one_a_teacher_gives() {
        let rows = [
            ("A2 E3 B3 C#4 E4", "Aadd9"),
            ("D3 A3 D4 F#4", "D"),
            ("A2 E3 A3 C#4 E4", "A"),
            ("A2 E3 A3 C4 E4", "Am"),
            ("A2 E3 G3 C4 E4", "Am7"),
            ("C3 E3 A3 C4 E4", "Am/C"),
            ("C3 E3 G3 A3", "C6"),
            ("E2 G2 A2 C3", "Am7/E"),
            ("E4 A4 C#5", "A/E"),
            ("F#2 A3 D4 F#4", "D/F#"),
            ("E2 B2 E3", "E5"),
            ("A2 D3 E3", "Asus4"),
            ("A2 B2 E3", "Asus2"),
            ("A2 C#3", "A"),
            ("A2 C3", "Am"),
            ("G#2 B2 D3 F3", "G#dim7"),
            ("B2 D3 F3 Ab3", "Bdim7"),
            ("B2 D3 F3 A3", "Bm7b5"),
            ("F2 G3 B3 D4", "G7/F"),
            ("E2 G#3 D4 G4", "E7#9"),
            ("G2 F3 A3 B3 E4", "G13"),
            ("D3 C4 E4 F#4", "D9"),
            ("C3 E3 G#3", "Caug"),
            ("A2 E3 G3 D4", "A7sus4"),
            ("B2 E3 A3 C#4", "A/B"),
            ("F3 A3 C4 E4 B4", "Fmaj7#11"),
            ("D3 C4 E4 G4", "C/D"),
            ("G2 D3 F#3 A3", "D/G"),
        ];
        for (pitches, name) in rows {
            let found = named(pitches, None);
            assert_eq!(found.first().map(String::as_str), Some(name), "{pitches}: {found:?}");
        }
    }

    #[test]
    fn names_are_spelled_in_the_key() {
        let key = |tonic, mode| Key::new(Note::parse(tonic).unwrap(), mode);
        let rows = [
            ("C#3 F3 G#3", "Db", key("Ab", Mode::Major)),
            ("C#3 F3 G#3", "C#", key("F#", Mode::Major)),
            ("F#3 A#3 C#4", "Gb", key("Db", Mode::Major)),
            ("B2 D#3 F#3", "Cb", key("Gb", Mode::Major)),
            ("Bb2 D3 F3", "Bb", key("E", Mode::Major)),
            ("D#3 F#3 A#3", "D#m", key("C#", Mode::Minor)),
            ("F#3 G#3 B#3 D#4", "G#7/F#", key("C#", Mode::Minor)),
        ];
        for (pitches, name, key) in rows {
            assert_eq!(named(pitches, Some(&key)).first().unwrap(), name, "{pitches}");
        }
    }

    #[test]
    fn every_name_accounts_for_every_note() {
        for mask in 1u16..4096 {
            let classes: Vec<u8> = (0..12).filter(|class| mask & 1 << class != 0).collect();
            for bass in 0..classes.len() {
                let midi: Vec<Midi> = (bass..bass + classes.len())
                    .map(|at| {
                        let octave = 12 * (3 + at / classes.len()) as i32;
                        Midi::new(octave + i32::from(classes[at % classes.len()]))
                    })
                    .collect();
                for chord in names(&midi, None) {
                    assert!(chord.judge(&classes).fits(), "{chord} for {classes:?}");
                    assert_eq!(chord.lowest().class(), midi[0].class(), "{chord}");
                    assert_eq!(Chord::parse(&chord.to_string()), Ok(chord));
                }
            }
        }
    }

    #[test]
    fn one_note_or_none_has_no_name() {
        assert!(names(&[], None).is_empty());
        assert!(names(&[40, 52].map(Midi::new), None).is_empty());
    }
}
