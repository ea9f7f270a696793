//! What the files of what is heard are called.

use crate::checks::Elaborated;
use std::collections::BTreeSet;

/// The most letters of a block's name in a file's. Assumed: with the lesson's name and an ending it stays below the 255
/// bytes that file systems take, whatever the letters.
const LONGEST: usize = 40;

/// A name for each of some blocks, by their indices, to stand behind the lesson's: the block's own, or that of its
/// kind. No two are one on systems that don't tell capital letters from small ones.
pub fn names(lesson: &Elaborated<'_>, blocks: &[usize]) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let named = |index: &usize| {
        let fence = lesson.lesson.fences.get(*index)?;
        let name = fence.name.as_ref().map(|name| name.value.as_str());
        Some(name.unwrap_or(fence.kind.name))
    };
    let cut = |index| named(index).unwrap_or_default().chars().take(LONGEST).collect::<String>();
    blocks.iter().map(|index| free(&cut(index), &mut taken)).collect()
}

/// A name that no other has, taken from now on.
fn free(name: &str, taken: &mut BTreeSet<String>) -> String {
    let more = (2_usize..).map(|number| format!("{name}-{number}"));
    let mut names = std::iter::once(name.to_owned()).chain(more);
    names.find(|name| taken.insert(name.to_lowercase())).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_would_collide_are_numbered() {
        let mut taken = BTreeSet::new();
        let names = ["loop", "Loop", "loop-2", "loop"].map(|name| free(name, &mut taken));
        assert_eq!(names, ["loop", "Loop-2", "loop-2-2", "loop-3"]);
    }
}
