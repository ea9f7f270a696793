//! Chains of joined notes: which note of each is played at which count, and which are graces.

use super::clock::{Clock, Moment, Under};
use super::place;
use super::realign::{Repair, realigned};
use super::setup::Setup;
use super::signs_along::with_signs;
use super::written::{Course, Heard, Strand, Written};
use crate::blocks::tab::places::NotePlace;
use crate::findings::Span;
use crate::findings::rules::{column_adrift, count_order, fret_range, same_string};
use crate::findings::{Finding, Findings, Ground};
use crate::music::melody::{Sounding, Tone};
use crate::music::tab::{Bar, Grace, Joint, Note, Sound};
use crate::words::listed;
use std::collections::{BTreeMap, BTreeSet};

/// The notes that are played at each moment, the lowest-placed string first, and the moment of
/// every column in which a note is written.
#[derive(Debug, Default)]
pub(super) struct Played {
    /// The notes on strings, each with its place.
    pub notes: BTreeMap<Moment, Vec<(Note, NotePlace)>>,
    /// The tones that are to be laid on strings, each with its place, the first written first.
    pub tones: BTreeMap<Moment, Vec<(Tone, NotePlace)>>,
    /// What is written in each column in which a note or its bracket stands.
    pub columns: BTreeMap<usize, Spot>,
    /// The bars with notes that could not be placed, which has been reported.
    pub unclear: BTreeSet<usize>,
}

/// The notes of a column.
#[derive(Debug, Clone, Default)]
pub(super) struct Spot {
    /// Their moment, where they have one.
    pub moment: Option<Moment>,
    /// Where they stand, the lowest-placed string first.
    pub notes: Vec<Span>,
}

/// Places the notes of all strings.
pub(super) fn play(setup: &Setup, strands: &[Strand], findings: &mut Findings) -> Played {
    let mut played = Played::default();
    let company = Company::of(setup, strands);
    for strand in strands {
        let course = strand.course;
        let joined = |_: &Written, next: &Written| next.joined.is_some();
        for chain in strand.notes.chunk_by(joined) {
            Chain { setup, course, findings, played: &mut played }.place(chain);
        }
        // What stands beside others in a `notes` row is adrift with them.
        if !matches!(course, Course::Voice(1..)) {
            report_adrift(setup, strand, &company, &mut played.unclear, findings);
        }
    }
    for (moment, notes) in &mut played.notes {
        keep_one_a_string(setup, *moment, notes, findings);
    }
    for (moment, tones) in &mut played.tones {
        keep_one_a_string(setup, *moment, tones, findings);
    }
    played
}

/// Reports notes that two rows ask of one string at a moment; the first of them is kept.
fn keep_one_a_string<N>(
    setup: &Setup,
    moment: Moment,
    notes: &mut Vec<(N, NotePlace)>,
    findings: &mut Findings,
) {
    notes.dedup_by(|second, first| {
        let ((_, first), (_, second)) = (first, second);
        if second.string != first.string {
            return false;
        }
        let place = setup.place(moment, Course::String(first.string));
        findings.add(same_string::two_notes(first.span, second.span).heard_at(&place));
        true
    });
}

struct Chain<'c, 'r, 'a> {
    setup: &'c Setup<'r, 'a>,
    course: Course,
    findings: &'c mut Findings,
    played: &'c mut Played,
}

