//! What stands in a row: frets with their joining signs, in the lesson language's own signs.

use super::around::{Around, Brackets};
use super::row::is_dash;
use std::collections::BTreeSet;

/// A fret, a muted stroke or a harmonic at its column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Played {
    pub column: usize,
    /// As the lesson language writes it, with what belongs to it: `7`, `(7)`, `<12>`, `7b9r7~`.
    pub text: String,
    /// The sign that joins it to the one before it on its string.
    pub join: Option<char>,
}

/// What a row says.
#[derive(Debug, Default)]
pub(super) struct Read {
    /// The notes of each bar.
    pub bars: Vec<Vec<Played>>,
    /// What could not be read, with the index of its bar.
    pub unread: Vec<(usize, String)>,
    /// What had to be guessed, in words.
    pub guesses: BTreeSet<String>,
}

impl Read {
    fn guess(&mut self, guess: impl Into<String>) {
        self.guesses.insert(guess.into());
    }
}

/// A row while it is read along, over bar lines.
#[derive(Debug, Default)]
struct FretReader {
    read: Read,
    /// The joining sign that waits for its second fret.
    waiting: Option<char>,
    /// Whether it touches no fret before it.
    loose: bool,
    /// How many columns it has waited.
    waited: usize,
    /// The last fret, if nothing has come between that would part it from the next.
    last: Option<u8>,
    /// The bar of the last note.
    noted: Option<usize>,
}

/// The highest fret that two digits can mean; longer numbers are two frets that touch.
const HIGHEST: u8 = 24;

/// How many signs may stand between a bend and its pitch, or a slide and its end across a bar line:
/// dashes, a bracket.
const NEAR: usize = 2;

/// How far a bend goes whose pitch is not written: a whole step.
const USUAL_BEND: u8 = 2;

/// The letters that are signs of technique; longer words of any others are words.
const LETTERS: &str = "hHpPbBrRtTsSxXvVwWoO";

/// How far a bend is written to go, in half steps: what may stand behind its sign.
const WRITTEN_BENDS: [(&str, u8); 5] =
    [("1 1/2", 3), ("1/2", 1), ("½", 1), ("full", 2), ("Full", 2)];

/// What is guessed of bends, releases and joints.
const ADRIFT: &str = "a slide that touches no fret goes out of the one before it";
const BENT: &str = "bends go up a whole step where the tab didn't say how far";
const RELEASED: &str = "a release without a bend is of a note bent before it is picked";
const SLID: &str = "`s` between two frets is a slide, which goes the way of the frets";
const FROM_BELOW: &str = "`s` before a fret is a slide up to it";
const TURNED: &str = "a hammer-on that falls is a pull-off, and a slide goes the way of its frets";

/// Reads a row, bar by bar.
pub(super) fn read<'r>(bars: impl Iterator<Item = &'r [char]>) -> Read {
    let mut reader = FretReader::default();
    for cells in bars {
        reader.read.bars.push(Vec::new());
        reader.bar(cells);
    }
    reader.close_slide();
    reader.give_up();
    reader.read
}

impl FretReader {
    /// Reads what stands between two bar lines.
    fn bar(&mut self, cells: &[char]) {
        if self.waited > NEAR {
            self.close_slide();
        }
        let mut at = 0;
        while let Some(character) = cells.get(at) {
            let rest = cells.get(at..).unwrap_or_default();
            at += if let Some(length) = self.written_bend(rest) {
                length
            } else if character.is_ascii_digit() {
                let length = fret_length(rest);
                let fret = number(cells.get(at..at + length).unwrap_or_default());
                let around = Around::of(cells, at, length);
                match cells.get(at + length).filter(|_| around == Around::Harmonic) {
                    Some(']') => self.read.guess(format!("`[{fret}]` is a harmonic")),
                    Some('*') => self.read.guess(format!("`{fret}*` is a harmonic")),
                    _ => {}
                }
                self.fret(at, fret, around);
                length
            } else if comes_from_nowhere(rest) {
                self.close_slide();
                self.last = None;
                1
            } else if let Some(word) = word(rest) {
                self.waited += word.chars().count();
                self.unread(&word);
                word.chars().count()
            } else {
                self.waited += 1;
                let edge = at == 0 || at + 1 == cells.len();
                self.sign(at, *character, edge, Brackets::of(cells, at));
                if self.waiting == Some(*character) {
                    let before = at.checked_sub(1).and_then(|at| cells.get(at));
                    self.loose = before.is_none_or(|c| is_dash(*c) || *c == ' ');
                }
                1
            };
        }
        self.end_bend();
        if self.waited > NEAR {
            self.close_slide();
        }
    }

