//! Gathers the score of a block or a loop from what the lesson says of it.

mod backing;
mod clicks;
mod tones;
mod tuning;

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests;

use super::score::{Click, HeardBar, Part, Score, Struck, Strum};
use crate::blocks::changes::Changes;
use crate::blocks::looped::Loop;
use crate::blocks::tab::Tab;
use crate::blocks::tab::parts::Parts;
use crate::blocks::{Music, Opening};
use crate::checks::Elaborated;
use crate::lesson::fence::Fence;
use crate::lesson::{Setting, Sound};
use crate::music::ladder::Round;
use crate::music::performance::{Pace, Pass, Performance, Played};
use crate::music::tab::{Event, Pick, Riff, SUNG};
use crate::theory::{Chord, Ticks};
use backing::Backed;
use std::collections::BTreeSet;
use std::time::Duration;
use tones::Tones;

pub use crate::blocks::looped::TOO_LONG;
pub use backing::{BASS, CHORDS};
pub use tuning::tuning_notes;

/// The blocks of a lesson that can be heard, loops among them, as indices of its blocks.
pub fn all(lesson: &Elaborated<'_>) -> impl Iterator<Item = usize> {
    (0..lesson.blocks.len()).filter(|index| lasts(lesson, *index).is_some())
}

/// How long a block sounds; `None` where it has no clock.
pub fn lasts(lesson: &Elaborated<'_>, index: usize) -> Option<Duration> {
    let music = lesson.blocks.get(index)?.music.as_deref()?;
    let once = || {
        let tempo = lesson.lesson.fences.get(index)?.setting.tempo;
        Some(tempo.time(music.length()?))
    };
    music.sounds_for(None).or_else(once)
}

/// The loops of a lesson that could be read, as indices of its blocks.
pub fn loops(lesson: &Elaborated<'_>) -> impl Iterator<Item = usize> {
    (0..lesson.blocks.len()).filter(|index| as_loop(lesson, *index).is_some())
}

/// The score of a block: of a loop as it says, of any other with a clock once through at its tempo, without a click;
/// `None` where nothing of it can be heard.
pub fn score(lesson: &Elaborated<'_>, index: usize) -> Option<Score> {
    let asked = Asked { lesson, index };
    match as_loop(lesson, index) {
        Some(practised) => asked.looped(practised),
        None => asked.block(),
    }
    .filter(|score| score.length > Ticks::ZERO && score.parts.iter().any(Part::is_heard))
}

fn as_loop<'l>(lesson: &'l Elaborated<'_>, index: usize) -> Option<&'l Loop> {
    lesson.blocks.get(index)?.as_a()
}

/// The clicks before a block or a loop, with or without which it is played, and how long they take; `None` where it has no clock.
pub fn count_in(lesson: &Elaborated<'_>, index: usize) -> Option<(Vec<Click>, Ticks)> {
    Some(counted_in(lesson.blocks.get(shown(lesson, index))?.music.as_deref()?.opening()?))
}

/// The block whose figure shows what is heard of a block: its own, or of a loop that of what is practised.
pub fn shown(lesson: &Elaborated<'_>, index: usize) -> usize {
    as_loop(lesson, index).map_or(index, |practised| practised.of)
}

/// What a file is asked for of.
#[derive(Clone, Copy)]
struct Asked<'l, 's> {
    lesson: &'l Elaborated<'s>,
    index: usize,
}

impl<'l, 's> Asked<'l, 's> {
    /// The block once through.
    fn block(self) -> Option<Score> {
        let (fence, music) = self.at(self.index)?;
        let mut score = self.once_through(fence, music, &|bars| self.chords(bars, fence, false))?;
        score.rounds = vec![Round { tempo: fence.setting.tempo, times: 1 }];
        Some(score)
    }

    /// What a loop says.
    fn looped(self, practised: &Loop) -> Option<Score> {
        let (fence, music) = self.at(practised.of)?;
        let strummed = practised.is_strummed();
        let chords = |bars: &[HeardBar]| self.chords(bars, fence, strummed);
        let mut score = self.once_through(fence, music, &chords)?;
        score.title = self.title(self.index);
        score.parts.retain(|part| !practised.without.contains(&part.name));
        if practised.bass {
            score.parts.extend(backing::bass(&score.bars, capo(music, &fence.setting)));
        }
        score.rounds = practised.rounds.clone();
        if practised.click {
            score.clicks = score.bars.iter().flat_map(clicks::of_bar).collect();
        }
        if practised.count_in {
            (score.count_in, score.count_in_length) = counted_in(music.opening()?);
        }
        Some(score)
    }

