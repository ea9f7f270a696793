//! What stands in a row: frets with their joining signs, in the lesson language's own signs.

mod bends;

use super::around::{Around, Brackets};
use super::cells::{comes_from_nowhere, fret_length, joint, number, word};
use super::found::{NOT_READ, Played, Read, Unread};
use super::legend::{Legend, Meaning};
use super::row::{HOLD, is_dash};

/// A row while it is read along, over bar lines.
#[derive(Debug)]
struct FretReader<'l> {
    legend: &'l Legend,
    /// How far its bends go that don't say so, in half steps, in their order.
    steps: &'l [u8],
    /// How far the last of these goes.
    bent: u8,
    read: Read,
    /// The joining sign that waits for its second fret, and where it stands.
    waiting: Option<char>,
    waits_at: (usize, usize),
    /// Whether it touches no fret before it.
    loose: bool,
    /// How many columns it has waited.
    waited: usize,
    /// The last fret, if nothing has come between that would part it from the next.
    last: Option<u8>,
    /// The bar of the last note.
    noted: Option<usize>,
}

/// How many signs may stand between a bend and its pitch, or a slide and its end across a bar line:
/// dashes, a bracket.
const NEAR: usize = 2;

/// What is guessed of slides and joints.
const ADRIFT: &str = "a slide that touches no fret goes out of the one before it";
const SLID: &str = "`s` between two frets is a slide, which goes the way of the frets";
const FROM_BELOW: &str = "`s` before a fret is a slide up to it";
const HELD: &str = "`=` is a dash, while the note before it is held";
const TAPPED: &str = "`t` is a tap, which may be meant for a trill";
const FALLS: &str = "a hammer-on that falls is a pull-off";
const RISES: &str = "a pull-off that rises is a hammer-on: `p` may have been meant for a pop";
const TURNED: &str = "a slide goes the way of its frets, whatever its sign says";
const CARET: &str = "`^` behind a fret is a bend";

/// Reads a row, bar by bar. `steps` is how far the bends go that don't say so, if it is known of each.
pub(super) fn read<'r>(
    bars: impl Iterator<Item = &'r [char]>,
    legend: &Legend,
    steps: &[u8],
) -> Read {
    let mut reader = FretReader {
        legend,
        steps,
        bent: bends::USUAL,
        read: Read::default(),
        waiting: None,
        waits_at: (0, 0),
        loose: false,
        waited: 0,
        last: None,
        noted: None,
    };
    for cells in bars {
        reader.read.bars.push(Vec::new());
        reader.bar(cells);
    }
    reader.close_slide();
    reader.give_up();
    reader.read
}

