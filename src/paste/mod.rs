//! Old tabs in plain text, made into lessons.
//!
//! A text goes through in steps: `lines` tells rows of tab (`row`) from what is said about rows (`lines_beside`, `letters`,
//! `directions`, `remarks`, `sung`), from names of `sections`, `shapes` of chords and words; `settings` takes out
//! what a header says, each of its `parts` on its own (`tempo`; `capo` is one that may be in doubt, `meter` one that
//! counts may tell) and tells what went `unheeded`, `titles` the title out of its `frames`; `pieces` stacks the rows up with what is said about
//! them, `labels` tells their strings; `bars` lays the rows of a stack side by side and cuts them; `wrapped` joins
//! bars again that two lines share, `across` finds repeats that two riffs share; `legend` tells what letters mean,
//! `frets` reads what stands in a row (its `cells`, what is `around` a fret, and what was `found`); `typed_counts`
//! lays counts on their notes and `rhythm` guesses them from the spacing, `system` puts both together, `endings` sets those of repeats, `slots` finds each sign a
//! place, `signs` proves repeat signs, `unread` tells what has no place, and `block` writes a riff. `words` writes
//! all other lines as headings, changes (`chord_lines`), shapes or prose. Nothing is dropped, and every guess is marked
//! with a comment that begins with `guessed` and says what was guessed; `report` tells the author.

mod across;
mod around;
mod bars;
mod block;
mod capo;
mod cells;
mod chord_lines;
mod directions;
mod endings;
mod found;
mod frames;
mod frets;
mod labels;
mod legend;
mod letters;
mod lines;
mod lines_beside;
mod meter;
mod parts;
mod pieces;
mod remarks;
mod report;
mod rhythm;
mod row;
mod sections;
mod settings;
mod shapes;
mod signs;
mod slots;
mod sung;
mod system;
mod tempo;
mod titles;
mod typed_counts;
mod unheeded;
mod unread;
mod words;
mod wrapped;

use crate::neck::Tuning;
use legend::Legend;
use pieces::Piece;
use report::Made;

/// A lesson made of a plain text.
#[derive(Debug)]
pub struct Pasted {
    /// The lesson.
    pub text: String,
    /// What was made of the text, guessed in it and kept as words, for its author; a line each.
    pub report: Vec<String>,
    /// Whether there is music in it: a tab, chords or shapes.
    pub has_music: bool,
}

/// Makes a lesson of a plain text with tabs in it. `title` is its title where the text has none.
///
/// ```
/// use fretleaf::paste;
///
/// let made = paste::lesson("Slow Pier", "E|-0-3-5---|\nA|---------|\n");
/// assert!(made.has_music);
/// assert!(made.text.contains("\ntitle: Slow Pier\n"));
/// ```
pub fn lesson(title: &str, text: &str) -> Pasted {
    let mut lines = lines::read(&plain(text));
    let legend = Legend::read(&lines);
    let said = settings::take(&mut lines);
    let unheeded = unheeded::told(&lines, &said);
    let mut pieces = pieces::gather(lines);
    for piece in &mut pieces {
        if let Piece::Riff(stacks) = piece {
            wrapped::join(stacks);
        }
    }
    let stacks: Vec<_> = pieces::stacks(&pieces).collect();
    let told = labels::told(&stacks).filter(|_| said.tuning.is_none());
    let said_tuning = said.tuning.as_ref();
    let by_habit =
        said_tuning.is_some_and(|tuning| labels::are_by_habit(stacks.iter().copied(), tuning));
    let mut lesson = "---\n".to_string();
    if said.title.is_none() {
        lesson += &format!("# guessed: the title, from the file's name\ntitle: {title}\n");
    }
    lesson += &said.header();
    lesson += &unheeded;
    let (line, tuning) = match told {
        Some((line, tuning)) => (line, tuning),
        None => (String::new(), said.tuning.unwrap_or_else(Tuning::standard)),
    };
    lesson += &format!("{line}---\n");
    let held = words::Held { tuning: &tuning, meter: said.meter, has_capo: said.has_capo };
    let mut made = Made::default();
    for (piece, shared) in pieces.iter().zip(across::shared(&pieces)) {
        lesson.push('\n');
        match piece {
            Piece::Text(lines) => {
                lesson += &words::text(lines, &held, &mut made.words);
            }
            Piece::Riff(stacks) => {
                let riff = block::riff(stacks, shared, &tuning, by_habit, said.meter, &legend);
                lesson += &riff.text;
                made.riffs += 1;
                made.bars += riff.bars;
                lesson += &left(&riff.left, &mut made);
            }
        }
    }
    let report = made.report(&lesson);
    Pasted { text: lesson, report, has_music: made.has_music() }
}

