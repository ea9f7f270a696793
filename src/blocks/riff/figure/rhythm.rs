//! From moments and durations to written note values: how a bar is divided into notes, ties, rests
//! and triplets, and which of them share a beam. Knows no paper.

use super::grid::Grid;
use crate::music::tab::Bar;
use crate::theory::Ticks;

/// A bar as it is written.
#[derive(Debug, Clone, Default)]
pub(super) struct Rhythm {
    /// Notes and rests, rising, without gaps.
    pub signs: Vec<Sign>,
    /// Triplets.
    pub tuplets: Vec<Tuplet>,
}

/// A written note or rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Sign {
    /// When, in the bar.
    pub at: Ticks,
    /// How long it sounds.
    pub length: Ticks,
    /// Its value as written.
    pub value: Value,
    /// What it is.
    pub kind: Kind,
    /// The beam that it hangs on, counted through the bar; `None` stands alone.
    pub beam: Option<usize>,
}

/// What a sign is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A note; whether it is tied to the next sign or over the bar line.
    Note {
        /// Whether a tie leads on from it.
        tied: bool,
    },
    /// A rest.
    Rest,
    /// A whole bar's silence, whatever the meter.
    WholeBarRest,
}

/// A note value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Value {
    /// How often a whole note is halved: 0 whole, 1 half, 2 quarter, 3 eighth.
    pub halvings: u8,
    /// Whether a dot lengthens it by half.
    pub dotted: bool,
}

/// Notes in the time of fewer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tuplet {
    /// From when, in the bar.
    pub from: Ticks,
    /// Until when.
    pub to: Ticks,
    /// The number that is written: 3, or 6 for six equal notes.
    pub number: u8,
}

/// A stretch of sound or silence within a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stretch {
    from: Ticks,
    to: Ticks,
    sounds: bool,
    /// Whether the sound goes on past its end.
    goes_on: bool,
}

impl Value {
    /// The shortest value that is written, a 256th.
    const MOST_HALVINGS: u8 = 8;

    /// The value of a length, where one plain or dotted note has it.
    pub fn of(length: Ticks) -> Option<Value> {
        (0..=Value::MOST_HALVINGS).find_map(|halvings| {
            let plain = Ticks::WHOLE.0 >> halvings;
            let dotted = length.0 == plain + plain / 2;
            (length.0 == plain || dotted).then_some(Value { halvings, dotted })
        })
    }

    /// The longest plain value that a length has room for.
    fn within(length: Ticks) -> Value {
        let halvings = (0..Value::MOST_HALVINGS).find(|h| Ticks::WHOLE.0 >> h <= length.0);
        Value { halvings: halvings.unwrap_or(Value::MOST_HALVINGS), dotted: false }
    }

    /// How many flags or beams it has.
    pub fn flags(self) -> u8 {
        self.halvings.saturating_sub(2)
    }
}

impl Rhythm {
    /// Writes a bar whose first moment still sounds from the bar before until `held`.
    pub fn of(bar: &Bar, held: Ticks) -> Rhythm {
        let grid = Grid::of(bar.meter, bar.length);
        let stretches = stretches(bar, held);
        if let [silence] = stretches.as_slice()
            && !silence.sounds
        {
            return Rhythm { signs: vec![whole_bar_rest(bar.length)], tuplets: Vec::new() };
        }
        let tuplets = tuplets(&stretches, &grid);
        let mut signs = Vec::new();
        for stretch in &stretches {
            write_around_tuplets(*stretch, &tuplets, &grid, &mut signs);
        }
        let tuplets = tuplets.into_iter().map(|tuplet| numbered(tuplet, &signs)).collect();
        beam(&mut signs, &grid);
        Rhythm { signs, tuplets }
    }
}

fn whole_bar_rest(length: Ticks) -> Sign {
    let value = Value { halvings: 0, dotted: false };
    Sign { at: Ticks::ZERO, length, value, kind: Kind::WholeBarRest, beam: None }
}

/// The bar as sounds and silences without gaps.
fn stretches(bar: &Bar, held: Ticks) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut add = |from: Ticks, to: Ticks, sounds: bool, goes_on: bool| {
        if from < to {
            stretches.push(Stretch { from, to, sounds, goes_on });
        }
    };
    add(Ticks::ZERO, held.min(bar.length), true, held > bar.length);
    let mut silent_from = held.min(bar.length);
    for event in &bar.events {
        let at = event.at.min(bar.length);
        add(silent_from, at, false, false);
        let end = event.at + event.duration;
        add(at, end.min(bar.length), true, end > bar.length);
        silent_from = end.min(bar.length).max(at);
    }
    add(silent_from, bar.length, false, false);
    stretches
}

