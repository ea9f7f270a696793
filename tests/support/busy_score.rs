//! A score with much to do: chords strummed on steel, a driven lead with bends and vibrato, a bass, and a click.

use fretleaf::hear::{Click, Part, Pickup, Round, Score, Struck, Strum, Tone};
use fretleaf::lesson::Sound;
use fretleaf::lesson::setting::Tempo;
use fretleaf::music::performance::{Attack, Played, Release};
use fretleaf::music::tab::{Joint, Pick};
use fretleaf::neck::{Fret, Instrument, StringIndex};
use fretleaf::theory::{Midi, Ticks};

/// An eighth; at 120 beats a minute four of them are a second.
const EIGHTH: u32 = 480;

/// So many seconds, of two beats each, that are played so many times.
pub fn score(seconds: u32, times: u32) -> Score {
    let eighths = 4 * seconds;
    let clicks = (0..2 * seconds)
        .map(|beat| Click { at: Ticks(960 * beat), strong: beat.is_multiple_of(4) });
    let driven = Tone { driven: true, pickup: Pickup::Bridge };
    Score {
        title: String::from("Busy"),
        key: None,
        rounds: vec![Round { tempo: Tempo { number: 120, dotted: false }, times }],
        count_in: Vec::new(),
        count_in_length: Ticks::ZERO,
        bars: Vec::new(),
        moments: Vec::new(),
        clicks: clicks.collect(),
        parts: vec![
            part("Strummed", Sound::Steel, (0..eighths).flat_map(strummed).collect(), None),
            part("Lead", Sound::Electric, (0..eighths).map(lead).collect(), Some(driven)),
            part("Bass", Sound::Bass, (0..eighths).map(bass).collect(), None),
        ],
        length: Ticks(EIGHTH * eighths),
    }
}

fn part(name: &str, sound: Sound, notes: Vec<Struck>, tone: Option<Tone>) -> Part {
    Part {
        name: String::from(name),
        instrument: Instrument::guitar(),
        sound,
        notes,
        tones: tone.map(|tone| (Ticks::ZERO, tone)).into_iter().collect(),
        words: Vec::new(),
    }
}

/// All six strings, down and up in turn; another chord every second.
fn strummed(eighth: u32) -> impl Iterator<Item = Struck> {
    let shift = [0, 5, 7, 3][(eighth / 4 % 4) as usize];
    let direction = if eighth.is_multiple_of(2) { Pick::Down } else { Pick::Up };
    (0..6_usize).map(move |string| {
        let pitch = [40, 47, 52, 56, 59, 64][string] + shift;
        let rank = if direction == Pick::Up { 5 - string } else { string } as u8;
        Struck { strum: Some(Strum { direction, rank }), ..note(eighth, string, pitch) }
    })
}

/// A note, one more, the same bent up by a whole step, and one with vibrato.
fn lead(eighth: u32) -> Struck {
    let mut struck = note(eighth, 4, [67, 69, 71, 72][(eighth % 4) as usize]);
    match eighth % 4 {
        1 => struck.played.release = Release::Into(Joint::Bend),
        2 => struck.played.attack = Attack::Joined(Joint::Bend),
        3 => struck.played.vibrato = true,
        _ => {}
    }
    struck
}

fn bass(eighth: u32) -> Struck {
    note(eighth, (eighth / 4 % 2) as usize, [28, 33, 35, 31][(eighth / 4 % 4) as usize])
}

fn note(eighth: u32, string: usize, pitch: i32) -> Struck {
    let place = (Fret::OPEN, Midi::new(pitch));
    let time = (Ticks(EIGHTH * eighth), Ticks(EIGHTH * (eighth + 1)));
    let played = Played::plain(StringIndex::new(string), place, time);
    Struck { played, strum: None }
}
