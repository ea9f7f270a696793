//! Bars set in type: their names, numerals and functions, measured.

use super::{NAMES, function_style, numeral_text};
use crate::blocks::changes::{Bar, Changes, Entry, Says};
use crate::blocks::figure::Desk;
use crate::ink::{Face, Pt, Style, Text};
use crate::lesson::Setting;
use crate::theory::numeral::{Around, explanation};
use crate::theory::{Chord, Key, Meter, Numeral, Printed, Ticks};
use crate::words::paper::tab;
use crate::words::terms;

/// A bar set in type.
pub(super) struct Cell<'a> {
    /// The bar.
    pub bar: &'a Bar,
    /// What stands on it: its entries but those that only hold a chord.
    pub slots: Vec<Slot>,
    /// The meter that is printed over its beginning.
    pub meter: Option<Meter>,
    /// The moment of the meter's bar with which it begins: later than 0 in an upbeat.
    pub from: Ticks,
    /// When it begins, counted from the beginning of what is written.
    pub start: Ticks,
    /// How long it is.
    pub length: Ticks,
    /// Whether it begins with a chord that is held over from the bar before.
    pub held: bool,
}

/// What stands at one entry of a bar.
pub(super) struct Slot {
    /// When, counted from the beginning of what is drawn of the bar.
    pub at: Ticks,
    /// The name.
    pub name: Text,
    /// The numeral beneath; none where the chord only goes on within a row.
    pub numeral: Option<Text>,
    /// Whether the chord is that of the entry before.
    pub repeats: bool,
    /// What the chord does in the key.
    pub function: Option<Function>,
}

/// A function in words.
pub(super) struct Function {
    /// The words.
    pub words: String,
    /// The numeral that has the function, its bass where that is foreign.
    pub numeral: Printed,
    /// The words as they are set under the numeral; none where they aren't.
    pub lines: Vec<Text>,
    /// Whether they stand on the second line, beneath words that the first has no room beside.
    pub lowered: bool,
}

impl Slot {
    /// How wide name and numeral are.
    pub fn width(&self) -> Pt {
        self.name.width.max(self.numeral.as_ref().map_or(Pt::ZERO, |numeral| numeral.width))
    }
}

/// The lines of the chart, set in type.
pub(super) fn lines<'a>(
    changes: &'a Changes,
    desk: &Desk<'_>,
    setting: &'a Setting,
) -> Vec<Vec<Cell<'a>>> {
    let key = setting.key.as_ref();
    let around = key.map(|key| changes.around(key)).unwrap_or_default().into_iter();
    let figured = setting.figured_bass;
    let mut setter = Setter { desk, key, figured, before: None, around, start: Ticks::ZERO };
    let mut stated = changes.stated_meter;
    let mut lines = Vec::new();
    for line in changes.lines() {
        let cells = line.iter().map(|bar| {
            let meter = Some(bar.meter).filter(|_| bar.own_meter).or(stated.take());
            setter.cell(bar, meter)
        });
        lines.push(cells.collect());
    }
    lines
}

struct Setter<'a, 'd> {
    desk: &'a Desk<'d>,
    key: Option<&'a Key>,
    /// Whether numerals have the figures of inversions.
    figured: bool,
    /// The chord of the entry before.
    before: Option<&'a Chord>,
    /// For each chord from here on those around it.
    around: std::vec::IntoIter<Around<'a>>,
    /// When the next bar begins.
    start: Ticks,
}

impl<'a> Setter<'a, '_> {
    fn cell<'b: 'a>(&mut self, bar: &'b Bar, meter: Option<Meter>) -> Cell<'b> {
        let (from, start, length) = (bar.begins(), self.start, bar.length());
        let slots = bar.entries.iter().filter_map(|entry| self.slot(entry, from)).collect();
        let sounds = bar.chords.first().is_some_and(|(_, chord)| chord.is_some());
        let held = sounds && bar.goes_on() && bar.number > 0;
        self.start += length;
        Cell { bar, slots, meter, from, start, length, held }
    }

    fn slot(&mut self, entry: &'a Entry, from: Ticks) -> Option<Slot> {
        let symbol = match &entry.says {
            Says::Hold => return None,
            Says::Chord(chord) => self.desk.symbol(&chord.printed(), self.bold()),
            Says::Numeral(numeral) => self.desk.symbol(&numeral.printed(), self.bold()),
            Says::NoChord => self.desk.words(tab::NO_CHORD, self.plain()),
            Says::Unread(text) => self.desk.words(text, self.bold()),
        };
        let name = match &entry.name {
            Some(name) => {
                symbol.then(self.desk.words(&format!(" ({name})"), function_style(self.desk)))
            }
            None => symbol,
        };
        let chord = entry.says.chord();
        let around = chord.and_then(|_| self.around.next()).unwrap_or_default();
        let repeats = chord.is_some() && chord == self.before;
        self.before = chord;
        let at = entry.at.since(from);
        let name = name.sounding((self.start + at).0);
        let slot = Slot { at, name, numeral: None, repeats, function: None };
        Some(match (chord, self.key) {
            (Some(chord), Some(key)) => self.analysed(slot, (chord, around), key),
            _ => slot,
        })
    }

    /// A slot with the numeral and the function that its chord has among those around it.
    fn analysed(
        &mut self,
        slot: Slot,
        (chord, around): (&'a Chord, Around<'_>),
        key: &Key,
    ) -> Slot {
        let named = Numeral::within(chord, around, key);
        // The bass stands in the symbol already.
        let numeral = Numeral { bass: None, ..named.clone() };
        let numeral = if self.figured { numeral.figured(chord) } else { numeral }.printed();
        let explanation = explanation(chord, around, key);
        let function = terms::brief_explanation(&explanation).map(|words| Function {
            words: self.desk.lang.said(&words).into_owned(),
            numeral: Numeral { bass: explanation.foreign_bass, ..named }.printed(),
            lines: Vec::new(),
            lowered: false,
        });
        Slot { numeral: Some(numeral_text(&numeral, self.desk)), function, ..slot }
    }

    fn bold(&self) -> Style {
        Style::new(NAMES, self.desk.look.symbol_size)
    }

    fn plain(&self) -> Style {
        Style::new(Face::Serif, self.desk.look.symbol_size)
    }
}
