//! The figure of a `shape` block: its chord boxes in rows over the width of the column.

use super::{Name, Shape, Shapes};
use crate::blocks::box_columns::{Among, Columns, Room};
use crate::blocks::chord_box::{self, ChordBox, Measures, Sound};
use crate::blocks::figure::{Desk, Element, Figure};
use crate::ink::{Drawing, Face, Label, Point, Pt, Style, Text};
use crate::lesson::Setting;
use crate::theory::spelling::{self, Direction};
use crate::theory::{Chord, Degree, Midi, Note, Printed};
use crate::words::paper;

/// What the boxes of a figure share, or of all figures of a chart, so that they look alike and stand under each
/// other.
#[derive(Debug)]
pub struct Grid {
    columns: Columns,
    measures: Measures,
    /// Whether each box bears its name; where words above the figure say it, none does.
    named: bool,
    /// The face and the size of what stands beneath boxes, in parts of the small words' size.
    beneath: (Face, f32),
}

/// How words and numerals beneath boxes are set; numerals as those of changes are, and larger, so that their signs
/// stay legible (chosen by eye).
const WORDS: (Face, f32) = (Face::SerifItalic, 1.0);
const NUMERALS: (Face, f32) = (Face::Serif, 1.2);

impl Grid {
    /// The grid of boxes with numerals beneath.
    pub fn of_numerals(self) -> Grid {
        Grid { beneath: NUMERALS, ..self }
    }

    /// The grid with what stands beneath boxes no larger than so much.
    #[must_use]
    pub fn with_words_at_most(self, most: Pt, desk: &Desk) -> Grid {
        let (face, size) = self.beneath;
        Grid { beneath: (face, size.min(most / chord_box::small_size(desk))), ..self }
    }

    /// The grid of one figure.
    fn of_one(shapes: &Shapes, desk: &Desk, setting: &Setting, among: Among) -> Grid {
        let (room, measures) = room(&[shapes], true, desk, setting);
        let columns = Columns::of(shapes.shapes.len(), room, measures.unit, desk.width, among);
        Grid { columns, measures, named: true, beneath: WORDS }
    }

    /// The grid of all figures of a chart.
    pub fn of_all(all: &[&Shapes], named: bool, desk: &Desk, setting: &Setting) -> Grid {
        let (room, measures) = room(all, named, desk, setting);
        let counts: Vec<usize> = all.iter().map(|shapes| shapes.shapes.len()).collect();
        let columns = Columns::of_all(&counts, room, measures.unit, desk.width);
        Grid { columns, measures, named, beneath: WORDS }
    }
}

/// The room that the boxes of figures need, and their measures.
fn room(all: &[&Shapes], named: bool, desk: &Desk, setting: &Setting) -> (Room, Measures) {
    let shapes = || all.iter().flat_map(|shapes| &shapes.shapes);
    let boxes: Vec<ChordBox> = shapes().map(|shape| box_of(shape, setting)).collect();
    let measures = Measures::for_all(boxes.iter(), desk);
    let mut room = Room::default();
    for (shape, drawn) in shapes().zip(&boxes) {
        room.hold_box(drawn, &measures, desk);
        if named {
            room.hold_centred(symbol(&shape.name, &drawn.sounds, desk).width);
        }
    }
    room.captioned = shapes().any(|shape| shape.caption.is_some());
    (room, measures)
}

impl Shapes {
    /// The shapes as chord boxes, in rows of equal columns; a strip a row. On a page of chords they stand
    /// closer than among the words of a lesson.
    pub fn figure(&self, desk: &Desk, setting: &Setting, among: Among) -> Figure {
        if self.shapes.is_empty() && !self.frames.is_empty() {
            return self.emptied().figure(desk, setting, among);
        }
        self.figure_on(&Grid::of_one(self, desk, setting, among), desk, setting)
    }

