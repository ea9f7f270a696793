//! The report for a reader: each finding with its line of the lesson and the place marked.

use super::visible::{is_high_control, visible};
use crate::findings::source::Places;
use crate::findings::{Finding, Weight};
use crate::findings::{Source, Span};
use crate::words::Lang;
use annotate_snippets::{AnnotationKind, Element, Level, Origin, Renderer, Snippet};
use std::collections::BTreeMap;

/// Places this many lines apart are shown in one excerpt; farther ones get their own, so that a
/// report's cost does not grow with the lesson's length.
const LINES_IN_ONE_EXCERPT: usize = 30;

/// An excerpt of more bytes than this is not shown whole: of the line that a place is in, only what is
/// around the place. Otherwise a line without end would be shown anew for each thing found in it.
const LONGEST_EXCERPT: usize = 2_000;

/// How many bytes are shown on each side of a place in such a line.
const AROUND: usize = 60;

/// Of one rule so many findings are shown: who has more has one habit to mend, not hundreds of places to
/// read about.
const OF_ONE_RULE: usize = 200;

/// How a report looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    /// Plain characters.
    Without,
    /// With colours, for a terminal.
    With,
}

/// The findings as text, each followed by an empty line; of a rule that is broken very often the first
/// ones, and then how many more there are. The words around them are in a language.
pub fn render(source: &Source, findings: &[Finding], lang: Lang, colour: Colour) -> String {
    let places = source.places();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut text = String::new();
    for found in findings {
        let number = seen.entry(found.rule.name).or_default();
        *number += 1;
        if *number <= OF_ONE_RULE {
            text += &(render_one(source, &places, found, (lang, colour)) + "\n\n");
        }
    }
    let more = seen.into_iter().filter(|(_, number)| *number > OF_ONE_RULE);
    text.extend(more.map(|(rule, number)| {
        let more = number - OF_ONE_RULE;
        let words = format!("{more} more of `{rule}` are not shown here; `--json` tells every one");
        lang.reported("line", &words).into_owned() + "\n\n"
    }));
    text
}

/// A finding as text: title, place, marked lines, notes and ways to repair it.
fn render_one(
    source: &Source,
    places: &Places<'_>,
    found: &Finding,
    (lang, colour): (Lang, Colour),
) -> String {
    let level = match found.weight {
        Weight::Fault => Level::ERROR,
        Weight::Doubt => Level::WARNING,
        Weight::Hint => Level::INFO,
    };
    let (note, repair) = (lang.reported("head", "note"), lang.reported("head", "repair"));
    let mut group = level
        .with_name(lang.reported("head", found.weight.name()))
        .primary_title(&found.message)
        .id(found.rule.name)
        .elements(excerpts(source, places, found));
    group = group.elements(
        found
            .notes
            .iter()
            .map(|words| Level::NOTE.with_name(note.as_ref()).message(visible(words))),
    );
    group = group.elements(
        found
            .fixes
            .iter()
            .map(|fix| Level::HELP.with_name(repair.as_ref()).message(visible(&fix.says))),
    );
    let renderer = match colour {
        Colour::Without => Renderer::plain(),
        Colour::With => Renderer::styled(),
    };
    // Excerpts keep these, which stand for nothing that can be read.
    renderer.render(&[group]).replace(is_high_control, "�")
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
    std::iter::once(near).chain(far).flat_map(|marked| shown(source, places, &marked)).collect()
}

/// The lines that hold some places, or what is around each place where the lines are too long to show.
fn shown<'a>(
    source: &'a Source,
    places: &Places<'_>,
    marked: &[(Span, Option<&'a str>)],
) -> Vec<Element<'a>> {
    let (start, end) = reach(marked);
    if places.line_end(end) - places.line_start(start) > LONGEST_EXCERPT {
        return marked.iter().flat_map(|place| around(source, places, *place)).collect();
    }
    vec![Element::from(excerpt(source, places, marked))]
}

/// A place told by line and column, and the part of its line that is around it.
fn around<'a>(
    source: &'a Source,
    places: &Places<'_>,
    (span, says): (Span, Option<&'a str>),
) -> [Element<'a>; 2] {
    let text = source.text.as_str();
    let line = places.line_start(span.start)..places.line_end(span.start);
    let start = text.floor_char_boundary(span.start.saturating_sub(AROUND)).max(line.start);
    let within = text.ceil_char_boundary(span.end.min(span.start.saturating_add(AROUND)));
    let end = text.ceil_char_boundary(within.saturating_add(AROUND)).min(line.end).max(start);
    let place = places.at(span.start);
    let mark = span.start.saturating_sub(start)..within.min(end).saturating_sub(start);
    let shown = Snippet::source(text.get(start..end).unwrap_or_default())
        .line_start(place.line)
        .annotation(kind(says).span(mark).label(says));
    let origin = Origin::path(visible(&source.name)).line(place.line).char_column(place.column);
    [Element::from(origin), Element::from(shown)]
}

fn kind(says: Option<&str>) -> AnnotationKind {
    if says.is_none() { AnnotationKind::Primary } else { AnnotationKind::Context }
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
    let lines = places.line_start(start)..places.line_end(end);
    let text = source.text.get(lines.clone()).unwrap_or_default();
    let marks = marked.iter().map(|(span, says)| {
        let from = span.start.saturating_sub(lines.start).min(text.len());
        let to = span.end.saturating_sub(lines.start).min(text.len());
        kind(*says).span(from..to.max(from)).label(*says)
    });
    Snippet::source(text)
        .line_start(places.at(lines.start).line)
        .path(visible(&source.name))
        .annotations(marks)
}
