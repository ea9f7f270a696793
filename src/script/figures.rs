//! The figures that cues show, as they stand beside the script, and one by one.

use super::Script;
use crate::blocks::Music;
use crate::blocks::changes::Changes;
use crate::blocks::figure::{Desk, Figure};
use crate::blocks::neck::Diagrams;
use crate::blocks::say::Shown;
use crate::checks::Elaborated;
use crate::ink::{Pt, pt};
use std::collections::BTreeMap;

/// How wide a figure at the script's margin may be.
pub const MARGIN: Pt = pt(156.0);
/// How high it may be there.
const HIGHEST: Pt = pt(220.0);

/// The figures that cues show beside the script, each by its cue's place among the items.
pub type Beside = BTreeMap<usize, Figure>;

/// Draws the figures of a script, none of them ever made small: their type must be read from where speech is read.
/// What fits the margin as it is drawn there stands beside its cue, anything else is drawn for the whole measure,
/// which is as wide as the desk; so is what would be parted at the margin. What signs mean is said once, under the
/// first figure that has them.
pub fn beside(lesson: &Elaborated<'_>, script: &Script, desk: &Desk<'_>) -> Beside {
    let mut told = Vec::new();
    let drawn = script.shown().map(|(index, shown)| {
        let plain = |desk: &Desk<'_>| {
            let mut figure = figure(lesson, shown, desk)?;
            figure.keys.retain(|key| !told.contains(key));
            Some(figure)
        };
        let (narrow, wide) = (plain(&Desk { width: MARGIN, ..*desk })?, plain(desk)?);
        told.extend(wide.keys.clone());
        let narrow = narrow.with_notes_beneath(&Desk { width: MARGIN, ..*desk });
        let wide = wide.with_notes_beneath(desk);
        let is_parted = is_parted(music(lesson, shown)?, &narrow, &wide);
        Some((index, if fits_margin(&narrow) && !is_parted { narrow } else { wide }))
    });
    drawn.flatten().collect()
}

/// Whether the margin's width parts what is read as one: a neck along its strings, and changes by fours where they are
/// more than four bars, two to a row at the margin.
fn is_parted(music: &dyn Music, narrow: &Figure, wide: &Figure) -> bool {
    let is_neck = music.as_a::<Diagrams>().is_some();
    let are_changes = music.as_a::<Changes>().is_some();
    is_neck && narrow.elements.len() > wide.elements.len()
        || are_changes && narrow.strips.len() > 2 && wide.strips.len() < narrow.strips.len()
}

/// Whether a figure stands at the margin beside its cue.
pub(super) fn fits_margin(figure: &Figure) -> bool {
    let whole = figure.in_rows();
    whole.width <= MARGIN && whole.height <= HIGHEST
}

/// What a cue shows as a figure, its keys and notes not in it; `None` where it could not be understood.
pub(super) fn figure(lesson: &Elaborated<'_>, shown: &Shown, desk: &Desk<'_>) -> Option<Figure> {
    let music = music(lesson, shown)?;
    let part = match shown {
        Shown::Block { bars: None, .. } => return drawn(lesson, shown, music, desk),
        Shown::Block { bars: Some(bars), .. } => music.excerpt(*bars)?,
        Shown::Shape { chord, .. } => music.shape_alone(chord)?,
    };
    drawn(lesson, shown, &*part, desk)
}

/// The chords of a block that a cue shows whole, each as a figure; none where there are not several.
pub(super) fn each(lesson: &Elaborated<'_>, shown: &Shown, desk: &Desk<'_>) -> Vec<Figure> {
    let parts = one_by_one(lesson, shown).into_iter();
    parts.filter_map(|part| drawn(lesson, shown, &*part, desk)).collect()
}

/// The chords of a block that a cue shows whole, each as a block of its own; none where there are not several.
pub(super) fn one_by_one(lesson: &Elaborated<'_>, shown: &Shown) -> Vec<Box<dyn Music>> {
    match shown {
        Shown::Block { bars: None, .. } => {
            music(lesson, shown).map(Music::one_by_one).unwrap_or_default()
        }
        _ => Vec::new(),
    }
}

fn music<'e>(lesson: &'e Elaborated<'_>, shown: &Shown) -> Option<&'e dyn Music> {
    lesson.blocks.get(block(shown))?.music.as_deref()
}

/// The figure of a block, or of a part of it, in the setting in which it stands.
fn drawn(
    lesson: &Elaborated<'_>,
    shown: &Shown,
    music: &dyn Music,
    desk: &Desk<'_>,
) -> Option<Figure> {
    let fence = lesson.lesson.fences.get(block(shown))?;
    Some(music.figure(desk, &fence.setting).told_in(desk.lang))
}

fn block(shown: &Shown) -> usize {
    let (Shown::Block { index, .. } | Shown::Shape { index, .. }) = shown;
    *index
}
