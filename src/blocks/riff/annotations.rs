//! The rows around the strings: fingers, strokes, words, runs, and marks of what is meant.

use super::chains::{Played, Setup, nearest_counts};
use super::clock::{Moment, Under};
use super::columns::Word;
use super::model::{Bar, Event, Joint, Note, Pick, Remark, Sound};
use super::place;
use super::rows::{Kind, Row};
use crate::findings::Span;
use crate::findings::rules::{block_syntax, column_adrift};
use crate::findings::{Finding, Findings};
use crate::neck::Finger;
use crate::theory::Ticks;
use crate::words::numbered;

/// What the rows are read against.
pub(super) struct Annotations<'r, 'a> {
    /// The rows, bars and clock.
    pub setup: &'r Setup<'r, 'a>,
    /// The notes by their columns.
    pub played: &'r Played,
    /// Whether every string row was understood; where one was not, a sign may belong to its notes.
    pub whole: bool,
}

/// A mark that a row makes.
pub(super) enum Mark {
    /// Fretting fingers for the notes that stand in these places.
    Fingers(Vec<(Span, Finger)>),
    /// Plucking fingers.
    Right(String),
    /// A stroke.
    Pick(Pick),
    /// An accent.
    Accent,
    /// A `*`: what stands here is meant.
    Meant,
}

/// The marks of a row's kind.
const MARKING: [Kind; 5] = [Kind::Left, Kind::Right, Kind::Pick, Kind::Accent, Kind::Meant];

impl Annotations<'_, '_> {
    /// Reads the rows that mark notes, and sets their marks on the events.
    pub fn mark(&self, bars: &mut [Bar], findings: &mut Findings) {
        for row in self.setup.systems.iter().flat_map(|system| &system.rows) {
            if !MARKING.contains(&row.kind) {
                continue;
            }
            for word in row.words(1).iter().filter(|word| !is_filler(&word.text)) {
                let Some(moment) = self.moment(row, word, findings) else { continue };
                let event = event_at(bars, moment);
                if let Some(mark) = self.read_mark(row, word, moment, event.as_deref(), findings)
                    && let Some(event) = event
                {
                    set(event, mark);
                }
            }
        }
    }

    /// The moment of a word: that of the count over it, or of a note that shares the count before.
    fn moment(&self, row: &Row, word: &Word, findings: &mut Findings) -> Option<Moment> {
        match self.setup.clock.under(word.column) {
            Under::Count(moment) | Under::Rest(moment) => return Some(moment),
            Under::Unclear => return None,
            Under::Nothing => {}
        }
        if let Some(spot) = self.played.columns.get(&word.column) {
            return spot.moment;
        }
        let bar = self.setup.bar_at(word.column)?;
        let astray = self.is_astray(row, bar);
        if !astray && (self.whole || row.kind == Kind::Sung) {
            findings.add(self.adrift(row, word, bar));
        }
        None
    }

    /// Whether a bar line of a row, or of its count row, stands astray at a bar.
    fn is_astray(&self, row: &Row, bar: usize) -> bool {
        let Some(system) = self.setup.columns.get(bar).map(|columns| columns.system) else {
            return false;
        };
        let rows = self.setup.systems.get(system).map_or(&[][..], |system| &system.rows);
        let place = rows.iter().position(|other| other.kind == row.kind);
        place.is_some_and(|place| self.setup.is_astray((system, place), bar))
    }

    fn adrift(&self, row: &Row, word: &Word, bar: usize) -> Finding {
        let setup = self.setup;
        let near = nearest_counts(setup.clock, setup.bars, word.column, bar, setup.big_beats);
        let bar = setup.bars.get(bar).map(place::bar).unwrap_or_default();
        let what = format!("`{}` in the `{}` row", word.text, row.label);
        column_adrift::under_no_count(word.span, &what, &near).heard_at(&bar)
    }

    fn read_mark(
        &self,
        row: &Row,
        word: &Word,
        moment: Moment,
        event: Option<&Event>,
        findings: &mut Findings,
    ) -> Option<Mark> {
        let mark = match row.kind {
            Kind::Left => self.fingers(word, event),
            Kind::Right => right(word, event),
            Kind::Pick => pick(word).map(Mark::Pick),
            Kind::Accent => sign(word, ">", Mark::Accent),
            _ => sign(word, "*", Mark::Meant),
        };
        let mark = match mark {
            Ok(mark) => mark,
            Err(wrong) => {
                findings.add(self.placed(word, wrong));
                return None;
            }
        };
        let needs_note = match row.kind {
            Kind::Left => word.text.chars().any(|sign| sign != '.'),
            Kind::Right | Kind::Accent => true,
            // A hand that keeps its swing strokes the air too.
            _ => false,
        };
        if needs_note && event.is_none() {
            self.report_silence(row, word, moment, findings);
        }
        Some(mark)
    }

    fn placed(&self, word: &Word, wrong: Wrong) -> Finding {
        let message = format!("{}: {}", self.setup.count_at(word.column), wrong.message);
        let finding = block_syntax::at(word.span, message);
        if wrong.advice.is_empty() { finding } else { finding.note(wrong.advice) }
    }

