//! What rows that say something about the notes are read against, and the ways in which they are
//! read: as marks of what is played, as syllables and remarks, as runs.

use super::super::clock::{Moment, Under};
use super::super::columns::Word;
use super::super::joined_notes::{Played, nearest_counts};
use super::super::lines::Row;
use super::super::place;
use super::super::setup::Setup;
use crate::blocks::tab::places::{BarPlace, NoteAt, RemarkPlaces};
use crate::findings::Span;
use crate::findings::rules::{block_syntax, column_adrift};
use crate::findings::{Finding, Findings, Ground};
use crate::music::melody::{Tone, Tones};
use crate::music::tab::{Bar, ByRow, Event, Remark, Run};
use crate::theory::Ticks;
use crate::words::help::{SAME, Sign, see, sign};
use crate::words::numbered;

/// What the rows are read against, and what becomes of them.
pub(in super::super) struct Reading<'r, 'a> {
    /// The rows, bars and clock.
    pub setup: &'r Setup<'r, 'a>,
    /// The notes by their columns.
    pub played: &'r Played,
    /// Whether every string row was understood; where one was not, a sign may belong to its notes.
    pub whole: bool,
    /// The bars that take what is read.
    pub bars: &'r mut [Bar],
    /// What sounds at their events and is to be laid on strings; none where there are string rows.
    pub tones: &'r mut Tones,
    /// Where they and their notes stand.
    pub places: &'r [BarPlace],
    /// The runs of each row, from and to counted from the riff's start.
    pub runs: ByRow<Vec<Run>>,
    /// Where the remarks of each row stand, with their bars' indices.
    pub remarks: RemarkPlaces,
    pub findings: &'r mut Findings,
}

/// What marks the columns of a run, each of them as good.
pub(super) const RUN: [Sign; 3] = [sign("=", "marks a column"), sign("x", SAME), sign(".", SAME)];

/// How a row marks what is played: by a sign under a count.
pub(super) struct Marks<M> {
    /// Reads a sign.
    pub read: fn(&Here) -> Result<M, Wrong>,
    /// Whether a sign says something only of a note.
    pub needs_note: fn(&str) -> bool,
    /// Sets the mark on what is played there.
    pub set: fn(Sounded, M),
    /// Keeps a mark that needs no note where nothing is played.
    pub keep: fn(&mut Bar, Ticks, M),
}

/// What is played at a moment.
pub(super) struct Sounded<'s> {
    /// The event.
    pub event: &'s mut Event,
    /// Its tones, where it is to be laid on strings.
    pub tones: &'s mut [Tone],
}

/// A sign in its place.
pub(super) struct Here<'h> {
    /// The sign.
    pub text: &'h str,
    /// What is played there.
    pub event: Option<&'h Event>,
    /// The notes in its column, the lowest-placed string first; `None` is one that could not be placed.
    pub notes: &'h [Option<NoteAt>],
    /// How many notes sound there.
    pub sounding: usize,
    /// Whether every string row was understood.
    pub whole: bool,
}

/// Why a sign can't be read, and what can.
pub(super) struct Wrong {
    pub message: String,
    pub advice: String,
}

impl Reading<'_, '_> {
    /// Reads rows that mark what is played.
    pub(super) fn mark<M>(&mut self, rows: &[&Row], marks: &Marks<M>) {
        for row in rows {
            for word in row.words(1).iter().filter(|word| !is_filler(&word.text)) {
                self.mark_one(row, word, marks);
            }
        }
    }

