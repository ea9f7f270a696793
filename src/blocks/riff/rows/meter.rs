//! The `meter` row: meters that change.

use super::super::figure::Teller;
use super::super::lines::Row;
use super::{Kind, Shaping};
use crate::theory;

/// Meters, each from its bar to the next or the riff's end. They are drawn by the staves, whose lines they
/// part.
#[derive(Debug)]
pub(in super::super) struct Meter;

impl Kind for Meter {
    fn label(&self) -> &'static str {
        "meter"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["time"]
    }

    fn shape(&self, rows: &[&Row], shaping: &mut Shaping) {
        let meter = |text: &str| {
            let advice = "a meter is 1 to 32 beats over 1, 2, 4, 8, 16 or 32, such as `7/8`";
            theory::Meter::parse(text).ok_or_else(|| (format!("`{text}` is no meter"), advice))
        };
        let mut meters = shaping.by_bar(rows, meter).into_iter().peekable();
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
