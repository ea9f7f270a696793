//! The `count` row, the clock.

mod read;

pub(in super::super) use read::{counts_thirds, is_count, read};

use super::super::figure::{BarAt, Label, Teller, Told, Turn};
use super::{Kind, Part, RowPlace};
use crate::ink::Face;
use crate::music::tab::Count as Counted;
use crate::words::help::Sign;
use crate::words::paper::tab;

/// The label of the row.
pub const LABEL: &str = "count";

/// What a teacher says aloud.
#[derive(Debug)]
pub(in super::super) struct Count;

impl Kind for Count {
    fn label(&self) -> &'static str {
        LABEL
    }

    fn says(&self) -> &'static str {
        "the clock: what shares its column sounds at that count"
    }

    fn signs(&self) -> Vec<Sign> {
        read::signs()
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["counts", "counting", "beat", "beats", "rhythm"]
    }

    fn part(&self) -> Part {
        Part::Music
    }

    fn heading(&self) -> Option<&'static str> {
        Some(tab::COUNT)
    }

    fn place(&self) -> RowPlace {
        RowPlace::Beneath
    }

    /// Beats and their parts, all heavy enough for a copy, rests in brackets.
    fn labels(&self, at: &BarAt) -> Vec<Label> {
        let label = |count: &Counted| {
            let sign = if count.sign == "+" { "&" } else { count.sign.as_str() };
            let words = if count.rest { format!("({sign})") } else { sign.to_owned() };
            let moment = at.bar.start + count.at;
            let lines = vec![at.scale.small(&words, Face::SansSemibold).sounding(moment.0)];
            let label = Label::centred(self.label(), moment, lines);
            label.apart(at.scale)
        };
        at.bar.counts.iter().map(label).collect()
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        let counts = teller.here(&teller.bar.counts, |count| count.at).iter();
        let rests = counts.filter(|count| count.rest).map(|rest| rest.at);
        rests.map(|at| Told { at, turn: Turn::Played, words: "rest".to_owned() }).collect()
    }
}
