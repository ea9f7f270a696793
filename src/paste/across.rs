//! Repeats that begin in one riff and end in a later one of the same part: what parts the rows may be a line
//! that can't be read.

use super::bars;
use super::lines::Kind;
use super::pieces::{Piece, Stack};

/// What a riff has of repeats that it shares with others.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Shared {
    /// Its last repeat ends in a later riff.
    pub begins: bool,
    /// Its first repeat begins in an earlier riff.
    pub ends: bool,
}

impl Shared {
    /// What is guessed of it, in words.
    pub fn guesses(self) -> impl Iterator<Item = &'static str> {
        let begins = "the repeat that begins here ends in the next tab: make one tab of both";
        let ends = "the repeat that ends here begins in the tab before: make one tab of both";
        let said = [(self.begins, begins), (self.ends, ends)];
        said.into_iter().filter(|(is_so, _)| *is_so).map(|(_, words)| words)
    }
}

/// What each piece shares of repeats; the name of a section parts one riff from the next.
pub(super) fn shared(pieces: &[Piece]) -> Vec<Shared> {
    let mut all = vec![Shared::default(); pieces.len()];
    let mut open: Option<usize> = None;
    for (index, piece) in pieces.iter().enumerate() {
        let stacks = match piece {
            Piece::Text(lines) => {
                let parted = lines.iter().any(|line| matches!(line.kind, Kind::Section(_)));
                open = open.filter(|_| !parted);
                continue;
            }
            Piece::Riff(stacks) => stacks,
        };
        let signs: Vec<Sign> = stacks.iter().flat_map(signs).collect();
        if let Some(begun) = open.filter(|_| signs.first() == Some(&Sign::Ends)) {
            all.get_mut(begun).into_iter().for_each(|shared| shared.begins = true);
            all.get_mut(index).into_iter().for_each(|shared| shared.ends = true);
        }
        match signs.last() {
            Some(Sign::Begins) => open = Some(index),
            Some(Sign::Ends) => open = None,
            None => {}
        }
    }
    all
}

/// A repeat sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Begins,
    Ends,
}

/// The repeat signs of a system, in their order.
fn signs(stack: &Stack) -> Vec<Sign> {
    let cut = bars::cut(&stack.rows);
    let lines = std::iter::once(cut.start).chain(cut.bars.iter().map(|bar| bar.end));
    let each = lines.flat_map(|line| {
        let ends = line.repeat_end.then_some(Sign::Ends);
        ends.into_iter().chain(line.repeat_start.then_some(Sign::Begins))
    });
    each.chain(stack.cues.closes.iter().map(|_| Sign::Ends)).collect()
}
