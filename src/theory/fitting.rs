//! Scales that fit a progression, and the tones of its chords that tell its story.
//!
//! A scale fits where its tones hold every tone of every chord, whatever letter it is written under, but
//! for those that an altered dominant may leave out, and where none stands beside a chord tone that it
//! contradicts. Scales of the same notes are one choice under several names; the chromatic scale fits
//! everything, tells nothing and is left out.
//!
//! Choices are ranked by what a teacher asks first: is it the key's own, is its tonic home (the tonic of the
//! key, else the root of the last chord where its dominant leads there, else that of the first chord, else
//! that of the last, else any other), then how few of the chords' tones it leaves out, then how few notes it
//! has beyond them, then how common it is (the order of [`SCALES`]).

mod asked;
mod played;

pub use played::played_over;

use super::scale::{SCALES, ScaleKind};
use super::{Chord, Degree, Key, Letter, Note, Scale};
use std::collections::HashSet;

/// A scale that holds every chord of a progression.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fit {
    /// The scale under its best name.
    pub scale: Scale,
    /// Its tones that no chord has, rising from the tonic.
    pub beyond: Vec<Note>,
    /// The tones that it leaves out of altered dominants.
    pub without: Vec<Note>,
    /// The scales of the same notes whose tonic is the root of one of the chords, the best first.
    pub also: Vec<Scale>,
}

/// A scale that holds not every chord, but most.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Nearly {
    /// The scale.
    pub scale: Scale,
    /// The chords that it doesn't hold, each with the tones that it lacks.
    pub breaks: Vec<(Chord, Vec<Note>)>,
}

/// What fits a progression.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fitting {
    /// The scale that holds every chord, the best one, and the others that do, ranked.
    Whole(Fit, Vec<Fit>),
    /// No scale does: of those with a tonic one that holds the chord of the beginning, then that breaks at
    /// the fewest chords, then for want of the fewest tones.
    Nearest(Nearly),
}

/// Finds the scales that fit some chords, the key in force known or not. `None` without chords.
pub fn scales(chords: &[Chord], key: Option<&Key>) -> Option<Fitting> {
    let ground = Ground::of(chords, key)?;
    let all = ground.candidates();
    let mut fits: Vec<(u16, Fit)> = Vec::new();
    for candidate in all.iter().filter(|candidate| ground.holds(candidate)) {
        let known = fits.iter_mut().find(|(classes, _)| *classes == candidate.classes);
        match known {
            Some((_, fit)) if ground.is_root(candidate.tonic) => {
                fit.also.extend(ground.spelled(candidate));
            }
            Some(_) => {}
            None => fits.extend(ground.fit(candidate).map(|fit| (candidate.classes, fit))),
        }
    }
    let mut fits = fits.into_iter().map(|(_, fit)| fit);
    if let Some(best) = fits.next() {
        return Some(Fitting::Whole(best, fits.collect()));
    }
    let tonal = all.iter().filter(|candidate| !candidate.is_symmetrical());
    let nearest = tonal.min_by_key(|candidate| ground.missing(candidate))?;
    ground.nearly(nearest).map(Fitting::Nearest)
}

/// The tonics that feel like home, the strongest first.
fn homes(first: &Chord, last: &Chord, tonic: Option<Note>) -> Vec<Note> {
    tonic.into_iter().chain([first.root, last.root]).collect()
}

/// The root of the last chord, where its dominant leads there and it leads on as no dominant itself.
fn arrival(chords: &[Chord]) -> Option<Note> {
    let last = chords.last()?;
    let before = chords.iter().rev().find(|chord| *chord != last)?;
    let leads_on = before.has(3, 0) || asked::is_suspended_dominant(before);
    let leads = Degree::between(last.root, before.root) == Degree::new(5, 0) && leads_on;
    (leads && !last.is_dominant_seventh()).then_some(last.root)
}

/// A scale before it is spelled.
struct Candidate {
    kind: &'static ScaleKind,
    /// The pitch class of its tonic.
    tonic: u8,
    /// Its pitch classes, a bit each.
    classes: u16,
}

impl Candidate {
    /// Whether it is the same from another of its notes too, so that nothing tells its tonic: such a scale is
    /// played over single chords.
    fn is_symmetrical(&self) -> bool {
        let moved = |by: u32| (self.classes << by | self.classes >> (12 - by)) & 0xFFF;
        (1..12).any(|by| moved(by) == self.classes)
    }
}

/// How early a scale stands: whether it is another than the key's own, where its tonic stands among the
/// homes, how many of the chords' tones it lacks, how many it has beyond them, its place in [`SCALES`].
type Rank = (bool, usize, u32, u32, usize);

