//! Staves: what a system's moments are played on, one beneath the other.
//!
//! A [`Stave`] is a number of lines with what stands on them, and knows nothing of those beside it: it is
//! drawn on a canvas of its own, about its highest line, and set on the system's with the others. They share
//! the moments' axes, and each keeps the room that it needs there. The rows of the riff stand above the
//! uppermost and beneath the lowest.

use super::Sheet;
use super::canvas::Canvas;
use super::scale::Scale;
use super::spacing::Room;
use super::strokes::Strokes;
use super::tab::Tab;
use crate::blocks::figure::Desk;
use crate::ink::Pt;
use crate::music::tab::{Bar, Form, Riff};

/// A number of lines with what stands on them.
pub(super) trait Stave {
    /// How many lines it has, or is as high as.
    fn lines(&self) -> usize;

    /// The room that it needs before its lines.
    fn front(&self, scale: &Scale) -> Pt;

    /// Keeps room at the moments of a bar for what stands on it.
    fn keep_room(&self, index: usize, bar: &Bar, room: &mut Room, scale: &Scale);

    /// Draws what lies in a system, about its own highest line.
    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet);
}

/// The staves of a riff's systems, the uppermost first.
pub(super) fn staves(riff: &Riff, desk: &Desk) -> Vec<Box<dyn Stave>> {
    match riff.form {
        Form::Tab => vec![Box::new(Tab::of(riff, desk))],
        Form::Strum(_) | Form::Words => vec![Box::new(Strokes)],
    }
}

/// The air between two staves, in distances between tab lines.
const AIR: f32 = 1.0;

/// Draws the staves of a system, one beneath the other.
pub(super) fn all(sheet: &Sheet) -> Canvas {
    let Sheet { score, scale, .. } = *sheet;
    let staves = score.staves.iter().map(|stave| alone(stave.as_ref(), sheet));
    let staves = staves.reduce(|above, beneath| above.over(beneath, scale.gaps(AIR)));
    staves.unwrap_or_default()
}

/// Draws a stave on a canvas of its own.
fn alone(stave: &dyn Stave, sheet: &Sheet) -> Canvas {
    let scale = sheet.scale.of(stave.lines());
    let mut canvas = Canvas::with_lines(scale.staff_height());
    stave.draw(&mut canvas, &Sheet { scale: &scale, ..*sheet });
    // Nothing is nearer to it than fret numbers on its lowest line leave room for.
    canvas.reach_down(scale.staff_height() + scale.gaps(0.6));
    canvas
}
