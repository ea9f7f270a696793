//! What a chord does in a key.

mod around;
mod place;
mod resolution;

pub use around::{Around, around};
pub use place::Own;

use super::key::Mode;
use super::numeral::{Case, Step};
use super::{Chord, Degree, Key, Note};

/// What a chord does in a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    /// One of the key's own chords, and what it does there.
    Own(Own),
    /// The dominant with a tone raised or lowered out of the key.
    AlteredDominant,
    /// The major tonic with its fifth raised, on the way to its sixth.
    AugmentedTonic,
    /// A dominant seventh on the first degree of a major key.
    BluesTonic,
    /// A dominant seventh on the fourth degree of a blues in a major key.
    BluesSubdominant,
    /// The same where nothing says that it is a blues.
    SubdominantSeventh,
    /// The dominant of another chord of the key.
    DominantOf(Step),
    /// The leading-tone chord of another chord of the key.
    LeadingToneOf(Step),
    /// The ii before the dominant of another chord of the key.
    RelatedTwoOf(Step),
    /// The ii before a tritone substitute.
    RelatedTwoOfSubstitute,
    /// A chord over the root of the dominant of another chord of the key, which it suspends.
    SuspendedDominantOf(Step),
    /// The tonic above the dominant's root, which it delays.
    CadentialSixFour,
    /// The leading-tone chord of a key whose own seventh is lowered.
    RaisedLeadingTone,
    /// A half-diminished seventh on the raised fourth degree that leads elsewhere than to the dominant.
    ChromaticPredominant,
    /// A dominant seventh a half step above the tonic.
    TritoneSubstitute,
    /// A dominant seventh a half step above the dominant.
    TritoneSubstituteOfDominant,
    /// A dominant seventh a half step above the chord of another degree, which it leads to.
    TritoneSubstituteOf(Step),
    /// A major triad on the lowered second degree.
    Neapolitan,
    /// A chord on the lowered sixth degree whose augmented sixth opens to the octave of the dominant.
    AugmentedSixth(AugmentedSixth),
    /// A diminished seventh chord that keeps the root of the chord that it leads to.
    CommonToneDiminished(Step),
    /// A chord of another mode on the same tonic.
    Borrowed(Key),
    /// A diminished chord that leads nowhere of its own.
    PassingDiminished,
    /// A diminished chord between a chord and that chord again.
    NeighbourDiminished,
}

/// Which augmented sixth chord: what it has besides its root, its third and its augmented sixth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AugmentedSixth {
    /// Nothing more.
    Italian,
    /// The augmented fourth.
    French,
    /// The fifth.
    German,
}

impl Function {
    /// The degree that the chord leads to as if that were the tonic.
    pub fn target(self) -> Option<Step> {
        match self {
            Function::DominantOf(step)
            | Function::LeadingToneOf(step)
            | Function::RelatedTwoOf(step) => Some(step),
            _ => None,
        }
    }
}

/// What explains a chord in a key, and the bass that it names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Explanation {
    /// What the chord above the bass does; `None` where nothing explains it.
    pub function: Option<Function>,
    /// The bass that a slash names, where neither the chord nor the key has it.
    pub foreign_bass: Option<Note>,
}

/// What explains a chord in a key, by what stands around it where that is known.
pub fn explanation(chord: &Chord, around: Around<'_>, key: &Key) -> Explanation {
    let foreign_bass = chord.bass.filter(|bass| !has_bass(chord, *bass, key));
    Explanation { function: function_of(chord, around, key), foreign_bass }
}

/// Whether every tone of a chord, and the bass that it names, is in the key as it is spelled. A
/// minor key has its raised seventh beside the natural one, but no chord has both. A key in a blues
/// scale has the three dominant sevenths of a blues.
pub fn in_key(chord: &Chord, key: &Key) -> bool {
    let Explanation { function, foreign_bass } = explanation(chord, Around::default(), key);
    matches!(function, Some(Function::Own(_))) && foreign_bass.is_none()
}

/// Whether a bass beneath a chord is the chord's own or the key's: beneath a chord whose tones the key
/// so that it has all of them together.
fn has_bass(chord: &Chord, bass: Note, key: &Key) -> bool {
    let tones = chord.notes();
    tones.contains(&bass)
        || match are_in_key(&tones, key) {
            true => are_in_key(&[tones, vec![bass]].concat(), key),
            false => are_in_key(&[bass], key),
        }
}