    /// Reports a sign under a count at which nothing is plucked, unless that is since a note there
    /// could not be read.
    fn report_silence(&self, row: &Row, word: &Word, moment: Moment, findings: &mut Findings) {
        let astray = self.is_astray(row, moment.bar);
        if astray || !self.whole || self.played.unclear.contains(&moment.bar) {
            return;
        }
        let Some(bar) = self.setup.bars.get(moment.bar) else { return };
        let at = match self.setup.is_timed() {
            true => format!(", {}", place::count(bar, moment.at, self.setup.big_beats)),
            false => String::new(),
        };
        let finding = column_adrift::no_note(word.span, &word.text, &row.label);
        findings.add(finding.heard_at(&format!("{}{at}", place::bar(bar))));
    }

    fn fingers(&self, word: &Word, event: Option<&Event>) -> Result<Mark, Wrong> {
        let signs: Vec<char> = word.text.chars().collect();
        if !signs.iter().all(|sign| *sign == '.' || Finger::from_char(*sign).is_some()) {
            return Err(Wrong {
                message: format!("`{}` names no fretting fingers", word.text),
                advice: "fingers are `1` to `4`, `T` for the thumb, `.` for none",
            });
        }
        let notes: &[Span] =
            self.played.columns.get(&word.column).map(|spot| spot.notes.as_slice()).unwrap_or(&[]);
        let finger = |sign: &char| Finger::from_char(*sign);
        if let [only] = signs.as_slice() {
            let fretted = |span: &&Span| event.is_some_and(|event| is_fretted(event, **span));
            let all = notes.iter().filter(fretted);
            return Ok(Mark::Fingers(
                all.filter_map(|span| Some((*span, finger(only)?))).collect(),
            ));
        }
        if event.is_some() && signs.len() != notes.len() && self.whole {
            return Err(wrong_number("fretting fingers", signs.len(), notes.len()));
        }
        let pairs = notes.iter().zip(&signs);
        Ok(Mark::Fingers(pairs.filter_map(|(span, sign)| Some((*span, finger(sign)?))).collect()))
    }

    /// Reads syllables and remarks into the bars.
    pub fn remark(&self, bars: &mut [Bar], findings: &mut Findings) {
        for row in self.setup.systems.iter().flat_map(|system| &system.rows) {
            match row.kind {
                Kind::Sung => {
                    for word in row.words(1).iter().filter(|word| !is_filler(&word.text)) {
                        if let Some(moment) = self.moment(row, word, findings)
                            && let Some(bar) = bars.get_mut(moment.bar)
                        {
                            bar.sung.push(remark(word, moment.at));
                        }
                    }
                }
                Kind::Words => self.add_remarks(row, bars, |bar| &mut bar.words),
                Kind::Tone => self.add_remarks(row, bars, |bar| &mut bar.tone),
                _ => {}
            }
        }
    }

    /// A remark holds from the count that stands over its beginning or before it.
    fn add_remarks(&self, row: &Row, bars: &mut [Bar], list: fn(&mut Bar) -> &mut Vec<Remark>) {
        for word in row.words(2).iter().filter(|word| !is_filler(&word.text)) {
            let index = self.setup.bar_at(word.column).unwrap_or(0);
            let Some(bar) = bars.get_mut(index) else { continue };
            let moment = self.setup.clock.until(word.column, index);
            list(bar).push(remark(word, moment.map_or(Ticks::ZERO, |moment| moment.at)));
        }
    }

    /// The runs of a `mute` or `ring` row, from and to counted from the riff's start.
    pub fn runs(&self, kind: Kind, findings: &mut Findings) -> Vec<(Ticks, Ticks)> {
        let mut runs: Vec<(Ticks, Ticks)> = Vec::new();
        let rows = self.setup.systems.iter().filter_map(|system| system.row(kind));
        for row in rows {
            for (first, last, span) in marked(row, findings) {
                match self.run(first, last) {
                    Some((from, to)) => match runs.last_mut().filter(|run| run.1 >= from) {
                        Some(before) => before.1 = before.1.max(to),
                        None => runs.push((from, to)),
                    },
                    None => findings.add(column_adrift::empty_run(span, &row.label)),
                }
            }
        }
        runs
    }

    /// From the first count in the columns to the next count behind them, or the bar's end where
    /// that comes first.
    fn run(&self, first: usize, last: usize) -> Option<(Ticks, Ticks)> {
        let setup = self.setup;
        let absolute = |moment: Moment| setup.bars.get(moment.bar).map(|bar| bar.start + moment.at);
        let (_, from) = setup.clock.from(first).filter(|(column, _)| *column <= last)?;
        let bar = setup.bars.get(setup.bar_at(last)?)?;
        let bar_end = bar.start + bar.length;
        let next = setup.clock.from(last + 1).and_then(|(_, moment)| absolute(moment));
        Some((absolute(from)?, next.map_or(bar_end, |next| next.min(bar_end))))
    }
}

