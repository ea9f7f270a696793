//! Frames of signs around a text's first lines: decoration, and no words.

use super::lines::{Kind, Line};

/// Signs that frame a line.
const SIGNS: [char; 11] = ['~', '*', '=', '-', '#', '_', ' ', '|', '+', '║', '│'];

/// A line without the signs that frame it.
pub(super) fn without(line: &str) -> &str {
    line.trim_matches(SIGNS)
}

/// Whether nothing but signs stands in a line.
pub(super) fn is_decoration(line: &Line) -> bool {
    line.kind == Kind::Rule || (line.kind == Kind::Words && without(&line.text).is_empty())
}

/// Takes the frame away that stood around the line that was taken out at an index. Other lines in the
/// same box lose their sides.
pub(super) fn take(lines: &mut Vec<Line>, at: usize) {
    let mut top = at;
    while top > 0 && lines.get(top - 1).is_some_and(is_decoration) {
        top -= 1;
    }
    lines.drain(top..at);
    let boxed = lines.iter().skip(top).take_while(|line| is_boxed(line)).count();
    let closes = lines.get(top + boxed).is_some_and(is_decoration);
    let inner = if closes { boxed } else { 0 };
    for line in lines.iter_mut().skip(top).take(inner) {
        line.text = without(&line.text).to_string();
    }
    let frame = lines.iter().skip(top + inner).take_while(|line| is_decoration(line)).count();
    lines.drain(top + inner..top + inner + frame);
}

/// Whether words stand between the sides of a box.
fn is_boxed(line: &Line) -> bool {
    let text = line.text.trim();
    let side = text.chars().next().filter(|side| SIGNS.contains(side));
    let closed = text.chars().next_back() == side;
    line.kind == Kind::Words && side.is_some() && closed && !is_decoration(line)
}
