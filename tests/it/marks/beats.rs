//! Where counts and ticks stand, measured on a figure's strips.

use super::super::figures::each_item;
use fretleaf::blocks::figure::Figure;
use fretleaf::ink::{Drawing, Item, Point, Segment};

/// Counts are never nearer, in points (3.2 mm from middle to middle).
const COUNTS_APART: f32 = 3.2 * 72.0 / 25.4;

/// By how much one beat of a bar may be wider than another.
const UNEQUAL: f32 = 1.02;

/// What is wrong with the counts and ticks of a strip.
pub fn faults(figure: &Figure, strip: &Drawing) -> Vec<String> {
    let is_strum = figure.words.starts_with("A strumming pattern");
    let is_tab = figure.words.starts_with("Tab") || figure.words.contains("parts at the same time");
    let is_chart = figure.words.contains("bar 1") && !is_strum && !is_tab;
    let dense = is_strum && figure.strips.iter().any(is_too_dense);
    let mut found = Vec::new();
    for row in counts(strip) {
        let near = row.windows(2).filter(|pair| pair[1].0 - pair[0].0 < COUNTS_APART - 0.02);
        found.extend(near.map(|pair| format!("{} and {} are too near", pair[0].1, pair[1].1)));
        if is_strum && !dense {
            found.extend(unequal("counts", &beats(&row)));
        }
    }
    if is_chart {
        found.extend(unequal("ticks", &ticks(strip)));
    }
    found
}

/// Whether a strip has a bar for which it has no room if all beats are as wide as its widest: strokes never stand nearer than
/// they can be told apart, and then a figure's beats give way (looks, "Beats": unless density forces more).
fn is_too_dense(strip: &Drawing) -> bool {
    counts(strip).iter().any(|row| {
        let front = row.first().map_or(0.0, |(x, _)| *x);
        beats(row).iter().any(|bar| {
            let widest = bar.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f32::max);
            front + bar.iter().map(|_| widest).sum::<f32>() > strip.width.0
        })
    })
}

/// The rows of counts in a strip: the middle of each with what it says, from the left.
fn counts(strip: &Drawing) -> Vec<Vec<(f32, String)>> {
    let mut texts = Vec::new();
    each_item(&strip.items, Point::default(), &mut |item, offset| {
        if let Item::Text(at, text) = item {
            let (at, words) = (*at + offset, text.characters());
            texts.push((at.y, (at.x + text.width / 2.0).0, words));
        }
    });
    let labels = texts.iter().filter(|(_, _, words)| words == "count").map(|(y, _, _)| *y);
    let row = |y| {
        let here = texts.iter().filter(|(other, _, words)| *other == y && words != "count");
        let mut row: Vec<(f32, String)> = here.map(|(_, x, words)| (*x, words.clone())).collect();
        row.sort_by(|a, b| a.0.total_cmp(&b.0));
        row
    };
    labels.map(row).collect()
}

/// The places of the beats in each bar: a bar begins where the number falls.
fn beats(row: &[(f32, String)]) -> Vec<Vec<f32>> {
    let mut bars: Vec<Vec<f32>> = Vec::new();
    let mut before = u32::MAX;
    for (x, words) in row {
        let Ok(number) = words.trim_matches(['(', ')']).parse::<u32>() else { continue };
        match bars.last_mut() {
            Some(bar) if Some(number) == before.checked_add(1) => bar.push(*x),
            _ => bars.push(vec![*x]),
        }
        before = number;
    }
    bars
}

/// The places of the ticks at whole beats, bar by bar.
fn ticks(strip: &Drawing) -> Vec<Vec<f32>> {
    let mut uprights: Vec<(f32, f32)> = Vec::new();
    each_item(&strip.items, Point::default(), &mut |item, offset| {
        if let Item::Path(path) = item
            && let [Segment::Move(from), Segment::Line(to)] = path.segments[..]
            && from.x == to.x
        {
            uprights.push(((from + offset).x.0, (from.y - to.y).0.abs()));
        }
    });
    uprights.sort_by(|a, b| a.0.total_cmp(&b.0));
    let tallest = uprights.iter().map(|(_, height)| *height).fold(0.0, f32::max);
    let short = |height: f32| height < tallest / 2.0;
    let tick = uprights.iter().filter(|(_, height)| short(*height));
    let tick = tick.map(|(_, height)| *height).fold(0.0, f32::max);
    let bars = uprights.split(|(_, height)| !short(*height));
    let felt = |bar: &[(f32, f32)]| {
        let felt = bar.iter().filter(|(_, height)| *height > tick * 0.9);
        felt.map(|(x, _)| *x).collect()
    };
    bars.map(felt).collect()
}

/// The bars whose beats are not equally wide.
fn unequal(what: &str, bars: &[Vec<f32>]) -> Vec<String> {
    let steps = |bar: &Vec<f32>| bar.windows(2).map(|pair| pair[1] - pair[0]).collect::<Vec<_>>();
    let bars = bars.iter().map(steps).filter(|steps| {
        let least = steps.iter().copied().fold(f32::INFINITY, f32::min);
        steps.iter().any(|step| *step > least * UNEQUAL)
    });
    bars.map(|steps| format!("{what} at unequal steps: {steps:?}")).collect()
}
