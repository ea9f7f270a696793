//! Fingerings that are named, or checked against a name: read as a `shape` block reads them.

use super::{Chart, Content, Found, Part, file_name};
use crate::blocks::shape::{Name, Shape};
use crate::blocks::{Elaborated, Music};
use crate::lesson::fret_row::FretRow;
use crate::neck::claim;
use crate::theory::Chord;

/// A line of a `shape` block for frets, or for frets and a name behind them.
pub fn line(asked: &str) -> String {
    let asked = asked.trim();
    let named = asked.rsplit_once(char::is_whitespace);
    match named {
        Some((frets, name)) if FretRow::read(asked, 0).is_err() => format!("{name} {frets}"),
        _ => format!("? {asked}"),
    }
}

/// The chart of the shapes of a lesson.
///
/// # Errors
/// Where there is none.
pub fn chart(elaborated: &Elaborated<'_>) -> Result<Chart, String> {
    let shapes = elaborated.blocks.iter().find_map(|block| match &block.music {
        Some(Music::Shape(shapes)) => Some(shapes.clone()),
        _ => None,
    });
    let mut shapes = shapes.ok_or("say which frets, as in `x02420`")?;
    let setting = &elaborated.lesson.header.setting;
    let mut chart = Chart { name: vec!["shape".to_owned()], ..Chart::default() };
    let mut titles = Vec::new();
    for shape in &mut shapes.shapes {
        let named = match &shape.name {
            Name::Given(chord) => vec![chord.clone()],
            _ => claim::names(&shape.fingering.frets, &setting.instrument, None),
        };
        titles.extend(named.first().map(|chord| chord.printed().text()));
        chart.name.push(stem(shape, named.first()));
        shape.caption = also(&named);
        let fingering = &shape.fingering;
        let found = |chord| Found { chord, fingering: fingering.clone() };
        chart.shapes.extend(named.into_iter().map(found));
    }
    let nameless = "Chord shapes".to_owned();
    chart.title =
        if titles.is_empty() { nameless } else { format!("{nameless}: {}", titles.join(", ")) };
    chart.parts.push(Part { caption: None, content: Content::Boxes(shapes) });
    Ok(chart)
}

/// The other names, where there are any.
fn also(named: &[Chord]) -> Option<String> {
    let others: Vec<String> = named.iter().skip(1).map(|chord| chord.printed().text()).collect();
    (!others.is_empty()).then(|| format!("or {}", others.join(", ")))
}

/// The frets, run together where that can be read, and the name where one is given.
fn stem(shape: &Shape, name: Option<&Chord>) -> String {
    let frets = &shape.fingering.frets;
    let fret = |fret: &Option<u8>| fret.map_or("x".to_owned(), |fret| fret.to_string());
    let frets_written: Vec<String> = frets.iter().map(fret).collect();
    let together = frets.iter().flatten().all(|fret| *fret < 10);
    let written = frets_written.join(if together { "" } else { "-" });
    match name.filter(|_| matches!(shape.name, Name::Given(_))) {
        Some(chord) => format!("{written}-{}", file_name::of_chord(chord)),
        None => written,
    }
}
