//! Working a chart out on an instrument.

use super::wish::{Wish, Within};
use super::{Chart, Content, Found, Part, file_name, table};
use crate::blocks::shape::{self, Name, Shapes};
use crate::blocks::voicings::{LeftOut, Line, Voiced, Voicings};
use crate::findings::Span;
use crate::lesson::Setting;
use crate::neck::leading::{self, Sounding};
use crate::neck::voicing::{Asked, Family, Search, Shape, ranked};
use crate::neck::{Fingering, Neck, Posture, hold};
use crate::theory::{Chord, Degree, Key, Note, Numeral, Scale};
use crate::words::paper::voicings::no_tone;
use crate::words::terms;
use std::ops::RangeInclusive;

/// Charts go up to this fret where no frets are named (design section 2).
const USUAL_LAST: u8 = 15;
/// How far beyond the fret that is asked for shapes may lie.
const BEYOND: u8 = 5;
/// How many shapes of a chord are shown where nothing is said: two rows of a page.
const SHOWN: usize = 12;
/// A span of the source: a chart has none.
pub(super) const NOWHERE: Span = Span::new(0, 0);

/// A chart of what is wished for.
///
/// # Errors
/// Says what has no place on the instrument, in the frets or under the hand.
pub fn chart(wish: &Wish, within: &Within, setting: &Setting) -> Result<Chart, String> {
    let task = Task { within, setting };
    match wish {
        Wish::Triads(chords) => task.triads(chords),
        Wish::Chords(chords) => task.chords(chords),
        Wish::Scales(scales) => Ok(task.scales(scales)),
        Wish::Keys(keys) => task.keys(keys),
        Wish::Blank(blank) => Ok(Chart {
            title: blank.title().to_owned(),
            name: vec![blank.stem().to_owned()],
            parts: vec![Part { caption: None, content: Content::Blank(*blank) }],
            ..Chart::default()
        }),
    }
}

/// What is asked for, and where.
pub(super) struct Task<'a> {
    pub(super) within: &'a Within,
    pub(super) setting: &'a Setting,
}