    fn mark_one<M>(&mut self, row: &Row, word: &Word, marks: &Marks<M>) {
        let moment = match self.moment(row, word) {
            Ok(moment) => moment,
            // It may stand under a note that could not be read.
            Err(lost) => {
                let lost = lost.filter(|_| self.whole);
                return lost.into_iter().for_each(|finding| self.findings.add(*finding));
            }
        };
        let at = sounded_at(self.bars, self.tones, moment);
        let spans = self.played.columns.get(&word.column).map(|spot| spot.notes.as_slice());
        let places = self.places.get(moment.bar);
        let note = |span: &Span| places.and_then(|places| places.note_at(moment.at, *span));
        let notes: Vec<Option<NoteAt>> = spans.unwrap_or_default().iter().map(note).collect();
        let sounding = at.as_ref().map_or(0, |at| at.event.notes.len() + at.tones.len());
        let event = at.as_ref().map(|at| &*at.event);
        let here = Here { text: &word.text, event, notes: &notes, sounding, whole: self.whole };
        match ((marks.read)(&here), at) {
            (Err(wrong), _) => {
                let finding = self.placed(word, wrong);
                self.findings.add(finding);
            }
            (Ok(mark), Some(at)) => (marks.set)(at, mark),
            (Ok(_), None) if (marks.needs_note)(&word.text) => {
                self.report_silence(row, word, moment);
            }
            (Ok(mark), None) => {
                if let Some(bar) = self.bars.get_mut(moment.bar) {
                    (marks.keep)(bar, moment.at, mark);
                }
            }
        }
    }

    /// The moment of a word: that of the count over it, or of a note that shares the count before; else
    /// what is to be said about it, unless something is said already.
    fn moment(&self, row: &Row, word: &Word) -> Result<Moment, Option<Box<Finding>>> {
        match self.setup.clock.under(word.column) {
            Under::Count(moment) | Under::Rest(moment) => return Ok(moment),
            Under::Unclear => return Err(None),
            Under::Nothing => {}
        }
        if let Some(spot) = self.played.columns.get(&word.column) {
            return spot.moment.ok_or(None);
        }
        let bar = self.setup.bar_at(word.column).ok_or(None)?;
        let astray = self.is_astray(row, bar);
        Err((!astray).then(|| Box::new(self.adrift(row, word, bar))))
    }

    /// Whether a bar line of a row, or of its count row, stands astray at a bar.
    fn is_astray(&self, row: &Row, bar: usize) -> bool {
        let Some(system) = self.setup.columns.get(bar).map(|columns| columns.system) else {
            return false;
        };
        let rows = self.setup.systems.get(system).map_or(&[][..], |system| &system.rows);
        let place = rows.iter().position(|other| other.says == row.says);
        place.is_some_and(|place| self.setup.is_astray((system, place), bar))
    }

    fn adrift(&self, row: &Row, word: &Word, bar: usize) -> Finding {
        let setup = self.setup;
        let near = nearest_counts(setup.clock, setup.bars, word.column, bar, setup.big_beats);
        let bar = setup.bars.get(bar).map(place::bar).unwrap_or_default();
        let what = format!("`{}` in the `{}` row", word.text, row.label);
        column_adrift::under_no_count(word.span, &what, &near).heard_at(&bar)
    }

    fn placed(&self, word: &Word, wrong: Wrong) -> Finding {
        let message = format!("{}: {}", self.setup.count_at(word.column), wrong.message);
        let finding = block_syntax::at(word.span, message);
        let finding = if wrong.advice.is_empty() { finding } else { finding.note(wrong.advice) };
        finding.note(see("riff"))
    }

    /// Reports a sign under a count at which nothing is plucked, unless that is since a note there
    /// could not be read.
    fn report_silence(&mut self, row: &Row, word: &Word, moment: Moment) {
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
        self.findings.add(finding.heard_at(&format!("{}{at}", place::bar(bar))));
    }

    /// Reads rows of syllables, each under its count.
    pub(super) fn syllables(&mut self, label: &'static str, rows: &[&Row]) {
        for row in rows {
            for word in row.words(1).iter().filter(|word| !is_filler(&word.text)) {
                match self.moment(row, word) {
                    Ok(moment) => self.remark(label, moment.bar, word, moment.at),
                    Err(lost) => lost.into_iter().for_each(|finding| self.findings.add(*finding)),
                }
            }
        }
    }

    /// Reads rows of remarks. One holds from the count that stands over its beginning or before it.
    pub(super) fn remarks(&mut self, label: &'static str, rows: &[&Row]) {
        let words = rows.iter().flat_map(|row| row.words(2));
        for word in words.filter(|word| !is_filler(&word.text)) {
            let index = self.setup.bar_at(word.column).unwrap_or(0);
            let moment = self.setup.clock.until(word.column, index);
            self.remark(label, index, &word, moment.map_or(Ticks::ZERO, |moment| moment.at));
        }
    }

