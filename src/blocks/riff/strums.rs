//! Strumming patterns: strokes over the chords that hold, each in the shape that the lesson gives it.

use super::clock::{Moment, Under};
use super::lines::Row;
use super::over_changes::Progressions;
use super::place;
use super::rows;
use super::setup::Setup;
use crate::blocks::first_shown::first_shown;
use crate::blocks::tab::places::{BarPlace, NotePlace};
use crate::findings::Span;
use crate::findings::rules::{block_syntax, no_voicing};
use crate::findings::{Finding, Findings};
use crate::lesson::Setting;
use crate::lesson::fence::Fence;
use crate::music::tab::{Bar, BarHarmony, Event, Form, Note, Sound, Strummed};
use crate::neck::{Finger, Fingering, Fret, StringIndex};
use crate::theory::Chord;

/// The strokes of a riff that has neither string rows nor a `notes` row.
pub(super) struct Strokes<'s, 'r, 'a> {
    /// The rows, bars and clock.
    pub setup: &'s Setup<'r, 'a>,
    /// The chords in force.
    pub harmony: &'s [BarHarmony],
    /// The lesson's own shapes.
    pub known: &'s dyn Progressions,
}

/// A stroke as it is written.
struct Stroke {
    moment: Moment,
    muted: bool,
    span: Span,
}

impl Strokes<'_, '_, '_> {
    /// Sets an event into the bars for each stroke.
    pub fn strum(
        &self,
        fence: &Fence,
        bars: &mut [Bar],
        places: &mut [BarPlace],
        findings: &mut Findings,
    ) -> Form {
        let rows: Vec<&Row> =
            self.setup.systems.iter().filter_map(|system| system.row(&rows::Pick)).collect();
        if rows.is_empty() {
            return Form::Words;
        }
        let mut shapes: Vec<Strummed> = Vec::new();
        let mut silent = false;
        for stroke in rows.into_iter().flat_map(|row| self.strokes(row)) {
            let Some(chord) = self.chord_at(stroke.moment) else {
                if !silent {
                    findings.add(self.without_chord(&stroke));
                }
                silent = true;
                continue;
            };
            let index =
                shapes.iter().position(|known| known.chord == *chord).unwrap_or_else(|| {
                    let shape = self.shape(chord, fence, stroke.span, findings);
                    shapes.push(Strummed { chord: chord.clone(), shape });
                    shapes.len() - 1
                });
            let bar = stroke.moment.bar;
            if let (Some(strummed), Some(bar), Some(place)) =
                (shapes.get(index), bars.get_mut(bar), places.get_mut(bar))
            {
                let event = event(&stroke, &strummed.shape);
                place.notes.extend(event.notes.iter().map(|note| NotePlace {
                    at: event.at,
                    string: note.string,
                    span: stroke.span,
                    graces: Vec::new(),
                }));
                bar.events.push(event);
            }
        }
        for bar in bars {
            bar.events.retain(|event| !event.notes.is_empty());
        }
        Form::Strum(
            shapes.into_iter().filter(|strummed| !strummed.shape.frets.is_empty()).collect(),
        )
    }

    /// The strokes of a row that stand under counts; what else stands in it is reported with the
    /// marks of other rows.
    fn strokes(&self, row: &Row) -> Vec<Stroke> {
        let stroke = |column: usize, text: &str, span: Span| {
            let muted = match text.to_ascii_lowercase().as_str() {
                "d" | "u" => false,
                "x" => true,
                _ => return None,
            };
            match self.setup.clock.under(column) {
                Under::Count(moment) => Some(Stroke { moment, muted, span }),
                Under::Rest(_) | Under::Unclear | Under::Nothing => None,
            }
        };
        let words = row.words(1);
        words.iter().filter_map(|word| stroke(word.column, &word.text, word.span)).collect()
    }

    fn chord_at(&self, moment: Moment) -> Option<&Chord> {
        self.harmony.get(moment.bar)?.passes.first()?.chord_at(moment.at)
    }

    fn without_chord(&self, stroke: &Stroke) -> Finding {
        let bar = self.setup.bars.get(stroke.moment.bar);
        let place = bar.map(|bar| match self.setup.is_timed() {
            true => {
                let count = place::count(bar, stroke.moment.at, self.setup.big_beats);
                format!("{}, {count}", place::bar(bar))
            }
            false => place::bar(bar),
        });
        let message = format!("{}: a stroke, but no chord holds there", place.unwrap_or_default());
        block_syntax::at(stroke.span, message)
            .note("a `chord` row or `over NAME` says what is strummed")
    }

    /// The lesson's own last shape of a chord, or the best that the hand can hold; one without
    /// strings where there is none.
    fn shape(
        &self,
        chord: &Chord,
        fence: &Fence,
        span: Span,
        findings: &mut Findings,
    ) -> Fingering {
        let found = self.known.shape(chord, &fence.setting.instrument);
        found.unwrap_or_else(|| shape(chord, fence, span, findings))
    }
}

/// The best shape of a chord that the hand can hold; one without strings where there is none.
pub(super) fn shape(
    chord: &Chord,
    fence: &Fence,
    span: Span,
    findings: &mut Findings,
) -> Fingering {
    let Setting { instrument, hand, .. } = &fence.setting;
    first_shown(chord, instrument, *hand).unwrap_or_else(|| {
        findings.add(no_voicing::not_held(span, chord));
        Fingering { frets: Vec::new(), fingers: Vec::new() }
    })
}

fn event(stroke: &Stroke, shape: &Fingering) -> Event {
    Event::new(stroke.moment.at, notes(shape, stroke.muted))
}

/// What a stroke over a shape sounds.
pub(super) fn notes(shape: &Fingering, muted: bool) -> Vec<Note> {
    let note = |(string, fret, finger): (StringIndex, Fret, Option<Finger>)| Note {
        string,
        sound: if muted { Sound::Muted } else { Sound::Fret(fret) },
        ghost: false,
        joined: None,
        graces: Vec::new(),
        slide_in: None,
        slide_out: None,
        vibrato: false,
        quarter_bend: false,
        tapped: false,
        finger: finger.filter(|_| !muted),
    };
    shape.places().map(note).collect()
}
