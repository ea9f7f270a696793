//! The rows that shape the bars themselves: `ending` and `meter`.

use super::bars::BarColumns;
use super::columns::Word;
use super::model::Bar;
use super::rows::{Kind, System};
use crate::findings::Findings;
use crate::findings::rules::{block_syntax, column_adrift};
use crate::theory::Meter;

/// Reads the `ending` rows into the bars: where an ending begins, and how far it holds.
pub(super) fn read_endings(
    systems: &[System],
    columns: &[BarColumns],
    bars: &mut [Bar],
    findings: &mut Findings,
) {
    for word in words(systems, Kind::Ending) {
        let ending = match word.text.as_str() {
            "1." => 1,
            "2." => 2,
            text => {
                findings.add(block_syntax::no_ending(word.span, text));
                continue;
            }
        };
        if let Some(bar) = begins_bar(&word, columns, findings).and_then(|bar| bars.get_mut(bar)) {
            bar.ending = Some(ending);
        }
    }
    let mut within = None;
    for bar in bars {
        within = match bar.ending {
            Some(ending) => Some(ending),
            None if bar.repeat_start => None,
            None => within,
        };
        bar.within_ending = within;
        if bar.repeat_end.is_some() || bar.double_end {
            within = None;
        }
    }
}

/// The meters that the `meter` rows give: the bar from which each holds, by its index, rising.
pub(super) fn read_meters(
    systems: &[System],
    columns: &[BarColumns],
    findings: &mut Findings,
) -> Vec<(usize, Meter)> {
    let mut meters = Vec::new();
    for word in words(systems, Kind::Meter) {
        let Some(meter) = Meter::parse(&word.text) else {
            findings.add(block_syntax::no_meter(word.span, &word.text));
            continue;
        };
        meters.extend(begins_bar(&word, columns, findings).map(|bar| (bar, meter)));
    }
    meters
}

fn words(systems: &[System], kind: Kind) -> impl Iterator<Item = Word> {
    systems
        .iter()
        .filter_map(move |system| system.row(kind))
        .flat_map(|row| row.words(1))
        .filter(|word| !word.text.chars().all(|sign| matches!(sign, '-' | '–' | '—')))
}

/// The bar in whose first column a word stands.
fn begins_bar(word: &Word, columns: &[BarColumns], findings: &mut Findings) -> Option<usize> {
    let index = columns.partition_point(|bar| bar.from <= word.column).checked_sub(1)?;
    if columns.get(index)?.first.contains(&word.column) {
        return Some(index);
    }
    findings.add(column_adrift::not_first(word.span, &word.text));
    None
}
