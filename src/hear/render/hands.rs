//! What hands do on the strings: a part's notes as gestures, each at its sample.

use super::samples;
use crate::hear::score::{Click, Part, Score, Struck, Strum, Tone};
use crate::hear::strings::{Damping, Gesture, Pluck, RATE, touch};
use crate::lesson::Sound;
use crate::lesson::setting::Tempo;
use crate::music::performance::{Attack, Heard, Played, Release, Strength};
use crate::music::tab::{Joint, Pick, Slide};
use crate::neck::Fret;
use crate::theory::Ticks;

/// How many samples a strum takes from a string to the next: 7 ms down, a little less up (assumed, to be measured).
const STRUM: u32 = RATE * 7 / 1000;
/// As long as the wave of this pitch, an A, a stroke on damped strings makes noise before it repeats itself, much
/// softer (assumed, to be measured).
const DEAD: f64 = 33.0;

/// One time through, in samples from its beginning.
pub struct Plan {
    /// How long it is.
    pub length: u32,
    /// The clicks, rising, and which are strong.
    pub clicks: Vec<(u32, bool)>,
    players: Vec<Player>,
}

/// What a part does.
struct Player {
    /// What is done to each string, rising.
    strings: Vec<Vec<(u32, Gesture)>>,
    tones: Vec<(u32, Tone)>,
}

impl Plan {
    /// A score once through at a tempo.
    pub fn new(score: &Score, tempo: Tempo) -> Plan {
        let length = samples(tempo, score.length);
        let players = score.parts.iter().map(|part| Player::new(part, tempo, length));
        Plan { players: players.collect(), ..Plan::clicks(&score.clicks, score.length, tempo) }
    }

    /// Clicks alone.
    pub fn clicks(clicks: &[Click], length: Ticks, tempo: Tempo) -> Plan {
        let clicks = clicks.iter().map(|click| (samples(tempo, click.at), click.strong));
        Plan { clicks: clicks.collect(), ..Plan::silence(samples(tempo, length)) }
    }

    /// The same without its clicks.
    pub fn without_clicks(self) -> Plan {
        Plan { clicks: Vec::new(), ..self }
    }

    /// The same, but that what sounds at its end isn't stopped there.
    pub fn ringing_out(mut self) -> Plan {
        let end = self.length.saturating_sub(1);
        let strings = self.players.iter_mut().flat_map(|player| &mut player.strings);
        strings.for_each(|string| {
            string.retain(|(at, gesture)| *at < end || !matches!(gesture, Gesture::Damp(_)));
        });
        self
    }

    /// So many samples in which what sounds rings on with the tones that it had, and at last is stopped.
    pub fn fading(score: &Score, length: u32) -> Plan {
        let stopped = (length - length / 6, Gesture::Damp(Damping::Stopped));
        let players = score.parts.iter().map(|part| Player {
            strings: vec![vec![stopped]; part.instrument.tuning.len()],
            tones: part.tones.last().map(|(_, tone)| (0, *tone)).into_iter().collect(),
        });
        Plan { players: players.collect(), ..Plan::silence(length) }
    }

    /// So many samples in which nothing is done.
    pub fn silence(length: u32) -> Plan {
        Plan { length, clicks: Vec::new(), players: Vec::new() }
    }

    /// What is done to the strings of each part, string after string.
    pub fn strokes(&self) -> impl Iterator<Item = &[Vec<(u32, Gesture)>]> {
        self.players.iter().map(|player| player.strings.as_slice())
    }

    /// The tone of a part at a sample; `None` where nobody plays, and what rings on has the tone that it had.
    pub fn tone(&self, part: usize, at: u32) -> Option<Tone> {
        let player = self.players.get(part)?;
        let begun = player.tones.partition_point(|(from, _)| *from <= at);
        let tone = begun.checked_sub(1).and_then(|last| player.tones.get(last));
        Some(tone.map(|(_, tone)| *tone).unwrap_or_default())
    }

    /// What is done to a string within so many samples.
    pub fn gestures(
        &self,
        part: usize,
        string: usize,
        at: u32,
        length: usize,
    ) -> &[(u32, Gesture)] {
        let player = self.players.get(part);
        let all = player.and_then(|player| player.strings.get(string));
        let all = all.map(Vec::as_slice).unwrap_or_default();
        let first = all.partition_point(|(when, _)| *when < at);
        let end = all.partition_point(|(when, _)| (*when as usize) < at as usize + length);
        all.get(first..end).unwrap_or_default()
    }

    /// The clicks from a sample on.
    pub fn clicks_from(&self, at: u32) -> &[(u32, bool)] {
        let first = self.clicks.partition_point(|(when, _)| *when < at);
        self.clicks.get(first..).unwrap_or_default()
    }
}

