//! What is laid on strings is laid here (`placing`, `techniques`), by what it sounds (`tones`), as
//! phrases guide it (`guides`).

pub mod guides;
pub mod placing;
mod techniques;
pub mod tones;
