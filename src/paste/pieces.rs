//! Pieces: rows stacked up as systems with what is said about them, systems as riffs, and the lines
//! between them.

use super::bars;
use super::lines::{Kind, Line};
use super::lines_beside::{self, Held, Mark, RepeatSign};
use super::remarks::{self, Remark, RemarkPlace};
use super::row::{self, Row};
use super::sung;

/// A piece of the text.
#[derive(Debug)]
pub(super) enum Piece {
    /// Lines that are no tab, as they stand.
    Text(Vec<Line>),
    /// Systems that follow each other.
    Riff(Vec<Stack>),
}

/// The rows of one system, the highest string first.
#[derive(Debug)]
pub(super) struct Stack {
    pub rows: Vec<Row>,
    pub cues: Cues,
}

/// What lines above and below a system say about it.
#[derive(Debug, Default)]
pub(super) struct Cues {
    pub chords: Option<Cue>,
    pub counts: Option<Cue>,
    pub strokes: Option<Cue>,
    pub accents: Option<Cue>,
    /// Plucking fingers.
    pub fingers: Option<Cue>,
    /// Letters that only the player knows.
    pub letters: Option<Cue>,
    pub sung: Option<Cue>,
    /// Endings of a repeat.
    pub endings: Option<Cue>,
    pub held: Vec<HeldCue>,
    /// How often it is played, and the words that say so.
    pub times: Option<(u8, String)>,
    /// The same, said in the line above it, which may be the name of its section.
    pub times_above: Option<(u8, String)>,
    /// The repeat signs on lines of their own above and below it.
    pub opens: Option<String>,
    pub closes: Option<String>,
    pub remarks: Vec<Remark>,
    /// Lines that begin as its rows do and can't be read.
    pub broken: Vec<String>,
}

/// A line that says what is held, from which column to which.
#[derive(Debug)]
pub(super) struct HeldCue {
    pub held: Held,
    pub spans: Vec<(usize, usize)>,
    /// The line as it stands.
    pub text: String,
}

/// A line about a system.
#[derive(Debug)]
pub(super) struct Cue {
    pub marks: Vec<Mark>,
    /// The line as it stands.
    pub text: String,
}

/// How many strings a guitar has, and a bass: so many rows without letters can be read.
const GUITAR: usize = 6;
const BASS: usize = 4;

/// So many rows without letters can be read too, as guitars of more strings.
const WIDE_GUITARS: [usize; 2] = [7, 8];

/// How many strings an instrument has at most.
const MOST_STRINGS: usize = 12;

/// The letters of the usual tuning as they are mostly written, the highest string's first.
const USUAL: [&str; 6] = ["e", "B", "G", "D", "A", "E"];

/// How many lines with words may stand between the rows of one system.
const LINES_BETWEEN: usize = 2;

/// How many lines above a system may speak of it.
const LINES_ABOVE: usize = 5;

/// Gathers the lines of a text.
pub(super) fn gather(lines: Vec<Line>) -> Vec<Piece> {
    let mut gathering = Gathering::default();
    let mut run: Vec<(Row, String)> = Vec::new();
    let mut between: Vec<Line> = Vec::new();
    for line in lines {
        match line.kind {
            Kind::Row(row) => {
                if !between.is_empty() {
                    let touching = !between.iter().any(Line::is_blank);
                    let one_system = touching && between.len() <= LINES_BETWEEN;
                    // Remarks between the rows of one system stand before it.
                    if one_system && !run.is_empty() && run.len() < GUITAR && !is_whole(&run, &row)
                    {
                        between.drain(..).for_each(|line| gathering.words.push(line));
                    } else {
                        gathering.system(std::mem::take(&mut run));
                        gathering.between(std::mem::take(&mut between), false);
                    }
                }
                run.push((row, line.text));
            }
            kind if run.is_empty() => gathering.words.push(Line { text: line.text, kind }),
            kind => between.push(Line { text: line.text, kind }),
        }
    }
    gathering.system(run);
    gathering.between(between, true);
    gathering.finish()
}

/// Whether rows are a whole system already, as the row behind them tells: it begins as they do, or is of a
/// higher string than the first of them.
fn is_whole(run: &[(Row, String)], next: &Row) -> bool {
    let first = run.first().and_then(|(row, _)| row.label.as_deref());
    let (Some(first), Some(next)) = (first, next.label.as_deref()) else { return false };
    let place = |label: &str| USUAL.iter().position(|usual| *usual == label);
    let is_higher = place(next).zip(place(first)).is_some_and(|(next, first)| next < first);
    is_higher || (run.len() >= BASS && first == next)
}

