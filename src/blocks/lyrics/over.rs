//! Whether a song's chords are those of the changes that it is over.

use super::ChordAt;
use super::phrases::Over;
use crate::blocks::{Offer, Others};
use crate::findings::rules::{chords_differ, chords_short, unknown_name};
use crate::findings::{Finding, Findings, Span};
use crate::theory::harmony::HarmonyBar;
use crate::theory::{Chord, Harmony};

/// Chords one after another, equal neighbours once, that begin again at their end.
struct Round {
    /// What stands before the round, once: an upbeat.
    before: Vec<Option<Chord>>,
    /// The round, its last chord left out where it is its first.
    chords: Vec<Option<Chord>>,
    /// Whether it ends with the chord that it begins with.
    closed: bool,
}

impl Round {
    fn of(harmony: &Harmony, bars: Option<(u32, u32)>) -> Round {
        let chords = |bars: &[HarmonyBar]| {
            let chords = bars.iter().flat_map(|bar| &bar.chords).map(|(_, chord)| chord.clone());
            let mut chords: Vec<Option<Chord>> = chords.collect();
            chords.dedup();
            chords
        };
        let mut round = match bars {
            None => chords(&harmony.bars),
            Some((first, last)) => {
                let (first, last) = (first as usize, last as usize);
                let bars = filled(&harmony.written, first);
                chords(bars.get(..last + 1 - first).unwrap_or(&bars))
            }
        };
        let closed = round.len() > 1 && round.first() == round.last();
        if closed {
            round.pop();
        }
        let pickup = harmony.pickup.iter().filter(|_| bars.is_none_or(|(first, _)| first == 1));
        let mut before: Vec<Option<Chord>> =
            pickup.flat_map(|bar| &bar.chords).map(|(_, chord)| chord.clone()).collect();
        before.dedup();
        if before.last() == round.first() {
            before.pop();
        }
        Round { before, chords: round, closed }
    }

    fn at(&self, index: usize) -> Option<&Option<Chord>> {
        let behind = index.checked_sub(self.before.len());
        match behind {
            None => self.before.get(index),
            Some(behind) => self.chords.get(behind % self.chords.len().max(1)),
        }
    }

    /// Whether so many chords, the upbeat's too, end where the changes do.
    fn ends_after(&self, chords: usize) -> bool {
        let played = chords.saturating_sub(self.before.len());
        let length = self.chords.len().max(1);
        match self.closed {
            _ if length == 1 => true,
            true => played > length && played % length == 1,
            false => played.is_multiple_of(length),
        }
    }
}

/// The bars from a number on, the first with the chord that holds there.
fn filled(bars: &[HarmonyBar], first: usize) -> Vec<HarmonyBar> {
    let (before, from) = bars.split_at_checked(first.saturating_sub(1)).unwrap_or((bars, &[]));
    let mut from = from.to_vec();
    let held = before.iter().rev().find_map(|bar| bar.chords.last());
    if let (Some(bar), Some((_, chord))) = (from.first_mut(), held)
        && bar.chords.first().is_none_or(|(at, _)| *at > crate::theory::Ticks::ZERO)
    {
        bar.chords.insert(0, (crate::theory::Ticks::ZERO, chord.clone()));
    }
    from
}

/// Doubts the chords that the changes contradict, and hints at a song that stops midway in them.
pub(super) fn check(
    chords: &[&ChordAt],
    over: &Over,
    others: &Others<'_>,
    unclear: bool,
    findings: &mut Findings,
) {
    let name = &over.name.value;
    let Some(harmony) = others.music(name).and_then(|music| music.harmony()) else {
        let names = others.called(Offer::Progression);
        if !names.has(name) {
            let finding = unknown_name::none(over.name.span, "`changes` block", name);
            findings.add(finding.offer(&names.near(name, 2), over.name.span, str::to_owned));
        }
        return;
    };
    if let Some((_, last)) = over.bars
        && last as usize > harmony.written.len()
    {
        let most = u32::try_from(harmony.written.len()).unwrap_or(u32::MAX);
        findings.add(unknown_name::no_bar(over.span, name, last, 1..=most));
        return;
    }
    let round = Round::of(&harmony, over.bars);
    // A chord that can't be read is told already, and what follows it may stand anywhere.
    if round.chords.is_empty() || unclear {
        return;
    }
    let mut song: Vec<(&Option<Chord>, Span)> = Vec::new();
    for chord in chords {
        if song.last().is_none_or(|(last, _)| **last != chord.written) {
            song.push((&chord.written, chord.span));
        }
    }
    compare(&song, &round, name, findings);
}

/// So many chords ahead are looked at to tell a chord too many from one too few and from another one (assumed).
const AHEAD: usize = 4;

/// How a song may go on where a chord of it is not that of the changes: so many chords of the song, and so many
/// of the changes, are passed over.
const WAYS: [(usize, usize); 5] = [(1, 1), (0, 1), (1, 0), (0, 2), (2, 0)];

fn compare(song: &[(&Option<Chord>, Span)], round: &Round, name: &str, findings: &mut Findings) {
    let (mut at, mut meets) = (0, 0);
    let fits = |at: usize, meets: usize| {
        song.get(at).is_some_and(|(chord, _)| Some(*chord) == round.at(meets))
    };
    while let Some((chord, span)) = song.get(at) {
        if fits(at, meets) {
            (at, meets) = (at + 1, meets + 1);
            continue;
        }
        let agree = |(own, theirs): &(usize, usize)| {
            (0..AHEAD).take_while(|ahead| fits(at + own + ahead, meets + theirs + ahead)).count()
        };
        // Of equal ways the first.
        let way = WAYS.iter().rev().max_by_key(|way| agree(way)).copied().unwrap_or((1, 1));
        let expected = |index: usize| round.at(index).and_then(Option::as_ref);
        findings.add(match way {
            (0, more) => {
                let lacks: Vec<Option<&Chord>> = (meets..meets + more).map(expected).collect();
                chords_differ::lacks(*span, chord.as_ref(), name, &lacks)
            }
            (_, 0) => chords_differ::too_many(*span, chord.as_ref(), name, expected(meets)),
            _ => chords_differ::from_changes(*span, chord.as_ref(), name, expected(meets)),
        });
        (at, meets) = (at + way.0, meets + way.1);
    }
    if let Some(finding) = stops_midway(song, meets, round, name) {
        findings.add(finding);
    }
}

fn stops_midway(
    song: &[(&Option<Chord>, Span)],
    played: usize,
    round: &Round,
    name: &str,
) -> Option<Finding> {
    let (last, span) = song.last()?;
    if round.ends_after(played) {
        return None;
    }
    let left = (played..).take_while(|played| !round.ends_after(*played)).take(AHEAD);
    let left: Vec<Option<&Chord>> =
        left.filter_map(|index| Some(round.at(index)?.as_ref())).collect();
    Some(chords_short::stops(*span, last.as_ref(), name, &left))
}