    fn remark(&mut self, label: &'static str, index: usize, word: &Word, at: Ticks) {
        if let Some(bar) = self.bars.get_mut(index) {
            let remark = Remark { at, text: word.text.clone() };
            bar.remarks.entry(label).or_default().push(remark);
            self.remarks.entry(label).or_default().push((index, word.span));
        }
    }

    /// Reads rows of runs.
    pub(super) fn runs(&mut self, label: &'static str, rows: &[&Row]) {
        let mut runs: Vec<Run> = Vec::new();
        for row in rows {
            for (first, last, span) in marked(row, self.findings) {
                match self.run(first, last) {
                    Some((from, to)) => match runs.last_mut().filter(|run| run.1 >= from) {
                        Some(before) => before.1 = before.1.max(to),
                        None => runs.push((from, to)),
                    },
                    None => self.findings.add(column_adrift::empty_run(span, &row.label)),
                }
            }
        }
        if runs.is_empty()
            && let Some(finding) = rows.iter().find_map(|row| marks_nothing(row))
        {
            self.findings.add(finding);
        }
        self.runs.insert(label, runs);
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

/// Whether a word is dashes only, which fill a row.
pub(super) fn is_filler(text: &str) -> bool {
    text.chars().all(|sign| matches!(sign, '-' | '–' | '—'))
}

fn sounded_at<'s>(
    bars: &'s mut [Bar],
    tones: &'s mut Tones,
    moment: Moment,
) -> Option<Sounded<'s>> {
    let events = &mut bars.get_mut(moment.bar)?.events;
    let index = events.binary_search_by_key(&moment.at, |event| event.at).ok()?;
    let tones = tones.get_mut(moment.bar).and_then(|bar| bar.get_mut(index));
    let tones = tones.map(Vec::as_mut_slice).unwrap_or_default();
    Some(Sounded { event: events.get_mut(index)?, tones })
}

/// Why so many fingers don't go with so many notes.
pub(super) fn wrong_number(what: &str, fingers: usize, notes: usize) -> Wrong {
    Wrong {
        message: format!("{fingers} {what} for {}", numbered(notes, "note")),
        advice: "one character holds for all notes, several are one a note from the lowest string"
            .to_owned(),
    }
}

/// The only sign that a row has.
pub(super) fn only(sign: Sign, here: &Here) -> Result<String, Wrong> {
    if sign.is(here.text) {
        return Ok(sign.written.to_owned());
    }
    let message = format!("only `{}` stands in this row, not `{}`", sign.written, here.text);
    Err(Wrong { message, advice: String::new() })
}

/// The fault that a row of runs has dashes and nothing else: they fill a row, and mark nothing.
fn marks_nothing(row: &Row) -> Option<Finding> {
    let (from, _) = row.columns().find(|(_, cell)| cell.is_dash())?;
    let dashes = row.columns().skip_while(|(column, _)| *column < from);
    let to = from + dashes.take_while(|(_, cell)| cell.is_dash()).count();
    let only = row.columns().all(|(_, cell)| cell.is_blank() || cell.barred || cell.text == "|");
    let message = format!(
        "the `{}` row marks nothing: `-` fills a row, and a run is marked with `=`",
        row.label
    );
    let (span, marks) = (row.span(from, to), "=".repeat(to - from));
    only.then(|| block_syntax::at(span, message).fix(marks.clone(), span, marks, Ground::Choice))
}

/// The runs of marked cells in a row: first column, last column, place. A bar line doesn't part
/// them.
fn marked(row: &Row, findings: &mut Findings) -> Vec<(usize, usize, Span)> {
    let mut runs: Vec<(usize, usize, Span)> = Vec::new();
    let mut open = false;
    for (column, cell) in row.columns() {
        match cell.text {
            _ if cell.barred => {}
            text if RUN.iter().any(|sign| sign.is(text)) => {
                match runs.last_mut().filter(|_| open) {
                    Some(run) => {
                        run.1 = column;
                        run.2 = run.2.to(cell.span);
                    }
                    None => {
                        runs.push((column, column, cell.span));
                        open = true;
                    }
                }
            }
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
