//! The report for tools that gather findings: SARIF 2.1.0, the OASIS standard.

use crate::findings::rules::RULES;
use crate::findings::{Finding, Fix, Rule, Weight};
use crate::findings::{Source, Span};
use percent_encoding::percent_encode_byte;
use serde_json::{Value, json};

/// Where the standard's own schema is to be had.
const SCHEMA: &str = "https://json.schemastore.org/sarif-2.1.0.json";

/// The findings of lessons as SARIF text with a line end.
///
/// # Errors
///
/// None is expected: the report holds only texts and numbers.
pub fn write(lessons: &[(&Source, &[Finding])]) -> Result<String, serde_json::Error> {
    let results: Vec<Value> = lessons
        .iter()
        .flat_map(|(source, findings)| {
            let text = Text::new(source);
            findings.iter().map(move |found| result(&text, found)).collect::<Vec<_>>()
        })
        .collect();
    let artifacts: Vec<Value> = lessons
        .iter()
        .map(|(source, _)| json!({ "location": { "uri": uri(&source.name) }, "encoding": "UTF-8" }))
        .collect();
    let driver = json!({
        "name": "fretleaf",
        "semanticVersion": env!("CARGO_PKG_VERSION"),
        "rules": RULES.iter().map(|rule| metadata(rule)).collect::<Vec<_>>(),
    });
    let report = json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": driver },
            "columnKind": "unicodeCodePoints",
            "artifacts": artifacts,
            "results": results,
        }],
    });
    Ok(super::json::escaped(&serde_json::to_string_pretty(&report)?) + "\n")
}

fn metadata(rule: &Rule) -> Value {
    json!({
        "id": rule.name,
        "shortDescription": { "text": rule.summary() },
        "help": { "text": rule.page(), "markdown": rule.page() },
        "defaultConfiguration": { "level": level(rule.weight) },
    })
}

const fn level(weight: Weight) -> &'static str {
    match weight {
        Weight::Fault => "error",
        Weight::Doubt => "warning",
        Weight::Hint => "note",
    }
}

fn result(text: &Text<'_>, found: &Finding) -> Value {
    let message = std::iter::once(&found.message).chain(&found.notes);
    let message: Vec<&str> = message.map(String::as_str).collect();
    let related: Vec<Value> = found
        .labels
        .iter()
        .map(|label| {
            let mut location = text.location(label.span);
            set(&mut location, "message", json!({ "text": label.says }));
            location
        })
        .collect();
    let mut result = json!({
        "ruleId": found.rule.name,
        "level": level(found.weight),
        "message": { "text": message.join("\n") },
        "locations": [text.location(found.span)],
    });
    if let Some(index) = RULES.iter().position(|rule| *rule == found.rule) {
        set(&mut result, "ruleIndex", json!(index));
    }
    if !related.is_empty() {
        set(&mut result, "relatedLocations", Value::Array(related));
    }
    if !found.fixes.is_empty() {
        set(&mut result, "fixes", found.fixes.iter().map(|fix| change(text, fix)).collect());
    }
    result
}

fn set(object: &mut Value, key: &str, value: Value) {
    if let Value::Object(entries) = object {
        entries.insert(key.to_owned(), value);
    }
}

fn change(text: &Text<'_>, fix: &Fix) -> Value {
    json!({
        "description": { "text": fix.says },
        "artifactChanges": [{
            "artifactLocation": { "uri": uri(&text.source.name) },
            "replacements": [{
                "deletedRegion": text.region(fix.span),
                "insertedContent": { "text": fix.replace },
            }],
        }],
    })
}

/// A path as a relative URI reference: whatever RFC 3986 doesn't allow in a path is escaped.
fn uri(path: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/-._~!$&'()*+,;=@".contains(&byte);
    let mut uri = String::new();
    for byte in path.bytes() {
        match byte {
            b'\\' if cfg!(windows) => uri.push('/'),
            byte if plain(byte) => uri.push(char::from(byte)),
            byte => uri += percent_encode_byte(byte),
        }
    }
    uri
}

/// So many bytes of a text apart its code points are counted beforehand.
const STRIDE: usize = 256;

/// A lesson's text with what finds its lines and columns fast. A column is one Unicode code point, as
/// SARIF has it, not one perceived character.
struct Text<'a> {
    source: &'a Source,
    /// The byte at which each line begins.
    lines: Vec<usize>,
    /// How many code points begin before every [`STRIDE`]th byte.
    points: Vec<usize>,
}

impl<'a> Text<'a> {
    fn new(source: &'a Source) -> Text<'a> {
        let bytes = source.text.as_bytes();
        let ends = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
        let lines = std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect();
        let mut counted = 0;
        let points = bytes
            .chunks(STRIDE)
            .map(|chunk| {
                let before = counted;
                counted += begun(chunk);
                before
            })
            .collect();
        Text { source, lines, points }
    }

    fn location(&self, span: Span) -> Value {
        json!({
            "physicalLocation": {
                "artifactLocation": { "uri": uri(&self.source.name) },
                "region": self.region(span),
            },
        })
    }

    fn region(&self, span: Span) -> Value {
        let (line, column) = self.place(span.start);
        let (end_line, end_column) = self.place(span.end.max(span.start));
        json!({
            "startLine": line,
            "startColumn": column,
            "endLine": end_line,
            "endColumn": end_column,
        })
    }

    /// Line and column of a byte, both from 1.
    fn place(&self, byte: usize) -> (usize, usize) {
        let byte = byte.min(self.source.text.len());
        let line = self.lines.partition_point(|start| *start <= byte);
        let start = line.checked_sub(1).and_then(|line| self.lines.get(line)).copied().unwrap_or(0);
        (line.max(1), self.points_before(byte) - self.points_before(start) + 1)
    }

    fn points_before(&self, byte: usize) -> usize {
        let stride = byte / STRIDE;
        let Some(before) = self.points.get(stride) else {
            // Behind the last whole stride, at the text's very end.
            return self.points.last().map_or(0, |before| {
                let rest = self.source.text.as_bytes().get((stride - 1) * STRIDE..byte);
                before + begun(rest.unwrap_or_default())
            });
        };
        before + begun(self.source.text.as_bytes().get(stride * STRIDE..byte).unwrap_or_default())
    }
}

/// How many code points begin in some bytes of UTF-8.
fn begun(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0xC0 != 0x80).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_code_points() {
        let long = "é".repeat(STRIDE);
        let text = format!("a\u{301}b\n{long}|\n");
        let source = Source::new("x.md", text.as_bytes());
        let places = Text::new(&source);
        assert_eq!(places.place(3), (1, 3));
        assert_eq!(places.place(5), (2, 1));
        assert_eq!(places.place(5 + long.len()), (2, STRIDE + 1));
        assert_eq!(places.place(text.len()), (3, 1));
        assert_eq!(places.place(usize::MAX), (3, 1));
        let even = Source::new("x.md", "ab".repeat(STRIDE).as_bytes());
        assert_eq!(Text::new(&even).place(2 * STRIDE), (1, 2 * STRIDE + 1));
        let empty = Source::new("x.md", b"");
        assert_eq!(Text::new(&empty).place(0), (1, 1));
    }

    #[test]
    fn paths_become_uris() {
        assert_eq!(uri("lessons/slow-ferry.md"), "lessons/slow-ferry.md");
        assert_eq!(uri("my lesson #1: é.md"), "my%20lesson%20%231%3A%20%C3%A9.md");
    }
}
