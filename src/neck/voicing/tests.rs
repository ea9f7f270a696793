//! The searches against brute force, which shares nothing with them but the definitions.

use super::*;
use crate::neck::hold::{self, Posture};
use crate::neck::{Finger, Hand, Neck, StringIndex, Tuning, by_string};
use crate::theory::{Chord, Degree, Midi, Note};

/// A small generator of numbers that look random and are the same in every run.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % sides
    }

    fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.roll(from.len())]
    }
}

const ROOTS: [&str; 17] =
    ["C", "C#", "Db", "D", "D#", "Eb", "E", "F", "F#", "Gb", "G", "G#", "Ab", "A", "A#", "Bb", "B"];

fn chord(symbol: &str) -> Chord {
    Chord::parse(symbol).unwrap()
}

fn tuned(tuning: &str) -> Instrument {
    let tuning = Tuning::parse(tuning).unwrap();
    Instrument { scale_length: tuning.scale_length(), tuning, ..Instrument::guitar() }
}

fn written(shape: &Shape) -> String {
    let fret = |fret: &Option<Fret>| fret.map_or("x".to_owned(), |fret| fret.to_string());
    let frets: Vec<String> = shape.frets().iter().map(fret).collect();
    let joint = if frets.iter().any(|fret| fret.len() > 1) { " " } else { "" };
    frets.join(joint)
}

fn sorted(mut shapes: Vec<Shape>) -> Vec<String> {
    shapes.sort();
    let before = shapes.len();
    shapes.dedup();
    assert_eq!(shapes.len(), before, "a shape is found twice");
    shapes.iter().map(written).collect()
}

/// Close triads by trying every fret of three strings: pitches rise, within less than an octave and
/// within five neighbouring frets, and the three tones sound.
fn close_triads(notes: &[Note], instrument: &Instrument, strings: [StringIndex; 3]) -> Vec<Shape> {
    let wanted = notes.iter().fold(0u16, |mask, note| mask | 1 << note.class());
    let mut found = Vec::new();
    let all = || Fret::OPEN.to(Fret::new(15));
    for low in all() {
        for middle in all() {
            for high in all() {
                let frets = [low, middle, high];
                let at =
                    |voice: usize| instrument.written_pitch(strings[voice], frets[voice]).unwrap();
                let pitches = [at(0), at(1), at(2)];
                let sounding = pitches.iter().fold(0u16, |mask, pitch| mask | 1 << (pitch.class()));
                let rising = pitches[0] < pitches[1]
                    && pitches[1] < pitches[2]
                    && pitches[2] - pitches[0] < 12;
                let near = frets.iter().max().unwrap().above(*frets.iter().min().unwrap()) <= 4;
                if sounding == wanted && rising && near {
                    let mut shape = Shape::silent(instrument.tuning.len());
                    (0..3).for_each(|voice| shape.set(strings[voice], Some(frets[voice])));
                    found.push(shape);
                }
            }
        }
    }
    found
}

#[test]
fn close_triads_are_those_of_brute_force() {
    let guitar = Instrument::guitar();
    let mut count = 0;
    for root in ROOTS {
        for quality in ["", "m", "dim", "aug", "sus2", "sus4"] {
            let chord = chord(&format!("{root}{quality}"));
            for low in 0..4 {
                let strings = [low, low + 1, low + 2].map(StringIndex::new);
                let asked = Asked {
                    chord: &chord,
                    family: Family::Triads,
                    instrument: &guitar,
                    strings: strings.to_vec(),
                    frets: Fret::OPEN..=Fret::new(15),
                    top: None,
                };
                let found = sorted(asked.shapes());
                assert_eq!(
                    found,
                    sorted(close_triads(&chord.notes(), &guitar, strings)),
                    "{chord} {strings:?}"
                );
                count += found.len();
            }
        }
    }
    assert!(count > 1400, "{count}");
}

#[test]
fn the_triads_of_a_on_the_high_strings() {
    let asked = Asked {
        chord: &chord("A"),
        family: Family::Triads,
        instrument: &Instrument::guitar(),
        strings: [3, 4, 5].map(StringIndex::new).to_vec(),
        frets: Fret::OPEN..=Fret::new(15),
        top: None,
    };
    let found: Vec<String> = asked.shapes().iter().map(written).collect();
    assert_eq!(found, ["xxx220", "xxx655", "x x x 9 10 9", "x x x 14 14 12"]);
}

