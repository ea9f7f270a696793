//! What the pieces of the pages are to a reader who can't see them: the tree of parts, and the
//! levels of headings.

use crate::ink::{Part, PartId, Role};

/// The document's parts while they are gathered.
#[derive(Debug, Default)]
pub struct Parts {
    list: Vec<Part>,
}

impl Parts {
    /// Adds a part, within another or at the outermost level.
    pub fn add(&mut self, role: Role, parent: Option<PartId>) -> PartId {
        self.add_with_words(role, parent, "")
    }

    /// Adds a part that is described in words.
    pub fn add_with_words(&mut self, role: Role, parent: Option<PartId>, words: &str) -> PartId {
        self.list.push(Part { role, parent, words: words.to_owned() });
        PartId(self.list.len() - 1)
    }

    /// All parts, in reading order.
    pub fn into_list(self) -> Vec<Part> {
        self.list
    }
}

/// Gives headings levels of which none is left out on the way down, as PDF/UA-1 (ISO 14289-1, 7.4)
/// asks, whatever levels the author wrote. The title is level 1.
#[derive(Debug, Default)]
pub struct Outline {
    /// The written levels of the headings above the current place.
    above: Vec<u8>,
}

impl Outline {
    /// The level on paper of the next heading, 2 to 6.
    pub fn next(&mut self, written: u8) -> u8 {
        self.above.retain(|level| *level < written);
        self.above.push(written);
        u8::try_from(self.above.len() + 1).unwrap_or(6).min(6)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_level_is_left_out() {
        for (written, on_paper) in [
            (vec![1, 2, 3], vec![2, 3, 4]),
            (vec![2, 4, 3, 2], vec![2, 3, 3, 2]),
            (vec![6, 1, 6], vec![2, 2, 3]),
            (vec![1, 2, 3, 4, 5, 6], vec![2, 3, 4, 5, 6, 6]),
        ] {
            let mut outline = Outline::default();
            let levels: Vec<u8> = written.iter().map(|level| outline.next(*level)).collect();
            assert_eq!(levels, on_paper, "{written:?}");
        }
    }
}
