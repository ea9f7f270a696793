//! The track of the clicks.

use super::Track;
use crate::hear::{Click, Score};
use crate::theory::Ticks;
use midly::MidiMessage;
use midly::num::{u4, u7};

/// The channel of percussion, the tenth.
pub(super) const PERCUSSION: u4 = u4::new(9);

/// The high wood block with which a bar begins.
const HIGH: u8 = 76;
/// The low wood block of all other beats.
const LOW: u8 = 77;
/// How strong clicks are: above plain notes, so that they are heard through a strummed chord (assumed).
const STRONG: u8 = 112;
const WEAK: u8 = 88;
/// How long a click is held: a wood block sounds no longer for it.
const LENGTH: Ticks = Ticks(60);

/// The track of the clicks of a score, those of the count-ins too; none where nothing clicks.
pub(super) fn track(score: &Score) -> Option<Track<'static>> {
    if score.count_in.is_empty() && score.clicks.is_empty() {
        return None;
    }
    let mut track = Track::named("Click");
    for (begins, _) in score.rungs() {
        for click in &score.count_in {
            play(&mut track, begins, click);
        }
    }
    for time in score.times() {
        for click in &score.clicks {
            play(&mut track, time.start, click);
        }
    }
    Some(track)
}

fn play(track: &mut Track<'_>, start: Ticks, click: &Click) {
    let (key, vel) = if click.strong { (HIGH, STRONG) } else { (LOW, WEAK) };
    let (key, at) = (u7::new(key), start + click.at);
    track.send(at, PERCUSSION, MidiMessage::NoteOn { key, vel: u7::new(vel) });
    track.send(at + LENGTH, PERCUSSION, MidiMessage::NoteOff { key, vel: u7::new(0) });
}
