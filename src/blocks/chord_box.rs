//! The chord box: a piece of the neck seen from the front, the fingers on it, and what each string
//! sounds. Any kind of block that shows chord shapes draws them with it.
//!
//! Roots are told by shape and weight: a root is a filled square, any other tone an open round dot.

use super::figure::{Desk, DotLabel};
use crate::ink::{Drawing, Face, Path, Point, Pt, Stroke, Style, Text, pt};
use crate::neck::{Finger, Fingering, Fret, Instrument, StringIndex, by_string};
use crate::theory::spelling::{self, Direction};
use crate::theory::{Chord, Degree, Interval, Key, Note};
use crate::words::ordinal;

/// A chord shape to be drawn.
#[derive(Debug, Clone)]
pub struct ChordBox<'a> {
    /// The frets and fingers.
    pub fingering: &'a Fingering,
    /// For each string what it sounds; `None` where it is silent.
    pub sounds: Vec<Option<Sound>>,
    /// Whether a capo is in the place of the nut.
    pub capo: bool,
    /// Whether the box is mirrored for a left-handed player.
    pub left_handed: bool,
    /// What an empty box shows, in which a student writes; nothing is said then of any string.
    pub blank: Option<Window>,
}

/// The piece of the neck that a box shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// The first fret.
    pub first: Fret,
    /// How many frets.
    pub rows: u8,
}

impl Window {
    /// That which shows a shape, and tells nothing else of it.
    pub fn of(frets: &[Option<Fret>]) -> Window {
        let pressed = || frets.iter().flatten().copied().filter(|fret| fret.is_pressed());
        let lowest = pressed().min().unwrap_or(Fret::FIRST);
        let highest = pressed().max().unwrap_or(Fret::FIRST);
        let first = if highest.number() <= ROWS { Fret::FIRST } else { lowest };
        Window { first, rows: (highest.above(first) + 1).max(ROWS) }
    }
}

/// What a string sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sound {
    /// The note, spelled as the chord spells it.
    pub note: Note,
    /// Its degree above the chord's root, where a chord is known.
    pub degree: Option<Degree>,
}

impl Sound {
    /// What the strings of a fingering sound in a chord, spelled as the chord has it. A note that
    /// is none of its tones, or sounds without a chord, is spelled by the key.
    pub fn of_strings(
        fingering: &Fingering,
        instrument: &Instrument,
        chord: Option<&Chord>,
        key: Option<&Key>,
    ) -> Vec<Option<Sound>> {
        let sound = |(string, fret): (StringIndex, &Option<Fret>)| {
            let midi = instrument.written_pitch(string, (*fret)?)?;
            let Some(chord) = chord else {
                let note = spelling::spell(midi, key, None, Direction::Unknown).note;
                return Some(Sound { note, degree: None });
            };
            let tone = chord.degree_of_class(midi.class());
            let foreign = || spelling::spell(midi, key, Some(chord), Direction::Unknown).note;
            let note = tone.map_or_else(foreign, |degree| degree.above(chord.root));
            let degree = tone.unwrap_or_else(|| Degree::between(chord.root, note));
            Some(Sound { note, degree: Some(degree) })
        };
        by_string(&fingering.frets).map(sound).collect()
    }

    fn is_root(&self) -> bool {
        self.degree == Some(Degree::ROOT)
    }

    /// What stands beneath the string.
    fn label(&self, label: DotLabel) -> Option<String> {
        match (label, self.degree) {
            (DotLabel::Degrees, Some(degree)) => Some(degree.printed()),
            (DotLabel::Degrees, None) | (DotLabel::Notes, _) => Some(self.note.printed()),
            (DotLabel::Fingers | DotLabel::None, _) => None,
        }
    }
}

/// The measures that the boxes of a figure share, so that they look alike.
#[derive(Debug, Clone, Copy)]
pub struct Measures {
    /// The distance between strings.
    pub gap: Pt,
    /// The distance between frets.
    pub row: Pt,
    /// The radius of a dot.
    pub dot: Pt,
    /// The size of fingers and labels.
    pub size: Pt,
    /// The height of capitals and digits at that size.
    cap: Pt,
    label: DotLabel,
}

