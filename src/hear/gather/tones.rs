//! What is heard of `tone` rows: a few words about amplifier and pickups; all others are printed alone.

use crate::blocks::tab::Tab;
use crate::checks::Elaborated;
use crate::hear::score::{Pickup, Tone};
use crate::music::performance::Performance;
use crate::music::tab::TONE;
use crate::music::tones;
use crate::theory::Ticks;
use std::collections::BTreeMap;

/// The tones that a lesson names, each with what it sets.
pub(super) struct Tones(BTreeMap<String, String>);

impl Tones {
    /// Those of all rows of a lesson.
    pub fn of(lesson: &Elaborated<'_>) -> Tones {
        let tabs = lesson.blocks.iter().filter_map(|block| block.as_a::<Tab>());
        let remarks = tabs.flat_map(|tab| &tab.riff.bars).flat_map(|bar| bar.remarks(TONE));
        let named = remarks.filter_map(|remark| tones::named(&remark.text));
        Tones(named.map(|(name, sets)| (tones::key(name), sets.to_lowercase())).collect())
    }

    /// The tones of a riff as it is played, each from when it holds.
    pub fn along(&self, performance: &Performance<'_>) -> Vec<(Ticks, Tone)> {
        let mut now = Tone::default();
        let mut heard = Vec::new();
        for pass in performance.passes() {
            for remark in pass.bar.remarks(TONE) {
                let tone = self.set(now, &remark.text);
                if tone != now || heard.is_empty() {
                    heard.push((performance.moment(&pass, remark.at), tone));
                }
                now = tone;
            }
        }
        heard
    }

    /// What a remark makes of the tone before it: what it doesn't say stays.
    fn set(&self, before: Tone, remark: &str) -> Tone {
        let written = tones::named(remark).map_or(remark, |(_, sets)| sets);
        let written = tones::key(written.trim());
        let sets = self.0.get(&written).unwrap_or(&written);
        let says = |word: &str| sets.contains(word);
        Tone {
            driven: says("driven") || before.driven && !says("clean"),
            pickup: match () {
                () if says("bridge pickup") => Pickup::Bridge,
                () if says("neck pickup") => Pickup::Neck,
                () => before.pickup,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_tone_are_heard_and_a_name_stands_for_its_setting() {
        let named = BTreeMap::from([("lead".to_owned(), "driven, bridge pickup".to_owned())]);
        let tones = Tones(named);
        let lead = Tone { driven: true, pickup: Pickup::Bridge };
        assert_eq!(tones.set(Tone::default(), "Lead"), lead);
        assert_eq!(tones.set(Tone::default(), "lead: driven, bridge pickup"), lead);
        assert_eq!(tones.set(lead, "wah on"), lead);
        assert_eq!(tones.set(lead, "clean"), Tone { driven: false, ..lead });
        assert_eq!(tones.set(lead, "neck pickup"), Tone { pickup: Pickup::Neck, ..lead });
    }
}
