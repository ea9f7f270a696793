//! What the strings of each sound are like, and how they are plucked. All figures are assumed, to be measured.

use crate::lesson::Sound;

/// The seconds in which an open string falls by 60 dB: its fundamental at 110 Hz, and what it has at 5 kHz.
pub fn decay(sound: Sound) -> (f64, f64) {
    match sound {
        Sound::Steel => (7.0, 0.9),
        Sound::Nylon => (4.0, 0.3),
        Sound::Electric => (9.0, 0.9),
        Sound::Bass => (6.5, 0.35),
    }
}

/// Where a string is plucked, as a part of it from the bridge.
pub fn place(sound: Sound) -> f64 {
    match sound {
        Sound::Steel => 0.19,
        Sound::Nylon => 0.22,
        Sound::Electric => 0.16,
        Sound::Bass => 0.14,
    }
}

/// How bright a plain pluck is, and how much noise is in it.
pub fn pick(sound: Sound) -> (f64, f64) {
    match sound {
        Sound::Steel => (0.82, 0.22),
        Sound::Nylon => (0.7, 0.12),
        Sound::Electric => (0.85, 0.18),
        Sound::Bass => (0.55, 0.15),
    }
}

/// Where the pickups are that hear the strings, at the neck and at the bridge, as a part of them from the bridge; 0
/// without one.
pub fn pickups(sound: Sound) -> [f64; 2] {
    match sound {
        Sound::Steel | Sound::Nylon => [0.0, 0.0],
        Sound::Electric => [0.23, 0.07],
        Sound::Bass => [0.26, 0.1],
    }
}
