//! Lines that stand above or below a system and say more about it: names of chords, counts, strokes,
//! what is muted or rings, how often.

use super::row::{is_bar_line, is_dash};
use crate::theory::Chord;

/// A sign or a word with its column.
pub(super) type Mark = (usize, String);

/// What is held from one column to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Held {
    /// The hand's edge on the strings.
    Mute,
    /// The notes ring on.
    Ring,
    /// The note is given vibrato.
    Vibrato,
}

/// The words for what is held, in small letters, the longest of each first.
const HELD: [(&str, Held); 6] = [
    ("p.m.", Held::Mute),
    ("p.m", Held::Mute),
    ("pm", Held::Mute),
    ("palm mute", Held::Mute),
    ("let ring", Held::Ring),
    ("l.r.", Held::Ring),
];

/// The words of a line with their columns; bar lines part them too.
pub(super) fn words(line: &str) -> Vec<Mark> {
    let mut words: Vec<Mark> = Vec::new();
    let mut open = false;
    for (column, character) in line.chars().enumerate() {
        if character == ' ' || is_bar_line(character) {
            open = false;
            continue;
        }
        match words.last_mut().filter(|_| open) {
            Some((_, word)) => word.push(character),
            None => words.push((column, character.to_string())),
        }
        open = true;
    }
    words
}

/// What stands on a line from the first of some marks to the last.
pub(super) fn stretch(line: &[char], marks: &[Mark]) -> Option<Mark> {
    let ((from, _), (last, text)) = (marks.first()?, marks.last()?);
    let characters = line.get(*from..last + text.chars().count())?;
    Some((*from, characters.iter().collect()))
}

/// Whether a word is the name of a chord.
pub(super) fn is_chord(word: &str) -> bool {
    Chord::read(word).is_some() || Chord::is_none(word)
}

/// The names of chords of a line, if it has nothing else.
pub(super) fn chords(line: &str) -> Option<Vec<Mark>> {
    let words = words(line);
    let all = !words.is_empty() && words.iter().all(|(_, word)| is_chord(word));
    all.then_some(words)
}

/// The names of chords of a line that has remarks in brackets beside them and nothing else, and these:
/// `D  A  D  (hold)`. One name at the margin is no line of chords, and how often is no remark.
pub(super) fn chords_with_remarks(line: &str) -> Option<(Vec<Mark>, Vec<Mark>)> {
    let mut names = String::new();
    let mut remarks: Vec<Mark> = Vec::new();
    let mut rest = line;
    while let Some((front, behind)) = rest.split_once('(') {
        let (inner, behind) = behind.split_once(')')?;
        let parted = front.ends_with(' ') && (behind.is_empty() || behind.starts_with(' '));
        if !parted || !is_remark(inner) {
            return None;
        }
        names += front;
        remarks.push((names.chars().count(), format!("({inner})")));
        names.extend(std::iter::repeat_n(' ', inner.chars().count() + 2));
        rest = behind;
    }
    let chords = chords(&(names + rest))?;
    let is_line = chords.len() > 1 || line.starts_with(' ');
    (is_line && !remarks.is_empty()).then_some((chords, remarks))
}

/// Whether what stands in brackets is words to the player: no chord, no frets, not how often.
fn is_remark(inner: &str) -> bool {
    let plain = !inner.contains(|c: char| c.is_ascii_digit() || is_bar_line(c));
    let frets = inner.chars().all(|c| matches!(c, 'x' | 'X' | 'o' | 'O' | ' '));
    plain && !frets && chords(inner).is_none() && times(inner).is_none()
}

/// Whether a line has nothing but figures and the signs of counts, two of them or more, with spaces,
/// dashes, dots or brackets between.
pub(super) fn is_figures(line: &str) -> bool {
    let is_figure = |c: char| c.is_ascii_digit() || matches!(c, '&' | '+' | 'e' | 'a');
    let parts = |c: char| is_dash(c) || is_bar_line(c) || matches!(c, ' ' | '.' | '(' | ')');
    let words = line.split(parts).filter(|word| !word.is_empty()).count();
    words > 1
        && line.contains(|c: char| c.is_ascii_digit())
        && line.chars().all(|c| is_figure(c) || parts(c))
}

/// Whether a line of figures has signs that no row of tab has.
pub(super) fn is_counted(line: &str) -> bool {
    is_figures(line) && line.contains(PARTS)
}

/// The signs of the second half of a beat.
const PARTS: [char; 2] = ['&', '+'];