/// Lines about a riff that its rows can't hold, as they stand.
fn left(lines: &[String], made: &mut Made) -> String {
    if lines.is_empty() {
        return String::new();
    }
    made.words.as_they_stand.extend(lines.iter().map(|line| line.trim().to_string()));
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    format!("\n{}", words::as_it_stands(&lines))
}

/// A text in which lines end and words are parted in one way: line ends of any kind, spaces of any width, no
/// signs without width.
fn plain(text: &str) -> String {
    let text = text
        .replace("\r\n", "\n")
        .replace(['\r', '\u{c}', '\u{b}', '\u{85}', '\u{2028}', '\u{2029}'], "\n");
    let invisible = |c: &char| {
        matches!(c, '\u{200b}' | '\u{2060}' | '\u{feff}' | '\u{ad}')
            || (c.is_control() && !matches!(c, '\n' | '\t'))
    };
    let spaced = |c: char| if c.is_whitespace() && !matches!(c, '\n' | '\t') { ' ' } else { c };
    text.chars().filter(|c| !invisible(c)).map(spaced).collect()
}

/// Whether a file is text of any kind: what has a zero byte, or other control characters in more than one
/// place of a hundred, is none. The share is assumed.
pub fn is_text(bytes: &[u8]) -> bool {
    let is_control = |byte: &&u8| matches!(**byte, 0x01..=0x08 | 0x0e..=0x1f);
    let controls = bytes.iter().filter(is_control).count();
    !bytes.contains(&0) && controls * 100 <= bytes.len()
}

