//! The reader: from a fence to a riff, step by step.

use super::bars::{self, BarColumns};
use super::clock::Clock;
use super::joined_notes::{self, Played};
use super::lines::{self, Row, Says, System};
use super::over_changes::{self, Changes, Progressions};
use super::phrases::{self, Phrases};
use super::rows::{self, Kind, Reading, Shaping, chord, count};
use super::setup::Setup;
use super::upbeat::Counted;
use super::{harmony, labels, laid, place, placing, string_rows, strums, unplayable_joints};
use crate::blocks::effort::Effort;
use crate::blocks::tab::Tab;
use crate::blocks::tab::places::{BarPlace, NotePlace, Places, RemarkPlaces, RowPlace};
use crate::blocks::tab::shapes::Shapes;
use crate::findings::Findings;
use crate::findings::rules::{block_syntax, left_out, no_count};
use crate::lesson::fence::Fence;
use crate::music::melody::{Melody, Tone, Tones};
use crate::music::tab::{Bar, BarHarmony, ByRow, Event, Form, Note, Riff, Run};
use crate::theory::harmony::HarmonyBar;
use crate::theory::{Chord, Meter, Ticks};
use std::collections::BTreeSet;

/// Reads a `riff` block. Every fault in it is reported, and what could be read is returned;
/// nothing where there is no tab to be read, or of a kind that this version leaves for later.
pub fn read(
    fence: &Fence,
    progressions: &dyn Progressions,
    effort: &mut Effort,
    findings: &mut Findings,
) -> Option<Tab> {
    let phrases = phrases::read(fence, findings);
    let changes =
        phrases.over.as_ref().and_then(|over| over_changes::find(over, progressions, findings));
    let mut systems = lines::read(fence, findings);
    let written = rows_of(fence, &mut systems, &phrases, findings)?;
    let whole = resolve_strings(fence, &mut systems, findings);
    let first_number = usize::from(!phrases.pickup);
    let tuning = &fence.setting.instrument.tuning;
    let columns = bars::lay_out(&mut systems, tuning, first_number, findings);
    let task = Task { fence, phrases: &phrases, progressions, systems: &systems, written, whole };
    Some(task.tab(&columns, changes, effort, findings))
}

/// A riff whose rows are known: what is needed to make bars, notes and chords of them.
struct Task<'t, 'a> {
    fence: &'t Fence<'a>,
    phrases: &'t Phrases,
    progressions: &'t dyn Progressions,
    systems: &'t [System<'a>],
    written: Written,
    /// Whether every row has its string.
    whole: bool,
}

impl Task<'_, '_> {
    /// The tab: bars first, then the clock, then what is played by it.
    fn tab(
        &self,
        columns: &[BarColumns],
        changes: Option<Changes>,
        effort: &mut Effort,
        findings: &mut Findings,
    ) -> Tab {
        let (fence, systems) = (self.fence, self.systems);
        let mut bars =
            shape_bars(fence, systems, columns, self.phrases, changes.as_ref(), findings);
        let mut places: Vec<BarPlace> = columns.iter().map(bar_place).collect();
        let timed = report_uncounted(fence, systems, findings);
        let big_beats =
            bars.iter().any(|bar| bar.meter.is_compound()) && count::counts_thirds(systems);
        let clock = match timed {
            true => {
                let counts =
                    count::read(systems, columns, &mut bars, &mut places, big_beats, findings);
                Clock::Counted(counts)
            }
            false => untimed(columns, &mut bars),
        };
        if let Clock::Counted(counts) = &clock
            && counts.unclear_bars.is_empty()
        {
            let (bars, places) = (bars.as_slice(), places.as_slice());
            let phrases_end = fence.phrases_end;
            let counted = Counted { bars, places, systems, columns, big_beats, phrases_end };
            let late = counted.without_pickup(changes.as_ref().map(Changes::len));
            late.into_iter().for_each(|finding| findings.add(finding));
        }
        let counted = bars.clone();
        let setup = Setup {
            text: fence.text,
            systems,
            columns,
            bars: &counted,
            clock: &clock,
            instrument: &fence.setting.instrument,
            big_beats,
        };
        self.play(&setup, (bars, places), changes, effort, findings)
    }

