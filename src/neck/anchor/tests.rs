#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::*;
use crate::neck::geometry::Spacing;

/// A shape of frets below ten; one that is learned by itself begins with `!`.
fn shape(text: &str) -> Choices {
    let neck = Neck::new(650.0, 6, Spacing { nut: 8.6, bridge: 11.6 }, 0);
    let frets = |text: &str| -> Vec<Option<Fret>> {
        text.chars().map(|sign| sign.to_string().parse().ok().map(Fret::new)).collect()
    };
    match text.strip_prefix('!') {
        Some(taught) => Choices::taught(frets(taught), &neck, Hand::MEDIUM, Posture::default()),
        None => Choices::derived(frets(text), &neck, Hand::MEDIUM, Posture::default()),
    }
}

/// The fingers of shapes, each followed by the next.
fn in_turn(shapes: &str) -> String {
    let shapes: Vec<Choices> = shapes.split_whitespace().map(shape).collect();
    let changes: Vec<(usize, usize)> = (1..shapes.len()).map(|at| (at - 1, at)).collect();
    let sign = |finger: &Option<Finger>| finger.map_or('.', Finger::sign);
    let signs = fingers(&shapes, &changes);
    let signs = signs.iter().map(|fingers| fingers.iter().map(sign).collect::<String>());
    signs.collect::<Vec<_>>().join(" ")
}

/// Changes as teachers finger them.
#[test]
fn fingers_that_can_stay_do() {
    for (shapes, fingers) in [
        // D, Dsus4, Dsus2.
        ("!xx0232 xx0233 xx0230", "...132 ...134 ...13."),
        ("xx0230 !xx0232 xx0233", "...13. ...132 ...134"),
        ("xx0230 xx0233 !xx0232", "...13. ...134 ...132"),
        // Am, Asus2; Am, Asus4.
        ("!x02210 x02200", "..231. ..23.."),
        ("!x02210 x02230", "..231. ..234."),
        // A, A7.
        ("!x02220 x02020 x02120", "..123. ..1.3. ..213."),
        // E, Esus4.
        ("!022100 022200", ".231.. .234.."),
        // C, Cmaj7; C, Cadd9.
        ("!x32010 x32000", ".32.1. .32..."),
        ("!x32010 x32030", ".32.1. .32.4."),
        // Em, B7: the second finger stays.
        ("!022000 x21202", ".23... .213.4"),
        // Em is as easy with either pair of fingers.
        ("!022000 !022100", ".23... .231.."),
        ("!320003 !022000", "21...3 .12..."),
    ] {
        assert_eq!(in_turn(shapes), fingers, "{shapes}");
    }
}

/// A plain chord keeps its form where its relative can't have the same fingers.
#[test]
fn a_plain_chord_is_held_as_it_is_taught() {
    assert_eq!(in_turn("!xx0232 xx0212"), "...132 ...213");
    assert_eq!(in_turn("!320003 320001"), "21...3 32...1");
    // Nor is a barre given up for one finger of two.
    assert_eq!(in_turn("!xx0232 xx0222"), "...132 ...111");
}

#[test]
fn given_fingers_stay_and_others_go_by_them() {
    let by = ['.', '.', '.', '2', '4', '3'].map(Finger::from_char).to_vec();
    let given = Choices { ways: vec![by.clone()], ..shape("!xx0232") };
    let found = fingers(&[given, shape("xx0230")], &[(0, 1)]);
    assert_eq!(found[0], by);
    assert_eq!(found[1], ['.', '.', '.', '2', '4', '.'].map(Finger::from_char));
}

#[test]
fn what_no_hand_holds_has_no_fingers() {
    assert_eq!(fingers(&[shape("54321x"), shape("!xx0232")], &[(0, 1), (1, 7)])[0], []);
    assert!(fingers(&[], &[]).is_empty());
}
