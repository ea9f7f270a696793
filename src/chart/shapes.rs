//! Fingerings that are named, or checked against a name: worked out as a `shape` block's are.

use super::error::{ChartError, Unread};
use super::{Chart, Content, Part, file_name};
use crate::blocks::shape::{self, Name, Shape, Shapes, Wish};
use crate::blocks::voicings::Voiced;
use crate::findings::Findings;
use crate::findings::source::Line;
use crate::lesson::Setting;
use crate::lesson::fret_row::FretRow;
use crate::neck::Fret;
use crate::neck::claim;
use crate::theory::{Chord, Printed};

/// Reads frets, and the name behind them where there is one.
///
/// # Errors
/// Says what is no fret, and how the fingering is written, or that nothing is there.
pub(super) fn fingering(asked: Line<'_>) -> Result<Wish<'_>, ChartError> {
    let asked = asked.trimmed();
    if asked.text.is_empty() {
        return Err(ChartError::Nothing("frets: `x02420`"));
    }
    let (frets, name) = match FretRow::read(asked) {
        Err(_) if asked.text.contains(char::is_whitespace) => {
            let (frets, name) = asked.last_word();
            (frets, Some(name))
        }
        _ => (asked, None),
    };
    let row = FretRow::read(frets).map_err(|trouble| {
        let trouble = trouble.value;
        let written = respaced(frets.text, name.map(|name| name.text));
        ChartError::NoFingering(Unread { asked: asked.text.to_owned(), trouble, written })
    })?;
    let name = name.map(Line::spanned);
    Ok(Wish { name, twin: None, row, by: None, caption: None, span: asked.whole() })
}

/// How a fingering that can't be read is written: with spaces for what stands between its frets, or another
/// where these aren't frets either.
fn respaced(frets: &str, name: Option<&str>) -> String {
    let spaced: Vec<&str> = frets.split(|c: char| !c.is_alphanumeric()).collect();
    let spaced = spaced.join(" ");
    match (FretRow::read(Line { text: &spaced, start: 0 }), name) {
        (Err(_), _) => "x 10 12 12 11 10".to_owned(),
        (Ok(_), None) => spaced,
        (Ok(_), Some(name)) => format!("{spaced} {name}"),
    }
}

/// The chart of fingerings; one that doesn't fit the instrument is told and left out.
pub(super) fn chart(wishes: &[Wish<'_>], setting: &Setting, findings: &mut Findings) -> Chart {
    let mut shapes: Vec<Shape> = shape::work_out(wishes, setting, findings);
    let mut chart = Chart { name: vec!["shape".to_owned()], ..Chart::default() };
    let mut titles = Vec::new();
    for shape in &mut shapes {
        let named = match &shape.name {
            Name::Given(chord) => vec![chord.clone()],
            _ => claim::names(&shape.fingering.frets, &setting.instrument, None),
        };
        titles.extend(named.first().map(Chord::printed));
        chart.name.push(stem(shape, named.first()));
        shape.caption = also(&named);
        let held = |chord| Voiced::held(chord, shape.fingering.clone(), setting);
        chart.shapes.extend(named.iter().map(held));
    }
    let nameless = titles.is_empty();
    let title = Printed::plain("Chord shapes");
    chart.title = match nameless {
        true => title,
        false => title.then(": ", false).with(Printed::listed(titles)),
    };
    // A single shape is named by the title; one without a name shows its notes.
    chart.named = shapes.len() > 1 || nameless;
    chart.parts.push(Part {
        name: None,
        caption: None,
        content: Content::Boxes(Shapes::of(shapes)),
    });
    chart
}

/// The other names, where there are any.
fn also(named: &[Chord]) -> Option<Printed> {
    let others: Vec<Printed> = named.iter().skip(1).map(Chord::printed).collect();
    (!others.is_empty()).then(|| Printed::plain("or ").with(Printed::listed(others)))
}

/// The frets, run together where that can be read, and the name where one is given.
fn stem(shape: &Shape, name: Option<&Chord>) -> String {
    let frets = &shape.fingering.frets;
    let fret = |fret: &Option<Fret>| fret.map_or("x".to_owned(), |fret| fret.to_string());
    let frets_written: Vec<String> = frets.iter().map(fret).collect();
    let together = frets.iter().flatten().all(|fret| *fret < Fret::new(10));
    let written = frets_written.join(if together { "" } else { "-" });
    match name.filter(|_| matches!(shape.name, Name::Given(_))) {
        Some(chord) => format!("{written}-{}", file_name::of_chord(chord)),
        None => written,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::source::lines;

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
            let line = lines(asked, 0).next().unwrap();
            let error = fingering(line).err().map(|error| error.to_string());
            assert_eq!(error.as_deref(), told, "{asked}");
        }
    }
}
