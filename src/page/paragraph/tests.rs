//! Tests of paragraphs.

use super::*;
use crate::ink::Face;
use crate::ink::bidi::Reading;

const STYLE: Style = Style::new(Face::Serif, pt(10.0));

fn lines_of(passage: &Passage, measure: f32, ends: LineEnds) -> (Vec<Line>, Vec<String>) {
    let fonts = Fonts::new();
    let lines = passage.shape(&fonts).lines(pt(measure), ends, &fonts);
    let words = |line: &Line| line.runs.iter().map(|run| run.text.characters()).collect();
    let words = lines.iter().map(words).collect();
    (lines, words)
}

fn prose() -> String {
    "Let the thumb rest behind the neck and keep the wrist low while the fingers fall. ".repeat(9)
}

#[test]
fn no_line_is_wider_than_the_measure() {
    for ends in [LineEnds::Justified, LineEnds::Ragged] {
        for measure in [3.0, 30.0, 110.0, 400.0] {
            let passage = Passage::plain(&prose(), STYLE);
            let (lines, words) = lines_of(&passage, measure, ends);
            let widest = lines.iter().map(|line| line.width.0).fold(0.0, f32::max);
            assert!(widest <= measure.max(10.0) + 0.05, "{widest} in {measure}, {ends:?}");
            assert_eq!(words.concat(), prose());
        }
    }
}

#[test]
fn justified_lines_reach_the_margin() {
    let (lines, _) = lines_of(&Passage::plain(&prose(), STYLE), 330.0, LineEnds::Justified);
    let (last, full) = lines.split_last().unwrap_or((&lines[0], &[]));
    assert!(full.len() > 5);
    assert!(full.iter().all(|line| (line.width.0 - 330.0).abs() < 0.1), "{full:?}");
    assert!(last.width.0 < 330.0);
}

#[test]
fn wrapped_lines_end_with_their_space() {
    let (_, words) = lines_of(&Passage::plain(&prose(), STYLE), 120.0, LineEnds::Ragged);
    let (_, wrapped) = words.split_last().unwrap_or((&words[0], &[]));
    assert!(wrapped.len() > 10);
    assert!(wrapped.iter().all(|line| line.ends_with(' ')), "{wrapped:?}");
}

#[test]
fn musical_words_stay_whole() {
    let mut passage = Passage::default();
    let music = Dress { ends: Ends::Spaces, ..Dress::plain(STYLE) };
    for _ in 0..40 {
        passage.push("A", music);
        passage.push("7-13/C♯", Dress { style: Style { rise: pt(3.0), ..STYLE }, ..music });
        passage.push(" ", Dress::plain(STYLE));
    }
    let (_, words) = lines_of(&passage, 77.0, LineEnds::Ragged);
    assert!(words.len() > 10);
    assert!(words.iter().all(|line| line.trim_end().ends_with("A7-13/C♯")), "{words:?}");
}

#[test]
fn lines_end_where_they_are_told_to() {
    let mut passage = Passage::plain("one", STYLE);
    passage.end_line(Dress::plain(STYLE));
    passage.push("two  and\tthree\u{7}\u{ad} ", Dress::plain(STYLE));
    let (_, words) = lines_of(&passage, 300.0, LineEnds::Justified);
    assert_eq!(words, ["one ", "two and three "]);
}

#[test]
fn short_phrases_stay_on_one_line() {
    let phrase = Dress { ends: Ends::Spaces, phrase: Some(0), ..Dress::plain(STYLE) };
    let code = Dress::plain(Style { face: Face::Mono, ..STYLE });
    for dress in [phrase, code] {
        for words in 1..40 {
            let mut passage = Passage::plain(&"and so on ".repeat(words), STYLE);
            passage.push("A = A C E", dress);
            passage.push(", and then again to the end of it all", Dress::plain(STYLE));
            let (_, lines) = lines_of(&passage, 200.0, LineEnds::Ragged);
            assert!(lines.iter().any(|line| line.contains("A = A C E,")), "{lines:?}");
        }
        // A long one is parted, so that no line is left half empty for it.
        let mut passage = Passage::plain("this is what they are: ", STYLE);
        passage.push("A B C D E F G A B C D E F G A B C", dress);
        let (_, lines) = lines_of(&passage, 150.0, LineEnds::Ragged);
        assert!(lines[0].contains("A B C"), "{lines:?}");
    }
}

