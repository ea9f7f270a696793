//! Working a line out: the shapes of each chord, and the way through them.

use super::syntax::Request;
use super::{LeftOut, Line, Melody, Voiced, trouble};
use crate::findings::Findings;
use crate::findings::nearest::Known;
use crate::findings::rules::{block_syntax, no_voicing, unknown_name};
use crate::findings::source::{Span, Spanned};
use crate::lesson::Setting;
use crate::neck::leading::{self, Candidate, Sounding};
use crate::neck::voicing::{Asked, Family, Inversion, Ranked, Shape, is_whole, ranked};
use crate::neck::{Fingering, Neck, Posture, hold};
use crate::theory::Chord;
use crate::words::{numbered, terms};
use std::rc::Rc;

/// Shapes lie up to this fret, further up only where the line asks for a place there: charts of
/// chords go so far.
const USUAL_LAST: u8 = 15;
/// How far beyond the fret that is asked for shapes may lie.
const BEYOND: u8 = 5;

/// Works a line out; what has no place is told. `None` where nothing is left.
pub(super) fn work_out(
    request: &Request,
    setting: &Setting,
    melody: &dyn Fn(&str) -> Result<Melody, Rc<Known>>,
    findings: &mut Findings,
) -> Option<Line> {
    let tops = tops(request, melody, findings)?;
    let task = Task { request, setting };
    let shapes = match request.phrases.keep {
        Some(keep) => task.several(keep, &tops, findings),
        None => task.way(&tops, findings),
    };
    let leads = request.phrases.keep.is_none() && shapes.len() > 1;
    let (family, span) = (request.family, request.span);
    (!shapes.is_empty()).then_some(Line { family, shapes, leads, span })
}

/// The note on top of each chord, where a riff gives one. `None` where the riff doesn't fit.
fn tops(
    request: &Request,
    melody: &dyn Fn(&str) -> Result<Melody, Rc<Known>>,
    findings: &mut Findings,
) -> Option<Vec<Option<(usize, u8)>>> {
    let Some(name) = &request.phrases.under else { return Some(vec![None; request.chords.len()]) };
    let melody = match melody(&name.value) {
        Ok(melody) => melody,
        Err(names) => {
            let what = "`riff` that can be read";
            let finding = unknown_name::none(name.span, what, &name.value);
            let near = names.near(&name.value, 2);
            findings.add(finding.offer(&near, name.span, |near| format!("under {near}")));
            return None;
        }
    };
    let (given, changes) = (request.chords.len(), melody.changes.len());
    if given != changes {
        let message = format!(
            "the line has {}, and the harmony of `{}` changes {}",
            numbered(given, "chord"),
            name.value,
            numbered(changes, "time")
        );
        let finding = block_syntax::at(chords_span(request), message);
        let names: Vec<String> =
            melody.changes.iter().map(|change| format!("`{}`", change.chord)).collect();
        findings.add(if names.is_empty() {
            finding
                .note("the riff has no chords: give it a `chord` row, or `over` a `changes` block")
        } else {
            finding.note(format!("its chords are {}", names.join(" ")))
        });
        return None;
    }
    Some(melody.changes.iter().map(|change| change.top).collect())
}

fn chords_span(request: &Request) -> Span {
    request.chords.iter().map(|chord| chord.span).reduce(Span::to).unwrap_or(request.span)
}

struct Task<'a> {
    request: &'a Request,
    setting: &'a Setting,
}

