//! The guide tones of a progression, drawn as lanes: each is followed to where it goes, chord by chord.

use super::scales::{ScalesFor, titled};
use crate::blocks::chord_box;
use crate::blocks::figure::Desk;
use crate::blocks::lanes::{Lane, Lanes, Row, Sounded};
use crate::ink::{Drawing, Face, Label, Point, Pt, Style, Text};
use crate::theory::fitting::{Guided, Step};
use crate::theory::{Chord, Note};
use crate::words::listed;
use crate::words::paper::lanes as words;
use crate::words::paper::scales;

/// How many times their least pitch columns may be apart (chosen by eye).
const LOOSEST: f32 = 1.8;
/// A column is at least so wide in units, as a box of six strings is, so that lanes beneath boxes and lanes alone
/// have one pace.
const LEAST: f32 = 7.5;

/// The guide tones in rows of equal columns.
pub(super) fn strips(found: &ScalesFor, desk: &Desk<'_>) -> Vec<Drawing> {
    let way = Way::of(&found.guided);
    if way.lanes.is_empty() {
        return Vec::new();
    }
    let lanes = Lanes::new(&way.lanes, desk);
    let symbols: Vec<Text> = way.columns.iter().map(|column| column.symbol(desk)).collect();
    let widest = symbols.iter().map(|symbol| symbol.width).fold(lanes.widest(), Pt::max);
    let count = symbols.len();
    let unit = chord_box::unit(desk);
    let natural = lanes.least_pitch().max(widest + unit).max(unit * LEAST);
    // One row begins at the edge; of several the second begins with notes of the first and lines.
    let in_one = widest + natural * count.saturating_sub(1) as f32 <= desk.width;
    let behind = widest / 2.0;
    let before = if in_one { behind } else { lanes.before(false).max(behind) };
    let room = (desk.width - before - behind).max(Pt::ZERO);
    let fitting = (room / natural) as usize + 1;
    let number = count.div_ceil(count.div_ceil(fitting).max(1)).max(1);
    let pitch = (room / number.saturating_sub(1).max(1) as f32).min(natural * LOOSEST);
    let title = scales::guide_tones(found.untold);
    let strip = |start: usize| {
        let end = (start + number).min(count);
        let mut strip = match start {
            0 => titled(&desk.lang.said(&title), desk),
            _ => Drawing::new(desk.width, Pt::ZERO),
        };
        let row = Row { columns: start..end, first: before, pitch };
        way.draw(&mut strip, &row, &symbols, &lanes, desk);
        strip
    };
    (0..count).step_by(number).map(strip).collect()
}

/// A chord of the way.
struct Column<'a> {
    chord: &'a Chord,
    /// Its guide tones in words; nothing where it stands only to be arrived at: it was told before.
    told: Option<String>,
}

impl Column<'_> {
    fn symbol(&self, desk: &Desk<'_>) -> Text {
        let face = if self.told.is_some() { Face::SerifSemibold } else { Face::Serif };
        let style = Style::new(face, desk.look.symbol_size);
        let symbol = desk.symbol(&self.chord.printed(), style);
        match self.told {
            Some(_) => symbol,
            None => desk.words("(", style).then(symbol).then(desk.words(")", style)),
        }
    }
}

/// The way through the chords.
#[derive(Default)]
struct Way<'a> {
    columns: Vec<Column<'a>>,
    lanes: Vec<Lane>,
}

/// A voice that is on its way to a note.
struct Leading {
    lane: usize,
    to: Note,
}

