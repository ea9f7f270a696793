//! What the tests of the riff reader share: a fence from a text, and findings in a line each.
#![allow(clippy::unwrap_used)]

use super::over_changes::Progressions;
use crate::blocks::effort::Effort;
use crate::blocks::tab::Tab;
use crate::findings::Span;
use crate::findings::nearest::Known;
use crate::findings::source::Line;
use crate::findings::{Finding, Findings};
use crate::lesson::Setting;
use crate::lesson::fence::Fence;
use crate::lesson::testing;
use crate::music::tab::Riff;
use crate::neck::{Fingering, Instrument, Tuning};
use crate::theory::harmony::{BarSigns, HarmonyBar};
use crate::theory::{Chord, Harmony, Key, Meter, Pitch, Ticks};
use std::rc::Rc;

/// Two bars with everything that a riff has as a rule: the language page's own example, without its fence line.
pub const HOOK: [&str; 10] = [
    "chord   A                               |F#m7                            |",
    "count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &  (4)      |",
    "e       ------------------------0-------|--------------------------------|",
    "B       --------2---------------2-------|------------2-------------------|",
    "G       ----2-------2---4h--6-------2---|----2-------2-------2-----------|",
    "D       --------------------------------|--------2-------2---------------|",
    "A       0---------------0---------------|--------------------------------|",
    "E       --------------------------------|2---------------2---------------|",
    "left    .   1   2   1   1   4   3   1   |1   1   1   1   1   1           |",
    "pick    d   d   u   d   d       d   u   |d   d   d   u   d   u           |",
];

/// The hook beneath a fence line.
pub fn hook(fence_line: &str) -> String {
    format!("{fence_line}\n{}\n", HOOK.join("\n"))
}

/// A setting in a meter on a guitar in standard tuning.
pub fn setting(meter: &str) -> Setting {
    testing::setting("", meter)
}

pub fn instrument(strings: &str) -> Instrument {
    let strings = strings.split(' ').map(|name| Pitch::parse(name).unwrap()).collect();
    Instrument { tuning: Tuning::new(strings).unwrap(), capo: 0, frets: 22, scale_length: 648.0 }
}

/// A fence from a text whose first line is the fence line, `~~~ riff over verse, pickup`; its
/// phrases are parted by commas, and the block has no name.
pub fn fence(text: &str, setting: Setting) -> Fence<'_> {
    let (head, _) = text.split_once('\n').unwrap_or((text, ""));
    let phrases = Line { text: head, start: 0 }.split_at("~~~ riff".len()).1.parts(',').collect();
    let mut fence = testing::fence(super::WRITTEN, text, setting);
    fence.lines.remove(0);
    Fence { phrases, head: Span::new(0, head.len()), phrases_end: head.len(), ..fence }
}

