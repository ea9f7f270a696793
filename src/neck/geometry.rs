//! Fretboard geometry in millimetres: where the frets are, where a fingertip presses, how far the
//! strings lie apart (hand note section 1).

use super::{Fret, Instrument};

/// Half a step up shortens the string by this factor: 2^(−1/12), equal temperament. So fret n lies at
/// L (1 − 2^(−n/12)) from the nut.
const HALF_STEP: f64 = 0.943_874_312_681_693_5;

/// A neck: its frets and strings as a hand meets them. Frets are counted from the capo, distances
/// in mm from the real nut.
#[derive(Debug, Clone, PartialEq)]
pub struct Neck {
    /// The distance of each fret from the nut, the nut itself first.
    frets: Vec<f64>,
    scale_length: f64,
    spacing: Spacing,
    strings: usize,
    capo: u8,
}

/// The distance between neighbouring strings, centre to centre, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spacing {
    /// At the nut.
    pub nut: f64,
    /// At the bridge.
    pub bridge: f64,
}

impl Spacing {
    /// Guitars of six strings: scale length and the spread of the outer strings at nut and bridge,
    /// in mm. Student sizes, short and long electric, steel-string, classical and baritone, as
    /// luthiers commonly build them (hand note section 1).
    const GUITARS: [(f64, f64, f64); 7] = [
        (530.0, 38.0, 50.0),
        (590.0, 40.0, 54.0),
        (628.0, 35.5, 51.0),
        (645.0, 37.0, 54.5),
        (648.0, 35.5, 52.5),
        (650.0, 43.0, 58.0),
        (700.0, 37.0, 54.0),
    ];

    /// What is usual for a scale length in mm and a number of strings. Basses (four or five
    /// strings over 750 mm) and small instruments (up to five under 500 mm) have spacings of their
    /// own (the bass 30 mm at the nut and 57 at the bridge over three gaps, hand note section 1; the small
    /// ones assumed, to be measured); all others that of the guitar whose scale length is nearest.
    pub fn usual(scale_length: f64, strings: usize) -> Spacing {
        match strings {
            4 | 5 if scale_length > 750.0 => return Spacing { nut: 10.0, bridge: 19.0 },
            ..=5 if scale_length < 500.0 => return Spacing { nut: 9.5, bridge: 13.7 },
            _ => {}
        }
        let far = |guitar: &(f64, f64, f64)| (guitar.0 - scale_length).abs();
        let nearest = Spacing::GUITARS.into_iter().min_by(|a, b| far(a).total_cmp(&far(b)));
        let (_, nut, bridge) = nearest.unwrap_or((648.0, 35.5, 52.5));
        Spacing { nut: nut / 5.0, bridge: bridge / 5.0 }
    }
}

impl Neck {
    /// A neck of a scale length in mm, a number of strings with their spacing, and the fret that
    /// the capo is on (0 is none).
    pub fn new(scale_length: f64, strings: usize, spacing: Spacing, capo: u8) -> Neck {
        let sounding = std::iter::successors(Some(scale_length), |length| Some(length * HALF_STEP));
        let frets = sounding.map(|length| scale_length - length).take(100).collect();
        Neck { frets, scale_length, spacing, strings, capo }
    }

    /// The neck of an instrument, with the spacing that is usual for it.
    pub fn of(instrument: &Instrument) -> Neck {
        let strings = instrument.tuning.len();
        let spacing = Spacing::usual(instrument.scale_length, strings);
        Neck::new(instrument.scale_length, strings, spacing, instrument.capo)
    }

    /// How many strings it has.
    pub fn strings(&self) -> usize {
        self.strings
    }

    /// The distance of a fret from the nut.
    pub fn fret(&self, fret: Fret) -> f64 {
        let place = usize::from(fret) + usize::from(self.capo);
        self.frets.get(place).or(self.frets.last()).copied().unwrap_or_default()
    }

    /// The width of the slot that a fingertip presses for a fret: from the wire before to its own.
    pub fn width(&self, fret: Fret) -> f64 {
        // A slot is 1/17.817 of the string that is left before it; so many halves of a step.
        (self.scale_length - self.fret(fret)) * (1.0 / HALF_STEP - 1.0)
    }

