//! Who plays: the strings and amplifier of each part, and the metronome.

use super::click::Wood;
use super::hands::Plan;
use crate::hear::score::{Part, Pickup, Score, Tone};
use crate::hear::strings::{Amp, Losses, Tied, touch};
use crate::lesson::Sound;
use std::iter;
use std::rc::Rc;

/// What stays as it is while it is played.
pub struct Stage {
    seats: Vec<Seat>,
    clicks: [Vec<f64>; 2],
}

/// Where a part stands, and what it plays on.
struct Seat {
    sound: Sound,
    strings: usize,
    losses: Rc<Losses>,
    /// What is heard of it on the left and on the right.
    sides: [f64; 2],
}

impl Stage {
    /// The stage of a score, tuned to an A of so many Hz; the first part stands on the left.
    pub fn new(score: &Score, pitch: f64) -> Stage {
        let mut known: Vec<(Sound, Rc<Losses>)> = Vec::new();
        let last = score.parts.len().saturating_sub(1);
        let seats = score.parts.iter().enumerate().map(|(index, part)| {
            let losses = known.iter().find(|(sound, _)| *sound == part.sound);
            let losses = losses.map(|(_, losses)| Rc::clone(losses)).unwrap_or_else(|| {
                let made = Rc::new(Losses::new(part.sound, pitch));
                known.push((part.sound, Rc::clone(&made)));
                made
            });
            // From −0.6 to 0.6 of the way to each side, so that nobody is heard on one ear alone.
            let place = if last == 0 { 0.0 } else { 1.2 * index as f64 / last as f64 - 0.6 };
            Seat {
                sound: part.sound,
                strings: part.instrument.tuning.len(),
                losses,
                sides: [(1.0 - place) / 2.0, (1.0 + place) / 2.0]
                    .map(|share| level(part) * share.sqrt()),
            }
        });
        Stage {
            seats: seats.collect(),
            clicks: [false, true].map(|strong| Wood::new(strong).samples()),
        }
    }
}

/// By how much a part is made softer for the strings that it strikes at once, so that chords don't drown a tune.
fn level(part: &Part) -> f64 {
    let strokes = part.notes.chunk_by(|one, next| one.played.start == next.played.start).count();
    (strokes.max(1) as f64 / part.notes.len().max(1) as f64).sqrt()
}

/// All that changes while it is played.
#[derive(Clone)]
pub struct Band {
    players: Vec<Playing>,
    /// The click that is heard, and how much of it is over.
    click: Option<(bool, usize)>,
    mixed: Vec<[f64; 2]>,
    alone: Vec<f64>,
}

/// What a part plays on.
#[derive(Clone)]
struct Playing {
    strings: Vec<Tied>,
    amp: Amp,
    /// The tone that it had last; `None` before it plays.
    tone: Option<Tone>,
}

impl Band {
    /// Everyone at rest.
    pub fn new(stage: &Stage) -> Band {
        let players = stage.seats.iter().map(|seat| Playing {
            strings: iter::repeat_with(Tied::resting).take(seat.strings).collect(),
            amp: Amp::new(seat.sound),
            tone: None,
        });
        Band { players: players.collect(), click: None, mixed: Vec::new(), alone: Vec::new() }
    }

    /// Plays so many samples of a plan from a place in it, the strings so many times as loud.
    pub fn play(
        &mut self,
        stage: &Stage,
        plan: &Plan,
        at: u32,
        length: usize,
        scale: f64,
    ) -> &[[f64; 2]] {
        self.mixed.clear();
        self.mixed.resize(length, [0.0; 2]);
        // A tone that changes within a piece holds for all of it, so that the note with which it changes has it.
        let last = at + u32::try_from(length).unwrap_or(u32::MAX).saturating_sub(1);
        for (index, (playing, seat)) in self.players.iter_mut().zip(&stage.seats).enumerate() {
            playing.tone = plan.tone(index, last).or(playing.tone);
            let Some(tone) = playing.tone else { continue };
            self.alone.clear();
            self.alone.resize(length, 0.0);
            let pickup = pickup(seat.sound, tone);
            for (string, tied) in playing.strings.iter_mut().enumerate() {
                let mut now = 0;
                for (when, gesture) in plan.gestures(index, string, at, length) {
                    let next = (when - at) as usize;
                    tied.play(
                        &seat.losses,
                        pickup,
                        self.alone.get_mut(now..next).unwrap_or_default(),
                    );
                    tied.take(*gesture, &seat.losses);
                    now = next;
                }
                tied.play(&seat.losses, pickup, self.alone.get_mut(now..).unwrap_or_default());
            }
            playing.amp.lead(tone.driven, &mut self.alone);
            for (mixed, sample) in self.mixed.iter_mut().zip(&self.alone) {
                let [left, right] = seat.sides;
                mixed[0] += left * scale * sample;
                mixed[1] += right * scale * sample;
            }
        }
        self.click(stage, plan, at);
        &self.mixed
    }

    fn click(&mut self, stage: &Stage, plan: &Plan, at: u32) {
        let [weak, strong] = &stage.clicks;
        let mut to_come = plan.clicks_from(at).iter().peekable();
        for (index, mixed) in self.mixed.iter_mut().enumerate() {
            let now = at as usize + index;
            if let Some(click) = to_come.next_if(|(when, _)| *when as usize == now) {
                self.click = Some((click.1, 0));
            }
            let Some((is_strong, over)) = &mut self.click else { continue };
            let samples = if *is_strong { strong } else { weak };
            match samples.get(*over) {
                Some(sample) => *mixed = mixed.map(|side| side + sample),
                None => continue,
            }
            *over += 1;
        }
    }
}

/// Where the pickup is that hears the strings.
fn pickup(sound: Sound, tone: Tone) -> f64 {
    let [neck, bridge] = touch::pickups(sound);
    match tone.pickup {
        Pickup::Neck => neck,
        Pickup::Bridge => bridge,
    }
}
