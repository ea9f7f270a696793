//! Where on the paper the pieces of a riff's text are drawn: bars, counts, notes.

use super::scale::Scale;
use super::score::Score;
use super::systems::{System, within};
use crate::blocks::figure::Element;
use crate::findings::Span;
use crate::ink::Pt;
use crate::music::tab::{Bar, Note};

/// The elements of one system, which is a strip.
pub(super) fn elements(
    score: &Score,
    strip: usize,
    system: &System,
    scale: &Scale,
) -> Vec<Element> {
    let mut elements = Vec::new();
    for placed in &system.bars {
        let Some(bar) = score.riff.bars.get(placed.bar) else { continue };
        let (left, right) = (placed.left, placed.right);
        elements.extend(bar.rows.iter().map(|span| Element { span: *span, strip, left, right }));
    }
    for bar in system.whole_bars().filter_map(|bar| score.riff.bars.get(bar)) {
        let half = scale.gaps(0.8);
        elements.extend(moments(bar, system).into_iter().map(|(span, x)| {
            let right = (x + half).min(scale.desk.width);
            Element { span, strip, left: (x - half).max(Pt::ZERO), right }
        }));
    }
    elements
}

/// The counts and notes of a bar that a system holds, each with its axis.
fn moments(bar: &Bar, system: &System) -> Vec<(Span, Pt)> {
    let counts = within(&bar.counts, &system.span, |count| bar.start + count.at);
    let counts = counts.iter().map(|count| (count.span, system.x(bar.start + count.at)));
    let events = within(&bar.events, &system.span, |event| bar.start + event.at);
    let notes = events.iter().flat_map(|event| {
        let x = system.x(bar.start + event.at);
        event.notes.iter().flat_map(spans).map(move |span| (span, x))
    });
    let mut moments: Vec<(Span, Pt)> = counts.chain(notes).collect();
    // The strings of one strum are one sign in the text.
    moments.dedup_by_key(|(span, _)| *span);
    moments
}

/// A note with its grace notes.
fn spans(note: &Note) -> impl Iterator<Item = Span> {
    note.graces.iter().map(|grace| grace.span).chain([note.span])
}
