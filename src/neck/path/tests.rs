#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::*;
use crate::neck::StringIndex;
use crate::neck::geometry::Spacing;
use proptest::prelude::*;

fn classical() -> Neck {
    Neck::new(650.0, 6, Spacing { nut: 8.6, bridge: 11.6 }, 0)
}

/// A note for each `string:fret`, strings numbered as players do; `+` sounds them together.
fn passage(text: &str, milliseconds: u64) -> Vec<Moment> {
    let stop = |text: &str| {
        let (string, fret) = text.split_once(':').unwrap();
        let string = StringIndex::new(6 - string.parse::<usize>().unwrap());
        Stop { string, fret: fret.parse().unwrap(), finger: None, joint: Joint::Struck }
    };
    let since = Duration::from_millis(milliseconds);
    let moment = |word: &str| Moment {
        since,
        stops: word.split('+').map(stop).collect(),
        ringing: Vec::new(),
    };
    text.split_whitespace().map(moment).collect()
}

fn shown(path: &Path) -> String {
    let sign = |finger: &Option<Finger>| finger.map_or('0', Finger::sign);
    let moments = path.fingers.iter().map(|fingers| fingers.iter().map(sign).collect::<String>());
    moments.collect::<Vec<_>>().join(" ")
}

fn solve(moments: &[Moment]) -> Path {
    fingers(moments, &classical(), Hand::MEDIUM)
}

#[test]
fn textbook_passages_get_their_fingers() {
    for (passage_text, fingers) in [
        // C major in the open position.
        ("5:3 4:0 4:2 4:3 3:0 3:2 2:0 2:1", "3 0 2 3 0 2 0 1"),
        // C major in the second position.
        ("5:3 5:5 4:2 4:3 4:5 3:2 3:4 3:5", "2 4 1 2 4 1 3 4"),
        // A minor pentatonic in the fifth position.
        ("6:5 6:8 5:5 5:7 4:5 4:7 3:5 3:7 2:5 2:8 1:5 1:8", "1 4 1 3 1 3 1 3 1 4 1 4"),
        // Chromatic, one finger a fret.
        ("4:5 4:6 4:7 4:8", "1 2 3 4"),
        // C major on the second string, with two shifts.
        ("2:1 2:3 2:5 2:6 2:8 2:10 2:12 2:13", "1 3 1 2 4 1 3 4"),
        // E minor pentatonic in the open position.
        ("6:0 6:3 5:0 5:2 4:0 4:2 3:0 3:2 2:0 2:3 1:0 1:3", "0 3 0 2 0 2 0 2 0 3 0 3"),
    ] {
        assert_eq!(shown(&solve(&passage(passage_text, 400))), fingers, "{passage_text}");
    }
}

#[test]
fn chords_are_fingered_for_their_neighbours() {
    let c = "5:3+4:2+3:0+2:1+1:0";
    let g = "6:3+5:2+4:0+3:0+2:0+1:3";
    let (am, e) = ("5:0+4:2+3:2+2:1+1:0", "6:0+5:2+4:2+3:1+2:0+1:0");
    for (text, fingers) in [
        (g.to_string(), "210003"),
        (format!("{c} {g}"), "32010 320004"),
        (format!("{am} {e}"), "02310 023100"),
    ] {
        assert_eq!(shown(&solve(&passage(&text, 2000))), fingers, "{text}");
    }
}

#[test]
fn given_fingers_are_kept() {
    let mut moments = passage("2:5 2:7 2:8", 400);
    moments[1].stops[0].finger = Some(Finger::Middle);
    assert_eq!(shown(&solve(&moments)).split(' ').nth(1), Some("2"));
    let mut moments = passage("6:1 6:3", 400);
    moments[0].stops[0].finger = Some(Finger::Thumb);
    moments[1].stops[0].finger = Some(Finger::Little);
    assert_eq!(shown(&solve(&moments)), "T 4");
}

#[test]
fn a_slide_keeps_its_finger_and_a_slur_takes_another() {
    let mut moments = passage("3:5 3:9 2:8", 300);
    moments[1].stops[0].joint = Joint::SameFinger;
    let path = solve(&moments);
    assert_eq!(path.fingers[0], path.fingers[1]);
    let mut moments = passage("3:5 3:5 3:6", 300);
    moments[2].stops[0].joint = Joint::OtherFinger;
    let path = solve(&moments);
    assert!(path.fingers[1] < path.fingers[2], "{}", shown(&path));
}