/// Brute force: every fret of every string, and silence. What no hand holds is given up as soon as
/// two notes lie further apart than any two fingers get, or more frets are pressed than there are
/// fingers.
struct Brute<'a> {
    chord: &'a Chord,
    /// What its symbol has behind the root.
    suffix: &'a str,
    instrument: &'a Instrument,
    neck: Neck,
    hand: Hand,
    frets: Fret,
    found: Vec<Shape>,
}

impl Brute<'_> {
    fn all(mut self) -> Vec<Shape> {
        self.string(&mut Vec::new());
        self.found
    }

    fn string(&mut self, frets: &mut Vec<Option<Fret>>) {
        if frets.len() == self.instrument.tuning.len() {
            if self.sounds(frets)
                && !hold::holds(frets, &self.neck, self.hand, Posture::default()).is_empty()
            {
                self.found.push(Shape::of(frets));
            }
            return;
        }
        for fret in std::iter::once(None).chain(Fret::OPEN.to(self.frets).map(Some)) {
            frets.push(fret);
            if self.is_tone(StringIndex::new(frets.len() - 1), fret) && self.within_reach(frets) {
                self.string(frets);
            }
            frets.pop();
        }
    }

    fn is_tone(&self, string: StringIndex, fret: Option<Fret>) -> bool {
        let Some(fret) = fret else { return true };
        let class = self.instrument.written_pitch(string, fret).unwrap().class();
        self.chord.degree_of_class(class).is_some()
    }

    fn within_reach(&self, frets: &[Option<Fret>]) -> bool {
        let most = self.hand.reach(Finger::Index, Finger::Little).unwrap().most;
        let pressed: Vec<Fret> =
            frets.iter().flatten().copied().filter(|fret| fret.is_pressed()).collect();
        let (Some(low), Some(high)) = (pressed.iter().min(), pressed.iter().max()) else {
            return true;
        };
        let mut different = pressed.clone();
        different.sort_unstable();
        different.dedup();
        if different.len() > 4 {
            return false;
        }
        low == high || self.neck.furthest_back(*high) - self.neck.furthest_forward(*low) <= most
    }

    fn sounds(&self, frets: &[Option<Fret>]) -> bool {
        let pitches: Vec<Midi> = by_string(frets)
            .filter_map(|(string, fret)| self.instrument.written_pitch(string, (*fret)?))
            .collect();
        let sounds = |note: Note| pitches.iter().any(|pitch| pitch.class() == note.class());
        let tones = || self.chord.tones.iter().map(|tone| tone.degree);
        let missing = |degree: &Degree| !sounds(degree.above(self.chord.root));
        let all = tones().filter(missing).all(|degree| may_be_missing(self.suffix, degree));
        let choices = || tones().filter(|degree| is_choice(self.suffix, *degree));
        let chosen = choices().count() == 0 || !choices().all(|degree| missing(&degree));
        let lowest = pitches.iter().min().map(|pitch| pitch.class());
        all && chosen && self.chord.bass.is_none_or(|bass| lowest == Some(bass.class()))
    }
}

/// Which tones may be missing, as language section 5 says of the symbol behind a root.
fn may_be_missing(suffix: &str, degree: Degree) -> bool {
    let extended = suffix.starts_with("11") || suffix.starts_with("13") || suffix == "maj13";
    match (degree.number, degree.alter) {
        (5, 0) => suffix != "5" && !suffix.contains("no3"),
        (3, _) => suffix == "11",
        (9, 0) => extended,
        (11, 0) => extended && suffix != "11",
        _ => is_choice(suffix, degree),
    }
}

/// Whether a tone is one of the alterations of which `7alt` has one or more.
fn is_choice(suffix: &str, degree: Degree) -> bool {
    suffix == "7alt" && matches!(degree.number, 5 | 9 | 11 | 13)
}

/// Chords of up to four tones.
const SMALL: [&str; 24] = [
    "", "m", "dim", "aug", "5", "sus2", "sus4", "6", "m6", "7", "maj7", "m7", "m7b5", "dim7",
    "m(maj7)", "aug7", "add9", "madd9", "7sus4", "maj7no3", "7no5", "no5", "(b5)", "7b5",
];

