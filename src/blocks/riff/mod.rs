//! The `riff` block: a tab with its count.
//!
//! A riff is read in steps, each in a file of its own: lines become rows in systems (`columns`,
//! `rows`), rows find their strings (`labels`), systems are cut into bars (`bars`, `adrift`, `forms`), the
//! count becomes a clock (`count`, `clock`), frets and joining signs become chains of notes
//! (`strings`), which are placed by the clock (`chains`, `realign`), and the other rows say more
//! about them (`chords`, `over`, `annotations`). What comes out is the `model`.

pub mod figure;
pub mod model;
pub mod over;

mod adrift;
mod annotations;
mod bars;
mod chains;
mod chords;
mod clock;
mod columns;
mod count;
mod forms;
mod labels;
mod phrases;
mod place;
mod read;
mod realign;
mod rows;
mod strings;

#[cfg(test)]
mod properties;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;

pub use model::Riff;
pub use over::Progressions;
pub use read::read;