impl<'a> Way<'a> {
    fn of(guided: &'a [Guided]) -> Way<'a> {
        let mut way = Way::default();
        let mut leading = Vec::new();
        for (at, one) in guided.iter().enumerate() {
            let arriving = std::mem::take(&mut leading);
            leading = way.chord(one, arriving);
            let Some(next) = &one.next else { continue };
            // What follows on paper is another change, or nothing: where this one leads is shown once more.
            if guided.get(at + 1).is_none_or(|after| after.chord != *next) && !leading.is_empty() {
                way.column(next, None);
                for voice in std::mem::take(&mut leading) {
                    way.sound(voice.lane, next, voice.to, false);
                }
            }
        }
        way
    }

    fn column(&mut self, chord: &'a Chord, told: Option<String>) {
        self.columns.push(Column { chord, told });
        for lane in &mut self.lanes {
            lane.notes.push(None);
            lane.moves.push(None);
        }
    }

    /// Adds a chord, into which voices lead; where its own lead.
    fn chord(&mut self, guided: &'a Guided, mut arriving: Vec<Leading>) -> Vec<Leading> {
        self.column(&guided.chord, Some(in_words(guided).unwrap_or_default()));
        let mut leading = Vec::new();
        let mut new = Vec::new();
        for (at, (_, note)) in guided.tones.iter().enumerate() {
            match arriving.iter().position(|voice| voice.to.class() == note.class()) {
                Some(found) => {
                    let lane = arriving.remove(found).lane;
                    self.sound(lane, &guided.chord, *note, true);
                    leading.extend(self.lead(lane, guided.moves.get(at)));
                }
                None => new.push((*note, guided.moves.get(at))),
            }
        }
        for voice in arriving {
            self.sound(voice.lane, &guided.chord, voice.to, false);
        }
        for (note, step) in new {
            let lane = self.free_lane();
            self.sound(lane, &guided.chord, note, true);
            leading.extend(self.lead(lane, step));
        }
        leading
    }

    /// A lane in which nothing sounds yet under the last chord.
    fn free_lane(&mut self) -> usize {
        let is_free = |lane: &Lane| lane.notes.last().is_some_and(Option::is_none);
        self.lanes.iter().position(is_free).unwrap_or_else(|| {
            let (notes, moves) = (vec![None; self.columns.len()], vec![None; self.columns.len()]);
            self.lanes.push(Lane { label: String::new(), notes, moves });
            self.lanes.len() - 1
        })
    }

    fn sound(&mut self, lane: usize, chord: &Chord, note: Note, strong: bool) {
        let degree = chord.degree_of_class(note.class());
        let last = self.lanes.get_mut(lane).and_then(|lane| lane.notes.last_mut());
        if let Some(place) = last {
            *place = Some(Sounded { note: note.printed(), degree, strong });
        }
    }

    fn lead(&mut self, lane: usize, step: Option<&Step>) -> Option<Leading> {
        let step = step?;
        let (to, by) = match *step {
            Step::Stays(note) => (note, 0),
            Step::Rises(_, to) | Step::Falls(_, to) => (to, step.half_steps()),
        };
        *self.lanes.get_mut(lane)?.moves.last_mut()? = Some(by);
        Some(Leading { lane, to })
    }

    fn draw(
        &self,
        strip: &mut Drawing,
        row: &Row,
        symbols: &[Text],
        lanes: &Lanes<'_>,
        desk: &Desk<'_>,
    ) {
        let baseline = strip.height + desk.look.symbol_size * 0.9;
        let here = self.columns.iter().zip(symbols).skip(row.columns.start).take(row.columns.len());
        for (at, (column, symbol)) in here.enumerate() {
            let mut drawing = Drawing::new(symbol.width, symbol.width);
            drawing.text(Point::default(), symbol.clone());
            let middle = row.first + row.pitch * at as f32;
            let left = Point::new(middle - symbol.width / 2.0, baseline);
            let label = match &column.told {
                Some(told) => Label::Words {
                    title: column.chord.spoken().trim().to_owned(),
                    words: told.clone(),
                },
                None => Label::None,
            };
            strip.place(left, drawing, label);
        }
        strip.height = baseline + desk.look.symbol_size * 0.2;
        let height = lanes.height(row);
        let mut drawing = Drawing::new(strip.width, height);
        lanes.draw(&mut drawing, Pt::ZERO, row);
        strip.place(Point::new(Pt::ZERO, strip.height), drawing, Label::None);
        strip.height += height;
    }
}

/// "In G major, B is the third; to B minor, B stays."
pub(super) fn in_words(guided: &Guided) -> Option<String> {
    let tones = guided
        .tones
        .iter()
        .map(|(degree, note)| format!("{} is the {}", note.spoken(), degree.spoken()));
    let told = listed(&tones.collect::<Vec<_>>());
    let moves = guided.moves.iter().map(step_in_words);
    let then = guided.next.as_ref().map(|next| {
        format!("; to {}, {}", next.spoken().trim(), listed(&moves.collect::<Vec<_>>()))
    });
    let chord = guided.chord.spoken();
    (!told.is_empty()).then(|| format!("In {}, {told}{}.", chord.trim(), then.unwrap_or_default()))
}

fn step_in_words(step: &Step) -> String {
    let by = words::distance(step.half_steps());
    match step {
        Step::Stays(note) => format!("{} stays", note.spoken()),
        Step::Rises(from, to) => format!("{} rises {by} to {}", from.spoken(), to.spoken()),
        Step::Falls(from, to) => format!("{} falls {by} to {}", from.spoken(), to.spoken()),
    }
}
