//! The blocks of a build: what they are called, and which of an older build's they are.

use fretleaf::checks::Elaborated;
use fretleaf::findings::Span;
use fretleaf::lesson::Setting;
use fretleaf::lesson::prose::Node;
use fretleaf::page::inline::plain_words;
use fretleaf::words::kinds;
use std::collections::{BTreeMap, VecDeque};

/// A block as it was written, and what held where it stood.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockText {
    /// What it is called: its name, or else its section and its kind.
    pub title: String,
    /// The name that it was given.
    pub name: Option<String>,
    /// The word of its kind.
    pub kind: &'static str,
    /// The heading that it stands under; `None` before the first.
    pub section: Option<String>,
    /// Its text, fences included.
    pub text: String,
    /// The values in force.
    pub setting: Setting,
    /// Where its text begins and ends in the lesson's.
    pub span: Span,
}

/// The blocks of a lesson, in the order they stand.
pub fn of(lesson: &Elaborated<'_>) -> Vec<BlockText> {
    let mut sections = Sections { lesson, now: None, of_blocks: BTreeMap::new() };
    sections.enter(&lesson.lesson.nodes);
    let mut sections = sections.of_blocks;
    let mut numbers: BTreeMap<String, usize> = BTreeMap::new();
    let fences = lesson.lesson.fences.iter().enumerate();
    let block = |(index, fence): (usize, &fretleaf::lesson::fence::Fence<'_>)| {
        let section = sections.remove(&index);
        let name = fence.name.as_ref().map(|name| name.value.clone());
        let title = name.clone().unwrap_or_else(|| {
            let titled = |number| kinds::in_section(section.as_deref(), fence.kind.called, number);
            let number = numbers.entry(titled(1)).or_default();
            *number += 1;
            titled(*number)
        });
        BlockText {
            title,
            name,
            kind: fence.kind.name,
            section,
            text: lesson.lesson.source.slice(fence.span).to_owned(),
            setting: fence.setting.clone(),
            span: fence.span,
        }
    };
    fences.map(block).collect()
}

/// The headings that blocks stand under, by their indices.
struct Sections<'l> {
    lesson: &'l Elaborated<'l>,
    now: Option<String>,
    of_blocks: BTreeMap<usize, String>,
}

impl Sections<'_> {
    fn enter(&mut self, nodes: &[Node]) {
        for node in nodes {
            match node {
                Node::Heading { words, .. } => {
                    self.now = Some(plain_words(words, &self.lesson.phrases));
                }
                Node::Music(index) => {
                    self.of_blocks.extend(self.now.clone().map(|section| (*index, section)));
                }
                Node::List { items, .. } => items.iter().for_each(|item| self.enter(item)),
                Node::Quote(inner) => self.enter(inner),
                _ => {}
            }
        }
    }
}

/// What changed among blocks, in words: what is changed or new where it stands now, then what is gone.
pub fn changed(old: &[BlockText], new: &[BlockText]) -> Vec<String> {
    let matches = Matching::of(old, new);
    let mut told = Vec::new();
    for (block, was) in new.iter().zip(&matches.was) {
        match was.and_then(|was| old.get(was)) {
            None => told.push(format!("{} (new)", block.title)),
            Some(was) if was.text != block.text || was.setting != block.setting => {
                told.push(block.title.clone());
            }
            Some(_) => {}
        }
    }
    let gone = matches.old_left.iter().filter_map(|index| old.get(*index));
    told.extend(gone.map(|block| format!("{} (gone)", block.title)));
    told
}

/// Which blocks of two builds are the same.
struct Matching<'b> {
    old: &'b [BlockText],
    new: &'b [BlockText],
    /// For each new block the old one that it was.
    was: Vec<Option<usize>>,
    /// The old ones that are none of the new ones so far, in order.
    old_left: Vec<usize>,
}

