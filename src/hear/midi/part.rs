//! The track of a part: its notes time after time, how they bend, what it sounds like, and what is sung.

use super::Track;
use super::channels::Channels;
use super::sounded::{Cents, Sounded, Way};
use crate::hear::{Part, Score, Tone};
use crate::lesson::Sound;
use crate::theory::Ticks;
use midly::num::{u4, u7};
use midly::{MetaMessage, MidiMessage, PitchBend};

/// How many half steps the whole way of a pitch bend is: an octave, which no string is bent.
const RANGE: u8 = 12;
/// How many ticks the steps of a bend are apart: a 60th of a quarter, some 10 ms (assumed).
const STEP: usize = 16;
/// How deep vibrato is, of 127 (assumed).
const VIBRATO: u8 = 64;

/// Controllers of the MIDI 1.0 specification.
const MODULATION: u8 = 1;
const DATA_ENTRY: u8 = 6;
const PAN: u8 = 10;
const DATA_ENTRY_FINE: u8 = 38;
const REGISTERED_PARAMETER: [u8; 2] = [101, 100];

/// The program of General MIDI for strings that the palm damps, counted from 0.
const MUTED_GUITAR: u8 = 28;

/// The track of a part, by its index among all.
pub(super) fn track<'s>(
    score: &'s Score,
    part: &'s Part,
    index: usize,
    channels: &Channels,
) -> Track<'s> {
    let mut track = Track::named(&part.name);
    set_up(&mut track, place(index, score.parts.len()), channels);
    let bending = channels.bending();
    for time in score.times() {
        tones(&mut track, time.start, part, channels);
        for (at, word) in &part.words {
            track.tell(time.start + *at, MetaMessage::Lyric(word.as_bytes()));
        }
        for note in &channels.notes {
            let mut playing =
                Playing { track: &mut track, channel: channels.of(note), start: time.start };
            if bending.contains(&playing.channel) {
                playing.bend(note);
            }
            playing.strike(note);
        }
    }
    track
}

/// Where a part stands, 0 far left, 64 in the middle, 127 far right: parts are spread evenly over the middle half
/// (assumed).
fn place(index: usize, of: usize) -> u8 {
    let steps = of.saturating_sub(1);
    (index * 64).checked_div(steps).and_then(|way| u8::try_from(32 + way).ok()).unwrap_or(64)
}

/// What holds from the beginning: where the part stands, how far its strings bend, and what is damped.
fn set_up(track: &mut Track<'_>, place: u8, channels: &Channels) {
    let bending = channels.bending();
    for channel in channels.sounding().chain(channels.damped) {
        control(track, Ticks::ZERO, channel, (PAN, place));
        if bending.contains(&channel) {
            let [coarse, fine] = REGISTERED_PARAMETER;
            // The parameter 0 is the bend's range; 127 is none, so that nothing later sets it.
            let range = [(coarse, 0), (fine, 0), (DATA_ENTRY, RANGE), (DATA_ENTRY_FINE, 0)];
            for setting in range.into_iter().chain([(coarse, 127), (fine, 127)]) {
                control(track, Ticks::ZERO, channel, setting);
            }
        }
    }
    if let Some(channel) = channels.damped {
        let program = u7::new(MUTED_GUITAR);
        track.send(Ticks::ZERO, channel, MidiMessage::ProgramChange { program });
    }
}

fn control(track: &mut Track<'_>, at: Ticks, channel: u4, (controller, value): (u8, u8)) {
    let (controller, value) = (u7::new(controller), u7::new(value));
    track.send(at, channel, MidiMessage::Controller { controller, value });
}

/// What a part sounds like from its beginning on, and where its tone changes.
fn tones(track: &mut Track<'_>, start: Ticks, part: &Part, channels: &Channels) {
    let first = (Ticks::ZERO, Tone::default());
    let mut now = None;
    for (at, tone) in [first].iter().chain(&part.tones) {
        let program = u7::new(program(part.sound, *tone));
        if now.replace(program) == Some(program) {
            continue;
        }
        for channel in channels.sounding() {
            track.send(start + *at, channel, MidiMessage::ProgramChange { program });
        }
    }
}

/// The program of General MIDI for a sound, counted from 0. Only an electric guitar is driven.
fn program(sound: Sound, tone: Tone) -> u8 {
    match sound {
        Sound::Nylon => 24,
        Sound::Steel => 25,
        Sound::Electric if tone.driven => 29,
        Sound::Electric => 27,
        Sound::Bass => 33,
    }
}

/// A note that is played on a channel, in a time through that begins at a moment.
struct Playing<'p, 't> {
    track: &'p mut Track<'t>,
    channel: u4,
    start: Ticks,
}

impl Playing<'_, '_> {
    /// Strikes its key and lets it go; a pitch that the file's keys don't reach isn't played.
    fn strike(&mut self, note: &Sounded) {
        let key = u8::try_from(note.key.number()).ok().and_then(u7::try_from);
        let Some(key) = key else { return };
        let (vel, none) = (u7::new(note.velocity), u7::new(0));
        self.track.send(self.start + note.start, self.channel, MidiMessage::NoteOn { key, vel });
        self.track.send(
            self.start + note.end,
            self.channel,
            MidiMessage::NoteOff { key, vel: none },
        );
    }

    /// Sets how its pitch moves, from where it begins.
    fn bend(&mut self, note: &Sounded) {
        let bent = note.ways.first().filter(|way| way.from.0 == note.start);
        self.bend_to(note.start, bent.map_or(Cents(0), |way| way.from.1));
        for way in &note.ways {
            self.go(way);
        }
        let begins = note.vibrato.is_some_and(|from| from == note.start);
        let depth = if begins { VIBRATO } else { 0 };
        control(self.track, self.start + note.start, self.channel, (MODULATION, depth));
        if let Some(from) = note.vibrato.filter(|_| !begins) {
            control(self.track, self.start + from, self.channel, (MODULATION, VIBRATO));
        }
    }

    /// Goes a way in steps; its end is met whatever the steps are.
    fn go(&mut self, way: &Way) {
        let ((from, low), (to, high)) = (way.from, way.to);
        let whole = to.since(from).0;
        for at in (0..whole).step_by(STEP).skip(1) {
            let far = i64::from(high.0 - low.0) * i64::from(at) / i64::from(whole);
            let cents = low.0 + i32::try_from(far).unwrap_or(0);
            self.bend_to(from + Ticks(at), Cents(cents));
        }
        if to > from {
            self.bend_to(to, high);
        }
    }

    fn bend_to(&mut self, at: Ticks, cents: Cents) {
        let of_range = i64::from(cents.0) * 0x2000 / (i64::from(RANGE) * 100);
        let bend = PitchBend::from_int(i16::try_from(of_range.clamp(-0x2000, 0x1FFF)).unwrap_or(0));
        self.track.send(self.start + at, self.channel, MidiMessage::PitchBend { bend });
    }
}