impl Measures {
    /// Measures in which the labels of all these boxes have room beside one another. Frets lie a quarter
    /// further apart than strings (looks, "Boxes": 4.9 and 3.9 mm), but where labels part the strings the box
    /// grows no longer than three dots a fret.
    pub fn for_all<'a>(boxes: impl Iterator<Item = &'a ChordBox<'a>>, desk: &Desk) -> Measures {
        let size = desk.look.small_size;
        let dot = size * 0.57;
        let label = desk.look.label;
        let widest = boxes.map(|shape| shape.widest_pair(label, desk)).fold(Pt::ZERO, Pt::max);
        let gap = desk.look.box_gap.max(dot * 2.0 + pt(0.5)).max(widest + pt(1.8));
        let cap = desk.fonts.measures(Face::SansBold, size).cap_height;
        Measures { gap, row: (gap * 1.25).min(dot * 3.0), dot, size, cap, label }
    }

    /// The height of the signs for open and silent strings above the nut, air included.
    pub fn head(&self) -> Pt {
        self.dot * 1.2 + NUT + pt(3.0)
    }

    /// The height of the labels beneath the last fret, air included; nothing without labels.
    pub fn foot(&self) -> Pt {
        match self.label {
            DotLabel::Degrees | DotLabel::Notes => self.cap + pt(4.5),
            DotLabel::Fingers | DotLabel::None => pt(1.0),
        }
    }

    /// The width from the first string to the last.
    pub fn width(&self, strings: usize) -> Pt {
        self.gap * strings.saturating_sub(1) as f32
    }
}

/// The least number of frets that a box shows: those that a hand stands on, so that boxes in a row look
/// alike.
const ROWS: u8 = 4;

impl ChordBox<'_> {
    /// The first fret that is shown.
    pub fn first_fret(&self) -> Fret {
        self.window().first
    }

    /// How many frets must be shown.
    pub fn rows(&self) -> u8 {
        self.window().rows
    }

    fn window(&self) -> Window {
        self.blank.unwrap_or_else(|| Window::of(&self.fingering.frets))
    }

    /// Whether the nut, or the capo, is in sight.
    fn shows_nut(&self) -> bool {
        self.first_fret() == Fret::FIRST
    }

    fn strings(&self) -> usize {
        self.fingering.frets.len()
    }

    /// How far the drawing reaches out to the left and to the right of the outer strings.
    pub fn reach(&self, measures: &Measures, desk: &Desk) -> (Pt, Pt) {
        let beside = measures.dot + pt(0.6);
        let clear = measures.dot * 0.35 + pt(2.6);
        let number = self.number(desk).map(|number| beside + clear + number.width);
        (number.unwrap_or(beside), beside)
    }

    /// The number of the first fret, where it isn't the nut that tells it.
    fn number(&self, desk: &Desk) -> Option<Text> {
        let style = Style::new(Face::Sans, desk.look.small_size);
        (!self.shows_nut()).then(|| desk.words(&self.first_fret().to_string(), style))
    }

    /// The widest distance that the labels of two neighbouring strings need.
    fn widest_pair(&self, label: DotLabel, desk: &Desk) -> Pt {
        let labels: Vec<Pt> = StringIndex::first(self.strings())
            .map(|string| self.label(string, label, desk).map_or(Pt::ZERO, |text| text.width))
            .collect();
        let pair = |pair: &[Pt]| pair.iter().copied().sum::<Pt>() / 2.0;
        labels.windows(2).map(pair).fold(Pt::ZERO, Pt::max)
    }

    fn label(&self, string: StringIndex, label: DotLabel, desk: &Desk) -> Option<Text> {
        let sound = self.sounds.get(string.index())?.as_ref()?;
        let face = if sound.is_root() { Face::SansBold } else { Face::Sans };
        Some(desk.words(&sound.label(label)?, Style::new(face, desk.look.small_size)))
    }

    /// Draws the box with so many frets, the left end of its nut at a point.
    pub fn draw(
        &self,
        drawing: &mut Drawing,
        at: Point,
        rows: u8,
        measures: &Measures,
        desk: &Desk,
    ) {
        let pen = Pen { shape: self, drawing, at, rows, measures, desk };
        pen.draw();
    }

    fn is_root(&self, string: StringIndex) -> bool {
        self.sounds
            .get(string.index())
            .is_some_and(|sound| sound.is_some_and(|sound| sound.is_root()))
    }
}

/// Draws one box.
struct Pen<'a> {
    shape: &'a ChordBox<'a>,
    drawing: &'a mut Drawing,
    /// Where the left end of the nut is.
    at: Point,
    rows: u8,
    measures: &'a Measures,
    desk: &'a Desk<'a>,
}

