//! A chord's name claimed for a fingering: whether the strings sound it, and the smallest change of
//! frets that makes them (language section 5).

use super::{Fret, Hand, Instrument, Neck, Posture, StringIndex, by_string, hold};
use crate::theory::chord::{Demand, Verdict};
use crate::theory::{Chord, Key, Midi, Note, naming};

/// A chord's name claimed for a fingering.
#[derive(Debug, Clone, Copy)]
pub struct Claim<'a> {
    /// The chord that is named.
    pub chord: &'a Chord,
    /// The frets, the lowest-placed string first; `None` is silent.
    pub frets: &'a [Option<Fret>],
    /// The instrument.
    pub instrument: &'a Instrument,
    /// The hand that holds it.
    pub hand: Hand,
}

/// Whether a claim is true.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Truth {
    /// The strings sound the chord.
    Sounds,
    /// They sound the chord, but its root or its bass is not where it belongs.
    Bass(BassDoubt),
    /// They sound another chord.
    Misnamed(Verdict),
}

/// What is doubtful about a fingering's bass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BassDoubt {
    /// The root doesn't sound.
    NoRoot,
    /// Another note than the bass, or the root, is the lowest.
    Lowest {
        /// The index of the string that sounds lowest.
        string: StringIndex,
        /// What it sounds.
        sounds: Midi,
        /// The note that belongs there.
        wanted: Note,
    },
}

/// How many changes are tried on the hand before the best so far are taken: the smallest come first, so
/// later ones would seldom be told (assumed).
const TRIALS: usize = 150;