impl Task<'_> {
    /// Every close triad of chords, in the order of their places, set of strings by set of strings;
    /// of several chords also the way from one to the next.
    fn triads(&self, chords: &[Chord]) -> Result<Chart, String> {
        let mut chart = Chart {
            title: format!("Triads of {}", printed(chords)),
            name: file_name::of_chords("triads", chords),
            ..Chart::default()
        };
        if chords.len() > 1 {
            let way = self.way(chords)?;
            let caption = format!(
                "The way that moves least, on {}",
                self.strings_in_words(&self.within.strings)
            );
            chart.path = way.lines.iter().flat_map(|line| &line.shapes).map(found_of).collect();
            chart.parts.push(part(caption, Content::Way(way)));
        }
        for chord in chords {
            let mut any = false;
            for set in self.within.strings.windows(3).rev() {
                let found = self.triads_on(chord, set);
                if found.is_empty() {
                    continue;
                }
                any = true;
                let caption =
                    format!("{} on {}", chord.printed().text(), self.strings_in_words(set));
                chart.parts.push(part(caption, Content::Boxes(self.boxes(&found))));
                chart.shapes.extend(found);
            }
            if !any {
                return Err(self.nowhere(chord, "no triad"));
            }
        }
        Ok(chart)
    }

    fn triads_on(&self, chord: &Chord, set: &[usize]) -> Vec<Found> {
        let mut shapes = self.asked(chord, set.to_vec()).shapes();
        if let Some(keep) = self.within.keep {
            let near =
                i64::from(self.within.near.unwrap_or_default()) * crate::neck::voicing::MEAN_UNIT;
            shapes.sort_by_key(|shape| (shape.mean_fret() - near).abs());
            shapes.truncate(keep);
            shapes.sort_by_key(|shape| (shape.mean_fret(), *shape));
        }
        shapes.iter().map(|shape| self.found(chord, shape)).collect()
    }

    fn asked<'c>(&'c self, chord: &'c Chord, strings: Vec<usize>) -> Asked<'c> {
        let instrument = &self.setting.instrument;
        Asked { chord, family: Family::Triads, instrument, strings, frets: self.frets(), top: None }
    }

    /// The frets that are asked for, or the usual ones.
    pub(super) fn frets(&self) -> RangeInclusive<u8> {
        let near = self.within.near.map_or(0, |near| near.saturating_add(BEYOND));
        let usual = || 0..=USUAL_LAST.max(near).min(self.setting.instrument.last_fret());
        self.within.frets.clone().unwrap_or_else(usual)
    }

    /// The way through chords as triads that moves least, the first as near as it can be to the
    /// fret that is asked for.
    fn way(&self, chords: &[Chord]) -> Result<Voicings, String> {
        let instrument = &self.setting.instrument;
        let mut layers = Vec::new();
        for chord in chords {
            let shapes = self.asked(chord, self.within.strings.clone()).shapes();
            let (hand, near) = (self.setting.hand, self.within.near);
            let mut layer = leading::candidates(&shapes, instrument, hand, near);
            if layers.is_empty() {
                layer = leading::nearest(&layer);
            }
            if layer.is_empty() {
                return Err(self.nowhere(chord, "no triad that the hand can hold"));
            }
            layers.push(layer);
        }
        let way = leading::least_movement(&layers).unwrap_or_default();
        let mut shapes: Vec<Voiced> =
            chords.iter().zip(&way).map(|(chord, shape)| self.voiced(chord, shape)).collect();
        for at in 1..shapes.len() {
            let (before, rest) = shapes.split_at_mut(at);
            let (Some(from), Some(to)) = (before.last(), rest.first_mut()) else { continue };
            let sounding = |voiced: &Voiced| (voiced.shape, voiced.chord.clone());
            let ((one, one_chord), (other, other_chord)) = (sounding(from), sounding(to));
            to.moves = leading::voices(
                Sounding { shape: &one, chord: &one_chord },
                Sounding { shape: &other, chord: &other_chord },
                instrument,
            );
            to.moves.reverse();
        }
        let line = Line { family: Family::Triads, shapes, leads: true, span: NOWHERE };
        Ok(Voicings { lines: vec![line] })
    }

    fn voiced(&self, chord: &Chord, shape: &Shape) -> Voiced {
        let found = self.found(chord, shape);
        let missing = self.missing(&found);
        let left_out = missing
            .into_iter()
            .map(|degree| LeftOut { note: degree.above(chord.root), degree: Some(degree) });
        Voiced {
            chord: chord.clone(),
            shape: *shape,
            inversion: table::inversion(&found, &self.setting.instrument),
            left_out: left_out.collect(),
            fingering: found.fingering,
            moves: Vec::new(),
        }
    }

    /// The ways to hold chords, those that teachers show first coming first.
    fn chords(&self, chords: &[Chord]) -> Result<Chart, String> {
        let mut chart = Chart {
            title: format!("Ways to hold {}", printed(chords)),
            name: file_name::of_chords("chord", chords),
            ..Chart::default()
        };
        for chord in chords {
            let found = self.held(chord, self.within.keep.unwrap_or(SHOWN));
            if found.is_empty() {
                return Err(self.nowhere(chord, "no shape that the hand can hold"));
            }
            let notes: Vec<String> = chord.notes().iter().map(|note| note.printed()).collect();
            let caption = format!("{}: {}", chord.printed().text(), notes.join(" "));
            chart.parts.push(part(caption, Content::Boxes(self.boxes(&found))));
            chart.shapes.extend(found);
        }
        Ok(chart)
    }

    /// The shapes of a chord that are shown first.
    fn held(&self, chord: &Chord, keep: usize) -> Vec<Found> {
        let (instrument, hand) = (&self.setting.instrument, self.setting.hand);
        let search = Search {
            strings: self.within.strings.clone(),
            frets: self.frets(),
            ..Search::new(chord, instrument, hand)
        };
        let near = self.within.near.unwrap_or_default();
        let mut shapes = search.all();
        // Two strings sound an interval: they stand for a chord only where nothing fuller is asked for.
        let fullest = shapes.iter().map(|shape| shape.sounding().count()).max().unwrap_or_default();
        shapes.retain(|shape| shape.sounding().count() >= fullest.min(chord.tones.len()).min(3));
        let ranked = ranked(&shapes, chord, instrument, hand, near, keep);
        ranked.iter().map(|one| self.found(chord, &one.shape)).collect()
    }

    fn found(&self, chord: &Chord, shape: &Shape) -> Found {
        let neck = Neck::of(&self.setting.instrument);
        let hold = hold::easiest(shape.frets(), &neck, self.setting.hand, Posture::default());
        let fingers = hold.map(|hold| hold.fingers).unwrap_or_default();
        Found {
            chord: chord.clone(),
            fingering: Fingering { frets: shape.frets().to_vec(), fingers },
        }
    }

    /// Boxes of shapes, each with what its name doesn't say beneath.
    fn boxes(&self, found: &[Found]) -> Shapes {
        let shape = |found: &Found| self.one_box(found, self.about(found));
        Shapes { shapes: found.iter().map(shape).collect() }
    }

    fn one_box(&self, found: &Found, caption: String) -> shape::Shape {
        shape::Shape {
            name: Name::Given(found.chord.clone()),
            twin: None,
            fingering: found.fingering.clone(),
            caption: (!caption.is_empty()).then_some(caption),
            span: NOWHERE,
        }
    }

    /// The inversion, and what is left out.
    fn about(&self, found: &Found) -> String {
        let inversion = table::inversion(found, &self.setting.instrument).map(terms::inversion);
        let missing = self.missing(found);
        let missing =
            missing.iter().map(|degree| no_tone(&degree.above(found.chord.root).printed()));
        inversion.map(str::to_owned).into_iter().chain(missing).collect::<Vec<_>>().join(", ")
    }

    /// The tones that don't sound.
    fn missing(&self, found: &Found) -> Vec<Degree> {
        let shape = Shape::of(&found.fingering.frets);
        let classes: Vec<u8> =
            shape.pitches(&self.setting.instrument).map(|pitch| pitch.class()).collect();
        let silent = |degree: &Degree| !classes.contains(&degree.above(found.chord.root).class());
        found.chord.tones.iter().map(|tone| tone.degree).filter(silent).collect()
    }

    /// The chords that stand on a key's degrees, with their numerals, and its scale.
    fn keys(&self, keys: &[Key]) -> Result<Chart, String> {
        let titles: Vec<String> = keys.iter().map(|key| key.printed()).collect();
        let of_key = |key: &Key| {
            format!("{}-{}", file_name::of_note(key.tonic), file_name::plain(key.name()))
        };
        let mut chart = Chart {
            title: format!("Chords and scale of {}", titles.join(", ")),
            name: file_name::of_each("key", keys, of_key),
            ..Chart::default()
        };
        for key in keys {
            for (voices, what) in [(3, "triads"), (4, "seventh chords")] {
                self.diatonic(key, voices, what, &mut chart)?;
            }
            self.scale(&Scale::of(key), &mut chart);
        }
        Ok(chart)
    }

    fn diatonic(
        &self,
        key: &Key,
        voices: usize,
        what: &str,
        chart: &mut Chart,
    ) -> Result<(), String> {
        let mut boxes = Vec::new();
        for chord in on_degrees(key, voices) {
            let numeral = Numeral::of(&chord, key).printed().text();
            let mut found = self.held(&chord, SHOWN);
            // A key's chords are shown whole; the sort is stable, so the others keep their order.
            found.sort_by_key(|found| !self.is_full(found));
            found.truncate(self.within.keep.unwrap_or(1));
            if found.is_empty() {
                return Err(self.nowhere(&chord, "no shape that the hand can hold"));
            }
            boxes.extend(found.iter().map(|found| self.one_box(found, numeral.clone())));
            chart.shapes.extend(found);
        }
        let caption = format!("The {what} of {}", key.harmony().printed());
        chart.parts.push(part(caption, Content::Boxes(Shapes { shapes: boxes })));
        Ok(())
    }

    /// Whether no tone is missing and the chord is fuller than a triad's three strings.
    fn is_full(&self, found: &Found) -> bool {
        self.missing(found).is_empty() && found.fingering.places().count() > 3
    }

    fn nowhere(&self, chord: &Chord, what: &str) -> String {
        let frets = self.frets();
        let (from, to) = (frets.start(), frets.end());
        let strings = self.strings_in_words(&self.within.strings);
        format!("`{chord}` has {what} on {strings} between frets {from} and {to}")
    }

    /// Strings as players number them: "strings 3 2 1".
    fn strings_in_words(&self, strings: &[usize]) -> String {
        let tuning = &self.setting.instrument.tuning;
        let numbers: Vec<String> =
            strings.iter().map(|index| tuning.number(*index).to_string()).collect();
        format!("strings {}", numbers.join(" "))
    }
}

/// The chords of so many voices on a key's degrees: on each the plainest whose tones it has.
fn on_degrees(key: &Key, voices: usize) -> Vec<Chord> {
    const TRIADS: &[&str] = &["", "m", "dim", "aug", "(b5)"];
    const SEVENTHS: &[&str] =
        &["maj7", "7", "m7", "m7b5", "mMaj7", "dim7", "maj7#5", "7#5", "7b5", "maj7b5"];
    let suffixes = if voices == 3 { TRIADS } else { SEVENTHS };
    let key = key.harmony();
    let own = Scale::of(&key).classes();
    let on = |root: Note| {
        let chords = suffixes.iter().filter_map(|suffix| Chord::of(root, suffix, None).ok());
        chords.into_iter().find(|chord| chord.classes() & !own == 0)
    };
    key.notes().filter_map(on).collect()
}

pub(super) fn part(caption: String, content: Content) -> Part {
    Part { caption: Some(caption), content }
}

fn found_of(voiced: &Voiced) -> Found {
    Found { chord: voiced.chord.clone(), fingering: voiced.fingering.clone() }
}

fn printed(chords: &[Chord]) -> String {
    chords.iter().map(|chord| chord.printed().text()).collect::<Vec<_>>().join(", ")
}
