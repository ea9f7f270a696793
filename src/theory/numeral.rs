//! Roman numerals: a chord named by the degree of the key that it stands on.

mod figures;

use super::chord::Tone;
use super::function;
pub use super::function::{
    Around, AugmentedSixth, Explanation, Function, Own, around, explanation, function_of, in_key,
};
use super::key::Mode;
use super::note_names::{typed_accidental, with_printed_signs};
use super::{Chord, Degree, Key, Letter, Note, Printed};
pub use figures::{Figures, Named};
use std::fmt;

/// A Roman numeral: `vi7`, `bVII`, `V7/ii`, `vii°7/V`, `V/G#`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Numeral {
    /// The degree that it stands on, of the key or of the degree behind the stroke.
    pub step: Step,
    /// The degree that it leads to as if that were the tonic: `ii` in `V7/ii`.
    pub target: Option<Step>,
    /// The bass that it names: `G#` in `V/G#`.
    pub bass: Option<Note>,
    /// The tones above its root.
    pub tones: Vec<Tone>,
    /// The suffix of the chord that it stands for, in the house form: `m7b5`.
    pub suffix: String,
    /// The figures that tell which tone is lowest: `65` in `V65`.
    pub figures: Option<Figures>,
    /// The name that stands for its degree: `N`, `Ger+6`.
    pub named: Option<Named>,
}

/// A degree as a numeral writes it: `bVII`, `ii`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Step {
    /// The signs before it: sharps, or, where negative, flats.
    pub sign: i8,
    /// 1 to 7.
    pub number: u8,
    /// Capitals or small letters.
    pub case: Case,
}

/// What the case of a numeral tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Case {
    /// Capitals: a major third.
    Major,
    /// Small letters: a minor third.
    Minor,
}

const ROMAN: [&str; 7] = ["I", "II", "III", "IV", "V", "VI", "VII"];

impl Step {
    /// A step of a key's own degrees.
    pub const fn plain(number: u8, case: Case) -> Step {
        Step { sign: 0, number, case }
    }

    /// Reads a step from the front of a text, with the number of bytes read.
    fn read(text: &str) -> Option<(Step, usize)> {
        let (sign, start) = super::note_names::read_accidental(text);
        let letters = text.get(start..)?.bytes();
        let length = letters.take_while(|byte| b"IVXivx".contains(byte)).count();
        let roman = text.get(start..start + length)?;
        let number = ROMAN.iter().position(|name| name.eq_ignore_ascii_case(roman))? as u8 + 1;
        let case = match roman {
            _ if roman.bytes().all(|byte| byte.is_ascii_uppercase()) => Case::Major,
            _ if roman.bytes().all(|byte| byte.is_ascii_lowercase()) => Case::Minor,
            _ => return None,
        };
        Some((Step { sign, number, case }, start + length))
    }

    /// Reads a text that is one step and nothing else.
    fn parse(text: &str) -> Option<Step> {
        Step::read(text).filter(|(_, length)| *length == text.len()).map(|(step, _)| step)
    }

    /// The degree above the tonic that the step stands on in a mode. A plain step, and one with
    /// the sign by which the mode's degree differs from major's, is the mode's own; a sign the
    /// other way raises or lowers that.
    fn degree(self, mode: Mode) -> Degree {
        let own = own_alteration(mode, self.number);
        let alter = match self.sign {
            0 => own,
            sign if sign.signum() == own.signum() => sign,
            sign => own + sign,
        };
        Degree::new(self.number, alter)
    }

    /// The sign that a degree is written with in a mode: [`Step::degree`] the other way round.
    pub(super) fn sign_of(degree: Degree, mode: Mode) -> i8 {
        let own = own_alteration(mode, degree.number);
        match degree.alter {
            alter if alter == own => 0,
            alter if alter.signum() == own.signum() && alter.abs() > own.abs() => alter,
            alter => alter - own,
        }
    }

    /// The step with its signs as they are printed: `♭VII`.
    pub fn printed(self) -> String {
        with_printed_signs(&self.to_string())
    }

    /// The key that the step would be the tonic of, within another key.
    pub(super) fn key_within(self, key: &Key) -> Key {
        let mode = match self.case {
            Case::Major => Mode::Major,
            Case::Minor => Mode::Minor,
        };
        Key::new(self.degree(key.mode()).above(key.tonic), mode)
    }
}

