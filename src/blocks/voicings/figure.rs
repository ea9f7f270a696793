//! The figure of a `voicings` block: for each line its chord boxes in rows, with what each leaves out, and
//! beneath them, where they lead from one to the next, what the voice of each string does.

use super::{Line, Voiced, Voicings, words};
use crate::blocks::box_columns::{Among, Columns, Room};
use crate::blocks::chord_box::{self, ChordBox, Measures, Sound};
use crate::blocks::figure::{Desk, Element, Figure};
use crate::blocks::lanes::{self, Lane, Lanes, Sounded};
use crate::ink::{Drawing, Face, Label, Point, Pt, Style, Text};
use crate::lesson::Setting;
use crate::neck::voicing::Family;
use crate::neck::{Fret, StringIndex};
use crate::theory::Note;
use crate::words::{paper, terms};

/// The air above every line of the block but the first, in units; chosen by eye.
const ABOVE: f32 = 1.0;
/// The air between a name and the signs above the nut, in units; chosen by eye.
const ABOVE_SIGNS: f32 = 0.2;

impl Voicings {
    /// The block's figure: a strip a row of boxes, their lanes with them.
    pub fn figure(&self, desk: &Desk, setting: &Setting) -> Figure {
        let mut figure = Figure::default();
        let mut words = Vec::new();
        for line in &self.lines {
            let drawn = LineFigure::new(line, desk, setting);
            let first = figure.strips.len();
            figure.strips.extend(drawn.rows(first > 0));
            words.push(drawn.words());
            if figure.keys.is_empty() {
                figure.keys.extend(chord_box::key(drawn.boxes.iter(), desk));
            }
            let strips = figure.strips.iter().enumerate().skip(first);
            let of_line = strips.map(|(strip, drawing)| Element {
                span: line.span,
                strip,
                left: Pt::ZERO,
                right: drawing.width,
            });
            figure.elements.extend(of_line);
        }
        if self.lines.iter().any(Line::has_lanes) {
            figure.keys.push(desk.note(paper::lanes::KEY));
        }
        Figure { words: words.join("\n"), ..figure }
    }
}

impl Line {
    /// Whether there is something to tell about its voices.
    fn has_lanes(&self) -> bool {
        self.leads && self.shapes.len() > 1
    }

    /// Whether its shapes stand in several inversions, so that each is named.
    fn names_inversions(&self) -> bool {
        self.shapes.windows(2).any(|pair| match pair {
            [one, other] => one.inversion != other.inversion,
            _ => false,
        })
    }

    /// What the voice of each string does, the highest-placed string first.
    fn lanes(&self, boxes: &[ChordBox], setting: &Setting) -> Vec<Lane> {
        let tuning = &setting.instrument.tuning;
        let lane = |string: StringIndex| {
            let fret = |voiced: &Voiced| -> Option<Fret> {
                voiced.shape.frets().get(string.index()).copied().flatten()
            };
            let moved = self.shapes.windows(2).map(|pair| match pair {
                [from, to] => Some(i32::from(fret(to)?.number()) - i32::from(fret(from)?.number())),
                _ => None,
            });
            Lane {
                label: paper::lanes::string(tuning.number(string)),
                notes: sounds(boxes, string).map(|note| note.map(sounded)).collect(),
                moves: moved.collect(),
            }
        };
        tuning
            .indices()
            .rev()
            .map(lane)
            .filter(|lane| lane.notes.iter().any(Option::is_some))
            .collect()
    }
}

/// What a string sounds in each box.
fn sounds<'a>(
    boxes: &'a [ChordBox],
    string: StringIndex,
) -> impl Iterator<Item = Option<Note>> + 'a {
    boxes.iter().map(move |drawn| Some(drawn.sounds.get(string.index())?.as_ref()?.note))
}

fn sounded(note: Note) -> Sounded {
    Sounded { note: note.printed(), degree: None, strong: false }
}

/// One line of the block with everything set.
struct LineFigure<'a> {
    line: &'a Line,
    desk: &'a Desk<'a>,
    setting: &'a Setting,
    boxes: Vec<ChordBox<'a>>,
    measures: Measures,
    cells: Vec<Cell>,
    lanes: Vec<Lane>,
}

