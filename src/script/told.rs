//! What a cue is called where it is read: the figure by its number and caption, as on the handout, and not by the
//! name that it has among the lesson's blocks.

use super::page::curved;
use super::{Cue, CueKind};
use crate::blocks::Block;
use crate::blocks::say::Shown;
use crate::words::Lang;
use crate::words::paper::script;
use serde::Serialize;
use std::ops::Range;

/// The block that a cue names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// Where the name stands in the cue's words, with the article before it.
    place: Range<usize>,
    /// What the figure is called on the handout, by its number.
    figure: Option<String>,
    /// Its caption.
    caption: String,
}

/// A cue's words in pieces, in order.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub struct Told {
    /// What is to be done.
    pub verb: String,
    /// Which figure, which bars of it, or which chord.
    pub which: String,
    /// The figure's caption, with a comma where something follows.
    pub caption: String,
    /// How.
    pub how: String,
}

impl Named {
    /// Finds a block's name in a cue's words; `None` where it isn't there, or has no caption to be called by.
    pub(super) fn of(words: &str, name: &str, block: &Block, lang: Lang) -> Option<Named> {
        let place = place(words, name)?;
        let figure = block.number.map(|number| lang.said(&script::figure(number)).into_owned());
        Some(Named { place, figure, caption: block.caption.clone()? })
    }
}

impl Cue {
    /// Its words as they are read, with curved quotes.
    pub fn told(&self) -> Told {
        let verb = self.words.split_whitespace().next().unwrap_or_default();
        let behind = self.words.get(verb.len()..).unwrap_or_default();
        let verb = verb.to_owned();
        if let CueKind::Show(Shown::Shape { chord, .. }) = &self.kind {
            let (which, none) = (chord.printed().text(), String::new());
            return Told { verb, which, caption: none.clone(), how: none };
        }
        let Some(named) = &self.named else {
            let (which, none) = (curved(behind.trim()), String::new());
            return Told { verb, which: self.timed(which), caption: none.clone(), how: none };
        };
        let before = self.words.get(verb.len()..named.place.start).unwrap_or_default().trim();
        let how = self.words.get(named.place.end..).unwrap_or_default();
        let how = curved(how.trim_start_matches([',', ' ']).trim_end());
        let figure = named.figure.as_ref().map(|figure| format!("{figure},"));
        let which: Vec<&str> = [before].into_iter().chain(figure.as_deref()).collect();
        let which = which.join(" ").trim().to_owned();
        let comma = if how.is_empty() { "" } else { "," };
        Told {
            verb,
            which,
            caption: curved(&format!("{}{comma}", named.caption)),
            how: self.timed(how),
        }
    }

    /// Words that end with `slowly` have the tempo behind it, since a count-in is set by a number.
    fn timed(&self, words: String) -> String {
        match &self.slowly {
            Some(tempo) => format!("{words}, {tempo}"),
            None => words,
        }
    }
}

/// Where a name stands behind the first word, with an article before it.
fn place(words: &str, name: &str) -> Option<Range<usize>> {
    let name = name.to_lowercase();
    let mut at = words.find(char::is_whitespace)?;
    for word in words.get(at..)?.split_inclusive(|c: char| c.is_whitespace() || c == ',') {
        let bare = word.trim_end_matches(|c: char| c.is_whitespace() || c == ',');
        if bare.to_lowercase() == name {
            let before = words.get(..at)?.trim_end();
            let article = before.len().checked_sub(" the".len());
            let article = article.filter(|start| {
                before.get(*start..).is_some_and(|word| word.eq_ignore_ascii_case(" the"))
            });
            return Some(article.map_or(at, |start| start + 1)..at + bare.len());
        }
        at += word.len();
    }
    None
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::script::CueKind;

    fn told(words: &str, number: Option<u32>) -> String {
        let named = place(words, "find-g").map(|place| {
            let caption = "Mark every G".to_owned();
            let figure = number.map(script::figure);
            Named { place, figure, caption }
        });
        let told = Cue { words: words.to_owned(), kind: CueKind::Free, named, slowly: None }.told();
        [told.verb, told.which, told.caption, told.how].join("|")
    }

    #[test]
    fn a_block_is_called_by_its_figure() {
        for (words, number, pieces) in [
            ("show find-g", Some(1), "show|figure\u{a0}1,|Mark every G|"),
            ("show the Find-G", Some(1), "show|figure\u{a0}1,|Mark every G|"),
            ("show find-g", None, "show||Mark every G|"),
            (
                "play bars 1 to 2 of the find-g at 80 twice",
                Some(12),
                "play|bars 1 to 2 of figure\u{a0}12,|Mark every G,|at 80 twice",
            ),
            ("play find-g, each 2 s", Some(3), "play|figure\u{a0}3,|Mark every G,|each 2 s"),
            ("show find-gs", Some(1), "show|find-gs||"),
            ("camera", Some(1), "camera|||"),
        ] {
            assert_eq!(told(words, number), pieces, "{words}");
        }
    }
}
