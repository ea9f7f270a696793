//! Lines: a row of tab, what is said about rows, shapes of chords, the name of a section, or words.

use super::directions;
use super::endings;
use super::letters;
use super::lines_beside::{self, Held, Mark, RepeatSign};
use super::remarks;
use super::row::Row;
use super::sections;
use super::shapes::{self, Shape};

/// A line of the text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    /// As it stands, spaces for tab characters.
    pub text: String,
    pub kind: Kind,
}

/// What a line of the text is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    Blank,
    Row(Row),
    /// Names of chords, remarks in brackets beside them left out.
    Chords(Vec<Mark>),
    Counts(Vec<Mark>),
    /// Strokes, each `d`, `u` or `x`.
    Strokes(Vec<Mark>),
    Accents(Vec<Mark>),
    /// Plucking fingers.
    Fingers(Vec<Mark>),
    /// Letters that only the player knows.
    Letters(Vec<Mark>),
    /// A repeat sign on a line of its own.
    Repeat(RepeatSign),
    /// What is held, from which column to which.
    Held(Held, Vec<(usize, usize)>),
    /// How often.
    Times(u8),
    Shapes(Vec<Shape>),
    /// Endings of a repeat.
    Endings(Vec<Mark>),
    /// How it is played, in signs or words.
    Directions(Vec<Mark>),
    /// The name of a section.
    Section(String),
    /// A rule across the page.
    Rule,
    Words,
}

/// How many rows with letters may be a whole system, or several.
const WHOLE: [usize; 2] = [4, 6];

/// Columns from one tab stop to the next.
const TAB_STOP: usize = 8;

/// Reads the lines of a text.
pub(super) fn read(text: &str) -> Vec<Line> {
    let lines: Vec<Line> = text.lines().flat_map(|line| read_line(expanded(line))).collect();
    let groups = lines.chunk_by(|one, next| one.row().is_some() == next.row().is_some());
    groups.flat_map(|group| without_rules(&without_figures(group))).collect()
}

impl Line {
    fn row(&self) -> Option<&Row> {
        match &self.kind {
            Kind::Row(row) => Some(row),
            _ => None,
        }
    }

    /// Words that are nothing else.
    pub fn words(text: impl Into<String>) -> Line {
        Line { text: text.into(), kind: Kind::Words }
    }

    /// Whether nothing stands there.
    pub fn is_blank(&self) -> bool {
        self.kind == Kind::Blank
    }
}

/// Lines that stand together, those of figures made what they say where all rows have their letters
/// without them, or one stands alone and has gaps: counts with dashes between, fingers, tuplets.
fn without_figures(group: &[Line]) -> Vec<Line> {
    let labelled = |line: &&Line| line.row().is_some_and(|row| row.label.is_some());
    let rows = group.iter().filter(labelled).count();
    let is_whole = |rows: usize| rows > 0 && WHOLE.iter().any(|w| rows.is_multiple_of(*w));
    let opened =
        group.iter().filter(labelled).filter(|line| line.row().is_some_and(Row::is_opened));
    let opened = opened.count();
    // Of rows with bar lines behind their letters a letter without one is a sign: `C5-----|`.
    let by_lines = !is_whole(rows) && is_whole(opened);
    let whole = is_whole(rows) || by_lines;
    let is_sign = |line: &Line| {
        line.row().is_some_and(|row| {
            let is_stray = if by_lines { !row.is_opened() } else { row.begins_with_number() };
            whole && is_stray && opened > 0 && !row.is_bare()
        })
    };
    let alone = |line: &Line| group.len() == 1 && line.text.trim().contains(' ');
    let is_bare = |line: &Line| line.row().is_some_and(|row| row.label.is_none());
    let kind = |line: &Line| {
        // Underscores are hardly the dashes of one row among others that have letters.
        let above = whole || (rows > 0 && line.text.contains('_')) || group.len() == 1;
        if is_sign(line) && lines_beside::counts(&line.text).is_none() {
            Kind::Words
        } else if !is_bare(line) {
            line.kind.clone()
        } else if let Some(directions) = directions::read(&line.text).filter(|_| above) {
            Kind::Directions(directions)
        } else if (whole || alone(line)) && lines_beside::is_figures(&line.text) {
            lines_beside::counts(&line.text).map_or(Kind::Words, Kind::Counts)
        } else {
            line.kind.clone()
        }
    };
    let signs = whole || group.len() == 1;
    let apart = |line: &Line| if signs { without_remark(line) } else { vec![line.clone()] };
    let lines = group.iter().flat_map(apart);
    lines.map(|line| Line { kind: kind(&line), ..line }).collect()
}

/// A bare row of tuplets with what stands beside it: one line, or what is held on a line of its own before
/// it; any other line as it is.
fn without_remark(line: &Line) -> Vec<Line> {
    let row = line.row().filter(|row| row.label.is_none() && !row.remark.is_empty());
    let parted = row.and_then(|row| Some((line.text.strip_suffix(&row.remark)?, &row.remark)));
    let Some((signs, remark)) = parted.filter(|(signs, _)| directions::read(signs).is_some())
    else {
        return vec![line.clone()];
    };
    if lines_beside::held(remark).is_none() {
        let kind = Kind::Directions(remarks::parts(&line.text));
        return vec![Line { kind, ..line.clone() }];
    }
    let remark = read_line(" ".repeat(signs.chars().count()) + remark);
    let signs = Line { text: signs.trim_end().to_string(), kind: line.kind.clone() };
    remark.into_iter().chain([signs]).collect()
}

