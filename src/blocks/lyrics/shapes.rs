//! The shapes that a song's chords are held in, and the capo under which most of them are open.

use super::shift::Shift;
use super::{Boxed, Why, kind};
use crate::blocks::effort::Effort;
use crate::blocks::{Others, Settled};
use crate::lesson::fence::Fence;
use crate::neck::voicing::{Search, ranked};
use crate::neck::{Fingering, Fret, Hand, Instrument};
use crate::theory::Chord;
use std::collections::{BTreeMap, HashMap, HashSet};

/// Open shapes lie within these frets: what a beginner learns first.
const OPEN_UP_TO: Fret = Fret::new(3);
/// What is shown first of any chord near the nut lies within these frets: the barred shapes of C♯ and E♭ on the fifth
/// string, which reach furthest, end on the eighth.
const NEAR_THE_NUT: Fret = Fret::new(8);
/// A capo further up leaves little to sound (assumed).
const HIGHEST_CAPO: u8 = 7;

/// Whether chords have open shapes.
pub(super) struct OpenShapes<'f> {
    fence: &'f Fence<'f>,
    others: &'f Others<'f>,
    effort: &'f mut Effort,
    known: HashMap<Chord, bool>,
}

impl<'f> OpenShapes<'f> {
    /// None is known yet.
    pub fn new(
        fence: &'f Fence<'f>,
        others: &'f Others<'f>,
        effort: &'f mut Effort,
    ) -> OpenShapes<'f> {
        OpenShapes { fence, others, effort, known: HashMap::new() }
    }

    /// The fret with the most open shapes, of equal ones the lowest, and what speaks for it; `shift` leads to the
    /// names above a capo.
    pub fn best(&mut self, chords: &[Chord], shift: impl Fn(u8) -> Shift) -> (u8, Why) {
        let mut open = |fret: u8| {
            let shift = shift(fret);
            chords.iter().filter(|chord| self.is_open(shift.chord(chord))).count()
        };
        let last = if chords.is_empty() { 0 } else { HIGHEST_CAPO };
        let counts: Vec<(u8, usize)> = (0..=last).map(|fret| (fret, open(fret))).collect();
        let without = counts.first().map_or(0, |(_, open)| *open);
        // Of equal counts the last that is met, so from the highest fret down.
        let best = counts.iter().rev().max_by_key(|(_, open)| *open);
        let (fret, open) = best.copied().unwrap_or_default();
        (fret, Why { chords: chords.len(), open, open_without: without })
    }

    fn is_open(&mut self, chord: Chord) -> bool {
        if let Some(known) = self.known.get(&chord) {
            return *known;
        }
        let shape = self.shape(&chord);
        let open = shape.is_some_and(|shape| is_open(&shape));
        self.known.insert(chord, open);
        open
    }

    /// The lesson's last shape of a chord, or the one that is shown first near the nut.
    fn shape(&mut self, chord: &Chord) -> Option<Fingering> {
        let instrument = Instrument { capo: 0, ..self.fence.setting.instrument.clone() };
        let own = self.others.last_shape(chord, &instrument);
        own.or_else(|| {
            self.effort.take(Effort::CHORD_NEAR_THE_NUT).then_some(())?;
            first_shown(chord, &instrument, self.fence.setting.hand, NEAR_THE_NUT)
        })
    }
}

/// Whether a shape has an open string, and is pressed near the nut by no finger that lies over several strings.
fn is_open(shape: &Fingering) -> bool {
    let mut pressed = HashSet::new();
    let alone = shape.places().all(|(_, fret, finger)| {
        fret.is_open() || finger.is_some_and(|finger| pressed.insert(finger))
    });
    let frets = || shape.frets.iter().flatten();
    alone && frets().any(|fret| fret.is_open()) && frets().all(|fret| *fret <= OPEN_UP_TO)
}

/// The shape that a teacher shows first, up to a fret.
fn first_shown(
    chord: &Chord,
    instrument: &Instrument,
    hand: Hand,
    highest: Fret,
) -> Option<Fingering> {
    let mut search = Search::new(chord, instrument, hand);
    search.frets = Fret::OPEN..=highest.min(instrument.last_fret());
    let shapes = search.all();
    let first = ranked(&shapes, chord, instrument, hand, Fret::OPEN, 1).into_iter().next()?;
    Some(Fingering { frets: first.shape.frets().to_vec(), fingers: first.hold.fingers })
}

/// What the boxes of some parts share: the instrument with its capo, and the hand.
type Held = (String, u8);

/// The parts of a song that share their boxes.
#[derive(Default)]
struct Part {
    /// The one that the boxes stand above: the first that is not to be filled in, since they would be missing there.
    first: usize,
    /// Whether that is one.
    is_shown: bool,
    chords: Vec<Chord>,
    seen: HashSet<Chord>,
}

/// Puts the boxes of all chords of a lesson's songs, each once, above the first part that is held on the same
/// instrument with the same capo.
pub(super) fn set_above_first(songs: &mut Settled<'_>, effort: &mut Effort) {
    let mut groups: BTreeMap<Held, Part> = BTreeMap::new();
    for index in songs.indices() {
        let Some(song) = songs.music(index).and_then(kind::song) else { continue };
        if !song.printed {
            continue;
        }
        let held = (format!("{:?}", song.instrument.tuning), song.instrument.capo);
        let printed: Vec<Chord> = song.chords().filter_map(|chord| chord.printed.clone()).collect();
        let is_blank = songs.with(index, |fence, _| fence.exercise.is_blank()).unwrap_or(false);
        let part = groups.entry(held).or_insert_with(|| Part { first: index, ..Part::default() });
        if !is_blank && !part.is_shown {
            (part.first, part.is_shown) = (index, true);
        }
        let Part { chords, seen, .. } = part;
        chords.extend(printed.into_iter().filter(|chord| seen.insert(chord.clone())));
    }
    for Part { first, chords, .. } in groups.into_values() {
        let boxes = songs.with(first, |fence, others| boxes(chords, fence, others, effort));
        if let Some(song) = songs.music(first).and_then(kind::song) {
            song.boxes = boxes.unwrap_or_default();
        }
    }
}

fn boxes(
    chords: Vec<Chord>,
    fence: &Fence<'_>,
    others: &Others<'_>,
    effort: &mut Effort,
) -> Vec<Boxed> {
    let (instrument, hand) = (&fence.setting.instrument, fence.setting.hand);
    let found = chords.into_iter().filter_map(|chord| {
        let own = others.last_shape(&chord, instrument);
        let fingering = own.or_else(|| {
            effort.take(Effort::ANY_CHORD).then_some(())?;
            first_shown(&chord, instrument, hand, instrument.last_fret())
        });
        Some(Boxed { chord, fingering: fingering? })
    });
    found.collect()
}