/// The stacks of all riffs.
pub(super) fn stacks(pieces: &[Piece]) -> impl Iterator<Item = &Stack> {
    pieces.iter().flat_map(|piece| match piece {
        Piece::Riff(stacks) => stacks.as_slice(),
        Piece::Text(_) => &[],
    })
}

/// What is gathered.
#[derive(Default)]
struct Gathering {
    pieces: Vec<Piece>,
    /// Lines that stand behind the last riff.
    words: Vec<Line>,
}

impl Gathering {
    /// Takes in rows that stand together: one system or several, or no system at all.
    fn system(&mut self, rows: Vec<(Row, String)>) {
        let written: Vec<&Row> = rows.iter().map(|(row, _)| row).collect();
        let Some(height) = height(&written) else {
            self.words.extend(rows.into_iter().map(|(_, text)| Line::words(text)));
            return;
        };
        let mut rows = rows.into_iter().map(|(row, _)| row).peekable();
        while rows.peek().is_some() {
            let rows: Vec<Row> = rows.by_ref().take(height).collect();
            let mut rows = in_order(rows);
            bars::take_dashes_before(&mut rows);
            let mut stack = Stack { rows, cues: Cues::default() };
            self.above(&mut stack);
            let line = self.words.iter().rev().find(|line| !line.is_blank());
            stack.cues.times_above = line.and_then(|line| lines_beside::times_among(&line.text));
            self.flush();
            stack.take_remarks();
            self.stack(stack);
        }
    }

    /// Takes the lines that speak of the rows that come out of the words.
    fn above(&mut self, stack: &mut Stack) {
        for _ in 0..LINES_ABOVE {
            let Some(line) = self.words.pop() else { return };
            let under_chords =
                self.words.last().is_some_and(|line| matches!(line.kind, Kind::Chords(_)));
            let sung = line.kind == Kind::Words && under_chords && sung::looks_sung(&line.text);
            let Some(line) = stack.cues.take(line, sung) else { continue };
            let Some(marks) = remarks_above(&line) else {
                self.words.push(line);
                return;
            };
            stack.cues.remarks.extend(remarks_at(marks, RemarkPlace::Above));
        }
    }

    /// Takes the lines between two systems, or behind the last: those that touch the system above may
    /// speak of it.
    fn between(&mut self, lines: Vec<Line>, last: bool) {
        let blank = lines.iter().position(Line::is_blank);
        let touching = if self.words.is_empty() { blank.unwrap_or(lines.len()) } else { 0 };
        let apart = last || blank.is_some();
        let mut lines = lines.into_iter().enumerate().peekable();
        while let Some((index, line)) = lines.next_if(|(index, _)| *index < touching) {
            let next_is_words = lines.peek().is_some_and(|(_, next)| next.kind == Kind::Words);
            let over_words = index + 1 < touching && next_is_words;
            let line =
                self.remark(line, apart).and_then(|line| self.below(line, apart, over_words));
            self.words.extend(line);
        }
        self.words.extend(lines.map(|(_, line)| line));
    }

    /// Gives the last system the remarks of a line beneath it, if these stand under its columns.
    fn remark(&mut self, line: Line, apart: bool) -> Option<Line> {
        let Some(Piece::Riff(stacks)) = self.pieces.last_mut() else { return Some(line) };
        let speaks =
            line.kind == Kind::Words || (apart && matches!(line.kind, Kind::Directions(_)));
        let is_about = speaks
            && (remarks::points_up(&line.text)
                || (self.words.is_empty()
                    && remarks::is_set_in(&line.text)
                    && !sung::looks_sung(&line.text)));
        let Some(stack) = stacks.last_mut().filter(|_| is_about) else { return Some(line) };
        let beneath = remarks_at(remarks::parts_beneath(&line.text), RemarkPlace::Beneath);
        stack.cues.remarks.extend(beneath);
        None
    }

