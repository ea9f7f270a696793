//! Rows of marked places: a string's letter and the frets on it.

use super::layout::{self, fingered, span_of};
use super::phrases::Phrases;
use super::syntax::NeckReader;
use super::{Diagram, Dot, Subject};
use crate::findings::Finding;
use crate::findings::Span;
use crate::findings::rules::{fret_range, row_label, upside_down};
use crate::findings::source::{Line, Spanned};
use crate::lesson::string_label::{
    RowString, StringLabel, answers, german_b, listed, place, read_label,
};
use crate::neck::{Fret, StringIndex};
use crate::theory::Names;

/// A line of marked places: a string's letter and frets, `*` behind the root's.
pub(super) struct Row {
    label: Spanned<String>,
    string: StringLabel,
    marks: Vec<Mark>,
    span: Span,
}

/// A fret in a row.
struct Mark {
    fret: Fret,
    root: bool,
    span: Span,
}

impl NeckReader<'_> {
    /// Makes one diagram of the rows that touch.
    pub(super) fn finish_rows(
        &mut self,
        rows: &mut Vec<Row>,
        phrases: &Phrases,
        list: &mut Vec<Diagram>,
    ) {
        let rows = std::mem::take(rows);
        let Some(span) = rows.iter().map(|row| row.span).reduce(Span::to) else { return };
        let marks = self.marks(&rows);
        let root = marks.iter().find(|(_, mark)| mark.root).and_then(|(string, mark)| {
            layout::place(*string, mark.fret, None, None, self.setting).map(|dot| dot.note)
        });
        let frets = phrases.frets.clone();
        let frets = frets.unwrap_or_else(|| span_of(marks.iter().map(|(_, mark)| mark.fret)));
        let marking = phrases.marking.as_ref();
        let mut dots: Vec<Dot> = marks
            .iter()
            .filter(|(_, mark)| frets.contains(&mark.fret))
            .filter_map(|(string, mark)| {
                let dot = layout::place(*string, mark.fret, root, marking, self.setting)?;
                Some(Dot { root: mark.root, ..dot })
            })
            .collect();
        dots.sort_by_key(|dot| (dot.string, dot.fret, !dot.root));
        // A place that is marked twice is drawn once.
        dots.dedup_by_key(|dot| (dot.string, dot.fret));
        list.push(Diagram {
            subject: Subject::Places,
            dots: fingered(dots, &frets),
            frets,
            label: phrases.label,
            marking: phrases.marking.clone(),
            scales: None,
            span,
        });
    }

    /// The marks of some rows with their strings; what is off the neck or on no string is told.
    fn marks<'r>(&mut self, rows: &'r [Row]) -> Vec<(StringIndex, &'r Mark)> {
        let instrument = &self.setting.instrument;
        let mut marks = Vec::new();
        for (row, string) in rows.iter().zip(self.strings_of(rows)) {
            let Some(string) = string else { continue };
            for mark in &row.marks {
                if mark.fret > instrument.last_fret() {
                    let fret = mark.fret.into();
                    self.findings.add(fret_range::off_the_neck(mark.span, fret, instrument));
                } else {
                    marks.push((string, mark));
                }
            }
        }
        marks
    }

    /// Reports a line of frets under a label that is no string's.
    pub(super) fn report_row(&mut self, line: &Line<'_>) {
        let label = line.first_word().0;
        let tuning = &self.setting.instrument.tuning;
        let meant = german_b(label.text, tuning);
        let strings = listed(tuning);
        self.findings.add(row_label::no_string(label.whole(), label.text, &strings, meant));
    }

    /// The string of each row, by the order of the rows first.
    fn strings_of(&mut self, rows: &[Row]) -> Vec<Option<StringIndex>> {
        let tuning = &self.setting.instrument.tuning;
        let labels: Vec<StringLabel> = rows.iter().map(|row| row.string).collect();
        let upward: Vec<StringLabel> = labels.iter().rev().copied().collect();
        let places = place(&labels, tuning).or_else(|| {
            let mut places = place(&upward, tuning)?;
            places.reverse();
            let top = rows.first().map(|row| row.label.span).unwrap_or_default();
            self.findings.add(upside_down::rows(top, "a diagram"));
            Some(places)
        });
        let Some(places) = places else {
            let unknown = rows
                .iter()
                .find(|row| !tuning.strings().iter().any(|open| answers(row.string, *open)));
            self.findings.add(no_such_string(unknown.or(rows.first())));
            return vec![None; rows.len()];
        };
        let mut strings = Vec::new();
        for (row, found) in rows.iter().zip(places) {
            strings.push(match found {
                RowString::Sure(string) => Some(string),
                RowString::Open(..) => {
                    self.findings.add(which_string(row));
                    None
                }
            });
        }
        strings
    }
}

/// A row of marked places, `e   5* 8`: a string's letter and nothing but frets.
pub(super) fn row(line: &Line<'_>, names: Names) -> Option<Row> {
    let (label, frets) = line.trimmed().first_word();
    let string = read_label(label.text, names)?;
    let mut marks = Vec::new();
    for word in frets.parts(' ').map(Line::trimmed).filter(|word| !word.text.is_empty()) {
        let number = word.text.strip_suffix('*').unwrap_or(word.text);
        let fret = number.parse().ok()?;
        marks.push(Mark { fret, root: number != word.text, span: word.whole() });
    }
    (!marks.is_empty()).then(|| Row { label: label.spanned(), string, marks, span: line.whole() })
}

/// The label of a line of frets that is no string's.
pub(super) fn unknown_row<'l>(line: &Line<'l>, names: Names) -> Option<&'l str> {
    let (label, frets) = line.trimmed().first_word();
    let is_fret = |word: &str| word.strip_suffix('*').unwrap_or(word).parse::<u8>().is_ok();
    let all_frets = !frets.text.is_empty() && frets.text.split_whitespace().all(is_fret);
    (all_frets && read_label(label.text, names).is_none()).then_some(label.text)
}

fn no_such_string(row: Option<&Row>) -> Finding {
    let (label, span) =
        row.map(|row| (row.label.value.as_str(), row.label.span)).unwrap_or_default();
    row_label::fits_no_string(span, label)
}

fn which_string(row: &Row) -> Finding {
    row_label::several_strings(row.label.span, &row.label.value)
}
