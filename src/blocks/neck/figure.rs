//! Drawing neck diagrams: strings across, the highest on top as a player reads a tab, frets from the
//! nut, inlays between the strings and labelled dots.
//!
//! A root is a square and heavy, another tone a circle; tones of the marked chord are filled, the
//! others are open. So nothing depends on colour.

use super::key::Key;
use super::{Diagram, Diagrams, Dot, Subject};
use crate::blocks::figure::{Desk, DotLabel, Element, Figure};
use crate::blocks::neck_board::{Mark, NeckBoard, View};
use crate::findings::Span;
use crate::ink::{Drawing, Face, Label, Point, Pt, Style, Text, group_from, pt};
use crate::neck::Fret;
use crate::theory::Printed;
use crate::words::{authored, capital, ordinal, terms};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// The distance between two diagrams in a row, and between rows.
const BETWEEN: Pt = pt(22.0);
/// The height of a title, in parts of its size, and the air above the key, in parts of the size of labels; chosen
/// by eye.
const TITLE: f32 = 1.3;
const ABOVE_KEY: f32 = 0.55;
/// A diagram of so many frets at most may stand beside another of its title.
const NARROW: u8 = 6;

impl Diagrams {
    /// The block's figure.
    pub fn figure(&self, desk: &Desk<'_>) -> Figure {
        let titles = self.titles();
        let mut strips = Vec::new();
        let mut elements = Vec::new();
        let mut words = Vec::new();
        let mut notes = Vec::new();
        let mut keys = Vec::new();
        // Diagrams of one key stand beside each other up to one that has more beneath it.
        let stands_alone = |diagram: &Diagram| diagram.scales.is_some();
        let go_together = |one: &Diagram, other: &Diagram| {
            !stands_alone(one) && !stands_alone(other) && Key::of(one) == Key::of(other)
        };
        for run in self.list.chunk_by(go_together) {
            let told: Vec<String> = run.iter().map(|diagram| self.words(diagram)).collect();
            let drawn = run.iter().flat_map(|diagram| {
                let title = diagram.subject.printed().text();
                let alike = titles.get(&title).copied().unwrap_or_default();
                let rows = self.draw(diagram, alike, desk).into_iter();
                let labelled = move |(drawing, words)| {
                    ((drawing, Label::Words { title: title.clone(), words }), diagram.span)
                };
                rows.map(labelled)
            });
            let (mut rows, places) = in_rows(drawn, desk.width);
            let key = key_of(run, desk).filter(|_| self.keyed);
            if let (Some(last), Some(key), Some(place)) = (rows.last_mut(), key, places.last()) {
                set_key(last, key, (place.right, places.len()), desk);
            }
            let first = strips.len();
            elements.extend(places.into_iter().map(|it| Element { strip: it.strip + first, ..it }));
            strips.extend(rows);
            words.extend(told);
            for scales in run.iter().filter_map(|diagram| diagram.scales.as_ref()) {
                strips.extend(scales.strips(desk));
                words.push(scales.words());
                notes.extend(scales.notes(desk));
                keys.extend(scales.key(desk).filter(|_| keys.is_empty()));
            }
        }
        Figure { words: words.join("\n"), strips, elements, keys, notes, ..Figure::default() }
    }

    /// The titles of the diagrams, and how many bear each.
    fn titles(&self) -> BTreeMap<String, usize> {
        let mut titles = BTreeMap::new();
        for diagram in &self.list {
            *titles.entry(diagram.subject.printed().text()).or_default() += 1;
        }
        titles
    }

    /// A diagram that is one of so many of its title, row by row, each with its words. A position among
    /// several takes half the width at most where it fits there, so that two stand side by side.
    fn draw(&self, diagram: &Diagram, alike: usize, desk: &Desk<'_>) -> Vec<(Drawing, String)> {
        let titled = self.is_titled(diagram);
        let narrow = diagram.frets.end().above(*diagram.frets.start()) < NARROW;
        let title = diagram.subject.printed();
        if alike > 1 && narrow && !matches!(diagram.subject, Subject::Places) {
            let half = Desk { width: (desk.width - BETWEEN) / 2.0, ..*desk };
            let (name, size) = match titled {
                true => (title_text(&title, desk), desk.look.symbol_size),
                false => (Text::default(), desk.look.small_size),
            };
            if let [board] = self.boards(diagram, size * TITLE, true, &half).as_slice() {
                let apart = if titled { "\u{2003}" } else { "" };
                let frets = desk.words(
                    &format!("{apart}{}", desk.lang.said(&frets_in_words(diagram))),
                    Style::new(Face::SerifItalic, desk.look.small_size * 1.06),
                );
                let drawing = draw_on(board, diagram, Some((name.then(frets), size)), &half);
                // As wide as the others, so that columns stand under each other.
                let width = drawing.width.max(half.width);
                return vec![(Drawing { width, ..drawing }, self.words(diagram))];
            }
        }
        let row = |(number, board): (usize, &NeckBoard<'_>)| {
            let part = diagram.part(board.frets());
            let size = desk.look.symbol_size;
            let title = (titled && number == 0).then(|| (title_text(&title, desk), size));
            (draw_on(board, &part, title, desk), self.words(&part))
        };
        let height = if titled { desk.look.symbol_size * TITLE } else { Pt::ZERO };
        self.boards(diagram, height, false, desk).iter().enumerate().map(row).collect()
    }