/// The chords that scales are looked for, each once.
struct Ground {
    /// The chords with their pitch classes, a bit each.
    chords: Vec<(Chord, u16)>,
    /// Their notes as the chords spell them, each once.
    notes: Vec<Note>,
    /// Their pitch classes, a bit each.
    classes: u16,
    /// Those that a scale must have.
    needed: u16,
    /// Those that chords mean without sounding them.
    meant: u16,
    /// Those that a scale may not have.
    against: u16,
    /// The pitch classes of their roots.
    roots: u16,
    /// The tonics that feel like home, the strongest first.
    homes: Vec<Note>,
    /// The key in force.
    key: Option<Key>,
}

impl Ground {
    fn of(all_chords: &[Chord], key: Option<&Key>) -> Option<Ground> {
        let (first, last) = (all_chords.first()?, all_chords.last()?);
        let mut seen = HashSet::new();
        let once = all_chords.iter().filter(|chord| seen.insert(*chord));
        let chords: Vec<(Chord, u16)> =
            once.map(|chord| (chord.clone(), chord.classes())).collect();
        let mut known = HashSet::new();
        let all = chords.iter().flat_map(|(chord, _)| chord.notes().into_iter().chain(chord.bass));
        let notes: Vec<Note> = all.filter(|note| known.insert(*note)).collect();
        let over_all =
            |of: fn(&Chord) -> u16| chords.iter().fold(0, |mask, (own, _)| mask | of(own));
        let classes = over_all(Chord::classes);
        let meant = over_all(asked::meant);
        let roots = chords.iter().fold(0, |mask, (chord, _)| mask | 1 << chord.root.class());
        let homes = homes(first, last, key.map(|key| key.tonic).or_else(|| arrival(all_chords)));
        let against = over_all(asked::against) & !classes & !meant;
        let needed = over_all(asked::needed);
        let key = key.copied();
        Some(Ground { chords, notes, classes, needed, meant, against, roots, homes, key })
    }

    /// Every scale on every tonic, the best first.
    fn candidates(&self) -> Vec<Candidate> {
        let kinds = SCALES.iter().enumerate().filter(|(_, kind)| kind.degrees.len() < 12);
        let mut all: Vec<(Rank, Candidate)> = kinds
            .flat_map(|(rank, kind)| (0..12).map(move |tonic| (rank, kind, tonic)))
            .map(|(rank, kind, tonic)| {
                let class =
                    |degree: &Degree| (i32::from(tonic) + degree.semitones()).rem_euclid(12);
                let classes = kind.degrees.iter().fold(0, |mask, degree| mask | 1 << class(degree));
                let candidate = Candidate { kind, tonic, classes };
                (self.rank(&candidate, rank), candidate)
            })
            .collect();
        all.sort_by_key(|(rank, _)| *rank);
        all.into_iter().map(|(_, candidate)| candidate).collect()
    }

    /// How early a scale stands among all, its place in [`SCALES`] given.
    fn rank(&self, candidate: &Candidate, place: usize) -> Rank {
        let is_home = |home: &Note| home.class() == candidate.tonic;
        let home = self.homes.iter().position(is_home).unwrap_or(self.homes.len());
        let is_of_key =
            self.key.is_some_and(|key| is_home(&key.tonic) && key.scale == candidate.kind);
        let lacking = ((self.classes | self.meant) & !candidate.classes).count_ones();
        let beyond = (candidate.classes & !self.classes).count_ones();
        (!is_of_key, home, lacking, beyond, place)
    }

    /// Whether a scale has what it must have, and nothing that it may not.
    fn holds(&self, candidate: &Candidate) -> bool {
        self.needed & !candidate.classes == 0 && self.against & candidate.classes == 0
    }

    /// The scale under the letter of a chord's root or of a home; else under that by which the fewest notes
    /// have two signs, then most are the chords' own, and then the fewest have a sign.
    fn spelled(&self, candidate: &Candidate) -> Option<Scale> {
        let tonics = Letter::ALL
            .into_iter()
            .flat_map(|letter| [0, -1, 1].map(|sign| Note::new(letter, sign)));
        let tonics = tonics.filter(|tonic| tonic.class() == candidate.tonic);
        let names = self.chords.first().map(|(chord, _)| chord.root.names).unwrap_or_default();
        let scales = tonics.map(|tonic| Scale { tonic: tonic.called(names), kind: candidate.kind });
        scales.min_by_key(|scale| {
            let strange = self.notes.iter().filter(|note| !scale.holds(**note)).count();
            let notes = scale.notes().into_iter();
            let signs: u32 = notes.map(|note| u32::from(note.accidental.unsigned_abs())).sum();
            let doubles = scale.notes().iter().filter(|note| note.accidental.abs() > 1).count();
            let home = self.homes.contains(&scale.tonic);
            let known = home || self.chords.iter().any(|(chord, _)| chord.root == scale.tonic);
            (!known, doubles, strange, !home, signs)
        })
    }

