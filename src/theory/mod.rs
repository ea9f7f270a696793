//! Music theory that knows no guitar and no text file: notes, intervals, chords, scales, keys,
//! numerals, and musical time.

pub mod chord;
pub mod degree;
pub mod fitting;
pub mod function;
pub mod harmony;
pub mod interval;
pub mod key;
pub mod midi;
mod named;
pub mod naming;
pub mod nonchord;
pub mod note;
pub mod note_names;
pub mod numeral;
pub mod printed;
pub mod profile;
pub mod scale;
pub mod spelling;
pub mod time;

pub use chord::{Chord, ChordError};
pub use degree::Degree;
pub use harmony::Harmony;
pub use interval::Interval;
pub use key::Key;
pub use midi::Midi;
pub use note::{Letter, Note, Pitch};
pub use note_names::Names;
pub use numeral::Numeral;
pub use printed::Printed;
pub use scale::Scale;
pub use time::{Meter, Ticks};
