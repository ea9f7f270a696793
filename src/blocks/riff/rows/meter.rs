//! The `meter` row: meters that change.

use super::super::figure::Teller;
use super::super::lines::Row;
use super::{Kind, Shaping};
use crate::findings::rules::block_syntax;
use crate::theory;
use crate::words::help::{Sign, sign};

/// Meters, each from its bar to the next or the riff's end. They are drawn by the staves, whose lines they
/// part.
#[derive(Debug)]
pub(in super::super) struct Meter;

impl Kind for Meter {
    fn label(&self) -> &'static str {
        "meter"
    }

    fn says(&self) -> &'static str {
        "meters, each from its bar's first column on"
    }

    fn signs(&self) -> Vec<Sign> {
        vec![sign("6/8", "from here on the bars are so long")]
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["time"]
    }

    fn shape(&self, rows: &[&Row], shaping: &mut Shaping) {
        let meters = shaping.by_bar(rows, theory::Meter::parse, block_syntax::no_meter);
        let mut meters = meters.into_iter().peekable();
        let mut held = None;
        for (index, bar) in shaping.bars.iter_mut().enumerate() {
            while let Some((_, meter)) = meters.next_if(|(from, _)| *from <= index) {
                held = Some(meter);
            }
            bar.meter = held.unwrap_or(bar.meter);
        }
    }

    fn tell_name(&self, teller: &Teller) -> Option<String> {
        let changes = teller.bar.meter_changes && teller.index > 0;
        changes.then(|| format!("in {}", teller.bar.meter))
    }
}