    /// Whether a pitch class is the root of one of the chords.
    fn is_root(&self, class: u8) -> bool {
        self.roots >> class & 1 == 1
    }

    fn fit(&self, candidate: &Candidate) -> Option<Fit> {
        let scale = self.spelled(candidate)?;
        let outside = |note: &Note| self.classes >> note.class() & 1 == 0;
        let beyond = scale.notes().into_iter().filter(outside).collect();
        let lacks = |note: &Note| candidate.classes >> note.class() & 1 == 0;
        let without = self.notes.iter().copied().filter(lacks).collect();
        Some(Fit { scale, beyond, without, also: Vec::new() })
    }

    /// Whether a scale breaks at the first chord, at how many it breaks, and how many tones it lacks.
    fn missing(&self, candidate: &Candidate) -> (bool, usize, u32) {
        let lacking = self.chords.iter().map(|(_, classes)| classes & !candidate.classes);
        let first = lacking.clone().next().is_some_and(|lacking| lacking != 0);
        let breaks = lacking.clone().filter(|lacking| *lacking != 0).count();
        (first, breaks, lacking.map(u16::count_ones).sum())
    }

    fn nearly(&self, candidate: &Candidate) -> Option<Nearly> {
        let breaks = self.chords.iter().filter_map(|(chord, _)| {
            let notes = chord.notes().into_iter().chain(chord.bass);
            let lacks = |note: &Note| candidate.classes >> note.class() & 1 == 0;
            let lacking: Vec<Note> = notes.filter(lacks).collect();
            (!lacking.is_empty()).then(|| (chord.clone(), lacking))
        });
        Some(Nearly { scale: self.spelled(candidate)?, breaks: breaks.collect() })
    }
}

/// A chord of a progression with its guide tones: its third (in a suspended chord what stands for it)
/// and its seventh (in a sixth chord the sixth).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guided {
    /// The chord.
    pub chord: Chord,
    /// Its guide tones, the third first; a power chord has none.
    pub tones: Vec<(Degree, Note)>,
    /// The chord that follows, if another does.
    pub next: Option<Chord>,
    /// Where each tone goes, in the same order; nothing where it has nowhere to go.
    pub moves: Vec<Step>,
}

/// Where a guide tone goes: to the nearest tone of the chord that follows, of two as near to a guide
/// tone, else downwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// It stays, perhaps under another letter.
    Stays(Note),
    /// It rises.
    Rises(Note, Note),
    /// It falls.
    Falls(Note, Note),
}

impl Step {
    /// By how many half steps, the nearest way: 0 where it stays, less than 0 where it falls.
    pub fn half_steps(&self) -> i32 {
        let up = |from: &Note, to: &Note| {
            (i32::from(to.class()) - i32::from(from.class())).rem_euclid(12)
        };
        match self {
            Step::Stays(_) => 0,
            Step::Rises(from, to) => up(from, to),
            Step::Falls(from, to) => -up(to, from),
        }
    }
}

/// The guide tones of a progression, chord by chord, the last leading back to the first. A change from
/// one chord to another that comes again is told once.
pub fn guide_tones(chords: &[Chord]) -> Vec<Guided> {
    let mut line: Vec<&Chord> = chords.iter().collect();
    line.dedup();
    if line.len() > 1 && line.first() == line.last() {
        line.pop();
    }
    let next = line.iter().skip(1).chain(line.first().filter(|_| line.len() > 1));
    let next = next.map(|chord| Some(*chord)).chain([None]);
    let mut told = HashSet::new();
    let changes = line.iter().copied().zip(next).filter(|change| told.insert(*change));
    changes.map(|(chord, next)| guided(chord, next)).collect()
}

fn guided(chord: &Chord, next: Option<&Chord>) -> Guided {
    let tones = tones(chord);
    let moves = tones.iter().filter_map(|(_, note)| step(*note, next?)).collect();
    Guided { chord: chord.clone(), tones, next: next.cloned(), moves }
}

fn tones(chord: &Chord) -> Vec<(Degree, Note)> {
    let of = |numbers: &[u8]| {
        let degrees = numbers.iter().filter_map(|number| {
            chord.tones.iter().map(|tone| tone.degree).find(|degree| degree.number == *number)
        });
        degrees.map(|degree| (degree, degree.above(chord.root))).next()
    };
    of(&[3, 4, 2]).into_iter().chain(of(&[7, 6])).collect()
}

