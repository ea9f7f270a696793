//! What a count row says: what a teacher says aloud, as moments.

use crate::blocks::riff::bars::BarColumns;
use crate::blocks::riff::clock::{Counts, Moment, Tick};
use crate::blocks::riff::lines::{Row, System};
use crate::blocks::riff::place;
use crate::blocks::riff::upbeat;
use crate::blocks::tab::places::{BarPlace, Sign};
use crate::findings::Span;
use crate::findings::rules::{
    bar_length, bar_short, big_beats, block_syntax, count_order, triplet_count,
};
use crate::findings::{Finding, Findings};
use crate::music::tab::{Bar, Count};
use crate::theory::Ticks;
use crate::words::help::{self, SAME, sign};
use std::collections::BTreeSet;

/// What a count says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Says {
    /// A beat's number.
    Beat(u32),
    /// So many parts of so many of a beat: `&` is 1 of 2.
    Part(u32, u32),
    /// One of so many parts of a beat after the count before it: `ta` is one of 6.
    After(u32),
}

/// A count as written.
#[derive(Debug, Clone)]
struct Written {
    column: usize,
    sign: String,
    span: Span,
    rest: bool,
    says: Option<Says>,
}

impl Written {
    fn sign(&self) -> Sign {
        Sign { column: self.column, text: self.sign.clone(), span: self.span }
    }
}

fn says(sign: &str) -> Option<Says> {
    let is_number = !sign.is_empty() && sign.bytes().all(|byte| byte.is_ascii_digit());
    let beat = is_number.then(|| Says::Beat(sign.parse().unwrap_or(u32::MAX)));
    beat.or_else(|| PARTS.iter().find(|(part, _)| part.is(sign)).map(|(_, says)| *says))
}

/// What is counted between the beats.
const PARTS: [(help::Sign, Says); 11] = [
    (sign("&", "half a beat on"), Says::Part(1, 2)),
    (sign("+", SAME), Says::Part(1, 2)),
    (sign("e", "a quarter of a beat on"), Says::Part(1, 4)),
    (sign("a", "three quarters of a beat on"), Says::Part(3, 4)),
    (sign("la", "a third of a beat on"), Says::Part(1, 3)),
    (sign("trip", SAME), Says::Part(1, 3)),
    (sign("li", "two thirds of a beat on"), Says::Part(2, 3)),
    (sign("let", SAME), Says::Part(2, 3)),
    (sign("ta", "a sixth of a beat after the count before it"), Says::After(6)),
    (sign("'", "an eighth of a beat after the count before it"), Says::After(8)),
    (sign("’", SAME), Says::After(8)),
];

/// All that may stand in a count row.
pub(in crate::blocks::riff) fn signs() -> Vec<help::Sign> {
    let parts = PARTS.iter().map(|(part, _)| *part);
    let rest =
        [sign("(3)", "all sound stops: a rest"), sign(":|x3", "how often a repeat is played")];
    [sign("1 2 3", "the beats")].into_iter().chain(parts).chain(rest).collect()
}

/// Whether a word is a count.
pub(in crate::blocks::riff) fn is_count(sign: &str) -> bool {
    says(sign).is_some()
}

/// Whether a riff's counts use thirds or sixths of a beat anywhere, so that its numbers are the
/// big beats of 6/8, 9/8 and 12/8.
pub(in crate::blocks::riff) fn counts_thirds(systems: &[System]) -> bool {
    let counts = systems.iter().filter_map(|system| system.row(&super::Count));
    counts.flat_map(|row| row.words(1)).any(|word| {
        word.text
            .split(['(', ')'])
            .any(|sign| matches!(says(sign), Some(Says::Part(_, 3) | Says::After(6))))
    })
}