    /// The boards that a diagram is drawn on, row by row, with room above for a title.
    fn boards(
        &self,
        diagram: &Diagram,
        title: Pt,
        fills: bool,
        desk: &Desk<'_>,
    ) -> Vec<NeckBoard<'_>> {
        let marks: Vec<Mark> =
            diagram.layers(desk).into_iter().flat_map(|(_, marks)| marks).collect();
        let view = View { frets: diagram.frets.clone(), title, marks: &marks, fills };
        NeckBoard::rows(&self.instrument, self.left_handed, &view, desk)
    }

    fn is_titled(&self, diagram: &Diagram) -> bool {
        self.named && !matches!(diagram.subject, Subject::Places)
    }

    fn words(&self, diagram: &Diagram) -> String {
        let frets = frets_in_words(diagram);
        if diagram.dots.is_empty() {
            let name = match diagram.subject.named() {
                name if name.is_empty() => name,
                name => format!(" for {name}"),
            };
            return format!("An empty neck{name}, {frets}.");
        }
        let mut words = format!("{}, {frets}", diagram.subject.spoken());
        if let Some(chord) = &diagram.marking {
            words += &format!(", the tones of {} marked", chord.spoken());
        }
        words += ".";
        for string in self.instrument.tuning.indices().rev() {
            let dots: Vec<String> = diagram
                .dots
                .iter()
                .filter(|dot| dot.string == string)
                .map(|dot| diagram.dot_in_words(dot))
                .collect();
            if !dots.is_empty() {
                let name = capital(&ordinal(self.instrument.tuning.number(string)));
                words += &format!("\n{name} string: {}.", dots.join("; "));
            }
        }
        words
    }
}

fn frets_in_words(diagram: &Diagram) -> String {
    format!("frets {} to {}", diagram.frets.start(), diagram.frets.end())
}

impl Diagram {
    fn dot_in_words(&self, dot: &Dot) -> String {
        let place =
            if dot.fret.is_open() { "open".to_owned() } else { format!("fret {}", dot.fret) };
        let mut words = format!("{place}, {}", dot.note.spoken());
        if dot.root {
            words += ", the root";
        } else if let Some(degree) = dot.degree {
            words += &format!(", {}", degree.spoken());
        }
        if let Some(finger) = dot.finger.filter(|_| self.label == Some(DotLabel::Fingers)) {
            words += &format!(", {}", terms::whole_finger(finger));
        }
        if self.marking.is_some() && dot.marked {
            words += ", marked";
        }
        words
    }
}

impl Subject {
    pub(super) fn printed(&self) -> Printed {
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
            Subject::Places => "The neck with places marked".to_owned(),
            _ => format!("The neck with {}", self.named()),
        }
    }

    /// What is shown, as it is said; nothing where places are marked by hand.
    fn named(&self) -> String {
        match self {
            Subject::Chord(chord) => format!("the tones of {}", chord.spoken()),
            Subject::Scale(scale) => format!("{} {}", scale.tonic.spoken(), scale.kind.name()),
            Subject::Notes(notes) => {
                let notes: Vec<String> = notes.iter().map(|note| note.spoken()).collect();
                let things = if notes.len() == 1 { "note" } else { "notes" };
                format!("the {things} {}", notes.join(", "))
            }
            Subject::Block(title) => format!("the notes of {}", authored(title)),
            Subject::Places => String::new(),
        }
    }
}

