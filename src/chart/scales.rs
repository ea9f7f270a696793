//! Scales over the neck, and the positions in which a hand plays them without moving.

use super::work::{NOWHERE, Task};
use super::{Chart, Content, Part, Position, file_name};
use crate::blocks::neck::{self, Diagram, Diagrams, Dot, Phrases, Shown, fingered};
use crate::neck::position::WIDEST;
use crate::neck::{Fret, Neck, StringIndex};
use crate::theory::{Midi, Printed, Scale};
use std::cmp::Reverse;
use std::ops::RangeInclusive;

/// The frets after which the positions come again.
const OCTAVE: u8 = 12;

impl Task<'_> {
    /// Scales over the neck, and position by position.
    pub(super) fn scales(&self, scales: &[Scale]) -> Chart {
        let titles: Vec<String> = scales.iter().map(|scale| scale.printed()).collect();
        let of_scale = |scale: &Scale| {
            format!("{}-{}", file_name::of_note(scale.tonic), file_name::plain(scale.kind.name()))
        };
        let mut chart = Chart {
            title: Printed::plain(titles.join(", ")),
            name: file_name::of_each("scale", scales, of_scale),
            ..Chart::default()
        };
        for scale in scales {
            let first = chart.parts.len();
            self.scale(scale, "", &mut chart);
            if scales.len() > 1 {
                chart.name_part(first, Printed::plain(scale.printed()));
            }
        }
        chart
    }

    /// Adds a scale to a chart: over the neck, its notes behind a word that leads to them, and in its positions unless
    /// the frets are named.
    pub(super) fn scale(&self, scale: &Scale, lead: &str, chart: &mut Chart) {
        let notes: Vec<String> = scale.notes().iter().map(|note| note.printed()).collect();
        let frets = self.frets();
        let whole = self.diagram(scale, frets.clone());
        let caption = Printed::plain(format!("{lead}{}", notes.join(" ")));
        let neck = chart.parts.len();
        chart.parts.push(Part::new(caption, Content::Neck(self.diagrams(vec![whole.clone()]))));
        let positions = match self.within.frets {
            Some(_) => vec![whole],
            None => self.positions(scale),
        };
        if self.within.frets.is_none() && !positions.is_empty() {
            let gaps = positions.iter().any(|position| self.skipped(scale, position) > 0);
            let gaps = if gaps { "; notes that lie out of reach between are left out" } else { "" };
            let nearest = match (self.within.near, positions.as_slice()) {
                (Some(near), [first, _, ..]) => {
                    let (low, high) = (first.frets.start(), first.frets.end());
                    format!("; nearest to fret {near} are frets {low} to {high}")
                }
                _ => String::new(),
            };
            let caption = Printed::plain(format!("Position by position{nearest}{gaps}"));
            // On paper they stand as a hand finds them on the neck.
            let mut printed = positions.clone();
            printed.sort_by_key(|position| *position.frets.start());
            chart.parts.push(Part::new(caption, Content::Neck(self.diagrams(printed))));
            // The key beneath the positions is the whole neck's too.
            if let Some(Part { content: Content::Neck(necks), .. }) = chart.parts.get_mut(neck) {
                necks.keyed = false;
            }
        }
        let positions =
            positions.into_iter().map(|diagram| Position { scale: scale.clone(), diagram });
        chart.positions.get_or_insert_default().extend(positions);
    }

    /// The positions of an octave of the neck, each once, those left out that lie in another, or that
    /// are wider than a position should be and hold another: near the fret that is asked for, the
    /// position of that fret first, then the nearest, else from the nut on; as many as are to be kept.
    fn positions(&self, scale: &Scale) -> Vec<Diagram> {
        let anchors = self.anchors(scale).into_iter();
        let found: Vec<Diagram> = anchors.map(|anchor| self.position(scale, anchor)).collect();
        let is_wide = |one: &Diagram| one.frets.end().above(*one.frets.start()) >= WIDEST;
        let easier = |one: &Diagram, other: &Diagram| {
            lies_in(other, one) && self.skipped(scale, other) <= self.skipped(scale, one)
        };
        let mut all = found.clone();
        all.retain(|one| !(is_wide(one) && found.iter().any(|other| easier(one, other))));
        all.sort_by_key(|one| (*one.frets.start(), Reverse(*one.frets.end())));
        all.dedup_by(|one, before| one.frets == before.frets || lies_in(one, before));
        if let Some(near) = self.within.near {
            let middle = |one: &Diagram| one.frets.start().number() + one.frets.end().number();
            all.sort_by_key(|one| {
                (!is_position_of(near, one), middle(one).abs_diff(near.number().saturating_mul(2)))
            });
        }
        all.truncate(self.within.keep.unwrap_or(usize::MAX));
        all
    }

    /// The frets of an octave on which the lowest-sounding string has notes of a scale: each of them is
    /// in a position.
    fn anchors(&self, scale: &Scale) -> Vec<Fret> {
        let instrument = &self.setting.instrument;
        let last = instrument.last_fret();
        let pitch = |string: StringIndex, fret: Fret| instrument.written_pitch(string, fret);
        let strings = self.within.strings.iter().copied();
        let lowest =
            strings.min_by_key(|string| pitch(*string, Fret::OPEN)).unwrap_or(StringIndex::LOWEST);
        let near = self.within.near.unwrap_or_default();
        let first = near.down(OCTAVE / 2).min(last.down(OCTAVE));
        let frets = first.to(first.up(OCTAVE - 1)).filter(|fret| *fret < last);
        frets.filter(|fret| pitch(lowest, *fret).is_some_and(|pitch| has(scale, pitch))).collect()
    }

    /// A scale in the position around a fret, the frets at both ends without a note left out: the
    /// first of the [stretches](Self::stretches) in which no note of it is skipped between the lowest
    /// and the highest, or in which the fewest are.
    fn position(&self, scale: &Scale, anchor: Fret) -> Diagram {
        let best = self
            .stretches(anchor)
            .map(|frets| self.diagram(scale, frets))
            .min_by_key(|diagram| self.skipped(scale, diagram));
        let mut diagram = best.unwrap_or_else(|| self.diagram(scale, anchor..=anchor));
        let used = || diagram.dots.iter().map(|dot| dot.fret);
        if let (Some(low), Some(high)) = (used().min(), used().max()) {
            diagram.frets = low..=high;
            diagram.dots = fingered(diagram.dots, &diagram.frets);
        }
        diagram
    }

    /// The stretches of the neck around a fret that a hand plays without moving: of [`WIDEST`] frets, or
    /// wider as far as the spread hand spans. First comes the one that begins a fret below; to begin a fret
    /// further off is worse, and to be a fret wider twice so (assumed).
    fn stretches(&self, anchor: Fret) -> impl Iterator<Item = RangeInclusive<Fret>> {
        let (instrument, hand) = (&self.setting.instrument, self.setting.hand);
        let neck = Neck::of(instrument);
        let (anchor, last) = (i16::from(anchor), i16::from(instrument.last_fret()));
        let (position, widest) = (i16::from(WIDEST), i16::from(OCTAVE));
        let of_width = |width: i16| (anchor - width + 1..=anchor).map(move |start| (width, start));
        let mut all: Vec<(i16, i16)> = (position..=widest).flat_map(of_width).collect();
        all.sort_by_key(|(width, start)| {
            (2 * (width - position) + (start - (anchor - 1)).abs(), -start)
        });
        let spans = move |(width, start): (i16, i16)| {
            let (low, high) = (start.max(0) as u8, (start + width - 1).min(last) as u8);
            let (low, high) = (Fret::new(low), Fret::new(high));
            let far = neck.pressed(high) - neck.pressed(low.max(Fret::FIRST));
            (width <= position || far <= hand.span).then_some(low..=high)
        };
        all.into_iter().filter_map(spans)
    }

    /// How many notes of a scale between the lowest and the highest dot of a diagram are not there.
    fn skipped(&self, scale: &Scale, diagram: &Diagram) -> usize {
        let sounds = |dot: &Dot| self.setting.instrument.written_pitch(dot.string, dot.fret);
        let pitches: Vec<Midi> = diagram.dots.iter().filter_map(sounds).collect();
        let (low, high) = (pitches.iter().min(), pitches.iter().max());
        let Some((low, high)) = low.zip(high) else { return 0 };
        let between =
            (low.number()..=high.number()).map(Midi::new).filter(|pitch| has(scale, *pitch));
        between.filter(|pitch| !pitches.contains(pitch)).count()
    }

    fn diagrams(&self, list: Vec<Diagram>) -> Diagrams {
        Diagrams {
            instrument: self.setting.instrument.clone(),
            left_handed: self.setting.left_handed,
            named: false,
            keyed: true,
            list,
        }
    }

    fn diagram(&self, scale: &Scale, frets: RangeInclusive<Fret>) -> Diagram {
        let strings = Some(self.within.strings.clone());
        let phrases = Phrases { frets: Some(frets), strings, ..Phrases::default() };
        let wish = neck::Wish { what: Shown::scale(scale.clone()), phrases };
        wish.lay_out(self.setting, NOWHERE)
    }
}

