//! What the words of changes mean: bars that add up, with chords at moments in whole ticks.

use super::syntax::{self, BarLine, BarText, Piece, Word, WordKind};
use super::{Bar, Entry, Repeat, Says};
use crate::findings::rules::{bar_length, block_syntax, no_key, unknown_chord};
use crate::findings::source::Spanned;
use crate::findings::{Finding, Findings, Ground, Span};
use crate::lesson::Setting;
use crate::lesson::fence::Fence;
use crate::theory::{Chord, Meter, Ticks};

/// The bars of a block in written order.
pub(super) fn bars(fence: &Fence<'_>, pickup: bool, findings: &mut Findings) -> Vec<Bar> {
    let mut chart = Chart {
        setting: &fence.setting,
        pickup,
        findings,
        bars: Vec::new(),
        line: 0,
        repeat_start: None,
        ending: None,
        lacks_key: false,
    };
    for line in fence.lines.iter().filter(|line| !line.text.trim().is_empty()) {
        for piece in syntax::pieces(line, chart.findings) {
            match piece {
                Piece::Line(bar_line) => chart.bar_line(bar_line),
                Piece::Bar(text) => chart.bar(&text),
            }
        }
        let has_bars = chart.bars.last().is_some_and(|bar| bar.line == chart.line);
        chart.line += usize::from(has_bars);
    }
    chart.leftovers();
    chart.bars
}

/// The chart so far, and the signs that wait for the next bar.
struct Chart<'a> {
    setting: &'a Setting,
    pickup: bool,
    findings: &'a mut Findings,
    bars: Vec<Bar>,
    line: usize,
    repeat_start: Option<Span>,
    ending: Option<Spanned<u8>>,
    /// Whether it was said that numerals need a key.
    lacks_key: bool,
}

