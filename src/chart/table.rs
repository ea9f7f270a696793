//! What was worked out, as `--json` prints it (design section 2).

use super::{Chart, Found};
use crate::blocks::chord_box::Sound;
use crate::lesson::Setting;
use crate::neck::voicing::{Inversion, Shape};
use crate::neck::{Finger, Hand, Instrument, Neck, hold};
use serde::Serialize;
use serde_json::Value;

/// A chart's shapes and its way.
#[derive(Debug, Serialize)]
pub struct Table {
    shapes: Vec<Row>,
    path: Vec<Row>,
}

#[derive(Debug, Serialize)]
struct Row {
    name: String,
    frets: Vec<Option<u8>>,
    fingers: Vec<Value>,
    notes: Vec<String>,
    degrees: Vec<String>,
    inversion: Option<u8>,
    strain: Option<f64>,
    span_mm: f64,
}

impl Table {
    /// The table of a chart on an instrument and in a hand.
    pub fn new(chart: &Chart, setting: &Setting) -> Table {
        let rows = |list: &[Found]| list.iter().map(|found| Row::new(found, setting)).collect();
        Table { shapes: rows(&chart.shapes), path: rows(&chart.path) }
    }
}

impl Row {
    fn new(found: &Found, setting: &Setting) -> Row {
        let (fingering, instrument) = (&found.fingering, &setting.instrument);
        let sounds = Sound::of_strings(fingering, instrument, Some(&found.chord), None);
        let sounds = || sounds.iter().flatten();
        let degree =
            |sound: &Sound| sound.degree.map(|degree| degree.to_string()).unwrap_or_default();
        Row {
            name: found.chord.to_string(),
            frets: fingering.frets.clone(),
            fingers: fingers(found),
            notes: sounds().map(|sound| sound.note.to_string()).collect(),
            degrees: sounds().map(degree).collect(),
            inversion: inversion(found, instrument).map(Inversion::number),
            strain: strain(found, instrument, setting.hand),
            span_mm: rounded(span(&fingering.frets, instrument), 10.0),
        }
    }
}

/// For each string its finger, 1 to 4 or `T`; none where it is open or silent.
fn fingers(found: &Found) -> Vec<Value> {
    let value = |finger: Finger| {
        let sign = finger.sign();
        sign.to_digit(10).map_or_else(|| Value::from(sign.to_string()), Value::from)
    };
    let known = found.fingering.fingers.iter().copied().chain(std::iter::repeat(None));
    let strings = known.take(found.fingering.frets.len());
    strings.map(|finger| finger.map_or(Value::Null, value)).collect()
}

/// Which tone of a chord its shape has lowest, where that has a name.
pub fn inversion(found: &Found, instrument: &Instrument) -> Option<Inversion> {
    let bass = Shape::of(&found.fingering.frets).bass(instrument).rem_euclid(12) as u8;
    found.chord.degree_of_class(bass).and_then(Inversion::of)
}

fn strain(found: &Found, instrument: &Instrument, hand: Hand) -> Option<f64> {
    let holds =
        hold::holds(&found.fingering.frets, &Neck::of(instrument), hand, Default::default());
    let own = holds.into_iter().find(|hold| hold.fingers == found.fingering.fingers)?;
    Some(rounded(own.strain, 100.0))
}

/// How far the outermost pressed places lie apart along the neck, in mm.
fn span(frets: &[Option<u8>], instrument: &Instrument) -> f64 {
    let neck = Neck::of(instrument);
    let pressed = || frets.iter().flatten().copied().filter(|fret| *fret > 0);
    let ends = pressed().min().zip(pressed().max());
    ends.map_or(0.0, |(low, high)| neck.pressed(high) - neck.pressed(low))
}

fn rounded(number: f64, parts: f64) -> f64 {
    (number * parts).round() / parts
}
