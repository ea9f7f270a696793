//! Which string a row is for: labels against the tuning, by their order first.

use super::lines::{Row, Says, System, relabelled};
use crate::findings::rules::{row_label, upside_down};
use crate::findings::{Finding, Findings, Ground};
use crate::lesson::string_label::{RowString, StringLabel, answers, listed, place, read_label};
use crate::neck::{StringIndex, Tuning, by_string};
use crate::theory::Pitch;
use std::collections::BTreeMap;

/// Gives every string row of a system its string; a row whose string stays unknown stays
/// [`Says::Label`] and is not read.
pub(super) fn resolve(system: &mut System, tuning: &Tuning, findings: &mut Findings) {
    let rows = known_rows(system, tuning, findings);
    let labels: Vec<StringLabel> = rows.iter().map(|(_, label)| *label).collect();
    let (order, strings) = match place(&labels, tuning).or_else(|| place_twins(&labels, tuning)) {
        Some(strings) => (rows, strings),
        None => {
            let upward: Vec<StringLabel> = labels.iter().rev().copied().collect();
            match place(&upward, tuning) {
                Some(strings) => {
                    report_upside_down(system, &rows, findings);
                    (rows.into_iter().rev().collect(), strings)
                }
                None => place_what_fits(system, rows, tuning, findings),
            }
        }
    };
    for ((row, _), string) in order.into_iter().zip(strings) {
        let Some(row) = system.rows.get_mut(row) else { continue };
        match string {
            RowString::Sure(string) => row.says = Says::String(string),
            RowString::Open(high, low) => findings.add(ask_for_octave(row, [high, low], tuning)),
        }
    }
}

/// The string rows whose label some string answers to, by their index in the system.
fn known_rows(
    system: &System,
    tuning: &Tuning,
    findings: &mut Findings,
) -> Vec<(usize, StringLabel)> {
    let mut known = Vec::new();
    for (index, row) in system.rows.iter().enumerate() {
        if row.says != Says::Label {
            continue;
        }
        let Some(label) = read_label(&row.label, tuning.names_of_notes()) else { continue };
        if tuning.strings().iter().any(|open| answers(label, *open)) {
            known.push((index, label));
        } else {
            findings.add(row_label::not_tuned(row.label_span, &row.label, &listed(tuning)));
        }
    }
    known
}

/// Places rows of which some are for a string that another has already: each of them stands where
/// the first of that string does. `None` where the rest fits no more than all did.
fn place_twins(labels: &[StringLabel], tuning: &Tuning) -> Option<Vec<RowString>> {
    let twin = |row: usize, first: usize| {
        let (one, other) = (labels.get(row)?, labels.get(first)?);
        (one == other || own_string(*one, tuning)? == own_string(*other, tuning)?).then_some(first)
    };
    let twins: Vec<Option<usize>> =
        (0..labels.len()).map(|row| (0..row).find_map(|first| twin(row, first))).collect();
    let mut kept: Vec<usize> = (0..labels.len()).collect();
    let without = |kept: &[usize], row: usize| -> Vec<usize> {
        kept.iter().copied().filter(|other| *other != row).collect()
    };
    let placed = |kept: &[usize]| {
        let labels: Vec<StringLabel> =
            kept.iter().filter_map(|row| labels.get(*row).copied()).collect();
        place(&labels, tuning)
    };
    let places = loop {
        if let Some(places) = placed(&kept) {
            break places;
        }
        let mut doubles =
            kept.iter().copied().filter(|row| twins.get(*row).is_some_and(Option::is_some));
        let enough = doubles.clone().find(|row| placed(&without(&kept, *row)).is_some());
        kept = without(&kept, enough.or_else(|| doubles.next())?);
    };
    let known: BTreeMap<usize, RowString> = kept.into_iter().zip(places).collect();
    let place_of = |row: usize| known.get(&row).or_else(|| known.get(twins.get(row)?.as_ref()?));
    (0..labels.len()).map(|row| place_of(row).copied()).collect()
}

/// The string that a label is for whatever stands beside it: the one of its octave, or for a small
/// letter the highest.
fn own_string(label: StringLabel, tuning: &Tuning) -> Option<StringIndex> {
    let tells = label.midi.is_some() || label.small;
    let mut from_top = by_string(tuning.strings()).rev().filter(|_| tells);
    from_top.find(|(_, open)| answers(label, **open)).map(|(string, _)| string)
}

type Placed = (Vec<(usize, StringLabel)>, Vec<RowString>);

/// Leaves out each row that doesn't fit below the ones above it, so that the others are read.
fn place_what_fits(
    system: &System,
    rows: Vec<(usize, StringLabel)>,
    tuning: &Tuning,
    findings: &mut Findings,
) -> Placed {
    let mut kept: Vec<(usize, StringLabel)> = Vec::new();
    let mut above = tuning.len();
    for (index, label) in rows {
        let fits = |open: &Pitch| answers(label, *open);
        let next = tuning.strings().get(..above).and_then(|free| free.iter().rposition(fits));
        match (next, system.rows.get(index)) {
            (Some(string), _) => {
                above = string;
                kept.push((index, label));
            }
            (None, Some(row)) => findings.add(out_of_order(row, tuning)),
            (None, None) => {}
        }
    }
    let labels: Vec<StringLabel> = kept.iter().map(|(_, label)| *label).collect();
    let places = place(&labels, tuning).unwrap_or_default();
    (kept, places)
}

fn out_of_order(row: &Row, tuning: &Tuning) -> Finding {
    row_label::none_left(row.label_span, &row.label, &listed(tuning))
}

fn ask_for_octave(row: &Row, choices: [StringIndex; 2], tuning: &Tuning) -> Finding {
    let names: Vec<(String, StringIndex)> = choices
        .iter()
        .filter_map(|string| Some((tuning.open(*string)?.to_string(), *string)))
        .collect();
    let said: Vec<&str> = names.iter().map(|(name, _)| name.as_str()).collect();
    let mut finding = row_label::one_of(row.label_span, &row.label, &said);
    for (name, string) in names {
        if let Some((span, text)) = relabelled(row.label_span, &row.label, &row.cells, &name) {
            let says = format!("string {}", tuning.number(string));
            finding = finding.fix(says, span, text, Ground::Choice);
        }
    }
    finding
}

fn report_upside_down(system: &System, rows: &[(usize, StringLabel)], findings: &mut Findings) {
    let place = |entry: Option<&(usize, StringLabel)>| {
        entry.and_then(|(index, _)| system.rows.get(*index)).map(|row| row.label_span)
    };
    if let (Some(first), Some(_)) = (place(rows.first()), place(rows.last())) {
        findings.add(upside_down::rows(first, "a tab"));
    }
}