/// A line with spaces for one of these words before it, in small letters, with a colon or without.
pub(super) fn without_label(line: &str, words: &[&str]) -> String {
    let rest = line.trim_start();
    let is_label = |c: &char| c.is_alphabetic() || matches!(c, ':' | '.');
    let label: String = rest.chars().take_while(is_label).collect();
    let named = words.contains(&label.replace([':', '.'], "").to_lowercase().as_str());
    match rest.strip_prefix(label.as_str()).filter(|_| named) {
        Some(behind) => " ".repeat(line.chars().count() - behind.chars().count()) + behind,
        None => line.to_string(),
    }
}

/// The counts of a line, if it has nothing else: numbers that go on by one or begin again, with the
/// signs of their parts behind them, parted by spaces, dashes or nothing. Beside the signs of second
/// halves, numbers may be left out where nothing is played.
pub(super) fn counts(line: &str) -> Option<Vec<Mark>> {
    let line = &without_label(line, &["count", "counts"]);
    let leaps = line.contains(PARTS);
    let mut counts: Vec<Mark> = Vec::new();
    let mut number = None;
    let mut digits = false;
    for (column, sign) in line.chars().enumerate() {
        let goes_on = digits && sign.is_ascii_digit();
        digits = sign.is_ascii_digit();
        match sign {
            ' ' => {}
            sign if is_bar_line(sign) || is_dash(sign) => {}
            '1'..='9' if !goes_on => counts.push((column, sign.to_string())),
            '0'..='9' => counts.last_mut().filter(|_| goes_on)?.1.push(sign),
            '&' | '+' => counts.push((column, sign.to_string())),
            'e' | 'a' if !counts.is_empty() => counts.push((column, sign.to_string())),
            _ => return None,
        }
    }
    for (_, sign) in &counts {
        let Ok(this) = sign.parse::<u8>() else { continue };
        let follows = |before: u8| this == before.saturating_add(1) || (leaps && this > before);
        let next = number.is_none_or(|before: u8| this == 1 || follows(before));
        number = Some(this).filter(|_| next && this <= 12);
        number?;
    }
    (number.is_some() && counts.len() > 1).then_some(counts)
}

/// The strokes of a line, if it has nothing else: each `d`, `u` or `x`. `V` is down beside `^`, and up
/// beside `⊓`.
pub(super) fn strokes(line: &str) -> Option<Vec<Mark>> {
    let signs: Vec<(usize, char)> =
        line.chars().enumerate().filter(|(_, c)| *c != ' ' && !is_bar_line(*c)).collect();
    let has = |wanted: &[char]| signs.iter().any(|(_, sign)| wanted.contains(sign));
    let v = match (has(&['^', 'Λ', '∧']), has(&['⊓', 'П', '∏'])) {
        (true, false) => Some('d'),
        (false, true) => Some('u'),
        _ => None,
    };
    let stroke = |(column, sign): &(usize, char)| {
        let stroke = match sign {
            'd' | 'D' | '↓' | '⊓' | 'П' | '∏' => 'd',
            'u' | 'U' | '↑' | '^' | 'Λ' | '∧' => 'u',
            'V' | 'v' | '∨' => v?,
            'x' | 'X' => 'x',
            _ => return None,
        };
        Some((*column, stroke.to_string()))
    };
    let strokes: Vec<Mark> = signs.iter().map(stroke).collect::<Option<_>>()?;
    let plain = strokes.iter().any(|(_, stroke)| stroke != "x") && chords(line).is_none();
    (plain && strokes.len() > 1).then_some(strokes)
}

/// Whether what a line of strokes means had to be guessed: pointed signs are read both ways.
pub(super) fn is_pointed(line: &str) -> bool {
    line.contains(['V', 'v', '^', '∨', '∧', 'Λ'])
}

/// What a line says is held, from which column to which; nothing where it says anything else.
pub(super) fn held(line: &str) -> Option<(Held, Vec<(usize, usize)>)> {
    let characters: Vec<char> = line.to_lowercase().chars().collect();
    let mut spans = Vec::new();
    let mut kind = None;
    let mut at = 0;
    while let Some(character) = characters.get(at) {
        if *character == ' ' {
            at += 1;
            continue;
        }
        let rest: String = characters.get(at..)?.iter().take(12).collect();
        let (word, held) = HELD.iter().find(|(word, _)| rest.starts_with(word))?;
        let from = at;
        at += word.chars().count();
        at += span_length(characters.get(at..)?);
        spans.push((from, at.saturating_sub(1)));
        kind = Some(*held).filter(|held| kind.is_none_or(|other| other == *held));
        kind?;
    }
    Some((kind?, spans))
}

