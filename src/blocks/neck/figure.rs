//! Drawing neck diagrams: strings across, the highest on top as a player reads a tab, frets from the
//! nut, inlays between the strings and labelled dots.
//!
//! A root is a square and heavy, another tone a circle; tones of the marked chord are filled, the
//! others are open. So nothing depends on colour.

use super::{Diagram, Diagrams, Dot, Subject};
use crate::blocks::figure::{Desk, DotLabel, Figure};
use crate::ink::{Drawing, Face, Label, Path, Point, Pt, Stroke, Style, pt};
use crate::neck::Instrument;
use crate::theory::Printed;

/// A fret is never drawn wider than this: four frets should not fill a page.
const WIDEST_FRET: Pt = pt(46.0);
/// The width of the column of open strings, left of the nut.
const OPEN_COLUMN: Pt = pt(22.0);
/// The width of the strings' letters.
const LETTERS: Pt = pt(15.0);
/// The distance between two diagrams in a row, and between rows.
const BETWEEN: Pt = pt(22.0);
/// The frets that have an inlay; 12 and 24 have two.
const INLAYS: [u8; 10] = [3, 5, 7, 9, 12, 15, 17, 19, 21, 24];

impl Diagrams {
    /// The block's figure.
    pub fn figure(&self, desk: &Desk<'_>) -> Figure {
        let drawn: Vec<Drawing> =
            self.list.iter().map(|diagram| Board::new(self, diagram, desk).draw(desk)).collect();
        let words: Vec<String> = self.list.iter().map(|one| self.words(one)).collect();
        let labelled = drawn.into_iter().zip(self.list.iter().zip(&words));
        let labelled = labelled.map(|(drawing, (diagram, words))| {
            let title = diagram.subject.printed().text();
            (drawing, Label::Words { title, words: words.clone() })
        });
        Figure { words: words.join(" "), strips: in_rows(labelled.collect(), desk.width) }
    }

    fn words(&self, diagram: &Diagram) -> String {
        let mut words = format!("{}, {}", diagram.subject.spoken(), frets_in_words(diagram));
        if let Some(chord) = &diagram.marking {
            words += &format!(", the tones of {} marked", chord.spoken());
        }
        words += ".";
        for string in (0..self.instrument.tuning.len()).rev() {
            let dots: Vec<String> = diagram
                .dots
                .iter()
                .filter(|dot| dot.string == string)
                .map(|dot| dot_in_words(dot, diagram.marking.is_some()))
                .collect();
            if !dots.is_empty() {
                let name = ordinal(self.instrument.tuning.number(string));
                words += &format!(" {name} string: {}.", dots.join("; "));
            }
        }
        words
    }
}

fn frets_in_words(diagram: &Diagram) -> String {
    format!("frets {} to {}", diagram.frets.start(), diagram.frets.end())
}

fn dot_in_words(dot: &Dot, marking: bool) -> String {
    let place = if dot.fret == 0 { "open".to_owned() } else { format!("fret {}", dot.fret) };
    let mut words = format!("{place}, {}", dot.note.spoken());
    if dot.root {
        words += ", the root";
    } else if let Some(degree) = dot.degree {
        words += &format!(", {}", degree.spoken());
    }
    if marking && dot.marked {
        words += ", marked";
    }
    words
}

/// The number of a string in words, as a sentence begins with it.
fn ordinal(number: usize) -> String {
    const WORDS: [&str; 12] = [
        "First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth",
        "Tenth", "Eleventh", "Twelfth",
    ];
    WORDS.get(number.wrapping_sub(1)).map_or_else(|| number.to_string(), |word| (*word).to_owned())
}

impl Subject {
    fn printed(&self) -> Printed {
        match self {
            Subject::Scale(scale) => Printed::plain(scale.printed()),
            Subject::Chord(chord) => chord.printed(),
            Subject::Notes(notes) => {
                let notes: Vec<String> = notes.iter().map(|note| note.printed()).collect();
                Printed::plain(notes.join(" "))
            }
            Subject::Block(title) => Printed::plain(title.clone()),
            Subject::Places => Printed::default(),
        }
    }

    fn spoken(&self) -> String {
        match self {
            Subject::Chord(chord) => format!("The neck with the tones of {}", chord.spoken()),
            Subject::Scale(scale) => {
                format!("The neck with {} {}", scale.tonic.spoken(), scale.kind.name())
            }
            Subject::Notes(notes) => {
                let notes: Vec<String> = notes.iter().map(|note| note.spoken()).collect();
                format!("The neck with the notes {}", notes.join(", "))
            }
            Subject::Block(title) => format!("The neck with the notes of {title}"),
            Subject::Places => "The neck with places marked".to_owned(),
        }
    }
}

