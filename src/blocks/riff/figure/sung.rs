//! Syllables beneath a system, with hyphens between those of one word.

use super::Sheet;
use super::canvas::Canvas;
use super::labels::Label;
use super::scale::Scale;
use super::systems::within;
use crate::ink::{Face, Pt, Style, Text};
use crate::theory::Ticks;

/// The air on both sides of a hyphen, in distances between tab lines.
const AIR: f32 = 0.2;

/// Hyphens stand no further apart than this where a word is sung over a long stretch, in the same (by eye).
const APART: f32 = 9.0;

/// A syllable as it is written in a row: what is sung, and whether its word goes on.
fn parted(written: &str) -> (&str, bool) {
    match written.strip_suffix('-') {
        Some(syllable) if !syllable.is_empty() => (syllable, true),
        _ => (written, false),
    }
}

fn text(words: &str, scale: &Scale) -> Text {
    scale.desk.words(words, Style::new(Face::Serif, scale.syllable_size()))
}

/// A syllable at its moment; one whose word goes on keeps room for its hyphen.
pub(in super::super) fn label(
    row: &'static str,
    tick: Ticks,
    written: &str,
    scale: &Scale,
) -> Label {
    let (syllable, goes_on) = parted(written);
    let mut label = Label::centred(row, tick, vec![text(syllable, scale)]);
    if goes_on {
        label.reach.right += text("-", scale).width;
    }
    label
}

/// Draws the syllables of a system beneath all that is there.
pub(in super::super) fn draw(canvas: &mut Canvas, row: &'static str, sheet: &Sheet) {
    let Sheet { system, scale, .. } = *sheet;
    let here = sheet.bars().flat_map(|bar| {
        let syllables = within(bar.remarks(row), &system.span, |one| bar.start + one.at);
        syllables.iter().map(move |one| (system.x(bar.start + one.at), one.text.as_str()))
    });
    let here: Vec<(Pt, bool, Text)> = here
        .map(|(x, written)| {
            let (syllable, goes_on) = parted(written);
            (x, goes_on, text(syllable, scale))
        })
        .collect();
    if here.is_empty() {
        return;
    }
    let size = scale.syllable_size();
    let baseline = canvas.bottom() + scale.gaps(0.45) + scale.cap_height(size);
    let hyphen = text("-", scale);
    for (index, (x, goes_on, syllable)) in here.iter().enumerate() {
        canvas.text_centred(*x, baseline, syllable.clone());
        if !goes_on {
            continue;
        }
        let from = *x + syllable.width / 2.0;
        let next = here.get(index + 1).map(|(x, _, next)| *x - next.width / 2.0);
        // At a system's end the hyphen stands by its syllable.
        let to = next.unwrap_or(from + hyphen.width + scale.gaps(2.0 * AIR));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Positive and small.
        let number = ((to - from) / scale.gaps(APART)).clamp(1.0, 100.0) as u8;
        let step = (to - from) / f32::from(number);
        for place in 0..number {
            let middle = from + step * (f32::from(place) + 0.5);
            canvas.text_centred(middle, baseline, hyphen.clone());
        }
    }
    // The descenders of p and g.
    canvas.reach_down(baseline + size * 0.22);
}
