//! Writes a score as a Standard MIDI File (RP-001 of the MIDI association) of format 1: a conductor's track, a track
//! a part, and one for the clicks where there are any. Programs and percussion are those of General MIDI, level 1.

mod channels;
mod clicks;
mod conductor;
mod part;
mod sounded;
#[cfg(test)]
mod tests;

use super::Score;
use crate::theory::Ticks;
use midly::num::{u4, u15, u28};
use midly::{Format, Header, MetaMessage, MidiMessage, Smf, Timing, TrackEvent, TrackEventKind};
use std::io;

/// The ticks of a quarter.
const QUARTER: u15 = u15::new(Ticks::QUARTER.0 as u16);

/// Writes a score as a Standard MIDI File.
///
/// # Errors
///
/// Where it can't be written to what it is written to.
pub fn write(score: &Score, to: impl io::Write) -> io::Result<()> {
    let channels = channels::assign(&score.parts, score.length);
    let parts = score.parts.iter().zip(&channels).enumerate();
    let mut tracks = vec![conductor::track(score)];
    tracks.extend(parts.map(|(index, (part, channels))| part::track(score, part, index, channels)));
    tracks.extend(clicks::track(score));
    let timing = Timing::Metrical(QUARTER);
    let tracks = tracks.iter().map(Track::events).collect();
    Smf { header: Header::new(Format::Parallel, timing), tracks }.write_std(to)
}

/// What happens in a track, in any order.
#[derive(Default)]
struct Track<'t> {
    events: Vec<Event<'t>>,
}

struct Event<'t> {
    at: Ticks,
    turn: Turn,
    what: What<'t>,
}

/// What is written: a marker's words are made for it, all else stands in the score.
enum What<'t> {
    Event(TrackEventKind<'t>),
    Marker(String),
}

/// In which order what happens at one moment is written: what ends is over before anything begins, and what
/// sets how a note sounds stands before it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Turn {
    Ends,
    Sets,
    Begins,
}

impl<'t> Track<'t> {
    /// A track of a name.
    fn named(name: &'t str) -> Track<'t> {
        let mut track = Track::default();
        track.tell(Ticks::ZERO, MetaMessage::TrackName(name.as_bytes()));
        track
    }

    /// Tells something about the music.
    fn tell(&mut self, at: Ticks, message: MetaMessage<'t>) {
        let what = What::Event(TrackEventKind::Meta(message));
        self.events.push(Event { at, turn: Turn::Sets, what });
    }

    /// Marks a place by words.
    fn mark(&mut self, at: Ticks, words: String) {
        self.events.push(Event { at, turn: Turn::Sets, what: What::Marker(words) });
    }

    /// Sends a message to a channel.
    fn send(&mut self, at: Ticks, channel: u4, message: MidiMessage) {
        let turn = match message {
            MidiMessage::NoteOff { .. } => Turn::Ends,
            MidiMessage::NoteOn { .. } => Turn::Begins,
            _ => Turn::Sets,
        };
        let what = What::Event(TrackEventKind::Midi { channel, message });
        self.events.push(Event { at, turn, what });
    }

    /// Its events in order, each with the ticks since the one before, and its end.
    fn events(&self) -> Vec<TrackEvent<'_>> {
        let mut events = Vec::from_iter(&self.events);
        events.sort_by_key(|event| (event.at, event.turn));
        let mut now = Ticks::ZERO;
        let mut track = Vec::with_capacity(events.len() + 1);
        for event in events {
            let delta = event.at.since(now).0.min(u28::max_value().as_int());
            now = event.at;
            let kind = match &event.what {
                What::Event(kind) => *kind,
                What::Marker(words) => TrackEventKind::Meta(MetaMessage::Marker(words.as_bytes())),
            };
            track.push(TrackEvent { delta: u28::new(delta), kind });
        }
        let end = TrackEventKind::Meta(MetaMessage::EndOfTrack);
        track.push(TrackEvent { delta: u28::new(0), kind: end });
        track
    }
}
