//! The shapes of a whole lesson in one place, each once.

use super::{Name, Shape, Shapes};
use crate::lesson::Setting;
use crate::neck::Fret;
use std::collections::HashSet;

/// The shapes of some blocks for one instrument.
#[derive(Debug)]
pub struct Gathered<'a> {
    /// The shapes, in the order in which they stand in the lesson.
    pub shapes: Shapes,
    /// What held where the first of them stands.
    pub setting: &'a Setting,
}

/// Gathers the shapes of some blocks, those of each tuning and capo together. A shape that comes again
/// with the same frets under the same name is left out, and so is one whose name can't be read.
pub fn gather<'a>(blocks: impl Iterator<Item = (&'a Shapes, &'a Setting)>) -> Vec<Gathered<'a>> {
    let mut all: Vec<(Gathered<'a>, HashSet<Same<'a>>)> = Vec::new();
    for (block, setting) in blocks {
        let fits = |known: &Gathered<'_>| known.setting.instrument == setting.instrument;
        let place = all.iter().position(|(gathered, _)| fits(gathered)).unwrap_or_else(|| {
            let shapes = Shapes::of(Vec::new());
            all.push((Gathered { shapes, setting }, HashSet::new()));
            all.len() - 1
        });
        let Some((gathered, seen)) = all.get_mut(place) else { continue };
        let fresh =
            block.shapes.iter().filter(|shape| same(shape).is_some_and(|it| seen.insert(it)));
        gathered.shapes.shapes.extend(fresh.cloned());
    }
    let gathered = all.into_iter().map(|(gathered, _)| gathered);
    gathered.filter(|gathered| !gathered.shapes.shapes.is_empty()).collect()
}

/// What makes two shapes one: the chord that they are called, and their frets.
type Same<'a> = (Option<String>, &'a [Option<Fret>]);

fn same(shape: &Shape) -> Option<Same<'_>> {
    let readable = !matches!(shape.name, Name::Unread(_));
    let chord = shape.name.chord().map(ToString::to_string);
    readable.then_some((chord, shape.fingering.frets.as_slice()))
}