/// Reads every bar's counts into the bars and their places, sets the bars' starts and lengths, doubts counts that
/// may mean another thing than what they say, and returns the columns of the counts.
pub(in crate::blocks::riff) fn read(
    systems: &[System],
    columns: &[BarColumns],
    bars: &mut [Bar],
    places: &mut [BarPlace],
    big_beats: bool,
    findings: &mut Findings,
) -> Counts {
    let mut counts = Counts::default();
    let mut start = Ticks::ZERO;
    let each = bars.iter_mut().zip(places.iter_mut()).zip(columns).enumerate();
    for (index, ((bar, place), columns)) in each {
        bar.start = start;
        if let Some(row) = systems.get(columns.system).and_then(|system| system.row(&super::Count))
        {
            let mut untold = Findings::default();
            let findings = if is_astray(systems, columns) { &mut untold } else { &mut *findings };
            let written = read_signs(row, columns, &place::bar(bar), findings);
            place.signs = written.iter().map(Written::sign).collect();
            let unit = place::beat(bar.meter, big_beats);
            let columns = Vec::new();
            let spans = &mut place.counts;
            let (last, anew) = (None, None);
            let mut reader = CountReader { bar, spans, unit, findings, last, anew, columns };
            reader.read(&written);
            let read = reader.columns;
            for (column, moment) in shorten_upbeat(bar, read) {
                let Some((at, rest)) = moment else {
                    counts.unclear.insert(column);
                    counts.unclear_bars.insert(index);
                    continue;
                };
                counts.ticks.push(Tick { column, moment: Moment { bar: index, at }, rest });
            }
        }
        start += bar.length;
    }
    doubt_counts(bars, places, &counts.unclear_bars, big_beats, findings);
    counts
}

/// Whether a bar line of the count row stands astray at a bar, so that what its counts there are is
/// open.
fn is_astray(systems: &[System], bar: &BarColumns) -> bool {
    let rows = systems.get(bar.system).map_or(&[][..], |system| &system.rows);
    let count = rows.iter().position(|row| row.is(&super::Count));
    count.is_some_and(|count| bar.astray.contains(&count))
}

/// Reads the signs of one bar's counts.
fn read_signs(row: &Row, bar: &BarColumns, place: &str, findings: &mut Findings) -> Vec<Written> {
    let mut written: Vec<Written> = Vec::new();
    let mut open: Option<Span> = None;
    let mut touching = false;
    let from = bar.from.saturating_sub(row.column);
    let to = bar.to.saturating_sub(row.column);
    for (index, cell) in row.cells.iter().enumerate().take(to).skip(from) {
        match cell.text {
            "(" => {
                report_open(open.replace(cell.span), place, findings);
                touching = false;
            }
            ")" => {
                match open.take() {
                    Some(_) => {}
                    None => findings.add(block_syntax::at(
                        cell.span,
                        format!("{place}: a bracket is closed that none opened"),
                    )),
                }
                touching = false;
            }
            _ if cell.is_blank() => touching = false,
            sign if touching => {
                if let Some(count) = written.last_mut() {
                    count.sign.push_str(sign);
                    count.span = count.span.to(cell.span);
                }
            }
            sign => {
                written.push(Written {
                    column: row.column + index,
                    sign: sign.to_string(),
                    span: cell.span,
                    rest: open.is_some(),
                    says: None,
                });
                touching = true;
            }
        }
    }
    report_open(open, place, findings);
    for count in &mut written {
        count.says = says(&count.sign);
        if count.says.is_none() {
            findings.add(unknown_count(count, place));
        }
    }
    written
}

fn report_open(open: Option<Span>, place: &str, findings: &mut Findings) {
    if let Some(span) = open {
        let message = format!("{place}: this bracket isn't closed");
        findings.add(block_syntax::at(span, message));
    }
}

fn unknown_count(count: &Written, place: &str) -> Finding {
    let message = format!("{place}: `{}` is no count", count.sign);
    let finding = block_syntax::at(count.span, message);
    let parts = count.sign.chars().all(|sign| says(&sign.to_string()).is_some());
    if parts {
        return finding.note("a space parts one count from the next");
    }
    let parts = help::named(PARTS.iter().map(|(part, _)| part));
    finding.note(format!("counts are numbers, {parts}")).note(help::see("riff"))
}

/// A count's column, its moment and whether a rest begins; no moment where it has a fault.
type Column = (usize, Option<(Ticks, bool)>);

/// Works out when the counts of one bar are.
struct CountReader<'r> {
    bar: &'r mut Bar,
    /// Where its counts stand.
    spans: &'r mut Vec<Span>,
    unit: Ticks,
    findings: &'r mut Findings,
    /// The last count that was read without a fault.
    last: Option<Ticks>,
    /// The last count since they fell back, where they did.
    anew: Option<Ticks>,
    columns: Vec<Column>,
}