impl<'b> Matching<'b> {
    /// Those with names are the same by their names. Of the others of a kind, those with the same text are; then,
    /// section by section, those in the order they stand; at last all that are left, if they are as many as before.
    fn of(old: &'b [BlockText], new: &'b [BlockText]) -> Matching<'b> {
        let (was, old_left) = (vec![None; new.len()], (0..old.len()).collect());
        let mut matching = Matching { old, new, was, old_left };
        matching.by(|block| block.name.as_deref().map(|name| ("", name)));
        matching.by(|block| unnamed(block).map(|kind| (kind, block.text.as_str())));
        matching.by(|block| unnamed(block).map(|kind| (kind, block.section.as_deref())));
        let left = matching.left_of_kinds();
        let as_many =
            |kind: &&str| left.get(kind).is_some_and(|(gone, came): &(usize, usize)| gone == came);
        matching.by(|block| unnamed(block).filter(as_many));
        matching
    }

    /// Matches blocks that have a key in common, in the order they stand.
    fn by<K: Ord>(&mut self, key: impl Fn(&'b BlockText) -> Option<K>) {
        let mut free: BTreeMap<K, VecDeque<usize>> = BTreeMap::new();
        for index in &self.old_left {
            if let Some(key) = self.old.get(*index).and_then(&key) {
                free.entry(key).or_default().push_back(*index);
            }
        }
        for (block, was) in self.new.iter().zip(&mut self.was).filter(|(_, was)| was.is_none()) {
            *was = key(block).and_then(|key| free.get_mut(&key)?.pop_front());
        }
        let taken: std::collections::BTreeSet<usize> = self.was.iter().flatten().copied().collect();
        self.old_left.retain(|index| !taken.contains(index));
    }

    /// How many blocks without names are left of each kind, old and new.
    fn left_of_kinds(&self) -> BTreeMap<&'static str, (usize, usize)> {
        let mut left: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
        for kind in self.old_left.iter().filter_map(|index| unnamed(self.old.get(*index)?)) {
            left.entry(kind).or_default().0 += 1;
        }
        let came = self.new.iter().zip(&self.was).filter(|(_, was)| was.is_none());
        for kind in came.filter_map(|(block, _)| unnamed(block)) {
            left.entry(kind).or_default().1 += 1;
        }
        left
    }
}

/// The kind of a block that has no name.
fn unnamed(block: &BlockText) -> Option<&'static str> {
    block.name.is_none().then_some(block.kind)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Blocks from `Section: text`, a `say` each; `=name: text` has a name.
    fn blocks(written: &str) -> Vec<BlockText> {
        let mut numbers: BTreeMap<String, usize> = BTreeMap::new();
        let block = |one: &str| {
            let (place, text) = one.split_once(": ").unwrap_or(("", one));
            let name = place.strip_prefix('=').map(str::to_owned);
            let section = name.is_none().then(|| place.to_owned());
            let number = numbers.entry(place.to_owned()).or_default();
            *number += 1;
            BlockText {
                title: name
                    .clone()
                    .unwrap_or_else(|| kinds::in_section(Some(place), kinds::SAID, *number)),
                name,
                kind: "say",
                section,
                text: text.to_owned(),
                setting: Setting::default(),
                span: Span::default(),
            }
        };
        written.split(", ").map(block).collect()
    }

    #[test]
    fn blocks_without_names_are_known_by_what_they_say() {
        for (old, new, told) in [
            ("A: one, B: two, C: three", "A: one, C: three", vec!["B, what is said (gone)"]),
            ("A: one, A: two, A: three", "A: one, A: three", vec!["A, what is said (2) (gone)"]),
            ("A: one, C: three", "A: one, B: two, C: three", vec!["B, what is said (new)"]),
            ("A: one, A: two", "A: one, A: 2", vec!["A, what is said (2)"]),
            (
                "A: one, B: two, C: three",
                "A: one, C: 3",
                vec!["C, what is said", "B, what is said (gone)"],
            ),
            ("A: one, B: two", "A: two, B: one", vec![]),
            ("A: one, B: two", "A: one, New: 2", vec!["New, what is said"]),
            ("A: one, =b: two", "A: one, =c: two", vec!["c (new)", "b (gone)"]),
            ("=b: two", "=b: 2", vec!["b"]),
        ] {
            assert_eq!(changed(&blocks(old), &blocks(new)), told, "{old} → {new}");
        }
    }
}
