//! String rows and `notes` rows: frets or pitches and the signs that join them, read along each string
//! or row over all systems.

use super::columns::Cell;
use super::frets::read_note;
use super::lines::{Row, Says};
use super::pitches;
use super::rows;
use super::setup::Setup;
use super::written::{Course, Heard, Join, Strand, Written};
use crate::findings::Span;
use crate::findings::rules::block_syntax;
use crate::findings::{Finding, Findings, Fix, Ground};
use crate::music::tab::{Joint, Slide, Sound};
use crate::neck::Fret;
use crate::words::help::{self, see, sign};
use std::collections::BTreeMap;

/// Reads the string rows of all systems, string by string, and the `notes` rows. Where several rows
/// of a system are for one string, each is read as a strand of its own.
pub(super) fn read(setup: &Setup, findings: &mut Findings) -> Vec<Strand> {
    let mut readers: BTreeMap<(Course, usize), StringReader> = BTreeMap::new();
    for (index, system) in setup.systems.iter().enumerate() {
        let mut rows_of: BTreeMap<Course, usize> = BTreeMap::new();
        for (place, row) in system.rows.iter().enumerate() {
            let course = match row.says {
                Says::String(string) => Course::String(string),
                Says::Kind(_) if row.is(&rows::Notes) => Course::Voice(0),
                Says::Kind(_) | Says::Label => continue,
            };
            let before = rows_of.entry(course).or_default();
            let reader = readers
                .entry((course, *before))
                .or_insert_with(|| StringReader::new(setup, course));
            *before += 1;
            reader.row = (index, place);
            reader.read(row, findings);
        }
    }
    let strands = readers.into_values().flat_map(|mut reader| {
        reader.finish(findings);
        match reader.course {
            Course::String(_) => vec![Strand { course: reader.course, notes: reader.notes }],
            Course::Voice(_) => voices(&reader.notes),
        }
    });
    strands.collect()
}

/// Parts the notes of a `notes` row that sound together.
fn voices(notes: &[Written]) -> Vec<Strand> {
    let most = notes.iter().map(|note| note.heard.pitches().len()).max().unwrap_or_default();
    let voice = |voice: usize| {
        let of_voice = |note: &Written| {
            let (pitch, span) = *note.heard.pitches().get(voice)?;
            Some(Written { heard: Heard::Pitches(vec![(pitch, span)]), span, ..note.clone() })
        };
        Strand { course: Course::Voice(voice), notes: notes.iter().filter_map(of_voice).collect() }
    };
    (0..most).map(voice).collect()
}

/// A sign that waits for the note behind it.
#[derive(Debug, Clone)]
struct Pending {
    sign: Sign,
    text: &'static str,
    column: usize,
    /// The column of the last sign, where several stand there.
    last: usize,
    span: Span,
    /// What a bend could be written as.
    fixes: Vec<Fix>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Joint(Joint, Option<Slide>),
    SlideIn(Slide),
    Tap,
}

/// Reads along one string.
struct StringReader<'r, 'a> {
    setup: &'r Setup<'r, 'a>,
    course: Course,
    /// The octave last written in a `notes` row.
    octave: Option<i8>,
    /// The row that is read, by the system and its place in it.
    row: (usize, usize),
    notes: Vec<Written>,
    pending: Option<Pending>,
    /// A dot that waits for the slide behind it, with its column.
    dot: Option<(usize, Span)>,
}

/// The joining signs, each with what it is in use, as the help page has it.
const JOINTS: [(&str, Joint, Option<Slide>, help::Sign); 7] = [
    ("h", Joint::HammerOn, None, sign("5h7", "hammer-on")),
    ("p", Joint::PullOff, None, sign("7p5", "pull-off")),
    ("/", Joint::Slide, Some(Slide::Up), sign("5/7", "slide up")),
    ("\\", Joint::Slide, Some(Slide::Down), sign("7\\5", "slide down")),
    ("t", Joint::Tap, None, sign("5t12", "tap")),
    ("b", Joint::Bend, None, sign("7b9", "bend to 9")),
    ("r", Joint::Release, None, sign("7b9r7", "bend, release")),
];

/// What else stands in a string row, as the help page has it.
const OTHERS: [help::Sign; 10] = [
    sign("7", "a fret"),
    sign("0", "an open string"),
    sign("x", "muted stroke"),
    sign("(7)", "ghost note"),
    sign("<12>", "harmonic"),
    sign("7~", "vibrato"),
    sign("7b+", "quarter-tone bend"),
    sign("t12", "tap alone"),
    sign("./7", "slide in"),
    sign("7\\.", "slide out"),
];

