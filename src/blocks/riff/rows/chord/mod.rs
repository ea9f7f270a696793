//! The `chord` row, the harmony.

mod read;

pub(in super::super) use read::{outside_key, read};

use super::super::figure::{
    BarAt, Canvas, Label, LabelFace, Lane, Reach, Sheet, Teller, Told, Turn, chords, strokes,
};
use super::{Kind, Part, RowPlace};
use crate::ink::{Pt, Text};
use crate::music::tab::Form;
use crate::theory::Ticks;

/// The label of the row.
pub const LABEL: &str = "chord";

/// Chord symbols, each from its moment on.
#[derive(Debug)]
pub(in super::super) struct Chord;

impl Kind for Chord {
    fn label(&self) -> &'static str {
        LABEL
    }

    fn says(&self) -> &'static str {
        "chord symbols, each from its count on"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["chords", "harmony", "changes"]
    }

    fn part(&self) -> Part {
        Part::Harmony
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn place(&self) -> RowPlace {
        RowPlace::OnTop
    }

    /// Symbols, their left edge over that of a one-figure fret number, or over their boxes, each of which stands once.
    fn labels(&self, at: &BarAt) -> Vec<Label> {
        let scale = at.scale;
        let over = chords::over(at.riff, at.index).into_iter();
        over.map(|symbol| {
            let (tick, lane) = (at.bar.start + symbol.at, Lane::Row(self.label()));
            let text = scale.symbol(&symbol.printed()).sounding(tick.0);
            if let Some(index) = at.boxes.standing(at.index, symbol.at) {
                let reach = at.boxes.reach(index, text.width, scale);
                return Label { tick, lane, reach, face: LabelFace::Box { symbol: text, index } };
            }
            let left = scale.desk.look.fret_size * 0.32;
            let reach = Reach { left, right: text.width - left };
            Label { tick, lane, reach, face: LabelFace::Lines(vec![text]) }
        })
        .collect()
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        match sheet.score.riff.form {
            Form::Tab => draw_symbols(canvas, self.label(), sheet),
            Form::Strum(_) | Form::Words => strokes::draw_chords(canvas, self.label(), sheet),
        }
    }

    /// Those behind the bar's first moment, which stand with its name.
    fn tell(&self, teller: &Teller) -> Vec<Told> {
        let chords = teller.chords();
        let later = teller.here(&chords, |symbol| symbol.at).iter();
        let later = later.filter(|symbol| symbol.at > Ticks::ZERO);
        let told = later.map(|symbol| Told {
            at: symbol.at,
            turn: Turn::Holds,
            words: match symbol.chord {
                Some(_) => format!("chord {}", symbol.spoken()),
                None => symbol.spoken(),
            },
        });
        told.collect()
    }

    fn tell_name(&self, teller: &Teller) -> Option<String> {
        let chords = teller.chords();
        let first = chords.first().filter(|symbol| symbol.at == Ticks::ZERO);
        first.map(|symbol| symbol.spoken())
    }
}

/// Symbols, all on one line.
fn draw_symbols(canvas: &mut Canvas, row: &'static str, sheet: &Sheet) {
    let Sheet { system, scale, .. } = *sheet;
    let placed = sheet.labels(row).filter_map(|label| {
        let LabelFace::Lines(lines) = &label.face else { return None };
        let from = system.x(label.tick) - label.reach.left;
        Some((from, from + label.reach.left + label.reach.right, lines.first()?))
    });
    let symbols: Vec<(Pt, Pt, &Text)> = placed.collect();
    let free = symbols.iter().map(|(from, to, _)| canvas.free_above(*from, *to));
    // Descenders of brackets and slashes reach a fifth of the size below the baseline.
    let size = scale.desk.look.symbol_size;
    let baseline = free.fold(Pt::ZERO, Pt::min) - size * 0.2 - scale.gaps(0.25);
    for (from, to, text) in symbols {
        canvas.text(from, baseline, text.clone());
        // Raised runs stand a little above the capitals.
        canvas.occupy(from, to, baseline - size * 0.86);
    }
}
