//! Lists of chord shapes: `Am: x02210`.

use super::lines_beside::is_chord;

/// A chord's shape as it is listed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Shape {
    name: String,
    /// A fret for each string from the lowest, `x` where it isn't played.
    frets: Vec<String>,
    /// What stands behind it.
    remark: String,
}

/// How many strings a shape may have.
const STRINGS: std::ops::RangeInclusive<usize> = 4..=8;

/// Reads a line of names with their frets, one or several, words behind the last.
pub(super) fn read(line: &str) -> Option<Vec<Shape>> {
    let mut shapes = Vec::new();
    let mut rest = line.trim();
    while let Some((shape, behind)) = next(rest) {
        shapes.push(shape);
        rest = behind.trim_start_matches([' ', ',', ';', '|']);
    }
    let remark = rest.trim();
    // Digits may be a shape that can't be read: the line is better kept as it stands.
    let plain = !remark.contains(|c: char| c.is_ascii_digit()) || shapes.len() == 1;
    shapes.last_mut()?.remark = remark.to_string();
    plain.then_some(shapes)
}

/// The shape that a text begins with, and what stands behind it.
fn next(text: &str) -> Option<(Shape, &str)> {
    let (first, behind) = word(text)?;
    let shape = |name: &str, frets| Shape { name: name.to_string(), frets, remark: String::new() };
    if is_chord(first) {
        let behind = behind.trim_start_matches([' ', ':', '=', '-', '–']);
        let (frets, behind) = frets(behind)?;
        return Some((shape(first, frets), behind));
    }
    let (found, behind) = frets(text)?;
    let (name, behind) = word(behind.trim_start_matches([' ', ':', '=', '-', '–']))?;
    is_chord(name).then(|| (shape(name, found), behind))
}

/// The first word, without a colon or a sign of equality at its end.
fn word(text: &str) -> Option<(&str, &str)> {
    let end = text.find([' ', ':', '=', ',']).unwrap_or(text.len());
    let (word, behind) = text.split_at_checked(end)?;
    (!word.is_empty()).then_some((word, behind))
}

/// The frets that a text begins with, in brackets or not: written together, or parted by spaces or
/// dashes.
fn frets(text: &str) -> Option<(Vec<String>, &str)> {
    let (text, close) = match text.strip_prefix(['(', '[']) {
        Some(inner) => (inner, true),
        None => (text, false),
    };
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, 'x' | 'X' | '-' | ' ')))
        .unwrap_or(text.len());
    let (inner, behind) = text.split_at_checked(end)?;
    let behind = if close { behind.strip_prefix([')', ']'])? } else { behind };
    let parted = behind.is_empty()
        || close
        || behind.starts_with([',', ';', '|', '('])
        || inner.ends_with(' ');
    if !parted {
        return None;
    }
    let first = inner.split(' ').next().unwrap_or_default();
    let single = |text: &str| text.chars().map(String::from).collect::<Vec<String>>();
    let is_fret = |fret: &String| is_fret(fret);
    // `x02210` stands alone; what follows may be another.
    if STRINGS.contains(&first.len()) && !first.contains('-') {
        let length = first.len();
        let behind = if inner.trim_end().len() > length { text.get(length..)? } else { behind };
        return Some((single(first), behind));
    }
    let dashed = first.trim_matches('-');
    let parts: Vec<String> = match dashed.contains('-') {
        true => dashed.split('-').map(String::from).collect(),
        false => inner.split_whitespace().map(String::from).collect(),
    };
    let whole = dashed.contains('-') && inner.trim().len() > first.len();
    let found = STRINGS.contains(&parts.len()) && parts.iter().all(is_fret) && !whole;
    found.then_some((parts, behind))
}

fn is_fret(fret: &str) -> bool {
    matches!(fret, "x" | "X")
        || (fret.len() <= 2 && fret.parse::<u8>().is_ok_and(|fret| fret <= 24))
}

impl Shape {
    /// How many strings it has.
    pub fn strings(&self) -> usize {
        self.frets.len()
    }
}

/// A `shape` block for lines that follow each other; without the lesson's capo where words say so.
pub(super) fn block(shapes: &[Shape], without_capo: Option<&str>) -> String {
    let phrase = without_capo.map(|_| " capo none").unwrap_or_default();
    let guess = without_capo.map(|words| format!("# guessed: no capo, from the words `{words}`\n"));
    let guess = guess.unwrap_or_default();
    let line = |shape: &Shape| {
        let remark = if shape.remark.is_empty() { "" } else { "   -- " };
        let together = shape.frets.iter().all(|fret| fret.len() == 1);
        let frets = shape.frets.join(if together { "" } else { " " }).to_lowercase();
        format!("{:<8}{frets}{remark}{}\n", format!("{} ", shape.name), shape.remark)
    };
    format!("~~~ shape{phrase}\n{guess}{}~~~\n", shapes.iter().map(line).collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shapes_are_read_as_they_are_listed() {
        let told = |line: &str| {
            let shapes = read(line)?.into_iter();
            let each = shapes.map(|s| {
                format!("{} {} {}", s.name, s.frets.join("."), s.remark).trim().to_string()
            });
            Some(each.collect::<Vec<_>>().join(" | "))
        };
        for (line, expected) in [
            ("Am: x02210", Some("Am x.0.2.2.1.0")),
            ("Am x02210 (two fingers)", Some("Am x.0.2.2.1.0 (two fingers)")),
            ("C = x-3-2-0-1-0", Some("C x.3.2.0.1.0")),
            ("G (320003)", Some("G 3.2.0.0.0.3")),
            ("D5 x x 10 12 13 x", Some("D5 x.x.10.12.13.x")),
            ("x02210 Am", Some("Am x.0.2.2.1.0")),
            ("Am x02210  G 320003", Some("Am x.0.2.2.1.0 | G 3.2.0.0.0.3")),
            ("Am: X02210, C: x32010", Some("Am X.0.2.2.1.0 | C x.3.2.0.1.0")),
            ("Am 1 2", None),
            ("call 555123", None),
            ("Am F C", None),
        ] {
            assert_eq!(told(line).as_deref(), expected, "{line}");
        }
    }
}