    /// The note that was read last, in whatever bar.
    fn last_note(&mut self) -> Option<&mut Played> {
        self.read.bars.get_mut(self.noted?)?.last_mut()
    }

    fn note(&mut self, note: Played) {
        self.noted = self.read.bars.len().checked_sub(1);
        if let Some(bar) = self.read.bars.last_mut() {
            bar.push(note);
        }
    }

    fn unread(&mut self, words: &str) {
        let bar = self.read.bars.len().saturating_sub(1);
        self.read.unread.push((bar, words.to_string()));
    }

    /// Tells of a sign that waits for what doesn't come.
    fn give_up(&mut self) {
        if let Some(sign) = self.waiting.take() {
            self.unread(&sign.to_string());
        }
    }

    /// A slide that waits in vain goes out of its note.
    fn close_slide(&mut self) {
        let Some(sign @ ('/' | '\\' | 's')) = self.waiting else { return };
        if self.last.is_none() {
            return;
        }
        let way = if sign == '/' { "/." } else { "\\." };
        if let Some(note) = self.last_note() {
            note.text += way;
            self.waiting = None;
            self.last = None;
            if self.loose {
                self.read.guess(ADRIFT);
            }
            if sign == 's' {
                self.read.guess("a slide out of a note goes down");
            }
        }
    }

    /// How many cells say how far a bend goes, if they do.
    fn written_bend(&mut self, rest: &[char]) -> Option<usize> {
        let near = self.waiting == Some('b') && self.waited <= NEAR;
        let last = self.last.filter(|_| near)?;
        let text: String = rest.iter().take(5).collect();
        let (words, steps) = WRITTEN_BENDS.iter().find(|(words, _)| text.starts_with(words))?;
        let pitch = last.saturating_add(*steps);
        self.last_note()?.text += &format!("b{pitch}");
        self.waiting = None;
        self.last = Some(pitch);
        self.unread(words);
        Some(words.chars().count())
    }

    fn fret(&mut self, column: usize, fret: u8, around: Around) {
        if self.is_pitch_of_bend(fret) {
            // It is no place to hold, so it stays with its fret.
            self.pitch(fret);
            return;
        }
        self.end_bend();
        if self.slides_away(fret) {
            self.close_slide();
        }
        if self.slides_in() {
            let sign = self.waiting.unwrap_or_default();
            self.read.guess(format!(
                "a slide comes from nowhere where no fret touches its sign: `{sign}{fret}`"
            ));
            self.last = None;
        }
        let waiting = self.waiting.take();
        let plain = match around {
            Around::Nothing => fret.to_string(),
            Around::Brackets => format!("({fret})"),
            Around::Harmonic => format!("<{fret}>"),
        };
        let (text, join) = match (waiting, self.last) {
            (Some(sign), Some(last)) if around != Around::Harmonic => {
                let joint = joint(sign, last, fret);
                if joint != sign {
                    self.read.guess(if sign == 's' { SLID } else { TURNED });
                }
                (plain, Some(joint))
            }
            (Some('\\'), None) => (format!(".\\{plain}"), None),
            (Some('/'), None) => (format!("./{plain}"), None),
            (Some('s'), None) => {
                self.read.guess(FROM_BELOW);
                (format!("./{plain}"), None)
            }
            (Some('t'), _) => (format!("t{plain}"), None),
            (Some(sign), _) => {
                self.unread(&sign.to_string());
                (plain, None)
            }
            (None, _) => (plain, None),
        };
        self.last = (around != Around::Harmonic).then_some(fret);
        self.waited = 0;
        self.note(Played { column, text, join });
    }

    /// Gives the bend or the release that waits its pitch. A release of a note that isn't bent is that of
    /// a note bent before it is picked.
    fn pitch(&mut self, pitch: u8) {
        let (Some(sign), Some(last)) = (self.waiting.take(), self.last) else { return };
        self.last = Some(pitch);
        let Some(note) = self.last_note() else { return };
        let bent = note.text.contains(['b', 'r']);
        if sign == 'r' && !bent && note.text == last.to_string() {
            note.text = format!("({pitch})b{last}r{pitch}");
            self.read.guess(RELEASED);
        } else {
            note.text += &format!("{sign}{pitch}");
        }
    }