impl Claim<'_> {
    /// Judges the claim.
    pub fn truth(&self) -> Truth {
        let classes: Vec<u8> = sounding(self.frets, self.instrument).iter().map(class).collect();
        let verdict = self.chord.judge(&classes);
        if !verdict.fits() && !verdict.lacks_only_root() {
            return Truth::Misnamed(verdict);
        }
        self.bass_doubt(self.frets).map_or(Truth::Sounds, Truth::Bass)
    }

    /// The strings that sound what is no tone of the chord, by their index.
    pub fn foreign_strings(&self) -> Vec<(StringIndex, Midi)> {
        let allowed = self.chord.demand().allowed;
        let foreign = |(_, midi): &(StringIndex, Midi)| allowed & bit(*midi) == 0;
        sounding(self.frets, self.instrument).into_iter().filter(foreign).collect()
    }

    /// The chord's names that the strings do sound, the best first.
    pub fn true_names(&self, key: Option<&Key>) -> Vec<Chord> {
        names(self.frets, self.instrument, key)
    }

    /// What is doubtful about the bass of frets that sound the chord (language section 5). Where the symbol names no
    /// bass, a lowest note that is not the root is doubted only if the fifth string or a lower one
    /// sounds: triads on the upper strings keep their plain name in every inversion, and so do all
    /// chords where no string is the bass.
    fn bass_doubt(&self, frets: &[Option<Fret>]) -> Option<BassDoubt> {
        let sounding = sounding(frets, self.instrument);
        let (string, lowest) = sounding.iter().min_by_key(|(_, midi)| *midi)?;
        let wanted = self.chord.lowest();
        let root = self.chord.root.class();
        if !sounding.iter().any(|note| class(note) == root) {
            return Some(BassDoubt::NoRoot);
        }
        let deep = |(string, _): &(StringIndex, Midi)| self.instrument.tuning.number(*string) >= 5;
        let has_bass = !self.instrument.tuning.is_reentrant();
        let judged = self.chord.bass.is_some() || has_bass && sounding.iter().any(deep);
        let wrong = bit(*lowest) != 1 << wanted.class();
        (judged && wrong).then_some(BassDoubt::Lowest { string: *string, sounds: *lowest, wanted })
    }

    /// The changes of frets that make the claim true on the fewest strings, at most `most` of them:
    /// only those that the hand can hold, if there are any; those first with the bass where it belongs,
    /// then the smallest moves. A string that begins or ceases to sound counts as moved by two
    /// frets.
    ///
    /// A claim whose bass alone is doubtful is only made true by the right bass.
    pub fn repairs(&self, most: usize) -> Vec<Vec<Option<Fret>>> {
        let search = Search::new(self);
        let strict = !matches!(self.truth(), Truth::Misnamed(_));
        let neck = Neck::of(self.instrument);
        for changes in 1..=self.frets.len() {
            let mut found = Vec::new();
            let mut good = 0;
            for frets in search.solutions(changes, TRIALS) {
                let doubt = self.bass_doubt(&frets).is_some();
                if doubt && strict {
                    continue;
                }
                let held = hold::easiest(&frets, &neck, self.hand, Posture::default());
                // A few more than are wanted, so that the easier ones are among them.
                good += usize::from(held.is_some() && !doubt);
                let strain = held.as_ref().map_or(0.0, |held| held.strain);
                let rank = (held.is_none(), doubt, self.moves(&frets), self.silenced(&frets));
                found.push((rank, strain, frets));
                if good > 4 * most {
                    break;
                }
            }
            let can_be_held = found.iter().any(|(rank, ..)| !rank.0);
            found.retain(|(rank, ..)| !can_be_held || !rank.0);
            if !found.is_empty() {
                found.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
                return found.into_iter().take(most).map(|(_, _, frets)| frets).collect();
            }
        }
        Vec::new()
    }

    /// Frets near the written ones that keep the claim true and that the hand holds without a wide
    /// stretch, at most `most` of them: those first that change the fewest strings, at most two,
    /// then the smallest moves.
    pub fn easier(&self, most: usize) -> Vec<Vec<Option<Fret>>> {
        if self.truth() != Truth::Sounds {
            return Vec::new();
        }
        let search = Search::new(self);
        let neck = Neck::of(self.instrument);
        let comfortable = |frets: &Vec<Option<Fret>>| {
            let held = hold::easiest(frets, &neck, self.hand, Posture::default());
            held.is_some_and(|held| held.stretch <= 1.0) && self.bass_doubt(frets).is_none()
        };
        let changed = (1..=2).flat_map(|changes| search.solutions(changes, TRIALS));
        changed.filter(comfortable).take(most).collect()
    }

    fn moves(&self, frets: &[Option<Fret>]) -> u32 {
        self.frets.iter().zip(frets).map(|(old, new)| moved(*old, *new)).sum()
    }

    fn silenced(&self, frets: &[Option<Fret>]) -> usize {
        frets.iter().filter(|fret| fret.is_none()).count()
    }
}

/// The names of what frets sound on an instrument, the best first. Where no string is the bass, the
/// lowest note names none: a ukulele's `2010` is F, not F over C.
///
/// ```
/// use fretleaf::neck::{Fret, Instrument};
/// use fretleaf::neck::claim::names;
///
/// let frets = [None, Some(0), Some(2), Some(4), Some(2), Some(0)];
/// let frets = frets.map(|fret| fret.map(Fret::new));
/// let names = names(&frets, &Instrument::guitar(), None);
/// assert_eq!(names[0].to_string(), "Aadd9");
/// ```
pub fn names(frets: &[Option<Fret>], instrument: &Instrument, key: Option<&Key>) -> Vec<Chord> {
    let mut pitches: Vec<Midi> =
        sounding(frets, instrument).iter().map(|(_, midi)| *midi).collect();
    pitches.sort_unstable();
    let called = instrument.tuning.names_of_notes();
    let names = naming::names(&pitches, key).into_iter().map(|chord| chord.called(called));
    let names: Vec<Chord> = names.collect();
    if !instrument.tuning.is_reentrant() {
        return names;
    }
    let (own, foreign): (Vec<Chord>, Vec<Chord>) =
        names.into_iter().partition(|chord| chord.notes().contains(&chord.lowest()));
    let plain = own.into_iter().map(|chord| Chord { bass: None, ..chord });
    plain.chain(foreign).collect()
}

