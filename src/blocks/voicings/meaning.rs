//! What voicings are asked for, and what that comes to: the shapes of each chord, or the way through them.

use super::{LeftOut, Voiced};
use crate::lesson::Setting;
use crate::neck::claim::{Claim, Truth};
use crate::neck::leading::{self, Candidate, Sounding};
use crate::neck::voicing::{Asked, Family, Inversion, MEAN_UNIT, Ranked, Shape, preferred, ranked};
use crate::neck::{Fingering, Fret, Neck, Posture, StringIndex, hold};
use crate::theory::Chord;
use std::ops::RangeInclusive;

/// Shapes lie up to this fret, further up only where a place there is asked for: charts of chords go so
/// far (design section 2).
const USUAL_LAST: Fret = Fret::new(15);
/// How far beyond the fret that is asked for shapes may lie.
const BEYOND: u8 = 5;
/// So many frets from the one that is asked for a shape's mean is still near it (assumed).
const NEAR: i64 = 3;
/// Up to this mean fret a line begins beside the nut (as a hand's position of four frets does).
const LOW: Fret = Fret::new(4);
/// Among so many shapes of a chord that are shown first the way through a line of `any` is sought.
const SHOWN: usize = 24;
/// Fewer strings sound an interval: they stand for a chord only where nothing fuller is asked for.
pub(super) const FEWEST: usize = 3;

/// What voicings are asked for: made of a line of a block, or of what a chart is asked for.
#[derive(Debug, Clone)]
pub struct Wish {
    /// The chords, each with the string and the fret of its highest note where that is given.
    pub chords: Vec<(Chord, Option<(StringIndex, Fret)>)>,
    /// The family of the shapes.
    pub family: Family,
    /// The strings that may sound, by index, rising; all where none are named.
    pub strings: Option<Vec<StringIndex>>,
    /// The frets that may be used; the usual ones where none are named.
    pub frets: Option<RangeInclusive<Fret>>,
    /// The fret that the first shape, or each of several, shall be near to.
    pub near: Option<Fret>,
    /// The inversion of the first shape, or of each of several.
    pub starting: Option<Inversion>,
    /// How many shapes of each chord are kept; a way through the chords is sought where that isn't said.
    pub keep: Option<usize>,
}

/// What a wish came to.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    /// The shapes: several of each chord, or a way from chord to chord.
    pub shapes: Vec<Voiced>,
    /// What is lacking, in the order of the chords.
    pub lacking: Vec<Lacking>,
}

/// What a chord lacks.
#[derive(Debug, Clone)]
pub struct Lacking {
    /// The chord's index in the wish.
    pub chord: usize,
    /// What it lacks.
    pub what: Lack,
}

/// What there is not.
#[derive(Debug, Clone)]
pub enum Lack {
    /// A shape that the hand can hold.
    Place,
    /// A shape in the inversion that is asked for; the one that is shown first in another.
    Inversion(Inversion, Option<Voiced>),
}

/// The frets among which things are looked for where none are named, further up for what shall be near a
/// fret there.
pub fn usual_frets(near: Option<Fret>, setting: &Setting) -> RangeInclusive<Fret> {
    let last = near.map_or(USUAL_LAST, |near| USUAL_LAST.max(near.up(BEYOND)));
    Fret::OPEN..=setting.instrument.last_fret().min(last)
}

impl Wish {
    /// Works it out on the instrument and in the hand of a setting.
    pub fn work_out(&self, setting: &Setting) -> Outcome {
        let mut task = Task { wish: self, setting, lacking: Vec::new() };
        let shapes = match self.keep {
            Some(keep) => task.several(keep),
            None => task.way(),
        };
        Outcome { shapes, lacking: task.lacking }
    }

    /// Every shape of the family on the strings and frets, in the order of their places, whether a hand can
    /// hold it or not; none for [`Family::Any`].
    pub fn every_shape(&self, setting: &Setting) -> Vec<Voiced> {
        let each = self.chords.iter().flat_map(|(chord, top)| {
            let shapes = self.asked(chord, *top, setting).shapes();
            shapes.into_iter().map(|shape| Voiced::of(chord, &shape, setting)).collect::<Vec<_>>()
        });
        each.collect()
    }

    /// What is asked of the neck for a chord.
    pub(super) fn asked<'c>(
        &self,
        chord: &'c Chord,
        top: Option<(StringIndex, Fret)>,
        setting: &'c Setting,
    ) -> Asked<'c> {
        let instrument = &setting.instrument;
        let all = || instrument.tuning.indices().collect();
        let mut strings = self.strings.clone().unwrap_or_else(all);
        if let Some((string, _)) = top.filter(|(string, _)| !strings.contains(string)) {
            strings.push(string);
            strings.sort_unstable();
        }
        let usual = || usual_frets(self.near_of(top), setting);
        let frets = self.frets.clone().unwrap_or_else(usual);
        Asked { chord, family: self.family, instrument, strings, frets, top }
    }

    /// Whether a chord has a shape under a note.
    pub(super) fn has_place(
        &self,
        chord: &Chord,
        top: (StringIndex, Fret),
        setting: &Setting,
    ) -> bool {
        !self.asked(chord, Some(top), setting).held(setting.hand).is_empty()
    }

    /// The fret that a chord's shapes shall be near to, where its highest note or the wish says one.
    pub(super) fn near_of(&self, top: Option<(StringIndex, Fret)>) -> Option<Fret> {
        top.map(|(_, fret)| fret).or(self.near)
    }
}