    /// What is played in bars that are counted: notes or strokes, the chords over them, and all that
    /// the other rows say of them.
    fn play(
        &self,
        setup: &Setup<'_, '_>,
        (mut bars, mut places): (Vec<Bar>, Vec<BarPlace>),
        mut changes: Option<Changes>,
        effort: &mut Effort,
        findings: &mut Findings,
    ) -> Tab {
        let timed = setup.is_timed();
        let strands = string_rows::read(setup, findings);
        unplayable_joints::doubt(setup, &strands, findings);
        let played = joined_notes::play(setup, &strands, findings);
        let mut tones = add_events(&mut bars, &mut places, &played);
        let unclear = self.place_chords(setup, &mut bars, &mut places, findings);
        if let (Some(changes), Some(first)) = (&mut changes, bars.first().filter(|_| timed)) {
            changes.shorten_pickup(place::upbeat(first));
        }
        let over = changes.as_ref().map(|changes| changes.over(&bars)).unwrap_or_default();
        let laid = changes.as_ref().filter(|changes| self.is_laid(&bars, changes, timed));
        let harmony = match laid.and_then(Changes::first_chord) {
            Some(chord) => laid::while_read(chord, bars.len()),
            None => harmony::in_force(&bars, &over, timed),
        };
        let form = self.strum(setup, &harmony, &mut bars, &mut places, findings);
        set_durations(&mut bars);
        let (runs, remarks) =
            self.read_rows(setup, &played, (&mut bars, &mut tones), &places, findings);
        if let Some(phrase) = self.phrases.over.as_ref().filter(|_| timed) {
            let name = &phrase.name.value;
            harmony::compare(&bars, &places, &over, &unclear, name, setup.big_beats, findings);
        }
        let has_left = self.systems.iter().any(|system| system.row(&rows::Left).is_some());
        let laid = laid.filter(|_| matches!(form, Form::Strum(_)));
        let mut riff = Riff {
            ends: true,
            held_over: Ticks::ZERO,
            form,
            key: self.fence.setting.key,
            bars,
            pickup: self.phrases.pickup,
            timed,
            instrument: self.fence.setting.instrument.clone(),
            big_beats: setup.big_beats,
            runs,
            fingered: has_left || self.written == Written::Notes,
            harmony,
            frame: false,
        };
        if let Some(changes) = laid {
            let laying = laid::Laying { fence: self.fence, changes, known: self.progressions };
            laying.lay(&mut riff, &mut places, effort, findings);
        }
        let places = Places { bars: places, rows: row_places(self.systems), remarks };
        self.placed(riff, places, tones, findings)
    }

    /// The riff with its places, those on the strings found where it is written in pitches.
    fn placed(&self, riff: Riff, places: Places, tones: Tones, findings: &mut Findings) -> Tab {
        if self.written != Written::Notes {
            return Tab { riff, places };
        }
        let (setting, guides) = (&self.fence.setting, &self.phrases.guides);
        let melody = Melody { riff, tones };
        let own = |chord: &Chord| self.progressions.shape(chord, &setting.instrument);
        let shapes = Shapes::held(&melody, guides, setting.hand, &own);
        placing::lay(melody, places, setting, guides, shapes, findings)
    }

    /// Whether it is a pattern that is laid under all bars of the changes.
    fn is_laid(&self, bars: &[Bar], changes: &Changes, timed: bool) -> bool {
        timed
            && self.written == Written::Chords
            && changes.first_chord().is_some()
            && laid::is_pattern(bars, changes)
    }

    /// Reads the rows that say more about what is played. Hands over their runs, and where their remarks stand.
    fn read_rows(
        &self,
        setup: &Setup<'_, '_>,
        played: &Played,
        (bars, tones): (&mut [Bar], &mut Tones),
        places: &[BarPlace],
        findings: &mut Findings,
    ) -> (ByRow<Vec<Run>>, RemarkPlaces) {
        let (whole, runs, remarks) = (self.whole, ByRow::new(), ByRow::new());
        let mut reading =
            Reading { setup, played, whole, bars, tones, places, runs, remarks, findings };
        for (kind, rows) in by_kind(self.systems) {
            kind.read(&rows, &mut reading);
        }
        let Reading { bars, tones, runs, mut remarks, .. } = reading;
        // Two rows of one label are read one after the other.
        remarks.values_mut().for_each(|remarks| remarks.sort_by_key(|(bar, _)| *bar));
        let events = bars.iter_mut().flat_map(|bar| &mut bar.events);
        rows::carry_fingers(events.flat_map(|event| &mut event.notes));
        rows::carry_fingers(tones.iter_mut().flatten().flatten());
        (runs, remarks)
    }

    /// Sets the symbols of the `chord` row into their bars. Hands over what is unclear in it.
    fn place_chords(
        &self,
        setup: &Setup<'_, '_>,
        bars: &mut [Bar],
        places: &mut [BarPlace],
        findings: &mut Findings,
    ) -> BTreeSet<usize> {
        let symbols = chord::read(setup, findings);
        chord::outside_key(&symbols.placed, self.fence.setting.key.as_ref(), findings);
        for symbol in symbols.placed {
            if let (Some(bar), Some(place)) = (bars.get_mut(symbol.bar), places.get_mut(symbol.bar))
            {
                bar.chords.push(symbol.chord);
                place.chords.push(symbol.span);
            }
        }
        symbols.unclear
    }

