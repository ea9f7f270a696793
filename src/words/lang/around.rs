//! Words around music that is kept as it is.

use super::Lang;
use crate::theory::Printed;

/// What stands for the first thing that is kept: of Unicode's private letters (plane 15), which nobody types.
const FIRST: u32 = 0xF_0000;

/// English words among which things stand that are kept as they are.
#[derive(Debug, Default)]
pub struct Around {
    /// The words, a letter for each thing.
    pub words: String,
    kept: Vec<Printed>,
}

impl Around {
    /// Adds a thing that is kept.
    pub fn keep(&mut self, thing: Printed) {
        let letter = u32::try_from(self.kept.len()).ok().and_then(|at| char::from_u32(FIRST + at));
        if let Some(letter) = letter {
            self.words.push(letter);
            self.kept.push(thing);
        }
    }

    /// The words of a checked phrase in a language, the things in their places.
    pub fn phrase_in(&self, lang: Lang) -> Printed {
        self.filled(&lang.phrase(&self.words))
    }

    /// Words in a language, the things in their places.
    pub fn filled(&self, said: &str) -> Printed {
        let (mut printed, mut plain) = (Printed::default(), String::new());
        for letter in said.chars() {
            let at = u32::from(letter).checked_sub(FIRST).and_then(|at| usize::try_from(at).ok());
            match at.and_then(|at| self.kept.get(at)) {
                Some(thing) => {
                    printed = printed.then(std::mem::take(&mut plain), false).with(thing.clone());
                }
                None => plain.push(letter),
            }
        }
        printed.then(plain, false)
    }
}
