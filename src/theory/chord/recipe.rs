//! What a symbol's suffix asks for, and what follows from it: the formula, the house form, the
//! words.

use super::{Degree, Tone};

/// What stands in the third's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Third {
    /// A major third.
    #[default]
    Major,
    /// A minor third.
    Minor,
    /// A suspended second.
    Second,
    /// A suspended fourth.
    Fourth,
    /// Nothing, as in a power chord.
    Missing,
}

/// A suffix taken apart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Recipe {
    /// What stands in the third's place.
    pub third: Third,
    /// Whether the symbol leaves out the fifth, `no5`.
    pub no_fifth: bool,
    /// Whether there is a sixth.
    pub sixth: bool,
    /// The seventh, by its alteration: 0 major, −1 minor, −2 diminished.
    pub seventh: Option<i8>,
    /// How far the thirds are piled up over the seventh: 9, 11 or 13; less where they are not.
    pub top: u8,
    /// Alterations among `b5 #5 b9 #9 #11 b13`, rising.
    pub altered: Vec<Degree>,
    /// Added tones among 9, 11 and 13, rising.
    pub added: Vec<u8>,
    /// Whether the symbol is `7alt`: any of the alterations, at least one.
    pub any_alteration: bool,
}

pub(super) const FLAT_FIVE: Degree = Degree::new(5, -1);
pub(super) const SHARP_FIVE: Degree = Degree::new(5, 1);

/// The alterations that symbols name, as language section 5 lists them.
pub(super) const ALTERATIONS: [Degree; 6] = [
    FLAT_FIVE,
    SHARP_FIVE,
    Degree::new(9, -1),
    Degree::new(9, 1),
    Degree::new(11, 1),
    Degree::new(13, -1),
];

impl Recipe {
    /// Takes in an alteration; one that is there already changes nothing.
    pub fn alter(&mut self, degree: Degree) {
        if !self.altered.contains(&degree) {
            self.altered.push(degree);
            self.altered.sort_unstable();
        }
    }

    /// Takes in an added tone.
    pub fn add(&mut self, number: u8) {
        if !self.added.contains(&number) {
            self.added.push(number);
            self.added.sort_unstable();
        }
    }

    /// Brings equal chords to one form: `7add9` is a `9`, and an added tone that the chord has already
    /// changes nothing.
    pub fn settle(&mut self) {
        let mut added = std::mem::take(&mut self.added);
        added.retain(|number| self.top < *number || self.alters(*number));
        self.added = added;
        let piles_up = self.top == 7 && self.third != Third::Second && !self.alters(9);
        if piles_up && self.seventh != Some(-2) && self.added == [9] {
            self.added.clear();
            self.top = 9;
        }
    }

    /// Whether the tone of a number is altered.
    pub fn alters(&self, number: u8) -> bool {
        self.altered.iter().any(|degree| degree.number == number)
    }

    /// The formula, in rising order, with what a fingering may leave out.
    pub fn tones(&self) -> Vec<Tone> {
        let needed = |degree| Tone { degree, omissible: false };
        let mut tones = vec![needed(Degree::ROOT)];
        tones.extend(self.third_tone());
        tones.extend(self.perfect_fifth());
        tones.extend(self.sixth.then(|| needed(Degree::new(6, 0))));
        tones.extend(self.seventh.map(|alter| needed(Degree::new(7, alter))));
        tones.extend(self.piled_up());
        tones.extend(
            self.added.iter().filter(|n| !self.suspends(**n)).map(|n| needed(Degree::new(*n, 0))),
        );
        tones.extend(self.altered.iter().map(|degree| needed(*degree)));
        if self.any_alteration {
            let choices = ALTERATIONS.iter().filter(|degree| !self.altered.contains(degree));
            tones.extend(choices.map(|degree| Tone { degree: *degree, omissible: true }));
        }
        tones.sort_by_key(|tone| tone.degree);
        tones
    }

