//! Working a chart out on an instrument.

use super::error::{ChartError, Lacking, Nowhere};
use super::wish::{Wish, Within};
use super::{Chart, Content, Part, file_name, shapes};
use crate::blocks::shape::{self, Name, Shapes};
use crate::blocks::voicings::{self, Line, Voiced, Voicings, left_out, usual_frets};
use crate::findings::{Findings, Span};
use crate::lesson::Setting;
use crate::neck::voicing::{Family, Inversion, MEAN_UNIT, Shape};
use crate::neck::{Fret, Instrument, StringIndex};
use crate::theory::{Chord, Key, Note, Numeral, Printed, Scale};
use crate::words::terms;
use std::ops::RangeInclusive;

/// How many shapes of a chord are shown where nothing is said: of one as many as fill a page, of two half as many
/// together with the other's, and of more a row, so that a page holds several chords.
const SHOWN: usize = 12;
const SHOWN_OF_TWO: usize = 8;
const SHOWN_OF_MORE: usize = 4;
/// Among so many times as many shapes, and so many at least, those that differ are looked for; further down the order
/// none is worth a box (assumed).
const SOUGHT_TIMES: usize = 3;
const SOUGHT: usize = 36;
/// A span of the source: a chart has none.
pub(super) const NOWHERE: Span = Span::new(0, 0);

