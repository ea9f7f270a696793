//! Music as a value: what is played, whoever wrote it down and however it is drawn.

pub mod ladder;
pub mod melody;
pub mod performance;
pub mod tab;
pub mod tones;
