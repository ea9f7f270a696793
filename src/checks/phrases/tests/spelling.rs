//! The spelling of every chord and scale on every root.

use super::*;

const ROOTS: [&str; 16] =
    ["C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B", "Cb", "G#"];

const QUALITIES: [&str; 44] = [
    "", "m", "dim", "aug", "5", "6", "m6", "6/9", "7", "maj7", "m7", "m(maj7)", "m7b5", "dim7",
    "aug7", "9", "maj9", "m9", "11", "m11", "maj11", "13", "m13", "maj13", "sus2", "sus4", "7sus4",
    "9sus4", "11sus4", "13sus4", "add9", "madd9", "add11", "add13", "(b5)", "7b5", "7b9", "7#9",
    "7#11", "7b13", "maj7#11", "13b9", "7no3", "7no5",
];

/// The note under another letter, with few enough signs to be written.
fn other_letters(note: Note) -> impl Iterator<Item = Note> {
    let all = Letter::ALL
        .into_iter()
        .flat_map(|letter| (-2..=2).map(move |sign| Note::new(letter, sign)));
    all.filter(move |other| other.class() == note.class() && *other != note)
}

/// Checks `NAME = notes`, then with every note in turn wrong, then under every wrong letter.
fn check_spelling(name: &str, notes: &[Note], may_be: impl Fn(Note) -> bool) {
    let rules = |notes: &[Note]| -> Vec<&str> {
        let spelled: Vec<String> = notes.iter().map(Note::to_string).collect();
        let (findings, _) = checked(&format!("{name} = {}", spelled.join(" ")), None);
        findings.iter().map(|finding| finding.rule.name).collect()
    };
    assert!(rules(notes).is_empty(), "{name} = {notes:?}");
    for at in 0..notes.len() {
        let mut wrong = notes.to_vec();
        let classes: Vec<u8> = notes.iter().map(|note| note.class()).collect();
        let foreign = |note: &Note| !classes.contains(&note.class());
        let near = Degree::new(2, 0).above(notes[at]);
        let candidates =
            [near, Degree::new(2, -1).above(notes[at]), Degree::new(3, 0).above(notes[at])];
        if let Some(note) =
            candidates.into_iter().find(foreign).filter(|note| note.accidental.abs() <= 2)
        {
            wrong[at] = note;
            assert_eq!(rules(&wrong), ["spelling"], "{name} = {wrong:?}");
        }
        for other in other_letters(notes[at]).filter(|other| !may_be(*other)) {
            wrong[at] = other;
            assert_eq!(rules(&wrong), ["spelling"], "{name} = {wrong:?}");
        }
    }
}

fn can_be_written(notes: &[Note]) -> bool {
    notes.iter().all(|note| note.accidental.abs() <= 2)
}

#[test]
fn every_chord_on_every_root_is_spelled_one_way() {
    for root in ROOTS {
        for quality in QUALITIES {
            let chord = Chord::parse(&format!("{root}{quality}")).unwrap();
            let notes = chord.notes();
            if can_be_written(&notes) {
                check_spelling(&chord.to_string(), &notes, |_| false);
            }
        }
    }
}

#[test]
fn every_scale_on_every_root_is_spelled_one_way_but_where_either_letter_is_right() {
    for root in ROOTS {
        for kind in SCALES {
            let scale = Scale { tonic: note(root), kind };
            let notes = scale.notes();
            if can_be_written(&notes) {
                check_spelling(&scale.to_string(), &notes, |other| scale.holds(other));
            }
        }
    }
}