    /// Whether a slide goes out of its note and not to a fret: that stands apart and on the other side.
    fn slides_away(&self, fret: u8) -> bool {
        let apart = self.waited > NEAR;
        match (self.waiting, self.last) {
            (Some('/'), Some(last)) => apart && fret < last,
            (Some('\\'), Some(last)) => apart && fret > last,
            _ => false,
        }
    }

    /// Whether a slide comes from nowhere, though a fret stands before it: its sign doesn't touch that.
    fn slides_in(&self) -> bool {
        self.loose && self.last.is_some() && matches!(self.waiting, Some('/' | '\\' | 's'))
    }

    /// Whether a dot stands right behind the sign of a slide out of a note.
    fn goes_nowhere(&self) -> bool {
        self.waited == 1 && self.last.is_some() && matches!(self.waiting, Some('/' | '\\' | 's'))
    }

    /// Whether a fret is the pitch of the bend or release that waits for one: near it, and on its side.
    fn is_pitch_of_bend(&self, fret: u8) -> bool {
        let near = self.waited <= NEAR;
        match (self.waiting, self.last) {
            (Some('b'), Some(last)) => near && fret > last,
            (Some('r'), Some(last)) => near && fret < last,
            _ => false,
        }
    }

    fn sign(&mut self, column: usize, sign: char, edge: bool, brackets: Brackets) {
        match sign {
            'x' | 'X' => {
                self.close_slide();
                self.give_up();
                self.last = None;
                self.note(Played { column, text: "x".to_string(), join: None });
            }
            'h' | 'H' => self.wait('h'),
            'p' | 'P' => self.wait('p'),
            't' | 'T' => self.wait('t'),
            's' | 'S' => self.wait('s'),
            '/' => self.wait('/'),
            '\\' => self.wait('\\'),
            'b' | 'B' | '^' => self.wait('b'),
            'r' | 'R' => {
                self.end_bend();
                self.wait('r');
            }
            '~' | 'v' | 'V' | 'w' | 'W' => self.vibrato(sign),
            '(' | ')' | '<' | '>' | '[' | ']' | '*' if brackets == Brackets::Taken => {}
            '.' if self.goes_nowhere() => self.close_slide(),
            // The dots of a repeat, which its bar line has taken.
            ':' | 'o' | 'O' | '*' if edge => {}
            ' ' => {}
            _ if is_dash(sign) => {}
            _ => self.unread(&sign.to_string()),
        }
    }

    fn vibrato(&mut self, sign: char) {
        self.end_bend();
        match self.last_note() {
            Some(note) if note.text.ends_with('~') => {}
            Some(note) => note.text.push('~'),
            None => self.unread(&sign.to_string()),
        }
    }

    fn wait(&mut self, sign: char) {
        self.waited = 0;
        if let Some(before) = self.waiting.replace(sign) {
            self.unread(&before.to_string());
        }
    }

    /// Gives a bend or a release that waits for its pitch the usual one.
    fn end_bend(&mut self) {
        let (Some(sign @ ('b' | 'r')), Some(last)) = (self.waiting, self.last) else { return };
        let pitch = if sign == 'b' {
            last.saturating_add(USUAL_BEND)
        } else {
            last.saturating_sub(USUAL_BEND)
        };
        self.pitch(pitch);
        self.read.guess(BENT);
    }
}

/// Whether cells begin with the dot of a slide that is written as one from nowhere: `./12`.
fn comes_from_nowhere(cells: &[char]) -> bool {
    matches!(cells, ['.', '/' | '\\', fret, ..] if fret.is_ascii_digit() || *fret == '(')
}

/// The word that cells begin with: two letters or more of which one is no sign of technique, or the
/// sign of a trill.
fn word(cells: &[char]) -> Option<String> {
    let word: String = cells.iter().take_while(|c| c.is_alphabetic()).collect();
    let signs = word != "tr" && word.chars().all(|c| LETTERS.contains(c));
    (!signs && word.chars().count() > 1).then_some(word)
}

/// The sign that joins two frets: old tabs write one sign for both ways.
fn joint(sign: char, from: u8, to: u8) -> char {
    match sign {
        '/' | '\\' | 's' => {
            if to >= from {
                '/'
            } else {
                '\\'
            }
        }
        'h' if to < from => 'p',
        'p' if to > from => 'h',
        other => other,
    }
}

/// How many of the digits that cells begin with are one fret.
fn fret_length(cells: &[char]) -> usize {
    let two = cells.get(..2).filter(|two| two.iter().all(char::is_ascii_digit));
    match two {
        Some(two) if two.first() != Some(&'0') && number(two) <= HIGHEST => 2,
        _ => 1,
    }
}

