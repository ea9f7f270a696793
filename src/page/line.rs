//! A line of a paragraph: its words in their places.

use super::paragraph::{Dress, LOOSEST, TIGHTEST, Word};
use super::template::LineEnds;
use crate::ink::bidi::Level;
use crate::ink::text::{Run, places};
use crate::ink::{Pt, Text};

/// A line of a paragraph.
#[derive(Debug, Clone, Default)]
pub struct Line {
    /// Its words, in the order in which they are read.
    pub runs: Vec<LineRun>,
    /// How far its last word reaches; the space behind it isn't counted.
    pub width: Pt,
}

/// Words of a line that belong to one link, or to none.
#[derive(Debug, Clone)]
pub struct LineRun {
    /// Where their left end is.
    pub x: Pt,
    /// The words.
    pub text: Text,
    /// The link that they belong to.
    pub link: Option<usize>,
    /// Whether a draft marks them.
    pub faulty: bool,
    /// The checked phrases among them.
    pub phrases: Vec<PhraseOnLine>,
}

/// Where a checked phrase, or as much of it as is on this line, stands in its run.
#[derive(Debug, Clone, PartialEq)]
pub struct PhraseOnLine {
    /// Its index in the lesson's phrases.
    pub index: usize,
    /// Where it begins, from the run's beginning.
    pub x: Pt,
    /// Its width.
    pub width: Pt,
}

/// Sets words that were chosen for a line of a passage whose base is known.
pub(super) fn set_line(words: &[Word], measure: Pt, ends: LineEnds, base: Level) -> Line {
    let word_widths: Pt = words.iter().map(|word| word.width).sum();
    let inner = words.split_last().map_or(words, |(_, before)| before);
    let spaces: Pt = inner.iter().map(|word| word.space).sum();
    let stretch = space_stretch(measure - word_widths, spaces, ends);
    let mut pieces = words.iter().flat_map(|word| &word.pieces);
    if pieces.any(|piece| piece.level != Level::ltr()) {
        return set_turned_line(words, measure, stretch, base);
    }
    let mut line = Line::default();
    let mut x = Pt::ZERO;
    for word in words {
        let mut piece_x = x;
        for piece in &word.pieces {
            line.push(piece_x, &piece.text, piece.dress);
            piece_x += piece.text.width;
        }
        line.width = x + word.width;
        x = line.width + word.space * stretch;
    }
    line
}

/// Sets a line that has words which are read from the right. A passage that begins so stands at the
/// right edge of the measure.
fn set_turned_line(words: &[Word], measure: Pt, stretch: f32, base: Level) -> Line {
    let mut pieces = Vec::new();
    for word in words {
        let wider = word.space * stretch - word.space;
        pieces.extend(word.pieces.iter().map(|piece| (piece, piece.level, piece.text.width)));
        if let Some((_, _, width)) = pieces.last_mut().filter(|_| word.space > Pt::ZERO) {
            *width += wider;
        }
    }
    // The space at a line's end is read as the passage is (rule L1).
    let mut behind = Pt::ZERO;
    if let Some(last) = words.last().filter(|last| last.space > Pt::ZERO)
        && let Some((_, level, width)) = pieces.last_mut()
    {
        (*level, *width, behind) = (base, last.space, last.space);
    }
    let levels: Vec<Level> = pieces.iter().map(|(_, level, _)| *level).collect();
    let widths: Vec<Pt> = pieces.iter().map(|(_, _, width)| *width).collect();
    let width: Pt = widths.iter().copied().sum();
    let (left, width) = match base.is_rtl() {
        true => (measure - width, measure),
        false => (Pt::ZERO, width - behind),
    };
    let mut line = Line::default();
    for ((piece, _, _), x) in pieces.iter().zip(places(&levels, &widths)) {
        line.push(left + x, &piece.text, piece.dress);
    }
    Line { width, ..line }
}

/// By how much the spaces of a line are stretched so that its words fill the room; not at all where they would become
/// too wide.
fn space_stretch(room: Pt, spaces: Pt, ends: LineEnds) -> f32 {
    if spaces <= Pt::ZERO {
        return 1.0;
    }
    let wanted = room / spaces;
    match ends {
        LineEnds::Justified if wanted <= LOOSEST => wanted.max(TIGHTEST),
        LineEnds::Justified | LineEnds::Ragged => wanted.clamp(TIGHTEST, 1.0),
    }
}

impl Line {
    /// Adds words at a place. The last word of a line keeps its space too: without it, whoever is
    /// read to hears the last word of one line and the first of the next as one.
    fn push(&mut self, x: Pt, text: &Text, dress: Dress) {
        let joins = |last: &LineRun| last.link == dress.link && last.faulty == dress.faulty;
        if !self.runs.last().is_some_and(joins) {
            let text = Text::default();
            let (link, faulty) = (dress.link, dress.faulty);
            self.runs.push(LineRun { x, text, link, faulty, phrases: Vec::new() });
        }
        let Some(last) = self.runs.last_mut() else { return };
        last.reach_to(x);
        let behind = x - last.x;
        last.text.width = last.text.width.max(behind + text.width);
        let moved = text.runs.iter().map(|run| Run { x: run.x + behind, ..run.clone() });
        last.text.runs.extend(moved);
        if let Some(index) = dress.phrase {
            last.phrase(index, behind, text.width);
        }
    }

    /// Its words as one text, each where it stands.
    pub fn into_text(self) -> Text {
        let moved = |run: LineRun| {
            let x = run.x;
            run.text.runs.into_iter().map(move |word| Run { x: word.x + x, ..word })
        };
        Text {
            width: self.width,
            runs: self.runs.into_iter().flat_map(moved).collect(),
            moment: None,
        }
    }
}

impl LineRun {
    /// Begins the run further left, where words that are read from the right go on to the left.
    fn reach_to(&mut self, x: Pt) {
        if x >= self.x {
            return;
        }
        let moved = self.x - x;
        self.x = x;
        self.text.width += moved;
        self.text.runs.iter_mut().for_each(|run| run.x += moved);
        self.phrases.iter_mut().for_each(|phrase| phrase.x += moved);
    }

    /// Notes that words of a phrase stand at a place; those that follow more of it are one with it.
    fn phrase(&mut self, index: usize, x: Pt, width: Pt) {
        match self.phrases.last_mut() {
            Some(last) if last.index == index => {
                let end = (last.x + last.width).max(x + width);
                last.x = last.x.min(x);
                last.width = end - last.x;
            }
            _ => self.phrases.push(PhraseOnLine { index, x, width }),
        }
    }
}