/// The strings that sound, by their index, with what they sound as the lesson writes it (MIDI).
pub fn sounding(frets: &[Option<Fret>], instrument: &Instrument) -> Vec<(StringIndex, Midi)> {
    let pitch = |(string, fret): (StringIndex, &Option<Fret>)| {
        Some((string, instrument.written_pitch(string, (*fret)?)?))
    };
    by_string(frets).filter_map(pitch).collect()
}

fn class((_, midi): &(StringIndex, Midi)) -> u8 {
    midi.class()
}

fn bit(midi: Midi) -> u16 {
    1 << midi.class()
}

/// How far a string's change moves, in frets; to begin or cease to sound counts as two, as it does from
/// chord to chord (design section 2).
fn moved(old: Option<Fret>, new: Option<Fret>) -> u32 {
    match (old, new) {
        (Some(old), Some(new)) => u32::from(old.abs_diff(new)),
        (None, None) => 0,
        _ => 2,
    }
}

/// What one string may do in a changed shape.
#[derive(Debug, Clone, Copy)]
struct Choice {
    fret: Option<Fret>,
    /// The class that it sounds, as a bit; 0 where it is silent.
    sounds: u16,
    moves: u32,
    /// 1 where it differs from what is written.
    changes: usize,
}

/// The search for changes: strings one after the other, each keeping its fret or taking one of its
/// choices. What is still needed of the strings from any one on is worked out beforehand, so that
/// only ways that lead to the chord are walked.
struct Search {
    demand: Demand,
    choices: Vec<Vec<Choice>>,
    /// The needed classes, whose order numbers the bits of a compact mask.
    needed: Vec<u16>,
    /// For each string, compact mask of what sounds so far, and number of changes that are left to
    /// make: the fewest moves that complete the chord.
    fewest: Vec<Option<u32>>,
}

impl Search {
    fn new(claim: &Claim) -> Search {
        let demand = claim.chord.demand();
        let needed = (0..12).map(|class| 1 << class).filter(|class| demand.needed & class != 0);
        let mut search = Search {
            demand,
            choices: choices(claim, demand.allowed),
            needed: needed.collect(),
            fewest: Vec::new(),
        };
        search.measure();
        search
    }

    fn masks(&self) -> usize {
        1 << self.needed.len()
    }

    /// The place of a number of strings gone through, mask and number of changes in `fewest`.
    fn place(&self, gone: usize, mask: usize, changes: usize) -> usize {
        (gone * self.masks() + mask) * (self.choices.len() + 1) + changes
    }

    fn fewest(&self, gone: usize, mask: usize, changes: usize) -> Option<u32> {
        self.fewest.get(self.place(gone, mask, changes)).copied().flatten()
    }

    /// The compact mask with what a choice sounds added.
    fn with(&self, mask: usize, choice: &Choice) -> usize {
        let at = self.needed.iter().position(|class| *class == choice.sounds);
        mask | at.map_or(0, |at| 1 << at)
    }

    /// Works `fewest` out from the last string to the first.
    fn measure(&mut self) {
        let strings = self.choices.len();
        self.fewest = vec![None; self.place(strings + 1, 0, 0)];
        let done = self.place(strings, self.masks() - 1, 0);
        if let Some(done) = self.fewest.get_mut(done) {
            *done = Some(0);
        }
        for gone in (0..strings).rev() {
            for mask in 0..self.masks() {
                for changes in 0..=strings {
                    let best = self.best_from(gone, mask, changes);
                    let place = self.place(gone, mask, changes);
                    if let Some(entry) = self.fewest.get_mut(place) {
                        *entry = best;
                    }
                }
            }
        }
    }

    fn best_from(&self, gone: usize, mask: usize, changes: usize) -> Option<u32> {
        let choices = self.choices.get(gone)?;
        let moves = |choice: &Choice| {
            let left = changes.checked_sub(choice.changes)?;
            Some(self.fewest(gone + 1, self.with(mask, choice), left)? + choice.moves)
        };
        choices.iter().filter_map(moves).min()
    }