/// Whether a diagram is the position of a fret, as teachers count them: it begins there, or the index
/// finger's own fret is there.
fn is_position_of(fret: Fret, diagram: &Diagram) -> bool {
    *diagram.frets.start() == fret || index_fret(&diagram.frets) == fret
}

/// The fret of the index finger, the little finger standing on the last.
fn index_fret(frets: &RangeInclusive<Fret>) -> Fret {
    frets.end().down(3).max(Fret::FIRST)
}

/// Whether a diagram shows a part of the frets that another shows.
fn lies_in(inner: &Diagram, outer: &Diagram) -> bool {
    let (inner, outer) = (&inner.frets, &outer.frets);
    inner != outer && outer.contains(inner.start()) && outer.contains(inner.end())
}

/// Whether a pitch is a note of a scale.
fn has(scale: &Scale, pitch: Midi) -> bool {
    scale.notes().iter().any(|note| note.class() == pitch.class())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::chart::wish::{Wish, Within};
    use crate::chart::work;
    use crate::findings::Findings;
    use crate::lesson::Setting;

    #[test]
    fn positions_are_printed_along_the_neck_the_nearest_named_and_their_key_once() {
        let strings = StringIndex::first(6).collect();
        let within = Within { strings, frets: None, near: Some(Fret::new(5)), keep: None };
        let wish = Wish::Scales(vec![Scale::parse("D dorian").unwrap()]);
        let setting = Setting::default();
        let chart = work::chart(&wish, &within, &setting, &mut Findings::default()).unwrap();
        let [whole, positions] = chart.parts.as_slice() else { panic!("{:?}", chart.parts) };
        let (Content::Neck(whole), Content::Neck(necks)) = (&whole.content, &positions.content)
        else {
            panic!("no necks");
        };
        assert!(!whole.keyed && necks.keyed);
        assert!(necks.list.is_sorted_by_key(|position| *position.frets.start()));
        let caption = positions.caption.as_ref().unwrap().text();
        assert!(caption.contains("nearest to fret 5 are frets 4 to 8"), "{caption}");
        // What `--json` tells begins with the one that is asked for.
        let found = chart.positions.unwrap();
        assert_eq!(*found.first().unwrap().diagram.frets.start(), Fret::new(4));
    }
}
