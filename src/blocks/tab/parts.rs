//! Tabs that are played at the same time.

use super::Tab;

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
    /// What is played.
    pub tab: Tab,
}
