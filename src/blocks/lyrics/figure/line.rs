//! A line of a song set: its words, drawn apart where names would touch, and broken where it is too long.

use super::Measures;
use crate::blocks::figure::Desk;
use crate::blocks::lyrics::{ChordAt, Sung};
use crate::findings::Span;
use crate::ink::{Drawing, Path, Point, Pt, Text};
use crate::theory::Printed;
use crate::words::paper::tab;

/// A line that is set, in one row or, where it was too long, in several.
pub(super) struct Set {
    /// The width of its widest row.
    pub width: Pt,
    /// The height of all its rows.
    pub height: Pt,
    /// How many rows there are.
    pub rows: usize,
    /// Where its chords stand: the place in the text, and from where to where.
    pub places: Vec<(Span, Pt, Pt)>,
    texts: Vec<(Point, Text)>,
    /// The rules that names are to be written on, by their left ends, with their lengths.
    rules: Vec<(Point, Pt)>,
    /// How thick they are.
    rule: Pt,
}

impl Set {
    /// Draws it, its top left corner at a point.
    pub fn draw(&self, drawing: &mut Drawing, at: Point) {
        for (place, text) in &self.texts {
            drawing.text(at + *place, text.clone());
        }
        for (place, width) in &self.rules {
            let end = Point::new(place.x + *width, place.y);
            drawing.path(Path::line(at + *place, at + end, self.rule));
        }
    }
}

/// What can't be parted: a word with the chords over it, or a chord that is played behind the words.
struct Unit {
    parts: Vec<Piece>,
}

/// A part of a word, shaped, with its names.
struct Piece {
    text: Text,
    hyphen: Text,
    names: Vec<(Text, Span)>,
}

/// A row while it is filled.
#[derive(Default)]
struct Row {
    /// Where the next word may begin.
    next: Pt,
    /// Where the next name may begin.
    free: Pt,
    /// The right end of what is set.
    right: Pt,
    names: Vec<(Pt, Text, Span)>,
    texts: Vec<(Pt, Text)>,
}

/// Sets a line in rows no wider than a width, as long as its words let it.
pub(super) fn set(line: &Sung, measures: &Measures, desk: &Desk<'_>, width: Pt) -> Set {
    let units = units(line, measures, desk);
    let setter = Setter {
        space: desk.words(" ", measures.sung()).width,
        air: measures.symbol * if line.words.is_empty() { 1.6 } else { 0.5 },
        indent: measures.indent,
    };
    let mut rows = setter.rows(&units, width);
    if rows.len() > 1 {
        // A narrower measure that takes as many rows keeps the last from being a lone word.
        let (number, least) = (rows.len(), width / rows.len() as f32);
        let narrower =
            (0..EVENER).map(|step| least + (width - least) * (step as f32 / EVENER as f32));
        let even = narrower
            .map(|narrow| setter.rows(&units, narrow))
            .find(|even| even.len() == number && even.iter().all(|row| row.right <= width));
        rows = even.unwrap_or(rows);
    }
    laid(rows, measures)
}

/// So many narrower measures are tried for a line that is broken.
const EVENER: usize = 8;

/// Sets words that are not sung: another part's title.
pub(super) fn remark(lines: Vec<Text>, measures: &Measures) -> Set {
    let leading = measures.size * 1.36;
    let texts = lines.into_iter().zip(0u16..);
    let texts: Vec<(Point, Text)> = texts
        .map(|(text, row)| (Point::new(Pt::ZERO, measures.size + leading * f32::from(row)), text))
        .collect();
    let rows = texts.len();
    Set {
        width: texts.iter().map(|(_, text)| text.width).fold(Pt::ZERO, Pt::max),
        height: leading * rows as f32,
        rows,
        places: Vec::new(),
        texts,
        rules: Vec::new(),
        rule: Pt::ZERO,
    }
}

struct Setter {
    /// The width of a space.
    space: Pt,
    /// The air between two names.
    air: Pt,
    /// How far all rows but the first are moved in.
    indent: Pt,
}

impl Setter {
    fn rows(&self, units: &[Unit], width: Pt) -> Vec<Row> {
        let mut rows = vec![Row::default()];
        for unit in units {
            let Some(row) = rows.last_mut() else { break };
            let begins = row.texts.is_empty() && row.names.is_empty();
            if !begins && self.end(row, unit) > width {
                let (next, free) = (self.indent, self.indent);
                rows.push(Row { next, free, right: self.indent, ..Row::default() });
            }
            if let Some(row) = rows.last_mut() {
                self.put(row, unit);
            }
        }
        rows
    }

    /// Where a unit would end in a row.
    fn end(&self, row: &Row, unit: &Unit) -> Pt {
        let mut measured =
            Row { next: row.next, free: row.free, right: row.right, ..Row::default() };
        self.each(&mut measured, unit, |_, _, _| {});
        measured.right
    }

