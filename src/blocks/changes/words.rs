//! The chart in words, for whoever can't see it.

use super::{Bar, Changes, Entry, Says};
use crate::lesson::Setting;
use crate::theory::numeral::Around;
use crate::theory::{Chord, Numeral, Ticks};
use crate::words::ordinal;

/// Describes the chart line by line, bar by bar.
pub(super) fn describe(changes: &Changes, setting: &Setting) -> String {
    let key = setting.key.as_ref();
    let mut around = key.map(|key| changes.around(key)).unwrap_or_default().into_iter();
    let mut analysed = |chord: &Chord| analysed(chord, around.next().unwrap_or_default(), setting);
    let lines = changes.lines().enumerate().map(|(index, bars)| {
        let bars: Vec<String> =
            bars.iter().map(|bar| described(bar, changes.frame, &mut analysed)).collect();
        format!("Line {}: {}.", index + 1, bars.join("; "))
    });
    let frame = changes.frame.then(|| "Empty bars, to be filled in.".to_owned());
    frame.into_iter().chain(lines).collect::<Vec<_>>().join("\n")
}

/// A bar with the signs before and behind it; `analysed` tells its chords in their order.
fn described(bar: &Bar, frame: bool, analysed: &mut impl FnMut(&Chord) -> String) -> String {
    let mut parts = Vec::new();
    if bar.repeat_start.is_some() {
        parts.push("a repeat begins".into());
    }
    let ending = bar.ending.as_ref().map(|ending| usize::from(ending.value));
    parts.extend(ending.map(|ending| format!("{} ending", ordinal(ending))));
    parts.push(match frame {
        true if bar.own_meter => format!("{}, in {}", bar.name(), bar.meter),
        true => bar.name(),
        false => format!("{}, {}", bar.name(), content(bar, analysed)),
    });
    match bar.repeat_end.map(|repeat| repeat.times) {
        Some(2) => parts.push("repeat".into()),
        Some(times) => parts.push(format!("repeat, {times} times in all")),
        None => {}
    }
    if bar.double_end {
        parts.push("double bar".into());
    }
    parts.join("; ")
}

fn content(bar: &Bar, analysed: &mut impl FnMut(&Chord) -> String) -> String {
    let meter = if bar.own_meter { format!("in {}: ", bar.meter) } else { String::new() };
    if bar.again {
        return format!("{meter}the same as the bar before");
    }
    let spoken = bar.entries.iter().filter(|entry| entry.says != Says::Hold);
    let mut entries: Vec<String> = spoken.map(|entry| said(entry, bar, analysed)).collect();
    let goes_on = bar.entries.first().is_none_or(|entry| entry.says == Says::Hold);
    if goes_on {
        entries.insert(0, "the chord goes on".into());
    }
    format!("{meter}{}", entries.join(", "))
}

/// An entry, with its beat where the bar doesn't begin with it.
fn said(entry: &Entry, bar: &Bar, analysed: &mut impl FnMut(&Chord) -> String) -> String {
    let name = entry.name.as_ref().map(|name| format!(", {name}")).unwrap_or_default();
    let what = match &entry.says {
        Says::Chord(chord) => analysed(chord),
        Says::Numeral(numeral) => numeral.printed().text(),
        Says::NoChord => "no chord".into(),
        Says::Unread(text) => text.clone(),
        Says::Hold => String::new(),
    };
    format!("{what}{name}{}", beat(entry.at, bar))
}

/// A chord with its numeral, by those around it.
fn analysed(chord: &Chord, around: Around<'_>, setting: &Setting) -> String {
    let spoken = chord.spoken();
    let numeral = setting.key.as_ref().map(|key| Numeral::within(chord, around, key));
    let figured = |numeral: Numeral| {
        if setting.figured_bass { numeral.figured(chord) } else { numeral }
    };
    match numeral.map(figured) {
        Some(numeral) => format!("{spoken} ({})", numeral.printed().text()),
        None => spoken,
    }
}

/// " on beat 3", or nothing at the bar's beginning.
fn beat(at: Ticks, bar: &Bar) -> String {
    let beat = bar.meter.felt_beat();
    match (at.0 / beat.0.max(1) + 1, at % beat) {
        _ if at == Ticks::ZERO => String::new(),
        (number, Ticks::ZERO) => format!(" on beat {number}"),
        (number, _) => format!(" after beat {number}"),
    }
}