impl Player {
    fn new(part: &Part, tempo: Tempo, length: u32) -> Player {
        let mut strings = vec![Vec::new(); part.instrument.tuning.len()];
        let mut last = vec![None; strings.len()];
        for (index, struck) in part.notes.iter().enumerate() {
            let at = struck.played.string.index();
            let (Some(string), Some(last)) = (strings.get_mut(at), last.get_mut(at)) else {
                continue;
            };
            let Some(hand) = Hand::new(part, struck, tempo, (*last, index)) else { continue };
            hand.play(string);
            *last = Some((hand.start, hand.pitch()));
        }
        for string in &mut strings {
            string.iter_mut().for_each(|(at, _)| *at = (*at).min(length.saturating_sub(1)));
            string.sort_by_key(|(at, _)| *at);
            ring_until_struck(string);
        }
        let tones = part.tones.iter().map(|(at, tone)| (samples(tempo, *at), *tone));
        Player { strings, tones: tones.collect() }
    }
}

/// Leaves out what stops a string that is struck again at once: the strings of a chord, eight at most, ring until the
/// strum comes to them.
fn ring_until_struck(string: &mut Vec<(u32, Gesture)>) {
    let next: Vec<Option<(u32, Gesture)>> =
        string.iter().skip(1).copied().map(Some).chain([None]).collect();
    let is_struck = |at: u32, next: Option<(u32, Gesture)>| {
        next.is_some_and(|(when, gesture)| {
            when - at <= 7 * STRUM && matches!(gesture, Gesture::Pluck { .. })
        })
    };
    let mut next = next.into_iter();
    string.retain(|(at, gesture)| {
        let next = next.next().flatten();
        *gesture != Gesture::Damp(Damping::Stopped) || !is_struck(*at, next)
    });
}

/// The hands at one note.
struct Hand<'p> {
    played: &'p Played,
    sound: Sound,
    /// The pitch of the open string, as a number of MIDI's.
    open: f64,
    /// From when to when it sounds.
    start: u32,
    end: u32,
    /// When the note before on its string began, and its pitch.
    before: (u32, f64),
    seed: u64,
}