    /// The shapes on the grid of a chart.
    pub fn figure_on(&self, grid: &Grid, desk: &Desk, setting: &Setting) -> Figure {
        let boxes: Vec<ChordBox> = self.shapes.iter().map(|shape| box_of(shape, setting)).collect();
        let columns = &grid.columns;
        let cells: Vec<Cell> = self
            .shapes
            .iter()
            .zip(&boxes)
            .map(|(shape, drawn)| Cell::new(shape, drawn, grid, desk, setting))
            .collect();
        let mirrored = setting.left_handed && !desk.look.is_switched();
        let words = words(&cells, setting, mirrored);
        let strip = |cells: &[Cell]| strip(cells, grid, desk);
        let strips = cells.chunks(columns.number).map(strip).collect();
        let elements = self.shapes.iter().enumerate().map(|(index, shape)| {
            let left = columns.pitch * (index % columns.number) as f32;
            let right = left + columns.width();
            Element { span: shape.span, strip: index / columns.number, left, right }
        });
        let keys = chord_box::key(boxes.iter(), desk).into_iter().collect();
        Figure { words, strips, elements: elements.collect(), keys, ..Figure::default() }
    }
}

fn box_of<'a>(shape: &'a Shape, setting: &Setting) -> ChordBox<'a> {
    let chord = shape.name.chord();
    let sounds =
        Sound::of_strings(&shape.fingering, &setting.instrument, chord, setting.key.as_ref());
    ChordBox {
        fingering: &shape.fingering,
        sounds,
        capo: setting.instrument.capo > 0,
        left_handed: setting.left_handed,
        blank: shape.blank,
    }
}

/// One shape with the words around its box.
struct Cell<'a> {
    title: String,
    drawn: &'a ChordBox<'a>,
    symbol: Text,
    /// Small lines between symbol and box: the second name, the capo.
    above: Vec<Text>,
    /// The caption, broken into lines.
    below: Vec<Text>,
}

impl<'a> Cell<'a> {
    fn new(
        shape: &Shape,
        drawn: &'a ChordBox,
        grid: &Grid,
        desk: &Desk,
        setting: &Setting,
    ) -> Cell<'a> {
        let style = Style::new(Face::SerifSemibold, chord_box::small_size(desk));
        let mut above = Vec::new();
        if let Some(twin) = &shape.twin {
            above.push(desk.words(&format!("({twin})"), style));
        }
        if setting.instrument.capo > 0 {
            let capo = desk.said(&paper::chords::capo(setting.instrument.capo), style);
            let sounding = shape.name.chord().map(|chord| raised(chord, setting));
            above.push(match sounding {
                Some(chord) => {
                    capo.then(desk.words(": ", style)).then(desk.symbol(&chord.printed(), style))
                }
                None => capo,
            });
        }
        let (face, size) = grid.beneath;
        let beneath = Style { face, size: style.size * size, ..style };
        let caption = shape.caption.as_ref();
        Cell {
            title: title(shape, &drawn.sounds),
            drawn,
            symbol: symbol(&shape.name, &drawn.sounds, desk),
            above,
            below: caption
                .map(|caption| desk.printed_lines(caption, beneath, grid.columns.caption))
                .unwrap_or_default(),
        }
    }

    fn words(&self) -> String {
        format!("{}: {}", self.title, chord_box::describe(self.drawn))
    }
}

/// What a chord is above a capo: spelled by the key that then sounds, a letter a degree; without a key
/// as its notes are met most.
fn raised(chord: &Chord, setting: &Setting) -> Chord {
    let by = setting.instrument.capo;
    let step = setting.key.map(|key| Degree::between(key.tonic, key.raised(by).tonic));
    let usual = |note: Note| {
        let midi = Midi::new(note.class().into()) + i32::from(by);
        spelling::spell(midi, None, None, Direction::Unknown).note.called(note.names)
    };
    let up = |note: Note| {
        let in_key = step.map(|step| step.above(note)).filter(|note| note.accidental.abs() <= 1);
        in_key.unwrap_or_else(|| usual(note))
    };
    Chord { root: up(chord.root), bass: chord.bass.map(up), ..chord.clone() }
}

