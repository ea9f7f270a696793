//! Old tabs in plain text, made into lessons.
//!
//! A text goes through in steps: `lines` tells rows of tab from names of chords and from words,
//! `pieces` stacks the rows up, `bars` lays the rows of a stack side by side and cuts them,
//! `frets` reads what stands in a row, `rhythm` guesses counts from the spacing, and `block` writes
//! a riff. `words` keeps everything else as text. Nothing is dropped, and every guess is marked with a
//! comment that begins with `guessed`.

mod bars;
mod block;
mod frets;
mod lines;
mod pieces;
mod rhythm;
mod words;

use crate::neck::Tuning;
use pieces::Piece;

/// Makes a lesson of a plain text with tabs in it.
pub fn lesson(title: &str, text: &str) -> String {
    // A carriage return that stands alone ends a line, as it does in a lesson.
    let text = &text.replace("\r\n", "\n").replace('\r', "\n");
    let lines = lines::read(text);
    let pieces = pieces::gather(lines);
    let said = words::settings(text);
    let bass = pieces::all_for_bass(&pieces);
    let mut lesson = format!("---\ntitle: {title}\n");
    if bass && said.tuning.is_none() {
        lesson += "# guessed: the tuning, from four rows\ntuning: E1 A1 D2 G2\n";
    }
    lesson += &said.header();
    lesson += "---\n";
    let tuning =
        said.tuning.unwrap_or_else(|| if bass { bass_tuning() } else { Tuning::standard() });
    for piece in &pieces {
        lesson.push('\n');
        lesson += &match piece {
            Piece::Words(lines) => words::prose(lines),
            Piece::Riff(stacks) => block::riff(stacks, &tuning, said.meter),
        };
    }
    lesson
}

fn bass_tuning() -> Tuning {
    Tuning::parse("E1 A1 D2 G2").unwrap_or_else(|_| Tuning::standard())
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
    use crate::lesson::folder::MemoryFolder;
    use crate::proof::Weight;
    use proptest::prelude::*;

    fn digits(text: &str) -> [usize; 10] {
        let mut counts = [0; 10];
        text.chars().filter_map(|c| c.to_digit(10)).for_each(|digit| counts[digit as usize] += 1);
        counts
    }

    fn faults(lesson: &str) -> Vec<String> {
        let checked = crate::check("tab.md", lesson.as_bytes(), &MemoryFolder::default());
        let faults = checked.findings.iter().filter(|found| found.weight == Weight::Fault);
        faults.map(|fault| format!("{}: {}", fault.rule.name, fault.message)).collect()
    }

    proptest! {
        #[test]
        fn no_digit_of_anything_is_lost(text in "[-0-9|hpbrsx/~()<>*:eEBGDA \\n\\t]{0,300}") {
            let made = digits(&lesson("A tab", &text));
            prop_assert!(digits(&text).iter().zip(made).all(|(given, made)| *given <= made));
        }

        #[test]
        fn plain_systems_pass_and_lose_nothing(
            rows in prop::collection::vec("\\|(-{1,3}(1?[0-9])?){4}-\\|(-{1,3}(1?[0-9])?){4}-\\|", 6),
        ) {
            let labelled: Vec<String> =
                rows.iter().zip(["e", "B", "G", "D", "A", "E"]).map(|(row, label)| format!("{label}{row}")).collect();
            let text = labelled.join("\n");
            let made = lesson("A tab", &text);
            prop_assert!(digits(&text).iter().zip(digits(&made)).all(|(given, made)| *given <= made));
            prop_assert_eq!(faults(&made), Vec::<String>::new(), "{}", made);
        }

        #[test]
        fn anything_makes_a_lesson_that_can_be_checked(text in any::<String>()) {
            faults(&lesson("A tab", &text));
        }
    }

    #[test]
    fn files_that_are_not_utf_8_are_read_by_the_byte() {
        assert_eq!(decoded(b"caf\xe9"), "caf\u{e9}");
        assert_eq!(decoded("\u{feff}\u{266f}".as_bytes()), "\u{266f}");
    }

    #[test]
    fn long_lines_take_no_time() {
        let row = "|-7-".repeat(50_000);
        let uneven = "|--7--".repeat(40_000);
        let text =
            format!("e{row}\nB{uneven}\nG{row}\nD{row}\nA{row}\nE{row}\n{}", "1".repeat(1 << 20));
        let made = lesson("A tab", &text);
        assert!(digits(&text).iter().zip(digits(&made)).all(|(given, made)| *given <= made));
    }
}
