//! Counts guessed from the spacing: how many columns of a bar are a beat, and what falls where.

use crate::theory::Meter;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Where the moments of a bar fall.
#[derive(Debug, PartialEq)]
pub(super) struct Grid {
    /// How many parts a count's beat has.
    pub parts: usize,
    /// How many parts the bar has.
    pub all: usize,
    /// The place of each moment, in parts from the bar's start.
    pub places: Vec<usize>,
}

/// Into how many parts a beat may be cut, the likeliest first; thirds only where the spacing is even.
const PARTS: [usize; 4] = [1, 2, 4, 3];

/// The same where the beat is an eighth: thirds of it can't be counted.
const PARTS_OF_EIGHTHS: [usize; 3] = [1, 2, 4];

/// What only rows without room need, the likeliest first.
const FINE_PARTS: [usize; 2] = [3, 8];

/// Into how many parts a beat may be cut for steps that are alike, the fewest first.
const STEPS: [usize; 4] = [1, 2, 3, 4];

/// The same for steps that are too many for these.
const FINE_STEPS: [usize; 1] = [8];

/// How many steps there must be to be called alike.
const FEWEST_STEPS: usize = 4;

/// How far from its place the worst moment is taken to be where steps are alike and not the bar's width,
/// in parts: further than even spacing, nearer than uneven.
const STEPPED: f64 = 0.3;

/// How far a moment may be from its place, in parts, for the spacing to be called even.
const EVEN: f64 = 0.26;

/// A grid, and how far the worst moment is from its place, in parts.
type Fit = (f64, Grid);

impl Grid {
    /// Guesses where moments fall whose columns rise, counted from the bar's first beat; the bar has
    /// so many columns from there. Says too how far the worst is from its place. `None` where no
    /// counts can tell so many moments apart.
    pub fn guess(columns: &[usize], width: usize, meter: Meter) -> Option<Fit> {
        let fit = |parts: usize| fitted(columns, width, meter, parts);
        let in_eighths = meter.unit() >= 8;
        let usual: &[usize] = if in_eighths { &PARTS_OF_EIGHTHS } else { &PARTS };
        let even = usual.iter().filter_map(|parts| fit(*parts)).find(|(error, _)| *error <= EVEN);
        let uneven = || {
            let fits = PARTS_OF_EIGHTHS.iter().filter_map(|parts| fit(*parts));
            fits.min_by(|one, other| one.0.total_cmp(&other.0))
        };
        let fine = || FINE_PARTS.iter().filter(|_| !in_eighths).find_map(|parts| fit(*parts));
        let steps: &[usize] = if in_eighths { &PARTS_OF_EIGHTHS } else { &STEPS };
        let stepped = |steps: &[usize]| stepped(columns, meter, steps);
        let coarse = || stepped(steps);
        let fine_steps = || stepped(&FINE_STEPS).filter(|_| !in_eighths);
        even.or_else(coarse).or_else(uneven).or_else(fine_steps).or_else(fine)
    }
}

/// The places of notes most of which stand equally far apart: each such step is as long as the others,
/// whatever the bar's width says. `None` where hardly any do, or no counts can tell so many apart.
fn stepped(columns: &[usize], meter: Meter, parts: &[usize]) -> Option<Fit> {
    let gaps: Vec<usize> =
        columns.windows(2).filter_map(|two| Some(two.get(1)? - two.first()?)).collect();
    let mut alike: BTreeMap<usize, usize> = BTreeMap::new();
    gaps.iter().for_each(|gap| *alike.entry(*gap).or_default() += 1);
    let (step, often) = alike.into_iter().max_by_key(|(gap, often)| (*often, Reverse(*gap)))?;
    if gaps.len() < FEWEST_STEPS || often * 2 < gaps.len() {
        return None;
    }
    let steps = |gap: &usize| ((gap + step / 2) / step).max(1);
    let before = *columns.first()?;
    let mut place = (before + step / 2) / step;
    let mut places = vec![place];
    for gap in &gaps {
        place += steps(gap);
        places.push(place);
    }
    let beats = usize::from(meter.beats());
    let parts = parts.iter().find(|parts| beats * **parts > place)?;
    Some((STEPPED, Grid { parts: *parts, all: beats * parts, places }))
}