    /// Gives the last system a line beneath it, unless the line speaks of something else.
    fn below(&mut self, line: Line, apart: bool, over_words: bool) -> Option<Line> {
        let Some(Piece::Riff(stacks)) = self.pieces.last_mut() else { return Some(line) };
        let Some(stack) = stacks.last_mut().filter(|_| self.words.is_empty()) else {
            return Some(line);
        };
        let said = &mut stack.cues;
        let free = match &line.kind {
            Kind::Words => sung::looks_sung(&line.text) || row::begins_as_row(&line.text),
            Kind::Counts(_) => apart || said.counts.is_none(),
            Kind::Strokes(_) => apart || said.strokes.is_none(),
            Kind::Accents(_) => apart || said.accents.is_none(),
            Kind::Chords(_) => apart && !over_words && said.chords.is_none(),
            Kind::Held(..) => apart,
            Kind::Rule => apart && lines_beside::waves(&line.text).is_some(),
            Kind::Fingers(_) => apart || said.fingers.is_none(),
            Kind::Letters(_) => apart || said.letters.is_none(),
            Kind::Times(_) | Kind::Repeat(RepeatSign::End(_)) => true,
            _ => false,
        };
        let is_words = line.kind == Kind::Words && sung::looks_sung(&line.text);
        let line = if free { said.take(line, is_words)? } else { line };
        // A second line of signs says something of the same notes.
        let is_second = apart
            && matches!(
                line.kind,
                Kind::Counts(_) | Kind::Strokes(_) | Kind::Fingers(_) | Kind::Letters(_)
            );
        if !is_second {
            return Some(line);
        }
        said.remarks.extend(remarks_at(marks_of(line.kind, &line.text), RemarkPlace::Beneath));
        None
    }

    fn stack(&mut self, stack: Stack) {
        match self.pieces.last_mut() {
            Some(Piece::Riff(stacks)) if goes_on(stacks, &stack) => stacks.push(stack),
            _ => self.pieces.push(Piece::Riff(vec![stack])),
        }
    }

    /// Makes a piece of the lines so far, if there are any.
    fn flush(&mut self) {
        let words = std::mem::take(&mut self.words);
        if !words.iter().all(Line::is_blank) {
            self.pieces.push(Piece::Text(words));
        }
    }

    fn finish(mut self) -> Vec<Piece> {
        self.flush();
        self.pieces
    }
}

impl Stack {
    /// Takes the words behind the rows: how often, or a remark. Those behind several rows are one.
    fn take_remarks(&mut self) {
        let mut last: Option<&str> = None;
        for (row, text) in self.rows.iter().map(|row| row.remark.as_str()).enumerate() {
            let again = last == Some(text);
            if text.is_empty() || again || self.cues.repeats(text) {
                continue;
            }
            let place = RemarkPlace::Behind(row);
            self.cues.remarks.push(Remark { text: text.to_string(), place });
            last = Some(text);
        }
    }
}

/// Remarks that stand on a side of a system, at their columns.
fn remarks_at(
    marks: Vec<Mark>,
    place: impl Fn(usize) -> RemarkPlace,
) -> impl Iterator<Item = Remark> {
    marks.into_iter().map(move |(column, text)| Remark { text, place: place(column) })
}

/// The remarks of a line of words that is set in above a system, unless they say something else: how often, or
/// what is sung.
fn remarks_above(line: &Line) -> Option<Vec<Mark>> {
    let speaks = line.kind == Kind::Words && remarks::is_set_in(&line.text);
    let other = lines_beside::times_among(&line.text).is_some() || sung::looks_sung(&line.text);
    (speaks && !other).then(|| remarks::parts(&line.text))
}

/// What stands at which column of a line of signs; of words, their syllables.
fn marks_of(kind: Kind, text: &str) -> Vec<Mark> {
    match kind {
        Kind::Chords(marks)
        | Kind::Counts(marks)
        | Kind::Strokes(marks)
        | Kind::Accents(marks)
        | Kind::Fingers(marks)
        | Kind::Letters(marks)
        | Kind::Endings(marks) => marks,
        _ => sung::syllables(text),
    }
}

