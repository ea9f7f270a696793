//! Measured times: the clock goes by what sections took, where the author has measured it.

use super::sections::{self, Section};
use super::{Cue, CueKind, Item, Script, What, clock};
use crate::checks::Elaborated;
use crate::findings::Findings;
use crate::findings::nearest::nearest;
use crate::findings::rules::times;
use crate::lesson::times::{Measured, file_name, key};
use std::collections::{BTreeMap, VecDeque};
use std::time::Duration;

/// Nobody speaks so many times as fast as the pace that is given. Assumed.
const HURRIED: u32 = 3;

/// Of how many sections the times are measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    /// So many are.
    pub measured: usize,
    /// So many there are that take time.
    pub sections: usize,
}

/// What of a script is measured.
#[derive(Debug)]
pub(super) struct Match<'m> {
    /// The sections, each with its measured time where it has one.
    sections: Vec<(Section, Option<&'m Measured>)>,
    /// Times of sections that there aren't.
    left: Vec<&'m Measured>,
}

impl<'m> Match<'m> {
    /// Finds the section of each time by its heading, those of one heading in their order.
    pub(super) fn of(script: &Script, times: &'m [Measured]) -> Match<'m> {
        let mut sections: Vec<_> =
            sections::of(script).into_iter().map(|section| (section, None)).collect();
        let mut free: BTreeMap<String, VecDeque<&mut Option<&Measured>>> = BTreeMap::new();
        for (section, time) in &mut sections {
            free.entry(key(&section.title)).or_default().push_back(time);
        }
        let mut left = Vec::new();
        for time in times {
            match free.get_mut(&key(&time.title)).and_then(VecDeque::pop_front) {
                Some(place) => *place = Some(time),
                None => left.push(time),
            }
        }
        Match { sections, left }
    }

    /// The doubts about times of sections that there aren't, and about those that leave no room for what is
    /// said or played.
    pub(super) fn doubt(&self, lesson: &Elaborated<'_>, findings: &mut Findings) {
        let Some(file) = file_name(lesson.lesson.source) else { return };
        let measured = self.sections.iter().filter_map(|(section, time)| Some((section, (*time)?)));
        for (section, Measured { title, takes, line }) in measured {
            let spoken = section.speech + section.pauses;
            let left = takes.saturating_sub(section.music);
            if *takes < section.music || left * HURRIED < spoken {
                let (takes, needs) = (clock::told(*takes), clock::told(section.total()));
                findings.add(times::too_short(&file, *line, title, &takes, &needs));
            }
        }
        for Measured { title, line, .. } in &self.left {
            let finding = findings.helped(times::no_section(&file, *line, title), |finding| {
                let unmeasured = self.sections.iter().filter(|(_, time)| time.is_none());
                let titles = unmeasured.map(|(section, _)| section.title.as_str());
                match nearest(title, titles, 3) {
                    Some(near) => {
                        finding.note(format!("the section “{near}” has no measured time"))
                    }
                    None => finding,
                }
            });
            findings.add(finding);
        }
    }

    /// Has the script's clock go by the measured times.
    pub(super) fn lay(&self, script: &mut Script) {
        let ends = self.sections.iter().skip(1).map(|(section, _)| section.item);
        let ends = ends.chain([script.items.len()]);
        for ((section, time), end) in self.sections.iter().zip(ends) {
            let items = script.items.get_mut(section.item..end).unwrap_or_default();
            if let Some(time) = time {
                fit(items, section, time.takes);
            }
        }
        let mut now = Duration::ZERO;
        for item in &mut script.items {
            item.at = now;
            now += item.takes;
        }
        script.runs = now;
        script.measured = self.share();
    }

    /// Of how many sections the times are measured; nothing where none is.
    fn share(&self) -> Option<Share> {
        let takes_time = |(section, time): &&(Section, Option<&Measured>)| {
            time.is_some() || !section.total().is_zero()
        };
        let measured = self.sections.iter().filter(|(_, time)| time.is_some()).count();
        let sections = self.sections.iter().filter(takes_time).count();
        (measured > 0).then_some(Share { measured, sections })
    }
}

/// Has a section's items take so long together. Music goes on at its tempo, so it keeps its time, and speech
/// and pauses, which nobody's tongue keeps to the second, share what it leaves as they would have taken. Where
/// it leaves nothing, or there is nothing else, the music itself was played faster or slower: then all is
/// shared by all. Where nothing takes time by itself, each item gets as much as another.
fn fit(items: &mut [Item], section: &Section, time: Duration) {
    let keeps_music = section.music < time && section.music < section.total();
    let is_kept = |item: &Item| keeps_music && is_music(item);
    let room = if keeps_music { time - section.music } else { time };
    let weight = |item: &Item| match &item.what {
        What::Heading { .. } => 0,
        _ if is_kept(item) => 0,
        _ if section.total().is_zero() => 1,
        _ => item.takes.as_nanos(),
    };
    let all: u128 = items.iter().map(weight).sum();
    let (mut passed, mut given) = (0, 0);
    for item in items.iter_mut().filter(|item| !is_kept(item)) {
        // Shares are cut of the whole, so that nothing is lost by rounding.
        passed += weight(item);
        let until = room.as_nanos() * passed / all.max(1);
        item.takes = Duration::from_nanos(u64::try_from(until - given).unwrap_or(u64::MAX));
        given = until;
    }
}

fn is_music(item: &Item) -> bool {
    matches!(&item.what, What::Cue(Cue { kind: CueKind::Play, .. }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::script::testing::script;

    /// Sections with what is spoken, played and paused in them, and measured times; what they take then.
    fn laid(sections: &[(&str, [u64; 3])], times: &[(&str, u64)]) -> (Script, usize) {
        let named: Vec<_> =
            sections.iter().map(|(title, parts)| ((*title).to_owned(), *parts)).collect();
        let mut script = script(&named);
        let measured = |((title, takes), line): (&(&str, u64), usize)| Measured {
            title: (*title).to_owned(),
            takes: Duration::from_millis(*takes),
            line,
        };
        let times: Vec<Measured> = times.iter().zip(1..).map(measured).collect();
        let matched = Match::of(&script, &times);
        matched.lay(&mut script);
        (script, matched.left.len())
    }

    fn parts(script: &Script) -> Vec<[u128; 3]> {
        let all = sections::of(script).into_iter();
        all.map(|section| {
            [section.speech, section.music, section.pauses].map(|part| part.as_millis())
        })
        .collect()
    }

    #[test]
    fn speech_and_pauses_share_what_the_music_leaves() {
        for (estimate, time, fitted) in [
            ([10_000, 20_000, 2_000], 44_000, [20_000, 20_000, 4_000]),
            ([10_000, 20_000, 2_000], 23_000, [2_500, 20_000, 500]),
            ([10_000, 20_000, 2_000], 16_000, [5_000, 10_000, 1_000]),
            ([10_000, 20_000, 0], 15_000, [5_000, 10_000, 0]),
            ([0, 20_000, 0], 30_000, [0, 30_000, 0]),
            ([1, 0, 2], 36_000_000, [12_000_000, 0, 24_000_000]),
        ] {
            let (script, _) = laid(&[("A", estimate), ("B", [5_000, 0, 0])], &[("A", time)]);
            assert_eq!(parts(&script), [fitted, [5_000, 0, 0]], "{estimate:?} in {time}");
            assert_eq!(script.runs, Duration::from_millis(time + 5_000));
            let last = script.items.last().map(|item| item.at + item.takes);
            assert_eq!(last, Some(script.runs));
        }
    }

    #[test]
    fn a_section_in_which_nothing_takes_time_takes_what_was_measured() {
        let (script, _) = laid(&[("A", [0, 0, 0]), ("B", [5_000, 0, 0])], &[("A", 9_000)]);
        assert_eq!(script.runs, Duration::from_secs(14));
        assert_eq!(parts(&script), [[3_000; 3], [5_000, 0, 0]]);
        assert_eq!(script.measured, Some(Share { measured: 1, sections: 2 }));
    }

    #[test]
    fn times_find_their_sections() {
        let sections =
            [("The Verse", [1_000, 0, 0]), ("B♭", [1_000; 3]), ("the verse", [1_000, 0, 0])];
        for (times, runs, left) in [
            (&[][..], 5_000, 0),
            (&[("  the  verse ", 10_000)], 14_000, 0),
            (&[("the verse", 10_000), ("Bb", 10_000), ("THE VERSE", 2_000)], 22_000, 0),
            (&[("the verse", 10_000), ("the verse", 2_000), ("the verse", 3_000)], 15_000, 1),
            (&[("Verse", 10_000)], 5_000, 1),
        ] {
            let (script, unmatched) = laid(&sections, times);
            assert_eq!((script.runs.as_millis(), unmatched), (runs, left), "{times:?}");
        }
    }
}
