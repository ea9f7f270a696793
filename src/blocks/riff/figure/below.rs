//! What stands beneath the staves and the rhythm: the rows that have their place there.

use super::super::rows::{self, RowPlace};
use super::Sheet;
use super::canvas::Canvas;

/// Draws all rows beneath a system, the nearest to it first.
pub(super) fn draw(canvas: &mut Canvas, sheet: &Sheet) {
    let scale = sheet.scale;
    for kind in rows::at(RowPlace::Beneath) {
        match kind.layer() {
            Some(name) => canvas.in_layer(name, |canvas| kind.draw(canvas, sheet)),
            None => kind.draw(canvas, sheet),
        }
    }
    canvas.reach_down(canvas.bottom() + scale.small_size() * 0.25);
}