/// How far a mode's degree (1 to 7) lies from the major scale's.
fn own_alteration(mode: Mode, number: u8) -> i8 {
    let index = usize::from(number).saturating_sub(1);
    mode.alterations().get(index).copied().unwrap_or(0)
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&typed_accidental(self.sign))?;
        let roman = ROMAN.get(usize::from(self.number).saturating_sub(1)).copied().unwrap_or("");
        match self.case {
            Case::Major => f.write_str(roman),
            Case::Minor => f.write_str(&roman.to_ascii_lowercase()),
        }
    }
}

impl Numeral {
    /// Reads a whole text as a numeral.
    pub fn parse(text: &str) -> Option<Numeral> {
        let (rest, bass) = split_behind_stroke(text, Note::parse);
        let (rest, target) = split_behind_stroke(rest, Step::parse);
        let head = |rest| Some(Numeral { target, bass, ..Numeral::head(rest)? });
        head(rest).or_else(|| {
            let (named, figures) = Named::read(rest)?;
            let numeral = head(named.stands_for())?;
            Some(Numeral { figures, named: Some(named), ..numeral })
        })
    }

    /// Reads what stands before a stroke: as it is, or without its figures.
    fn head(text: &str) -> Option<Numeral> {
        let (step, length) = Step::read(text)?;
        let written = text.get(length..)?;
        let of_suffix = |written: &str, figures| {
            let suffix = chord_suffix(written, step.case);
            let chord = Chord::of(Note::new(Letter::C, 0), &suffix, None).ok()?;
            let Chord { tones, suffix, .. } = chord;
            let agrees = third(&tones).is_none_or(|case| case == step.case);
            let numeral =
                Numeral { step, target: None, bass: None, tones, suffix, figures, named: None };
            agrees.then_some(numeral)
        };
        if let Some(sixth) = written.strip_suffix("add6") {
            return of_suffix(&format!("{sixth}6"), None);
        }
        let six = (written == "6").then_some(Figures::Six);
        of_suffix(written, six).or_else(|| {
            let (quality, figures) = Figures::read(written)?;
            of_suffix(&(quality + figures.seventh()), Some(figures))
        })
    }

    /// The numeral of a chord in a key, as a teacher writes it: secondary dominants and
    /// leading-tone chords by where they lead.
    ///
    /// ```
    /// use fretleaf::theory::{Chord, Key, Numeral};
    ///
    /// let key = Key::parse("A major").unwrap();
    /// let chord = Chord::parse("F#m7").unwrap();
    /// assert_eq!(Numeral::of(&chord, &key).to_string(), "vi7");
    /// ```
    pub fn of(chord: &Chord, key: &Key) -> Numeral {
        Numeral::within(chord, Around::default(), key)
    }

    /// The numeral of a chord in a key, by what stands around it.
    pub fn within(chord: &Chord, around: Around<'_>, key: &Key) -> Numeral {
        let function = function_of(chord, around, key);
        if let Some(Function::AugmentedSixth(kind)) = function
            && let Some(numeral) = Numeral::parse(Named::from(kind).name())
        {
            let bass = chord.bass.filter(|bass| *bass != numeral.root_in(key));
            return Numeral { bass, ..numeral };
        }
        let target = function.and_then(Function::target);
        let local = target.map_or(*key, |target| target.key_within(key));
        let degree = Degree::between(local.tonic, chord.root);
        let number = degree.number;
        // The dominant's fourth stands for its major third.
        let case = third(&chord.tones).unwrap_or_else(|| match function {
            Some(Function::Own(Own::Dominant)) if chord.has(4, 0) => Case::Major,
            _ => function::own_case(&local, number),
        });
        let sign = match raised_seventh(&chord.tones, local.mode(), number) {
            Some(raised) if raised == degree => 0,
            // The natural seventh needs its sign there, or it would be read as the raised one.
            Some(_) if degree.alter == own_alteration(local.mode(), number) => degree.alter,
            _ => Step::sign_of(degree, local.mode()),
        };
        Numeral {
            step: Step { sign, number, case },
            target,
            bass: chord.bass,
            tones: chord.tones.clone(),
            suffix: chord.suffix.clone(),
            figures: None,
            named: None,
        }
    }

    /// Which augmented sixth chord it names, if it does: `Ger+6`.
    pub fn augmented_sixth(&self) -> Option<AugmentedSixth> {
        match self.named? {
            Named::Italian => Some(AugmentedSixth::Italian),
            Named::French => Some(AugmentedSixth::French),
            Named::German => Some(AugmentedSixth::German),
            Named::Neapolitan | Named::Substitute => None,
        }
    }