/// Lines that stand together, bare ones made rules across the page where they are: those above and
/// below rows that have letters or bar lines, and those that stand alone.
fn without_rules(group: &[Line]) -> Vec<Line> {
    let is_ruled = |line: &Line| line.row().is_some_and(Row::is_ruled);
    let is_bare = |line: &Line| line.row().is_some_and(Row::is_bare);
    let first = group.iter().position(is_ruled);
    let last = group.iter().rposition(is_ruled);
    let alone = group.iter().all(is_bare);
    let is_rule = |index: usize, line: &Line| {
        let outside =
            first.is_some_and(|first| index < first) || last.is_some_and(|last| index > last);
        is_bare(line) && (outside || alone)
    };
    let has_words = |line: &Line| line.row().is_some_and(|row| !row.remark.is_empty());
    let lines = group.iter().enumerate().map(|(index, line)| match is_rule(index, line) {
        true if has_words(line) => Line::words(line.text.clone()),
        true => Line { kind: Kind::Rule, ..line.clone() },
        false => line.clone(),
    });
    lines.collect()
}

/// A line; several where the name of a section stands before chords, or remarks beside what is held.
fn read_line(text: String) -> Vec<Line> {
    if let Some((name, chords)) = sections::before_chords(&text) {
        let section = Line { text: name.clone(), kind: Kind::Section(name) };
        return std::iter::once(section).chain(read_line(chords)).collect();
    }
    let kind = kind(&text);
    if let Some(parts) = remarks::parted(&text).filter(|_| kind == Kind::Words) {
        return parts.into_iter().flat_map(read_line).collect();
    }
    if let Some(parts) = endings::beside_chords(&text).filter(|_| kind == Kind::Words) {
        return parts.into_iter().flat_map(read_line).collect();
    }
    vec![Line { text, kind }]
}

fn kind(text: &str) -> Kind {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Kind::Blank;
    }
    let cue = || {
        let chords = lines_beside::chords(text).map(Kind::Chords);
        let counts = || lines_beside::counts(text).map(Kind::Counts);
        let strokes = || lines_beside::strokes(text).map(Kind::Strokes);
        let held = || lines_beside::held(text).map(|(held, spans)| Kind::Held(held, spans));
        let accents = || lines_beside::accents(text).map(Kind::Accents);
        let fingers = || letters::fingers(text).map(Kind::Fingers);
        let letters = || letters::letters(text).map(Kind::Letters);
        let repeat = || lines_beside::repeat_sign(text).map(Kind::Repeat);
        let said = chords.or_else(counts).or_else(strokes).or_else(held);
        said.or_else(accents).or_else(fingers).or_else(letters).or_else(repeat)
    };
    let endings = endings::read(text).map(Kind::Endings);
    let is_row = |row: &Row| row.label.is_some() || !lines_beside::is_counted(text);
    let row = || Row::read(text).filter(is_row).map(Kind::Row);
    let times = || lines_beside::times(text).map(Kind::Times);
    let shapes = || shapes::read(text).map(Kind::Shapes);
    let remarked =
        || lines_beside::chords_with_remarks(text).map(|(chords, _)| Kind::Chords(chords));
    let directions = || directions::read(text).map(Kind::Directions);
    let section = || sections::name(trimmed).map(Kind::Section);
    let rule = || is_rule(trimmed).then_some(Kind::Rule);
    let found = endings
        .or_else(row)
        .or_else(cue)
        .or_else(times)
        .or_else(shapes)
        .or_else(remarked)
        .or_else(directions)
        .or_else(section)
        .or_else(rule);
    found.unwrap_or(Kind::Words)
}

/// Whether a line is one sign over and over, or several of those that are drawn across a page.
fn is_rule(line: &str) -> bool {
    let is_drawn =
        |c: char| matches!(c, '-' | '=' | '_' | '*' | '~' | '#' | '.' | '+' | ' ' | '─' | '═');
    // The corners of a box.
    let inner = line.trim_matches(|c: char| {
        matches!(c, '/' | '\\' | '\'' | '`' | ',' | '╔' | '╗' | '╚' | '╝' | '┌' | '┐' | '└' | '┘')
    });
    // What has wide gaps stands under columns and is no rule.
    let is_even = !inner.trim().contains("  ") || lines_beside::waves(line).is_some();
    inner.chars().count() > 2 && is_even && inner.chars().all(is_drawn)
}

/// A line with spaces for its tab characters.
fn expanded(line: &str) -> String {
    let mut expanded = String::new();
    let mut column = 0;
    for character in line.trim_end().chars() {
        let width = if character == '\t' { TAB_STOP - column % TAB_STOP } else { 1 };
        match character {
            '\t' => expanded.extend(std::iter::repeat_n(' ', width)),
            _ => expanded.push(character),
        }
        column += width;
    }
    expanded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_above_lettered_rows_are_no_string() {
        let rows = |letters: &str| -> String {
            letters.chars().map(|letter| format!("{letter}|-0-2-3-|\n")).collect()
        };
        for (text, kind) in [
            (format!("--1-2-3--\n{}", rows("GDAE")), Some("counts")),
            (format!("1 - 3 - 2 -\n{}", rows("eBGDAE")), Some("words")),
            ("1-&-4-&-3-&".to_string(), Some("words")),
            ("1 - 3 - 2 - 4".to_string(), Some("words")),
            ("--3---2---".to_string(), None),
            ("1-&-2-&-3-&".to_string(), Some("counts")),
            (format!("--1-2-3--\n{}", rows("BGDAE")), None),
        ] {
            let kinds = read(&text).into_iter().next().map(|line| match line.kind {
                Kind::Counts(_) => "counts",
                Kind::Words => "words",
                _ => "row",
            });
            assert_eq!(kinds.filter(|kind| *kind != "row"), kind, "{text}");
        }
    }
}