    /// Where there are only chords, the strokes that play them.
    fn strum(
        &self,
        setup: &Setup<'_, '_>,
        harmony: &[BarHarmony],
        bars: &mut [Bar],
        places: &mut [BarPlace],
        findings: &mut Findings,
    ) -> Form {
        match self.written {
            Written::Strings | Written::Notes => Form::Tab,
            Written::Chords => {
                let known = self.progressions;
                strums::Strokes { setup, harmony, known }.strum(self.fence, bars, places, findings)
            }
        }
    }
}

/// The rows of each kind that a riff has, through all its systems.
fn by_kind<'s, 'a>(
    systems: &'s [System<'a>],
) -> impl Iterator<Item = (&'static dyn Kind, Vec<&'s Row<'a>>)> {
    let of = |kind| systems.iter().filter_map(|system| system.row(kind)).collect();
    let kinds = rows::ALL.iter().map(move |kind| (*kind, of(*kind)));
    kinds.filter(|(_, rows): &(_, Vec<&Row>)| !rows.is_empty())
}

/// Where the rows stand in the text.
fn row_places(systems: &[System]) -> Vec<RowPlace> {
    let rows = systems
        .iter()
        .enumerate()
        .flat_map(|(index, system)| system.rows.iter().map(move |row| (index, row)));
    let place = |(system, row): (usize, &Row)| {
        let string = match row.says {
            Says::String(string) => Some(string),
            Says::Kind(_) | Says::Label => None,
        };
        let span = row.span(row.column, row.end());
        let starts = row.cells.iter().map(|cell| cell.span.start).chain([span.end]).collect();
        RowPlace { system, string, span, column: row.column, starts }
    };
    rows.map(place).collect()
}

/// What a riff is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Written {
    /// String rows.
    Strings,
    /// A `notes` row.
    Notes,
    /// Neither: chords, and perhaps strokes.
    Chords,
}

/// What a riff is written in; nothing where it has no rows. Rows and phrases that don't go with it are
/// reported.
fn rows_of(
    fence: &Fence,
    systems: &mut [System],
    phrases: &Phrases,
    findings: &mut Findings,
) -> Option<Written> {
    let rows = || systems.iter().flat_map(|system| &system.rows);
    if rows().next().is_none() {
        if !systems.iter().any(|system| system.unknown) {
            findings.add(block_syntax::at(fence.head, "this riff has no rows"));
        }
        return None;
    }
    let notes = rows().find(|row| row.is(&rows::Notes)).map(|row| row.label_span);
    let strings = rows().any(|row| row.is_string());
    if let Some(notes) = notes.filter(|_| strings) {
        let message = "a `notes` row stands instead of string rows, not beside them";
        findings.add(block_syntax::at(notes, message));
        for system in systems {
            system.rows.retain(|row| !row.is(&rows::Notes));
        }
        return Some(Written::Strings);
    }
    if notes.is_some() {
        return Some(Written::Notes);
    }
    for guide in &phrases.guiding {
        findings.add(match strings {
            true => left_out::idle_guide(guide, fence.text),
            false => {
                let message = format!("`{}` guides a `notes` row; this riff has none", guide.value);
                block_syntax::at(guide.span, message)
            }
        });
    }
    Some(if strings { Written::Strings } else { Written::Chords })
}

/// Gives every string row its string; rows that have none are taken out. Whether all have one.
fn resolve_strings(fence: &Fence, systems: &mut [System], findings: &mut Findings) -> bool {
    let mut whole = true;
    for system in systems {
        labels::resolve(system, &fence.setting.instrument.tuning, findings);
        whole &= !system.unknown && system.rows.iter().all(|row| row.says != Says::Label);
    }
    whole
}

/// The bars with all that is known before their counts: numbers, repeats, endings, meters.
fn shape_bars(
    fence: &Fence,
    systems: &[System],
    columns: &[BarColumns],
    phrases: &Phrases,
    changes: Option<&Changes>,
    findings: &mut Findings,
) -> Vec<Bar> {
    let first = usize::from(!phrases.pickup);
    let meter = fence.setting.meter;
    let mut bars: Vec<Bar> =
        (first..).zip(columns).map(|(number, columns)| empty_bar(number, columns, meter)).collect();
    for (kind, rows) in by_kind(systems) {
        kind.shape(&rows, &mut Shaping { columns, bars: &mut bars, findings });
    }
    let has_row = systems.iter().any(|system| system.row(&rows::Meter).is_some());
    if let Some(changes) = changes.filter(|_| !has_row) {
        let over = changes.over(&bars);
        let own: Vec<Option<Meter>> = over.iter().map(|heard| own_meter(heard)).collect();
        for (bar, meter) in bars.iter_mut().zip(own) {
            bar.meter = meter.unwrap_or(bar.meter);
        }
    }
    let mut before = bars.first().map(|bar| bar.meter);
    for bar in &mut bars {
        bar.meter_changes = before != Some(bar.meter);
        before = Some(bar.meter);
        bar.length = bar.meter.bar();
    }
    bars
}

