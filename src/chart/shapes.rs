//! Fingerings that are named, or checked against a name: read as a `shape` block reads them.

use super::{Chart, Content, Found, Part, file_name};
use crate::blocks::shape::{Name, Shape, Shapes};
use crate::checks::Elaborated;
use crate::lesson::fret_row::FretRow;
use crate::neck::claim;
use crate::theory::Chord;

/// A line of a `shape` block for frets, or for frets and a name behind them.
pub fn line(asked: &str) -> String {
    let (frets, name) = parted(asked);
    format!("{} {frets}", name.unwrap_or("?"))
}

/// Whether a fingering is written so that it can be read.
///
/// # Errors
/// Says what is no fret, and how the fingering is written.
pub fn check(asked: &str) -> Result<(), String> {
    let (frets, name) = parted(asked);
    let Err(trouble) = FretRow::read(frets, 0) else { return Ok(()) };
    let spaced: Vec<&str> = frets.split(|c: char| !c.is_alphanumeric()).collect();
    let spaced = spaced.join(" ");
    let can_be_read = FretRow::read(&spaced, 0).is_ok();
    let written = if can_be_read { &spaced } else { "x 10 12 12 11 10" };
    let name = name.filter(|_| can_be_read).map_or(String::new(), |name| format!(" {name}"));
    Err(format!(
        "in the fingering `{asked}` {}; write its frets with spaces between them: \"{written}{name}\"",
        trouble.value
    ))
}

/// The frets, and the name behind them where there is one.
fn parted(asked: &str) -> (&str, Option<&str>) {
    let asked = asked.trim();
    match asked.rsplit_once(char::is_whitespace) {
        Some((frets, name)) if FretRow::read(asked, 0).is_err() => (frets, Some(name)),
        _ => (asked, None),
    }
}

/// The chart of the shapes of a lesson.
///
/// # Errors
/// Where there is none.
pub fn chart(elaborated: &Elaborated<'_>) -> Result<Chart, String> {
    let shapes = elaborated.blocks.iter().find_map(|block| block.as_a::<Shapes>());
    let mut shapes = shapes.cloned().ok_or("say which frets, as in `x02420`")?;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fingering_that_is_none_is_told_with_how_to_write_it() {
        for (asked, told) in [
            ("x02420", None),
            ("x02210 Am", None),
            ("10 12 12 11 10 10", None),
            (
                "10-12-12-11-10-10",
                Some(
                    "in the fingering `10-12-12-11-10-10` `-` is no fret; write its frets with spaces \
                     between them: \"10 12 12 11 10 10\"",
                ),
            ),
            (
                "10-12-12-11-10-10 D",
                Some(
                    "in the fingering `10-12-12-11-10-10 D` `-` is no fret; write its frets with spaces \
                     between them: \"10 12 12 11 10 10 D\"",
                ),
            ),
            (
                "Am",
                Some(
                    "in the fingering `Am` `A` is no fret; write its frets with spaces between them: \
                     \"x 10 12 12 11 10\"",
                ),
            ),
        ] {
            assert_eq!(check(asked).err().as_deref(), told, "{asked}");
        }
    }
}