fn number(digits: &[char]) -> u8 {
    digits
        .iter()
        .filter_map(|digit| digit.to_digit(10))
        .fold(0, |number, digit| u8::try_from(u32::from(number) * 10 + digit).unwrap_or(u8::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a row's bar becomes: each note with its column and the sign that joins it to the last.
    fn told(cells: &str) -> (String, String) {
        let cells: Vec<char> = cells.chars().collect();
        let read = read(cells.split(|c| *c == '|'));
        let notes = read.bars.iter().flatten().map(|note| {
            let join = note.join.map(String::from).unwrap_or_default();
            format!("{}:{join}{}", note.column, note.text)
        });
        let unread: Vec<String> = read.unread.into_iter().map(|(_, words)| words).collect();
        (notes.collect::<Vec<_>>().join(" "), unread.join(" "))
    }

    #[test]
    fn frets_are_read_with_the_signs_of_old_tabs() {
        for (cells, notes) in [
            ("--3---12--0-", "2:3 6:12 10:0"),
            ("-5h7p5-", "1:5 3:h7 5:p5"),
            ("-7h5--5p7-", "1:7 3:p5 6:5 8:h7"),
            ("-5s7s5-", "1:5 3:/7 5:\\5"),
            ("-s7--", "2:./7"),
            ("-T12-", "2:t12"),
            ("-7b9r7~--", "1:7b9r7~"),
            ("-7^9-", "1:7b9"),
            ("-7b(9)r(7)-", "1:7b9r7"),
            ("-7b---7-", "1:7b9 6:7"),
            ("-7b-5-", "1:7b9 4:5"),
            ("-7br--", "1:7b9r7"),
            ("-(5)-<12>-[7]-12*-", "2:(5) 6:<12> 11:<7> 14:<12>"),
            ("-x-X-", "1:x 3:x"),
            ("-5vv-", "1:5~"),
            ("-35-", "1:3 2:5"),
            ("-1012-", "1:10 3:12"),
            ("-9r7-", "1:(7)b9r7"),
            ("-5-7r-", "1:5 3:(5)b7r5"),
            ("-7\\---", "1:7\\."),
            ("-7/---|--", "1:7/."),
            ("-7/--|-9-", "1:7 1:/9"),
            ("-7\\----9-", "1:7\\. 7:9"),
            ("-5/----7-", "1:5 7:/7"),
            ("-7s--", "1:7\\."),
            ("-\\7-", "2:.\\7"),
            ("-5-/7--", "1:5 4:./7"),
            ("-5---s7-", "1:5 6:./7"),
            ("-5-\\--3-", "1:5 6:.\\3"),
            ("-5~/7--", "1:5~ 4:/7"),
            ("-./12-", "3:./12"),
            ("0--.\\12-", "0:0 5:.\\12"),
            ("-5/./(7)-", "1:5/. 6:./(7)"),
            ("-7/.--9-", "1:7/. 6:9"),
            ("", ""),
        ] {
            assert_eq!(told(cells), (notes.to_string(), String::new()), "{cells}");
        }
    }

    #[test]
    fn what_is_guessed_of_a_sign_is_named() {
        for (cells, guess) in [
            ("-5----\\---", ADRIFT),
            ("-11s12-", SLID),
            ("-12S11-", SLID),
            ("-s12-", FROM_BELOW),
            ("-[14]-", "`[14]` is a harmonic"),
            ("-12*---", "`12*` is a harmonic"),
            ("-5-/7-", "a slide comes from nowhere where no fret touches its sign: `/7`"),
        ] {
            let cells: Vec<char> = cells.chars().collect();
            let guesses = read([cells.as_slice()].into_iter()).guesses;
            assert!(guesses.contains(guess), "{guesses:?}");
        }
    }

    #[test]
    fn signs_that_say_nothing_are_told() {
        for (cells, unread) in [
            ("-h7-", "h"),
            ("-7h---", "h"),
            ("~--7", "~"),
            ("-7hp5-", "h"),
            ("-'7-", "'"),
            ("-./-", ". /"),
            ("-7.-", "."),
            ("-5tr7-", "tr"),
        ] {
            assert_eq!(told(cells).1, unread, "{cells}");
        }
    }

    #[test]
    fn bends_without_end_end_at_the_last_number() {
        let cells: Vec<char> = "-7".chars().chain("b~".repeat(300).chars()).collect();
        assert_eq!(read([cells.as_slice()].into_iter()).bars.iter().flatten().count(), 1);
    }
}