impl Chain<'_, '_, '_> {
    fn place(&mut self, chain: &[Written]) {
        let mut group: Vec<&Written> = Vec::new();
        let mut moment: Option<Moment> = None;
        for note in chain {
            match self.setup.under(note) {
                Under::Count(at) => {
                    if moment.is_some() {
                        self.take_in(moment, &std::mem::take(&mut group));
                    }
                    moment = Some(at);
                }
                Under::Rest(at) => {
                    self.played.unclear.insert(at.bar);
                    self.report_rest(note, at);
                }
                Under::Unclear | Under::Nothing => {}
            }
            group.push(note);
        }
        self.take_in(moment, &group);
    }

    /// Takes in the notes that share a count: the last one lasts, the others are its graces.
    fn take_in(&mut self, moment: Option<Moment>, group: &[&Written]) {
        self.note_columns(moment, group);
        let (Some(moment), Some((last, graces))) = (moment, group.split_last()) else {
            for note in group {
                self.played.unclear.extend(self.setup.bar_at(note.column));
                let near = self.setup.bar_at(note.column).map(|bar| (bar, note.column));
                let at = near.and_then(|(bar, column)| self.setup.clock.until(column, bar));
                self.on_neck(note, at);
            }
            return;
        };
        let is_grace = |note: &&Written| note.heard.height().is_some();
        let graces: Vec<&Written> = graces
            .iter()
            .copied()
            .filter(|note| self.on_neck(note, Some(moment)))
            .filter(is_grace)
            .collect();
        if !self.on_neck(last, Some(moment)) {
            self.played.unclear.insert(moment.bar);
            return;
        }
        let (at, string) = (moment.at, self.course.string());
        let spans = graces.iter().map(|note| note.span).collect();
        let place = NotePlace { at, string, span: last.span, graces: spans };
        if let Heard::Sound(sound) = last.heard {
            let note = self.note(last, group, sound, sounding(&graces, Heard::fret));
            self.played.notes.entry(moment).or_default().push((note, place));
        } else if let Some(pitch) = last.heard.pitch() {
            let graces = sounding(&graces, Heard::pitch);
            let tone = self.note(last, group, Sounding::Pitch(pitch), graces);
            self.played.tones.entry(moment).or_default().push((tone, place));
        }
    }

    fn note_columns(&mut self, moment: Option<Moment>, group: &[&Written]) {
        for note in group {
            for column in [Some(note.column), note.bracket].into_iter().flatten() {
                let spot = self.played.columns.entry(column).or_default();
                spot.moment = spot.moment.or(moment);
                spot.notes.push(note.span);
            }
        }
    }

    fn note<S, P>(
        &self,
        last: &Written,
        group: &[&Written],
        sound: S,
        graces: Vec<Grace<P>>,
    ) -> Note<S, P> {
        Note {
            string: self.course.string(),
            sound,
            ghost: last.ghost,
            joined: last.joint(),
            graces,
            slide_in: group.first().and_then(|note| note.slide_in),
            slide_out: last.slide_out,
            vibrato: group.iter().any(|note| note.vibrato),
            quarter_bend: last.quarter_bend,
            tapped: group.first().is_some_and(|note| note.tapped),
            finger: None,
        }
    }

    /// Whether a note is on the neck; a bend may reach the pitch of frets that no neck has.
    fn on_neck(&mut self, note: &Written, moment: Option<Moment>) -> bool {
        let Course::String(string) = self.course else { return true };
        let instrument = self.setup.instrument;
        let fret = match (note.too_high, note.heard.fret()) {
            (Some(fret), _) => fret,
            (None, Some(fret)) if fret > instrument.last_fret() && !is_bent(note) => {
                u32::from(fret)
            }
            _ => return true,
        };
        let string = place::string(instrument.tuning.number(string));
        let place = moment.map_or(string, |moment| self.setup.place(moment, self.course));
        let finding = fret_range::off_the_neck(note.span, fret, instrument).heard_at(&place);
        let advice = "digits that touch are one fret; a dash parts two notes";
        self.findings.add(if fret > 36 { finding.note(advice) } else { finding });
        false
    }

    fn report_rest(&mut self, note: &Written, at: Moment) {
        let place = self.setup.place(at, self.course);
        self.findings.add(count_order::note_in_rest(note.span).heard_at(&place));
    }
}

/// Notes as grace notes, as what they sound.
fn sounding<P>(notes: &[&Written], sound: fn(&Heard) -> Option<P>) -> Vec<Grace<P>> {
    let grace = |note: &&Written| {
        Some(Grace {
            sound: sound(&note.heard)?,
            ghost: note.ghost,
            joined: note.joint(),
            quarter_bend: note.quarter_bend,
            finger: None,
        })
    };
    notes.iter().filter_map(grace).collect()
}

/// Where so many findings are told already the signs of other rows are left where they stand: such a riff is
/// not one that slipped, and a repair over many rows is long.
const MOST_SLIPPED: usize = 50;

/// Whether a note is bent up or let down to, not pressed.
fn is_bent(note: &Written) -> bool {
    matches!(note.joint(), Some(Joint::Bend | Joint::Release))
}