/// All that may stand in a string row, in use.
pub(super) fn signs() -> Vec<help::Sign> {
    OTHERS.into_iter().chain(JOINTS.map(|(.., sign)| sign)).collect()
}

impl<'r, 'a> StringReader<'r, 'a> {
    fn new(setup: &'r Setup<'r, 'a>, course: Course) -> Self {
        let row = (0, 0);
        StringReader {
            setup,
            course,
            octave: None,
            row,
            notes: Vec::new(),
            pending: None,
            dot: None,
        }
    }

    fn reads_pitches(&self) -> bool {
        matches!(self.course, Course::Voice(_))
    }

    fn fault(&self, column: usize, span: Span, message: impl std::fmt::Display) -> Finding {
        let place = self.setup.place_at(column, self.course);
        block_syntax::at(span, format!("{place}: {message}"))
    }

    fn read(&mut self, row: &Row, findings: &mut Findings) {
        let mut index = 0;
        while let Some(cell) = row.cells.get(index) {
            index += match cell.text {
                _ if cell.is_blank() => 1,
                "~" => self.vibrato(row.column + index, cell, findings),
                "." => self.dot(row.column + index, cell, findings),
                text => match JOINTS.iter().find(|(sign, ..)| *sign == text) {
                    Some((text, joint, slide, _)) => {
                        self.sign(row, index, text, *joint, *slide, findings)
                    }
                    None => self.note(row, index, findings),
                },
            };
        }
    }

    /// Reads a note, with the brackets around it; returns how many cells it takes.
    fn note(&mut self, row: &Row, index: usize, findings: &mut Findings) -> usize {
        let found = match self.reads_pitches() {
            true => {
                let names = self.setup.instrument.tuning.names_of_notes();
                pitches::read(row, index, names, &mut self.octave)
            }
            false => read_note(&row.cells, index).ok_or(None),
        };
        let found = match found {
            Ok(found) => found,
            Err(message) => {
                self.unknown(row, index, message, findings);
                return 1;
            }
        };
        let span = row.span(row.column + index, row.column + index + found.length);
        let mut note = Written {
            row: self.row,
            column: row.column + index + found.inside,
            bracket: (found.inside > 0).then_some(row.column + index),
            end: row.column + index + found.length,
            too_high: found.too_high,
            heard: found.heard,
            ghost: found.ghost,
            joined: None,
            slide_in: None,
            slide_out: None,
            vibrato: false,
            quarter_bend: false,
            tapped: false,
            span,
        };
        self.lone_dot(findings);
        if let Some(pending) = self.pending.take() {
            self.join(pending, &mut note, findings);
        }
        self.notes.push(note);
        found.length
    }

    fn unknown(
        &mut self,
        row: &Row,
        index: usize,
        message: Option<String>,
        findings: &mut Findings,
    ) {
        let Some(cell) = row.cells.get(index) else { return };
        let message = match cell.text {
            _ if self.reads_pitches() => message.unwrap_or_else(|| {
                format!("`{}` is no note and no sign that joins notes", cell.text)
            }),
            "(" | "<" => "this bracket holds no fret, or isn't closed".to_string(),
            ")" | ">" => "a bracket is closed that none opened".to_string(),
            text => format!("`{text}` is no sign of a string row"),
        };
        findings.add(self.fault(row.column + index, cell.span, message).note(see("riff")));
    }