/// A wish that is being worked out.
struct Task<'a> {
    wish: &'a Wish,
    setting: &'a Setting,
    lacking: Vec<Lacking>,
}

impl Task<'_> {
    /// The shapes of a chord that the hand can hold.
    fn shapes(&mut self, at: usize, chord: &Chord, top: Option<(StringIndex, Fret)>) -> Vec<Shape> {
        let shapes = self.wish.asked(chord, top, self.setting).held(self.setting.hand);
        if shapes.is_empty() {
            self.lacking.push(Lacking { chord: at, what: Lack::Place });
        }
        shapes
    }

    /// Whether a shape's bass is where a shape of that name has it, or nothing is said of basses: those of
    /// families are what they are.
    fn is_undoubted(&self, shape: &Shape, chord: &Chord) -> bool {
        let Setting { instrument, hand, .. } = self.setting;
        let any = self.wish.family == Family::Any;
        let claim = Claim { chord, frets: shape.frets(), instrument, hand: *hand };
        !any || !matches!(claim.truth(), Truth::Bass(_))
    }

    /// The first so many shapes of each chord.
    fn several(&mut self, keep: usize) -> Vec<Voiced> {
        let mut found = Vec::new();
        for (at, (chord, top)) in self.wish.chords.iter().enumerate() {
            let shapes = self.shapes(at, chord, *top);
            let shapes = full(self.started(shapes, at, chord), chord);
            let shapes = preferred(shapes, |shape| self.is_undoubted(shape, chord));
            let first = self.first(&shapes, chord, *top, keep);
            found.extend(first.iter().map(|first| Voiced::of(chord, &first.shape, self.setting)));
        }
        found
    }

    /// The shapes that are shown first.
    fn first(
        &self,
        shapes: &[Shape],
        chord: &Chord,
        top: Option<(StringIndex, Fret)>,
        keep: usize,
    ) -> Vec<Ranked> {
        let Setting { instrument, hand, .. } = self.setting;
        let near = self.wish.near_of(top).unwrap_or_default();
        ranked(shapes, chord, instrument, *hand, near, keep)
    }

    /// Those of `any` shapes among which the way is sought, each kind only where there is one: that raise
    /// no doubt, with the root or the slash's bass lowest, near the fret; of them those that are shown first. Of
    /// the first chord just the one that is, unless a melody decides where it lies.
    fn usual(
        &self,
        shapes: Vec<Shape>,
        chord: &Chord,
        top: Option<(StringIndex, Fret)>,
        begun: Option<Fret>,
    ) -> Vec<Candidate> {
        let instrument = &self.setting.instrument;
        let lowest = chord.lowest().class();
        // Where a high string lies lowest the bass tells nothing, but one that is asked for is there anyway.
        let has_bass = |shape: &Shape| {
            instrument.tuning.is_reentrant()
                || shape.bass(instrument).is_some_and(|bass| bass.class() == lowest)
        };
        let shapes = preferred(shapes, |shape| self.is_undoubted(shape, chord));
        let shapes = preferred(shapes, has_bass);
        let wished = self.wish.near_of(top);
        let is_near = |shape: &Shape| {
            let away = |near: Fret| (shape.mean_fret() - i64::from(near) * MEAN_UNIT).abs();
            wished.is_none_or(|near| away(near) <= NEAR * MEAN_UNIT)
        };
        let shapes = preferred(shapes, is_near);
        let keep = if begun.is_none() && top.is_none() { 1 } else { SHOWN };
        let near = wished.or(begun).unwrap_or_default();
        let shown = ranked(&shapes, chord, instrument, self.setting.hand, near, keep);
        leading::taught(&shown, instrument, self.wish.near)
    }

    /// The way through the chords that moves least; chords without a place are passed over.
    fn way(&mut self) -> Vec<Voiced> {
        let mut chords: Vec<&Chord> = Vec::new();
        let mut layers: Vec<Vec<Candidate>> = Vec::new();
        for (at, (chord, top)) in self.wish.chords.iter().enumerate() {
            let mut shapes = self.shapes(at, chord, *top);
            if layers.is_empty() {
                shapes = self.started(shapes, at, chord);
            }
            let Setting { instrument, hand, .. } = self.setting;
            let layer = match self.wish.family {
                Family::Any => self.usual(
                    shapes,
                    chord,
                    *top,
                    layers.first().map(|first| begun(&leading::nearest(first))),
                ),
                _ => leading::candidates(&shapes, instrument, *hand, self.wish.near),
            };
            let layer = leading::unstretched(layer);
            if !layer.is_empty() {
                layers.push(layer);
                chords.push(chord);
            }
        }
        let way = leading::begun_near(&layers).unwrap_or_default();
        let voiced =
            chords.iter().zip(&way).map(|(chord, shape)| Voiced::of(chord, shape, self.setting));
        led(voiced.collect(), self.setting)
    }

    /// The shapes in the inversion that is asked for, or all where there is none.
    fn started(&mut self, shapes: Vec<Shape>, at: usize, chord: &Chord) -> Vec<Shape> {
        let Some(wanted) = self.wish.starting else { return shapes };
        let instrument = &self.setting.instrument;
        let fits = |shape: &&Shape| Inversion::in_shape(shape, chord, instrument) == Some(wanted);
        let fitting: Vec<Shape> = shapes.iter().filter(fits).copied().collect();
        if fitting.is_empty() && !shapes.is_empty() {
            let first = self.first(&shapes, chord, None, 1);
            let nearest = first.first().map(|one| Voiced::of(chord, &one.shape, self.setting));
            self.lacking.push(Lacking { chord: at, what: Lack::Inversion(wanted, nearest) });
            return shapes;
        }
        fitting
    }
}