/// The first notes of what stands under no count on a string: notes that are joined tight share
/// the count of one of them.
fn adrift<'s>(setup: &Setup, strand: &'s Strand) -> Vec<&'s Written> {
    let runs = strand.notes.chunk_by(|_, next| next.is_tight());
    runs.filter(|run| run.iter().all(|note| setup.under(note) == Under::Nothing))
        .filter_map(|run| run.first())
        .collect()
}

/// What the notes of all strings say of a note of one that has no count.
struct Company {
    /// The bars in which notes of several strings stand under no count: there the counts may have slipped.
    slipped: BTreeSet<usize>,
    /// The columns in which a string is struck: a note that is moved there would sound with it, and may
    /// have been meant before or after it.
    struck: BTreeSet<usize>,
}

impl Company {
    fn of(setup: &Setup, strands: &[Strand]) -> Company {
        let notes = strands.iter().flat_map(|strand| &strand.notes);
        let struck = notes.map(|note| note.column).collect();
        Company { slipped: slipped_together(setup, strands), struck }
    }

    /// Whether a repair of a bar is the author's to make.
    fn is_open(&self, bar: usize, repair: &Repair) -> bool {
        let joins = |(column, by): &(usize, isize)| {
            column.checked_add_signed(*by).is_some_and(|to| self.struck.contains(&to))
        };
        self.slipped.contains(&bar) || repair.moved.iter().any(joins)
    }
}

/// The bars in which notes of several strings stand under no count.
fn slipped_together(setup: &Setup, strands: &[Strand]) -> BTreeSet<usize> {
    let mut seen = BTreeSet::new();
    let mut together = BTreeSet::new();
    for strand in strands {
        let bars = adrift(setup, strand).into_iter().filter_map(|note| setup.bar_at(note.column));
        let bars: BTreeSet<usize> = bars.collect();
        together.extend(bars.intersection(&seen));
        seen.extend(bars);
    }
    together
}

/// Reports the notes of a string that stand under no count. In bars in which those of several do, the
/// author says what has slipped.
fn report_adrift(
    setup: &Setup,
    strand: &Strand,
    company: &Company,
    unclear: &mut BTreeSet<usize>,
    findings: &mut Findings,
) {
    let adrift = adrift(setup, strand);
    unclear.extend(adrift.iter().filter_map(|note| setup.bar_at(note.column)));
    let key = |note: &&Written| (note.row, setup.bar_at(note.column));
    for notes in adrift.chunk_by(|one, next| key(one) == key(next)) {
        let Some(first) = notes.first() else { continue };
        let Some(bar) = setup.bar_at(first.column) else { continue };
        let wanting: BTreeSet<usize> = notes.iter().map(|note| note.column).collect();
        if setup.is_astray(first.row, bar) {
            continue;
        }
        let mut repairs = realigned(setup, strand, first, bar, &wanting);
        if findings.are_fewer_than(MOST_SLIPPED) {
            repairs = repairs.into_iter().map(|repair| with_signs(setup, first, repair)).collect();
        }
        for repair in repairs.iter_mut().filter(|repair| company.is_open(bar, repair)) {
            repair.ground = Ground::Choice;
        }
        for note in notes {
            let finding = adrift_finding(setup, note, bar, strand.course);
            let finding = match advice(setup, strand, note) {
                Some(advice) => finding.note(advice),
                None => finding,
            };
            findings.add(with_repairs(setup, strand, finding, &repairs));
        }
    }
}

/// The finding with the ways to write its bar's row anew: one, or one to each side.
fn with_repairs(setup: &Setup, strand: &Strand, finding: Finding, repairs: &[Repair]) -> Finding {
    let fix = |finding: Finding, says: &str, repair: &Repair| {
        let first = first_moved(setup, strand, repair);
        let says = match first {
            Some((first, true)) => first,
            Some((first, false)) => format!("{says}: {first}, and so on"),
            None => says.to_owned(),
        };
        let labels: Vec<String> =
            repair.along.iter().map(|label| format!("the `{label}` row")).collect();
        let says = match labels.is_empty() {
            true => says,
            false => format!("{says}, and what stands there in {}", listed(&labels)),
        };
        finding.fix(says, repair.span, &repair.text, repair.ground)
    };
    match repairs {
        [only] => fix(finding, "the notes of this bar under its counts", only),
        [left, right] => {
            let finding =
                fix(finding, "the notes of this bar under the counts on their left", left);
            fix(finding, "the notes of this bar under the counts on their right", right)
        }
        _ => finding,
    }
}