    /// Frets that sound the chord and differ from the written ones on exactly so many strings, by
    /// rising moves, at most `most` of them.
    fn solutions(&self, changes: usize, most: usize) -> Vec<Vec<Option<Fret>>> {
        let mut found = Vec::new();
        let Some(least) = self.fewest(0, 0, changes) else { return found };
        let reach = self.choices.iter().flatten().map(|choice| choice.moves).max().unwrap_or(0);
        let farthest = reach * changes as u32;
        for moves in least..=farthest {
            let mut walk = Walk { search: self, most, found: &mut found, frets: Vec::new() };
            walk.on(0, 0, 0, changes, moves);
            if found.len() >= most {
                break;
            }
        }
        found
    }
}

/// A walk over the strings that gathers solutions of exactly so many changes and moves.
struct Walk<'a> {
    search: &'a Search,
    most: usize,
    found: &'a mut Vec<Vec<Option<Fret>>>,
    frets: Vec<Option<Fret>>,
}

impl Walk<'_> {
    fn on(&mut self, mask: usize, classes: u16, gone: usize, changes: usize, moves: u32) {
        let search = self.search;
        let Some(choices) = search.choices.get(gone) else {
            if moves == 0 && search.demand.is_met_by(classes) {
                self.found.push(self.frets.clone());
            }
            return;
        };
        for choice in choices {
            let Some(left) = changes.checked_sub(choice.changes) else { continue };
            let Some(moves) = moves.checked_sub(choice.moves) else { continue };
            let mask = search.with(mask, choice);
            let fewest = search.fewest(gone + 1, mask, left);
            if fewest.is_none_or(|fewest| fewest > moves) || self.found.len() >= self.most {
                continue;
            }
            self.frets.push(choice.fret);
            self.on(mask, classes | choice.sounds, gone + 1, left, moves);
            self.frets.pop();
        }
    }
}

/// What each string may do: keep its fret if that is a tone of the chord, go to a tone near it, or
/// fall silent.
fn choices(claim: &Claim, allowed: u16) -> Vec<Vec<Choice>> {
    let mut pressed: Vec<Fret> =
        claim.frets.iter().flatten().copied().filter(|f| f.is_pressed()).collect();
    pressed.sort_unstable();
    let middle = pressed.get(pressed.len() / 2).copied().unwrap_or(Fret::OPEN);
    let of_string = |(string, written): (StringIndex, &Option<Fret>)| {
        let near = near_frets(claim, string, written.unwrap_or(middle), allowed);
        let others = near.into_iter().map(Some).chain([None]).filter(|fret| fret != written);
        let frets = [*written].into_iter().chain(others);
        let choice = |fret: Option<Fret>| {
            let pitch = fret.and_then(|fret| claim.instrument.written_pitch(string, fret));
            Choice {
                fret,
                sounds: pitch.map_or(0, bit),
                moves: moved(*written, fret),
                changes: usize::from(fret != *written),
            }
        };
        frets.map(choice).filter(|choice| choice.sounds & !allowed == 0).collect()
    };
    by_string(claim.frets).map(of_string).collect()
}

/// The frets that sound a tone of the chord within an octave of a fret on either side, the nearest
/// first, and the open string.
fn near_frets(claim: &Claim, string: StringIndex, fret: Fret, allowed: u16) -> Vec<Fret> {
    let is_tone = |fret: &Fret| {
        let pitch = claim.instrument.written_pitch(string, *fret);
        pitch.is_some_and(|pitch| allowed & bit(pitch) != 0)
    };
    let last = claim.instrument.last_fret();
    let above = fret.up(1).to(last).take(12);
    let below = Fret::OPEN.to(fret.min(last)).rev().take(12);
    let mut frets: Vec<Fret> = below.chain(above).chain([Fret::OPEN]).filter(is_tone).collect();
    frets.sort_by_key(|candidate| (candidate.abs_diff(fret), *candidate));
    frets.dedup();
    frets
}
