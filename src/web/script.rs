//! The page's script: the strings, and what works the page. Its comments are for whoever reads the sources.

use crate::checks::Elaborated;
use std::sync::LazyLock;

const STRINGS: &str = include_str!("../../templates/string.js");
const PLAYER: &str = include_str!("../../templates/web/player.js");
const SWITCHES: &str = include_str!("../../templates/web/switches.js");

static SILENT: LazyLock<String> = LazyLock::new(|| bare(SWITCHES));
static WITH_SOUND: LazyLock<String> =
    LazyLock::new(|| [SWITCHES, STRINGS, PLAYER].map(bare).concat());

/// The script of a lesson's page, in which something may be heard; of one without a figure none.
pub fn of(lesson: &Elaborated<'_>, is_heard: bool) -> Option<&'static str> {
    let has_figures = lesson.blocks.iter().any(|block| block.printed);
    match is_heard {
        true => Some(&WITH_SOUND),
        false => has_figures.then_some(&SILENT),
    }
}

/// A script without its indents and the lines that are comments.
fn bare(script: &str) -> String {
    let lines = script.lines().map(str::trim).filter(|line| !line.is_empty());
    let lines = lines.filter(|line| !line.starts_with("//"));
    lines.flat_map(|line| [line, "\n"]).collect()
}