    fn join(&mut self, pending: Pending, note: &mut Written, findings: &mut Findings) {
        match pending.sign {
            Sign::SlideIn(slide) => note.slide_in = Some(slide),
            Sign::Tap => note.tapped = true,
            Sign::Joint(joint, way) => {
                let (Some(before), Some(to)) = (self.notes.last(), note.heard.height()) else {
                    findings.add(self.unjoined(pending));
                    return;
                };
                let Some(from) = before.heard.height() else { return };
                let (of_before, of_note) = (before.heard.pitches(), note.heard.pitches());
                if of_before.len() != of_note.len() {
                    let (from, to) = (of_before.len(), of_note.len());
                    let message = format!("`{}` joins {from} and {to} notes", pending.text);
                    let finding = self.fault(pending.column, pending.span, message);
                    findings.add(finding.note("a joint leads from as many notes to as many"));
                    return;
                }
                if joint == Joint::Bend && to <= from {
                    let finding = match before.joint() {
                        Some(Joint::Bend | Joint::Release) => {
                            self.falling_bend(&pending, &before.heard, &note.heard)
                        }
                        _ => self.open_bend(pending, &before.heard),
                    };
                    findings.add(finding);
                    return;
                }
                let tight = before.end == pending.column && note.start() == pending.last + 1;
                let clear = pending.last == pending.column;
                note.joined = Some(Join { joint, way, span: pending.span, tight, clear });
            }
        }
        if note.heard.height().is_none() && note.slide_in.is_some() {
            let message = "a slide leads to a fret";
            findings.add(self.fault(pending.column, pending.span, message));
        }
    }

    /// Reads a joining sign; returns how many cells it takes.
    fn sign(
        &mut self,
        row: &Row,
        index: usize,
        text: &'static str,
        joint: Joint,
        slide: Option<Slide>,
        findings: &mut Findings,
    ) -> usize {
        let Some(span) = row.cells.get(index).map(|cell| cell.span) else { return 1 };
        let plus = row.cells.get(index + 1).is_some_and(|cell| cell.text == "+" && !cell.barred);
        if joint == Joint::Bend && plus {
            self.quarter_bend(row, index, findings);
            return 2;
        }
        let column = row.column + index;
        let sign = Sign::Joint(joint, slide);
        let mut pending = Pending { sign, text, column, last: column, span, fixes: Vec::new() };
        if self.dot.is_some() {
            let Some(slide) = slide else {
                self.lone_dot(findings);
                return 1;
            };
            self.dot = None;
            pending.sign = Sign::SlideIn(slide);
        } else if let Some(before) = &mut self.pending {
            before.last = column;
            let message = format!("`{text}` follows `{}` with no fret between", before.text);
            findings.add(self.fault(column, span, message));
            return 1;
        } else {
            match self.joint_here(&mut pending, row, index, joint) {
                Ok(()) => {}
                Err(finding) => {
                    findings.add(*finding);
                    return 1;
                }
            }
        }
        self.pending = Some(pending);
        1
    }

    /// Whether a joint can begin at the last note of the string.
    fn joint_here(
        &self,
        pending: &mut Pending,
        row: &Row,
        index: usize,
        joint: Joint,
    ) -> Result<(), Box<Finding>> {
        let (text, column, span) = (pending.text, pending.column, pending.span);
        let Some(before) = self.notes.last() else {
            if joint == Joint::Tap {
                pending.sign = Sign::Tap;
                return Ok(());
            }
            let message = format!("`{text}` joins two notes, and none stands before it here");
            let finding = self.fault(column, span, message);
            let advice = "a slide from nowhere is written with a dot: `./7`";
            let slide = joint == Joint::Slide;
            return Err(Box::new(if slide { finding.note(advice) } else { finding }));
        };
        if before.heard.height().is_none() {
            if joint == Joint::Tap {
                pending.sign = Sign::Tap;
                return Ok(());
            }
            let message = format!("`{text}` joins frets only");
            return Err(Box::new(self.fault(column, span, message)));
        }
        if before.slide_out.is_some() {
            let message = format!("`{text}` joins two notes, and the one before it has slid away");
            return Err(Box::new(self.fault(column, span, message)));
        }
        if joint == Joint::Tap && before.end != column && touches_note(row, index) {
            pending.sign = Sign::Tap;
            return Ok(());
        }
        let bent =
            before.quarter_bend || matches!(before.joint(), Some(Joint::Bend | Joint::Release));
        if joint == Joint::Release && !bent {
            let message = "`r` releases a bend, and none stands before it";
            return Err(Box::new(self.fault(column, span, message)));
        }
        if let (Joint::Bend, Heard::Sound(Sound::Fret(from))) = (joint, &before.heard) {
            pending.fixes = bend_fixes(row, index, *from);
        }
        Ok(())
    }

    fn quarter_bend(&mut self, row: &Row, index: usize, findings: &mut Findings) {
        let column = row.column + index;
        if let Some(note) = self.notes.last_mut().filter(|_| self.pending.is_none()) {
            note.quarter_bend = true;
            note.end = if note.end == column { column + 2 } else { note.end };
            return;
        }
        let message = "`b+` bends a note, and none stands before it";
        findings.add(self.fault(column, row.span(column, column + 2), message));
    }

