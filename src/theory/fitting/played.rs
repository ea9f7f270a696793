//! What is played over a progression although it doesn't hold every chord: blues and pentatonic scales on
//! its tonic, as blues and rock players do.

use super::Ground;
use crate::theory::scale::ScaleKind;
use crate::theory::{Chord, Degree, Key, Note, Scale};

/// Blues and pentatonic scales that are played over some chords, the key in force known or not, the usual
/// one first. Over a dominant seventh or a power chord on the tonic, or where chords of the minor key stand
/// beside a major tonic, it is both families; else that of the tonic's third. A chord that stands alone has
/// none that contradicts it, and the chords of phrygian dominant have none.
pub fn played_over(chords: &[Chord], key: Option<&Key>) -> Vec<Scale> {
    let Some(ground) = Ground::of(chords, key) else { return Vec::new() };
    let Some(tonic) = ground.homes.first().copied() else { return Vec::new() };
    let on_tonic = |chord: &&Chord| chord.root.class() == tonic.class();
    let has = |number, alter| chords.iter().filter(on_tonic).any(|chord| chord.has(number, alter));
    let (major, minor) = (has(3, 0), has(3, -1));
    let names: &[&str] = match (major, minor) {
        (true, _) if has(7, -1) || borrows(chords, tonic) => &BOTH,
        (true, false) => &["major pentatonic", "major blues"],
        (false, true) => &["minor pentatonic", "blues"],
        (true, true) => &BOTH,
        (false, false) if key.is_some_and(Key::is_minor) => &["minor pentatonic", "blues"],
        (false, false) => &BOTH,
    };
    if is_phrygian_dominant(chords, tonic, key) {
        return Vec::new();
    }
    let against = if ground.chords.len() == 1 { ground.against } else { 0 };
    let scales =
        names.iter().filter_map(|name| Some(Scale { tonic, kind: ScaleKind::parse(name)? }));
    scales.filter(|scale| scale.classes() & against == 0).collect()
}

/// Whether the key is phrygian dominant, or a major chord that is no dominant seventh stands a half step above
/// a major tonic.
fn is_phrygian_dominant(chords: &[Chord], tonic: Note, key: Option<&Key>) -> bool {
    let is_major = |chord: &Chord| chord.has(3, 0);
    let place = |chord: &Chord| Degree::between(tonic, chord.root);
    let has_tonic = chords.iter().any(|chord| place(chord) == Degree::ROOT && is_major(chord));
    let lies_above =
        |chord: &Chord| place(chord) == Degree::new(2, -1) && is_major(chord) && !chord.has(7, -1);
    key.is_some_and(|key| key.scale.name() == "phrygian dominant")
        || has_tonic && chords.iter().any(lies_above)
}

const BOTH: [&str; 4] = ["blues", "minor pentatonic", "major pentatonic", "major blues"];

/// Whether a major chord stands on the lowered third, sixth or seventh degree, as in rock.
fn borrows(chords: &[Chord], tonic: Note) -> bool {
    chords.iter().any(|chord| {
        let place = Degree::between(tonic, chord.root);
        matches!(place.number, 3 | 6 | 7) && place.alter == -1 && !chord.has(3, -1)
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn blues_and_rock_changes_have_their_scales() {
        for (progression, key, names) in [
            ("A7 D7 E7", None, "A blues, A minor pentatonic, A major pentatonic, A major blues"),
            ("Am G F E", Some("Am"), "A minor pentatonic, A blues"),
            ("A5 C5 D5", None, "A blues, A minor pentatonic, A major pentatonic, A major blues"),
            ("A G D", Some("A"), "A blues, A minor pentatonic, A major pentatonic, A major blues"),
            ("C Am F G", Some("C"), "C major pentatonic, C major blues"),
            ("Dm7 G7 Cmaj7", None, "C major pentatonic, C major blues"),
            ("Bm7b5", None, ""),
            ("Cdim7", None, ""),
            ("Caug", None, ""),
            ("G7alt", None, ""),
            ("Am(maj7)", None, ""),
            ("Cm6", None, "C minor pentatonic, C blues"),
            ("E F", None, ""),
            ("C Db7 C", None, "C major pentatonic, C major blues"),
            ("E", Some("E phrygian dominant"), ""),
            ("A7", None, "A blues, A minor pentatonic, A major pentatonic, A major blues"),
        ] {
            let chords: Vec<Chord> =
                progression.split(' ').map(|symbol| Chord::parse(symbol).unwrap()).collect();
            let key = key.map(|key| Key::parse(key).unwrap());
            let found: Vec<String> =
                played_over(&chords, key.as_ref()).iter().map(Scale::to_string).collect();
            assert_eq!(found.join(", "), names, "{progression}");
        }
    }
}
