//! A tab as a block: what is played, and where that is written. Whatever is laid on strings is laid here
//! (`placing`, `techniques`), a [`melody`](crate::music::melody) as phrases guide it (`guides`).

pub mod guides;
pub mod parts;
pub mod places;
pub mod placing;
pub mod shapes;
mod techniques;

use crate::music::tab::Riff;
use places::Places;

/// A riff with its places in the text.
#[derive(Debug, Clone)]
pub struct Tab {
    /// What is played.
    pub riff: Riff,
    /// Where that is written.
    pub places: Places,
}