    fn vibrato(&mut self, column: usize, cell: &Cell, findings: &mut Findings) -> usize {
        match self.notes.last_mut().filter(|_| self.pending.is_none()) {
            Some(note) => {
                note.vibrato = true;
                note.end = if note.end == column { column + 1 } else { note.end };
            }
            None => {
                let message = "`~` stands behind a note, and none is there";
                findings.add(self.fault(column, cell.span, message));
            }
        }
        1
    }

    fn dot(&mut self, column: usize, cell: &Cell, findings: &mut Findings) -> usize {
        self.lone_dot(findings);
        let slide = match &self.pending {
            Some(Pending { sign: Sign::Joint(_, slide), .. }) => *slide,
            _ => None,
        };
        match (slide, self.notes.last_mut()) {
            (Some(slide), Some(note)) => {
                note.slide_out = Some(slide);
                self.pending = None;
            }
            _ => self.dot = Some((column, cell.span)),
        }
        1
    }

    /// Reports a dot that no slide followed.
    fn lone_dot(&mut self, findings: &mut Findings) {
        if let Some((column, span)) = self.dot.take() {
            let message = "a dot is the nowhere of a slide, and no slide stands here";
            findings
                .add(self.fault(column, span, message).note("`./7` slides in, `7\\.` slides out"));
        }
    }

    fn finish(&mut self, findings: &mut Findings) {
        self.lone_dot(findings);
        let Some(pending) = self.pending.take() else { return };
        match (pending.sign, self.notes.last().map(|note| &note.heard)) {
            (Sign::Joint(Joint::Bend, _), Some(from)) if from.height().is_some() => {
                findings.add(self.open_bend(pending, from));
            }
            _ => findings.add(self.unjoined(pending)),
        }
    }

    fn unjoined(&self, pending: Pending) -> Finding {
        let message = format!("`{}` leads to no fret on this string", pending.text);
        let finding = self.fault(pending.column, pending.span, message);
        match pending.sign {
            Sign::Joint(Joint::Slide, _) => {
                finding.note("a slide to nowhere is written with a dot: `7\\.`")
            }
            _ => finding,
        }
    }

    /// The finding about a bend that doesn't go up from where the string is bent to already.
    fn falling_bend(&self, pending: &Pending, from: &Heard, to: &Heard) -> Finding {
        let message = format!("`b` bends up, and {to} is not above {from}, where the string is");
        let finding = self.fault(pending.column, pending.span, message);
        finding.fix("a release", pending.span, "r", Ground::Choice)
    }

    fn open_bend(&self, pending: Pending, from: &Heard) -> Finding {
        let advice = match from {
            Heard::Sound(Sound::Fret(from)) => {
                let (half, whole) = (u16::from(*from) + 1, u16::from(*from) + 2);
                format!("write `{from}b{half}` or `{from}b{whole}`")
            }
            _ => "write the pitch that it is bent up to".to_owned(),
        };
        let message = format!("`{from}b` doesn't say how far: {advice}");
        let mut finding = self.fault(pending.column, pending.span, message);
        finding.fixes = pending.fixes;
        finding
    }
}

/// Whether the sign in a cell touches a note behind it: `t12` needs none before it.
fn touches_note(row: &Row, index: usize) -> bool {
    row.cells.get(index + 1).is_some_and(|cell| !cell.is_blank())
}

/// A half step and a whole step for a bend without a goal, where the columns behind it are free.
fn bend_fixes(row: &Row, index: usize, from: Fret) -> Vec<Fix> {
    let goals = [(1, "bent a half step"), (2, "bent a whole step")];
    let written = |(steps, says): (u16, &str)| {
        let goal = (u16::from(from) + steps).to_string();
        let behind = row.cells.iter().skip(index + 1).take(goal.len() + 1);
        let free = behind.clone().take(goal.len()).all(|cell| cell.is_blank() && !cell.barred)
            && behind.clone().count() >= goal.len()
            && behind.clone().nth(goal.len()).is_none_or(|cell| cell.digit().is_none());
        let start = row.column + index + 1;
        free.then(|| Fix {
            says: says.to_string(),
            span: row.span(start, start + goal.len()),
            replace: goal,
            ground: Ground::Choice,
        })
    };
    goals.into_iter().filter_map(written).collect()
}