/// The waves of a line that has nothing else: notes with vibrato.
pub(super) fn waves(line: &str) -> Option<Vec<(usize, usize)>> {
    let words = words(line);
    let all = words.iter().all(|(_, word)| word.chars().all(|c| c == '~'));
    let span = |(from, word): &Mark| (*from, from + word.len() - 1);
    (all && !words.is_empty()).then(|| words.iter().map(span).collect())
}

/// How far the dashes behind a word go that says what is held, with the sign that closes them.
fn span_length(behind: &[char]) -> usize {
    let goes_on =
        |c: &char| is_dash(*c) || is_bar_line(*c) || matches!(c, '.' | '~' | '>' | ']' | '┤');
    let mut length = 0;
    loop {
        let spaces = behind.iter().skip(length).take_while(|c| **c == ' ').count();
        match behind.get(length + spaces) {
            Some(sign) if goes_on(sign) && spaces <= 1 => length += spaces + 1,
            _ => return length,
        }
    }
}

/// How often, if words say just that: `x3`, `(3x)`, `play 4 times`, `twice`.
pub(super) fn times(words: &str) -> Option<u8> {
    let words = words.trim().to_lowercase();
    let words = words.trim_matches(|c| matches!(c, '(' | ')' | '[' | ']' | '.' | '!' | ' '));
    let told: Vec<&str> =
        words.split(' ').filter(|word| !matches!(*word, "" | "play" | "repeat")).collect();
    let number = |digits: &str| digits.parse().ok().filter(|times| (2..=99).contains(times));
    let crossed = |word: &str| {
        let front = word.strip_prefix(['x', '×']);
        number(front.or_else(|| word.strip_suffix(['x', '×']))?)
    };
    match told.as_slice() {
        ["twice"] => Some(2),
        [one] => crossed(one),
        ["x" | "×", digits] | [digits, "x" | "×" | "times"] => number(digits),
        _ => None,
    }
}

/// How often, if words between brackets, commas or dashes say just that, or the last of them in a sign, and
/// these: `Riff A (x4)`, `Riff A x4`.
pub(super) fn times_among(words: &str) -> Option<(u8, String)> {
    let clauses = words.split(['(', ')', '[', ']', ',', ';', ':']);
    let mut clauses = clauses.flat_map(|clause| clause.split(" - ")).map(str::trim);
    clauses.find_map(|clause| {
        let last = clause.rsplit(' ').next().filter(|last| last.starts_with(['x', 'X', '×']));
        let whole = times(clause).map(|times| (times, clause));
        let (times, said) = whole.or_else(|| Some((times(last?)?, last?)))?;
        Some((times, said.to_string()))
    })
}

/// How many words may say how often.
const MOST_WORDS: usize = 4;

/// How often, if the first of some words say that: `6 times & fade`.
pub(super) fn times_first(words: &str) -> Option<u8> {
    let words: Vec<&str> = words.split_whitespace().collect();
    let said = |count: usize| words.get(..count).map(|words| words.join(" "));
    (1..=MOST_WORDS)
        .rev()
        .filter_map(said)
        .find_map(|words| times(words.trim_end_matches([',', ';'])))
}

/// The accents of a line, if it has nothing else and doesn't begin at the margin, as what is quoted does.
pub(super) fn accents(line: &str) -> Option<Vec<Mark>> {
    let words = words(line);
    let set_in = words.first().is_some_and(|(column, _)| *column > 0);
    (set_in && words.iter().all(|(_, word)| word == ">")).then_some(words)
}

/// A repeat sign that stands alone on a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RepeatSign {
    Start,
    /// With how often, if that is said.
    End(Option<u8>),
}