/// The places at a number of parts to the beat, and how far the worst moment is from its place. `None`
/// where two moments would fall together.
fn fitted(columns: &[usize], width: usize, meter: Meter, parts: usize) -> Option<Fit> {
    let all = usize::from(meter.beats()) * parts;
    let scale = all as f64 / width.max(1) as f64;
    let exact = columns.iter().map(|column| *column as f64 * scale);
    // The last place is the bar's last part, whatever a row too short for its notes says.
    let placed: Vec<(usize, f64)> = exact
        .map(|exact| {
            let place = (exact.round() as usize).min(all.saturating_sub(1));
            (place, (exact - place as f64).abs())
        })
        .collect();
    let apart = placed.windows(2).all(|two| matches!(two, [one, next] if one.0 < next.0));
    let error = placed.iter().map(|(_, error)| *error).fold(0.0, f64::max);
    let places = placed.into_iter().map(|(place, _)| place).collect();
    apart.then_some((error, Grid { parts, all, places }))
}

/// What is counted at a place of a bar.
pub(super) fn sign(place: usize, parts: usize) -> String {
    let signs: &[&str] = match parts {
        2 => &["", "&"],
        3 => &["", "la", "li"],
        4 => &["", "e", "&", "a"],
        8 => &["", "'", "e", "'", "&", "'", "a", "'"],
        _ => &[""],
    };
    match signs.get(place % parts.max(1)) {
        Some(&"") | None => (place / parts.max(1) + 1).to_string(),
        Some(sign) => (*sign).to_string(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn counts(columns: &[usize], width: usize, meter: &str) -> String {
        let (_, grid) = Grid::guess(columns, width, Meter::parse(meter).unwrap()).unwrap();
        grid.places.iter().map(|place| sign(*place, grid.parts)).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn even_spacing_gives_the_plainest_counts() {
        for (columns, width, meter, expected) in [
            (vec![0, 4, 8, 12], 16, "4/4", "1 2 3 4"),
            (vec![0, 2, 4, 6, 8, 10, 12, 14], 16, "4/4", "1 & 2 & 3 & 4 &"),
            (vec![0, 1, 2, 8], 16, "4/4", "1 e & 3"),
            (vec![0, 2, 4, 6, 12, 18], 24, "4/4", "1 la li 2 3 4"),
            (vec![0, 2, 4, 6, 8, 10, 12, 14], 15, "4/4", "1 & 2 & 3 & 4 &"),
            (
                vec![0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 21],
                24,
                "4/4",
                "1 la li 2 la li 3 la li 4 li",
            ),
            ((0..10).map(|n| n * 2).collect(), 23, "4/4", "1 la li 2 la li 3 la li 4"),
            ((0..14).map(|n| n * 2).collect(), 30, "4/4", "1 e & a 2 e & a 3 e & a 4 e"),
            ((0..10).map(|n| n * 2).collect(), 20, "5/4", "1 & 2 & 3 & 4 & 5 &"),
            (vec![0, 4, 8], 12, "3/4", "1 2 3"),
            (vec![0, 2, 4, 6, 8, 10], 12, "6/8", "1 2 3 4 5 6"),
            (vec![0, 1, 2, 6], 12, "6/8", "1 & 2 4"),
            (vec![], 16, "4/4", ""),
        ] {
            assert_eq!(
                counts(&columns, width, meter),
                expected,
                "{columns:?} of {width} in {meter}"
            );
        }
    }

    #[test]
    fn uneven_spacing_keeps_the_order() {
        let (_, grid) = Grid::guess(&[0, 3, 5, 8, 13], 15, Meter::COMMON).unwrap();
        assert!(grid.places.is_sorted_by(|one, next| one < next), "{grid:?}");
    }

    #[test]
    fn too_many_moments_can_not_be_counted() {
        assert_eq!(Grid::guess(&(0..40).collect::<Vec<_>>(), 40, Meter::COMMON), None);
    }
}