impl Cues {
    /// Takes a line above in; hands it back where it says nothing, or another has said it.
    fn take(&mut self, line: Line, sung: bool) -> Option<Line> {
        let Line { text, kind } = line;
        let place = match &kind {
            Kind::Chords(_) => &mut self.chords,
            Kind::Counts(_) => &mut self.counts,
            Kind::Strokes(_) => &mut self.strokes,
            Kind::Accents(_) => &mut self.accents,
            Kind::Fingers(_) => &mut self.fingers,
            Kind::Letters(_) => &mut self.letters,
            Kind::Endings(_) => &mut self.endings,
            Kind::Words if sung => &mut self.sung,
            Kind::Repeat(RepeatSign::Start) if self.opens.is_none() => {
                self.opens = Some(text.trim().to_string());
                return None;
            }
            Kind::Repeat(RepeatSign::End(times)) if self.closes.is_none() => {
                self.closes = Some(text.trim().to_string());
                let said = times.map(|times| (times, text.trim().to_string()));
                self.times = self.times.take().or(said);
                return None;
            }
            Kind::Held(held, spans) => {
                self.held.push(HeldCue { held: *held, spans: spans.clone(), text });
                return None;
            }
            Kind::Times(times) if self.times.is_none() => {
                self.times = Some((*times, text.trim().to_string()));
                return None;
            }
            Kind::Directions(marks) if remarks::is_set_in(&text) => {
                self.remarks.extend(remarks_at(marks.clone(), RemarkPlace::Above));
                return None;
            }
            Kind::Words if !sung && row::begins_as_row(&text) => {
                self.broken.push(text);
                return None;
            }
            Kind::Rule if lines_beside::waves(&text).is_some() => {
                let spans = lines_beside::waves(&text).unwrap_or_default();
                self.held.push(HeldCue { held: Held::Vibrato, spans, text });
                return None;
            }
            _ => return Some(Line { text, kind }),
        };
        if place.is_some() {
            return Some(Line { text, kind });
        }
        let marks = marks_of(kind, &text);
        let beside = lines_beside::chords_with_remarks(&text).map(|(_, remarks)| remarks);
        *place = Some(Cue { marks, text });
        self.remarks.extend(remarks_at(beside.unwrap_or_default(), RemarkPlace::Above));
        None
    }

    /// Whether a remark says how often the system is played, which is then known.
    fn repeats(&mut self, remark: &str) -> bool {
        let Some(times) = lines_beside::times(remark) else { return false };
        let known = self.times.get_or_insert_with(|| (times, remark.to_string()));
        known.0 == times
    }
}

/// Rows in the order of their strings: numbers may rise or fall.
fn in_order(mut rows: Vec<Row>) -> Vec<Row> {
    let number = |row: &Row| row.label.as_ref().and_then(|label| label.parse::<u8>().ok());
    let numbers: Option<Vec<u8>> = rows.iter().map(number).collect();
    if numbers.is_some_and(|numbers| numbers.len() > 1 && numbers.is_sorted_by(|a, b| a > b)) {
        rows.reverse();
    }
    rows
}

/// Whether a system goes on from those before it: on the same strings.
fn goes_on(stacks: &[Stack], next: &Stack) -> bool {
    let labels = |stack: &Stack| stack.rows.iter().map(|row| row.label.clone()).collect::<Vec<_>>();
    stacks.last().is_some_and(|last| labels(last) == labels(next))
}

/// How many rows each system has in rows that stand together. `None` where they are no systems:
/// without letters there must be a row for every string, and something must be played.
fn height(rows: &[&Row]) -> Option<usize> {
    let is_played = |c: &char| c.is_ascii_digit() || matches!(c, 'x' | 'X');
    let played = rows.iter().any(|row| row.cells.iter().any(is_played));
    let labelled = rows.iter().all(|row| row.label.is_some());
    let count = rows.len();
    let by_labels = || (1..=count.min(MOST_STRINGS)).find(|height| repeats(rows, *height));
    let height = match count {
        _ if labelled => by_labels().or_else(|| count.is_multiple_of(GUITAR).then_some(GUITAR)),
        _ if count.is_multiple_of(GUITAR) => Some(GUITAR),
        _ if count.is_multiple_of(BASS) && count < 8 => Some(BASS),
        _ if WIDE_GUITARS.contains(&count) => Some(count),
        _ if count.is_multiple_of(BASS) => Some(BASS),
        _ => None,
    };
    height.filter(|_| (played || labelled) && count > 0)
}

/// Whether the labels of rows begin again after so many of them.
fn repeats(rows: &[&Row], height: usize) -> bool {
    let labels = |rows: &[&Row]| rows.iter().map(|row| row.label.clone()).collect::<Vec<_>>();
    let mut chunks = rows.chunks(height).map(labels);
    let Some(first) = chunks.next() else { return false };
    // A single letter that comes again, as both E strings do, is no system.
    let alone = height == 1 && rows.len() > 1;
    !alone && chunks.all(|chunk| chunk == first)
}
