//! Code spans in a cue, and the backticks around them.

use crate::findings::source::Line;

/// The code spans with one backtick in a line, without the backticks, trimmed.
pub fn code_spans(line: Line<'_>) -> Vec<Line<'_>> {
    let mut spans = Vec::new();
    let mut opened: Option<(usize, usize)> = None;
    for (start, length) in backtick_runs(line.text) {
        match opened {
            None => opened = Some((start, length)),
            Some((first, opening)) if opening == length => {
                let inner = line.split_at(start).0.split_at(first + length).1.trimmed();
                spans.extend((length == 1 && !inner.text.is_empty()).then_some(inner));
                opened = None;
            }
            Some(_) => {}
        }
    }
    spans
}

/// Each run of backticks in a text: where it begins and how many there are.
pub fn backtick_runs(text: &str) -> impl Iterator<Item = (usize, usize)> {
    let mut next = 0;
    std::iter::from_fn(move || {
        let rest = text.get(next..)?;
        let start = next + rest.find('`')?;
        let run = text.get(start..)?;
        let length = run.len() - run.trim_start_matches('`').len();
        next = start + length;
        Some((start, length))
    })
}