#[test]
fn a_short_phrase_is_parted_where_its_line_would_have_holes() {
    let phrase = Dress { ends: Ends::Spaces, phrase: Some(0), ..Dress::plain(STYLE) };
    let mut parted = 0;
    for measure in 300_u16..360 {
        let mut passage = Passage::plain(&"melodies unaccompanied ".repeat(6), STYLE);
        passage.push("D♯ is the third of B", phrase);
        passage.push(", and then again to the end of it all", Dress::plain(STYLE));
        let (_, lines) = lines_of(&passage, measure.into(), LineEnds::Justified);
        parted += usize::from(!lines.iter().any(|line| line.contains("D♯ is the third of B,")));
        for decent in ["D♯ is", "of B,"] {
            assert!(lines.iter().any(|line| line.contains(decent)), "{lines:?}");
        }
    }
    assert!(parted > 0);
}

#[test]
fn a_line_is_stretched_to_the_margin_or_not_at_all() {
    let long = "unaccompaniedmelodies of a ".repeat(12);
    let unstretched = |line: &Line| {
        let words: String = line.runs.iter().map(|run| run.text.characters()).collect();
        Text::set(&Fonts::new(), words.trim_end(), STYLE).width
    };
    for measure in 200_u16..300 {
        let measure = f32::from(measure);
        let (lines, _) = lines_of(&Passage::plain(&long, STYLE), measure, LineEnds::Justified);
        for line in lines.iter().filter(|line| line.width.0 < measure - 0.1) {
            assert!((line.width - unstretched(line)).0 < 1.0, "{measure}: {line:?}");
        }
    }
}

#[test]
fn the_last_line_is_no_lonely_word() {
    let fonts = Fonts::new();
    let words = "Let the thumb rest behind the neck and keep the wrist quite low while you try it";
    let all = Text::set(&fonts, words, STYLE).width;
    let last = Text::set(&fonts, " it", STYLE).width;
    // The measure holds all but the last word on three lines.
    let measure = (all - last).0 / 3.0 + 12.0;
    for ends in [LineEnds::Justified, LineEnds::Ragged] {
        let (_, lines) = lines_of(&Passage::plain(words, STYLE), measure, ends);
        assert!(lines[lines.len() - 1].contains(' '), "{lines:?}");
    }
}

#[test]
fn giant_word_is_cut() {
    let giant = "x".repeat(100_000);
    let (lines, words) = lines_of(&Passage::plain(&giant, STYLE), 200.0, LineEnds::Justified);
    assert!(lines.iter().all(|line| line.width.0 <= 200.05));
    assert_eq!(words.concat(), giant);
}

#[test]
fn code_is_cut_behind_spaces() {
    let fonts = Fonts::new();
    let style = Style::new(Face::Mono, pt(10.0));
    let letter = Text::set(&fonts, "m", style).width;
    for (line, parts) in [
        ("", vec![""]),
        ("tune down now", vec!["tune ", "down now"]),
        ("tune down nowhere", vec!["tune ", "down ", "nowhere"]),
        ("0123456789", vec!["01234567", "89"]),
        ("a 23456789", vec!["a 234567", "89"]),
    ] {
        assert_eq!(cut_to_fit(line, style, letter * 8.1, &fonts), parts, "{line}");
    }
}

/// The words of a line with their places, from the left.
fn from_the_left(line: &Line) -> Vec<String> {
    let runs = line
        .runs
        .iter()
        .flat_map(|run| run.text.runs.iter().map(|word| (run.x + word.x, word.word.characters())));
    let mut words: Vec<(Pt, String)> = runs.filter(|(_, word)| word != " ").collect();
    words.sort_by(|(a, _), (b, _)| a.0.total_cmp(&b.0));
    words.into_iter().map(|(_, word)| word.trim().to_owned()).collect()
}