    /// The tone in the third's place. Only a dominant eleventh may leave its third out.
    fn third_tone(&self) -> Option<Tone> {
        let degree = match self.third {
            Third::Major => Degree::new(3, 0),
            Third::Minor => Degree::new(3, -1),
            Third::Second => Degree::new(2, 0),
            Third::Fourth => Degree::new(4, 0),
            Third::Missing => return None,
        };
        let dominant_eleventh =
            self.third == Third::Major && self.seventh == Some(-1) && self.top == 11;
        Some(Tone { degree, omissible: dominant_eleventh && !self.alters(11) })
    }

    /// The perfect fifth, where nothing alters it or leaves it out.
    fn perfect_fifth(&self) -> Option<Tone> {
        let gone = self.no_fifth || self.any_alteration || self.alters(5);
        let degree = Degree::new(5, 0);
        (!gone).then_some(Tone { degree, omissible: self.third != Third::Missing })
    }

    /// The unaltered tones piled up over the seventh; those below the highest may be left out in
    /// 11 and 13 chords.
    fn piled_up(&self) -> impl Iterator<Item = Tone> {
        [9, 11, 13]
            .into_iter()
            .filter(|number| {
                *number <= self.top && !self.alters(*number) && !self.suspends(*number)
            })
            .map(|number| Tone {
                degree: Degree::new(number, 0),
                omissible: number < self.top && self.top >= 11,
            })
    }

    /// Whether a suspended tone already stands for the tone of a number an octave above it.
    fn suspends(&self, number: u8) -> bool {
        matches!((self.third, number), (Third::Second, 9) | (Third::Fourth, 11))
    }

    /// Whether it is a diminished chord, with or without a seventh of that name.
    fn is_diminished(&self) -> bool {
        let fifth = self.altered.contains(&FLAT_FIVE) && !self.altered.contains(&SHARP_FIVE);
        self.third == Third::Minor && fifth && self.seventh != Some(-1) && !self.sixth
    }

    /// Whether it is an augmented triad, perhaps with added tones.
    fn is_augmented(&self) -> bool {
        let fifth = self.altered.contains(&SHARP_FIVE) && !self.altered.contains(&FLAT_FIVE);
        self.third == Third::Major && fifth && self.seventh.is_none() && !self.sixth
    }

    /// Whether it is a bare root and fifth, perhaps with added tones.
    fn is_power(&self) -> bool {
        let fifth = !self.no_fifth && !self.alters(5) && !self.any_alteration;
        self.third == Third::Missing && fifth && self.seventh.is_none() && !self.sixth
    }

    /// The alterations that the quality's name doesn't already say.
    fn alterations_to_name(&self) -> impl Iterator<Item = Degree> {
        let said = match (self.is_diminished(), self.is_augmented()) {
            (true, _) => Some(FLAT_FIVE),
            (_, true) => Some(SHARP_FIVE),
            _ => None,
        };
        self.altered.iter().copied().filter(move |degree| Some(*degree) != said)
    }

    /// Whether an added ninth makes the sixth chord a `6/9`.
    fn is_six_nine(&self) -> bool {
        self.sixth && self.added.contains(&9)
    }

    /// The suffix in the house form.
    pub fn suffix(&self) -> String {
        let mut suffix = self.quality().to_owned();
        suffix += &self.figures();
        suffix += match self.third {
            Third::Second => "sus2",
            Third::Fourth => "sus4",
            _ => "",
        };
        if self.any_alteration {
            suffix += "alt";
        }
        let alterations: String =
            self.alterations_to_name().map(|degree| degree.to_string()).collect();
        if self.seventh.is_some() || self.sixth || alterations.is_empty() {
            suffix += &alterations;
        } else {
            suffix += &format!("({alterations})");
        }
        for number in self.added.iter().filter(|number| **number != 9 || !self.sixth) {
            suffix += &format!("add{number}");
        }
        if self.third == Third::Missing && !self.is_power() {
            suffix += "no3";
        }
        if self.no_fifth {
            suffix += "no5";
        }
        suffix
    }

