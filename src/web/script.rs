//! The page's script: the strings, and what works the page. Its comments are for whoever reads the sources.

use std::sync::LazyLock;

const STRINGS: &str = include_str!("../../templates/string.js");
const PLAYER: &str = include_str!("../../templates/web/player.js");

static WITH_SOUND: LazyLock<String> = LazyLock::new(|| [STRINGS, PLAYER].map(bare).concat());

/// The script of a page in which something is heard.
pub fn with_sound() -> &'static str {
    &WITH_SOUND
}

/// A script without its indents and the lines that are comments.
fn bare(script: &str) -> String {
    let lines = script.lines().map(str::trim).filter(|line| !line.is_empty());
    let lines = lines.filter(|line| !line.starts_with("//"));
    lines.flat_map(|line| [line, "\n"]).collect()
}