impl Task<'_> {
    fn asked<'c>(&'c self, chord: &'c Chord, top: Option<(usize, u8)>) -> Asked<'c> {
        let instrument = &self.setting.instrument;
        let all = || (0..instrument.tuning.len()).collect();
        let strings = self.request.phrases.strings.clone().unwrap_or_else(all);
        let strings = match top {
            Some((string, _)) if !strings.contains(&string) => {
                let mut with: Vec<usize> = strings.iter().copied().chain([string]).collect();
                with.sort_unstable();
                with
            }
            _ => strings,
        };
        let last =
            self.near(top).map_or(USUAL_LAST, |near| USUAL_LAST.max(near.saturating_add(BEYOND)));
        let frets = 0..=instrument.last_fret().min(last);
        Asked { chord, family: self.request.family, instrument, strings, frets, top }
    }

    /// The fret that a chord's shapes shall be near to, where the line or the melody says one.
    fn near(&self, top: Option<(usize, u8)>) -> Option<u8> {
        top.map(|(_, fret)| fret).or(self.request.phrases.near)
    }

    /// The shapes that the hand can hold; a finding where there is none.
    fn shapes(
        &self,
        chord: &Spanned<Chord>,
        top: Option<(usize, u8)>,
        findings: &mut Findings,
    ) -> Vec<Shape> {
        let asked = self.asked(&chord.value, top);
        let shapes = asked.held(self.setting.hand);
        if shapes.is_empty() {
            let near = self.near(top).unwrap_or_default();
            findings.add(trouble::no_place(&asked, near, self.setting, chord.span));
        }
        shapes
    }

    /// The first so many shapes of each chord.
    fn several(
        &self,
        keep: usize,
        tops: &[Option<(usize, u8)>],
        findings: &mut Findings,
    ) -> Vec<Voiced> {
        let mut found = Vec::new();
        for (chord, top) in self.request.chords.iter().zip(tops) {
            let shapes = self.started(self.shapes(chord, *top, findings), chord, findings);
            let first = self.first(&shapes, &chord.value, *top, keep);
            found.extend(first.iter().map(|first| self.voiced(&chord.value, &first.shape)));
        }
        found
    }

    /// The shapes that are shown first.
    fn first(
        &self,
        shapes: &[Shape],
        chord: &Chord,
        top: Option<(usize, u8)>,
        keep: usize,
    ) -> Vec<Ranked> {
        let Setting { instrument, hand, .. } = self.setting;
        ranked(shapes, chord, instrument, *hand, self.near(top).unwrap_or_default(), keep)
    }

    /// Those of `any` shapes among which the way is sought: all that sound the whole chord, or all
    /// where none does. Of the first chord just the one that is shown first, unless a melody decides
    /// where it lies.
    fn usual(
        &self,
        mut shapes: Vec<Shape>,
        chord: &Chord,
        top: Option<(usize, u8)>,
        is_first: bool,
    ) -> Vec<Shape> {
        if is_first && top.is_none() {
            return self.first(&shapes, chord, top, 1).iter().map(|one| one.shape).collect();
        }
        let whole = |shape: &Shape| is_whole(shape, chord, &self.setting.instrument);
        if shapes.iter().any(whole) {
            shapes.retain(whole);
        }
        shapes
    }

    /// The way through the chords that moves least; chords without a place are passed over.
    fn way(&self, tops: &[Option<(usize, u8)>], findings: &mut Findings) -> Vec<Voiced> {
        let mut chords: Vec<&Chord> = Vec::new();
        let mut layers: Vec<Vec<Candidate>> = Vec::new();
        for (chord, top) in self.request.chords.iter().zip(tops) {
            let mut shapes = self.shapes(chord, *top, findings);
            if layers.is_empty() {
                shapes = self.started(shapes, chord, findings);
            }
            if self.request.family == Family::Any {
                shapes = self.usual(shapes, &chord.value, *top, layers.is_empty());
            }
            let Setting { instrument, hand, .. } = self.setting;
            let near = self.request.phrases.near;
            let mut layer = leading::candidates(&shapes, instrument, *hand, near);
            if layers.is_empty() {
                layer = leading::nearest(&layer);
            }
            if !layer.is_empty() {
                layers.push(layer);
                chords.push(&chord.value);
            }
        }
        let way = leading::least_movement(&layers).unwrap_or_default();
        let mut voiced: Vec<Voiced> =
            chords.iter().zip(&way).map(|(chord, shape)| self.voiced(chord, shape)).collect();
        self.lead(&mut voiced);
        voiced
    }

    /// The shapes in the inversion that the line starts in, or all where there is none.
    fn started(
        &self,
        shapes: Vec<Shape>,
        chord: &Spanned<Chord>,
        findings: &mut Findings,
    ) -> Vec<Shape> {
        let Some(wanted) = self.request.phrases.starting else { return shapes };
        let fits = |shape: &&Shape| self.inversion(&chord.value, shape) == Some(wanted);
        let fitting: Vec<Shape> = shapes.iter().filter(fits).copied().collect();
        if fitting.is_empty() && !shapes.is_empty() {
            let first = self.first(&shapes, &chord.value, None, 1);
            let what = format!("no place in {}", terms::inversion(wanted));
            let finding = no_voicing::of_chord(chord.span, &chord.value, &what);
            findings.add(first.iter().fold(finding, |finding, nearest| {
                let shape = &nearest.shape;
                let name = self
                    .inversion(&chord.value, shape)
                    .map_or("with an added tone lowest", terms::inversion);
                finding.note(format!(
                    "the nearest that can be held is {}, {name}",
                    trouble::written(shape)
                ))
            }));
            return shapes;
        }
        fitting
    }

    fn inversion(&self, chord: &Chord, shape: &Shape) -> Option<Inversion> {
        let bass = shape.bass(&self.setting.instrument)?.class();
        chord.degree_of_class(bass).and_then(Inversion::of)
    }

    fn voiced(&self, chord: &Chord, shape: &Shape) -> Voiced {
        let neck = Neck::of(&self.setting.instrument);
        let hold = hold::easiest(shape.frets(), &neck, self.setting.hand, Posture::default());
        let frets = shape.frets().to_vec();
        Voiced {
            chord: chord.clone(),
            shape: *shape,
            fingering: Fingering {
                frets,
                fingers: hold.map(|hold| hold.fingers).unwrap_or_default(),
            },
            inversion: self.inversion(chord, shape),
            left_out: self.left_out(chord, shape),
            moves: Vec::new(),
        }
    }

    fn left_out(&self, chord: &Chord, shape: &Shape) -> Vec<LeftOut> {
        let sounds = |class: u8| {
            let mut pitches = shape.pitches(&self.setting.instrument);
            pitches.any(|pitch| pitch.class() == class)
        };
        let tones = chord
            .tones
            .iter()
            .map(|tone| LeftOut { note: tone.degree.above(chord.root), degree: Some(tone.degree) });
        let bass = chord
            .bass
            .filter(|bass| !chord.notes().iter().any(|note| note.class() == bass.class()));
        let bass = bass.map(|note| LeftOut { note, degree: None });
        // Of the altered tones of `7alt` those that don't sound were never asked for.
        let asked = |left: &LeftOut| {
            !chord.suffix.contains("alt")
                || left.degree.is_none_or(|degree| degree.alter >= 0 && degree.number < 5)
        };
        tones.chain(bass).filter(|left| !sounds(left.note.class())).filter(asked).collect()
    }

    /// Writes down what the voices do between neighbours.
    fn lead(&self, voiced: &mut [Voiced]) {
        for at in 1..voiced.len() {
            let (before, rest) = voiced.split_at_mut(at);
            let (Some(from), Some(to)) = (before.last(), rest.first_mut()) else { continue };
            let (one, other) = (
                Sounding { shape: &from.shape, chord: &from.chord },
                Sounding { shape: &to.shape, chord: &to.chord },
            );
            let mut moves = leading::voices(one, other, &self.setting.instrument);
            moves.reverse();
            to.moves = moves;
        }
    }
}
