//! Bars that slipped as a whole: a string, a fret or two, or an octave off; or all of a riff by a forgotten
//! capo's fret. For every bar each shift is weighed against what is written, and the likeliest way through
//! all bars is taken (Viterbi's path): a slip that goes on costs nothing more, so a phrase that slipped is
//! one slip.
//!
//! The costs are natural logarithms of chances. Where no source stands beside one it is assumed, to be
//! measured: `cargo test --test it slips` shows what becomes of them.

use super::context::{Line, StringFret, Tone};
use super::repair::Shift;
use super::repetition::{BarOf, Index};
use super::score::{Habits, fit, is_foreign};
use crate::blocks::tab::places::BarPlace;
use crate::neck::StringIndex;
use crate::theory::{Midi, Ticks};
use std::ops::Range;

/// The shifts that are weighed: the moves of the hand note, section 5.4, and two frets, as far as a hand is
/// easily out of its place.
const SHIFTS: [Shift; 9] = [
    Shift::None,
    Shift::Strings(-1),
    Shift::Strings(1),
    Shift::Frets(-1),
    Shift::Frets(1),
    Shift::Frets(-2),
    Shift::Frets(2),
    Shift::Frets(-12),
    Shift::Frets(12),
];

/// Bars with fewer tones say too little.
const TONES: usize = 3;
/// How unlikely a slip is (natural logarithm of its chance), and the end of one. Set on `tests/riffs/tuned`.
const BEGIN: f64 = -2.2;
const END: f64 = -0.4;
/// Two frets, or an octave, slip more seldom than one, and are meant more often.
const TWO_FRETS: f64 = -4.5;
const OCTAVE: f64 = -3.5;
/// The most that the habits of the other bars may say: they all say the same thing again.
const HABIT: f64 = 3.5;
/// So many notes of a bar must be foreign where its chord is only inferred (assumed).
const FOREIGN_WITHOUT_CHORDS: usize = 2;
/// Half steps in an octave.
const OCTAVE_STEPS: i32 = 12;
/// What it is worth that a bar begins with the bass of its chord.
const BASS: f64 = 1.2;
/// What it is worth that a bar is just as another one, as bars seldom are by chance: more than a slip of a
/// string or a fret costs, less than one of two frets or an octave.
const REPEATS: f64 = 5.0;
/// How much each tone's fit counts, and how much its habits: less than one, since the tones of a bar that
/// slipped aren't independent witnesses.
const FIT: f64 = 0.6;
const USUAL: f64 = 0.4;
/// What each half step costs by which the line leaps over a bar line where a shift begins or ends, up to two
/// octaves, and each fret by which the hand jumps there, up to twelve.
const LEAP: f64 = 0.12;
const JUMP: f64 = 0.06;

/// Bars that slipped together.
#[derive(Debug, Clone, PartialEq)]
pub struct Slipped {
    /// The bars' indices.
    pub bars: Range<usize>,
    /// What brings them right.
    pub shift: Shift,
    /// How much likelier they are so: a natural logarithm.
    pub gain: f64,
}

/// The frets that a capo is put on without the slips of a fret or two being as likely. Further up it
/// is seldom put (assumed).
const CAPO: std::ops::RangeInclusive<i16> = 3..=9;
/// In so many bars with chords a capo's fret is heard, where the share of chord tones is greater by so
/// much, and so great in all (hand note, section 5.4; the last two set on `tests/riffs/tuned`).
const CAPO_BARS: usize = 4;
const CAPO_GAIN: f64 = 0.2;
const CAPO_SHARE: f64 = 0.8;
/// By so much it must be greater than a fret beside it makes it.
const CAPO_MARGIN: f64 = 0.1;

/// All bars of a riff, where its frets are written from the nut and its chords from the capo, or the
/// other way round: moved by the capo's fret far more of its time is spent on chord tones.
pub fn capo(line: &Line<'_>) -> Option<Slipped> {
    let has_chord = |bar: &usize| line.in_bar(*bar).iter().any(|tone| tone.chord.is_some());
    let heard = (0..line.bars.len()).filter(has_chord).count();
    let meant = line.tones.iter().any(|tone| tone.meant);
    if line.chords_are_inferred || !line.riff.timed || heard < CAPO_BARS || meant {
        return None;
    }
    let written = chord_share(line, Shift::None)?;
    let mut shares: Vec<(f64, i16)> = CAPO
        .flat_map(|fret| [-fret, fret])
        .filter_map(|by| Some((chord_share(line, Shift::Frets(by))?, by)))
        .collect();
    shares.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (share, by) = *shares.first()?;
    let near = [by - 2, by - 1, by + 1, by + 2];
    let beside = near.iter().filter_map(|by| chord_share(line, Shift::Frets(*by)));
    let beside = beside.fold(written, f64::max);
    let plain = share - written >= CAPO_GAIN && share >= CAPO_SHARE;
    let gain = share - written;
    (plain && share - beside >= CAPO_MARGIN).then_some(Slipped {
        bars: 0..line.bars.len(),
        shift: Shift::Frets(by),
        gain,
    })
}