impl Pen<'_> {
    fn draw(mut self) {
        self.grid();
        self.top();
        for string in StringIndex::first(self.shape.strings()) {
            self.head(string);
        }
        self.barres();
        for string in StringIndex::first(self.shape.strings()) {
            self.dot(string);
            self.foot(string);
        }
    }

    /// A string's distance from the left.
    fn x(&self, string: StringIndex) -> Pt {
        let last = self.shape.strings().saturating_sub(1);
        let index = string.index();
        let place = if self.shape.left_handed { last.saturating_sub(index) } else { index };
        self.at.x + self.measures.gap * place as f32
    }

    /// The height of a fret's wire; of the nut for 0 rows.
    fn wire(&self, row: u8) -> Pt {
        self.at.y + self.measures.row * f32::from(row)
    }

    /// Where a finger on a fret is centred.
    fn place(&self, string: StringIndex, fret: Fret) -> Point {
        let row = fret.above(self.shape.first_fret());
        Point::new(self.x(string), self.wire(row) + self.measures.row / 2.0)
    }

    fn right(&self) -> Pt {
        self.at.x + self.measures.width(self.shape.strings())
    }

    fn grid(&mut self) {
        let (left, right, bottom) = (self.at.x, self.right(), self.wire(self.rows));
        for row in 0..=self.rows {
            let y = self.wire(row);
            self.drawing.path(Path::line(Point::new(left, y), Point::new(right, y), LINE));
        }
        for string in StringIndex::first(self.shape.strings()) {
            let x = self.x(string);
            // A hair longer at both ends, so that the corners are closed.
            let (top, bottom) = (self.at.y - LINE / 2.0, bottom + LINE / 2.0);
            self.drawing.path(Path::line(Point::new(x, top), Point::new(x, bottom), LINE));
        }
    }

    /// The nut, the capo, or the number of the first fret.
    fn top(&mut self) {
        let (left, right, y) = (self.at.x, self.right(), self.at.y);
        if let Some(number) = self.shape.number(self.desk) {
            let x = left - self.measures.dot * 1.35 - pt(3.0) - number.width;
            let baseline = self.wire(0) + (self.measures.row + self.measures.cap) / 2.0;
            self.drawing.text(Point::new(x, baseline), number);
            return;
        }
        if self.shape.capo {
            let over = self.measures.dot * 0.8;
            let y = y - pt(1.2);
            let mut bar =
                Path::line(Point::new(left - over, y), Point::new(right + over, y), pt(3.4));
            bar.stroke = Some(Stroke { round: true, ..Stroke::black(pt(3.4)) });
            self.drawing.path(bar);
            return;
        }
        let edge = Point::new(left - LINE / 2.0, y - NUT);
        self.drawing.path(Path::rectangle(edge, right - left + LINE, NUT, 0.0));
    }

    /// The sign above an open or a silent string.
    fn head(&mut self, string: StringIndex) {
        let size = self.measures.dot * 0.58;
        let centre = Point::new(self.x(string), self.at.y - NUT - pt(2.2) - size);
        let corner = |x: f32, y: f32| centre + Point::new(size * x, size * y);
        match self.shape.fingering.frets.get(string.index()) {
            Some(None) if self.shape.blank.is_some() => {}
            Some(None) => {
                for (from, to) in [((-1.0, -1.0), (1.0, 1.0)), ((-1.0, 1.0), (1.0, -1.0))] {
                    let line = Path::line(corner(from.0, from.1), corner(to.0, to.1), pt(0.9));
                    self.drawing.path(line);
                }
            }
            Some(Some(Fret::OPEN)) if self.shape.is_root(string) => {
                self.drawing.path(square(centre, size, None, Some(Stroke::black(pt(1.5)))));
            }
            Some(Some(Fret::OPEN)) => {
                self.drawing.path(Path::circle(centre, size, None, Some(Stroke::black(pt(0.8)))));
            }
            _ => {}
        }
    }

    /// A bar for each finger that presses several strings.
    fn barres(&mut self) {
        for (finger, fret) in fingers_in_use(self.shape.fingering) {
            let on: Vec<Pt> = StringIndex::first(self.shape.strings())
                .filter(|string| {
                    self.shape.fingering.fingers.get(string.index()) == Some(&Some(finger))
                })
                .filter(|string| {
                    self.shape.fingering.frets.get(string.index()) == Some(&Some(fret))
                })
                .map(|string| self.x(string))
                .collect();
            let Some((first, last)) = on.first().zip(on.last()).filter(|(a, b)| a != b) else {
                continue;
            };
            let y = self.place(StringIndex::LOWEST, fret).y;
            let ends = (Point::new(first.min(*last), y), Point::new(first.max(*last), y));
            self.drawing.path(capsule(ends.0, ends.1, self.measures.dot));
        }
    }

    /// The finger on a string.
    fn dot(&mut self, string: StringIndex) {
        let frets = &self.shape.fingering.frets;
        let Some(fret) =
            frets.get(string.index()).copied().flatten().filter(|fret| fret.is_pressed())
        else {
            return;
        };
        let centre = self.place(string, fret);
        let finger = self.shape.fingering.fingers.get(string.index()).copied().flatten();
        let is_root = self.shape.is_root(string);
        if is_root {
            // As high as a barre, so that it covers a barre's end.
            self.drawing.path(square(centre, self.measures.dot, Some(0.0), None));
        } else if !self.is_barred(string) {
            let outline = Some(Stroke::black(OUTLINE));
            let radius = self.measures.dot - OUTLINE / 2.0;
            self.drawing.path(Path::circle(centre, radius, Some(1.0), outline));
        }
        if let Some(finger) = finger {
            let shade = if is_root { 1.0 } else { 0.0 };
            let style = Style { shade, ..Style::new(Face::SansBold, self.measures.size) };
            let sign = self.desk.words(&finger.sign().to_string(), style);
            self.drawing.text_centred(centre.x, centre.y + self.measures.cap / 2.0, sign);
        }
    }

    /// Whether a string's finger presses others too, so that its dot is the bar.
    fn is_barred(&self, string: StringIndex) -> bool {
        let fingers = &self.shape.fingering.fingers;
        let finger = fingers.get(string.index()).copied().flatten();
        finger.is_some() && fingers.iter().filter(|other| **other == finger).count() > 1
    }

    /// What the string sounds.
    fn foot(&mut self, string: StringIndex) {
        if let Some(label) = self.shape.label(string, self.measures.label, self.desk) {
            let y = self.wire(self.rows) + self.measures.foot() - pt(1.0);
            self.drawing.text_centred(self.x(string), y, label);
        }
    }
}

