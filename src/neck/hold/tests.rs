#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::*;
use crate::neck::geometry::Spacing;
use proptest::prelude::*;

mod ordinary;
mod rules;

const THUMB: Posture = Posture { thumb: true, strum: true };
const PLUCKED: Posture = Posture { thumb: false, strum: false };

fn classical() -> Neck {
    Neck::new(650.0, 6, Spacing { nut: 8.6, bridge: 11.6 }, 0)
}

/// Reads `x32010` or `5 7 9 6 x x`.
fn frets(text: &str) -> Vec<Option<Fret>> {
    if text.contains(' ') {
        return text.split(' ').map(|fret| fret.parse().ok()).collect();
    }
    text.chars().map(|fret| fret.to_digit(10).map(|fret| Fret::new(fret as u8))).collect()
}

fn shown(hold: &Hold) -> String {
    hold.fingers.iter().map(|finger| finger.map_or('-', Finger::sign)).collect()
}

fn best(shape: &str, hand: Hand, posture: Posture) -> Option<Hold> {
    easiest(&frets(shape), &classical(), hand, posture)
}

/// Checks rows of shape, accepted fingerings (the model's own first) and the model's strain.
fn check(rows: &[Row], posture: Posture) {
    for (shape, accepted, strain) in rows {
        let hold = best(shape, Hand::MEDIUM, posture).unwrap();
        let found = shown(&hold);
        assert!(accepted.split(' ').any(|way| way == found), "{shape}: {found}");
        assert!((hold.strain - strain).abs() < 0.006, "{shape}: {:.3}", hold.strain);
    }
}

/// A shape with its accepted fingerings and its strain.
type Row = (&'static str, &'static str, f64);

/// Shape, accepted fingerings (the model's own first), the model's strain.
const OPEN: &[Row] = &[
    ("x32010", "-32-1-", 0.39),
    ("320003", "21---3 32---4", 0.73),
    ("xx0232", "---132", 0.73),
    ("x02220", "--123- --213-", 1.29),
    ("022100", "-231--", 0.83),
    ("x02210", "--231-", 0.83),
    ("022000", "-23--- -12---", 0.71),
    ("xx0231", "---231 ---241", 0.35),
    ("xx3210", "--321-", 0.35),
    ("x21202", "-213-4", 1.41),
    ("x32310", "-3241-", 1.07),
    ("320001", "32---1", 0.46),
    ("xx0212", "---213", 0.73),
    ("x02020", "--2-3- --1-2- --1-3-", 0.63),
    ("020100", "-2-1--", 0.22),
    ("x32030", "-21-3- -32-4-", 0.73),
    ("x32033", "-21-34", 1.49),
    ("xx3213", "--3214", 1.03),
    ("022102", "-231-4", 1.51),
    ("x02200", "--23-- --12--", 0.71),
    ("xx0233", "---123 ---134", 0.81),
    ("200232", "1--243", 1.41),
    ("021100", "-312--", 0.84),
];

/// Shape, accepted fingerings (the model's own first), the model's strain.
const BARRE: &[Row] = &[
    ("133211", "134211", 2.36),
    ("133111", "134111", 2.24),
    ("131211", "131211", 1.60),
    ("355333", "134111", 2.00),
    ("x24432", "-13421", 2.07),
    ("x13331", "-13331 -12341", 3.04),
    ("x24442", "-13331 -12341", 2.93),
    ("xx3211", "--3211", 0.88),
    ("x355xx", "-134-- -133--", 1.00),
    ("35xxxx", "13----", 0.23),
    ("xxx988", "---211 ---312", 0.65),
    ("x x x 12 13 12", "---132", 0.73),
    ("xxx553", "---341 ---231 ---331", 1.02),
    ("xx555x", "--111- --123- --333-", 0.70),
    ("244222", "134111", 2.12),
    ("x46654", "-13421", 1.97),
    ("x54555", "-21333", 1.68),
    ("577655", "134211", 2.12),
];