    fn put(&self, row: &mut Row, unit: &Unit) {
        let (mut names, mut texts) = (Vec::new(), Vec::new());
        self.each(row, unit, |x, text, span| match span {
            Some(span) => names.push((x, text.clone(), span)),
            None => texts.push((x, text.clone())),
        });
        row.names.extend(names);
        row.texts.extend(texts);
    }

    /// Goes through what is drawn of a unit from the left: each text with its place, and for names where they
    /// stand in the lesson.
    fn each(&self, row: &mut Row, unit: &Unit, mut draw: impl FnMut(Pt, &Text, Option<Span>)) {
        // The hyphen of the part before stands in the middle of the gap that a name opens.
        let mut before: Option<(&Text, Pt)> = None;
        for piece in &unit.parts {
            let named = !piece.names.is_empty();
            let hyphen = before.map_or(Pt::ZERO, |(hyphen, _)| hyphen.width);
            let begin = match named {
                true => (row.next + hyphen).max(row.free),
                false => row.next + hyphen,
            };
            if let Some((hyphen, end)) = before.take() {
                draw(end + (begin - end - hyphen.width) / 2.0, hyphen, None);
            }
            let mut x = begin;
            for (name, span) in &piece.names {
                draw(x, name, Some(*span));
                row.right = row.right.max(x + name.width);
                x = x + name.width + self.air;
                row.free = x;
            }
            draw(begin, &piece.text, None);
            row.next = begin + piece.text.width;
            row.right = row.right.max(row.next);
            before = Some((&piece.hyphen, row.next));
        }
        row.next += self.space;
    }
}

/// How wide a place is that a name is to be written at, in sizes of printed names: room for Gm7 by hand (assumed).
const PENCIL: f32 = 2.4;
/// How much higher than printed names, in their sizes, names by hand may be (assumed).
const BY_HAND: f32 = 0.5;
/// The rule beneath them, in their sizes: as thick as that of changes.
const RULE: f32 = 0.045;

fn units(line: &Sung, measures: &Measures, desk: &Desk<'_>) -> Vec<Unit> {
    let name = |chord: &ChordAt| {
        if chord.free {
            return (Text { width: measures.symbol * PENCIL, ..Text::default() }, chord.span);
        }
        let printed = chord.printed.as_ref();
        let printed =
            printed.map_or_else(|| Printed::plain(tab::NO_CHORD), |chord| chord.printed());
        (desk.symbol(&printed, measures.name()), chord.span)
    };
    let sung = |text: &str| match text {
        "" => Text::default(),
        text => desk.words(text, measures.sung()),
    };
    let words = line.words.iter().map(|word| {
        let piece = |part: &crate::blocks::lyrics::Part| Piece {
            text: sung(&part.text),
            hyphen: sung(&part.hyphen),
            names: part.chords.iter().map(name).collect(),
        };
        Unit { parts: word.parts.iter().map(piece).collect() }
    });
    let after = line.after.iter().map(|chord| {
        let (text, hyphen) = (Text::default(), Text::default());
        Unit { parts: vec![Piece { text, hyphen, names: vec![name(chord)] }] }
    });
    words.chain(after).collect()
}

/// Puts rows beneath each other.
fn laid(rows: Vec<Row>, measures: &Measures) -> Set {
    let mut set = Set {
        width: Pt::ZERO,
        height: Pt::ZERO,
        rows: rows.len(),
        places: Vec::new(),
        texts: Vec::new(),
        rules: Vec::new(),
        rule: measures.symbol * RULE,
    };
    for (index, row) in rows.into_iter().enumerate() {
        if index > 0 {
            set.height += measures.between * 0.5;
        }
        let (named, worded) = (!row.names.is_empty(), !row.texts.is_empty());
        let top = set.height;
        let is_free = row.names.iter().any(|(_, name, _)| name.runs.is_empty());
        let by_hand = if is_free { BY_HAND } else { 0.0 };
        let names = top + measures.symbol * (0.78 + by_hand);
        let words = match (named, worded) {
            (true, true) => names + measures.rise,
            (true, false) => names,
            (false, _) => top + measures.size,
        };
        set.width = set.width.max(row.right);
        set.height = words + measures.size * 0.3;
        for (x, text, span) in row.names {
            set.places.push((span, x, x + text.width));
            match text.runs.is_empty() {
                true => set.rules.push((Point::new(x, names), text.width)),
                false => set.texts.push((Point::new(x, names), text)),
            }
        }
        let words_at = row.texts.into_iter().filter(|(_, text)| !text.runs.is_empty());
        set.texts.extend(words_at.map(|(x, text)| (Point::new(x, words), text)));
    }
    set
}
