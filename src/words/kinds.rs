//! What a block without a name is called, by its kind, behind the section that it stands in.

/// A `say` block.
pub const SAID: &str = "what is said";
/// A `shape` block.
pub const SHAPES: &str = "the shapes";
/// A `changes` block.
pub const CHANGES: &str = "the changes";
/// A `lyrics` block.
pub const SONG: &str = "the song";
/// A `riff` block.
pub const RIFF: &str = "the riff";
/// A `move` block.
pub const MOVED_RIFF: &str = "the moved riff";
/// A `voicings` block.
pub const VOICINGS: &str = "the voicings";
/// A `neck` block.
pub const NECK_DIAGRAM: &str = "the neck diagram";
/// A `together` block.
pub const PARTS: &str = "the parts at the same time";
/// A `loop` block.
pub const LOOP: &str = "the loop";
/// A `now` block.
pub const NOW: &str = "what holds from here on";

/// What stands before the first heading, as a section.
const OPENING: &str = "The opening";

/// A block by its section and what its kind is called; `number` tells it from others of its kind there, from 1.
pub fn in_section(section: Option<&str>, called: &str, number: usize) -> String {
    let section = section.unwrap_or(OPENING);
    match number {
        1 => format!("{section}, {called}"),
        _ => format!("{section}, {called} ({number})"),
    }
}