    /// The numeral with the figures of a chord's inversion in the place of its bass and its seventh, where there are any.
    #[must_use]
    pub fn figured(self, chord: &Chord) -> Numeral {
        match Figures::of(chord).filter(|_| self.named.is_none()) {
            Some(figures) => Numeral { figures: Some(figures), bass: None, ..self },
            None => self.beside_figures(),
        }
    }

    /// The numeral as it stands beside figures, where a `6` is one: an added sixth is `add6`.
    #[must_use]
    pub fn beside_figures(self) -> Numeral {
        match (self.figures, self.suffix.as_str()) {
            (None, "6" | "m6") => Numeral { suffix: "add6".into(), ..self },
            _ => self,
        }
    }

    /// The numeral with a `6` that may be an added sixth read as the figure of an inversion.
    #[must_use]
    pub fn as_inversion(self) -> Numeral {
        if self.is_sixth_chord() {
            return Numeral { figures: self.figures, ..self.without_figures() };
        }
        self
    }

    /// The chord that it stands for in a key.
    pub fn chord_in(&self, key: &Key) -> Chord {
        let root = self.root_in(key);
        let figures = self.figures.filter(|_| !self.is_sixth_chord());
        let lowest = figures.and_then(|figures| self.tone(figures.lowest()));
        let lowest = lowest.map(|degree| degree.above(root));
        let bass = self.bass.or(lowest).filter(|bass| *bass != root);
        Chord { root, tones: self.tones.clone(), bass, suffix: self.suffix.clone() }
    }

    /// Whether it names a chord rightly in a key: root, case and whatever it writes must agree;
    /// sevenths, added and suspended tones and a bass that it leaves unwritten it doesn't deny. A
    /// suspended chord and a power chord take either case.
    pub fn agrees_with(&self, chord: &Chord, key: &Key) -> bool {
        if self.named.is_some_and(Named::is_augmented_sixth) && self.sounds_as(chord, key) {
            return true;
        }
        match self.figures {
            None => self.agrees_plainly_with(chord, key),
            Some(figures) => {
                let as_sixth = self.is_sixth_chord() && self.agrees_plainly_with(chord, key);
                as_sixth
                    || self.without_figures().agrees_plainly_with(chord, key)
                        && figures.are_true_of(chord)
            }
        }
    }

    /// Whether a chord, on whatever root it is written, sounds its tones over its bass.
    fn sounds_as(&self, chord: &Chord, key: &Key) -> bool {
        let own = self.chord_in(key);
        own.classes() == chord.classes() && own.lowest() == chord.lowest()
    }

    /// The numeral without its figures, and without the seventh or sixth that they write.
    fn without_figures(&self) -> Numeral {
        let mut plain = Numeral { figures: None, ..self.clone() };
        plain.tones.retain(|tone| !matches!(tone.degree.number, 6 | 7));
        plain.suffix.clear();
        plain
    }

    /// Whether its figure is a `6` that may be read as an added sixth.
    fn is_sixth_chord(&self) -> bool {
        self.figures == Some(Figures::Six) && self.tone(6).is_some()
    }

    fn tone(&self, number: u8) -> Option<Degree> {
        self.tones.iter().map(|tone| tone.degree).find(|degree| degree.number == number)
    }

    fn agrees_plainly_with(&self, chord: &Chord, key: &Key) -> bool {
        let has_written_bass =
            self.bass.is_none_or(|bass| bass == chord.bass.unwrap_or(chord.root));
        let denies_third = third(&self.tones).is_none() && third(&chord.tones).is_some();
        self.root_in(key) == chord.root
            && has_written_bass
            && !denies_third
            && (!self.suffix.is_empty() && self.suffix == chord.suffix
                || self.tones.iter().all(|tone| has_tone(chord, tone.degree)))
    }

    /// The numeral as it is set on paper: `♭VII` with its extensions raised.
    pub fn printed(&self) -> Printed {
        let suffix = with_printed_signs(&self.written_suffix());
        let behind = with_printed_signs(&self.behind_stroke());
        let step = match self.named {
            Some(named) => named.name().into(),
            None => self.step.printed(),
        };
        // The ring of a diminished chord stands high by itself.
        let (ring, figures) =
            suffix.split_at(if suffix.starts_with('°') { '°'.len_utf8() } else { 0 });
        Printed::plain(step + ring).then(figures, true).then(behind, false)
    }