    /// Where a fingertip presses by choice: a quarter of the slot behind the wire, since it is taught to
    /// stand just behind it (the fraction is assumed, to be measured). What is hard is told from here.
    pub fn pressed(&self, fret: Fret) -> f64 {
        self.fret(fret) - 0.25 * self.width(fret)
    }

    /// The furthest towards the bridge that a fingertip presses: 4 mm behind the wire, less in
    /// narrow slots (assumed, to be measured). What is possible is told from here and from
    /// [`Neck::furthest_back`]: a hand at its limit presses the low finger forward and the high one back.
    pub fn furthest_forward(&self, fret: Fret) -> f64 {
        self.fret(fret) - (0.25 * self.width(fret)).min(4.0)
    }

    /// The furthest towards the nut that still sounds cleanly: half the slot (assumed, to be measured).
    pub fn furthest_back(&self, fret: Fret) -> f64 {
        self.fret(fret) - 0.5 * self.width(fret)
    }

    /// The distance between neighbouring strings, centre to centre, at a distance from the nut: they run
    /// straight from nut to bridge.
    pub fn string_gap(&self, at: f64) -> f64 {
        let widening = self.spacing.bridge - self.spacing.nut;
        self.spacing.nut + widening * at / self.scale_length
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::neck::Tuning;

    fn classical() -> Neck {
        Neck::new(650.0, 6, Spacing { nut: 8.6, bridge: 11.6 }, 0)
    }

    #[test]
    fn frets_lie_where_luthiers_put_them() {
        let neck = classical();
        for (fret, place) in [
            (0, 0.0),
            (1, 36.5),
            (2, 70.9),
            (3, 103.4),
            (4, 134.1),
            (5, 163.1),
            (7, 216.2),
            (9, 263.5),
            (12, 325.0),
            (24, 487.5),
        ] {
            assert!(
                (neck.fret(Fret::new(fret)) - place).abs() < 0.06,
                "fret {fret}: {}",
                neck.fret(Fret::new(fret))
            );
        }
        // The luthier's divisor.
        assert!((neck.width(Fret::new(1)) - 650.0 / 17.817).abs() < 0.001);
        assert!(
            (neck.width(Fret::new(8)) - (neck.fret(Fret::new(8)) - neck.fret(Fret::new(7)))).abs()
                < 1e-9
        );
    }

    #[test]
    fn a_capo_moves_the_frets() {
        let mut instrument = Instrument::guitar();
        let open = Neck::of(&instrument);
        instrument.capo = 3;
        let capo = Neck::of(&instrument);
        assert_eq!(capo.fret(Fret::new(2)), open.fret(Fret::new(5)));
        assert_eq!(capo.pressed(Fret::new(1)), open.pressed(Fret::new(4)));
    }

    #[test]
    fn the_strings_spread_towards_the_bridge() {
        let neck = classical();
        assert!((neck.string_gap(0.0) - 8.6).abs() < 1e-9);
        assert!((neck.string_gap(325.0) - 10.1).abs() < 1e-9);
        assert!((neck.string_gap(650.0) - 11.6).abs() < 1e-9);
    }

    #[test]
    fn spacings_suit_the_instrument() {
        for (tuning, nut) in [("EADGBE", 7.1), ("EADG", 10.0), ("GCEA", 9.5), ("BEADGBE", 7.1)] {
            let tuning = Tuning::parse(tuning).unwrap_or(Tuning::standard());
            let spacing = Spacing::usual(tuning.scale_length(), tuning.len());
            assert!((spacing.nut - nut).abs() < 1e-9, "{tuning:?}");
        }
        assert_eq!(Spacing::usual(650.0, 6).nut, 8.6);
    }

    #[test]
    fn frets_beyond_any_neck_are_harmless() {
        let neck = classical();
        assert!(neck.fret(Fret::new(255)) < 650.0);
        assert!(neck.fret(Fret::new(255)) > neck.fret(Fret::new(36)));
    }
}
