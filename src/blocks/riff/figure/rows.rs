//! The rows that stand above and beneath the staff, moment by moment: chord symbols, the spoken
//! count, fingers, the pick's strokes, syllables.

use super::super::model::{Bar, Event, Form, Pick, Riff};
use super::chords;
use super::scale::Scale;
use super::spacing::{Lane, Reach};
use super::strokes::Boxes;
use crate::ink::{Face, Pt, Text};
use crate::neck::Finger;
use crate::theory::Ticks;

/// Something written at a moment outside the staff.
#[derive(Debug, Clone)]
pub(super) struct Label {
    /// The moment, counted from the riff's start.
    pub tick: Ticks,
    pub lane: Lane,
    /// How far it reaches to both sides of the moment's axis.
    pub reach: Reach,
    pub face: LabelFace,
}

/// What a label looks like.
#[derive(Debug, Clone)]
pub(super) enum LabelFace {
    /// Lines of words, the uppermost first.
    Lines(Vec<Text>),
    /// A stroke of the pick.
    Stroke(Pick),
    /// A chord symbol over its box, by the box's number.
    Box {
        /// The symbol.
        symbol: Text,
        /// The number.
        index: usize,
    },
}

impl Label {
    /// Words centred on the moment's axis.
    fn centred(tick: Ticks, lane: Lane, lines: Vec<Text>) -> Label {
        let half = lines.iter().fold(Pt::ZERO, |half, line| half.max(line.width / 2.0));
        let reach = Reach { left: half, right: half };
        Label { tick, lane, reach, face: LabelFace::Lines(lines) }
    }
}

/// The labels of a bar.
pub(super) fn labels(
    riff: &Riff,
    bar: &Bar,
    index: usize,
    boxes: &Boxes,
    scale: &Scale,
) -> Vec<Label> {
    // A strumming pattern's strokes stand in a lane of their own.
    let picked = riff.form == Form::Tab;
    let mut labels = symbols(riff, bar, index, boxes, scale);
    labels.extend(counts(bar, scale));
    for event in &bar.events {
        let tick = bar.start + event.at;
        labels.extend(left(event, tick, scale).filter(|_| riff.fingered));
        labels.extend(right(event, tick, scale));
        labels.extend(event.pick.filter(|_| picked).map(|pick| stroke(pick, tick, scale)));
    }
    let sung = bar.remarks("sung").iter();
    labels.extend(sung.map(|syllable| {
        let text = scale.small(&syllable.text, Face::Serif);
        Label::centred(bar.start + syllable.at, Lane::Sung, vec![text])
    }));
    labels
}

/// Chord symbols, their left edge over that of a one-figure fret number, or over their boxes.
fn symbols(riff: &Riff, bar: &Bar, index: usize, boxes: &Boxes, scale: &Scale) -> Vec<Label> {
    let over = chords::over(riff, index).into_iter();
    over.map(|symbol| {
        let text = scale.symbol(&symbol.printed());
        let tick = bar.start + symbol.at;
        if let Some(index) = symbol.chord.and_then(|chord| boxes.find(chord)) {
            let reach = boxes.reach(index, text.width, scale.desk);
            let face = LabelFace::Box { symbol: text, index };
            return Label { tick, lane: Lane::Symbol, reach, face };
        }
        let left = scale.desk.look.fret_size * 0.32;
        let reach = Reach { left, right: text.width - left };
        let face = LabelFace::Lines(vec![text]);
        Label { tick, lane: Lane::Symbol, reach, face }
    })
    .collect()
}

/// The spoken count: beats heavy, their parts light, rests in brackets.
fn counts<'a>(bar: &'a Bar, scale: &'a Scale) -> impl Iterator<Item = Label> + 'a {
    bar.counts.iter().map(move |count| {
        let sign = if count.sign == "+" { "&" } else { count.sign.as_str() };
        let beat = sign.starts_with(|c: char| c.is_ascii_digit());
        let face = if beat { Face::SansBold } else { Face::Sans };
        let words = if count.rest { format!("({sign})") } else { sign.to_owned() };
        Label::centred(bar.start + count.at, Lane::Count, vec![scale.small(&words, face)])
    })
}

/// Fretting fingers, the highest string's uppermost; one for all where they are the same.
fn left(event: &Event, tick: Ticks, scale: &Scale) -> Option<Label> {
    let mut fingers: Vec<Finger> = event.notes.iter().rev().filter_map(|n| n.finger).collect();
    fingers.dedup();
    let line = |finger: Finger| scale.small(&finger.sign().to_string(), Face::SerifBold);
    let lines: Vec<Text> = fingers.into_iter().map(line).collect();
    (!lines.is_empty()).then(|| Label::centred(tick, Lane::Left, lines))
}

/// Plucking fingers, the highest string's uppermost.
fn right(event: &Event, tick: Ticks, scale: &Scale) -> Option<Label> {
    let line = |finger: char| scale.small(&finger.to_string(), Face::SerifItalic);
    let lines: Vec<Text> = event.right.chars().rev().filter(|c| *c != '.').map(line).collect();
    (!lines.is_empty()).then(|| Label::centred(tick, Lane::Right, lines))
}

fn stroke(pick: Pick, tick: Ticks, scale: &Scale) -> Label {
    let half = scale.small_size() * 0.4;
    let reach = Reach { left: half, right: half };
    Label { tick, lane: Lane::Pick, reach, face: LabelFace::Stroke(pick) }
}
