//! What the tests of the kinds of block share: a block from its lines, without a lesson around it.
#![allow(clippy::unwrap_used)]

use super::Setting;
use super::exercise::Exercise;
use super::fence::Fence;
use super::kind::{Kind, Medium, NEAR_FRET, ON_STRINGS, PICKUP, Phrase};
use crate::findings::source::{Span, lines};
use crate::theory::{Key, Meter};

/// Kinds of block as a lesson of tests has them.
pub const KINDS: [Kind; 9] = [
    kind("shape", Medium::Handout, &[]),
    kind("changes", Medium::Handout, &[PICKUP]),
    kind("together", Medium::Handout, &[]),
    kind("loop", Medium::Handout, &[]),
    kind("riff", Medium::Handout, &[begun_by(&["over"]), PICKUP, NEAR_FRET, ON_STRINGS]),
    kind("move", Medium::Handout, &[begun_by(&["from"])]),
    kind("voicings", Medium::Handout, &[]),
    kind("neck", Medium::Handout, &[begun_by(&["frets", "all", "marking", "label"])]),
    kind("say", Medium::Script, &[]),
];

const fn kind(name: &'static str, medium: Medium, phrases: &'static [Phrase]) -> Kind {
    Kind { name, called: name, medium, phrases }
}

const fn begun_by(words: &'static [&'static str]) -> Phrase {
    Phrase::new(words, "", "")
}

/// A setting in a key and a meter, on a guitar in standard tuning; an empty key is none.
pub fn setting(key: &str, meter: &str) -> Setting {
    Setting { key: Key::parse(key), meter: Meter::parse(meter).unwrap(), ..Setting::default() }
}

/// A block of some lines that stands at the lesson's very beginning, its fence line left aside.
pub fn fence(kind: Kind, text: &str, setting: Setting) -> Fence<'_> {
    Fence {
        text,
        kind,
        name: None,
        phrases: Vec::new(),
        caption: None,
        lines: lines(text, 0).collect(),
        span: Span::new(0, text.len()),
        head: Span::new(0, 0),
        phrases_end: 0,
        own_keys: Vec::new(),
        setting,
        printed: true,
        exercise: Exercise::None,
        announced: Vec::new(),
        meant: None,
        guesses: Vec::new(),
    }
}