/// The words around a box.
struct Cell {
    symbol: Text,
    /// The lines beneath, from the top down.
    below: Vec<Text>,
}

impl<'a> LineFigure<'a> {
    fn new(line: &'a Line, desk: &'a Desk, setting: &'a Setting) -> LineFigure<'a> {
        let boxes: Vec<ChordBox> =
            line.shapes.iter().map(|voiced| box_of(voiced, setting)).collect();
        let measures = Measures::for_all(boxes.iter(), desk);
        let inversions = line.names_inversions();
        let cells = line.shapes.iter().map(|voiced| Cell::new(voiced, inversions, desk)).collect();
        let lanes = if line.has_lanes() { line.lanes(&boxes, setting) } else { Vec::new() };
        LineFigure { line, desk, setting, boxes, measures, cells, lanes }
    }

    fn columns(&self, lanes: &Lanes) -> Columns {
        let mut room = Room::default();
        for (cell, drawn) in self.cells.iter().zip(&self.boxes) {
            room.hold_box(drawn, &self.measures, self.desk);
            room.hold_centred(cell.widest());
        }
        let (count, unit) = (self.cells.len(), self.measures.unit);
        if self.lanes.is_empty() {
            return Columns::of(count, room, unit, self.desk.width, Among::Words);
        }
        // In one row wherever there is room: each voice is then one line.
        let mut in_one = room;
        in_one.hold_before(lanes.before(true));
        in_one.hold_pitch(lanes.least_pitch());
        let columns = Columns::of(count, in_one, unit, self.desk.width, Among::Lanes);
        if columns.number == count {
            return columns;
        }
        room.hold_before(lanes.before(false));
        room.hold_pitch(lanes.least_pitch());
        Columns::of(count, room, unit, self.desk.width, Among::Lanes).even(count)
    }

    /// The boxes in rows of equal columns, the lanes of each row beneath it.
    fn rows(&self, is_further: bool) -> Vec<Drawing> {
        let lanes = Lanes::new(&self.lanes, self.desk);
        let columns = self.columns(&lanes);
        let count = self.cells.len();
        let starts = (0..count).step_by(columns.number);
        let row = |start: usize| {
            let end = (start + columns.number).min(count);
            let mut strip = Drawing::new(Pt::ZERO, Pt::ZERO);
            if is_further && start == 0 {
                strip.height += self.measures.unit * ABOVE;
            }
            if start == 0 {
                self.title(&mut strip);
            }
            strip.width = columns.row_width(end - start).min(self.desk.width);
            self.boxes_in(start..end, &columns, &mut strip);
            let (first, pitch) = (columns.left, columns.pitch);
            let row = lanes::Row { columns: start..end, first, pitch };
            let height = lanes.height(&row);
            if height > Pt::ZERO {
                let mut drawing = Drawing::new(strip.width, height);
                lanes.draw(&mut drawing, Pt::ZERO, &row);
                let at = Point::new(Pt::ZERO, strip.height);
                let title = paper::lanes::TITLE.to_owned();
                strip.place(at, drawing, Label::Words { title, words: self.lanes_in_words() });
                strip.height += height;
            }
            strip
        };
        starts.map(row).collect()
    }

    /// The line's style, above the first row's names, so that it isn't read with one of them.
    fn title(&self, strip: &mut Drawing) {
        if self.line.family != Family::Any {
            let style = Style::new(Face::SerifItalic, self.desk.look.small_size);
            let words = self.desk.said(self.line.family.name(), style);
            strip.text(Point::new(Pt::ZERO, strip.height + style.size), words);
            strip.height += style.size * 1.7;
        }
    }

    /// Draws a row of boxes beneath what a strip holds.
    fn boxes_in(&self, places: std::ops::Range<usize>, columns: &Columns, strip: &mut Drawing) {
        let here = || {
            let shapes = self.line.shapes.iter();
            let all = self.cells.iter().zip(&self.boxes).zip(shapes);
            all.skip(places.start).take(places.len())
        };
        let line = self.desk.look.small_size * 1.25;
        let baseline = strip.height + self.desk.look.symbol_size * 0.8;
        let nut = baseline + self.measures.unit * ABOVE_SIGNS + self.measures.head();
        let rows = here().map(|((_, drawn), _)| drawn.rows()).max().unwrap_or_default();
        let bottom = nut + self.measures.row * f32::from(rows) + self.measures.foot();
        let most = here().map(|((cell, _), _)| cell.below.len()).max().unwrap_or_default();
        let height = bottom + line * most as f32 + self.measures.unit * 0.3;
        for (at, ((cell, drawn), voiced)) in here().enumerate() {
            let mut drawing = Drawing::new(columns.width(), height);
            drawing.text_centred(columns.left, baseline, cell.symbol.clone());
            let half = self.measures.width(drawn.fingering.frets.len()) / 2.0;
            let corner = Point::new(columns.left - half, nut);
            drawn.draw(&mut drawing, corner, rows, &self.measures, self.desk);
            for (number, text) in cell.below.iter().enumerate() {
                let y = bottom + line * (number + 1) as f32;
                drawing.text_centred(columns.left, y, text.clone());
            }
            let title = voiced.chord.spoken().trim().to_owned();
            let label = Label::Words { title, words: self.box_in_words(drawn, voiced) };
            strip.place(Point::new(columns.pitch * at as f32, Pt::ZERO), drawing, label);
        }
        strip.height = height;
    }

    fn box_in_words(&self, drawn: &ChordBox, voiced: &Voiced) -> String {
        let about = words::about(voiced);
        let about = if about.is_empty() { about } else { format!(" ({about})") };
        format!("{}{about}: {}", voiced.chord.spoken().trim(), chord_box::describe(drawn))
    }

    /// What the strings' voices do, from chord to chord.
    fn lanes_in_words(&self) -> String {
        let strings = self.setting.instrument.tuning.indices().rev();
        let sounding = strings.map(|string| (string, sounds(&self.boxes, string)));
        let notes = sounding.map(|(_, notes)| notes.map(|note| Some(note?.spoken())).collect());
        let notes = notes.filter(|notes: &Vec<Option<String>>| notes.iter().any(Option::is_some));
        let told = self.lanes.iter().zip(notes);
        let told = told.map(|(lane, notes)| lanes::in_words(&lane.label, &notes, &lane.moves));
        told.collect::<Vec<_>>().join("; ")
    }

    fn words(&self) -> String {
        let kind = match self.line.family {
            Family::Any => "Chords".to_owned(),
            family => format!("Chords as {}", family.name()),
        };
        let each = self.boxes.iter().zip(&self.line.shapes);
        let each: Vec<String> =
            each.map(|(drawn, voiced)| self.box_in_words(drawn, voiced)).collect();
        let mut start = kind;
        if self.setting.instrument.capo > 0 {
            start +=
                &format!(", frets counted from the capo at fret {}", self.setting.instrument.capo);
        }
        let voices = match self.lanes.is_empty() {
            true => String::new(),
            false => format!("\n{}: {}.", paper::lanes::TITLE, self.lanes_in_words()),
        };
        format!("{start}:\n{}.{voices}", each.join(".\n"))
    }
}

impl Cell {
    fn new(voiced: &Voiced, names_inversion: bool, desk: &Desk) -> Cell {
        let style = Style::new(Face::SerifItalic, desk.look.small_size);
        let inversion = voiced.inversion.filter(|_| names_inversion).map(terms::inversion);
        let left_out = voiced.left_out.iter().map(words::left_out);
        let below = inversion.map(str::to_owned).into_iter().chain(left_out);
        let name = Style::new(Face::SerifSemibold, desk.look.symbol_size);
        Cell {
            symbol: desk.symbol(&voiced.chord.printed(), name),
            below: below.map(|words| desk.said(&words, style)).collect(),
        }
    }

    fn widest(&self) -> Pt {
        self.below.iter().fold(self.symbol.width, |widest, text| widest.max(text.width))
    }
}

fn box_of<'a>(voiced: &'a Voiced, setting: &Setting) -> ChordBox<'a> {
    let (instrument, key) = (&setting.instrument, setting.key.as_ref());
    ChordBox {
        fingering: &voiced.fingering,
        sounds: Sound::of_strings(&voiced.fingering, instrument, Some(&voiced.chord), key),
        capo: instrument.capo > 0,
        left_handed: setting.left_handed,
        blank: voiced.blank,
    }
}