/// The beats that are divided by three, and pairs of beats that hold three equal notes.
fn tuplets(stretches: &[Stretch], grid: &Grid) -> Vec<Tuplet> {
    let beat = grid.beat();
    let mut tuplets: Vec<Tuplet> = Vec::new();
    for edge in stretches.iter().map(|stretch| stretch.from) {
        if grid.is_binary(edge) {
            continue;
        }
        let from = grid.beat_start(edge);
        let known = tuplets.last().is_some_and(|last| last.to > from);
        if known {
            continue;
        }
        let pair = grid.pair_start(from).filter(|start| is_broad(stretches, *start, beat));
        let (from, beats) = pair.map_or((from, 1), |start| (start, 2));
        tuplets.push(Tuplet { from, to: (from + beat * beats).min(grid.length()), number: 3 });
    }
    tuplets
}

/// Whether three equal notes fill two beats from a moment on.
fn is_broad(stretches: &[Stretch], start: Ticks, beat: Ticks) -> bool {
    let end = start + beat * 2;
    let first = stretches.partition_point(|stretch| stretch.from < start);
    let inner = stretches.iter().skip(first).take_while(|stretch| stretch.from < end);
    let edges: Vec<Ticks> = inner.map(|stretch| stretch.from - start).collect();
    edges == [Ticks::ZERO, beat * 2 / 3, beat * 4 / 3]
}

/// Writes a stretch, cut where triplets begin and end.
fn write_around_tuplets(stretch: Stretch, tuplets: &[Tuplet], grid: &Grid, signs: &mut Vec<Sign>) {
    let mut from = stretch.from;
    let first = tuplets.partition_point(|tuplet| tuplet.to <= stretch.from);
    for tuplet in tuplets.iter().skip(first).take_while(|tuplet| tuplet.from < stretch.to) {
        let before = from.max(tuplet.from);
        write(part(stretch, from, before), grid, signs);
        from = tuplet.to.min(stretch.to);
        write_in_tuplet(part(stretch, before, from), *tuplet, signs);
    }
    write(part(stretch, from, stretch.to), grid, signs);
}

/// A piece of a stretch; the sound goes on after every piece but the last.
fn part(stretch: Stretch, from: Ticks, to: Ticks) -> Stretch {
    let goes_on = stretch.sounds && (stretch.goes_on || to < stretch.to);
    Stretch { from, to, sounds: stretch.sounds, goes_on }
}

/// Writes a stretch as few signs as show the meter.
fn write(stretch: Stretch, grid: &Grid, signs: &mut Vec<Sign>) {
    let mut open = vec![stretch];
    while let Some(next) = open.pop() {
        if next.from >= next.to {
            continue;
        }
        let length = next.to - next.from;
        let clear = grid.shows_meter(next.from, next.to, next.sounds);
        if let Some(value) = Value::of(length).filter(|value| clear(*value)) {
            signs.push(sign(next, value));
            continue;
        }
        match grid.cut(next.from, next.to) {
            Some(cut) => {
                open.push(part(next, cut, next.to));
                open.push(part(next, next.from, cut));
            }
            None => signs.push(sign(next, Value::within(length))),
        }
    }
}

/// Writes a stretch inside a triplet, whose notes look half as long again as they are.
fn write_in_tuplet(stretch: Stretch, tuplet: Tuplet, signs: &mut Vec<Sign>) {
    let third = (tuplet.to - tuplet.from) / 3;
    let mut from = stretch.from;
    while from < stretch.to {
        let whole = stretch.to - from;
        let looks = |length: Ticks| Value::of(length * 3 / 2);
        let to_third = third - (from - tuplet.from) % third;
        let length = if looks(whole).is_some() { whole } else { whole.min(to_third) };
        let value = looks(length).unwrap_or(Value::within(length * 3 / 2));
        signs.push(sign(part(stretch, from, from + length), value));
        if length == Ticks::ZERO {
            return;
        }
        from += length;
    }
}

fn sign(stretch: Stretch, value: Value) -> Sign {
    let kind = if stretch.sounds { Kind::Note { tied: stretch.goes_on } } else { Kind::Rest };
    Sign { at: stretch.from, length: stretch.to - stretch.from, value, kind, beam: None }
}

/// A triplet under its number: six equal notes are a 6.
fn numbered(tuplet: Tuplet, signs: &[Sign]) -> Tuplet {
    let first = signs.partition_point(|sign| sign.at < tuplet.from);
    let inner = signs.iter().skip(first).take_while(|sign| sign.at < tuplet.to);
    let sixth = (tuplet.to - tuplet.from) / 6;
    let sixths = inner.filter(|sign| sign.length == sixth).count();
    Tuplet { number: if sixths == 6 { 6 } else { 3 }, ..tuplet }
}

/// Hangs neighbouring short notes of one beat on a beam.
fn beam(signs: &mut [Sign], grid: &Grid) {
    let mut beam = 0;
    let beamed = |sign: &Sign| matches!(sign.kind, Kind::Note { .. }) && sign.value.flags() > 0;
    let together =
        |a: &Sign, b: &Sign| beamed(a) && beamed(b) && grid.group(a.at) == grid.group(b.at);
    for run in signs.chunk_by_mut(together) {
        if run.len() > 1 {
            run.iter_mut().for_each(|sign| sign.beam = Some(beam));
            beam += 1;
        }
    }
}