/// Puts drawings beside each other as far as the width allows, and in rows beneath each other.
fn in_rows(drawings: Vec<(Drawing, Label)>, width: Pt) -> Vec<Drawing> {
    let mut rows: Vec<Drawing> = Vec::new();
    let mut used = Pt::ZERO;
    for (drawing, label) in drawings {
        let fits = used > Pt::ZERO && used + BETWEEN + drawing.width <= width;
        let Some(row) = rows.last_mut().filter(|_| fits) else {
            used = drawing.width;
            let mut row = Drawing::new(width, drawing.height);
            row.place(Point::default(), drawing, label);
            rows.push(row);
            continue;
        };
        let x = used + BETWEEN;
        used = x + drawing.width;
        row.height = row.height.max(drawing.height);
        row.place(Point::new(x, Pt::ZERO), drawing, label);
    }
    rows
}

/// One diagram's measures.
struct Board<'a> {
    instrument: &'a Instrument,
    left_handed: bool,
    diagram: &'a Diagram,
    label: DotLabel,
    /// The size of the labels in dots.
    size: Pt,
    radius: Pt,
    gap: Pt,
    /// Where the first string's line lies.
    top: Pt,
    /// Where each drawn fret ends, from the left edge for a right-handed player; the first entry
    /// is where the first fret begins.
    edges: Vec<Pt>,
    /// The first fret that is drawn as a column.
    first: u8,
    width: Pt,
}