#[test]
fn what_rings_on_keeps_its_finger() {
    let mut moments = passage("5:3 4:2 2:1 4:2 5:3", 300);
    for (at, ringing) in [
        (1, vec![(1, 3)]),
        (2, vec![(1, 3), (2, 2)]),
        (3, vec![(1, 3), (4, 1)]),
        (4, vec![(2, 2), (4, 1)]),
    ] {
        let places =
            ringing.into_iter().map(|(string, fret)| (StringIndex::new(string), Fret::new(fret)));
        moments[at].ringing = places.collect();
    }
    assert_eq!(shown(&solve(&moments)), "3 2 1 2 3");
}

#[test]
fn a_jump_is_told_with_its_way_and_its_time() {
    let path = solve(&passage("1:1 1:13", 100));
    let [jump] = path.jumps.as_slice() else { panic!("{:?}", path.jumps) };
    assert_eq!((jump.from, jump.to), (0, 1));
    assert!(jump.leap.distance > 200.0 && jump.leap.shortest > 100.0);
    assert!(jump.leap.shortest < jump.leap.relaxed);
    assert!(solve(&passage("1:1 1:13", 300)).jumps.is_empty());
    // An open string in between gives time.
    assert!(solve(&passage("1:1 1:0 1:0 1:13", 100)).jumps.is_empty());
    // Where no time is known none is too short.
    assert!(solve(&passage("1:1 1:13", 0)).jumps.is_empty());
    let between =
        leap(Fret::FIRST, Fret::new(12), Duration::from_millis(100), &classical()).unwrap();
    assert!((between.shortest - 211.0).abs() < 2.0);
    assert_eq!(leap(Fret::new(5), Fret::new(5), Duration::from_millis(1), &classical()), None);
}

#[test]
fn a_chord_that_no_hand_holds_has_no_fingers() {
    let path = solve(&passage("3:5 6:1+5:2+4:3+3:4+2:5 3:5", 500));
    assert_eq!(path.fingers[1], [None; 5]);
    assert!(path.fingers[0][0].is_some() && path.fingers[2][0].is_some());
    assert_eq!(solve(&[]).cost, 0.0);
}

/// The least cost of all ways through the layers, each tried.
fn exhaustive(moments: &[Moment]) -> f64 {
    let neck = classical();
    let travel = Travel::over(moments, &neck);
    let mut grips = Grips::new(&neck, Hand::MEDIUM);
    let layers = layers(moments, &mut grips);
    let mut ways: Vec<(f64, Option<Grip>)> = vec![(0.0, None)];
    for layer in &layers {
        let next = |(cost, from): &(f64, Option<Grip>)| {
            let (cost, from) = (*cost, *from);
            let (grips, travel) = (&grips, &travel);
            layer
                .grips
                .iter()
                .map(move |grip| {
                    let way = from.map_or(0.0, |from| step(&from, grip, layer, grips, travel));
                    (cost + way + grip.cost, Some(*grip))
                })
                .collect::<Vec<_>>()
        };
        ways = ways.iter().flat_map(next).collect();
    }
    ways.into_iter().map(|(cost, _)| cost).fold(f64::INFINITY, f64::min)
}

fn any_passage() -> impl Strategy<Value = Vec<Moment>> {
    let stop = (0usize..6, 0u8..14, 0u8..4).prop_map(|(string, fret, joint)| {
        let string = StringIndex::new(string);
        let joint = match joint {
            0 => Joint::SameFinger,
            1 => Joint::OtherFinger,
            _ => Joint::Struck,
        };
        Stop { string, fret: Fret::new(fret), finger: None, joint }
    });
    let moment = (proptest::collection::vec(stop, 1..4), 40u64..800).prop_map(|(mut stops, ms)| {
        stops.sort_by_key(|stop| stop.string);
        stops.dedup_by_key(|stop| stop.string);
        Moment { since: Duration::from_millis(ms), stops, ringing: Vec::new() }
    });
    proptest::collection::vec(moment, 1..6).prop_map(|mut moments| {
        // Every other moment lets the one before ring on where its string is free.
        for at in (1..moments.len()).step_by(2) {
            let before: Vec<(StringIndex, Fret)> =
                moments[at - 1].stops.iter().map(|stop| (stop.string, stop.fret)).collect();
            let taken: Vec<StringIndex> =
                moments[at].stops.iter().map(|stop| stop.string).collect();
            let free = before.into_iter().filter(|(string, _)| !taken.contains(string));
            moments[at].ringing = free.collect();
        }
        moments
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn the_path_is_as_cheap_as_the_best_of_all_ways(moments in any_passage()) {
        let path = solve(&moments);
        let best = exhaustive(&moments);
        prop_assume!(best.is_finite());
        prop_assert!((path.cost - best).abs() < 1e-9, "{} not {best}", path.cost);
    }
}
