//! The `ending` row: endings of repeats.

use super::super::lines::Row;
use super::super::model::Bar;
use super::{Kind, Shaping};

/// Endings, each in its bar's first column.
#[derive(Debug)]
pub(super) struct Ending;

impl Kind for Ending {
    fn label(&self) -> &'static str {
        "ending"
    }

    /// Where an ending begins, and how far it holds.
    fn shape(&self, rows: &[&Row], shaping: &mut Shaping) {
        let number = |text: &str| match text {
            "1." => Ok(1),
            "2." => Ok(2),
            text => Err((format!("an ending is `1.` or `2.`, not `{text}`"), "")),
        };
        for (index, ending) in shaping.by_bar(rows, number) {
            if let Some(bar) = shaping.bars.get_mut(index) {
                bar.ending = Some(ending);
            }
        }
        hold(shaping.bars);
    }
}

/// An ending holds to the sign that closes its repeat, or to the next ending.
fn hold(bars: &mut [Bar]) {
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