/// Chords of more tones.
const LARGE: [&str; 15] = [
    "6/9",
    "9",
    "maj9",
    "m9",
    "11",
    "13",
    "7b9",
    "7#9",
    "7alt",
    "maj7#11",
    "9sus4",
    "13sus4",
    "13#11",
    "maj13",
    "7b5#5b9#9#11b13",
];

fn check_against_brute_force(dice: &mut Dice, tuning: &str, frets: u8) -> usize {
    let few = tuned(tuning).tuning.len() < 6 || frets < 22;
    // With chords of many tones brute force over six strings takes long: a few are enough.
    let large = dice.roll(if few { 3 } else { 10 }) == 0;
    let suffix = if large { *dice.pick(&LARGE) } else { *dice.pick(&SMALL) };
    let mut symbol = format!("{}{}", dice.pick(&ROOTS), suffix);
    if dice.roll(4) == 0 {
        symbol += &format!("/{}", dice.pick(&ROOTS));
    }
    let chord = chord(&symbol);
    let capo = if dice.roll(5) == 0 { dice.roll(5) as u8 } else { 0 };
    let instrument = Instrument { capo, ..tuned(tuning) };
    let hand = Hand { span: 100.0 + dice.roll(101) as f64 };
    let frets = Fret::new(frets).min(instrument.last_fret());
    let search = Search { frets: Fret::OPEN..=frets, ..Search::new(&chord, &instrument, hand) };
    let neck = Neck::of(&instrument);
    let brute = Brute {
        chord: &chord,
        suffix,
        instrument: &instrument,
        neck,
        hand,
        frets,
        found: Vec::new(),
    };
    let found = sorted(search.all());
    assert_eq!(found, sorted(brute.all()), "{symbol} on {tuning}, capo {capo}, hand {}", hand.span);
    found.len()
}

#[test]
fn the_search_finds_what_brute_force_finds_on_four_strings() {
    let mut dice = Dice(4);
    let tunings = ["EADG", "G4 C4 E4 A4", "D3 G3 B3 E4", "G3 D4 A4 E5", "C3 G3 D4 A4"];
    for tuning in tunings {
        let count: usize = (0..72).map(|_| check_against_brute_force(&mut dice, tuning, 22)).sum();
        assert!(count > 500, "{tuning} {count}");
    }
}

#[test]
fn the_search_finds_what_brute_force_finds_on_five_and_six_strings() {
    let mut dice = Dice(6);
    for (tuning, times) in [
        ("BEADG", 30),
        ("G4 D3 G3 B3 D4", 30),
        ("EADGBE", 40),
        ("DADGAD", 10),
        ("D2 G2 D3 G3 B3 D4", 10),
        ("E2 A2 D3 G3 C4 F4", 10),
    ] {
        let count: usize =
            (0..times).map(|_| check_against_brute_force(&mut dice, tuning, 22)).sum();
        assert!(count > 1000, "{tuning} {count}");
    }
}

#[test]
fn the_search_finds_what_brute_force_finds_on_three_seven_and_eight_strings() {
    let mut dice = Dice(8);
    for (tuning, frets, times) in
        [("D3 A3 D4", 22, 30), ("BEADGBE", 6, 20), ("F# B E A D G B E", 4, 20)]
    {
        let count: usize =
            (0..times).map(|_| check_against_brute_force(&mut dice, tuning, frets)).sum();
        assert!(count > 100, "{tuning} {count}");
    }
}

const TUNINGS: [&str; 3] = ["EADGBE", "EADG", "BEADGBE"];

#[test]
fn the_quick_grip_judges_as_the_slow_one() {
    let mut dice = Dice(1);
    let mut held = 0;
    for _ in 0..5_000 {
        let capo = dice.roll(4) as u8;
        let instrument = Instrument { capo, ..tuned(TUNINGS[dice.roll(3)]) };
        let hand = *dice.pick(&[Hand::SMALL, Hand::MEDIUM, Hand::LARGE]);
        let neck = Neck::of(&instrument);
        let grip = Grip::new(&neck, hand, instrument.last_fret());
        let base = dice.roll(16) as u8;
        let fret = |dice: &mut Dice| match dice.roll(6) {
            0 => None,
            1 => Some(Fret::OPEN),
            _ => Some(Fret::new(base + dice.roll(4) as u8)),
        };
        let frets: Vec<Option<Fret>> =
            (0..instrument.tuning.len()).map(|_| fret(&mut dice)).collect();
        let slow = !hold::holds(&frets, &neck, hand, Posture::default()).is_empty();
        assert_eq!(grip.can_hold(&frets), slow, "{frets:?} capo {capo} hand {}", hand.span);
        held += u32::from(slow);
    }
    assert!((1000..4500).contains(&held), "{held}");
}