    fn at(self, index: usize) -> Option<(&'l Fence<'s>, &'l dyn Music)> {
        let music = self.lesson.blocks.get(index)?.music.as_deref()?;
        Some((self.lesson.lesson.fences.get(index)?, music))
    }

    /// What a block is called: by its caption or its name, or else by its kind.
    fn title(self, index: usize) -> String {
        let caption = self.lesson.blocks.get(index).and_then(|block| block.caption.clone());
        let kind = || self.lesson.lesson.fences.get(index).map(|fence| fence.kind.name.to_owned());
        caption.or_else(kind).unwrap_or_default()
    }

    /// Bars and parts of a block, nothing said yet about how often it is played; `chords` plays those of changes.
    fn once_through(
        self,
        fence: &Fence<'_>,
        music: &dyn Music,
        chords: &dyn Fn(&[HeardBar]) -> Part,
    ) -> Option<Score> {
        let title = self.title(self.index);
        let (bars, moments, parts, key) = if let Some(changes) = music.as_a::<Changes>() {
            let pace = Pace { tempo: None, swing: fence.setting.swing };
            let bars = bars_of_changes(changes, pace);
            let (moments, part) = (moments_of_changes(changes, pace), chords(&bars));
            (bars, moments, vec![part], fence.setting.key)
        } else {
            let leading = leading(music)?;
            let tones = Tones::of(self.lesson);
            let players: Vec<Player<'_>> = players(music, &title, &fence.setting).collect();
            let parts = players.iter().map(|player| part(player, &fence.setting, &tones)).collect();
            let moments = moments(&players, &fence.setting);
            (bars_of_riff(leading, leading.pace(&fence.setting)), moments, parts, leading.key)
        };
        let length = bars.last().map(|bar| bar.start + bar.length)?;
        let capo = capo(music, &fence.setting);
        Some(Score {
            title,
            key: key.map(|key| key.raised(capo)),
            rounds: Vec::new(),
            count_in: Vec::new(),
            count_in_length: Ticks::ZERO,
            bars,
            moments,
            clicks: Vec::new(),
            parts,
            length,
        })
    }

    /// The chords of bars in the lesson's own shapes.
    fn chords(self, bars: &[HeardBar], fence: &Fence<'_>, strummed: bool) -> Part {
        let setting = &fence.setting;
        Backed { lesson: self.lesson, index: self.index, setting, strummed }.chords(bars)
    }
}

impl Part {
    /// Whether anything is played in it.
    fn is_heard(&self) -> bool {
        !self.notes.is_empty()
    }
}

/// The riff whose bars, chords and key are those of all that is played.
fn leading(music: &dyn Music) -> Option<&Riff> {
    let alone = music.as_a::<Tab>().map(|tab| &tab.riff).filter(|riff| riff.timed);
    alone.or_else(|| music.as_a::<Parts>()?.leading())
}

/// Where the capo is that chords and key are written for.
fn capo(music: &dyn Music, setting: &Setting) -> u8 {
    leading(music).map_or(&setting.instrument, |riff| &riff.instrument).capo
}

/// A riff, and who plays it.
struct Player<'m> {
    name: &'m str,
    riff: &'m Riff,
    sound: Sound,
}

/// Who plays a riff alone, under a name, in a setting, or parts at the same time, each with a sound of its own.
fn players<'m>(
    music: &'m dyn Music,
    alone: &'m str,
    setting: &Setting,
) -> impl Iterator<Item = Player<'m>> + use<'m> {
    let sound = setting.sounds_like();
    let alone = music.as_a::<Tab>().map(|tab| Player { name: alone, riff: &tab.riff, sound });
    let parts = music.as_a::<Parts>().into_iter().flat_map(|parts| &parts.parts);
    let parts =
        parts.map(|part| Player { name: &part.name, riff: &part.tab.riff, sound: part.sound });
    alone.into_iter().chain(parts).filter(|player| player.riff.timed)
}

/// What one plays at the pace of a setting; the instrument is the riff's.
fn part(player: &Player<'_>, setting: &Setting, tones: &Tones) -> Part {
    let Player { name, riff, sound } = *player;
    let performance = Performance::played_out(riff, riff.pace(setting));
    let struck = |played: Played| Struck { played, strum: strum(riff, &played) };
    Part {
        name: name.to_owned(),
        sound,
        instrument: riff.instrument.clone(),
        notes: performance.notes().map(struck).collect(),
        tones: tones.along(&performance),
        words: sung(&performance),
    }
}

/// The place of a note in its strum, where its strings are struck one after another.
fn strum(riff: &Riff, played: &Played) -> Option<Strum> {
    let place = played.place;
    let event: &Event = riff.bars.get(place.bar)?.events.get(place.event)?;
    let after = event.notes.len().checked_sub(place.note + 1)?;
    let direction = event.pick.filter(|_| event.notes.len() > 1 && place.grace.is_none())?;
    let rank = if direction == Pick::Up { after } else { place.note };
    Some(Strum { direction, rank: u8::try_from(rank).unwrap_or(u8::MAX) })
}