    fn quality(&self) -> &'static str {
        if self.is_diminished() {
            "dim"
        } else if self.is_augmented() {
            "aug"
        } else if self.is_power() {
            "5"
        } else if self.third == Third::Minor {
            "m"
        } else {
            ""
        }
    }

    /// The figures of the sixth or the seventh and what is piled up on it.
    fn figures(&self) -> String {
        let top = self.top.max(7);
        match self.seventh {
            Some(0) if self.third == Third::Minor => format!("(maj{top})"),
            Some(0) => format!("maj{top}"),
            Some(_) => top.to_string(),
            None if self.is_six_nine() => "6/9".to_owned(),
            None if self.sixth => "6".to_owned(),
            None => String::new(),
        }
    }

    /// The kind of chord in words, as one says it after the root.
    pub fn spoken(&self) -> String {
        let mut words = vec![self.spoken_stem()];
        match self.third {
            Third::Second => words.push("suspended second".to_owned()),
            Third::Fourth => words.push("suspended fourth".to_owned()),
            _ => {}
        }
        let half_diminished = self.is_half_diminished();
        let alterations = self.alterations_to_name();
        words
            .extend(alterations.filter(|d| !half_diminished || *d != FLAT_FIVE).map(spoken_degree));
        for number in self.added.iter().filter(|number| **number != 9 || !self.sixth) {
            words.push(format!("added {}", spoken_number(*number)));
        }
        if self.third == Third::Missing && !self.is_power() {
            words.push("without the third".to_owned());
        }
        if self.no_fifth {
            words.push("without the fifth".to_owned());
        }
        words.retain(|word| !word.is_empty());
        words.join(" ")
    }

    fn is_half_diminished(&self) -> bool {
        let fifth = self.altered.contains(&FLAT_FIVE) && !self.altered.contains(&SHARP_FIVE);
        self.third == Third::Minor && self.seventh == Some(-1) && fifth
    }

    /// Quality and figures in words; a plain triad that is suspended needs none.
    fn spoken_stem(&self) -> String {
        let top = spoken_number(self.top.max(7));
        let minor = self.third == Third::Minor;
        match self.seventh {
            _ if self.any_alteration => "altered seventh".to_owned(),
            Some(-2) => "diminished seventh".to_owned(),
            Some(0) if self.is_diminished() => format!("diminished with major {top}"),
            Some(0) if minor => format!("minor with major {top}"),
            Some(0) => format!("major {top}"),
            Some(_) if self.is_half_diminished() => format!("half-diminished {top}"),
            Some(_) if minor => format!("minor {top}"),
            Some(_) => format!("dominant {top}"),
            None => self.spoken_triad().to_owned(),
        }
    }

    fn spoken_triad(&self) -> &'static str {
        let minor = self.third == Third::Minor;
        match self.quality() {
            _ if self.is_six_nine() => {
                if minor {
                    "minor six nine"
                } else {
                    "six nine"
                }
            }
            _ if self.sixth => {
                if minor {
                    "minor sixth"
                } else {
                    "sixth"
                }
            }
            "dim" => "diminished",
            "aug" => "augmented",
            "5" => "five",
            "m" => "minor",
            _ if self.third == Third::Major => "major",
            _ => "",
        }
    }
}

fn spoken_number(number: u8) -> &'static str {
    match number {
        7 => "seventh",
        9 => "ninth",
        11 => "eleventh",
        _ => "thirteenth",
    }
}

fn spoken_degree(degree: Degree) -> String {
    let sign = if degree.alter < 0 { "flat" } else { "sharp" };
    let number = match degree.number {
        5 => "five",
        9 => "nine",
        11 => "eleven",
        _ => "thirteen",
    };
    format!("{sign} {number}")
}