impl CountReader<'_> {
    fn read(&mut self, written: &[Written]) {
        let mut beat = self.first_beat(written);
        // Parts of a beat that has a fault are not reported again.
        let mut sound = true;
        for count in written {
            let moment = match count.says {
                Some(Says::Beat(number)) => {
                    beat = number.checked_sub(1);
                    sound = true;
                    self.beat(count, number)
                }
                Some(Says::Part(..)) if !sound => None,
                Some(Says::Part(part, of)) => self.part(count, beat, part, of),
                Some(Says::After(_)) if !sound => None,
                Some(Says::After(of)) => self.after(count, of),
                None => None,
            };
            let moment = moment.filter(|at| self.rises(count, *at));
            if moment.is_none() && matches!(count.says, Some(Says::Beat(_) | Says::After(_))) {
                sound = false;
            }
            self.take_in(count, moment);
        }
    }

    /// The beat, from 0, that parts before any number belong to; `None` before beat 1.
    fn first_beat(&self, written: &[Written]) -> Option<u32> {
        let next = written.iter().find_map(|count| match count.says {
            Some(Says::Beat(number)) => Some(number),
            _ => None,
        });
        match next {
            Some(number) => number.checked_sub(2),
            None if self.bar.number == 0 => (self.bar.meter.bar().0 / self.unit.0).checked_sub(1),
            None => Some(0),
        }
    }

    fn beat(&mut self, count: &Written, number: u32) -> Option<Ticks> {
        let beats = self.bar.meter.bar().0 / self.unit.0;
        if (1..=beats).contains(&number) {
            return Some(self.unit * (number - 1));
        }
        let finding = if number == 0 {
            count_order::zero(count.span).heard_at(&place::bar(self.bar))
        } else {
            let of = if self.unit == self.bar.meter.beat() { "beats" } else { "big beats" };
            let (bar, meter) = (place::bar(self.bar), self.bar.meter);
            bar_length::beyond_the_beats(count.span, &bar, &count.sign, meter, (beats, of))
        };
        self.findings.add(finding);
        None
    }

    fn part(&mut self, count: &Written, beat: Option<u32>, part: u32, of: u32) -> Option<Ticks> {
        if beat.is_none() {
            let finding = count_order::before_the_first(count.span, &count.sign);
            self.findings.add(finding.heard_at(&place::bar(self.bar)));
        }
        beat.map(|beat| self.unit * beat + self.unit * part / of)
    }

    fn after(&mut self, count: &Written, of: u32) -> Option<Ticks> {
        let Some(last) = self.last else {
            let finding = count_order::without_one_before(count.span, &count.sign);
            self.findings.add(finding.heard_at(&place::bar(self.bar)));
            return None;
        };
        let at = last + self.unit / of;
        if at < self.bar.meter.bar() {
            return Some(at);
        }
        let finding = bar_length::beyond_the_end(count.span, &count.sign);
        self.findings.add(finding.heard_at(&place::bar(self.bar)));
        None
    }

    fn rises(&mut self, count: &Written, at: Ticks) -> bool {
        let Some(last) = self.last.filter(|last| at <= *last) else { return true };
        // Where counts begin anew, all that follows is told with the first of them.
        let goes_on = self.anew.replace(at).is_some_and(|before| at > before);
        if goes_on {
            return false;
        }
        let how = if at == last { "stands still" } else { "falls back" };
        let finding = count_order::not_rising(count.span, &count.sign, how);
        self.findings.add(finding.heard_at(&place::bar(self.bar)));
        false
    }

    fn take_in(&mut self, count: &Written, moment: Option<Ticks>) {
        self.columns.push((count.column, moment.map(|at| (at, count.rest))));
        let Some(at) = moment else { return };
        self.last = Some(at);
        self.bar.counts.push(Count { at, sign: count.sign.clone(), rest: count.rest });
        self.spans.push(count.span);
    }
}

/// An upbeat begins with its first count: the bar is shortened to what follows from there.
fn shorten_upbeat(bar: &mut Bar, ticks: Vec<Column>) -> Vec<Column> {
    let first = bar.counts.first().map(|count| count.at);
    let Some(first) = first.filter(|_| bar.number == 0) else { return ticks };
    bar.length = bar.length.since(first);
    for count in &mut bar.counts {
        count.at = count.at.since(first);
    }
    let shifted = |(at, rest): (Ticks, bool)| (at.since(first), rest);
    ticks.into_iter().map(|(column, moment)| (column, moment.map(shifted))).collect()
}

