//! Where on the paper the pieces of a riff's text are drawn: bars, counts, notes.

use super::scale::Scale;
use super::systems::{System, within};
use crate::blocks::figure::{DrawnBar, Element};
use crate::blocks::tab::places::{BarPlace, NotePlace, Places};
use crate::findings::Span;
use crate::ink::Pt;
use crate::music::tab::{Bar, Riff};
use crate::theory::Ticks;

/// The elements of one system, which is a strip.
pub(super) fn elements(
    riff: &Riff,
    places: &Places,
    strip: usize,
    system: &System,
    scale: &Scale,
) -> Vec<Element> {
    let mut elements = Vec::new();
    for placed in &system.bars {
        let Some(bar) = places.bars.get(placed.bar) else { continue };
        let (left, right) = (placed.left, placed.right);
        elements.extend(bar.rows.iter().map(|span| Element { span: *span, strip, left, right }));
    }
    let bar = |bar: usize| Some((riff.bars.get(bar)?, places.bars.get(bar)?));
    for (bar, place) in system.whole_bars().filter_map(bar) {
        let half = scale.gaps(0.8);
        elements.extend(moments(bar, place, system).into_iter().map(|(span, x)| {
            let right = (x + half).min(scale.desk.width);
            Element { span, strip, left: (x - half).max(Pt::ZERO), right }
        }));
    }
    elements
}

/// Where the bars of one system are drawn, which is a strip.
pub(super) fn bars(riff: &Riff, strip: usize, system: &System) -> impl Iterator<Item = DrawnBar> {
    system.bars.iter().filter_map(move |placed| {
        let start = riff.bars.get(placed.bar)?.start;
        Some(DrawnBar { start, strip, left: placed.left, right: placed.right })
    })
}

/// The counts and notes of a bar that a system holds, each with its axis.
fn moments(bar: &Bar, place: &BarPlace, system: &System) -> Vec<(Span, Pt)> {
    let is_here = |at: Ticks| system.span.contains(&(bar.start + at));
    let axis = |at: Ticks| system.x(bar.start + at);
    let counts = bar.counts.iter().zip(&place.counts).filter(|(count, _)| is_here(count.at));
    let counts = counts.map(|(count, span)| (*span, axis(count.at)));
    let notes = within(&place.notes, &system.span, |note| bar.start + note.at);
    let notes = notes.iter().flat_map(|note| {
        let x = axis(note.at);
        spans(note).map(move |span| (span, x))
    });
    let mut moments: Vec<(Span, Pt)> = counts.chain(notes).collect();
    // The strings of one strum are one sign in the text.
    moments.dedup_by_key(|(span, _)| *span);
    moments
}

/// A note with its grace notes.
fn spans(note: &NotePlace) -> impl Iterator<Item = Span> {
    note.graces.iter().copied().chain([note.span])
}