/// Shape, accepted fingerings (the model's own first), the model's strain.
const VOICINGS: &[Row] = &[
    ("x3545x", "-1324-", 1.01),
    ("x3534x", "-1312- -1423-", 0.95),
    ("x3535x", "-1314-", 1.51),
    ("x3434x", "-1213- -1324-", 1.33),
    ("x3424x", "-2314-", 1.03),
    ("xx5557", "--1113 --1114", 0.83),
    ("3x443x", "1-342-", 1.62),
    ("3x333x", "2-333-", 1.68),
    ("3x343x", "1-243- 1-132-", 1.51),
    ("5 7 9 6 x x", "1342--", 1.65),
    ("8 10 12 x x x", "124--- 134---", 0.89),
    ("135xxx", "124--- 134---", 4.81),
    ("x7678x", "-2134-", 1.01),
    ("2x221x", "2-341-", 1.67),
    ("3x243x", "2-143-", 1.13),
    ("5x555x", "2-333-", 1.68),
    ("xx5777", "--1333 --1234", 1.18),
];

/// More shapes, their fingerings written down before the model was asked.
const HELD_OUT: &[(&str, &str)] = &[
    ("x02010", "--2-1-"),
    ("022030", "-12-4- -12-3- -23-4-"),
    ("xx0211", "---211"),
    ("x32000", "-32---"),
    ("x02120", "--213- --324-"),
    ("xx0222", "---111 ---123"),
    ("320002", "32---1 31---2"),
    ("x02230", "--123- --124- --234-"),
    ("xx0230", "---13- ---24-"),
    ("022200", "-123-- -234--"),
    ("x02222", "--1111 --3333"),
    ("x32210", "-4231-"),
    ("xx0201", "---2-1"),
    ("x02030", "--1-3- --1-2- --2-4-"),
    ("5x5500", "1-23-- 2-34-- 2-33--"),
    ("3x3455", "1-2344"),
    ("355xxx", "134--- 133---"),
    ("131111", "131111"),
    ("x24232", "-13121"),
    ("x24342", "-13241"),
    ("x2323x", "-1324-"),
    ("x32110", "-3211- -4312-"),
    ("2x222x", "2-333- 1-234-"),
    ("332010", "342-1-"),
    ("x42220", "-4123- -4111- -3111-"),
    ("302210", "4-231-"),
    ("x20003", "-1---2 -1---3 -2---4 -2---3"),
    ("x33211", "-34211"),
    ("032010", "-32-1-"),
    ("xxx220", "---11- ---12- ---23-"),
    ("xxx655", "---211"),
    ("xxx232", "---132 ---121"),
    ("xxx775", "---231 ---341 ---331"),
    ("xx755x", "--311- --312-"),
    ("5x455x", "2-134- 2-133-"),
    ("4x2400", "3-14--"),
    ("x13131", "-13141"),
    ("x35343", "-13121"),
    ("577555", "134111"),
    ("575555", "131111"),
    ("x57775", "-13331 -12341"),
    ("x57765", "-13421"),
    ("020000", "-1---- -2----"),
    ("3x000x", "1----- 2----- 3-----"),
    ("320033", "21--34 21--33"),
    ("x35553", "-13331 -12341"),
    ("x46664", "-13331 -12341"),
    ("466544", "134211"),
    ("x x x 9 10 9", "---132 ---121"),
    ("x x x 11 10 10", "---211"),
    ("x 10 12 12 11 10", "-13421"),
    ("8 10 10 9 8 8", "134211"),
    ("x 8 10 10 9 8", "-13421"),
];

#[test]
fn a_hundred_shapes_are_fingered_as_taught() {
    let known = [OPEN, BARRE, VOICINGS].concat();
    let known = known.iter().map(|(shape, accepted, _)| (*shape, *accepted));
    let all: Vec<(&str, &str)> = known.chain(HELD_OUT.iter().copied()).collect();
    let misses: Vec<String> = all
        .iter()
        .filter_map(|(shape, accepted)| {
            let found = best(shape, Hand::MEDIUM, Posture::default())
                .map_or("none".into(), |hold| shown(&hold));
            let taught = accepted.split(' ').any(|way| way == found);
            (!taught).then(|| format!("{shape}: {found}, not {accepted}"))
        })
        .collect();
    assert!(all.len() >= 100, "{}", all.len());
    assert!(misses.len() * 10 <= all.len(), "{misses:#?}");
}

#[test]
fn open_chords_are_fingered_as_taught() {
    check(OPEN, Posture::default());
}