/// The text of a file: UTF-8, or where it isn't, one character a byte as old files have it (ISO
/// 8859-1).
pub fn decoded(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.trim_start_matches('\u{feff}').to_string(),
        Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::blocks;
    use crate::checks::elaborate;
    use crate::findings::{Findings, Source, Weight};
    use crate::lesson::{self, world::MemoryWorld};
    use proptest::prelude::*;

    fn digits(text: &str) -> [usize; 10] {
        let mut counts = [0; 10];
        text.chars().filter_map(|c| c.to_digit(10)).for_each(|digit| counts[digit as usize] += 1);
        counts
    }

    fn faults(made: &str) -> Vec<String> {
        let mut findings = Findings::default();
        let source = Source::new("tab.md", made.as_bytes());
        elaborate(
            lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings),
            &mut findings,
        );
        let faults = findings.list().iter().filter(|found| found.weight == Weight::Fault);
        faults.map(|fault| format!("{}: {}", fault.rule.name, fault.message)).collect()
    }

    proptest! {
        #[test]
        fn no_digit_of_anything_is_lost(text in "[-0-9|hpbrsx/~()<>*:eEBGDA \\n\\t]{0,300}") {
            let made = digits(&lesson("A tab", &text).text);
            prop_assert!(digits(&text).iter().zip(made).all(|(given, made)| *given <= made));
        }

        #[test]
        fn plain_systems_pass_and_lose_nothing(
            rows in prop::collection::vec("\\|(-{1,3}(1?[0-9])?){4}-\\|(-{1,3}(1?[0-9])?){4}-\\|", 6),
        ) {
            let labelled: Vec<String> =
                rows.iter().zip(["e", "B", "G", "D", "A", "E"]).map(|(row, label)| format!("{label}{row}")).collect();
            let text = labelled.join("\n");
            let made = lesson("A tab", &text).text;
            prop_assert!(digits(&text).iter().zip(digits(&made)).all(|(given, made)| *given <= made));
            prop_assert_eq!(faults(&made), Vec::<String>::new(), "{}", made);
        }

        #[test]
        fn anything_makes_a_lesson_that_can_be_checked(text in any::<String>()) {
            faults(&lesson("A tab", &text).text);
        }
    }

    #[test]
    fn files_that_are_not_utf_8_are_read_by_the_byte() {
        assert_eq!(decoded(b"caf\xe9"), "caf\u{e9}");
        assert_eq!(decoded("\u{feff}\u{266f}".as_bytes()), "\u{266f}");
    }

    #[test]
    fn a_row_of_a_higher_string_behind_words_begins_a_system() {
        let text = "G|-0-2-|\nD|-2-0-|\n  D U\nback to the top:\ne|-0-|\nB|-0-|\nG|-0-|\nD|-2-|\n";
        let made = lesson("A tab", text).text;
        assert_eq!(made.matches("~~~ riff\n").count(), 2, "{made}");
        assert!(made.contains("pick    d u") && made.contains("back to the top:"), "{made}");
    }

    #[test]
    fn a_sign_with_dashes_beside_whole_rows_is_no_string() {
        let rows = ["e", "B", "G", "D", "A", "E"].map(|letter| format!("{letter}|-17-15-12-|\n"));
        let rows = rows.concat();
        for sign in [
            "  8va--------|",
            "   15ma--------|",
            "  8va------ loco",
            "   8vb-------|",
            "   C5--------|",
            "   1/2CV-----|",
            "   3-------3-----    (triplets)",
        ] {
            for text in [format!("{sign}\n{rows}"), format!("{rows}{sign}\n")] {
                let made = lesson("A tab", &text).text;
                let first = sign.trim().split('-').next().unwrap_or_default();
                assert!(made.contains(first), "{sign}: {made}");
                assert!(!made.contains("tuning") && faults(&made).is_empty(), "{sign}: {made}");
            }
        }
    }

    #[test]
    fn notes_may_stand_between_typed_counts() {
        let text = "   1   +   2   +   3   +   4   +\nG|-5---3-------------------------|\n\
                    D|---------5---3h5---3-----------|\n";
        let made = lesson("A tab", text).text;
        assert!(made.contains("count   1 + 2 +  a 3 e + 4 + |"), "{made}");
        assert!(made.contains("# guessed: the counts between"), "{made}");
    }

    #[test]
    fn a_gap_between_bars_is_no_bar() {
        for gap in ["|  |", "| |", "|     |"] {
            let text = format!("e|-0-2-{gap}-5-3-|\nB|-----{gap}-----|\n");
            let made = lesson("A tab", &text);
            assert!(made.report[0].ends_with("with 2 bars."), "{made:?}");
            assert!(made.text.contains("guessed: a gap"), "{made:?}");
        }
    }

    #[test]
    fn chords_and_endings_may_stand_on_one_line() {
        let rows = "e|:-0---|-2---:|-3---|\nB|:-0---|-2---:|-3---|\n";
        let made = lesson("A tab", &format!("   Am    |1.    |2.\n{rows}")).text;
        assert!(made.contains("ending") && made.contains("chord   |:Am"), "{made}");
    }

    #[test]
    fn a_second_line_of_fingers_and_words_above_are_told_with_their_bars() {
        let rows = "e|-0-0-0-|-2-2-2-|\nB|-0-----|-2-----|\n";
        let made =
            lesson("A tab", &format!("       full 1/2\n{rows}   a m a   a m a\n   p       p\n"))
                .text;
        for told in ["beneath bar 1, beat 1: p", "beneath bar 2, beat 1: p", "above bar 1"] {
            assert!(made.contains(told), "{told}: {made}");
        }
    }

    #[test]
    fn words_behind_a_rule_stay() {
        let made = lesson("A tab", "e|-0-|\nB|-0-|\n\n----- played 0 times\n\nla\n");
        assert!(made.text.contains("played 0 times"), "{made:?}");
    }

    #[test]
    fn waves_behind_the_last_bar_line_are_no_bar() {
        let made = lesson("A tab", "e|-0-1-3-|~~~~\nB|-------|\nG|-0-----|\n");
        assert!(made.report[0].ends_with("1 bar."), "{made:?}");
        assert!(made.text.contains("3~"), "{made:?}");
    }

    #[test]
    fn long_lines_take_no_time() {
        let row = "|-7-".repeat(50_000);
        let uneven = "|--7--".repeat(40_000);
        let text =
            format!("e{row}\nB{uneven}\nG{row}\nD{row}\nA{row}\nE{row}\n{}", "1".repeat(1 << 20));
        let made = lesson("A tab", &text).text;
        assert!(digits(&text).iter().zip(digits(&made)).all(|(given, made)| *given <= made));
    }
}