/// The fret that a line stays near to where none is asked for: the one near which it begins, or the nut.
fn begun(first: &[Candidate]) -> Fret {
    let mean = first.first().map_or(0, |first| first.shape.mean_fret());
    match i32::try_from(mean / MEAN_UNIT).ok().and_then(Fret::checked) {
        Some(fret) if fret > LOW => fret,
        _ => Fret::OPEN,
    }
}

/// The shapes that stand for a chord: those on two strings only where nothing fuller is there.
fn full(mut shapes: Vec<Shape>, chord: &Chord) -> Vec<Shape> {
    let sounding = |shape: &Shape| shape.sounding().count();
    let fullest = shapes.iter().map(sounding).max().unwrap_or_default();
    shapes.retain(|shape| sounding(shape) >= fullest.min(chord.tones.len()).min(FEWEST));
    shapes
}

/// Shapes with what the voices do from one to the next.
fn led(mut voiced: Vec<Voiced>, setting: &Setting) -> Vec<Voiced> {
    for at in 1..voiced.len() {
        let (before, rest) = voiced.split_at_mut(at);
        let (Some(from), Some(to)) = (before.last(), rest.first_mut()) else { continue };
        let (one, other) = (
            Sounding { shape: &from.shape, chord: &from.chord },
            Sounding { shape: &to.shape, chord: &to.chord },
        );
        let mut moves = leading::voices(one, other, &setting.instrument);
        moves.reverse();
        to.moves = moves;
    }
    voiced
}

impl Voiced {
    /// A chord in a shape, held by the fingers that find it easiest; by none where the hand can't hold it.
    pub fn of(chord: &Chord, shape: &Shape, setting: &Setting) -> Voiced {
        let neck = Neck::of(&setting.instrument);
        let hold = hold::easiest(shape.frets(), &neck, setting.hand, Posture::default());
        let fingers = hold.map(|hold| hold.fingers).unwrap_or_default();
        let fingering = Fingering { frets: shape.frets().to_vec(), fingers };
        Voiced::held(chord, fingering, setting)
    }

    /// A chord held by these fingers.
    pub fn held(chord: &Chord, fingering: Fingering, setting: &Setting) -> Voiced {
        let (shape, instrument) = (Shape::of(&fingering.frets), &setting.instrument);
        // Where a high string lies lowest, the lowest note is no bass.
        let is_told = !instrument.tuning.is_reentrant() || shape.pitches(instrument).is_sorted();
        Voiced {
            chord: chord.clone(),
            shape,
            fingering,
            inversion: Inversion::in_shape(&shape, chord, instrument).filter(|_| is_told),
            left_out: left_out(chord, &shape, setting),
            moves: Vec::new(),
            blank: None,
        }
    }
}

fn left_out(chord: &Chord, shape: &Shape, setting: &Setting) -> Vec<LeftOut> {
    let sounds = |class: u8| {
        let mut pitches = shape.pitches(&setting.instrument);
        pitches.any(|pitch| pitch.class() == class)
    };
    let tones = chord
        .tones
        .iter()
        .map(|tone| LeftOut { note: tone.degree.above(chord.root), degree: Some(tone.degree) });
    let bass =
        chord.bass.filter(|bass| !chord.notes().iter().any(|note| note.class() == bass.class()));
    let bass = bass.map(|note| LeftOut { note, degree: None });
    // Of the altered tones of `7alt` those that don't sound were never asked for.
    let asked = |left: &LeftOut| {
        !chord.suffix.contains("alt")
            || left.degree.is_none_or(|degree| degree.alter >= 0 && degree.number < 5)
    };
    tones.chain(bass).filter(|left| !sounds(left.note.class())).filter(asked).collect()
}