impl<'a> Board<'a> {
    fn new(diagrams: &'a Diagrams, diagram: &'a Diagram, desk: &Desk<'_>) -> Board<'a> {
        let size = desk.look.small_size;
        let radius = (size * 0.82).max(desk.look.box_gap * 0.42);
        let gap = (radius * 2.0 + pt(1.6)).max(desk.look.box_gap);
        let opens = *diagram.frets.start() == 0;
        let first = (*diagram.frets.start()).max(1);
        let last = (*diagram.frets.end()).max(first);
        let left = LETTERS + if opens { OPEN_COLUMN } else { pt(4.0) };
        let edges = fret_edges(left, desk.width - pt(2.0), first, last);
        let width = edges.last().copied().unwrap_or(left) + pt(2.0);
        let titled = !matches!(diagram.subject, Subject::Places);
        let top = radius + pt(2.0) + if titled { desk.look.symbol_size * 1.45 } else { Pt::ZERO };
        Board {
            instrument: &diagrams.instrument,
            left_handed: diagrams.left_handed,
            diagram,
            label: diagram.label.unwrap_or(desk.look.label),
            size,
            radius,
            gap,
            top,
            edges,
            first,
            width,
        }
    }

    fn draw(&self, desk: &Desk<'_>) -> Drawing {
        let below = self.radius + pt(4.0) + self.size;
        let height = self.y(0) + below + pt(4.0);
        let mut drawing = Drawing::new(self.width, height);
        let title_style = Style::new(Face::SansBold, desk.look.symbol_size);
        let title = desk.symbol(&self.diagram.subject.printed(), title_style);
        drawing.text(Point::new(self.title_x(title.width), desk.look.symbol_size), title);
        self.inlays(&mut drawing);
        self.frets(&mut drawing);
        self.strings(&mut drawing, desk);
        self.numbers(&mut drawing, desk);
        for dot in &self.diagram.dots {
            self.dot(dot, &mut drawing, desk);
        }
        drawing
    }

    fn title_x(&self, width: Pt) -> Pt {
        if self.left_handed { (self.width - width).max(Pt::ZERO) } else { Pt::ZERO }
    }

    /// A place across, mirrored for a left-handed player.
    fn x(&self, x: Pt) -> Pt {
        if self.left_handed { self.width - x } else { x }
    }

    /// The line of a string by its index, the last one on top.
    fn y(&self, string: usize) -> Pt {
        let down = self.instrument.tuning.len().saturating_sub(1 + string);
        self.top + self.gap * down as f32
    }

    fn edge(&self, index: usize) -> Pt {
        self.edges.get(index).copied().unwrap_or(self.width)
    }

    /// Where a fret's dots stand: in the middle of its column, open strings left of the nut.
    fn column(&self, fret: u8) -> Pt {
        if fret == 0 {
            return self.x(self.edge(0) - OPEN_COLUMN / 2.0);
        }
        let index = usize::from(fret.saturating_sub(self.first));
        self.x((self.edge(index) + self.edge(index + 1)) / 2.0)
    }

    fn last(&self) -> u8 {
        self.first + (self.edges.len().saturating_sub(2)) as u8
    }

    fn inlays(&self, drawing: &mut Drawing) {
        let (top, bottom) = (self.y(self.instrument.tuning.len() - 1), self.y(0));
        for fret in INLAYS.iter().map(|real| real.saturating_sub(self.instrument.capo)) {
            if fret < self.first || fret > self.last() {
                continue;
            }
            let x = self.column(fret);
            let two = matches!(fret + self.instrument.capo, 12 | 24);
            let heights: &[f32] = if two { &[0.3, 0.7] } else { &[0.5] };
            for share in heights {
                let y = top + (bottom - top) * *share;
                drawing.path(Path::circle(Point::new(x, y), self.radius * 0.5, Some(0.82), None));
            }
        }
    }

    fn frets(&self, drawing: &mut Drawing) {
        let (top, bottom) = (self.y(self.instrument.tuning.len() - 1), self.y(0));
        for (index, edge) in self.edges.iter().enumerate() {
            let nut = index == 0 && self.first == 1;
            let x = self.x(*edge);
            let width = if nut { pt(3.2) } else { pt(0.7) };
            let over = width / 2.0;
            let (from, to) = (Point::new(x, top - over), Point::new(x, bottom + over));
            drawing.path(Path::line(from, to, width));
        }
    }

    fn strings(&self, drawing: &mut Drawing, desk: &Desk<'_>) {
        let strings = self.instrument.tuning.len();
        let (left, right) = (self.edge(0), self.edge(self.edges.len().saturating_sub(1)));
        for string in 0..strings {
            let y = self.y(string);
            // Thicker towards the lowest, as strings are.
            let down = (strings - 1 - string) as f32 / (strings.max(2) - 1) as f32;
            let width = pt(0.5 + 0.7 * down);
            drawing.path(Path::line(
                Point::new(self.x(left), y),
                Point::new(self.x(right), y),
                width,
            ));
            if let Some(open) = self.instrument.open_note(string) {
                let letter = desk.words(&open.printed(), Style::new(Face::Sans, self.size));
                drawing.text_centred(self.x(LETTERS / 2.0), y + self.size * 0.36, letter);
            }
        }
    }

    fn numbers(&self, drawing: &mut Drawing, desk: &Desk<'_>) {
        let y = self.y(0) + self.radius + pt(4.0) + self.size * 0.8;
        for fret in self.first..=self.last() {
            let inlay = INLAYS.contains(&(fret + self.instrument.capo));
            let face = if inlay { Face::SansBold } else { Face::Sans };
            let number = desk.words(&fret.to_string(), Style::new(face, self.size));
            drawing.text_centred(self.column(fret), y, number);
        }
    }

    fn dot(&self, dot: &Dot, drawing: &mut Drawing, desk: &Desk<'_>) {
        let centre = Point::new(self.column(dot.fret), self.y(dot.string));
        let filled = if self.diagram.marking.is_some() { dot.marked } else { dot.root };
        let shade = if filled { 0.0 } else { 1.0 };
        let line = Stroke::black(if dot.root { pt(1.4) } else { pt(0.8) });
        drawing.path(if dot.root {
            square(centre, self.radius * 0.92, shade, line)
        } else {
            Path::circle(centre, self.radius, Some(shade), Some(line))
        });
        let face = if dot.root { Face::SansBold } else { Face::Sans };
        let style = Style { shade: 1.0 - shade, ..Style::new(face, self.size) };
        let mut label = desk.words(&self.label_of(dot), style);
        let room = self.radius * 1.85;
        if label.width > room {
            let size = self.size * (room / label.width).max(0.8);
            label = desk.words(&self.label_of(dot), Style { size, ..style });
        }
        drawing.text_centred(centre.x, centre.y + self.size * 0.36, label);
    }

    fn label_of(&self, dot: &Dot) -> String {
        match self.label {
            DotLabel::Degrees => dot.degree.map_or_else(|| dot.note.printed(), |d| d.printed()),
            DotLabel::Notes => dot.note.printed(),
            DotLabel::Fingers => {
                dot.finger.map(|finger| finger.sign().to_string()).unwrap_or_default()
            }
            DotLabel::None => String::new(),
        }
    }
}

/// A square about a centre, half its side given.
fn square(centre: Point, half: Pt, shade: f32, line: Stroke) -> Path {
    let corner = centre + Point::new(-half, -half);
    Path { stroke: Some(line), ..Path::rectangle(corner, half * 2.0, half * 2.0, shade) }
}

/// Where the frets from `first` to `last` begin and end between `left` and `right`. A real neck's
/// frets shrink to half at the twelfth; half of that is kept, so that the high ones stay legible.
fn fret_edges(left: Pt, right: Pt, first: u8, last: u8) -> Vec<Pt> {
    let weight = |fret: u8| 0.5 + 0.5 * (-f32::from(fret) / 12.0).exp2();
    let total: f32 = (first..=last).map(weight).sum();
    let widest = weight(first);
    let unit = ((right - left) / total).min(WIDEST_FRET / widest);
    let mut edges = vec![left];
    let mut x = left;
    for fret in first..=last {
        x += unit * weight(fret);
        edges.push(x);
    }
    edges
}