/// The width of strings and frets.
const LINE: Pt = pt(0.6);
/// The width of the nut.
const NUT: Pt = pt(2.4);
/// The width of a dot's outline.
const OUTLINE: Pt = pt(1.0);

/// Each finger with the fret that it presses, in the order of the fingers.
fn fingers_in_use(fingering: &Fingering) -> Vec<(Finger, Fret)> {
    let pairs = fingering.fingers.iter().zip(&fingering.frets);
    let mut used: Vec<(Finger, Fret)> =
        pairs.filter_map(|(finger, fret)| Some(((*finger)?, (*fret)?))).collect();
    used.sort_unstable();
    used.dedup();
    used
}

/// A square about a centre, from which its sides lie `reach` away.
fn square(centre: Point, reach: Pt, fill: Option<f32>, stroke: Option<Stroke>) -> Path {
    let corner = centre + Point::new(-reach, -reach);
    let square = Path::rectangle(corner, reach * 2.0, reach * 2.0, 0.0);
    Path { fill, stroke, ..square }
}

/// A white bar with round ends about two points.
fn capsule(from: Point, to: Point, reach: Pt) -> Path {
    Path::pill(from, to, reach - OUTLINE / 2.0, 1.0, Stroke::black(OUTLINE))
}

/// A box in words, string after string from the lowest-placed: "sixth string silent; fifth string
/// open, A, the root; …".
pub fn describe(shape: &ChordBox) -> String {
    if let Some(Window { first, rows }) = shape.blank {
        let last = first.up(rows.saturating_sub(1));
        return format!("an empty box for frets {first} to {last}, to be filled in");
    }
    let strings = shape.strings();
    let one = |string: StringIndex| {
        let name = format!("{} string", ordinal(strings - string.index()));
        let sound = shape.sounds.get(string.index()).copied().flatten();
        match (shape.fingering.frets.get(string.index()).copied().flatten(), sound) {
            (None, _) | (_, None) => format!("{name} silent"),
            (Some(Fret::OPEN), Some(sound)) => format!("{name} open, {}", sound_in_words(&sound)),
            (Some(fret), Some(sound)) => {
                let finger = shape.fingering.fingers.get(string.index()).copied().flatten();
                let finger = finger.map_or(String::new(), |finger| format!(", {}", spoken(finger)));
                format!("{name} fret {fret}{finger}, {}", sound_in_words(&sound))
            }
        }
    };
    StringIndex::first(strings).map(one).collect::<Vec<_>>().join("; ")
}

fn sound_in_words(sound: &Sound) -> String {
    let note = sound.note.spoken();
    match sound.degree {
        None => note,
        Some(Degree::ROOT) => format!("{note}, the root"),
        Some(degree) => format!("{note}, the {}", Interval::of(degree)),
    }
}

/// The finger in words.
fn spoken(finger: Finger) -> &'static str {
    match finger {
        Finger::Index => "index finger",
        Finger::Middle => "middle finger",
        Finger::Ring => "ring finger",
        Finger::Little => "little finger",
        Finger::Thumb => "thumb",
    }
}
