//! The open strings, to tune by.

use crate::hear::score::{HeardBar, Part, Score, Struck};
use crate::lesson::Setting;
use crate::lesson::setting::Tempo;
use crate::music::ladder::Round;
use crate::music::performance::Played;
use crate::neck::{Fret, Instrument};
use crate::theory::{Meter, Ticks};

/// How often each string is heard.
const EACH: u32 = 2;
/// A bar of it takes four seconds: so long a plucked string sounds well (assumed).
const TEMPO: Tempo = Tempo { number: 60, dotted: false };

/// The open strings of an instrument without its capo, the lowest-placed first, each twice.
pub fn tuning_notes(setting: &Setting) -> Score {
    let instrument = Instrument { capo: 0, ..setting.instrument.clone() };
    let strings = instrument.tuning.indices().flat_map(|string| [string; EACH as usize]);
    let starts = (0..).map(|bar| Ticks::WHOLE * bar);
    let notes: Vec<Struck> = strings
        .zip(starts)
        .filter_map(|(string, start)| {
            let open = (Fret::OPEN, instrument.sounding_pitch(string, Fret::OPEN)?);
            let played = Played::plain(string, open, (start, start + Ticks::WHOLE));
            Some(Struck { played, strum: None })
        })
        .collect();
    let bar = |(index, note): (usize, &Struck)| HeardBar {
        start: note.played.start,
        written: note.played.start,
        length: Ticks::WHOLE,
        meter: Meter::COMMON,
        number: index + 1,
        chords: Vec::new(),
    };
    let bars: Vec<HeardBar> = notes.iter().enumerate().map(bar).collect();
    let length = bars.last().map_or(Ticks::ZERO, |bar| bar.start + bar.length);
    let sound = setting.sounds_like();
    let (tones, words) = (Vec::new(), Vec::new());
    let part = Part { name: "tuning notes".to_owned(), instrument, sound, notes, tones, words };
    Score {
        title: part.name.clone(),
        key: None,
        rounds: vec![Round { tempo: TEMPO, times: 1 }],
        count_in: Vec::new(),
        count_in_length: Ticks::ZERO,
        bars,
        moments: Vec::new(),
        clicks: Vec::new(),
        parts: vec![part],
        length,
    }
}