#[test]
fn a_lone_finger_beside_the_nut_is_the_one_whose_fret_it_is() {
    for (shape, fingers) in
        [("x00030", "----3-"), ("xx0003", "-----3"), ("020000", "-2----"), ("x00010", "----1-")]
    {
        let found = best(shape, Hand::MEDIUM, Posture::default()).unwrap();
        assert_eq!(shown(&found), fingers, "{shape}");
    }
}

#[test]
fn barre_chords_are_fingered_as_taught() {
    check(BARRE, Posture::default());
}

#[test]
fn voicings_are_fingered_as_taught() {
    check(VOICINGS, Posture::default());
    check(&[("12345x", "T1234-", 1.21), ("130211", "T3-211", 1.52)], THUMB);
    check(&[("200232", "T--132", 1.33)], THUMB);
}

#[test]
fn wide_shapes_depend_on_the_hand() {
    for (shape, small, medium, large) in [
        ("1xxxx5", None, Some(3.20), Some(1.65)),
        ("5xxxx9", Some(1.45), Some(0.82), Some(0.78)),
        ("12 x x x x 16", Some(0.78), Some(0.78), Some(0.78)),
        ("3xxxx8", None, None, Some(3.26)),
        ("1xxxx7", None, None, None),
    ] {
        for (hand, strain) in [(Hand::SMALL, small), (Hand::MEDIUM, medium), (Hand::LARGE, large)] {
            let found = best(shape, hand, PLUCKED).map(|hold| (hold.strain * 100.0).round());
            assert_eq!(found, strain.map(|s: f64| (s * 100.0).round()), "{shape} {hand:?}");
        }
    }
    assert_eq!(best("135xxx", Hand::SMALL, Posture::default()), None);
}

#[test]
fn what_no_hand_holds_has_no_fingering() {
    for shape in ["54321x", "12345x", "246135", "x13579", "123123", "130211", "141414", "320008"] {
        assert_eq!(best(shape, Hand::MEDIUM, Posture::default()), None, "{shape}");
    }
}

#[test]
fn nothing_fretted_needs_no_finger() {
    for shape in ["xx0000", "000000", "xxxxxx"] {
        let hold = best(shape, Hand::MEDIUM, Posture::default()).unwrap();
        assert_eq!((shown(&hold).as_str(), hold.strain), ("------", 0.0));
    }
    assert_eq!(holds(&[], &classical(), Hand::MEDIUM, THUMB).len(), 1);
}

fn any_shape() -> impl Strategy<Value = Vec<Option<Fret>>> {
    let near = |base: u8| {
        let fret = prop_oneof![
            1 => Just(None),
            1 => Just(Some(Fret::OPEN)),
            5 => (base..base + 5).prop_map(|fret| Some(Fret::new(fret))),
        ];
        proptest::collection::vec(fret, 6)
    };
    (1u8..12).prop_flat_map(near)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1600))]

    #[test]
    fn the_search_finds_what_brute_force_finds(shape in any_shape(), thumb: bool) {
        let posture = Posture { thumb, strum: true };
        let found = holds(&shape, &classical(), Hand::MEDIUM, posture);
        let mut found: Vec<String> = found.iter().map(shown).collect();
        found.sort();
        prop_assert_eq!(found, rules::all_ways(&shape, 1.0, thumb));
    }

    #[test]
    fn a_small_hand_is_searched_as_the_medium_one(shape in any_shape()) {
        let found = holds(&shape, &classical(), Hand::SMALL, Posture::default());
        let mut found: Vec<String> = found.iter().map(shown).collect();
        found.sort();
        prop_assert_eq!(found, rules::all_ways(&shape, 0.9, false));
    }

    #[test]
    fn a_larger_hand_holds_all_that_a_smaller_one_does(shape in any_shape()) {
        let ways = |hand| -> Vec<String> {
            holds(&shape, &classical(), hand, Posture::default()).iter().map(shown).collect()
        };
        let (small, medium, large) = (ways(Hand::SMALL), ways(Hand::MEDIUM), ways(Hand::LARGE));
        prop_assert!(small.iter().all(|way| medium.contains(way)));
        prop_assert!(medium.iter().all(|way| large.contains(way)));
    }

    #[test]
    fn strain_rises_along_the_list(shape in any_shape()) {
        let found = holds(&shape, &classical(), Hand::MEDIUM, THUMB);
        prop_assert!(found.is_sorted_by(|a, b| a.strain <= b.strain));
    }
}
