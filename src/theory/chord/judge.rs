//! Whether notes that sound are a chord, as language section 5 says when a fingering sounds one.

use super::{Chord, Degree, Tone};

/// What a chord demands of the notes that sound, as bit masks of pitch classes (C is bit 0): cheap
/// to test, for a search over many fingerings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Demand {
    /// What must sound, the bass included.
    pub needed: u16,
    /// What may sound: everything that must, and what may be left out.
    pub allowed: u16,
    /// Where it is not empty, at least one of these must sound (the alterations of `7alt`).
    pub one_of: u16,
    /// The root alone, which is needed too.
    pub root: u16,
}

impl Demand {
    /// Whether the classes that sound are the chord.
    pub const fn is_met_by(&self, sounding: u16) -> bool {
        self.needed & !sounding == 0
            && sounding & !self.allowed == 0
            && (self.one_of == 0 || self.one_of & sounding != 0)
    }

    /// Whether only the root is missing from the classes that sound.
    pub const fn is_met_but_for_root(&self, sounding: u16) -> bool {
        sounding & self.root == 0 && self.is_met_by(sounding | self.root)
    }
}

/// How notes that sound differ from a chord.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Verdict {
    /// The tones that must sound and don't, rising; the bass is named by its degree.
    pub missing: Vec<Degree>,
    /// Tones of which one at least must sound, where none does (`7alt`).
    pub missing_one_of: Vec<Degree>,
    /// The pitch classes that are no tones of the chord, in the order given.
    pub foreign: Vec<u8>,
}

impl Verdict {
    /// Whether the notes are the chord.
    pub fn fits(&self) -> bool {
        *self == Verdict::default()
    }

    /// Whether nothing is wrong but that the root doesn't sound: a doubt, no fault.
    pub fn lacks_only_root(&self) -> bool {
        let only = Verdict { missing: vec![Degree::ROOT], ..Verdict::default() };
        *self == only
    }
}

impl Chord {
    /// What the chord demands of the notes that sound.
    pub fn demand(&self) -> Demand {
        let needed = self.mask(|tone| !tone.omissible);
        let bass = self.bass.map_or(0, |bass| 1 << bass.class());
        Demand {
            needed: needed | bass,
            allowed: self.mask(|_| true) | bass,
            one_of: self.mask(is_choice),
            root: 1 << self.root.class(),
        }
    }

    /// Compares the pitch classes that sound (0 to 11, in any order, doubles allowed) with the
    /// chord. Which note is lowest is not looked at.
    pub fn judge(&self, sounding: &[u8]) -> Verdict {
        let demand = self.demand();
        let mask = sounding.iter().fold(0u16, |mask, class| mask | 1 << (class % 12));
        let mut foreign: Vec<u8> = Vec::new();
        for class in sounding.iter().map(|class| class % 12) {
            if demand.allowed & 1 << class == 0 && !foreign.contains(&class) {
                foreign.push(class);
            }
        }
        let choices = self.tones.iter().filter(|tone| is_choice(tone)).map(|tone| tone.degree);
        let chosen = demand.one_of & mask != 0;
        Verdict {
            missing: self.missing(demand.needed & !mask),
            missing_one_of: if chosen { Vec::new() } else { choices.collect() },
            foreign,
        }
    }

    /// The degrees of the needed classes in a mask, rising.
    fn missing(&self, mask: u16) -> Vec<Degree> {
        let mut missing: Vec<Degree> = (0..12u8)
            .filter(|class| mask & 1 << class != 0)
            .filter_map(|class| self.degree_of_class(class))
            .collect();
        missing.sort_unstable();
        missing
    }

    fn mask(&self, counts: impl Fn(&Tone) -> bool) -> u16 {
        let tones = self.tones.iter().filter(|tone| counts(tone));
        tones.fold(0, |mask, tone| mask | 1 << tone.degree.above(self.root).class())
    }
}

/// Whether a tone is one of several of which one must sound. Only `7alt` has omissible tones that
/// are altered; all others that may be left out are as the major scale has them.
fn is_choice(tone: &Tone) -> bool {
    tone.omissible && tone.degree.alter != 0
}
