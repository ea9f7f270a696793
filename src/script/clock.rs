//! The clock: how long words and music take, and how times are written.

use crate::blocks::say::Play;
use crate::lesson::setting::Tempo;
use crate::theory::{Meter, Ticks};
use std::time::Duration;

/// How many words are said: what stands between spaces, as typed, and has a letter or a digit.
pub fn words_in(text: &str) -> usize {
    text.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count()
}

/// How long so many words take at a pace in words a minute, rounded up to the nanosecond: what is added up
/// never falls a hair short of a whole second, which would be told as the one before.
pub fn spoken(words: usize, pace: u16) -> Duration {
    let words = u64::try_from(words).unwrap_or(u64::MAX);
    Duration::from_nanos(words.saturating_mul(60_000_000_000).div_ceil(u64::from(pace.max(1))))
}

/// How long music of a length is played at the cue's tempo, or else its own.
pub fn played(length: Ticks, own: Tempo, play: &Play) -> Duration {
    heard(play.tempo.unwrap_or(own).time(length), play)
}

/// How long something is played that takes so long once.
pub fn heard(once: Duration, play: &Play) -> Duration {
    once * play.times * if play.slowly { 2 } else { 1 }
}

/// How long so many chords or diagrams are played one after another: each as the cue says, or else a bar.
pub fn played_in_turn(turns: usize, (meter, own): (Meter, Tempo), play: &Play) -> Duration {
    let each = play.each.map_or_else(|| played(meter.bar(), own, play), |each| each * play.times);
    each.saturating_mul(u32::try_from(turns).unwrap_or(u32::MAX))
}

/// A moment as a reader sees it, cut to whole seconds: `7:42`, `1:02:05`.
pub fn told(at: Duration) -> String {
    let seconds = at.as_secs();
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match hours {
        0 => format!("{minutes}:{seconds:02}"),
        _ => format!("{hours}:{minutes:02}:{seconds:02}"),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn words_are_what_is_said() {
        for (text, words) in [("", 0), ("Well, then.", 2), ("A = A C# E", 4), ("one — two", 2)] {
            assert_eq!(words_in(text), words, "{text}");
        }
    }

    #[test]
    fn speeches_add_up_to_whole_seconds() {
        for pace in [60, 130, 140, 150, 170, 240] {
            let each = spoken(1, pace);
            assert_eq!((each * u32::from(pace)).as_secs(), 60, "{pace}");
        }
    }

    #[test]
    fn music_takes_its_ticks() {
        let tempo = |number, dotted| Tempo { number, dotted };
        let rows = [
            (tempo(60, false), None, 1, false, 4000),
            (tempo(60, false), Some(tempo(120, false)), 2, false, 4000),
            (tempo(60, false), None, 1, true, 8000),
            (tempo(60, true), None, 3, false, 8000),
        ];
        for (own, tempo, times, slowly, milliseconds) in rows {
            let play = Play { index: 0, bars: None, times, tempo, slowly, each: None };
            let time = played(Ticks::WHOLE, own, &play);
            assert_eq!(time.as_millis(), milliseconds, "{play:?}");
        }
    }

    #[test]
    fn chords_in_turn_take_a_bar_each_or_what_the_cue_says() {
        let tempo = Tempo { number: 60, dotted: false };
        let play = Play { index: 0, bars: None, times: 2, tempo: None, slowly: false, each: None };
        let waltz = Meter::parse("3/4").unwrap();
        let taken = |play: &Play| played_in_turn(3, (waltz, tempo), play).as_millis();
        assert_eq!(taken(&play), 2 * 3 * 3000);
        assert_eq!(taken(&Play { slowly: true, times: 1, ..play.clone() }), 3 * 6000);
        assert_eq!(taken(&Play { each: Some(Duration::from_millis(1500)), ..play }), 2 * 4500);
    }

    #[test]
    fn moments_are_told() {
        for (milliseconds, words) in
            [(0, "0:00"), (9_999, "0:09"), (462_000, "7:42"), (3_725_000, "1:02:05")]
        {
            assert_eq!(told(Duration::from_millis(milliseconds)), words);
        }
    }
}
