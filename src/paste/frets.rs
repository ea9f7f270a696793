//! What stands in a row between two bar lines: frets with their joining signs, in the lesson
//! language's own signs.

/// A fret, a muted stroke or a harmonic at its column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Played {
    pub column: usize,
    /// As the lesson language writes it, with what belongs to it: `7`, `(7)`, `<12>`, `7b9r7~`.
    pub text: String,
    /// The sign that joins it to the one before it on its string.
    pub join: Option<char>,
}

/// A row as it is read along, over bar lines.
#[derive(Debug, Default)]
pub(super) struct Reader {
    /// The joining sign that waits for its second fret.
    waiting: Option<char>,
    /// How many columns it has waited.
    waited: usize,
    /// The last fret, if nothing has come between that would part it from the next.
    last: Option<u8>,
    /// Whether a bend without its pitch was given one.
    pub bends_guessed: bool,
    /// Signs that say nothing to the language.
    pub unread: String,
}

/// The highest fret that two digits can mean; longer numbers are two frets that touch.
const HIGHEST: u8 = 24;

/// How many signs may stand between a bend and its pitch: dashes, a bracket.
const WIDEST_BEND: usize = 2;

/// How far a bend goes whose pitch is not written: a whole step.
const USUAL_BEND: u8 = 2;

impl Reader {
    /// Reads what stands between two bar lines.
    pub fn bar(&mut self, cells: &[char]) -> Vec<Played> {
        let mut played: Vec<Played> = Vec::new();
        let mut at = 0;
        while let Some(character) = cells.get(at) {
            if character.is_ascii_digit() {
                let length = fret_length(cells.get(at..).unwrap_or_default());
                let fret = number(cells.get(at..at + length).unwrap_or_default());
                let around = Around::of(cells, at, length);
                self.fret(at, fret, around, &mut played);
                at += length;
            } else {
                self.waited += 1;
                self.sign(at, *character, &mut played);
                at += 1;
            }
        }
        self.end_bend(&mut played);
        played
    }

    /// What the row still waits for when it ends.
    pub fn finish(&mut self) {
        if let Some(sign) = self.waiting.take() {
            self.unread.push(sign);
        }
    }

    fn fret(&mut self, column: usize, fret: u8, around: Around, played: &mut Vec<Played>) {
        if self.is_pitch_of_bend(fret) {
            // It is no place to hold, so it stays with its fret.
            if let (Some(sign), Some(bent)) = (self.waiting.take(), played.last_mut()) {
                bent.text += &format!("{sign}{fret}");
                self.last = Some(fret);
                return;
            }
        }
        self.end_bend(played);
        let waiting = self.waiting.take();
        let plain = match around {
            Around::Nothing => fret.to_string(),
            Around::Brackets => format!("({fret})"),
            Around::Harmonic => format!("<{fret}>"),
        };
        let (text, join) = match (waiting, self.last) {
            (Some(sign), Some(last)) if around != Around::Harmonic => {
                (plain, Some(joint(sign, last, fret)))
            }
            (Some('/' | '\\'), None) => (format!("./{plain}"), None),
            (Some('t'), _) => (format!("t{plain}"), None),
            (Some(sign), _) => {
                self.unread.push(sign);
                (plain, None)
            }
            (None, _) => (plain, None),
        };
        self.last = (around != Around::Harmonic).then_some(fret);
        played.push(Played { column, text, join });
    }

    /// Whether a fret is the pitch of the bend or release that waits for one: near it, and on its side.
    fn is_pitch_of_bend(&self, fret: u8) -> bool {
        let near = self.waited <= WIDEST_BEND;
        match (self.waiting, self.last) {
            (Some('b'), Some(last)) => near && fret > last,
            (Some('r'), Some(last)) => near && fret < last,
            _ => false,
        }
    }

    fn sign(&mut self, column: usize, sign: char, played: &mut Vec<Played>) {
        match sign {
            'x' | 'X' => {
                self.finish();
                self.last = None;
                played.push(Played { column, text: "x".to_string(), join: None });
            }
            'h' | 'H' => self.wait('h'),
            'p' | 'P' => self.wait('p'),
            't' | 'T' => self.wait('t'),
            's' | 'S' | '/' => self.wait('/'),
            '\\' => self.wait('\\'),
            'b' | 'B' | '^' => self.wait('b'),
            'r' | 'R' => {
                self.end_bend(played);
                self.wait('r');
            }
            '~' | 'v' | 'V' | 'w' => {
                self.end_bend(played);
                match played.last_mut() {
                    Some(note) if !note.text.ends_with('~') => note.text.push('~'),
                    Some(_) => {}
                    None => self.unread.push(sign),
                }
            }
            '(' | ')' | '<' | '>' | '[' | ']' | '*' | '=' | '.' | ' ' => {}
            // The dots of a repeat, which its bar line has taken.
            ':' | 'o' | 'O' => {}
            _ if super::lines::is_dash(sign) => {}
            _ => self.unread.push(sign),
        }
    }

    fn wait(&mut self, sign: char) {
        self.waited = 0;
        if let Some(before) = self.waiting.replace(sign) {
            self.unread.push(before);
        }
    }

    /// Gives a bend or a release that waits for its pitch the usual one.
    fn end_bend(&mut self, played: &mut [Played]) {
        let (Some(sign @ ('b' | 'r')), Some(last)) = (self.waiting, self.last) else { return };
        let Some(note) = played.last_mut() else { return };
        let pitch = if sign == 'b' {
            last.saturating_add(USUAL_BEND)
        } else {
            last.saturating_sub(USUAL_BEND)
        };
        note.text += &format!("{sign}{pitch}");
        self.waiting = None;
        self.last = Some(pitch);
        self.bends_guessed = true;
    }
}

/// The sign that joins two frets: old tabs write one sign for both ways.
fn joint(sign: char, from: u8, to: u8) -> char {
    match sign {
        '/' | '\\' => {
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

/// What stands around a fret.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Around {
    Nothing,
    Brackets,
    Harmonic,
}

impl Around {
    fn of(cells: &[char], at: usize, length: usize) -> Around {
        let before = at.checked_sub(1).and_then(|before| cells.get(before));
        match (before, cells.get(at + length)) {
            (Some('('), Some(')')) => Around::Brackets,
            (Some('<'), Some('>')) | (Some('['), Some(']')) | (_, Some('*')) => Around::Harmonic,
            _ => Around::Nothing,
        }
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
    fn read(cells: &str) -> (String, String) {
        let mut reader = Reader::default();
        let played = reader.bar(&cells.chars().collect::<Vec<_>>());
        reader.finish();
        let notes = played.iter().map(|note| {
            let join = note.join.map(String::from).unwrap_or_default();
            format!("{}:{join}{}", note.column, note.text)
        });
        (notes.collect::<Vec<_>>().join(" "), reader.unread)
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
            ("", ""),
        ] {
            assert_eq!(read(cells), (notes.to_string(), String::new()), "{cells}");
        }
    }

    #[test]
    fn signs_that_say_nothing_are_told() {
        for (cells, unread) in
            [("-h7-", "h"), ("-7h---", "h"), ("~--7", "~"), ("-7hp5-", "h"), ("-'7-", "'")]
        {
            assert_eq!(read(cells).1, unread, "{cells}");
        }
    }

    #[test]
    fn bends_without_end_end_at_the_last_number() {
        let cells: Vec<char> = "-7".chars().chain("b~".repeat(300).chars()).collect();
        assert_eq!(Reader::default().bar(&cells).len(), 1);
    }
}