impl Hand<'_> {
    fn new<'p>(
        part: &'p Part,
        struck: &'p Struck,
        tempo: Tempo,
        (before, index): (Option<(u32, f64)>, usize),
    ) -> Option<Hand<'p>> {
        let played = &struck.played;
        let open = part.instrument.sounding_pitch(played.string, Fret::OPEN)?;
        let open = f64::from(open.number());
        let (start, end) = (samples(tempo, played.start), samples(tempo, played.end));
        let start = start.saturating_add(late(struck.strum, end.saturating_sub(start)));
        let before = before.unwrap_or((start, open));
        let (sound, end, seed) = (part.sound, end.max(start + 1), index as u64);
        Some(Hand { played, sound, open, start, end, before, seed })
    }

    /// Adds what they do to what is done to the string.
    fn play(&self, string: &mut Vec<(u32, Gesture)>) {
        self.begin(string);
        if self.played.vibrato {
            // A third of a half step to both sides is much for the trade; a fifth is usual (assumed).
            string.push((self.start, Gesture::Shake(0.2)));
        }
        if self.played.quarter_bend {
            string.push((self.start, self.glide(self.pitch(), self.within(RATE / 6))));
        }
        match self.played.release {
            Release::Into(_) => {}
            Release::Stopped | Release::Rung => {
                string.push((self.end, Gesture::Damp(Damping::Stopped)))
            }
            Release::SlidOut(way) => {
                let over = self.within(RATE / 6);
                let away = if way == Slide::Up { 5.0 } else { -5.0_f64.min(self.above_nut()) };
                let frets = (self.pitch(), self.pitch() + away);
                string.extend(over_frets(frets, self.end - over, over));
                string.push((self.end - over / 4, Gesture::Damp(Damping::Stopped)));
            }
        }
    }

    fn begin(&self, string: &mut Vec<(u32, Gesture)>) {
        let (start, pitch) = (self.start, self.fretted());
        let land = |share, bright| Gesture::Land { pitch, pluck: self.pluck(share, bright) };
        match self.played.attack {
            Attack::Plucked => string.push((start, self.plucked(self.fretted()))),
            Attack::SlidIn(way) => {
                let from =
                    pitch + if way == Slide::Up { -3.0_f64.min(self.above_nut()) } else { 3.0 };
                string.push((start, self.plucked(from)));
                string.extend(over_frets((from, pitch), start, self.within(RATE / 9)));
            }
            Attack::Tapped => string.push((start, self.plucked(pitch))),
            Attack::Joined(Joint::HammerOn | Joint::Tap) => string.push((start, land(0.42, -0.25))),
            Attack::Joined(Joint::PullOff) => string.push((start, land(0.46, -0.05))),
            Attack::Joined(Joint::Slide) => {
                let over = (self.since_before() / 2).min(RATE / 11);
                string.extend(over_frets((self.before.1, pitch), start - over, over));
                string.push((start, land(0.2, -0.2)));
            }
            Attack::Joined(Joint::Bend | Joint::Release) => {
                // It is there at its time, as a slide is; the finger takes 140 ms for it (assumed, to be measured).
                let over = (self.since_before() / 3 * 2).min(RATE * 14 / 100);
                string.push((start - over, Gesture::Shake(0.0)));
                string.push((start - over, self.glide(pitch, over)));
            }
        }
    }

    fn glide(&self, pitch: f64, over: u32) -> Gesture {
        Gesture::Glide { pitch, over }
    }

    /// How many samples the note before on the string has begun earlier.
    fn since_before(&self) -> u32 {
        self.start.saturating_sub(self.before.0)
    }

    /// How many half steps it is above the open string, beyond which no finger slides.
    fn above_nut(&self) -> f64 {
        (self.fretted() - self.open).max(0.0)
    }

    /// So many samples, or two thirds of the note where that is less.
    fn within(&self, most: u32) -> u32 {
        most.min((self.end - self.start) / 3 * 2)
    }

    fn plucked(&self, pitch: f64) -> Gesture {
        // How a damped string is struck, and a tapped one, is assumed, to be measured.
        let share = if self.played.attack == Attack::Tapped { 0.6 } else { 1.0 };
        match self.played.heard {
            Heard::Muted => {
                let pluck = Pluck { noise: 3.0, ..self.pluck(0.8 * share, -0.2) };
                Gesture::Pluck { pitch: DEAD, pluck, damping: Damping::Muted }
            }
            _ if self.played.palm_muted => Gesture::Pluck {
                pitch,
                pluck: self.pluck(1.5 * share, -0.3),
                damping: Damping::Palm,
            },
            _ => Gesture::Pluck { pitch, pluck: self.pluck(share, 0.0), damping: Damping::Open },
        }
    }

    /// A pluck of so much of the note's strength, and by so much brighter than usual.
    fn pluck(&self, share: f64, brighter: f64) -> Pluck {
        let (strength, more) = match self.played.strength {
            Strength::Ghost => (0.2, -0.2),
            Strength::Plain => (0.6, 0.0),
            Strength::Accented => (1.0, 0.12),
        };
        let (bright, noise) = touch::pick(self.sound);
        Pluck {
            strength: strength * share,
            bright: (bright + more + brighter).clamp(0.1, 0.97),
            place: touch::place(self.sound),
            noise,
            harmonic: self.harmonic().unwrap_or(1),
            seed: self.seed,
        }
    }

    /// The pitch that is heard, as a number of MIDI's.
    fn pitch(&self) -> f64 {
        self.fretted() + if self.played.quarter_bend { 0.5 } else { 0.0 }
    }

    /// The pitch of the string as it is held: under a harmonic the open string's.
    fn fretted(&self) -> f64 {
        match self.played.heard {
            Heard::Fretted { pitch, .. } => f64::from(pitch.number()),
            Heard::Harmonic { pitch, .. } if self.harmonic().is_none() => f64::from(pitch.number()),
            Heard::Harmonic { .. } | Heard::Muted => self.open,
        }
    }

    /// Into how many parts a harmonic divides the string; `None` for none, and where no part is so high.
    fn harmonic(&self) -> Option<u32> {
        let Heard::Harmonic { pitch, .. } = self.played.heard else { return None };
        let above = f64::from(pitch.number()) - self.open;
        let parts = [(12.0, 2), (19.0, 3), (24.0, 4), (28.0, 5), (31.0, 6)];
        parts.iter().find(|(half_steps, _)| *half_steps == above).map(|(_, parts)| *parts)
    }
}

/// How many samples after the tick a string of a strum is struck; all of them within half of the chord's length.
fn late(strum: Option<Strum>, length: u32) -> u32 {
    strum.map_or(0, |strum| {
        let step = if strum.direction == Pick::Up { STRUM * 6 / 7 } else { STRUM };
        u32::from(strum.rank) * step.min(length / 10)
    })
}

/// A finger that slides from one pitch to another in so many samples from a moment on, and so over each fret between:
/// half of the time it is on its way, half of it at a fret (assumed, to be measured).
fn over_frets((from, to): (f64, f64), at: u32, over: u32) -> impl Iterator<Item = (u32, Gesture)> {
    let way = to - from;
    let frets = ((way.max(-way) + 0.5) as u32).max(1);
    (1..=frets).map(move |fret| {
        let pitch = from + way * f64::from(fret) / f64::from(frets);
        let step = over / frets / 2;
        (at + over / frets * fret - step, Gesture::Glide { pitch, over: step })
    })
}
