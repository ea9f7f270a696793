//! The bars of a riff in the order in which they are played.

use super::tab::Bar;
use crate::theory::Ticks;

/// How long all bars take, repeats played out and an upbeat counted.
pub fn length(bars: &[Bar]) -> Ticks {
    let upbeat = bars.first().filter(|bar| bar.number == 0);
    let mut whole = upbeat.map_or(Ticks::ZERO, |bar| bar.length);
    play_out(bars, |index, _| {
        whole += bars.get(index).map_or(Ticks::ZERO, |bar| bar.length);
    });
    whole
}

/// Calls `play` for every bar each time that it is played, upbeats left aside, with its index and
/// its position among the bars that are played.
pub fn play_out(bars: &[Bar], mut play: impl FnMut(usize, usize)) {
    let mut position = 0;
    let mut section = |from: usize, to: usize, times: u32| {
        for time in 1..=times {
            for (index, bar) in bars.iter().enumerate().take(to).skip(from) {
                let left_out = match bar.within_ending {
                    Some(1) => times > 1 && time == times,
                    Some(_) => time < times,
                    None => false,
                };
                if !left_out {
                    play(index, position);
                    position += 1;
                }
            }
        }
    };
    let mut begin = usize::from(bars.first().is_some_and(|bar| bar.number == 0));
    for (index, bar) in bars.iter().enumerate() {
        if bar.repeat_start && index > begin {
            section(begin, index, 1);
            begin = index;
        }
        if let Some(times) = bar.repeat_end {
            section(begin, index + 1, times);
            begin = index + 1;
        }
    }
    section(begin, bars.len(), 1);
}
