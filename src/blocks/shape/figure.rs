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
}

impl Grid {
    /// The grid of one figure.
    fn of_one(shapes: &Shapes, desk: &Desk, setting: &Setting, among: Among) -> Grid {
        let (room, measures) = room(&[shapes], true, desk, setting);
        let columns = Columns::of(shapes.shapes.len(), room, measures.unit, desk.width, among);
        Grid { columns, measures, named: true }
    }

    /// The grid of all figures of a chart.
    pub fn of_all(all: &[&Shapes], named: bool, desk: &Desk, setting: &Setting) -> Grid {
        let (room, measures) = room(all, named, desk, setting);
        let counts: Vec<usize> = all.iter().map(|shapes| shapes.shapes.len()).collect();
        let columns = Columns::of_all(&counts, room, measures.unit, desk.width);
        Grid { columns, measures, named }
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
            .map(|(shape, drawn)| Cell::new(shape, drawn, columns, desk, setting))
            .collect();
        let words = words(&cells, setting);
        let strip = |cells: &[Cell]| strip(cells, grid, desk);
        let strips = cells.chunks(columns.number).map(strip).collect();
        let elements = self.shapes.iter().enumerate().map(|(index, shape)| {
            let left = columns.pitch * (index % columns.number) as f32;
            let right = left + columns.width();
            Element { span: shape.span, strip: index / columns.number, left, right }
        });
        Figure { words, strips, elements: elements.collect(), ..Figure::default() }
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
        columns: &Columns,
        desk: &Desk,
        setting: &Setting,
    ) -> Cell<'a> {
        let style = Style::new(Face::Sans, chord_box::small_size(desk));
        let mut above = Vec::new();
        if let Some(twin) = &shape.twin {
            above.push(desk.words(&format!("({twin})"), style));
        }
        if setting.instrument.capo > 0 {
            let capo = desk.words(&paper::chords::capo(setting.instrument.capo), style);
            let sounding = shape.name.chord().map(|chord| raised(chord, setting));
            above.push(match sounding {
                Some(chord) => {
                    capo.then(desk.words(": ", style)).then(desk.symbol(&chord.printed(), style))
                }
                None => capo,
            });
        }
        let beneath = Style { face: Face::SerifItalic, ..style };
        let caption = shape.caption.as_ref();
        Cell {
            title: title(shape, &drawn.sounds),
            drawn,
            symbol: symbol(&shape.name, &drawn.sounds, desk),
            above,
            below: caption
                .map(|caption| desk.printed_lines(caption, beneath, columns.caption))
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
        spelling::spell(midi, None, None, Direction::Unknown).note
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

/// Words for the whole figure.
fn words(cells: &[Cell], setting: &Setting) -> String {
    let mut words = match cells.len() {
        1 => "A chord shape".to_string(),
        number => format!("{number} chord shapes"),
    };
    if setting.instrument.capo > 0 {
        words += &format!(", frets counted from the capo at fret {}", setting.instrument.capo);
    }
    if setting.left_handed {
        words += ", drawn for a left-handed player";
    }
    cells.iter().fold(words + ".", |words, cell| words + " " + &cell.words() + ".")
}

/// The air between a name and the signs above the nut, in units; chosen by eye.
const ABOVE_SIGNS: f32 = 0.2;

/// A row of cells.
fn strip(cells: &[Cell], grid: &Grid, desk: &Desk) -> Drawing {
    let Grid { columns, measures, named } = grid;
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
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::super::tests::{read_in, setting};
    use super::*;
    use crate::blocks::figure::{DotLabel, Look};
    use crate::ink::{Fonts, Item, Segment, pt};
    use crate::theory::Key;

    fn look(label: DotLabel) -> Look {
        Look {
            string_gap: pt(6.8),
            fret_size: pt(8.5),
            symbol_size: pt(10.5),
            small_size: pt(7.5),
            sung_size: pt(11.0),
            box_gap: pt(9.0),
            label,
        }
    }

    fn drawn(text: &str, setting: &Setting, label: DotLabel) -> Figure {
        let (shapes, _) = read_in(text, setting.clone());
        let fonts = Fonts::new();
        let desk = Desk { fonts: &fonts, look: &look(label), width: pt(440.0) };
        shapes.unwrap().figure(&desk, setting, Among::Words)
    }

    /// The corners of what a drawing's items cover, about.
    fn corners(items: &[Item], offset: Point) -> Vec<Point> {
        let of_item = |item: &Item| match item {
            Item::Group(group) => corners(&group.items, offset + group.offset),
            Item::Text(at, text) => {
                vec![offset + *at, offset + *at + Point::new(text.width, pt(0.0))]
            }
            Item::Path(path) => path
                .segments
                .iter()
                .flat_map(|segment| match segment {
                    Segment::Move(point) | Segment::Line(point) => vec![*point],
                    Segment::Curve(_, _, end) => vec![*end],
                    Segment::Close => vec![],
                })
                .map(|point| offset + point)
                .collect(),
            Item::Picture(..) => vec![],
        };
        items.iter().flat_map(of_item).collect()
    }

    /// The texts of a drawing, from the top down and from the left.
    fn texts(items: &[Item]) -> Vec<String> {
        let mut found = Vec::new();
        for item in items {
            match item {
                Item::Text(_, text) => found.push(text.characters()),
                Item::Group(group) => found.extend(texts(&group.items)),
                _ => {}
            }
        }
        found
    }

    const MANY: &str = "\
Aadd9 x02420
F#m7 2x222x -- leave the fifth string silent
Gm (high) x 10 12 12 11 10
E/G# 4x2400
Bb x13331
G 320003
E7#9 x7678x
C x32010
F 133211
Dm xx0231
D5 x 5 7 7 x x";

    #[test]
    fn boxes_stand_in_even_rows_within_the_column() {
        let figure = drawn(MANY, &setting("EADGBE"), DotLabel::Degrees);
        let rows: Vec<usize> = figure.strips.iter().map(|strip| strip.items.len()).collect();
        assert_eq!(rows, [4, 4, 3]);
        for strip in &figure.strips {
            assert!(strip.width <= pt(440.01));
            for corner in corners(&strip.items, Point::default()) {
                assert!(corner.x >= Pt::ZERO && corner.x <= strip.width, "{corner:?}");
                assert!(corner.y >= Pt::ZERO && corner.y <= strip.height, "{corner:?}");
            }
        }
    }

    #[test]
    fn neighbouring_boxes_keep_apart() {
        let figure = drawn(MANY, &setting("EADGBE"), DotLabel::Notes);
        for strip in &figure.strips {
            let ends: Vec<(f32, f32)> = strip
                .items
                .iter()
                .map(|item| {
                    let corners = corners(std::slice::from_ref(item), Point::default());
                    let xs = || corners.iter().map(|corner| corner.x.0);
                    (xs().fold(f32::MAX, f32::min), xs().fold(f32::MIN, f32::max))
                })
                .collect();
            assert!(ends.windows(2).all(|pair| pair[0].1 + 6.0 < pair[1].0), "{ends:?}");
        }
    }

    #[test]
    fn every_box_has_its_own_words() {
        let text = "Aadd9 x02420 by ..132.\n? xx5x5x";
        let figure = drawn(text, &setting("EADGBE"), DotLabel::Degrees);
        let Item::Group(group) = &figure.strips[0].items[0] else { panic!("no group") };
        let Label::Words { title, words } = &group.label else { panic!("no words") };
        assert_eq!(title, "A major added ninth");
        assert_eq!(
            words,
            "A major added ninth: sixth string silent; fifth string open, A, the root; \
             fourth string fret 2, index finger, E, the perfect fifth; \
             third string fret 4, ring finger, B, the major ninth; \
             second string fret 2, middle finger, C sharp, the major third; \
             first string open, E, the perfect fifth"
        );
        assert!(figure.words.starts_with("2 chord shapes. A major added ninth: sixth"));
    }

    #[test]
    fn a_box_is_labelled_as_the_template_says() {
        let standard = setting("EADGBE");
        for (label, found) in [
            (DotLabel::Degrees, "Gm 10 1 R 3 5 4 R 2 ♭3 1 5"),
            (DotLabel::Notes, "Gm 10 1 G 3 D 4 G 2 B♭ 1 D"),
            (DotLabel::Fingers, "Gm 10 1 3 4 2 1"),
            (DotLabel::None, "Gm 10 1 3 4 2 1"),
        ] {
            let figure = drawn("Gm x 10 12 12 11 10", &standard, label);
            assert_eq!(texts(&figure.strips[0].items).join(" "), found, "{label:?}");
        }
    }

    #[test]
    fn a_capo_is_marked_with_what_then_sounds() {
        let mut capo = setting("EADGBE");
        capo.instrument.capo = 3;
        let figure = drawn("G (open) 320003\nD/F# 200232", &capo, DotLabel::None);
        let words = texts(&figure.strips[0].items).join(" ");
        assert!(words.starts_with("G (open) capo 3: B♭ "), "{words}");
        assert!(words.contains("capo 3: F/A "), "{words}");
        assert!(figure.words.contains("from the capo at fret 3"));
        // With a key, what sounds has a letter for each degree of it.
        for (key, fret, line, sounding) in [
            ("A minor", 3, "F xx3211", "capo 3: A♭ "),
            ("A major", 2, "C#m x46654", "capo 2: D♯m "),
        ] {
            capo.key = Key::parse(key);
            capo.instrument.capo = fret;
            let figure = drawn(line, &capo, DotLabel::None);
            let words = texts(&figure.strips[0].items).join(" ");
            assert!(words.contains(sounding), "{words}");
        }
    }

    #[test]
    fn a_left_handed_box_is_the_mirror_of_a_right_handed_one() {
        let mut left = setting("EADGBE");
        let right = drawn("C x32010", &left, DotLabel::Degrees);
        left.left_handed = true;
        let left = drawn("C x32010", &left, DotLabel::Degrees);
        // The centres of the finger numbers, which are as wide as one another.
        let centres = |figure: &Figure| -> Vec<f32> {
            let Item::Group(group) = &figure.strips[0].items[0] else { panic!("no group") };
            let mut found: Vec<f32> = group
                .items
                .iter()
                .filter_map(|item| match item {
                    Item::Text(at, text) if "1234".contains(&text.characters()) => {
                        Some((at.x + text.width / 2.0).0)
                    }
                    _ => None,
                })
                .collect();
            found.sort_by(f32::total_cmp);
            found
        };
        let (right, left) = (centres(&right), centres(&left));
        let sums: Vec<f32> = right.iter().zip(left.iter().rev()).map(|(a, b)| a + b).collect();
        assert_eq!(sums.len(), 5);
        assert!(sums.iter().all(|sum| (sum - sums[0]).abs() < 0.01), "{sums:?}");
        assert_ne!(right, left);
    }

    #[test]
    fn any_number_of_strings_and_wide_spans_are_drawn() {
        for (tuning, text) in [
            ("D3 A3 D4", "D5 000"),
            ("GCEA", "C 0003"),
            ("D2 D2 D2 D2 D2 D2 A2 D3 D3 A3 D4 D4", "D5 0 0 x x x 0 0 0 0 0 0 0"),
            ("EADGBE", "E5 0 2 x x x 22"),
        ] {
            let figure = drawn(text, &setting(tuning), DotLabel::Notes);
            let strip = &figure.strips[0];
            for corner in corners(&strip.items, Point::default()) {
                assert!(corner.x >= Pt::ZERO && corner.x <= strip.width, "{tuning}");
                assert!(corner.y >= Pt::ZERO && corner.y <= strip.height, "{tuning}");
            }
        }
    }
}