/// What explains a chord in a key, by its author's name for it, or by what stands around it where that is known;
/// a bass that a slash names is left aside but where it makes another chord. `None` where nothing does.
pub fn function_of(chord: &Chord, around: Around<'_>, key: &Key) -> Option<Function> {
    if let Some(sixth) = around.sixth {
        return Some(Function::AugmentedSixth(sixth));
    }
    resolution::above_dominant(chord, around, key)
        .or_else(|| own(chord, key))
        .or_else(|| resolution::resolved(chord, around, key))
        .or_else(|| seventh_at_rest(chord, around, key))
        .or_else(|| altered_dominant(chord, key))
        .or_else(|| leading(chord, around.next, key))
        .or_else(|| resolution::told_by_itself(chord, around.next, key))
        .or_else(|| tritone_substitute(chord, key))
        .or_else(|| augmented_tonic(chord, key))
        .or_else(|| borrowed(chord, key))
        .or_else(|| going_nowhere(chord, around))
}

/// Whether the triad on a degree of a key (1 to 7) is written in capitals or small letters.
pub(super) fn own_case(key: &Key, number: u8) -> Case {
    let semitones = |number: u8| {
        let simple = Degree::new(number, 0).simple();
        let of_mode = || key.mode().degrees().into_iter().find(|own| own.number == simple.number);
        key.scale.degree(simple.number).or_else(of_mode).map_or(0, Degree::semitones)
    };
    let third = (semitones(number + 2) - semitones(number)).rem_euclid(12);
    if third == 4 { Case::Major } else { Case::Minor }
}

fn are_in_key(notes: &[Note], key: &Key) -> bool {
    let harmony = key.harmony();
    let raised = Degree::new(7, 0).above(key.tonic);
    let natural = Degree::new(7, -1).above(key.tonic);
    let is_harmonic = |note: &Note| *note == raised || (harmony.holds(*note) && *note != natural);
    notes.iter().all(|note| key.holds(*note))
        || notes.iter().all(|note| harmony.holds(*note))
        || (harmony.is_minor() && notes.iter().all(is_harmonic))
}

/// Whether a chord is one of the three dominant sevenths that a blues is made of.
fn is_in_blues(chord: &Chord, key: &Key) -> bool {
    let degree = Degree::between(key.tonic, chord.root);
    key.is_blues()
        && chord.is_dominant_seventh()
        && degree.alter == 0
        && matches!(degree.number, 1 | 4 | 5)
}

/// Whether a chord is a minor key's tonic with the sixth of melodic minor: `i6`.
fn is_minor_tonic_with_sixth(chord: &Chord, key: &Key) -> bool {
    let tonic = key.harmony().is_minor() && chord.root == key.tonic && chord.has(3, -1);
    let others = chord.tones.iter().map(|tone| tone.degree).filter(|tone| tone.number != 6);
    let others: Vec<Note> = others.map(|degree| degree.above(chord.root)).collect();
    tonic && chord.has(6, 0) && !has_any(chord, 7) && are_in_key(&others, key)
}

fn has_any(chord: &Chord, number: u8) -> bool {
    chord.tones.iter().any(|tone| tone.degree.number == number)
}

fn is_diminished(chord: &Chord) -> bool {
    chord.has(3, -1) && chord.has(5, -1)
}

fn own(chord: &Chord, key: &Key) -> Option<Function> {
    let is_own = are_in_key(&chord.notes(), key)
        || is_in_blues(chord, key)
        || is_minor_tonic_with_sixth(chord, key);
    is_own.then(|| Function::Own(place::of(chord, key)))
}

/// A dominant seventh on the first or fourth degree of a major key that leads to no other.
fn seventh_at_rest(chord: &Chord, around: Around<'_>, key: &Key) -> Option<Function> {
    let is_major = key.mode() == Mode::Major && key.harmony().is_tonal();
    if !is_major || !chord.is_dominant_seventh() {
        return None;
    }
    let place = |chord: &Chord| Degree::between(key.tonic, chord.root);
    let stays = |next: &Chord| matches!(place(next), Degree { number: 1 | 4 | 5, alter: 0 });
    let is_home = around.in_blues || around.next.is_none_or(stays);
    match place(chord) {
        Degree { number: 1, alter: 0 } => is_home.then_some(Function::BluesTonic),
        Degree { number: 4, alter: 0 } if around.in_blues => Some(Function::BluesSubdominant),
        Degree { number: 4, alter: 0 } => Some(Function::SubdominantSeventh),
        _ => None,
    }
}

fn altered_dominant(chord: &Chord, key: &Key) -> Option<Function> {
    let is_on_fifth = Degree::between(key.tonic, chord.root) == Degree::new(5, 0);
    let is_altered = chord.is_dominant_seventh() || (chord.has(3, 0) && chord.has(5, 1));
    let alters = chord
        .tones
        .iter()
        .any(|tone| !matches!(tone.degree.number, 1 | 3 | 7) && tone.degree.alter != 0);
    (is_on_fifth && is_altered && alters).then_some(Function::AlteredDominant)
}

