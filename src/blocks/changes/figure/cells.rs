//! Bars set in type: their symbols, numerals and functions, measured.

use super::{numeral_size, numeral_text, signs};
use crate::blocks::changes::{Bar, Changes, Entry, Says};
use crate::blocks::figure::Desk;
use crate::ink::{Face, Pt, Style, Text, pt};
use crate::lesson::Setting;
use crate::theory::numeral::{Around, explanation};
use crate::theory::{Chord, Key, Meter, Numeral};
use crate::words::paper::tab;
use crate::words::terms;
use std::collections::HashSet;

/// The least distance between what stands in two slots. It is more than a slash is wide, so that
/// the slash of a held chord never reads as a part of the symbol before it.
fn gap(desk: &Desk<'_>) -> Pt {
    desk.look.symbol_size * 0.75
}

/// A bar set in type.
pub(super) struct Cell<'a> {
    /// The bar.
    pub bar: &'a Bar,
    /// Its entries, the time of the bar shared equally among them.
    pub slots: Vec<Slot>,
    /// The least width of each, the gap behind it included.
    pub least_slots: Vec<Pt>,
    /// The meter that is printed before its first entry.
    pub meter: Option<MeterSign>,
    /// The room at its left for the bar line, its signs and the meter.
    pub lead: Pt,
    /// The room at its right for the bar line and its signs.
    pub tail: Pt,
}

/// A meter, one number over the other.
pub(super) struct MeterSign {
    /// The upper number.
    pub beats: Text,
    /// The lower number.
    pub unit: Text,
}

impl MeterSign {
    fn new(meter: Meter, desk: &Desk<'_>) -> MeterSign {
        let style = Style::new(Face::SerifSemibold, signs::meter_size(desk));
        MeterSign {
            beats: desk.words(&meter.beats().to_string(), style),
            unit: desk.words(&meter.unit().to_string(), style),
        }
    }

    /// Its width.
    pub fn width(&self) -> Pt {
        self.beats.width.max(self.unit.width)
    }
}

/// What stands at one entry of a bar.
pub(super) struct Slot {
    /// The entry itself.
    pub mark: Mark,
    /// The numeral beneath, where the chord is new.
    pub numeral: Option<Text>,
    /// The function beneath the numeral, where the chord has it for the first time.
    pub function: Option<Function>,
}

/// A function in words, under its numeral or in the legend.
pub(super) struct Function {
    /// The words set in type.
    pub text: Text,
    /// The words.
    pub words: String,
    /// The numeral that has the function, in the size of the legend.
    pub numeral: Text,
    /// The numeral's characters.
    pub numeral_words: String,
}

/// An entry as it is drawn.
pub(super) enum Mark {
    /// A symbol.
    Symbol(Text),
    /// The slash of a chord that is held.
    Hold,
    /// The sign that repeats the bar before.
    Again,
}

impl Slot {
    fn mark(mark: Mark) -> Slot {
        Slot { mark, numeral: None, function: None }
    }

    /// The least width that it takes, the gap behind it included.
    fn least(&self, desk: &Desk<'_>) -> Pt {
        let mark = match &self.mark {
            Mark::Symbol(text) => text.width,
            Mark::Hold => signs::slash_width(desk),
            Mark::Again => signs::again_width(desk),
        };
        mark.max(self.numeral.as_ref().map_or(Pt::ZERO, |text| text.width)) + gap(desk)
    }
}

impl Cell<'_> {
    /// The least width that the bar takes; an empty one is still seen to be a bar.
    fn least(&self) -> Pt {
        let slots: Pt = self.least_slots.iter().copied().sum();
        self.lead + slots.max(pt(16.0)) + self.tail
    }
}