/// What to say of a joined note, or one behind a sign, that has no count.
fn advice(setup: &Setup, strand: &Strand, note: &Written) -> Option<&'static str> {
    if sign_is_counted(setup, note) {
        return Some("the digit stands under the count, not the sign before it");
    }
    let grace = "a grace note is written tight against its join, `2h4`; what lands under a count is counted: widen the counts for a grace note";
    is_joined(strand, note).then_some(grace)
}

/// Whether a sign that stands tight before a note has the count that the note lacks.
fn sign_is_counted(setup: &Setup, note: &Written) -> bool {
    let Some(row) = setup.row(note) else { return false };
    let is_sign = |column: &usize| {
        let cell = row.at(*column);
        cell.is_some_and(|cell| !cell.is_blank() && cell.digit().is_none())
    };
    let mut signs = (row.column..note.start()).rev().take_while(is_sign);
    signs.any(|column| setup.clock.under(column) != Under::Nothing)
}

/// "fret 0 under beat 2": where a repair moves its first note, and whether it is the only one.
fn first_moved(setup: &Setup, strand: &Strand, repair: &Repair) -> Option<(String, bool)> {
    let mut notes = repair.moved.iter().filter_map(|(column, by)| {
        let at = strand.notes.partition_point(|note| note.column < *column);
        Some((strand.notes.get(at).filter(|note| note.column == *column)?, *by))
    });
    let (note, by) = notes.next()?;
    let columns = [Some(note.column), note.bracket].into_iter().flatten();
    let moment =
        columns.filter_map(|column| column.checked_add_signed(by)).find_map(
            |column| match setup.clock.under(column) {
                Under::Count(moment) | Under::Rest(moment) => Some(moment),
                Under::Unclear | Under::Nothing => None,
            },
        )?;
    let count = place::count(setup.bars.get(moment.bar)?, moment.at, setup.big_beats);
    Some((format!("{} under {count}", sound_of(note)), notes.next().is_none()))
}

/// Whether a note is joined to the one before it, or the one behind it to it.
fn is_joined(strand: &Strand, note: &Written) -> bool {
    let behind = strand.notes.partition_point(|other| other.column <= note.column);
    let next = strand.notes.get(behind);
    note.joined.is_some() || next.is_some_and(|next| next.joined.is_some())
}

fn adrift_finding(setup: &Setup, note: &Written, index: usize, course: Course) -> Finding {
    let string = setup.string(course);
    let bar = setup.bars.get(index).map(place::bar).unwrap_or_default();
    let what = sound_of(note);
    let near = nearest_counts(setup.clock, setup.bars, note.column, index, setup.big_beats);
    column_adrift::under_no_count(note.span, &what, &near).heard_at(&format!("{bar}{string}"))
}

/// "fret 3", or the pitches of what stands in a `notes` row.
fn sound_of(note: &Written) -> String {
    match &note.heard {
        Heard::Sound(Sound::Fret(fret)) => format!("fret {fret}"),
        Heard::Sound(Sound::Harmonic(fret)) => format!("the harmonic over fret {fret}"),
        Heard::Sound(Sound::Muted) => "a muted stroke".to_string(),
        Heard::Pitches(_) => note.heard.to_string(),
    }
}

/// "the nearest are the & of 2 and beat 3".
pub(super) fn nearest_counts(
    clock: &Clock,
    bars: &[Bar],
    column: usize,
    index: usize,
    big_beats: bool,
) -> String {
    let names: Vec<String> = clock
        .nearest(column, index)
        .into_iter()
        .filter_map(|moment| Some(place::count(bars.get(index)?, moment.at, big_beats)))
        .collect();
    match names.as_slice() {
        [] => "its bar has no count".to_string(),
        [only] => format!("the nearest is {only}"),
        several => format!("the nearest are {}", listed(several)),
    }
}
