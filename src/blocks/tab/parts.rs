//! Tabs that are played at the same time.

use super::Tab;
use crate::lesson::Sound;
use crate::music::tab::Riff;

/// Parts that sound together, the uppermost on paper first.
#[derive(Debug, Clone, Default)]
pub struct Parts {
    /// The parts.
    pub parts: Vec<Part>,
}

/// One of them.
#[derive(Debug, Clone)]
pub struct Part {
    /// What it is called.
    pub name: String,
    /// What is played; it has an instrument of its own.
    pub tab: Tab,
    /// What that sounds like.
    pub sound: Sound,
}

impl Parts {
    /// The riff whose chords and key all parts are played under: the first that has chords, or else the first.
    pub fn leading(&self) -> Option<&Riff> {
        let mut riffs = self.parts.iter().map(|part| &part.tab.riff);
        let has_chords = |riff: &&Riff| riff.harmony.iter().any(|bar| !bar.passes.is_empty());
        riffs.clone().find(has_chords).or_else(|| riffs.next())
    }
}