impl Chart<'_> {
    fn fault(&mut self, span: Span, message: impl Into<String>) {
        self.findings.add(block_syntax::at(span, message));
    }

    fn bar_line(&mut self, bar_line: BarLine) {
        match self.bars.last_mut() {
            Some(bar) => {
                bar.double_end |= bar_line.is_double;
                if bar_line.ends_repeat {
                    let times = bar_line.times.unwrap_or(2);
                    bar.repeat_end = Some(Repeat { times, span: bar_line.span });
                }
            }
            None if bar_line.ends_repeat => self.fault(bar_line.span, "nothing here to repeat"),
            None => {}
        }
        if bar_line.begins_repeat {
            self.repeat_start = Some(bar_line.span);
        }
        if let Some(number) = bar_line.ending {
            self.ending = Some(Spanned { value: number, span: bar_line.span });
        }
    }

    /// Signs at the end of the block that no bar follows.
    fn leftovers(&mut self) {
        if let Some(span) = self.repeat_start {
            self.fault(span, "a repeat begins here, but no bar follows");
        }
        if let Some(ending) = self.ending.take() {
            self.fault(ending.span, "an ending begins here, but no bar follows");
        }
    }

    fn bar(&mut self, text: &BarText<'_>) {
        let is_pickup = self.pickup && self.bars.is_empty();
        let (own_meter, words) = self.own_meter(&text.words);
        let again = words.first().is_some_and(|word| word.text == "%");
        let mut bar = Bar {
            line: self.line,
            number: self.bars.len() + usize::from(!self.pickup),
            span: text.span,
            meter: own_meter.unwrap_or(self.setting.meter),
            own_meter: own_meter.is_some(),
            entries: Vec::new(),
            again,
            chords: Vec::new(),
            repeat_start: self.repeat_start.take(),
            repeat_end: None,
            double_end: false,
            ending: self.ending.take(),
            within_ending: None,
        };
        if again {
            self.bar_again(&mut bar, words);
        } else {
            bar.entries = self.entries(words);
            self.set_moments(&mut bar, is_pickup);
            bar.chords = self.sounding(&bar.entries);
        }
        self.bars.push(bar);
    }

    /// Takes a meter in brackets off the front of a bar.
    fn own_meter<'w, 't>(&mut self, words: &'w [Word<'t>]) -> (Option<Meter>, &'w [Word<'t>]) {
        let Some((first, rest)) = words.split_first() else { return (None, words) };
        let is_meter = first.kind == WordKind::Brackets && first.text.contains('/');
        if !is_meter {
            return (None, words);
        }
        let meter = Meter::parse(first.text);
        if meter.is_none() {
            self.findings.add(block_syntax::no_meter(first.span, first.text));
        }
        (meter, rest)
    }

    /// The bar before once more.
    fn bar_again(&mut self, bar: &mut Bar, words: &[Word<'_>]) {
        if let Some(other) = words.get(1) {
            let span = other.span.to(words.last().map_or(other.span, |last| last.span));
            self.fault(span, "`%` stands alone in its bar");
        }
        match self.bars.last() {
            Some(before) => {
                let fits = |(at, _): &&(Ticks, _)| *at < bar.meter.bar();
                bar.chords = before.chords.iter().filter(fits).cloned().collect();
            }
            None => {
                self.fault(bar.span, "`%` repeats the bar before, but this is the first");
                bar.chords = vec![(Ticks::ZERO, None)];
            }
        }
    }

    /// The entries of a bar, their moments still to be set.
    fn entries(&mut self, words: &[Word<'_>]) -> Vec<Entry> {
        let mut entries: Vec<Entry> = Vec::new();
        for word in words {
            match word.kind {
                WordKind::Hold => entries.push(entry(Says::Hold, None, word.span)),
                WordKind::Symbol => entries.push(self.symbol(word)),
                WordKind::Brackets => match entries.last_mut() {
                    Some(Entry {
                        says: Says::Chord(_) | Says::Numeral(_) | Says::Unread(_),
                        name,
                        ..
                    }) if name.is_none() => {
                        *name = Some(word.text.into());
                    }
                    _ => {
                        let message = format!("`({})` belongs to no symbol", word.text);
                        self.fault(word.span, message);
                    }
                },
            }
        }
        entries
    }

    fn symbol(&mut self, word: &Word<'_>) -> Entry {
        if word.text == "%" {
            self.fault(word.span, "`%` stands alone in its bar");
            return entry(Says::Hold, None, word.span);
        }
        if let Some(says) = self.reading(word.text, word.span) {
            let sixth =
                self.setting.names.numeral(word.text).and_then(|numeral| numeral.augmented_sixth());
            return Entry { sixth, ..entry(says, None, word.span) };
        }
        // `Gm(high)`: a second name without a space before it.
        let parted = word.text.strip_suffix(')').and_then(|text| text.split_once('('));
        if let Some((symbol, name)) = parted {
            let span = Span::new(word.span.start, word.span.start + symbol.len());
            if let Some(says) = self.reading(symbol, span) {
                return entry(says, Some(name.trim().into()), span);
            }
        }
        self.unknown(word);
        entry(Says::Unread(word.text.into()), None, word.span)
    }

    /// What a symbol says, if it can be read.
    fn reading(&mut self, text: &str, span: Span) -> Option<Says> {
        if Chord::is_none(text) {
            return Some(Says::NoChord);
        }
        if let Ok(chord) = self.setting.names.chord(text) {
            return Some(Says::Chord(chord));
        }
        let numeral = self.setting.names.numeral(text)?;
        if let Some(key) = &self.setting.key {
            return Some(Says::Chord(self.setting.chord_of(&numeral, key)));
        }
        if !self.lacks_key {
            self.lacks_key = true;
            self.findings.add(no_key::in_changes(span));
        }
        Some(Says::Numeral(numeral))
    }

    fn unknown(&mut self, word: &Word<'_>) {
        let Err(error) = self.setting.names.chord(word.text) else { return };
        self.findings.add(unknown_chord::unread(word.span, word.text, &error, str::to_owned));
    }

    /// Gives the entries their moments, and finds fault with a number of them that the meter
    /// doesn't take.
    fn set_moments(&mut self, bar: &mut Bar, is_pickup: bool) {
        let count = bar.entries.len();
        let allowed = if is_pickup { upbeat_counts(bar.meter) } else { counts(bar.meter) };
        if count > 0 && !allowed.contains(&count) {
            self.findings.add(wrong_length(bar, &allowed));
            // No bar has more entries than two a beat: the rest has no place.
            bar.entries.truncate(2 * usize::from(bar.meter.beats()));
        }
        let entry_length = if is_pickup {
            bar.meter.felt_beat()
        } else {
            bar.meter.bar() / bar.entries.len() as u32
        };
        let length = entry_length * bar.entries.len() as u32;
        for (index, entry) in bar.entries.iter_mut().enumerate() {
            // An upbeat ends with the bar; its first chord is there from the start.
            let late = bar.meter.bar() - length;
            let at = late + entry_length * index as u32;
            entry.at = if index == 0 { Ticks::ZERO } else { at };
        }
    }

    /// The chords that sound in a bar of such entries, the one before it going on.
    fn sounding(&self, entries: &[Entry]) -> Vec<(Ticks, Option<Chord>)> {
        let before = self.bars.last().and_then(|bar| bar.chords.last());
        let mut chords = vec![(Ticks::ZERO, before.and_then(|(_, chord)| chord.clone()))];
        for entry in entries.iter().filter(|entry| entry.says != Says::Hold) {
            let chord = entry.says.chord().cloned();
            match chords.last_mut() {
                Some((_, last)) if *last == chord => {}
                Some((at, last)) if *at == entry.at => *last = chord,
                _ => chords.push((entry.at, chord)),
            }
        }
        chords
    }
}

fn entry(says: Says, name: Option<String>, span: Span) -> Entry {
    Entry { at: Ticks::ZERO, says, name, sixth: None, span }
}

/// How many entries a bar may have: one, one a beat, two a beat, or a number that divides the
/// beats; in 6/8, 9/8 and 12/8 one an eighth, or a number that divides the big beats.
fn counts(meter: Meter) -> Vec<usize> {
    let beats = usize::from(meter.beats());
    let big = meter.felt_beats() as usize;
    let finest = if meter.is_compound() { beats } else { 2 * beats };
    let divides = |count: &usize| big.is_multiple_of(*count) || *count == beats;
    (1..=beats).filter(divides).chain([finest].into_iter().filter(|most| *most > beats)).collect()
}

/// How many entries an upbeat may have: one for each of its beats.
fn upbeat_counts(meter: Meter) -> Vec<usize> {
    (1..=meter.felt_beats() as usize).collect()
}

fn wrong_length(bar: &Bar, allowed: &[usize]) -> Finding {
    let count = bar.entries.len();
    let finding = bar_length::entries(bar.span, &bar.name(), bar.meter, count, allowed);
    match bar.entries.split_first() {
        // A chord that is held through a whole bar has one right length.
        Some((_, held)) if bar.number > 0 && held.iter().all(|entry| entry.says == Says::Hold) => {
            let spans = held.first().zip(held.last());
            let span = spans.map_or(bar.span, |(first, last)| first.span.to(last.span));
            let holds = vec!["/"; usize::from(bar.meter.beats()) - 1].join(" ");
            // Or the bar was meant in another meter.
            finding.fix("hold it for the whole bar", span, holds, Ground::Choice)
        }
        _ => finding,
    }
}