impl FretReader<'_> {
    /// Reads what stands between two bar lines.
    fn bar(&mut self, cells: &[char]) {
        if self.waited > NEAR {
            self.close_slide();
        }
        let mut at = 0;
        while let Some(character) = cells.get(at) {
            let rest = cells.get(at..).unwrap_or_default();
            at += if let Some(length) = self.written_bend(at, rest) {
                length
            } else if character.is_ascii_digit() {
                let length = fret_length(rest);
                let fret = number(cells.get(at..at + length).unwrap_or_default());
                let around = Around::of(cells, at, length);
                match cells.get(at + length).filter(|_| around.is_harmonic()) {
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
                self.unread(at, &word);
                word.chars().count()
            } else {
                self.waited += 1;
                let edge = at == 0 || at + 1 == cells.len();
                self.sign(at, *character, edge, Brackets::of(cells, at));
                if self.waiting.is_some() && self.waits_at == (self.bar_index(), at) {
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

    /// The index of the bar that is read.
    fn bar_index(&self) -> usize {
        self.read.bars.len().saturating_sub(1)
    }

    fn unread(&mut self, column: usize, words: &str) {
        self.tell(column, format!("{NOT_READ}{words}"));
    }

    fn tell(&mut self, column: usize, words: String) {
        let bar = self.bar_index();
        self.read.unread.push(Unread { bar, column, words });
    }

    /// Tells of a sign that waited where it stands.
    fn unread_join(&mut self, sign: char) {
        let (bar, column) = self.waits_at;
        self.read.unread.push(Unread { bar, column, words: format!("{NOT_READ}{sign}") });
    }

    /// Tells of a sign that waits for what doesn't come.
    fn give_up(&mut self) {
        if let Some(sign) = self.waiting.take() {
            self.unread_join(sign);
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

    fn fret(&mut self, column: usize, fret: u8, around: Around) {
        if self.is_pitch_of_bend(fret) {
            // It is no place to hold, so it stays with its fret.
            self.pitch(fret);
            return;
        }
        if self.is_bent_again(column, fret) || self.is_touched(column, fret, around) {
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
            Around::Harmonic | Around::Touched => format!("<{fret}>"),
        };
        let (text, join) = match (waiting, self.last) {
            (Some(sign), Some(last)) if !around.is_harmonic() => {
                let joint = joint(sign, last, fret);
                if joint != sign {
                    self.read.guess(match sign {
                        's' => SLID,
                        'h' => FALLS,
                        'p' => RISES,
                        _ => TURNED,
                    });
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
                self.unread_join(sign);
                (plain, None)
            }
            (None, _) => (plain, None),
        };
        self.last = (!around.is_harmonic()).then_some(fret);
        self.waited = 0;
        self.note(Played { column, text, join });
    }

    /// Tells of the place at which a string is touched that is pressed at the fret before, whether a fret in
    /// brackets is one: such a harmonic can't be written, so its note is the fret that is pressed.
    fn is_touched(&mut self, column: usize, fret: u8, around: Around) -> bool {
        let pressed =
            self.last.filter(|last| around == Around::Touched && (1..fret).contains(last));
        let Some(pressed) = pressed else { return false };
        let words = "is a harmonic, of which the fret that is pressed is written";
        self.tell(column, format!("guessed: `{pressed}<{fret}>` {words}"));
        true
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

    fn sign(&mut self, column: usize, sign: char, edge: bool, brackets: Brackets) {
        match sign {
            'x' | 'X' => {
                self.close_slide();
                self.give_up();
                self.last = None;
                self.note(Played { column, text: "x".to_string(), join: None });
            }
            'h' | 'H' => self.wait(column, 'h'),
            'p' | 'P' => self.wait(column, 'p'),
            't' | 'T' => self.tap(column, sign),
            's' | 'S' => self.wait(column, 's'),
            '/' => self.wait(column, '/'),
            '\\' => self.wait(column, '\\'),
            'b' | 'B' => self.wait(column, 'b'),
            '^' => {
                self.read.guess(CARET);
                self.wait(column, 'b');
            }
            'r' | 'R' => {
                self.end_bend();
                self.wait(column, 'r');
            }
            '~' | 'v' | 'V' | 'w' | 'W' => self.vibrato(column, sign),
            '(' | ')' | '<' | '>' | '[' | ']' | '*' if brackets == Brackets::Taken => {}
            '.' if self.goes_nowhere() => self.close_slide(),
            // The dots of a repeat, which its bar line has taken.
            ':' | 'o' | 'O' | '*' if edge => {}
            ' ' => {}
            _ if is_dash(sign) => {}
            HOLD => self.read.guess(HELD),
            _ => self.unread(column, &sign.to_string()),
        }
    }

    /// A letter that is a tap, unless the legend says otherwise.
    fn tap(&mut self, column: usize, letter: char) {
        match self.legend.meaning(letter) {
            Meaning::Trill => {
                self.last = None;
                return self.unread(column, &letter.to_string());
            }
            Meaning::Unsaid => self.read.guess(TAPPED),
            Meaning::Tap => {}
        }
        self.wait(column, 't');
    }

    fn vibrato(&mut self, column: usize, sign: char) {
        self.end_bend();
        match self.last_note() {
            Some(note) if note.text.ends_with('~') => {}
            Some(note) => note.text.push('~'),
            None => self.unread(column, &sign.to_string()),
        }
    }

    fn wait(&mut self, column: usize, sign: char) {
        self.waited = 0;
        if let Some(before) = self.waiting.replace(sign) {
            self.unread_join(before);
        }
        self.waits_at = (self.bar_index(), column);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a row's bar becomes: each note with its column and the sign that joins it to the last.
    fn told(cells: &str) -> (String, String) {
        let cells: Vec<char> = cells.chars().collect();
        let read = read(cells.split(|c| *c == '|'), &Legend::default(), &[]);
        let notes = read.bars.iter().flatten().map(|note| {
            let join = note.join.map(String::from).unwrap_or_default();
            format!("{}:{join}{}", note.column, note.text)
        });
        let unread: Vec<String> =
            read.unread.into_iter().map(|unread| unread.words.replace(NOT_READ, "")).collect();
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
            ("12b14--b14r12--10-", "0:12b14 7:(12)b14r12 15:10"),
            ("12^14~|-B14r12", "0:12b14~ 1:(12)b14r12"),
            ("<7>-0<12>-", "1:<7> 4:0 6:<12>"),
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
            ("-5===-", HELD),
            ("-7h5-", FALLS),
            ("-5p7-", RISES),
            ("-7/5-", TURNED),
            ("-1^2-", CARET),
            ("-5-/7-", "a slide comes from nowhere where no fret touches its sign: `/7`"),
        ] {
            let cells: Vec<char> = cells.chars().collect();
            let guesses = read([cells.as_slice()].into_iter(), &Legend::default(), &[]).guesses;
            assert!(guesses.contains(guess), "{guesses:?}");
        }
    }

    #[test]
    fn what_is_written_otherwise_is_told_with_its_sign() {
        for (cells, notes, told_of) in [
            ("-5<17>--3-", "1:5 8:3", "guessed: `5<17>` is a harmonic, of which"),
            ("-12b14b14r12-", "1:12b14r12", "guessed: `b14` says again how far a note is bent"),
        ] {
            let (found, unread) = told(cells);
            assert_eq!(found, notes, "{cells}");
            assert!(unread.starts_with(told_of), "{cells}: {unread}");
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
        assert_eq!(
            read([cells.as_slice()].into_iter(), &Legend::default(), &[])
                .bars
                .iter()
                .flatten()
                .count(),
            1
        );
    }
}