/// Looks at counts that may mean another thing than what they say. Where some have faults, those
/// come first.
fn doubt_counts(
    bars: &[Bar],
    places: &[BarPlace],
    unclear: &BTreeSet<usize>,
    big_beats: bool,
    findings: &mut Findings,
) {
    if unclear.is_empty() {
        doubt_big_beats(bars, places, big_beats, findings);
        doubt_triplets(bars, places, big_beats, findings);
    }
    doubt_short_bars(bars, places, unclear, big_beats, findings);
}

fn doubt_big_beats(bars: &[Bar], places: &[BarPlace], big_beats: bool, findings: &mut Findings) {
    if big_beats {
        return;
    }
    let compound = || bars.iter().zip(places).filter(|(bar, _)| bar.meter.is_compound());
    let numbers = |bar: &Bar| -> Vec<u32> {
        bar.counts.iter().filter_map(|count| count.sign.parse().ok()).collect()
    };
    let within = |bar: &Bar| numbers(bar).iter().all(|number| *number <= bar.meter.felt_beats());
    let first = compound().find(|(bar, _)| !numbers(bar).is_empty());
    let (Some((bar, place)), true) = (first, compound().all(|(bar, _)| within(bar))) else {
        return;
    };
    let Some(count) = place.counts.first() else { return };
    findings.add(big_beats::few_numbers(*count, bar.meter).heard_at(&place::bar(bar)));
}

fn doubt_triplets(bars: &[Bar], places: &[BarPlace], big_beats: bool, findings: &mut Findings) {
    let beats: Vec<&[Count]> = bars.iter().flat_map(|bar| by_beat(bar, big_beats)).collect();
    let swung = |counts: &&[Count]| match counts {
        [number, half, last] => {
            number.sign.parse::<u32>().is_ok()
                && says(&half.sign) == Some(Says::Part(1, 2))
                && says(&last.sign) == Some(Says::Part(3, 4))
        }
        _ => false,
    };
    let Some([first, half, last]) = beats.first() else { return };
    let Some([begins, _, ends, ..]) =
        places.iter().map(|bar| bar.counts.as_slice()).find(|counts| !counts.is_empty())
    else {
        return;
    };
    if beats.iter().all(swung) {
        let counts = format!("{} {} {}", first.sign, half.sign, last.sign);
        findings.add(triplet_count::three(begins.to(*ends), &counts));
    }
}

/// The counts of a bar, those of one beat together.
fn by_beat(bar: &Bar, big_beats: bool) -> impl Iterator<Item = &[Count]> {
    let unit = place::beat(bar.meter, big_beats);
    let beat = move |count: &Count| (place::upbeat(bar) + count.at).0 / unit.0;
    bar.counts.chunk_by(move |one, next| beat(one) == beat(next))
}

fn doubt_short_bars(
    bars: &[Bar],
    places: &[BarPlace],
    unclear: &BTreeSet<usize>,
    big_beats: bool,
    findings: &mut Findings,
) {
    let silent = |bar: &Bar| match bar.counts.as_slice() {
        [] => true,
        [only] => only.rest,
        _ => false,
    };
    let unit = |bar: &Bar| place::beat(bar.meter, big_beats);
    let short = |(bar, _): &(&Bar, _)| {
        bar.counts.last().is_some_and(|count| count.at + unit(bar) < bar.length)
    };
    let counted: Vec<(&Bar, &BarPlace)> = bars
        .iter()
        .zip(places)
        .enumerate()
        .filter(|(index, (bar, _))| !unclear.contains(index) && !silent(bar))
        .map(|(_, bar)| bar)
        .collect();
    // A last bar may make a whole with the upbeat.
    let whole = bars.last().filter(|_| upbeat::is_completed(bars, big_beats));
    let completes = |bar: &Bar| whole.is_some_and(|last| std::ptr::eq(last, bar));
    let mut stopping = counted.iter().copied().filter(short).filter(|(bar, _)| !completes(bar));
    let (Some((bar, place)), None) = (stopping.next(), stopping.next()) else { return };
    if counted.len() < 2 {
        return;
    }
    let (Some(last), Some(span)) = (bar.counts.last(), place.counts.last()) else { return };
    let at = place::count(bar, last.at, big_beats);
    findings.add(bar_short::stops(*span, &place::bar(bar), &at));
}
