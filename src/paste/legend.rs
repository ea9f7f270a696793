//! What an old tab's own legend says of the letter `t`: a trill, or a tap of the picking hand.

use super::lines::Line;

/// The letters that a legend explains.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Legend {
    trills: Vec<char>,
    taps: Vec<char>,
}

/// What the letter `t` or `T` means in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Meaning {
    Tap,
    Trill,
    /// A tap, which nobody said.
    Unsaid,
}

impl Legend {
    /// What lines say behind a letter that stands alone: `t = trill`, `T  tap with right hand`.
    pub fn read(lines: &[Line]) -> Legend {
        let mut legend = Legend::default();
        for line in lines {
            let words: Vec<&str> = line
                .text
                .split(|c: char| !c.is_alphabetic())
                .filter(|word| !word.is_empty())
                .collect();
            for two in words.windows(2) {
                let [letter @ ("t" | "T"), meaning] = two else { continue };
                let meaning = meaning.to_lowercase();
                if meaning.starts_with("trill") {
                    legend.trills.extend(letter.chars());
                } else if meaning.starts_with("tap") {
                    legend.taps.extend(letter.chars());
                }
            }
        }
        legend
    }

    /// What a letter means. A capital is the usual sign of a tap.
    pub fn meaning(&self, letter: char) -> Meaning {
        match letter {
            letter if self.trills.contains(&letter) => Meaning::Trill,
            letter if letter == 'T' || self.taps.contains(&letter) => Meaning::Tap,
            _ => Meaning::Unsaid,
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::paste;

    #[test]
    fn a_small_t_is_what_the_legend_says() {
        for (legend, cells, tapped, told) in [
            ("", "-5-t8-", true, "# guessed: `t` is a tap"),
            ("t = trill, T = tap", "-5-t8-", false, "# not read, kept here: t (bar 1"),
            ("t = trill, T = tap", "-5-T8-", true, ""),
            ("t: tapped", "-5-t8-", true, ""),
            ("", "-5-T8-", true, ""),
        ] {
            let lesson =
                paste::lesson("A tab", &format!("{legend}\n\ne|{cells}|\nB|-5-5--|\n")).text;
            assert_eq!(lesson.contains("5t-"), tapped, "{legend} {cells}: {lesson}");
            let marks: Vec<&str> =
                lesson.lines().filter(|l| l.contains("`t`") || l.contains("not read")).collect();
            assert_eq!(marks.is_empty(), told.is_empty(), "{legend} {cells}: {lesson}");
            assert!(marks.iter().all(|mark| mark.starts_with(told)), "{marks:?}");
        }
    }
}
