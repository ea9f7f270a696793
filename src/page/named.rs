//! Words that the program puts together, in which chords' names have their extensions raised.

use super::paragraph::{Dress, Passage};
use crate::blocks::figure::styled;
use crate::ink::{Pt, Style};
use crate::theory::Printed;

/// Adds words to a passage; those that are one of the names, whatever punctuation stands behind them, are set
/// as the name is. The smallest size of raised words is given with the style.
pub fn push(
    passage: &mut Passage,
    words: &str,
    (style, least_raised): (Style, Pt),
    names: &[Printed],
) {
    if names.is_empty() {
        return passage.push(words, Dress::plain(style));
    }
    for word in words.split_inclusive(' ') {
        let bare = word.trim_end_matches([' ', ',', ':', ';']);
        match names.iter().find(|name| name.text() == bare) {
            Some(name) => {
                printed(passage, name, (style, least_raised));
                let behind = word.get(bare.len()..).unwrap_or_default();
                passage.push(behind, Dress::plain(style));
            }
            None => passage.push(word, Dress::plain(style)),
        }
    }
}

/// Adds a musical word to a passage.
pub fn printed(passage: &mut Passage, word: &Printed, (style, least_raised): (Style, Pt)) {
    for (words, style) in styled(word, style, least_raised) {
        passage.push(words, Dress::plain(style));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Face, Fonts, pt};
    use crate::page::template::LineEnds;
    use crate::theory::Chord;

    #[test]
    fn names_of_chords_have_their_extensions_raised() {
        let fonts = Fonts::new();
        let names: Vec<Printed> = ["Gmaj7", "B7b9"]
            .iter()
            .filter_map(|name| Chord::parse(name).ok())
            .map(|c| c.printed())
            .collect();
        let mut passage = Passage::default();
        let style = Style::new(Face::Serif, pt(20.0));
        push(&mut passage, "Ways to hold Gmaj7, B7♭9 and Gmaj7s", (style, pt(8.0)), &names);
        let lines = passage.shape(&fonts).lines(pt(900.0), LineEnds::Ragged, &fonts);
        let runs = lines.iter().flat_map(|line| &line.runs).flat_map(|run| &run.text.runs);
        let high = runs.filter(|run| run.style.rise > Pt::ZERO);
        assert_eq!(high.map(|run| run.word.characters()).collect::<Vec<_>>(), ["maj7", "7♭9"]);
    }
}