/// The dominant or leading-tone chord of another degree of the key; the latter only where nothing else
/// follows than what it leads to.
fn leading(chord: &Chord, next: Option<&Chord>, key: &Key) -> Option<Function> {
    let is_dominant = chord.has(3, 0) && !chord.has(7, 0);
    let is_diminished = is_diminished(chord);
    targets(key).into_iter().find_map(|target| {
        let tonic = target.key_within(key).tonic;
        let degree = Degree::between(tonic, chord.root);
        // The tonic's own triad leads to the fourth degree only once it has its seventh.
        let is_plain_tonic = chord.root == key.tonic && !has_any(chord, 7);
        match degree {
            Degree { number: 5, alter: 0 } if is_dominant && !is_plain_tonic => {
                Some(Function::DominantOf(target))
            }
            Degree { number: 7, alter: 0 } if is_diminished => next
                .is_none_or(|next| resolution::leads_in(next, tonic, key))
                .then_some(Function::LeadingToneOf(target)),
            _ => None,
        }
    })
}

/// The degrees of a key that can have a dominant of their own: those with a major or minor triad,
/// but neither the tonic nor the seventh, which borrowed chords explain better. A minor key's fifth
/// is taken as the major chord that it mostly is. A scale that has no one degree of each number has no
/// such triads.
fn targets(key: &Key) -> Vec<Step> {
    let key = key.harmony();
    let degree = |number: u8| key.scale.degree((number - 1) % 7 + 1);
    let fifth_is_perfect = |root: Degree| {
        let fifth = degree(root.number + 4).map(|fifth| fifth.semitones() - root.semitones());
        fifth.is_some_and(|fifth| fifth.rem_euclid(12) == 7)
    };
    let step = |root: Degree| {
        let case = match (key.mode(), root.number) {
            (Mode::Minor, 5) => Case::Major,
            (_, number) => own_case(&key, number),
        };
        let sign = Step::sign_of(root, key.mode());
        Step { sign, ..Step::plain(root.number, case) }
    };
    (2..=6).filter_map(degree).filter(|root| fifth_is_perfect(*root)).map(step).collect()
}

fn tritone_substitute(chord: &Chord, key: &Key) -> Option<Function> {
    match Degree::between(key.tonic, chord.root) {
        _ if !chord.is_dominant_seventh() => None,
        Degree { number: 2, alter: -1 } => Some(Function::TritoneSubstitute),
        Degree { number: 6, alter: -1 } => Some(Function::TritoneSubstituteOfDominant),
        _ => None,
    }
}

/// The tonic of a major key with a raised fifth, and nothing more than its triad.
fn augmented_tonic(chord: &Chord, key: &Key) -> Option<Function> {
    let is_triad = chord.has(3, 0) && chord.has(5, 1) && chord.tones.len() == 3;
    let is_tonic = key.mode() == Mode::Major && chord.root == key.tonic;
    (is_tonic && is_triad).then_some(Function::AugmentedTonic)
}

/// A diminished chord for which nothing else is told.
fn going_nowhere(chord: &Chord, around: Around<'_>) -> Option<Function> {
    if !is_diminished(chord) || chord.has(7, -1) {
        return None;
    }
    match around.returns() {
        true => Some(Function::NeighbourDiminished),
        false => Some(Function::PassingDiminished),
    }
}

/// The mode on the same tonic that has the chord, the likeliest first.
fn borrowed(chord: &Chord, key: &Key) -> Option<Function> {
    const FROM_MINOR: [Mode; 5] =
        [Mode::Dorian, Mode::Major, Mode::Phrygian, Mode::Mixolydian, Mode::Lydian];
    const FROM_OTHERS: [Mode; 5] =
        [Mode::Major, Mode::Minor, Mode::Dorian, Mode::Phrygian, Mode::Lydian];
    let modes = if key.mode() == Mode::Minor { FROM_MINOR } else { FROM_OTHERS };
    // A dominant seventh's raised eleventh colours it.
    let colours = |degree: Degree| degree == Degree::new(11, 1) && chord.is_dominant_seventh();
    let degrees = chord.tones.iter().map(|tone| tone.degree).filter(|degree| !colours(*degree));
    let notes: Vec<Note> = degrees.map(|degree| degree.above(chord.root)).collect();
    // What another scale lacks comes first of all from the major or minor key that it leans on.
    let parallel = [key.mode()].into_iter().chain(modes).map(|mode| Key::new(key.tonic, mode));
    parallel.into_iter().find(|from| are_in_key(&notes, from)).map(Function::Borrowed)
}