/// Changes under one name each, from bars of chords such as `A | D E | (2/4) A`.
#[derive(Debug, Default)]
pub struct Book(pub Vec<(&'static str, Harmony)>, pub Vec<(Chord, Fingering)>);

impl Progressions for Book {
    fn names(&self) -> Rc<Known> {
        Rc::new(Known::new(self.0.iter().map(|(name, _)| (*name).to_string())))
    }

    fn harmony(&self, name: &str) -> Option<Harmony> {
        let found = self.0.iter().find(|(own, _)| own.eq_ignore_ascii_case(name));
        found.map(|(_, harmony)| harmony.clone())
    }

    fn shape(&self, chord: &Chord, _: &Instrument) -> Option<Fingering> {
        let found = self.1.iter().rfind(|(own, _)| own == chord);
        found.map(|(_, shape)| shape.clone())
    }
}

pub fn harmony(bars: &str) -> Harmony {
    let bars: Vec<HarmonyBar> = bars.split('|').map(harmony_bar).collect();
    let order = (0..bars.len()).collect();
    Harmony { pickup: None, written: bars.clone(), bars, order }
}

pub fn harmony_bar(text: &str) -> HarmonyBar {
    let (meter, own_meter, symbols) = match text.trim().strip_prefix('(') {
        Some(rest) => {
            let (meter, symbols) = rest.split_once(')').unwrap();
            (Meter::parse(meter).unwrap(), true, symbols)
        }
        None => (Meter::COMMON, false, text),
    };
    let symbols: Vec<&str> = symbols.split_whitespace().collect();
    let length = meter.bar() / u32::try_from(symbols.len().max(1)).unwrap();
    let chord = |symbol: &str| (symbol != "NC").then(|| Chord::parse(symbol).unwrap());
    let chords = (0..).zip(&symbols).map(|(index, symbol)| (length * index, chord(symbol)));
    HarmonyBar { meter, own_meter, chords: chords.collect(), signs: BarSigns::default() }
}

/// What a riff is read with.
pub struct Reading<'t> {
    pub text: &'t str,
    pub setting: Setting,
    pub book: Book,
}

impl<'t> Reading<'t> {
    pub fn of(text: &'t str) -> Reading<'t> {
        Reading { text, setting: setting("4/4"), book: Book::default() }
    }

    pub fn meter(mut self, meter: &str) -> Self {
        self.setting.meter = Meter::parse(meter).unwrap();
        self
    }

    pub fn key(mut self, key: &str) -> Self {
        self.setting.key = Key::parse(key);
        self
    }

    pub fn tuning(mut self, strings: &str) -> Self {
        self.setting.instrument = instrument(strings);
        self
    }

    pub fn over(mut self, name: &'static str, bars: &str) -> Self {
        self.book.0.push((name, harmony(bars)));
        self
    }

    pub fn tab(&self) -> (Option<Tab>, Vec<Finding>) {
        let mut findings = Findings::default();
        let fence = fence(self.text, self.setting.clone());
        let tab = super::read(&fence, &self.book, &mut { Effort::ALL }, &mut findings);
        (tab, findings.sorted())
    }

    pub fn read(&self) -> (Option<Riff>, Vec<Finding>) {
        let (tab, findings) = self.tab();
        (tab.map(|tab| tab.riff), findings)
    }

    /// The riff, which must raise nothing.
    pub fn clean(&self) -> Riff {
        let (riff, findings) = self.read();
        assert!(findings.is_empty(), "{}\n{findings:#?}", self.text);
        riff.unwrap()
    }

    /// The findings as `rule line:column text`.
    pub fn found(&self) -> Vec<String> {
        self.read().1.iter().map(|finding| located(self.text, finding)).collect()
    }
}

pub fn located(text: &str, finding: &Finding) -> String {
    let before = &text[..finding.span.start];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    let marked = &text[finding.span.start..finding.span.end];
    format!("{} {line}:{column} {marked}", finding.rule.name)
}

/// A text with a fix made in it.
pub fn fixed(text: &str, finding: &Finding, fix: usize) -> String {
    let fix = &finding.fixes[fix];
    format!("{}{}{}", &text[..fix.span.start], fix.replace, &text[fix.span.end..])
}

/// The events in a line each: bar, moment, length, and each note as string number and fret.
pub fn events(riff: &Riff) -> Vec<String> {
    let mut lines = Vec::new();
    for bar in &riff.bars {
        for event in &bar.events {
            let notes: Vec<String> = event
                .notes
                .iter()
                .map(|note| {
                    let graces: String =
                        note.graces.iter().map(|grace| format!("{}>", grace.sound)).collect();
                    let number = riff.instrument.tuning.number(note.string);
                    format!("{number}:{graces}{}", sound(note))
                })
                .collect();
            let (Ticks(at), Ticks(length)) = (event.at, event.duration);
            lines.push(format!("{} {at}+{length} {}", bar.number, notes.join(" ")));
        }
    }
    lines
}

fn sound(note: &crate::music::tab::Note) -> String {
    use crate::music::tab::Sound;
    match note.sound {
        Sound::Fret(fret) if note.ghost => format!("({fret})"),
        Sound::Fret(fret) => fret.to_string(),
        Sound::Harmonic(fret) => format!("<{fret}>"),
        Sound::Muted => "x".to_string(),
    }
}