/// The symbol above a box: the chord's, or the notes where there is no name for them.
fn symbol(name: &Name, sounds: &[Option<Sound>], desk: &Desk) -> Text {
    let printed = match name {
        Name::Given(chord) | Name::Found(Some(chord)) => chord.printed(),
        Name::Unread(text) => Printed::plain(text.clone()),
        Name::Found(None) => {
            let notes: Vec<String> =
                sounds.iter().flatten().map(|sound| sound.note.printed()).collect();
            Printed::plain(notes.join(" "))
        }
    };
    desk.symbol(&printed, Style::new(Face::SerifSemibold, desk.look.symbol_size))
}

/// The shape's name for whoever listens.
fn title(shape: &Shape, sounds: &[Option<Sound>]) -> String {
    let name = match &shape.name {
        Name::Given(chord) | Name::Found(Some(chord)) => chord.spoken(),
        Name::Unread(text) => text.clone(),
        Name::Found(None) => {
            let notes: Vec<String> =
                sounds.iter().flatten().map(|sound| sound.note.spoken()).collect();
            notes.join(", ")
        }
    };
    let name = name.trim();
    shape.twin.as_ref().map_or(name.to_string(), |twin| format!("{name} ({twin})"))
}

/// Words for the whole figure, which may be mirrored for good.
fn words(cells: &[Cell], setting: &Setting, mirrored: bool) -> String {
    let mut words = match cells.len() {
        1 => "A chord shape".to_string(),
        number => format!("{number} chord shapes"),
    };
    if setting.instrument.capo > 0 {
        words += &format!(", frets counted from the capo at fret {}", setting.instrument.capo);
    }
    if mirrored {
        words += ", drawn for a left-handed player";
    }
    cells.iter().fold(words + ".", |words, cell| words + "\n" + &cell.words() + ".")
}

/// The air between a name and the signs above the nut, in units; chosen by eye.
const ABOVE_SIGNS: f32 = 0.2;

/// A row of cells.
fn strip(cells: &[Cell], grid: &Grid, desk: &Desk) -> Drawing {
    let Grid { columns, measures, named, .. } = grid;
    let small = chord_box::small_size(desk);
    let line = small * 1.25;
    let above = cells.iter().map(|cell| cell.above.len()).max().unwrap_or_default();
    let rows = shared_rows(cells);
    let baseline = if *named { desk.look.symbol_size * 0.8 } else { Pt::ZERO };
    let nut = baseline + line * above as f32 + measures.unit * ABOVE_SIGNS + measures.head();
    let bottom = |rows: u8| nut + measures.row * f32::from(rows) + measures.foot();
    let heights = cells.iter().map(|cell| {
        let captioned = line * cell.below.len() as f32;
        bottom(rows.max(cell.drawn.rows())) + captioned + small * 0.3
    });
    let height = heights.fold(Pt::ZERO, Pt::max);
    let mut strip = Drawing::new(columns.row_width(cells.len()).min(desk.width), height);
    for (at, cell) in cells.iter().enumerate() {
        let mut drawing = Drawing::new(columns.width(), height);
        let middle = columns.left;
        if *named {
            drawing.text_centred(middle, baseline, cell.symbol.clone());
        }
        for (number, text) in cell.above.iter().enumerate() {
            let y = baseline + line * (number + 1) as f32;
            drawing.text_centred(middle, y, text.clone());
        }
        let left = middle - measures.width(cell.drawn.fingering.frets.len()) / 2.0;
        let rows = rows.max(cell.drawn.rows());
        cell.drawn.draw(&mut drawing, Point::new(left, nut), rows, measures, desk);
        for (number, text) in cell.below.iter().enumerate() {
            let y = bottom(rows) + line * (number + 1) as f32;
            drawing.text_centred(middle, y, text.clone());
        }
        let label = Label::Words { title: cell.title.clone(), words: cell.words() };
        strip.place(Point::new(columns.pitch * at as f32, Pt::ZERO), drawing, label);
    }
    strip
}

/// How many frets the boxes of a row show alike: as many as the longest of ordinary length needs.
fn shared_rows(cells: &[Cell]) -> u8 {
    let ordinary = cells.iter().map(|cell| cell.drawn.rows()).filter(|rows| *rows <= 6);
    ordinary.max().unwrap_or_default()
}

#[cfg(test)]
mod tests;
