//! The frets of a chord shape as they are written: `x 0 2 4 2 0`, `x02420`.

use crate::findings::source::{Line, Span, Spanned};
use crate::neck::Fret;

/// One fret for each string, the lowest-placed first, as written in one place of the lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FretRow<'a> {
    line: Line<'a>,
    /// For each string its fret (0 is open), `None` where it is silent, each with its place.
    pub frets: Vec<Spanned<Option<u32>>>,
    /// Whether all frets are run together in one word, one character each.
    pub together: bool,
}

impl<'a> FretRow<'a> {
    /// Reads frets that are parted by spaces. A single word, or one with an `x` in it, is several frets, one
    /// character each.
    ///
    /// # Errors
    /// Says what is no fret, and where.
    pub fn read(line: Line<'a>) -> Result<FretRow<'a>, Spanned<String>> {
        let words: Vec<Line> = line.words().collect();
        let together = words.len() == 1;
        let pieces = words.into_iter().flat_map(|word| {
            let several = together || word.text.contains(['x', 'X']);
            if several { word.characters().collect() } else { vec![word] }
        });
        let fret = |piece: Line| match read_fret(piece.text) {
            Some(value) => Ok(Spanned { value, span: piece.whole() }),
            None => {
                Err(Spanned { value: format!("`{}` is no fret", piece.text), span: piece.whole() })
            }
        };
        let frets = pieces.map(fret).collect::<Result<_, _>>()?;
        Ok(FretRow { line, frets, together })
    }

    /// Where the frets stand, from the first to the last.
    pub fn span(&self) -> Span {
        let ends = self.frets.first().zip(self.frets.last());
        ends.map_or(self.line.whole(), |(first, last)| first.span.to(last.span))
    }

    /// The text that makes these frets out of the row, and the place that it replaces: from the
    /// first fret that changes to the last. Where that wouldn't be read as these frets (one of two
    /// digits among frets run together), the whole row is written anew. `None` where nothing
    /// changes, or the number of frets does.
    pub fn rewritten(&self, frets: &[Option<Fret>]) -> Option<(Span, String)> {
        if frets.len() != self.frets.len() {
            return None;
        }
        let is_new = |at: &usize| {
            let (old, new) = (self.frets.get(*at), frets.get(*at));
            old.map(|old| old.value) != new.map(|new| new.map(u32::from))
        };
        let first = (0..frets.len()).find(is_new)?;
        let last = (0..frets.len()).rfind(is_new)?;
        let span = self.frets.get(first)?.span.to(self.frets.get(last)?.span);
        let replacement = self.with_gaps(first, last, frets);
        let whole = self.line.whole();
        let before = self.line.at(Span::new(whole.start, span.start)).text;
        let after = self.line.at(Span::new(span.end, whole.end)).text;
        let row = format!("{before}{replacement}{after}");
        let read = FretRow::read(Line { text: &row, start: 0 }).ok()?;
        let wanted = frets.iter().map(|fret| fret.map(u32::from));
        if read.frets.iter().map(|fret| fret.value).eq(wanted) {
            return Some((span, replacement));
        }
        let parted: Vec<String> = frets.iter().map(|fret| written(*fret)).collect();
        Some((self.span(), parted.join(" ")))
    }

    /// The frets from one string to another with the gaps between them as the row has them.
    fn with_gaps(&self, first: usize, last: usize, frets: &[Option<Fret>]) -> String {
        let mut text = String::new();
        let mut before: Option<Span> = None;
        for (old, new) in self.frets.iter().zip(frets).take(last + 1).skip(first) {
            let gap = before.map(|before| self.line.at(Span::new(before.end, old.span.start)));
            text += gap.map_or("", |gap| gap.text);
            text += &written(*new);
            before = Some(old.span);
        }
        text
    }
}

/// Reads one fret, or the `x` of a silent string. Numbers too large for any neck are kept large.
fn read_fret(text: &str) -> Option<Option<u32>> {
    if matches!(text, "x" | "X") {
        return Some(None);
    }
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| Some(text.parse().unwrap_or(u32::MAX)))
}

/// A fret as it is written.
pub fn written(fret: Option<Fret>) -> String {
    fret.map_or("x".to_string(), |fret| fret.to_string())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn frets(text: &str) -> Vec<Option<Fret>> {
        let row = FretRow::read(Line { text, start: 0 }).unwrap();
        row.frets.iter().map(|fret| fret.value.map(|fret| Fret::new(fret as u8))).collect()
    }

    #[test]
    fn frets_are_parted_or_run_together() {
        let fret = |fret: u8| Some(Fret::new(fret));
        for (text, read) in [
            ("x02420", vec![None, fret(0), fret(2), fret(4), fret(2), fret(0)]),
            ("x 0 2 4 2 0", vec![None, fret(0), fret(2), fret(4), fret(2), fret(0)]),
            ("X  10 12 12", vec![None, fret(10), fret(12), fret(12)]),
            ("xx 10 12", vec![None, None, fret(10), fret(12)]),
            ("x02 10", vec![None, fret(0), fret(2), fret(10)]),
            ("", vec![]),
        ] {
            assert_eq!(frets(text), read, "{text}");
        }
    }

    #[test]
    fn what_is_no_fret_is_told_with_its_place() {
        for (text, message, start, end) in [
            ("x0y420", "`y` is no fret", 12, 13),
            ("x 0 2a 4", "`2a` is no fret", 14, 16),
            ("x 0 -1 4", "`-1` is no fret", 14, 16),
            ("x0é", "`é` is no fret", 12, 14),
        ] {
            let error = FretRow::read(Line { text, start: 10 }).unwrap_err();
            assert_eq!(error, Spanned { value: message.to_string(), span: Span::new(start, end) });
        }
    }

    #[test]
    fn a_change_rewrites_only_what_changes() {
        for (text, frets, replaced, by) in [
            ("x02220", "x 0 2 4 2 0", "2", "4"),
            ("x02220", "x 0 4 2 4 0", "222", "424"),
            ("x02220", "x 0 2 12 2 0", "x02220", "x 0 2 12 2 0"),
            ("x 0  2 2 2 0", "x 0 4 2 4 0", "2 2 2", "4 2 4"),
            ("x 0  2 2 2 0", "x 5 4 2 2 0", "0  2", "5  4"),
            ("x 10 12 12", "x 9 12 12", "10", "9"),
            ("x 10 12 12", "x x 12 12", "10", "x"),
            ("xx 10 12", "x 9 10 12", "x", "9"),
            ("xx 10 12", "0 9 10 12", "xx 10 12", "0 9 10 12"),
            ("xx 10 12", "x 11 10 12", "xx 10 12", "x 11 10 12"),
        ] {
            let row = FretRow::read(Line { text, start: 7 }).unwrap();
            let (span, replacement) = row.rewritten(&self::frets(frets)).unwrap();
            let old = text.get(span.start - 7..span.end - 7).unwrap();
            assert_eq!((old, replacement.as_str()), (replaced, by), "{text} to {frets}");
        }
        let row = FretRow::read(Line { text: "x02220", start: 0 }).unwrap();
        assert_eq!(row.rewritten(&self::frets("x02220")), None);
        assert_eq!(row.rewritten(&self::frets("02220")), None);
    }
}