fn is_filler(text: &str) -> bool {
    text.chars().all(|sign| matches!(sign, '-' | '–' | '—'))
}

fn remark(word: &Word, at: Ticks) -> Remark {
    Remark { at, text: word.text.clone(), span: word.span }
}

fn event_at(bars: &mut [Bar], moment: Moment) -> Option<&mut Event> {
    let events = &mut bars.get_mut(moment.bar)?.events;
    let index = events.binary_search_by_key(&moment.at, |event| event.at).ok()?;
    events.get_mut(index)
}

fn set(event: &mut Event, mark: Mark) {
    match mark {
        Mark::Fingers(fingers) => {
            for (span, finger) in fingers {
                set_finger(event, span, finger);
            }
        }
        Mark::Right(fingers) => event.right = fingers,
        Mark::Pick(stroke) => event.pick = Some(stroke),
        Mark::Accent => event.accent = true,
        Mark::Meant => event.meant = true,
    }
}

fn set_finger(event: &mut Event, span: Span, finger: Finger) {
    for note in &mut event.notes {
        if note.span == span {
            note.finger = Some(finger);
        }
        for grace in note.graces.iter_mut().filter(|grace| grace.span == span) {
            grace.finger = Some(finger);
        }
    }
}

fn is_fretted(event: &Event, span: Span) -> bool {
    let holds = |note: &Note| match note.sound {
        Sound::Fret(fret) => fret > 0,
        Sound::Harmonic(_) => true,
        Sound::Muted => false,
    };
    event.notes.iter().any(|note| {
        (note.span == span && holds(note))
            || note.graces.iter().any(|grace| grace.span == span && grace.fret > 0)
    })
}

/// A bend, its release and a slide are made by the finger that holds the note before.
pub(super) fn carry_fingers(bars: &mut [Bar]) {
    for note in bars.iter_mut().flat_map(|bar| &mut bar.events).flat_map(|event| &mut event.notes) {
        let mut finger = None;
        for grace in &mut note.graces {
            let held = finger.filter(|_| stays(grace.joined));
            grace.finger = grace.finger.or(held);
            finger = grace.finger;
        }
        note.finger = note.finger.or(finger.filter(|_| stays(note.joined)));
    }
}

fn stays(joint: Option<Joint>) -> bool {
    matches!(joint, Some(Joint::Bend | Joint::Release | Joint::Slide))
}

/// Why a sign can't be read, and what can.
struct Wrong {
    message: String,
    advice: &'static str,
}

fn right(word: &Word, event: Option<&Event>) -> Result<Mark, Wrong> {
    let fingers = word.text.to_ascii_lowercase();
    if !fingers.chars().all(|finger| matches!(finger, 'p' | 'i' | 'm' | 'a' | 'c')) {
        return Err(Wrong {
            message: format!("`{}` names no plucking fingers", word.text),
            advice: "plucking fingers are `p`, `i`, `m`, `a` and `c`",
        });
    }
    let notes = event.map_or(0, |event| event.notes.len());
    if event.is_some() && fingers.len() > 1 && fingers.len() != notes {
        return Err(wrong_number("plucking fingers", fingers.len(), notes));
    }
    Ok(Mark::Right(fingers))
}

fn wrong_number(what: &str, fingers: usize, notes: usize) -> Wrong {
    Wrong {
        message: format!("{fingers} {what} for {}", numbered(notes, "note")),
        advice: "one character holds for all notes, several are one a note from the lowest string",
    }
}

fn pick(word: &Word) -> Result<Pick, Wrong> {
    match word.text.as_str() {
        "d" | "D" => Ok(Pick::Down),
        "u" | "U" => Ok(Pick::Up),
        "x" | "X" => Ok(Pick::Choked),
        text => Err(Wrong {
            message: format!("`{text}` is no stroke"),
            advice: "strokes are `d` down, `u` up and `x` choked",
        }),
    }
}

fn sign(word: &Word, sign: &str, mark: Mark) -> Result<Mark, Wrong> {
    if word.text == sign {
        return Ok(mark);
    }
    let message = format!("only `{sign}` stands in this row, not `{}`", word.text);
    Err(Wrong { message, advice: "" })
}

/// The runs of marked cells in a row: first column, last column, place. A bar line doesn't part
/// them.
fn marked(row: &Row, findings: &mut Findings) -> Vec<(usize, usize, Span)> {
    let mut runs: Vec<(usize, usize, Span)> = Vec::new();
    let mut open = false;
    for (column, cell) in row.columns() {
        match cell.text {
            _ if cell.barred => {}
            "=" | "x" | "X" | "." => match runs.last_mut().filter(|_| open) {
                Some(run) => {
                    run.1 = column;
                    run.2 = run.2.to(cell.span);
                }
                None => {
                    runs.push((column, column, cell.span));
                    open = true;
                }
            },
            _ if cell.is_blank() => open = false,
            text => {
                open = false;
                let message = format!("a `{}` row is marked with `=`, not `{text}`", row.label);
                findings.add(block_syntax::at(cell.span, message));
            }
        }
    }
    runs
}
