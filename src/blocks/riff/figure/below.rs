//! What stands beneath the staves and the rhythm: the rows that have their place there.

use super::super::rows::{self, Place};
use super::Sheet;
use super::canvas::Canvas;

/// Draws all rows beneath a system, the nearest to it first.
pub(super) fn draw(canvas: &mut Canvas, sheet: &Sheet) {
    let scale = sheet.scale;
    // Nothing is nearer to the staff than fret numbers on its lowest line leave room for.
    canvas.reach_down(scale.staff_height() + scale.gaps(0.6));
    rows::at(Place::Beneath).for_each(|kind| kind.draw(canvas, sheet));
    canvas.reach_down(canvas.bottom() + scale.small_size() * 0.25);
}
