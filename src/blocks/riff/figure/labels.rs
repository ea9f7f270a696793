//! What rows write at moments outside the staves: words, strokes of the pick, chord symbols with their
//! boxes.

use super::super::rows::{self, Kind, RowPlace};
use super::canvas::Canvas;
use super::scale::Scale;
use super::score::Score;
use super::spacing::{Lane, Reach, WORD_AIR};
use super::strokes::Boxes;
use super::systems::within;
use super::{Sheet, signs};
use crate::ink::{Face, Pt, Text};
use crate::music::tab::{Bar, Pick, Riff};
use crate::theory::{Printed, Ticks};
use crate::words::paper::tab;

/// Something written at a moment outside the staff.
#[derive(Debug, Clone)]
pub(in super::super) struct Label {
    /// The moment, counted from the riff's start.
    pub tick: Ticks,
    pub lane: Lane,
    /// How far it reaches to both sides of the moment's axis.
    pub reach: Reach,
    pub face: LabelFace,
}

/// What a label looks like.
#[derive(Debug, Clone)]
pub(in super::super) enum LabelFace {
    /// Lines of words, the uppermost first.
    Lines(Vec<Text>),
    /// A stroke of the pick.
    Stroke(Pick),
    /// One that strikes nothing.
    AirStroke(Pick),
    /// A chord symbol over its box, by the box's number.
    Box {
        /// The symbol.
        symbol: Text,
        /// The number.
        index: usize,
    },
}

/// A bar that rows write about.
pub(in super::super) struct BarAt<'a> {
    pub riff: &'a Riff,
    pub bar: &'a Bar,
    /// Its index in the riff.
    pub index: usize,
    /// The boxes of a strumming pattern's chords.
    pub boxes: &'a Boxes<'a>,
    pub scale: &'a Scale<'a>,
}

impl Label {
    /// Words of a row, centred on the moment's axis.
    pub fn centred(row: &'static str, tick: Ticks, lines: Vec<Text>) -> Label {
        let half = lines.iter().fold(Pt::ZERO, |half, line| half.max(line.width / 2.0));
        let reach = Reach { left: half, right: half };
        Label { tick, lane: Lane::Row(row), reach, face: LabelFace::Lines(lines) }
    }

    /// Keeps it as far from its neighbours as counts are at least, from axis to axis: 3.2 mm where lines lie 3.0
    /// apart, and nowhere less (looks, "Tab").
    pub fn apart(mut self, scale: &Scale) -> Label {
        let least = scale.gaps(3.2 / 3.0).max(Pt::mm(3.2));
        let half = (least - scale.gaps(WORD_AIR)) / 2.0;
        self.reach.left = self.reach.left.max(half);
        self.reach.right = self.reach.right.max(half);
        self
    }
}

impl<'a> Sheet<'a> {
    /// What a row writes in the system.
    pub fn labels(&self, row: &'static str) -> impl Iterator<Item = &'a Label> {
        let lane = Lane::Row(row);
        let Sheet { score, system, .. } = *self;
        let bars = system.whole_bars().filter_map(move |bar| score.bars.get(bar));
        let labels = bars.flat_map(|bar| within(&bar.labels, &system.span, |label| label.tick));
        labels.filter(move |label| label.lane == lane)
    }
}

/// A column narrower than so many distances between tab lines has no room for headings before its rows.
const NARROW: f32 = 24.0;

/// The room that the headings of rows need before the staves.
pub(super) fn front(score: &Score, scale: &Scale) -> Pt {
    let headed = beneath(score).filter_map(|kind| heading(kind.heading(), score, scale));
    headed.fold(Pt::ZERO, |front, text| front.max(text.width + scale.gaps(0.3)))
}

/// What the rows beneath the staves are, in words, where the column has no room for headings before them; the count alone
/// needs none.
pub(super) fn unheaded(score: &Score, scale: &Scale) -> Option<Printed> {
    if has_room(scale) {
        return None;
    }
    let headings = beneath(score).filter_map(|kind| Some(called(kind.heading()?, score, scale)));
    let headings: Vec<String> = headings.collect();
    let rows = scale.desk.lang.said(tab::ROWS_BENEATH);
    (headings.len() > 1).then(|| Printed::plain(format!("{rows} {}.", headings.join(", "))))
}

/// The kinds of rows that write anything beneath the staves, the uppermost first.
fn beneath<'a>(score: &'a Score) -> impl Iterator<Item = &'static dyn Kind> + use<'a> {
    rows::at(RowPlace::Beneath).filter(|kind| {
        let lane = Lane::Row(kind.label());
        score.bars.iter().any(|bar| bar.labels.iter().any(|label| label.lane == lane))
    })
}

fn has_room(scale: &Scale) -> bool {
    scale.desk.width > scale.gaps(NARROW)
}

/// What stands before a row, if anything does.
fn heading(words: Option<&str>, score: &Score, scale: &Scale) -> Option<Text> {
    let words = called(words.filter(|_| has_room(scale))?, score, scale);
    Some(scale.small(&words, Face::SerifBoldItalic))
}

/// What a row is called.
fn called(words: &str, score: &Score, scale: &Scale) -> String {
    let words = if score.left_handed { of_either_hand(words) } else { words };
    scale.desk.lang.said(words).into_owned()
}

/// What stands before a row for players whose left hand plucks: named by what the hands do.
fn of_either_hand(words: &str) -> &str {
    match words {
        tab::LEFT => tab::FRETTING,
        tab::RIGHT => tab::PLUCKING,
        _ => words,
    }
}

/// Draws what a row writes beneath all that is there, its heading before it.
pub(in super::super) fn draw(
    canvas: &mut Canvas,
    row: &'static str,
    words: Option<&str>,
    sheet: &Sheet,
) {
    let Sheet { score, system, scale } = *sheet;
    let here: Vec<&Label> = sheet.labels(row).collect();
    if here.is_empty() {
        return;
    }
    let size = scale.small_size();
    let first = canvas.bottom() + scale.gaps(0.45) + scale.cap_height(size);
    let mut lowest = first;
    if let Some(text) = heading(words, score, scale) {
        canvas.text(Pt::ZERO, first, text);
    }
    for label in here {
        let x = system.x(label.tick);
        match &label.face {
            LabelFace::Stroke(pick) => {
                for path in signs::pick(*pick, x, first, size) {
                    canvas.path(path);
                }
            }
            LabelFace::AirStroke(pick) => {
                for path in signs::air_pick(*pick, x, first, size) {
                    canvas.path(path);
                }
            }
            // Boxes stand above the staff.
            LabelFace::Box { .. } => {}
            LabelFace::Lines(lines) => {
                let mut baseline = first;
                for line in lines {
                    canvas.text_centred(x, baseline, line.clone());
                    lowest = lowest.max(baseline);
                    baseline += size * 1.05;
                }
            }
        }
    }
    // The descenders of p, g and brackets.
    canvas.reach_down(lowest + size * 0.2);
}