/// The step from a note into a chord.
fn step(from: Note, into: &Chord) -> Option<Step> {
    // From six half steps down to five up.
    let way = |to: Note| (i32::from(to.class()) - i32::from(from.class()) + 6).rem_euclid(12) - 6;
    let guides = tones(into);
    let passed_by = |to: Note| guides.iter().all(|(_, guide)| *guide != to);
    let targets = into.notes().into_iter();
    let nearest = targets.min_by_key(|to| (way(*to).abs(), passed_by(*to), way(*to)))?;
    Some(match way(nearest) {
        0 => Step::Stays(nearest),
        1.. => Step::Rises(from, nearest),
        _ => Step::Falls(from, nearest),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod tests {
    use super::*;

    fn chords(text: &str) -> Vec<Chord> {
        text.split(' ').map(|symbol| Chord::parse(symbol).unwrap()).collect()
    }

    fn fits(text: &str, key: Option<&str>) -> Vec<Fit> {
        let key = key.map(|key| Key::parse(key).unwrap());
        match scales(&chords(text), key.as_ref()).unwrap() {
            Fitting::Whole(best, others) => [vec![best], others].concat(),
            Fitting::Nearest(nearly) => panic!("{nearly:?}"),
        }
    }

    fn names(notes: &[Note]) -> String {
        notes.iter().map(Note::to_string).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn the_scale_of_the_key_comes_first() {
        for (progression, key, best) in [
            ("A F#m D E", Some("A major"), "A major"),
            ("A F#m D E", Some("F# minor"), "F# natural minor"),
            ("A F#m D E", None, "A major"),
            ("Am7 D7", Some("A dorian"), "A dorian"),
            ("Dm7 G7", None, "D dorian"),
            ("Am F E", Some("A minor"), "A harmonic minor"),
            ("Am", Some("A minor"), "A natural minor"),
            ("Am", None, "A minor pentatonic"),
            ("Am", Some("A harmonic minor"), "A harmonic minor"),
            ("Dm7", Some("D dorian"), "D dorian"),
            ("G13b9", None, "G half-whole diminished"),
            ("G7#9b13", None, "G altered"),
            ("G7#9", None, "G half-whole diminished"),
            ("G7alt", None, "G altered"),
            ("Bm7b5", None, "B locrian"),
            ("Cdim7", None, "C whole-half diminished"),
            ("G#dim7", Some("A minor"), "A harmonic minor"),
            ("Cm6", None, "C dorian"),
            ("G7sus4", None, "G mixolydian"),
            ("G7sus4 C", None, "C major"),
            ("Gb Db Ebm Cb", None, "Gb major"),
            ("C7#5", None, "C whole tone"),
            ("Dm7 G7 Cmaj7", None, "C major"),
            ("Em7 A7 D D", None, "D major"),
            ("Dm7 G7 Cmaj7", Some("D dorian"), "D dorian"),
        ] {
            let fits = fits(progression, key);
            assert_eq!(fits.first().unwrap().scale.to_string(), best, "{progression}");
        }
    }

    #[test]
    fn every_scale_that_is_named_holds_every_chord_and_no_other_does() {
        for progression in ["A F#m D E", "Am7 D7", "Dm7 G7 Cmaj7", "E7#9", "G/F", "Bm7b5 E7b9 Am"] {
            let fits = fits(progression, None);
            let chords = chords(progression);
            let over_all = |of: fn(&Chord) -> u16| chords.iter().fold(0, |all, own| all | of(own));
            let against = over_all(asked::against) & !over_all(Chord::classes);
            let needed = over_all(asked::needed);
            let holds = |scale: &Scale| {
                scale.classes() & needed == needed && scale.classes() & against == 0
            };
            let mut found: Vec<u16> = fits.iter().map(|fit| fit.scale.classes()).collect();
            assert!(fits.iter().flat_map(|fit| fit.also.iter().chain([&fit.scale])).all(holds));
            let mut expected = Vec::new();
            for kind in SCALES.iter().filter(|kind| kind.name() != "chromatic") {
                for tonic in ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] {
                    let scale = Scale { tonic: Note::parse(tonic).unwrap(), kind };
                    expected.extend(holds(&scale).then(|| scale.classes()));
                }
            }
            found.sort_unstable();
            expected.sort_unstable();
            expected.dedup();
            assert_eq!(found, expected, "{progression}");
        }
    }

    #[test]
    fn altered_and_diminished_chords_have_the_scales_of_the_textbooks() {
        let names = |progression: &str| -> Vec<String> {
            fits(progression, None).iter().map(|fit| fit.scale.to_string()).collect()
        };
        let listed =
            |progression: &str, name: &str| names(progression).iter().any(|own| own == name);
        assert!(listed("G7#9", "G altered"));
        assert!(listed("Bm7b5", "D melodic minor"));
        assert!(listed("Cm6", "C melodic minor"));
        for progression in ["Bm7b5", "Cm6", "Am7", "Cdim7"] {
            let found = names(progression);
            let foreign = |name: &String| name.ends_with("major blues") || name.starts_with("Fb");
            assert!(!found.iter().any(foreign), "{progression}: {found:?}");
        }
        for fit in fits("G7#9b13", None).iter().chain(&fits("G13b9", None)) {
            assert!(fit.scale.classes() >> 11 & 1 == 1, "{} lacks the third", fit.scale);
        }
        let altered = fits("G7#9b13", None);
        let best = altered.first().unwrap();
        assert_eq!(best.without.iter().map(Note::to_string).collect::<Vec<_>>(), ["D"]);
    }

    #[test]
    fn what_lies_beyond_the_chords_is_told_and_the_same_notes_are_one_choice() {
        let fits = fits("Am7 D7", Some("A dorian"));
        let best = fits.first().unwrap();
        assert_eq!(names(&best.beyond), "B");
        let also: Vec<String> = best.also.iter().map(Scale::to_string).collect();
        assert_eq!(also, ["D mixolydian"]);
    }

    #[test]
    fn the_nearest_scale_says_where_it_breaks() {
        let key = Key::parse("A major").unwrap();
        let Some(Fitting::Nearest(nearly)) = scales(&chords("A D E F7"), Some(&key)) else {
            panic!("no scale holds A and F7")
        };
        assert_eq!(nearly.scale.to_string(), "A major");
        let breaks: Vec<String> = nearly
            .breaks
            .iter()
            .map(|(chord, notes)| format!("{chord}: {}", names(notes)))
            .collect();
        assert_eq!(breaks, ["F7: F C Eb"]);
        let blues = scales(&chords("A7 D7 A7 E7"), Some(&key));
        let Some(Fitting::Nearest(nearly)) = blues else { panic!("no scale holds a blues") };
        assert_eq!(nearly.scale.to_string(), "A mixolydian");
        assert_eq!(scales(&[], Some(&key)), None);
        let key = Key::parse("F major").unwrap();
        let jazz = scales(&chords("F7 Bb7 Bdim7 F7/C D7 Gm7 C7 F7"), Some(&key));
        let Some(Fitting::Nearest(nearly)) = jazz else { panic!("no scale holds a jazz blues") };
        assert_eq!(nearly.scale.to_string(), "F mixolydian");
    }

    #[test]
    fn guide_tones_go_the_nearest_way() {
        let guided = guide_tones(&chords("Dm7 G7 G7 Cmaj7 Dm7"));
        let told: Vec<String> = guided
            .iter()
            .map(|guided| {
                let tones: Vec<Note> = guided.tones.iter().map(|tone| tone.1).collect();
                format!("{} {} {:?}", guided.chord, names(&tones), guided.moves.len())
            })
            .collect();
        assert_eq!(told, ["Dm7 F C 2", "G7 B F 2", "Cmaj7 E B 2"]);
        let note = |text: &str| Note::parse(text).unwrap();
        let first = &guided.first().unwrap().moves;
        assert_eq!(*first, [Step::Stays(note("F")), Step::Falls(note("C"), note("B"))]);
        let second = &guided.get(1).unwrap().moves;
        assert_eq!(*second, [Step::Stays(note("B")), Step::Falls(note("F"), note("E"))]);
        let third = &guided.get(2).unwrap().moves;
        assert_eq!(*third, [Step::Rises(note("E"), note("F")), Step::Rises(note("B"), note("C"))]);
    }

    #[test]
    fn suspended_sixth_and_power_chords_have_what_stands_for_a_guide_tone() {
        for (chord, tones) in
            [("Asus4", "D"), ("A6", "C# F#"), ("A5", ""), ("A", "C#"), ("Bdim7", "D Ab")]
        {
            let guided = guide_tones(&chords(chord));
            let guided = guided.first().unwrap();
            let notes: Vec<Note> = guided.tones.iter().map(|tone| tone.1).collect();
            assert_eq!(names(&notes), tones, "{chord}");
            assert_eq!(guided.moves, []);
        }
    }
}
