//! What the pictures of a script are called: by what they show and not by their order, so that one more
//! cue renames none that lies in a cutting program already.

use super::Script;
use crate::blocks::say::Shown;
use crate::checks::Elaborated;
use std::collections::{BTreeMap, BTreeSet};
use unicode_normalization::UnicodeNormalization;

/// The most letters of a block's name in a file's. Assumed: with size and ending it stays below the 255
/// bytes that file systems take, whatever the letters.
const LONGEST: usize = 48;
/// Names that Windows keeps for devices, whatever their ending ("Naming Files, Paths, and Namespaces").
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
/// The same with a digit behind.
const PORTS: [&str; 2] = ["com", "lpt"];

/// What a picture shows, to be told from others.
type Key = (usize, Option<(u32, u32)>, Option<String>);

/// The pictures of a script.
#[derive(Debug, Default)]
pub struct Pictures {
    /// Each once, in order of use.
    pub all: Vec<Picture>,
    /// Those that cues show, as indices into `all`, by the cues' places among the items.
    of_cues: BTreeMap<usize, usize>,
}

/// A picture.
#[derive(Debug)]
pub struct Picture {
    /// Its file's name without an ending.
    pub name: String,
    /// What is on it.
    pub shows: Shown,
    /// The names of the chords on it, each as a picture of its own; none where there are not several.
    pub each: Vec<String>,
}

/// The pictures that the cues of a script show.
pub fn pictures(lesson: &Elaborated<'_>, script: &Script) -> Pictures {
    let mut pictures = Pictures::default();
    let (mut known, mut taken) = (BTreeMap::new(), BTreeSet::new());
    for (item, shown) in script.shown() {
        let index = *known.entry(key(shown)).or_insert_with(|| {
            let name = free(&name(lesson, shown), &mut taken);
            let chords = super::figures::one_by_one(lesson, shown).len();
            let each = (1..=chords).map(|number| free(&format!("{name}-{number}"), &mut taken));
            let each = each.collect();
            pictures.all.push(Picture { name, shows: shown.clone(), each });
            pictures.all.len() - 1
        });
        pictures.of_cues.insert(item, index);
    }
    pictures
}

impl Pictures {
    /// The name of what a cue shows, by the cue's place among the items.
    pub fn of_cue(&self, item: usize) -> Option<&str> {
        let picture = self.all.get(*self.of_cues.get(&item)?)?;
        Some(&picture.name)
    }
}

fn key(shown: &Shown) -> Key {
    match shown {
        Shown::Block { index, bars } => (*index, *bars, None),
        Shown::Shape { index, chord } => (*index, None, Some(chord.to_string())),
    }
}

/// What a picture is called: its block and its bars, or its chord, in letters that every file system takes.
fn name(lesson: &Elaborated<'_>, shown: &Shown) -> String {
    let (Shown::Block { index, .. } | Shown::Shape { index, .. }) = shown;
    let fence = lesson.lesson.fences.get(*index);
    let block = fence.and_then(|fence| fence.name.as_ref());
    let block = block.map(|name| name.value.to_lowercase().nfc().take(LONGEST).collect::<String>());
    let part = match shown {
        Shown::Block { bars: None, .. } => None,
        Shown::Block { bars: Some((first, last)), .. } if first == last => {
            Some(format!("bar-{first}"))
        }
        Shown::Block { bars: Some((first, last)), .. } => Some(format!("bars-{first}-{last}")),
        Shown::Shape { chord, .. } => Some(plain(&chord.to_string())),
    };
    let words: Vec<String> = block.into_iter().chain(part).collect();
    undeviced(words.join("-"))
}

/// A chord's symbol in letters, digits and hyphens: `E/G#` as `E-G-sharp`.
fn plain(symbol: &str) -> String {
    let words = symbol.replace('#', "-sharp-").replace('°', "dim");
    let parts = words.split(|c: char| !c.is_alphanumeric() && c != '+');
    parts.filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

/// A name that is none of a device.
fn undeviced(name: String) -> String {
    let is_port = PORTS.iter().any(|port| {
        name.strip_prefix(port)
            .is_some_and(|rest| rest.len() == 1 && rest.starts_with(|c: char| c.is_ascii_digit()))
    });
    if is_port || DEVICES.contains(&name.as_str()) { format!("{name}-figure") } else { name }
}

/// A name that no other has on systems that don't tell capital letters from small ones, taken from now on.
fn free(name: &str, taken: &mut BTreeSet<String>) -> String {
    let more = (2_usize..).map(|number| format!("{name}-{number}"));
    let mut names = std::iter::once(name.to_owned()).chain(more);
    let free = names.find(|name| taken.insert(name.to_lowercase()));
    free.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn symbols_are_plain() {
        for (symbol, name) in [
            ("Am7", "Am7"),
            ("C#m7", "C-sharp-m7"),
            ("E/G#", "E-G-sharp"),
            ("E7(b9,#11)", "E7-b9-sharp-11"),
            ("C+", "C+"),
            ("Bb", "Bb"),
        ] {
            assert_eq!(plain(symbol), name);
        }
    }

    #[test]
    fn no_name_is_a_devices() {
        for (name, other) in [
            ("con", "con-figure"),
            ("com1", "com1-figure"),
            ("comb", "comb"),
            ("console", "console"),
        ] {
            assert_eq!(undeviced(name.to_owned()), other);
        }
    }

    #[test]
    fn names_that_would_collide_are_numbered() {
        let mut taken = BTreeSet::new();
        let names = ["high", "high-2", "AM7", "Am7", "High", "high"];
        let free: Vec<String> = names.iter().map(|name| free(name, &mut taken)).collect();
        assert_eq!(free, ["high", "high-2", "AM7", "Am7-2", "High-3", "high-4"]);
    }
}