/// Puts drawings beside each other as far as the width allows, and in rows beneath each other.
/// Returns the rows, and where each drawing stands.
fn in_rows(
    drawings: impl Iterator<Item = ((Drawing, Label), Span)>,
    width: Pt,
) -> (Vec<Drawing>, Vec<Element>) {
    let mut rows: Vec<Drawing> = Vec::new();
    let mut elements = Vec::new();
    let mut used = Pt::ZERO;
    for ((drawing, label), span) in drawings {
        // A hair over is a rounding error.
        if rows.is_empty() || used + BETWEEN + drawing.width > width + pt(0.5) {
            rows.push(Drawing::new(width, Pt::ZERO));
            used = Pt::ZERO;
        }
        let left = if used > Pt::ZERO { used + BETWEEN } else { Pt::ZERO };
        used = left + drawing.width;
        elements.push(Element { span, strip: rows.len() - 1, left, right: used });
        if let Some(row) = rows.last_mut() {
            row.height = row.height.max(drawing.height);
            row.place(Point::new(left, Pt::ZERO), drawing, label);
        }
    }
    (rows, elements)
}

/// Sets a key beside the last diagram of several, whose right edge is given, where its row has room for another, else
/// beneath it.
fn set_key(row: &mut Drawing, key: Drawing, (right, diagrams): (Pt, usize), desk: &Desk<'_>) {
    let left = right + BETWEEN;
    if diagrams > 1 && left + key.width <= desk.width {
        let top = (row.height - key.height).max(Pt::ZERO) / 2.0;
        row.place(Point::new(left, top), key, Label::None);
    } else {
        row.set_below(key, desk.look.small_size * ABOVE_KEY);
    }
}

/// The key of diagrams that have one in common.
fn key_of(run: &[Diagram], desk: &Desk<'_>) -> Option<Drawing> {
    Key::of(run.first()?).draw(desk)
}

fn title_text(title: &Printed, desk: &Desk<'_>) -> Text {
    let title = desk.in_language(title.clone());
    desk.symbol(&title, Style::new(Face::SerifSemibold, desk.look.symbol_size))
}

/// A diagram, or a part of one, on its board, with a title of a size.
fn draw_on(
    board: &NeckBoard<'_>,
    diagram: &Diagram,
    title: Option<(Text, Pt)>,
    desk: &Desk<'_>,
) -> Drawing {
    let mut drawn = board.draw(desk);
    for (layer, marks) in diagram.layers(desk) {
        let from = drawn.items.len();
        marks.iter().for_each(|mark| board.mark(mark, &mut drawn, desk));
        group_from(&mut drawn.items, from, layer);
    }
    let mut drawing = mirrorable(drawn);
    if let Some((title, size)) = title {
        drawing.width = drawing.width.max(title.width);
        drawing.text(Point::new(Pt::ZERO, size * 0.85), title);
    }
    drawing
}

/// A drawing that may be mirrored about its middle.
fn mirrorable(drawing: Drawing) -> Drawing {
    let mut whole = Drawing::new(drawing.width, drawing.height);
    let (middle, mut own) = (Point::new(drawing.width / 2.0, Pt::ZERO), Drawing::default());
    own.place(Point::new(-middle.x, Pt::ZERO), drawing, Label::None);
    whole.place(middle, own, Label::Mirrorable);
    whole
}

impl Diagram {
    /// What it shows of some of its frets.
    fn part(&self, frets: &RangeInclusive<Fret>) -> Diagram {
        let dots = self.dots.iter().filter(|dot| frets.contains(&dot.fret));
        Diagram { dots: dots.cloned().collect(), frets: frets.clone(), ..self.clone() }
    }

    /// The marks, once with each label that is drawn, each time with what they are in the drawing.
    fn layers(&self, desk: &Desk<'_>) -> Vec<(Label, Vec<Mark>)> {
        let labels = self.label.unwrap_or(desk.look.label).drawn().into_iter();
        let marks = |label| self.dots.iter().map(|dot| self.mark_of(dot, label, desk)).collect();
        labels.map(|(layer, label)| (layer, marks(label))).collect()
    }

    fn mark_of(&self, dot: &Dot, label: DotLabel, desk: &Desk<'_>) -> Mark {
        let filled = if self.marking.is_some() { dot.marked } else { dot.root };
        let label = match label {
            DotLabel::Degrees => dot.degree.map_or_else(|| dot.note.printed(), |d| desk.degree(d)),
            DotLabel::Notes => dot.note.printed(),
            DotLabel::Fingers => {
                dot.finger.map(|finger| finger.sign().to_string()).unwrap_or_default()
            }
            DotLabel::None | DotLabel::Either => String::new(),
        };
        Mark { string: dot.string, fret: dot.fret, label, root: dot.root, filled }
    }
}