/// The syllables that are sung, each with its moment.
fn sung(performance: &Performance<'_>) -> Vec<(Ticks, String)> {
    let passes = performance.passes();
    let words = passes.flat_map(|pass| {
        let said = pass.bar.remarks(SUNG).iter();
        said.map(move |word| (performance.moment(&pass, word.at), word.text.clone()))
    });
    words.collect()
}

fn bars_of_riff(riff: &Riff, pace: Pace) -> Vec<HeardBar> {
    let performance = Performance::played_out(riff, pace);
    let bar = |pass: Pass<'_>| HeardBar {
        start: pass.start,
        written: pass.bar.start,
        length: pass.bar.length,
        meter: pass.bar.meter,
        number: pass.bar.number,
        chords: chords_of_pass(riff, &pass, pace),
    };
    performance.passes().map(bar).collect()
}

/// The moments at which any of those who play has a count, a note or a chord, each as it is heard and as it is written.
fn moments(players: &[Player<'_>], setting: &Setting) -> Vec<(Ticks, Ticks)> {
    let mut moments = BTreeSet::new();
    for Player { riff, .. } in players {
        let performance = Performance::played_out(riff, riff.pace(setting));
        for pass in performance.passes() {
            let bar = pass.bar;
            let counts = bar.counts.iter().map(|count| count.at);
            let events = bar.events.iter().map(|event| event.at);
            let chords = bar.chords.iter().map(|symbol| symbol.at);
            let all = counts.chain(events).chain(chords);
            moments.extend(all.map(|at| (performance.moment(&pass, at), bar.start + at)));
        }
    }
    moments.into_iter().collect()
}

/// The chords of a bar this time that it is played.
fn chords_of_pass(riff: &Riff, pass: &Pass<'_>, pace: Pace) -> Vec<(Ticks, Option<Chord>)> {
    let passes = riff.harmony.get(pass.index).map(|bar| bar.passes.as_slice()).unwrap_or_default();
    let time = usize::try_from(pass.time.saturating_sub(1)).unwrap_or(usize::MAX);
    let Some(harmony) = passes.get(time).or(passes.last()) else { return Vec::new() };
    let moment = |at: Ticks| pace.swung(pass.bar.meter, at);
    let chords = harmony.chords.iter().filter(|(at, _)| *at < pass.bar.length);
    chords.map(|(at, chord)| (moment(*at), chord.clone())).collect()
}

fn bars_of_changes(changes: &Changes, pace: Pace) -> Vec<HeardBar> {
    let (mut start, starts) = (Ticks::ZERO, changes.starts());
    let bar = |(index, bar): (usize, &crate::blocks::changes::Bar)| {
        let begins = bar.begins();
        let swung = |at: Ticks| pace.swung(bar.meter, at.since(begins));
        let mut chords: Vec<(Ticks, Option<Chord>)> =
            bar.chords.iter().map(|(at, chord)| (swung(*at), chord.clone())).collect();
        // Of those that an upbeat leaves out the last holds at its beginning.
        let unheard = chords.iter().filter(|(at, _)| *at == Ticks::ZERO).count();
        chords.drain(..unheard.saturating_sub(1));
        let (length, written) = (bar.length(), starts.get(index).copied().unwrap_or_default());
        let heard =
            HeardBar { start, written, length, meter: bar.meter, number: bar.number, chords };
        start += bar.length();
        heard
    };
    changes.passes().map(bar).collect()
}

/// The moments at which something is written in changes, each as it is heard and as it is written.
fn moments_of_changes(changes: &Changes, pace: Pace) -> Vec<(Ticks, Ticks)> {
    let (mut start, starts) = (Ticks::ZERO, changes.starts());
    let moments = changes.passes().flat_map(|(index, bar)| {
        let (heard, written) = (start, starts.get(index).copied().unwrap_or_default());
        start += bar.length();
        let at = bar.entries.iter().map(|entry| entry.at.since(bar.begins()));
        at.map(move |at| (heard + pace.swung(bar.meter, at), written + at))
    });
    moments.collect()
}

/// The clicks before the music, and how long they take.
fn counted_in(opening: Opening) -> (Vec<Click>, Ticks) {
    let length = opening.count_in();
    let beat = opening.meter.felt_beat();
    let clicks = (0..length.0.div_ceil(beat.0.max(1))).map(|number| {
        let at = beat * number;
        Click { at, strong: at % opening.meter.bar() == Ticks::ZERO }
    });
    (clicks.collect(), length)
}