/// The share of the time under chords that is spent on their tones, were all tones moved; nothing
/// where one would leave the neck.
fn chord_share(line: &Line<'_>, shift: Shift) -> Option<f64> {
    let (mut on_chord, mut all) = (0, 0);
    for tone in &line.tones {
        let pitch = moved(line, tone, shift)?;
        let next = line.beside(tone, 1).first().map_or(Ticks::ZERO, |next| next.time);
        let lasts = next.since(tone.time).0.clamp(1, Ticks::WHOLE.0);
        if let Some(chord) = tone.chord {
            all += u64::from(lasts);
            on_chord += if chord.holds(pitch) { u64::from(lasts) } else { 0 };
        }
    }
    (all > 0).then(|| on_chord as f64 / all as f64)
}

/// The bars of a riff that slipped.
pub fn find(lines: &[Line<'_>], riff: usize, habits: &Habits, index: &Index) -> Vec<Slipped> {
    let Some(line) = lines.get(riff) else { return Vec::new() };
    let bars = line.bars.len();
    let mut best = start();
    let mut came: Vec<Vec<usize>> = Vec::new();
    let mut gains: Vec<Vec<f64>> = Vec::new();
    for bar in 0..bars {
        let own: Vec<f64> =
            SHIFTS.iter().map(|shift| gain(lines, (riff, bar), *shift, habits, index)).collect();
        let ways: Vec<(f64, usize)> =
            (0..SHIFTS.len()).map(|to| arrive(line, bar, &best, to)).collect();
        best = ways.iter().zip(&own).map(|((score, _), own)| score + own).collect();
        came.push(ways.into_iter().map(|(_, from)| from).collect());
        gains.push(own);
    }
    let mut runs = runs(&path(&best, &came), &gains);
    runs.retain(|run| is_borne_out(lines, riff, run, index));
    runs
}

/// Whether more than the fit of a chord speaks for a slip: something in the bars is foreign, or they repeat others
/// without it; of an octave, that they repeat others, or that the line leaps over an octave to them and back.
fn is_borne_out(lines: &[Line<'_>], riff: usize, run: &Slipped, index: &Index) -> bool {
    let Some(line) = lines.get(riff) else { return false };
    let restores = |bar| restores(lines, (riff, bar), run.shift, index);
    let has_foreign = |bar| {
        let foreign = line.in_bar(bar).iter().filter(|tone| is_foreign(line, tone, tone.pitch));
        foreign.count() >= if line.chords_are_inferred { FOREIGN_WITHOUT_CHORDS } else { 1 }
    };
    let mut bars = run.bars.clone();
    match run.shift {
        Shift::Frets(-12 | 12) => bars.any(restores) || leaps_out_and_back(line, run),
        _ => bars.any(|bar| has_foreign(bar) || restores(bar)),
    }
}

/// Whether a bar is just as others over its chord once it is shifted.
fn restores(lines: &[Line<'_>], (riff, bar): BarOf, shift: Shift, index: &Index) -> bool {
    let Some(line) = lines.get(riff) else { return false };
    let instrument = &line.riff.instrument;
    let (strings, last) = (instrument.tuning.len(), instrument.last_fret());
    let place = |tone: &Tone| Some((tone.at, shift.of(tone.place, strings, last)?));
    let places: Option<Vec<_>> = line.in_bar(bar).iter().map(place).collect();
    places.is_some_and(|places| {
        let like = index.like(line, (riff, bar), &places);
        like.iter().any(|like| has_chords_of(lines, *like, line, bar))
    })
}

/// Whether the highest notes leap by more than an octave to bars and from them, so far as anything stands there.
fn leaps_out_and_back(line: &Line<'_>, run: &Slipped) -> bool {
    let top = |tones: &[Tone]| tones.iter().map(|tone| tone.pitch).max();
    let all: Vec<&Tone> = run.bars.clone().flat_map(|bar| line.in_bar(bar)).collect();
    let (Some(first), Some(last)) = (all.first(), all.last()) else { return false };
    let leap = |tone: &Tone, by: isize| {
        let (here, there) = (top(line.together(tone)), top(line.beside(tone, by)));
        here.zip(there).map(|(here, there)| (here - there).abs() > OCTAVE_STEPS)
    };
    let leaps = [leap(first, -1), leap(last, 1)];
    leaps.contains(&Some(true)) && !leaps.contains(&Some(false))
}

fn start() -> Vec<f64> {
    SHIFTS.iter().map(|shift| if *shift == Shift::None { 0.0 } else { f64::NEG_INFINITY }).collect()
}

fn at(scores: &[f64], index: usize) -> f64 {
    scores.get(index).copied().unwrap_or(f64::NEG_INFINITY)
}

fn arrive(line: &Line<'_>, bar: usize, best: &[f64], to: usize) -> (f64, usize) {
    let ways = SHIFTS.iter().enumerate().map(|(from, shift)| {
        let Some(target) = SHIFTS.get(to) else { return (f64::NEG_INFINITY, from) };
        let cost = match (*shift, *target) {
            (from, to) if from == to => 0.0,
            (_, Shift::None) => END,
            (_, Shift::Frets(-12 | 12)) => BEGIN + OCTAVE,
            (_, Shift::Frets(-2 | 2)) => BEGIN + TWO_FRETS,
            _ => BEGIN,
        };
        (at(best, from) + cost + joint(line, bar, *shift, *target), from)
    });
    ways.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0))
}

/// How much better the line runs over the bar line before a bar, where the bars on its two sides
/// are shifted: leaps count against it.
fn joint(line: &Line<'_>, bar: usize, before: Shift, after: Shift) -> f64 {
    if before == after {
        return 0.0;
    }
    let (Some(first), Some(previous)) = (line.in_bar(bar).first(), bar.checked_sub(1)) else {
        return 0.0;
    };
    let Some(last) = line.in_bar(previous).last() else { return 0.0 };
    let top = |tone: &Tone| line.together(tone).iter().max_by_key(|tone| tone.pitch).cloned();
    let (Some(last), Some(first)) = (top(last), top(first)) else { return 0.0 };
    let written = f64::from((first.pitch - last.pitch).abs().min(24));
    let (Some(to), Some(from)) = (moved(line, &first, after), moved(line, &last, before)) else {
        return 0.0;
    };
    let (there, here) = (frets_moved(&last, before), frets_moved(&first, after));
    let jump = |from: i16, to: i16| f64::from((to - from).abs().min(12));
    let [jump_written, jump_moved] = [
        jump(i16::from(last.place.fret), i16::from(first.place.fret)),
        jump(i16::from(last.place.fret) + there, i16::from(first.place.fret) + here),
    ];
    LEAP * (written - f64::from((to - from).abs().min(24))) + JUMP * (jump_written - jump_moved)
}

fn frets_moved(tone: &Tone, shift: Shift) -> i16 {
    // An open string stays where the hand is; one fret or two are no jump.
    match shift {
        Shift::Frets(by) if tone.place.fret.is_pressed() && by.abs() > 2 => by,
        _ => 0,
    }
}

fn moved(line: &Line<'_>, tone: &Tone, shift: Shift) -> Option<Midi> {
    let instrument = &line.riff.instrument;
    line.pitch(shift.of(tone.place, instrument.tuning.len(), instrument.last_fret())?)
}

/// How much likelier a bar is with a shift than as it is written.
fn gain(
    lines: &[Line<'_>],
    (riff, bar): BarOf,
    shift: Shift,
    habits: &Habits,
    index: &Index,
) -> f64 {
    let Some(line) = lines.get(riff) else { return 0.0 };
    let tones = line.in_bar(bar);
    if shift == Shift::None {
        return 0.0;
    }
    if tones.len() < TONES || tones.iter().any(|tone| tone.meant) {
        return f64::NEG_INFINITY;
    }
    let instrument = &line.riff.instrument;
    let first = tones.first().map_or(Ticks::ZERO, |tone| tone.at);
    let lowest = tones.iter().take_while(|tone| tone.at == first).map(|tone| tone.pitch).min();
    let (mut sum, mut usual) = (0.0, 0.0);
    for tone in tones {
        let place = shift.of(tone.place, instrument.tuning.len(), instrument.last_fret());
        let Some((place, pitch)) = place.and_then(|place| Some((place, line.pitch(place)?))) else {
            return f64::NEG_INFINITY;
        };
        sum += FIT * (fit(line, tone, pitch) - fit(line, tone, tone.pitch));
        usual += USUAL * habits.more_usual(tone, place);
        if tone.at == first && Some(tone.pitch) == lowest {
            sum += bass(tone, pitch) - bass(tone, tone.pitch);
        }
    }
    sum += usual.clamp(-HABIT, HABIT);
    sum += if restores(lines, (riff, bar), shift, index) { REPEATS } else { 0.0 };
    sum - if index.twins((riff, bar)) > 0 { REPEATS } else { 0.0 }
}

/// Whether a bar begins over the same chord as another; where chords are inferred they say nothing.
pub fn has_chords_of(lines: &[Line<'_>], like: BarOf, line: &Line<'_>, bar: usize) -> bool {
    let Some(other) = lines.get(like.0) else { return false };
    let chord = |line: &Line<'_>, bar: usize| {
        line.in_bar(bar).first().and_then(|tone| tone.chord).map(|chord| chord.classes)
    };
    line.chords_are_inferred
        || other.chords_are_inferred
        || chord(other, like.1) == chord(line, bar)
}

/// What it is worth that a bar begins with the note that belongs in its chord's bass.
fn bass(tone: &Tone, pitch: Midi) -> f64 {
    let belongs = tone.chord.is_some_and(|chord| chord.bass == pitch.class());
    if belongs { BASS } else { 0.0 }
}

fn path(best: &[f64], came: &[Vec<usize>]) -> Vec<usize> {
    let mut at_end =
        (0..best.len()).max_by(|a, b| at(best, *a).total_cmp(&at(best, *b))).unwrap_or(0);
    let mut path = Vec::new();
    for from in came.iter().rev() {
        path.push(at_end);
        at_end = from.get(at_end).copied().unwrap_or(0);
    }
    path.reverse();
    path
}

/// The stretches of the path with one shift.
fn runs(path: &[usize], gains: &[Vec<f64>]) -> Vec<Slipped> {
    let mut runs: Vec<Slipped> = Vec::new();
    for (bar, state) in path.iter().enumerate() {
        let shift = SHIFTS.get(*state).copied().unwrap_or(Shift::None);
        let gain = gains.get(bar).map_or(0.0, |gains| at(gains, *state));
        match runs.last_mut().filter(|run| run.shift == shift) {
            Some(run) => {
                run.bars.end = bar + 1;
                run.gain += gain;
            }
            None => runs.push(Slipped { bars: bar..bar + 1, shift, gain }),
        }
    }
    runs.retain(|run| run.shift != Shift::None);
    runs
}

/// How much better a bar begins with the note that belongs in its bass once the strings are turned over; asked of the
/// bar's first tone for all that sound with it.
fn bass_turned(line: &Line<'_>, tone: &Tone, turned: &impl Fn(&Tone) -> Option<Midi>) -> f64 {
    let begins = line
        .in_bar(tone.bar)
        .first()
        .is_some_and(|first| (first.at, first.place) == (tone.at, tone.place));
    if !begins {
        return 0.0;
    }
    let together = line.together(tone);
    let written = together.iter().map(|tone| tone.pitch).min();
    let lowest = together.iter().filter_map(turned).min();
    let worth = |pitch: Option<Midi>| pitch.map_or(0.0, |pitch| bass(tone, pitch));
    worth(lowest) - worth(written)
}

/// Where fewer rows stand, nobody writes them in the wrong order (assumed).
const ROWS_TO_TURN: usize = 4;
/// A riff with fewer tones isn't asked whether it is upside down (assumed: two bars of quarters).
const TONES_TO_TURN: usize = 8;
/// So much likelier each tone must be on the average with the strings turned over; the hand note, section 5.4,
/// has 0.3, of another score.
const TURNED: f64 = 0.5;
/// What each half step from tone to tone costs when strings are turned over: what is turned over leaps. Half
/// of [`LEAP`], since here every tone is asked.
const TURNED_LEAP: f64 = -0.06;

/// Whether the riff is likelier turned over: what stands in the lowest row of each system taken for what belongs in
/// its highest.
pub fn is_upside_down(line: &Line<'_>) -> bool {
    if line.tones.len() < TONES_TO_TURN || line.tones.iter().any(|tone| tone.meant) {
        return false;
    }
    let rows = |bar: &BarPlace| line.places.strings_of(bar.system);
    let rows: Vec<Vec<StringIndex>> = line.places.bars.iter().map(rows).collect();
    let most = line.riff.instrument.tuning.len();
    if rows.iter().any(|rows| rows.len() < ROWS_TO_TURN.min(most)) {
        return false;
    }
    let turned_over = |tone: &Tone| {
        let rows = rows.get(tone.bar)?;
        let row = rows.iter().position(|string| *string == tone.place.string)?;
        let string = *rows.iter().rev().nth(row)?;
        line.pitch(StringFret { string, ..tone.place })
    };
    let gains: f64 = line
        .tones
        .iter()
        .filter_map(|tone| {
            let leap =
                |pitch: Midi, before: Midi| TURNED_LEAP * f64::from((pitch - before).abs().min(24));
            let (turned, own) = (turned_over(tone)?, tone.pitch);
            let before = line.nearest(tone, own, -1);
            let run = before.and_then(|before| {
                let turned_before = turned_over(before)?;
                Some(leap(turned, turned_before) - leap(own, before.pitch))
            });
            let bass = bass_turned(line, tone, &turned_over);
            Some(fit(line, tone, turned) - fit(line, tone, own) + run.unwrap_or(0.0) + bass)
        })
        .sum();
    gains > TURNED * line.tones.len() as f64
}
