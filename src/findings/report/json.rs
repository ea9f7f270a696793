//! The report for another program: the JSON of the language's section 6.

use super::Counts;
use crate::findings::Finding;
use crate::findings::source::Places;
use crate::findings::{Source, Span};
use serde::Serialize;

/// One lesson's report.
#[derive(Serialize)]
pub struct Report<'a> {
    lesson: &'a str,
    findings: Vec<FindingRecord<'a>>,
    counts: Counts,
}

#[derive(Serialize)]
struct FindingRecord<'a> {
    rule: &'a str,
    weight: &'a str,
    #[serde(flatten)]
    place: Region,
    message: &'a str,
    notes: &'a [String],
    fixes: Vec<FixRecord<'a>>,
}

#[derive(Serialize)]
struct FixRecord<'a> {
    says: &'a str,
    #[serde(flatten)]
    place: Region,
    replace: &'a str,
}

#[derive(Serialize)]
struct Region {
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

impl Region {
    fn of(places: &Places<'_>, span: Span) -> Region {
        let (start, end) = places.of(span);
        Region {
            line: start.line,
            column: start.column,
            end_line: end.line,
            end_column: end.column,
        }
    }
}

impl<'a> Report<'a> {
    /// The report of one lesson's findings.
    pub fn new(source: &'a Source, findings: &'a [Finding]) -> Report<'a> {
        let places = source.places();
        Report {
            lesson: &source.name,
            findings: findings.iter().map(|found| record(&places, found)).collect(),
            counts: Counts::of(findings),
        }
    }
}

fn record<'a>(places: &Places<'_>, found: &'a Finding) -> FindingRecord<'a> {
    let fixes = found.fixes.iter().map(|fix| FixRecord {
        says: &fix.says,
        place: Region::of(places, fix.span),
        replace: &fix.replace,
    });
    FindingRecord {
        rule: found.rule.name,
        weight: found.weight.name(),
        place: Region::of(places, found.span),
        message: &found.message,
        notes: &found.notes,
        fixes: fixes.collect(),
    }
}

/// JSON in which the control characters are escaped too that its grammar lets stand (RFC 8259, section
/// 7): some terminals obey them. They only stand in its texts.
pub fn escaped(json: &str) -> String {
    let mut text = String::with_capacity(json.len());
    for c in json.chars() {
        match c {
            '\u{7F}'..='\u{9F}' => text += &format!("\\u{:04x}", u32::from(c)),
            c => text.push(c),
        }
    }
    text
}

/// The reports as JSON text with a line end: one object for one lesson, an array for several.
///
/// # Errors
///
/// None is expected: the records hold only texts and numbers.
pub fn write(reports: &[Report<'_>]) -> Result<String, serde_json::Error> {
    let text = match reports {
        [report] => serde_json::to_string_pretty(report),
        reports => serde_json::to_string_pretty(reports),
    }?;
    Ok(escaped(&text) + "\n")
}