/// An open string that fingers arch over is no reason to show a shape first; one beside a hand near the nut is
/// no reason against it, how far its little finger ever reaches.
#[test]
fn the_first_shape_is_the_one_that_is_taught() {
    for (symbol, tuning, taught) in [
        ("Bm", "EADGBE", "x24432"),
        ("Bb", "EADGBE", "x13331"),
        ("G", "EADGBE", "320003"),
        ("G", "DADGBE", "520003"),
        ("F#m7", "EADGBE", "242222"),
        ("Bdim", "EADGBE", "x2343x"),
        ("G#m7b5", "EADGBE", "4x443x"),
        ("G#dim", "EADGBE", "xx6434"),
    ] {
        let (chord, instrument) = (chord(symbol), tuned(tuning));
        let shapes = Search::new(&chord, &instrument, Hand::MEDIUM).all();
        let first = ranked(&shapes, &chord, &instrument, Hand::MEDIUM, Fret::OPEN, 1);
        assert_eq!(written(&first[0].shape), taught, "{symbol} {tuning}");
    }
}

/// The place of a shape among the first of a chord.
fn place(symbol: &str, shape: &str, keep: usize) -> Option<usize> {
    let (chord, instrument) = (chord(symbol), Instrument::guitar());
    let shapes = Search::new(&chord, &instrument, Hand::MEDIUM).all();
    let first = ranked(&shapes, &chord, &instrument, Hand::MEDIUM, Fret::OPEN, keep);
    first.iter().position(|ranked| written(&ranked.shape) == shape)
}

#[test]
fn a_little_finger_without_room_is_not_shown() {
    for (symbol, shape) in [("F", "10x211"), ("F", "1x3321"), ("C", "x32553"), ("G#m7b5", "424432")]
    {
        assert_eq!(place(symbol, shape, 40), None, "{symbol} {shape}");
    }
    for (symbol, shape) in [("C7", "x32310"), ("B7", "x21202"), ("F", "133211")] {
        assert!(place(symbol, shape, 8).is_some(), "{symbol} {shape}");
    }
}

#[test]
fn a_reach_of_five_frets_low_on_the_neck_is_shown_after_what_a_position_holds() {
    assert!(place("Aadd9", "x02420", 1).is_some());
    assert_eq!(place("Aadd9", "x02600", 12), None);
}

#[test]
fn a_finger_arches_over_no_open_string_far_up_where_a_closed_shape_has_room() {
    let closed = place("G#dim", "xx6434", 20);
    let open = place("G#dim", "xx6707", 20);
    assert!(closed.is_some() && open.is_none_or(|open| Some(open) > closed), "{closed:?} {open:?}");
}

#[test]
fn a_third_on_the_lowest_string_is_no_root_position() {
    assert_eq!(place("Am", "807555", 20), None);
    assert!(place("Am", "x07555", 20).is_some());
}

#[test]
fn a_string_more_or_less_makes_a_variant_and_another_place_none() {
    let shape = |frets: &str| {
        let fret = |sign: char| sign.to_digit(10).map(|fret| Fret::new(fret as u8));
        Shape::of(&frets.chars().map(fret).collect::<Vec<_>>())
    };
    for (one, other, variant) in [
        ("x32010", "x3201x", true),
        ("x32010", "x32013", false),
        ("x32010", "x3x01x", true),
        ("x32010", "032010", true),
        ("133211", "1332xx", true),
        ("xx3211", "133211", false),
        ("x32010", "x35553", false),
        ("320003", "320033", false),
        ("0003", "5433", false),
    ] {
        assert_eq!(shape(one).is_variant_of(&shape(other)), variant, "{one} {other}");
        assert_eq!(shape(other).is_variant_of(&shape(one)), variant, "{other} {one}");
    }
}
