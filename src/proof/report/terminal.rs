//! The report for a reader: each finding with its line of the lesson and the place marked.

use crate::lesson::source::Places;
use crate::lesson::{Source, Span};
use crate::proof::{Finding, Weight};
use annotate_snippets::{AnnotationKind, Element, Level, Origin, Renderer, Snippet};
use std::ops::Range;

/// Places this many lines apart are shown in one excerpt; farther ones get their own, so that a
/// report's cost does not grow with the lesson's length.
const LINES_IN_ONE_EXCERPT: usize = 30;

/// Excerpts of more bytes than this are not shown, only their place is told: a line without end would
/// be shown anew for each thing found in it.
const LONGEST_EXCERPT: usize = 16_000;

/// How a report looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    /// Plain characters.
    Without,
    /// With colours, for a terminal.
    With,
}

/// The findings as text, each followed by an empty line.
pub fn render(source: &Source, findings: &[Finding], colour: Colour) -> String {
    let places = source.places();
    let one = |found: &Finding| render_one(source, &places, found, colour) + "\n\n";
    findings.iter().map(one).collect()
}

/// A finding as text: title, place, marked lines, notes and ways to repair it.
fn render_one(source: &Source, places: &Places<'_>, found: &Finding, colour: Colour) -> String {
    let level = match found.rule.weight {
        Weight::Fault => Level::ERROR.with_name("fault"),
        Weight::Doubt => Level::WARNING.with_name("doubt"),
        Weight::Hint => Level::INFO.with_name("hint"),
    };
    let mut group = level
        .primary_title(&found.message)
        .id(found.rule.name)
        .elements(excerpts(source, places, found));
    group = group.elements(found.notes.iter().map(|note| Level::NOTE.message(note.as_str())));
    group = group.elements(
        found.fixes.iter().map(|fix| Level::HELP.with_name("repair").message(fix.says.as_str())),
    );
    let renderer = match colour {
        Colour::Without => Renderer::plain(),
        Colour::With => Renderer::styled(),
    };
    renderer.render(&[group])
}

/// The excerpts of the lesson that a finding speaks of: its own place first.
fn excerpts<'a>(source: &'a Source, places: &Places<'_>, found: &'a Finding) -> Vec<Element<'a>> {
    let mut far = Vec::new();
    let own_line = places.at(found.span.start).line;
    let mut near = vec![(found.span, None)];
    for label in &found.labels {
        let line = places.at(label.span.start).line;
        let place = (label.span, Some(label.says.as_str()));
        if own_line.abs_diff(line) <= LINES_IN_ONE_EXCERPT {
            near.push(place);
        } else {
            far.push(vec![place]);
        }
    }
    std::iter::once(near).chain(far).map(|marked| shown(source, places, &marked)).collect()
}

/// The lines that hold some places, or the first place alone where the lines are too long to show.
fn shown<'a>(
    source: &'a Source,
    places: &Places<'_>,
    marked: &[(Span, Option<&'a str>)],
) -> Element<'a> {
    let (start, end) = reach(marked);
    let lines = whole_lines(&source.text, start..end);
    if lines.len() <= LONGEST_EXCERPT {
        return Element::from(excerpt(source, places, marked));
    }
    let place = places.at(marked.first().map_or(0, |(span, _)| span.start));
    Element::from(Origin::path(source.name.as_str()).line(place.line).char_column(place.column))
}

/// The first byte and one past the last of some places.
fn reach(marked: &[(Span, Option<&str>)]) -> (usize, usize) {
    let start = marked.iter().map(|(span, _)| span.start).min().unwrap_or(0);
    let end = marked.iter().map(|(span, _)| span.end).max().unwrap_or(0);
    (start, end)
}

/// The lines that hold some places, those marked.
fn excerpt<'a>(
    source: &'a Source,
    places: &Places<'_>,
    marked: &[(Span, Option<&'a str>)],
) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
    let (start, end) = reach(marked);
    let lines = whole_lines(&source.text, start..end);
    let text = source.text.get(lines.clone()).unwrap_or_default();
    let marks = marked.iter().map(|(span, says)| {
        let kind = if says.is_none() { AnnotationKind::Primary } else { AnnotationKind::Context };
        let from = span.start.saturating_sub(lines.start).min(text.len());
        let to = span.end.saturating_sub(lines.start).min(text.len());
        kind.span(from..to.max(from)).label(*says)
    });
    Snippet::source(text)
        .line_start(places.at(lines.start).line)
        .path(source.name.as_str())
        .annotations(marks)
}

/// A range of bytes widened to whole lines, the last one's end left off.
fn whole_lines(text: &str, range: Range<usize>) -> Range<usize> {
    let bytes = text.as_bytes();
    let before = bytes.get(..range.start).unwrap_or_default();
    let start = before.iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
    let after = bytes.get(range.end..).unwrap_or_default();
    let end = after.iter().position(|byte| *byte == b'\n').map_or(text.len(), |at| range.end + at);
    start..end
}
