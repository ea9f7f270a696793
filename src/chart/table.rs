//! What was worked out, as `--json` prints it (design section 2).

use super::{Chart, Position};
use crate::blocks::chord_box::Sound;
use crate::blocks::neck::Dot;
use crate::blocks::voicings::Voiced;
use crate::lesson::Setting;
use crate::neck::voicing::Inversion;
use crate::neck::{Finger, Fret, Hand, Instrument, Neck, StringIndex, hold};
use crate::theory::{Degree, Note};
use serde::Serialize;
use serde_json::Value;

/// A chart's shapes, its way, and the positions of its scales.
#[derive(Debug, Serialize)]
pub struct Table {
    shapes: Vec<Row>,
    path: Vec<Row>,
    #[serde(skip_serializing_if = "Option::is_none")]
    positions: Option<Vec<Row>>,
}

#[derive(Debug, Serialize)]
struct Row {
    name: String,
    strings: Vec<SoundingString>,
    inversion: Option<u8>,
    strain: Option<f64>,
    span_mm: f64,
}

/// What sounds on a string.
#[derive(Debug, Serialize)]
struct SoundingString {
    string: usize,
    fret: u8,
    finger: Option<Value>,
    note: String,
    degree: Option<String>,
}

impl Table {
    /// The table of a chart on an instrument and in a hand.
    pub fn new(chart: &Chart, setting: &Setting) -> Table {
        let rows =
            |list: &[Voiced]| list.iter().map(|voiced| Row::of_shape(voiced, setting)).collect();
        let instrument = &setting.instrument;
        let positions = |list: &Vec<Position>| {
            list.iter().map(|position| Row::of_position(position, instrument)).collect()
        };
        Table {
            shapes: rows(&chart.shapes),
            path: rows(&chart.path),
            positions: chart.positions.as_ref().map(positions),
        }
    }
}

impl Row {
    fn of_shape(voiced: &Voiced, setting: &Setting) -> Row {
        let (fingering, instrument) = (&voiced.fingering, &setting.instrument);
        let sounds = Sound::of_strings(fingering, instrument, Some(&voiced.chord), None);
        let strings = fingering.places().filter_map(|(string, fret, finger)| {
            let sound = sounds.get(string.index())?.as_ref()?;
            Some(SoundingString::new((string, fret), finger, sound.note, sound.degree, instrument))
        });
        Row {
            name: voiced.chord.to_string(),
            strings: strings.collect(),
            inversion: voiced.inversion.map(Inversion::number),
            strain: strain(voiced, instrument, setting.hand),
            span_mm: span(fingering.frets.iter().flatten().copied(), instrument),
        }
    }

    fn of_position(position: &Position, instrument: &Instrument) -> Row {
        let dots = &position.diagram.dots;
        let place = |dot: &Dot| {
            SoundingString::new(
                (dot.string, dot.fret),
                dot.finger,
                dot.note,
                dot.degree,
                instrument,
            )
        };
        Row {
            name: position.scale.to_string(),
            strings: dots.iter().map(place).collect(),
            inversion: None,
            strain: None,
            span_mm: span(dots.iter().map(|dot| dot.fret), instrument),
        }
    }
}

impl SoundingString {
    fn new(
        (string, fret): (StringIndex, Fret),
        finger: Option<Finger>,
        note: Note,
        degree: Option<Degree>,
        instrument: &Instrument,
    ) -> SoundingString {
        SoundingString {
            string: instrument.tuning.number(string),
            fret: fret.number(),
            finger: finger.map(sign),
            note: note.to_string(),
            degree: degree.map(|degree| degree.to_string()),
        }
    }
}

/// A finger's number; the thumb is `T`.
fn sign(finger: Finger) -> Value {
    let sign = finger.sign();
    sign.to_digit(10).map_or_else(|| Value::from(sign.to_string()), Value::from)
}

fn strain(voiced: &Voiced, instrument: &Instrument, hand: Hand) -> Option<f64> {
    let holds =
        hold::holds(&voiced.fingering.frets, &Neck::of(instrument), hand, Default::default());
    let own = holds.into_iter().find(|hold| hold.fingers == voiced.fingering.fingers)?;
    Some(rounded(own.strain, 100.0))
}

/// How far the outermost pressed places lie apart along the neck, in mm, to a tenth.
fn span(frets: impl Iterator<Item = Fret>, instrument: &Instrument) -> f64 {
    let neck = Neck::of(instrument);
    let pressed: Vec<Fret> = frets.filter(|fret| fret.is_pressed()).collect();
    let ends = pressed.iter().min().zip(pressed.iter().max());
    let apart = ends.map_or(0.0, |(low, high)| neck.pressed(*high) - neck.pressed(*low));
    rounded(apart, 10.0)
}

fn rounded(number: f64, parts: f64) -> f64 {
    (number * parts).round() / parts
}
