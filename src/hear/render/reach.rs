//! How far what is done to strings reaches.

use super::Plan;
use crate::hear::Score;
use crate::hear::strings::{Damping, Gesture};
use std::collections::BTreeSet;

/// The pitch of a string before anything is done to it, as a number of MIDI's.
const AT_FIRST: f64 = 60.0;

/// The pitches that the strings of a part have, and what damps them, whatever the tempo.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The lowest, as a number of MIDI's with its parts.
    pub lowest: f64,
    /// The highest.
    pub highest: f64,
    /// What damps them.
    pub dampings: BTreeSet<Damping>,
}

impl Reach {
    /// That of each part of a score.
    pub fn of(score: &Score) -> Vec<Reach> {
        let Some(first) = score.rounds.first() else { return Vec::new() };
        Plan::new(score, first.tempo).strokes().map(Reach::of_part).collect()
    }

    /// That of what is done to strings, which at last are stopped.
    fn of_part(strings: &[Vec<(u32, Gesture)>]) -> Reach {
        let mut reach = Reach {
            lowest: f64::INFINITY,
            highest: f64::NEG_INFINITY,
            dampings: BTreeSet::from([Damping::Open, Damping::Stopped]),
        };
        for string in strings {
            let first = string.first().filter(|(_, first)| !matches!(first, Gesture::Pluck { .. }));
            if first.is_some() {
                reach.take(AT_FIRST);
            }
            string.iter().for_each(|(_, gesture)| reach.take_in(gesture));
        }
        let shaken = strings.iter().flatten().filter_map(|(_, gesture)| match gesture {
            Gesture::Shake(wide) => Some(*wide),
            _ => None,
        });
        let widest = shaken.fold(0.0, f64::max);
        Reach { lowest: reach.lowest - widest, highest: reach.highest + widest, ..reach }
    }

    fn take_in(&mut self, gesture: &Gesture) {
        match gesture {
            Gesture::Pluck { pitch, damping, .. } => {
                self.take(*pitch);
                self.dampings.insert(*damping);
            }
            Gesture::Land { pitch, .. } | Gesture::Glide { pitch, .. } => self.take(*pitch),
            Gesture::Shake(_) => {}
            Gesture::Damp(damping) => {
                self.dampings.insert(*damping);
            }
        }
    }

    fn take(&mut self, pitch: f64) {
        (self.lowest, self.highest) = (self.lowest.min(pitch), self.highest.max(pitch));
    }
}