/// A chart of what is wished for; what is wrong in fingerings goes to the findings.
///
/// # Errors
/// Says what has no place on the instrument, in the frets or under the hand.
pub fn chart(
    wish: &Wish<'_>,
    within: &Within,
    setting: &Setting,
    findings: &mut Findings,
) -> Result<Chart, ChartError> {
    let task = Task { within, setting };
    match wish {
        Wish::Triads(chords) => task.triads(chords),
        Wish::Chords(chords) => task.chords(chords),
        Wish::Scales(scales) => Ok(task.scales(scales)),
        Wish::Keys(keys) => task.keys(keys),
        Wish::Shapes(wishes) => Ok(shapes::chart(wishes, setting, findings)),
        Wish::Blank(blank) => Ok(Chart {
            title: Printed::plain(blank.title()),
            name: vec![blank.stem().to_owned()],
            parts: vec![Part { name: None, caption: None, content: Content::Blank(*blank) }],
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
    fn triads(&self, chords: &[Chord]) -> Result<Chart, ChartError> {
        let mut chart = Chart {
            title: Printed::plain("Triads of ").with(printed(chords)),
            name: file_name::of_chords("triads", chords),
            ..Chart::default()
        };
        if chords.len() > 1 {
            let shapes = self.way(chords)?;
            let strings = self.strings_in_words(&self.within.strings);
            let caption = Printed::plain(format!("The way that moves least, on {strings}"));
            chart.path.clone_from(&shapes);
            let line = Line { family: Family::Triads, shapes, leads: true, span: NOWHERE };
            chart.parts.push(Part::new(caption, Content::Way(Voicings { lines: vec![line] })));
        }
        let sets: Vec<&[StringIndex]> = self.within.strings.windows(3).rev().collect();
        let on_sets = |chord| sets.iter().map(|set| self.triads_on(chord, set)).collect();
        let found: Vec<Vec<Vec<Voiced>>> = chords.iter().map(on_sets).collect();
        let lowest = Lowest::Every.told(found.iter().flatten().flatten(), self.setting);
        for (chord, found) in chords.iter().zip(found) {
            let first = chart.parts.len();
            for (set, found) in sets.iter().zip(found).filter(|(_, found)| !found.is_empty()) {
                let strings = self.strings_in_words(set);
                let caption = match chords.len() > 1 && chart.parts.len() > first {
                    true => chord.printed().then(format!(" on {strings}"), false),
                    false => Printed::plain(strings),
                };
                let shown = boxes(&found, lowest, &self.setting.instrument);
                chart.parts.push(Part::new(caption, Content::Boxes(shown)));
                chart.shapes.extend(found);
            }
            if chart.parts.len() == first {
                return Err(self.nowhere(chord, Lacking::Triad));
            }
            if chords.len() > 1 {
                chart.name_part(first, chord.printed());
            }
        }
        Ok(chart)
    }

    /// The triads on three strings in the order of their places, as many as are to be kept of those
    /// nearest to the fret that is asked for.
    fn triads_on(&self, chord: &Chord, set: &[StringIndex]) -> Vec<Voiced> {
        let wish = self.wish(std::slice::from_ref(chord), Family::Triads, None);
        let wish = voicings::Wish { strings: Some(set.to_vec()), ..wish };
        let mut found = wish.every_shape(self.setting);
        if let Some(keep) = self.within.keep {
            let near = i64::from(self.within.near.unwrap_or_default()) * MEAN_UNIT;
            found.sort_by_key(|voiced| (voiced.shape.mean_fret() - near).abs());
            found.truncate(keep);
            found.sort_by_key(|voiced| (voiced.shape.mean_fret(), voiced.shape));
        }
        found
    }

    /// What is asked of voicings.
    fn wish(&self, chords: &[Chord], family: Family, keep: Option<usize>) -> voicings::Wish {
        let Within { strings, frets, near, .. } = self.within.clone();
        voicings::Wish {
            chords: chords.iter().map(|chord| (chord.clone(), None)).collect(),
            family,
            strings: Some(strings),
            frets,
            near,
            starting: None,
            keep,
        }
    }

    /// The frets that are asked for, or the usual ones.
    pub(super) fn frets(&self) -> RangeInclusive<Fret> {
        let usual = || usual_frets(self.within.near, self.setting);
        self.within.frets.clone().unwrap_or_else(usual)
    }

    /// The way through chords as triads that moves least, the first as near as it can be to the
    /// fret that is asked for.
    fn way(&self, chords: &[Chord]) -> Result<Vec<Voiced>, ChartError> {
        let outcome = self.wish(chords, Family::Triads, None).work_out(self.setting);
        let lacking = outcome.lacking.first().and_then(|lacking| chords.get(lacking.chord));
        match lacking {
            Some(chord) => Err(self.nowhere(chord, Lacking::HeldTriad)),
            None => Ok(outcome.shapes),
        }
    }

    /// The ways to hold chords, those that teachers show first coming first.
    fn chords(&self, chords: &[Chord]) -> Result<Chart, ChartError> {
        let mut chart = Chart {
            title: Printed::plain("Ways to hold ").with(printed(chords)),
            name: file_name::of_chords("chord", chords),
            ..Chart::default()
        };
        let keep = self.within.keep.unwrap_or(match chords {
            [_] => SHOWN,
            [_, _] => SHOWN_OF_TWO,
            _ => SHOWN_OF_MORE,
        });
        let found = chords.iter().map(|chord| match chords.len() {
            1 => self.held(chord, keep),
            _ => self.different(chord, keep),
        });
        let found: Vec<Vec<Voiced>> = found.collect::<Result<_, _>>()?;
        let lowest = Lowest::OtherThanRoot.told(found.iter().flatten(), self.setting);
        for (chord, found) in chords.iter().zip(found) {
            let notes: Vec<String> = chord.notes().iter().map(|note| note.printed()).collect();
            let caption = Printed::plain(notes.join(" "));
            let name = (chords.len() > 1).then(|| chord.printed());
            let shown = boxes(&found, lowest, &self.setting.instrument);
            let content = Content::Boxes(shown);
            chart.parts.push(Part { name, ..Part::new(caption, content) });
            chart.shapes.extend(found);
        }
        Ok(chart)
    }

    /// The shapes of a chord that are shown first beside those of others, each another way to hold it; variants of them
    /// only where there are too few.
    fn different(&self, chord: &Chord, keep: usize) -> Result<Vec<Voiced>, ChartError> {
        let sought = keep.saturating_mul(SOUGHT_TIMES).max(SOUGHT);
        let (mut different, mut variants): (Vec<Voiced>, Vec<Voiced>) = Default::default();
        for voiced in self.held(chord, sought)? {
            let alike = |one: &Voiced| voiced.shape.is_variant_of(&one.shape);
            if different.iter().any(alike) { &mut variants } else { &mut different }.push(voiced);
        }
        different.extend(variants);
        different.truncate(keep);
        Ok(different)
    }

    /// The shapes of a chord that are shown first.
    fn held(&self, chord: &Chord, keep: usize) -> Result<Vec<Voiced>, ChartError> {
        let wish = self.wish(std::slice::from_ref(chord), Family::Any, Some(keep));
        let found = wish.work_out(self.setting).shapes;
        match found.is_empty() {
            true => Err(self.nowhere(chord, Lacking::HeldShape)),
            false => Ok(found),
        }
    }

    /// The chords that stand on a key's degrees, with their numerals, and its scale.
    fn keys(&self, keys: &[Key]) -> Result<Chart, ChartError> {
        let titles: Vec<String> = keys.iter().map(|key| key.printed()).collect();
        let of_key = |key: &Key| {
            format!("{}-{}", file_name::of_note(key.tonic), file_name::plain(key.name()))
        };
        let mut chart = Chart {
            title: Printed::plain(format!("Chords and scale of {}", titles.join(", "))),
            named: true,
            numerals: true,
            name: file_name::of_each("key", keys, of_key),
            ..Chart::default()
        };
        for key in keys {
            let first = chart.parts.len();
            let harmony = key.harmony();
            let of = match harmony == *key {
                true => String::new(),
                false => format!(" of {}", harmony.printed()),
            };
            for (voices, what) in [(3, "Triads"), (4, "Seventh chords")] {
                self.diatonic(key, voices, &format!("{what}{of}"), &mut chart)?;
            }
            self.scale(&Scale::of(key), "The scale: ", &mut chart);
            if keys.len() > 1 {
                chart.name_part(first, Printed::plain(key.printed()));
            }
        }
        Ok(chart)
    }

    fn diatonic(
        &self,
        key: &Key,
        voices: usize,
        what: &str,
        chart: &mut Chart,
    ) -> Result<(), ChartError> {
        let mut shapes = Vec::new();
        for chord in on_degrees(key, voices) {
            let numeral = Numeral::of(&chord, key).printed();
            let mut found = self.held(&chord, SHOWN)?;
            // A key's chords are shown whole, one that is a part of a barre chord as that; the
            // sorts are stable, so the others keep their order.
            found.sort_by_key(|voiced| !is_full(voiced));
            if let Some(first) = found.first().map(|first| first.shape) {
                found.sort_by_key(|voiced| !(is_barre_chord(voiced) && is_part(&first, voiced)));
            }
            found.truncate(self.within.keep.unwrap_or(1));
            shapes.extend(found.iter().map(|voiced| one_box(voiced, numeral.clone())));
            chart.shapes.extend(found);
        }
        let caption = Printed::plain(what);
        chart.parts.push(Part::new(caption, Content::Boxes(Shapes::of(shapes))));
        Ok(())
    }

    fn nowhere(&self, chord: &Chord, what: Lacking) -> ChartError {
        let tuning = &self.setting.instrument.tuning;
        let strings = self.within.strings.iter().map(|string| tuning.number(*string));
        let (chord, strings, frets) = (chord.clone(), strings.collect(), self.frets());
        ChartError::NoPlace(Nowhere { chord, what, strings, frets })
    }

    /// Strings as players number them: "strings 3 2 1".
    fn strings_in_words(&self, strings: &[StringIndex]) -> String {
        let tuning = &self.setting.instrument.tuning;
        let numbers: Vec<String> =
            strings.iter().map(|index| tuning.number(*index).to_string()).collect();
        format!("strings {}", numbers.join(" "))
    }
}

/// Of which boxes it is told which tone is lowest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lowest {
    /// Of none.
    Untold,
    /// Of those whose root is not the lowest, where a chord is held in any way.
    OtherThanRoot,
    /// Of all: the triads of a chart are its inversions.
    Every,
}

impl Lowest {
    /// What is told of a sheet's shapes: of all of them or of none, for where a high string lies lowest, the lowest
    /// note is no bass.
    fn told<'v>(self, mut found: impl Iterator<Item = &'v Voiced>, setting: &Setting) -> Lowest {
        let instrument = &setting.instrument;
        let has_bass = |voiced: &Voiced| voiced.shape.pitches(instrument).is_sorted();
        let is_told = !instrument.tuning.is_reentrant() || found.all(has_bass);
        if is_told { self } else { Lowest::Untold }
    }

    /// The inversion of a shape, or the note that is lowest where that makes none.
    fn of(self, voiced: &Voiced, instrument: &Instrument) -> Option<String> {
        if self == Lowest::Untold {
            return None;
        }
        let class = voiced.shape.bass(instrument)?.class();
        let (chord, all) = (&voiced.chord, self == Lowest::Every);
        if !all && chord.bass.is_some_and(|bass| bass.class() == class) {
            return None;
        }
        match voiced.inversion {
            Some(Inversion::Root) if !all => None,
            Some(inversion) => Some(terms::inversion(inversion).to_owned()),
            None => {
                let note = chord.notes().into_iter().find(|note| note.class() == class)?;
                Some(format!("over\u{a0}{}", note.printed()))
            }
        }
    }
}

/// Boxes of shapes, each with what its name doesn't say beneath: its lowest tone, what it leaves out.
fn boxes(found: &[Voiced], lowest: Lowest, instrument: &Instrument) -> Shapes {
    let one = |voiced: &Voiced| one_box(voiced, Printed::plain(about(voiced, lowest, instrument)));
    Shapes::of(found.iter().map(one).collect())
}

fn one_box(voiced: &Voiced, caption: Printed) -> shape::Shape {
    shape::Shape {
        name: Name::Given(voiced.chord.clone()),
        twin: None,
        fingering: voiced.fingering.clone(),
        caption: (!caption.runs.is_empty()).then_some(caption),
        blank: None,
        span: NOWHERE,
    }
}

/// The lowest tone where it is to be told, and what is left out; no line ends behind the "no".
fn about(voiced: &Voiced, lowest: Lowest, instrument: &Instrument) -> String {
    let lowest = lowest.of(voiced, instrument);
    let missing = voiced.left_out.iter().map(|left| left_out(left).replacen(' ', "\u{a0}", 1));
    lowest.into_iter().chain(missing).collect::<Vec<_>>().join(", ")
}

/// Whether no tone is missing and the chord is fuller than a triad's three strings.
fn is_full(voiced: &Voiced) -> bool {
    voiced.left_out.is_empty() && voiced.fingering.places().count() > 3
}

/// Whether a shape with nothing open is another without its lowest strings.
fn is_part(part: &Shape, whole: &Voiced) -> bool {
    let shared = part.frets().iter().zip(whole.shape.frets());
    let mut shared = shared.skip_while(|(own, _)| own.is_none());
    shared.all(|(own, other)| own == other && own.is_some_and(Fret::is_pressed))
}

/// Whether the index finger lies over all strings from the root to the highest.
fn is_barre_chord(voiced: &Voiced) -> bool {
    let frets = voiced.shape.frets();
    let lowest = frets.iter().flatten().min().copied();
    let root = frets.iter().flatten().next().copied();
    let silent = frets.iter().skip_while(|fret| fret.is_none()).any(Option::is_none);
    let ends = [root, frets.last().copied().flatten()];
    let across = lowest.is_some_and(Fret::is_pressed) && ends == [lowest; 2];
    across && !silent && voiced.inversion == Some(Inversion::Root)
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

fn printed(chords: &[Chord]) -> Printed {
    Printed::listed(chords.iter().map(Chord::printed))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::neck::{Fingering, Tuning};

    #[test]
    fn what_is_left_out_is_told_as_a_lesson_tells_it() {
        for (chord, told) in [
            ("C7", "root position, no\u{a0}fifth"),
            ("C7alt", "root position"),
            ("C/F#", "first inversion, no\u{a0}F♯: the bass has it"),
        ] {
            let (setting, strings) = (Setting::default(), StringIndex::first(6).collect());
            let within = Within { strings, frets: None, near: None, keep: None };
            let task = Task { within: &within, setting: &setting };
            let chord = [Chord::parse(chord).unwrap()];
            let family = if chord[0].bass.is_some() { Family::Triads } else { Family::Any };
            let wish = task.wish(&chord, family, Some(SHOWN));
            let found = wish.work_out(&setting).shapes;
            let mut told_of =
                found.iter().map(|voiced| about(voiced, Lowest::Every, &setting.instrument));
            assert!(told_of.any(|words| words == told), "{}: {told}", chord[0]);
        }
    }

    #[test]
    fn the_lowest_tone_is_told_of_all_boxes_where_it_is_not_the_root_and_of_every_triad() {
        let (mut setting, strings) = (Setting::default(), StringIndex::first(6).collect());
        let within = Within { strings, frets: None, near: None, keep: None };
        let captions = |wish: Wish<'_>, within: &Within, setting: &Setting| -> Vec<String> {
            let chart = chart(&wish, within, setting, &mut Findings::default()).unwrap();
            let boxes = chart.parts.into_iter().filter_map(|part| match part.content {
                Content::Boxes(boxes) => Some(boxes.shapes),
                _ => None,
            });
            boxes.flatten().filter_map(|shape| Some(shape.caption?.text())).collect()
        };
        let chord = |name: &str| vec![Chord::parse(name).unwrap()];
        let whole = captions(Wish::Chords(chord("Am")), &within, &setting);
        assert!(!whole.iter().any(|words| words.contains("root")), "{whole:?}");
        let upper = Within { strings: StringIndex::first(6).skip(2).collect(), ..within.clone() };
        let found = captions(Wish::Chords(chord("Am")), &upper, &setting);
        assert!(found.contains(&"second inversion".to_owned()), "{found:?}");
        let frets = [None, None, Some(9), Some(9), Some(10), Some(9)];
        let frets = frets.map(|fret| fret.map(Fret::new)).to_vec();
        let fingering = Fingering { frets, fingers: Vec::new() };
        let voiced = Voiced::held(&chord("Aadd9")[0], fingering, &setting);
        let told = about(&voiced, Lowest::OtherThanRoot, &setting.instrument);
        assert_eq!(told, "over\u{a0}B");
        let triads = captions(Wish::Triads(chord("A")), &within, &setting);
        assert!(triads.contains(&"root position".to_owned()), "{triads:?}");
        assert!(triads.contains(&"first inversion".to_owned()), "{triads:?}");
        // A string tuned above its neighbour: some lowest notes are no bass, and none is told.
        setting.instrument.tuning = Tuning::parse("G4 C4 E4 A4").unwrap();
        let within = Within { strings: StringIndex::first(4).collect(), ..within };
        let found = captions(Wish::Chords(chord("C")), &within, &setting);
        assert!(!found.iter().any(|words| words.contains("inversion")), "{found:?}");
    }

    #[test]
    fn what_a_barre_chord_is_a_part_of_is_shown_whole_in_a_key_and_no_variants_of_a_chord_are() {
        let (setting, strings) = (Setting::default(), StringIndex::first(6).collect());
        let within = Within { strings, frets: None, near: None, keep: None };
        let found = |wish: Wish<'_>| -> Vec<Voiced> {
            chart(&wish, &within, &setting, &mut Findings::default()).unwrap().shapes
        };
        let key = found(Wish::Keys(vec![Key::parse("E major").unwrap()]));
        let shape = |frets: [u8; 6]| Shape::of(&frets.map(|fret| Some(Fret::new(fret))));
        assert_eq!(key[1].shape, shape([2, 4, 4, 2, 2, 2]));
        assert_eq!(key[2].shape, shape([4, 6, 6, 4, 4, 4]));
        let ways = found(Wish::Chords(["C", "G", "Am"].map(|c| Chord::parse(c).unwrap()).into()));
        assert_eq!(ways.len(), 3 * SHOWN_OF_MORE);
        for ways in ways.chunks(SHOWN_OF_MORE) {
            let variant = |one: &Voiced, other: &Voiced| one.shape.is_variant_of(&other.shape);
            let later = |at: usize| ways.iter().skip(at + 1);
            let twice = |(at, one)| later(at).any(|other| variant(one, other));
            assert!(!ways.iter().enumerate().any(twice), "{ways:?}");
        }
    }
}