#[test]
fn words_from_the_right_stand_in_their_order() {
    for (words, order) in [
        ("say שלום עולם now", ["say", "עולם", "שלום", "now"]),
        ("say מרחבא, 12 גיטרה", ["say", "גיטרה", "12", "מרחבא,"]),
        ("say مرحبا بالعالم now", ["say", "بالعالم", "مرحبا", "now"]),
        ("שלום and then עולם", ["עולם", "and", "then", "שלום"]),
    ] {
        for ends in [LineEnds::Justified, LineEnds::Ragged] {
            let (lines, read) = lines_of(&Passage::plain(words, STYLE), 400.0, ends);
            assert_eq!(read, [words], "{words}");
            let found: Vec<String> = lines.iter().flat_map(from_the_left).collect();
            let joined: Vec<String> =
                found.join(" ").replace(" , ", ", ").split(' ').map(str::to_owned).collect();
            assert_eq!(joined.len(), order.len(), "{found:?}");
            assert_eq!(joined, order, "{words}");
        }
    }
}

#[test]
fn lines_with_words_from_the_right_fill_the_measure() {
    let words = "Let the thumb rest, שלום עולם, behind the neck and keep the wrist low. ".repeat(9);
    let (lines, read) = lines_of(&Passage::plain(&words, STYLE), 330.0, LineEnds::Justified);
    assert_eq!(read.concat(), words);
    let (last, full) = lines.split_last().unwrap_or((&lines[0], &[]));
    assert!(full.len() > 5);
    assert!(full.iter().all(|line| (line.width.0 - 330.0).abs() < 0.1), "{full:?}");
    assert!(last.width.0 < 330.0);
    // A passage from the right stands at the right edge.
    let words = "שלום עולם ".repeat(30);
    let (lines, _) = lines_of(&Passage::plain(&words, STYLE), 330.0, LineEnds::Ragged);
    assert!(lines.len() > 2);
    for line in &lines {
        let ends = line.runs.iter().flat_map(|run| {
            run.text
                .runs
                .iter()
                .filter(|word| word.word.characters() != " ")
                .map(|word| run.x + word.x + word.style.size * word.word.width)
        });
        let end = ends.fold(Pt::ZERO, Pt::max);
        assert!((end.0 - 330.0).abs() < 0.1, "{end:?}");
    }
}

#[test]
fn a_link_in_words_from_the_right_has_its_whole_place() {
    let link = Dress { link: Some(0), ..Dress::plain(STYLE) };
    let mut passage = Passage::plain("say ", STYLE);
    passage.push("שלום עולם", link);
    passage.push(" now", Dress::plain(STYLE));
    let (lines, _) = lines_of(&passage, 400.0, LineEnds::Ragged);
    let places: Vec<(Pt, Pt)> =
        lines[0].runs.iter().map(|run| (run.x, run.x + run.text.width)).collect();
    let [(_, first), (left, right), (next, _)] = places[..] else { panic!("{places:?}") };
    assert!((first - left).abs() < pt(0.01) && (right - next).abs() < pt(0.01), "{places:?}");
}

#[test]
fn nothing_has_no_lines() {
    assert!(lines_of(&Passage::default(), 200.0, LineEnds::Justified).0.is_empty());
    assert!(Passage::plain("  \n ", STYLE).is_blank());
}

/// The words of a line as they stand on paper, from the left.
fn on_paper(passage: &Passage) -> String {
    let (lines, _) = lines_of(passage, 400.0, LineEnds::Ragged);
    let mut runs: Vec<(f32, String)> = lines
        .into_iter()
        .flat_map(|line| line.into_text().runs)
        .map(|run| (run.x.0, run.word.characters().trim().to_owned()))
        .filter(|(_, words)| !words.is_empty())
        .collect();
    runs.sort_by(|a, b| a.0.total_cmp(&b.0));
    runs.into_iter().map(|(_, words)| words).collect::<Vec<_>>().join(" ")
}

#[test]
fn music_among_words_from_the_right_reads_from_the_left() {
    let mut passage = Passage::plain("נגן ", STYLE);
    passage.apart(Reading::FromLeft, |words| {
        words.push("C♯ is the fifth of F♯", Dress::plain(STYLE));
    });
    passage.push("! קל", Dress::plain(STYLE));
    assert!(passage.is_from_right());
    assert_eq!(on_paper(&passage), "קל ! C♯ is the fifth of F♯ נגן");
    let mut chord = Passage::plain("ואז ", STYLE);
    chord.apart(Reading::FromLeft, |words| {
        words.push("A", Dress::plain(STYLE));
        words.push("°7", Dress { style: Style { rise: pt(3.0), ..STYLE }, ..Dress::plain(STYLE) });
    });
    assert_eq!(on_paper(&chord), "A °7 ואז");
}