/// The repeat sign of a line that has nothing else: `||:`, `:|| x2`.
pub(super) fn repeat_sign(line: &str) -> Option<RepeatSign> {
    let line = line.trim();
    let is_sign = |c: char| is_bar_line(c) || c == ':';
    let behind = line.trim_start_matches(is_sign);
    let sign = line.strip_suffix(behind)?;
    let times = times(behind);
    match (sign.starts_with(':'), sign.ends_with(':')) {
        _ if !sign.contains(is_bar_line) => None,
        (false, true) if behind.is_empty() => Some(RepeatSign::Start),
        (true, false) if behind.is_empty() || times.is_some() => Some(RepeatSign::End(times)),
        _ => None,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn told(marks: Option<Vec<Mark>>) -> Option<String> {
        let marks = marks?.into_iter().map(|(column, sign)| format!("{column}{sign}"));
        Some(marks.collect::<Vec<_>>().join(" "))
    }

    #[test]
    fn counts_are_told_from_other_numbers() {
        for (line, expected) in [
            ("  1 & 2 +", Some("21 4& 62 8+")),
            ("1e&a2", Some("01 1e 2& 3a 42")),
            ("1 2 3 | 1 2 3", Some("01 22 43 81 102 123")),
            ("1-&-2-&", Some("01 2& 42 6&")),
            ("1 & 3 4", Some("01 2& 43 64")),
            ("Count: 1 & 2", Some("71 9& 112")),
            ("1 3 5", None),
            ("1 & 3 2", None),
            ("12", None),
            ("e a", None),
            ("1 2 three", None),
        ] {
            assert_eq!(told(counts(line)).as_deref(), expected, "{line}");
        }
    }

    #[test]
    fn chords_may_have_remarks_in_brackets_beside_them() {
        for (line, expected) in [
            ("   D    A  D   (hold)", Some("3D 8A 11D 15(hold)")),
            ("Em (let ring)   G", Some("0Em 16G 3(let ring)")),
            ("  D (hold)", Some("2D 4(hold)")),
            ("D (waltz)", None),
            ("D  A", None),
            ("D  A  (x2)", None),
            ("D (xx0232)  A", None),
            ("D  (A)", None),
            ("D  A  (hold", None),
            ("D  and A  (hold)", None),
        ] {
            let found =
                chords_with_remarks(line).map(|(chords, remarks)| [chords, remarks].concat());
            assert_eq!(told(found).as_deref(), expected, "{line}");
        }
    }

    #[test]
    fn strokes_are_read_in_the_ways_that_are_typed() {
        for (line, expected) in [
            ("V ^ V", Some("0d 2u 4d")),
            ("⊓ V", Some("0d 2u")),
            ("↓ ↓↑", Some("0d 2d 3u")),
            ("d  u x", Some("0d 3u 5x")),
            ("V V", None),
            ("D D", None),
            ("do u", None),
        ] {
            assert_eq!(told(strokes(line)).as_deref(), expected, "{line}");
        }
    }

    #[test]
    fn what_is_held_has_its_columns() {
        assert_eq!(held("  PM----|  P.M. - -|"), Some((Held::Mute, vec![(2, 8), (11, 19)])));
        assert_eq!(held(" let ring---"), Some((Held::Ring, vec![(1, 11)])));
        assert_eq!(held("PM let ring"), None);
        assert_eq!(held("let ring!"), None);
    }

    #[test]
    fn repeat_signs_may_stand_on_lines_of_their_own() {
        for (line, expected) in [
            ("||:", Some(RepeatSign::Start)),
            ("   |:", Some(RepeatSign::Start)),
            ("      :|| x2", Some(RepeatSign::End(Some(2)))),
            (":|", Some(RepeatSign::End(None))),
            ("||: Am", None),
            ("||", None),
            (":", None),
        ] {
            assert_eq!(repeat_sign(line), expected, "{line}");
        }
    }

    #[test]
    fn how_often_is_read_from_words() {
        for (words, expected) in [
            ("x3", Some(3)),
            ("(3x)", Some(3)),
            ("X 4", Some(4)),
            ("(play 4x)", Some(4)),
            ("Repeat 2 times!", Some(2)),
            ("twice", Some(2)),
            ("x1", None),
            ("3", None),
            ("x3 then stop", None),
        ] {
            assert_eq!(times(words), expected, "{words}");
        }
    }

    #[test]
    fn how_often_may_be_said_first() {
        for (words, expected) in [
            ("6 times & fade", Some(6)),
            ("(4x), then stop", Some(4)),
            ("Repeat 3 times, slower", Some(3)),
            ("fade, 6 times", None),
            ("6 bars", None),
        ] {
            assert_eq!(times_first(words), expected, "{words}");
        }
    }

    #[test]
    fn accents_are_told_from_quotes() {
        assert_eq!(told(accents("   >  >")).as_deref(), Some("3> 6>"));
        for line in [">", "> >", "  > here", ""] {
            assert_eq!(accents(line), None, "{line}");
        }
    }
}