    fn root_in(&self, key: &Key) -> Note {
        let local = self.target.map_or(*key, |target| target.key_within(key));
        let raised = raised_seventh(&self.tones, local.mode(), self.step.number);
        let degree = raised.filter(|_| self.step.sign == 0);
        degree.unwrap_or(self.step.degree(local.mode())).above(local.tonic)
    }

    /// What stands behind the degree: the suffix, or figures in the place of its seventh.
    fn written_suffix(&self) -> String {
        let figures = self.figures.map(Figures::written).unwrap_or_default();
        match (self.named, self.figures) {
            (Some(_), _) => figures.into(),
            (None, Some(_)) if !self.is_sixth_chord() => {
                let suffix = numeral_suffix(&self.suffix);
                suffix.strip_suffix('7').unwrap_or(&suffix).to_owned() + figures
            }
            _ => numeral_suffix(&self.suffix),
        }
    }

    fn behind_stroke(&self) -> String {
        let target = self.target.map(|target| format!("/{target}")).unwrap_or_default();
        let bass = self.bass.map(|bass| format!("/{bass}")).unwrap_or_default();
        target + &bass
    }
}

impl fmt::Display for Numeral {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.named {
            Some(named) => f.write_str(named.name())?,
            None => write!(f, "{}", self.step)?,
        }
        write!(f, "{}{}", self.written_suffix(), self.behind_stroke())
    }
}

/// Parts a text at its last stroke if what stands behind can be read.
fn split_behind_stroke<T>(text: &str, read: fn(&str) -> Option<T>) -> (&str, Option<T>) {
    let parted = text.rsplit_once('/').and_then(|(front, back)| Some((front, read(back)?)));
    parted.map_or((text, None), |(front, value)| (front, Some(value)))
}

/// The chord suffix that a numeral's suffix stands for: small letters say `m` by themselves.
fn chord_suffix(written: &str, case: Case) -> String {
    const TELL_THEIR_THIRD: [&str; 7] = ["°", "o", "dim", "ø", "mi", "-", "5"];
    let tells = TELL_THEIR_THIRD.iter().any(|start| written.starts_with(start))
        || written.contains("sus")
        || (written.starts_with('m') && !written.starts_with("maj"));
    if case == Case::Major || tells {
        return written.into();
    }
    let major = ["maj", "M", "Δ"].iter().find_map(|start| written.strip_prefix(start));
    match major {
        Some("") => "mMaj7".into(),
        Some(rest) => format!("mMaj{rest}"),
        None => format!("m{written}"),
    }
}

/// What a numeral writes for a chord suffix of the house form.
fn numeral_suffix(suffix: &str) -> String {
    const FORMS: [(&str, &str); 6] = [
        ("m7b5", "ø7"),
        ("dim", "°"),
        ("aug", "+"),
        ("mMaj", "maj"),
        ("m(maj7)", "maj7"),
        ("maj", "maj"),
    ];
    let form = FORMS.iter().find_map(|(chord, numeral)| {
        suffix.strip_prefix(chord).map(|rest| format!("{numeral}{rest}"))
    });
    form.unwrap_or_else(|| suffix.strip_prefix('m').unwrap_or(suffix).into())
}

/// The case that a chord's third asks for; `None` where it has no third.
fn third(tones: &[Tone]) -> Option<Case> {
    let has = |alter| tones.iter().any(|tone| tone.degree == Degree::new(3, alter));
    match (has(0), has(-1)) {
        (true, _) => Some(Case::Major),
        (false, true) => Some(Case::Minor),
        (false, false) => None,
    }
}

/// The raised seventh, where a plain numeral of these tones stands on it: `vii°`, `vii°7` and
/// `viiø7` in a minor key.
fn raised_seventh(tones: &[Tone], mode: Mode, number: u8) -> Option<Degree> {
    let has = |degree| tones.iter().any(|tone| tone.degree == degree);
    let is_diminished = has(Degree::new(3, -1)) && has(Degree::new(5, -1));
    (mode == Mode::Minor && number == 7 && is_diminished).then_some(Degree::new(7, 0))
}

/// Whether a chord has a tone that a numeral writes, or leaves it out without denying it.
fn has_tone(chord: &Chord, wanted: Degree) -> bool {
    let has_any = |number| chord.tones.iter().any(|tone| tone.degree.number == number);
    // A dominant's fifth may be altered: `V7` doesn't deny E7#5.
    match wanted {
        _ if chord.has(wanted.number, wanted.alter) => true,
        Degree { number: 5, alter: 0 } => chord.is_dominant_seventh() || !has_any(5),
        Degree { number: number @ (1 | 3), .. } => !has_any(number),
        _ => false,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