/// The lines of the chart, set in type.
pub(super) fn lines<'a>(
    changes: &'a Changes,
    desk: &Desk<'_>,
    setting: &'a Setting,
) -> Vec<Vec<(Cell<'a>, Pt)>> {
    let key = setting.key.as_ref();
    let around = key.map(|key| changes.around(key)).unwrap_or_default().into_iter();
    let mut setter = Setter {
        desk,
        key,
        figured: setting.figured_bass,
        before: None,
        around,
        explained: HashSet::new(),
    };
    let mut stated = changes.stated_meter;
    let mut lines = Vec::new();
    for line in changes.lines() {
        // A line's first chord has its numeral, even if it only goes on.
        setter.before = None;
        let cells = line.iter().map(|bar| {
            let meter = Some(bar.meter).filter(|_| bar.own_meter).or(stated.take());
            let cell = setter.cell(bar, meter);
            let least = cell.least();
            (cell, least)
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
    /// The chords whose functions are printed already, each with its numeral there and the function.
    explained: HashSet<(&'a Chord, String, String)>,
}

impl<'a> Setter<'a, '_> {
    fn cell<'b: 'a>(&mut self, bar: &'b Bar, meter: Option<Meter>) -> Cell<'b> {
        let desk = self.desk;
        let meter = meter.map(|meter| MeterSign::new(meter, desk));
        let sign = if bar.repeat_start.is_some() { signs::REPEAT_ROOM } else { pt(5.0) };
        let meter_room = meter.as_ref().map_or(Pt::ZERO, |meter| meter.width() + pt(5.0));
        let tail = if bar.repeat_end.is_some() { signs::REPEAT_ROOM - gap(desk) } else { pt(1.0) };
        let slots: Vec<Slot> = match bar.again {
            true => vec![Slot::mark(Mark::Again)],
            false => bar.entries.iter().map(|entry| self.slot(entry)).collect(),
        };
        let least_slots = slots.iter().map(|slot| slot.least(desk)).collect();
        Cell { bar, slots, least_slots, meter, lead: sign + meter_room, tail }
    }

    fn slot(&mut self, entry: &'a Entry) -> Slot {
        let symbol = match &entry.says {
            Says::Hold => return Slot::mark(Mark::Hold),
            Says::Chord(chord) => self.desk.symbol(&chord.printed(), self.bold()),
            Says::Numeral(numeral) => self.desk.symbol(&numeral.printed(), self.bold()),
            Says::NoChord => self.desk.words(tab::NO_CHORD, self.plain()),
            Says::Unread(text) => self.desk.words(text, self.bold()),
        };
        let mark = Mark::Symbol(match &entry.name {
            Some(name) => symbol.then(self.desk.words(&format!(" ({name})"), self.small())),
            None => symbol,
        });
        let chord = entry.says.chord();
        let around = chord.and_then(|_| self.around.next()).unwrap_or_default();
        let is_new = chord != self.before;
        self.before = chord;
        match (chord.filter(|_| is_new), self.key) {
            (Some(chord), Some(key)) => self.analysed(mark, (chord, around), key),
            _ => Slot::mark(mark),
        }
    }

    /// A slot with the numeral and, the first time, the function that its chord has among those around it.
    fn analysed(
        &mut self,
        mark: Mark,
        (chord, around): (&'a Chord, Around<'_>),
        key: &Key,
    ) -> Slot {
        let named = Numeral::within(chord, around, key);
        // The bass stands in the symbol already.
        let numeral = Numeral { bass: None, ..named.clone() };
        let numeral = if self.figured { numeral.figured(chord) } else { numeral }.printed();
        let explanation = explanation(chord, around, key);
        let words = terms::brief_explanation(&explanation);
        let bass = explanation.foreign_bass;
        let in_legend = Numeral { bass, ..named }.printed();
        let mut is_new =
            |words: &String| self.explained.insert((chord, in_legend.text(), words.clone()));
        let function = words.filter(|words| is_new(words)).map(|words| Function {
            text: self.desk.words(&words, self.italic()),
            words,
            numeral: numeral_text(&in_legend, self.desk.look.small_size, self.desk),
            numeral_words: in_legend.text(),
        });
        let numeral = numeral_text(&numeral, numeral_size(self.desk), self.desk);
        Slot { mark, numeral: Some(numeral), function }
    }

    fn bold(&self) -> Style {
        Style::new(Face::SerifSemibold, self.desk.look.symbol_size)
    }

    fn plain(&self) -> Style {
        Style::new(Face::Serif, self.desk.look.symbol_size * 0.85)
    }

    fn italic(&self) -> Style {
        Style::new(Face::SerifItalic, self.desk.look.small_size)
    }

    fn small(&self) -> Style {
        Style::new(Face::Sans, self.desk.look.small_size)
    }
}