fn own_meter(heard: &[&HarmonyBar]) -> Option<Meter> {
    heard.first().filter(|bar| bar.own_meter).map(|bar| bar.meter)
}

fn empty_bar(number: usize, columns: &BarColumns, meter: Meter) -> Bar {
    Bar {
        number,
        meter,
        meter_changes: false,
        start: Ticks::ZERO,
        length: meter.bar(),
        repeat_start: columns.repeat_start,
        repeat_end: columns.repeat_end,
        double_end: columns.double_end,
        ending: None,
        within_ending: None,
        chords: Vec::new(),
        counts: Vec::new(),
        events: Vec::new(),
        air: Vec::new(),
        remarks: ByRow::new(),
    }
}

/// Where a bar stands, nothing in it placed yet.
fn bar_place(columns: &BarColumns) -> BarPlace {
    BarPlace {
        span: columns.span,
        system: columns.system,
        columns: (columns.from, columns.to),
        rows: columns.rows.clone(),
        ..BarPlace::default()
    }
}

/// Reports a riff, or a system of it, without a count row. Whether the riff has one.
fn report_uncounted(fence: &Fence, systems: &[System], findings: &mut Findings) -> bool {
    let uncounted = |system: &&System| system.row(&rows::Count).is_none();
    // A row of an unknown label may have been the count.
    let unknown = |system: &&System| system.unknown;
    if systems.iter().all(|system| uncounted(&system)) {
        if !systems.iter().any(|system| unknown(&system)) {
            findings.add(no_count::riff(fence.head));
        }
        return false;
    }
    for system in systems.iter().filter(uncounted).filter(|system| !unknown(system)) {
        if let Some(row) = system.rows.first() {
            let message = "this system has no `count` row, which others of the riff have";
            findings.add(block_syntax::at(row.label_span, message));
        }
    }
    true
}

/// A riff without a count: each column is a tick.
fn untimed(columns: &[BarColumns], bars: &mut [Bar]) -> Clock {
    let mut start = Ticks::ZERO;
    for (bar, columns) in bars.iter_mut().zip(columns) {
        bar.start = start;
        let length = columns.to.saturating_sub(columns.from);
        bar.length = Ticks(u32::try_from(length).unwrap_or(u32::MAX));
        start += bar.length;
    }
    Clock::columns(columns)
}

/// Sets the notes into their bars as events, those of a `notes` row as events without notes. Hands
/// over the tones of those.
fn add_events(bars: &mut [Bar], places: &mut [BarPlace], played: &Played) -> Tones {
    for (moment, notes) in &played.notes {
        let bar = bars.get_mut(moment.bar);
        let (Some(bar), Some(place)) = (bar, places.get_mut(moment.bar)) else { continue };
        let (notes, spans): (Vec<Note>, Vec<NotePlace>) = notes.iter().cloned().unzip();
        bar.events.push(Event::new(moment.at, notes));
        place.notes.extend(spans);
    }
    let mut tones: Tones = vec![Vec::new(); bars.len()];
    for (moment, now) in &played.tones {
        let bar = (bars.get_mut(moment.bar), tones.get_mut(moment.bar));
        let ((Some(bar), Some(in_bar)), Some(place)) = (bar, places.get_mut(moment.bar)) else {
            continue;
        };
        let (now, spans): (Vec<Tone>, Vec<NotePlace>) = now.iter().cloned().unzip();
        bar.events.push(Event::new(moment.at, Vec::new()));
        in_bar.push(now);
        place.notes.extend(spans);
    }
    tones
}

/// Lets each event last to the next one, or to a rest, or to the riff's end.
pub(super) fn set_durations(bars: &mut [Bar]) {
    let mut next = bars.last().map_or(Ticks::ZERO, |bar| bar.start + bar.length);
    for bar in bars.iter_mut().rev() {
        let start = bar.start;
        let mut rests = bar.counts.iter().filter(|count| count.rest).rev().peekable();
        for event in bar.events.iter_mut().rev() {
            while let Some(rest) = rests.next_if(|rest| rest.at > event.at) {
                next = start + rest.at;
            }
            event.duration = next.since(start + event.at);
            next = start + event.at;
        }
        if let Some(rest) = rests.last() {
            next = start + rest.at;
        }
    }
}
