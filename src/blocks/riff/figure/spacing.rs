//! Where the moments of a line stand: springs that follow durations push them apart, and whatever
//! is written at them keeps its room.
//!
//! A moment stands where the spring before it ends, or further right where what is written at it would run
//! into what stands before it in its lane. So widths follow durations (design section 4) until something has
//! no room, and then only as much gives way as must: beats stay equally wide but for a tab's own density (looks,
//! "Beats"). A bar line stands within the last beat of its bar and has a little air of its own, as much in each bar. One
//! force holds for a whole line, so that equal notes stand equally far apart in it.

use crate::ink::{Pt, pt};
use crate::theory::Ticks;

/// Where something is written at a moment; what is in one lane minds nothing in another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) enum Lane {
    /// What stands on a stave, by its number from the top.
    Stave(usize),
    /// Stems, rests, flags.
    Rhythm,
    /// What a row writes, by the row's label.
    Row(&'static str),
}

/// A lane of one row of several that are laid over each other, of one part of several that sound together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    row: usize,
    part: usize,
    lane: Lane,
}

/// How far something reaches to the left and to the right of its moment's axis.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(in super::super) struct Reach {
    pub left: Pt,
    pub right: Pt,
}

/// A moment of a bar.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Column {
    /// When, counted from the riff's start.
    pub tick: Ticks,
    /// The natural distance to the next moment.
    pub spring: Pt,
    /// The room that each lane needs in which something is written, in the lanes' order.
    reaches: Vec<(Key, Reach)>,
}

/// The room at the moments of a bar in one lane.
pub(super) struct Room<'c> {
    pub columns: &'c mut [Column],
    pub lane: Lane,
}

impl Room<'_> {
    /// Keeps room at a moment, at which something is written.
    pub fn keep(&mut self, tick: Ticks, reach: Reach) {
        let found = self.columns.binary_search_by(|column| column.tick.cmp(&tick));
        if let Some(column) = found.ok().and_then(|found| self.columns.get_mut(found)) {
            column.keep(self.lane, reach);
        }
    }
}

/// Moments that stand together in a line: a bar, or a beat of a bar that no line can hold.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch<'a> {
    /// What takes room of its own before all else: a meter.
    pub front: Pt,
    /// From the bar line to the first moment's axis, where nothing pushes that further.
    pub lead: Pt,
    /// How much of the lead is for what is written at the first moment.
    pub head: Pt,
    /// The moments.
    pub columns: &'a [Column],
    /// What stands behind the last moment's room.
    pub trail: Pt,
    /// Where bar lines stand within the beats, the air that they add to those, before and behind them; `None` where there are
    /// no beats and they have room of their own.
    pub bar_air: Option<Pt>,
    /// What the sign at its end takes more than a single line, where bar lines stand within the beats.
    pub sign: Pt,
}

/// The least distance between words in a lane, in distances between tab lines.
pub(in super::super) const WORD_AIR: f32 = 0.45;

/// The least distance between two things in a lane.
#[derive(Debug, Clone, Copy)]
pub(super) struct Air {
    /// Between fret numbers.
    pub staves: Pt,
    /// Between words.
    pub words: Pt,
}

/// A length that grows with the force in the springs: its value, and how fast it grows.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Growing {
    length: Pt,
    slope: Pt,
}

impl Column {
    /// A moment with nothing written at it.
    pub fn new(tick: Ticks, spring: Pt) -> Column {
        Column { tick, spring, reaches: Vec::new() }
    }

    /// Keeps room in a lane, beside what is kept there already.
    pub fn keep(&mut self, lane: Lane, room: Reach) {
        self.keep_in(Key { row: 0, part: 0, lane }, room);
    }

    /// The same as a moment of a row that is laid over others, counted from a start.
    pub fn of_row(&self, row: usize, start: Ticks) -> Column {
        self.with_keys(self.tick - start, |key| Key { row, ..key })
    }

    /// The same as a moment of one part of several.
    pub fn of_part(&self, part: usize) -> Column {
        self.with_keys(self.tick, |key| Key { part, ..key })
    }

    fn with_keys(&self, tick: Ticks, key: impl Fn(Key) -> Key) -> Column {
        let reaches = self.reaches.iter().map(|(own, reach)| (key(*own), *reach));
        Column { tick, spring: self.spring, reaches: reaches.collect() }
    }

    /// Keeps the room of another row's or part's moment, which stands over it, as well.
    fn join(&mut self, other: Column) {
        other.reaches.into_iter().for_each(|(key, room)| self.keep_in(key, room));
    }

    fn keep_in(&mut self, key: Key, room: Reach) {
        match self.reaches.binary_search_by(|(other, _)| other.cmp(&key)) {
            Ok(place) => {
                let kept = &mut self.reaches[place].1;
                kept.left = kept.left.max(room.left);
                kept.right = kept.right.max(room.right);
            }
            Err(place) => self.reaches.insert(place, (key, room)),
        }
    }
}

/// Takes other moments among rising ones; those of one time stand over each other.
pub(super) fn join(columns: &mut Vec<Column>, others: impl IntoIterator<Item = Column>) {
    for other in others {
        match columns.binary_search_by_key(&other.tick, |here| here.tick) {
            Ok(here) => {
                if let Some(own) = columns.get_mut(here) {
                    own.join(other);
                }
            }
            Err(here) => columns.insert(here, other),
        }
    }
}

impl Air {
    fn of(&self, lane: Lane) -> Pt {
        match lane {
            Lane::Stave(_) | Lane::Rhythm => self.staves,
            Lane::Row(_) => self.words,
        }
    }
}

/// Where each lane's last thing ends, in which there is one, in the lanes' order.
struct Edges {
    ends: Vec<(Key, Growing)>,
    /// Where the whole begins.
    front: Pt,
    /// Where lanes begin that the bar line stands in.
    lead: Pt,
}

impl Edges {
    /// Where a lane is free from.
    fn of(&self, key: Key) -> Growing {
        let found = self.ends.binary_search_by(|(other, _)| other.cmp(&key));
        let found = found.ok().and_then(|place| self.ends.get(place));
        found.map_or_else(|| self.begin(key.lane), |(_, end)| *end)
    }

    /// Words may stand beneath and above the bar line before them, stems beneath it.
    fn begin(&self, lane: Lane) -> Growing {
        match lane {
            Lane::Stave(_) => Growing::fixed(self.front + self.lead),
            Lane::Rhythm | Lane::Row(_) => Growing::fixed(self.front),
        }
    }

    fn move_to(&mut self, key: Key, end: Growing) {
        match self.ends.binary_search_by(|(other, _)| other.cmp(&key)) {
            Ok(place) => self.ends[place].1 = end,
            Err(place) => self.ends.insert(place, (key, end)),
        }
    }
}

impl Growing {
    const fn fixed(length: Pt) -> Growing {
        Growing { length, slope: Pt::ZERO }
    }

    fn plus(self, length: Pt) -> Growing {
        Growing { length: self.length + length, ..self }
    }

    fn max(self, other: Growing) -> Growing {
        if other.length > self.length { other } else { self }
    }
}

impl Stretch<'_> {
    /// How wide it is under a force.
    pub fn width(&self, force: f32, air: Air) -> Pt {
        self.set(force, air, |_, _| ()).length
    }

    /// Whether nothing but the springs sets its moments, and, unless it closes a line, its end.
    pub fn keeps_time(&self, force: f32, air: Air, closes: bool) -> bool {
        // What nobody sees.
        const SLACK: Pt = pt(0.1);
        let mut due = self.front + self.lead;
        let mut springs = self.columns.iter().map(|column| column.spring * force);
        let mut keeps = true;
        let end = self.set(force, air, |_, x| {
            keeps &= x <= due + SLACK;
            due += springs.next().unwrap_or_default();
        });
        keeps && (closes || end.length <= due - self.within() + SLACK)
    }

    /// How much of the last spring lies behind the end: the next bar's lead, but for the air of the bar line and
    /// what its sign takes, is a part of this one's last beat.
    fn within(&self) -> Pt {
        self.bar_air.map_or(-self.trail, |air| self.lead - air - self.sign)
    }

    /// Where it ends whose last moment stands at one axis, if what would follow stood at another.
    pub fn end_between(&self, last: Pt, next: Pt) -> Pt {
        let reaches = self.columns.last().map_or(&[][..], |column| &column.reaches);
        let staves = reaches.iter().filter(|(key, _)| matches!(key.lane, Lane::Stave(_)));
        let right = staves.fold(Pt::ZERO, |right, (_, reach)| right.max(reach.right));
        (next - self.within()).max(last + right + self.trail)
    }

    /// Sets the moments one after the other from 0, calls back with each one's axis, and returns
    /// the width.
    fn set(&self, force: f32, air: Air, mut axis: impl FnMut(Ticks, Pt)) -> Growing {
        let mut edges = Edges { ends: Vec::new(), front: self.front, lead: self.lead - self.head };
        let mut spring_end = Growing::fixed(self.front + self.lead);
        for column in self.columns {
            let mut x = spring_end;
            for (key, reach) in &column.reaches {
                x = x.max(edges.of(*key).plus(reach.left));
            }
            for (key, reach) in &column.reaches {
                edges.move_to(*key, x.plus(reach.right + air.of(key.lane)));
            }
            axis(column.tick, x.length);
            spring_end = Growing {
                length: x.length + column.spring * force,
                slope: x.slope + column.spring,
            };
        }
        let end = spring_end.plus(-self.within());
        edges.ends.into_iter().fold(end, |end, (key, edge)| match key.lane {
            Lane::Stave(_) => end.max(edge.plus(self.trail - air.of(key.lane))),
            Lane::Rhythm | Lane::Row(_) => end.max(edge),
        })
    }
}

/// Sets stretches side by side at a force. Returns each moment's axis and each stretch's right end,
/// counted from 0. What is wider than it may be, since even slack springs need more, is
/// squeezed in proportion.
pub(super) fn lay_within(
    stretches: &[Stretch],
    force: f32,
    widest: Pt,
    air: Air,
) -> (Vec<(Ticks, Pt)>, Vec<Pt>) {
    let (mut axes, mut ends) = lay(stretches, force, air);
    let total = ends.last().copied().unwrap_or_default();
    if total > widest {
        let factor = widest / total;
        axes.iter_mut().for_each(|(_, x)| *x = *x * factor);
        ends.iter_mut().for_each(|x| *x = *x * factor);
    }
    (axes, ends)
}

fn lay(stretches: &[Stretch], force: f32, air: Air) -> (Vec<(Ticks, Pt)>, Vec<Pt>) {
    let (mut axes, mut ends) = (Vec::new(), Vec::new());
    let mut left = Pt::ZERO;
    for stretch in stretches {
        let width = stretch.set(force, air, |tick, x| axes.push((tick, left + x)));
        left += width.length;
        ends.push(left);
    }
    (axes, ends)
}

/// The force at which the stretches fill a width. The width is a convex function of the force (sums and
/// greatest values of straight lines are), made of straight pieces, so that Newton's steps from above never
/// pass the answer and end on its piece.
pub(super) fn force_for(stretches: &[Stretch], width: Pt, air: Air) -> f32 {
    // Each step leaves a piece behind it; a few do, and this many end the search whatever is written.
    const MOST_STEPS: usize = 40;
    let springs: Pt = stretches.iter().flat_map(|s| s.columns).map(|column| column.spring).sum();
    if springs <= Pt::ZERO {
        return 0.0;
    }
    // Springs alone never need more than this, and room only makes a line wider: it is above the answer.
    let mut force = width / springs;
    for _ in 0..MOST_STEPS {
        let whole = stretches.iter().map(|stretch| stretch.set(force, air, |_, _| ()));
        let whole = whole.fold(Growing::fixed(Pt::ZERO), |sum, part| Growing {
            length: sum.length + part.length,
            slope: sum.slope + part.slope,
        });
        let excess = whole.length - width;
        if excess <= pt(0.01) || whole.slope <= Pt::ZERO {
            break;
        }
        let next = (force - excess / whole.slope).max(0.0);
        if next == force {
            break;
        }
        force = next;
    }
    force
}

#[cfg(test)]
mod tests {
    use super::*;

    const AIR: Air = Air { staves: pt(2.0), words: pt(4.0) };

    fn column(tick: u32, spring: f32, rooms: &[(Lane, f32, f32)]) -> Column {
        let mut column = Column::new(Ticks(tick), pt(spring));
        for (lane, left, right) in rooms {
            column.keep(*lane, Reach { left: pt(*left), right: pt(*right) });
        }
        column
    }

    fn bar() -> Vec<Column> {
        vec![
            column(0, 10.0, &[(Lane::Stave(0), 3.0, 3.0), (Lane::Row("chord"), 0.0, 25.0)]),
            column(480, 10.0, &[(Lane::Stave(0), 9.0, 3.0)]),
            column(960, 20.0, &[(Lane::Stave(0), 3.0, 3.0), (Lane::Row("chord"), 0.0, 8.0)]),
        ]
    }

    fn stretch(columns: &[Column]) -> Stretch<'_> {
        let (front, lead, head, trail) = (Pt::ZERO, pt(5.0), pt(3.0), pt(3.0));
        Stretch { front, lead, head, columns, trail, bar_air: Some(pt(2.0)), sign: Pt::ZERO }
    }

    #[test]
    fn bar_lines_take_their_air_and_no_time() {
        let columns = bar();
        let stretch = stretch(&columns);
        let (axes, ends) = lay_within(&[stretch, stretch], 3.0, pt(1000.0), AIR);
        let beats: Vec<f32> = axes.iter().step_by(3).map(|(_, x)| x.0).collect();
        assert_eq!(ends[0], pt(3.0 * 40.0 + 2.0));
        assert!(stretch.keeps_time(3.0, AIR, false) && !stretch.keeps_time(0.1, AIR, true));
        assert_eq!(beats[1] - beats[0], ends[0].0);
        assert_eq!(ends[1], ends[0] * 2.0);
    }

    #[test]
    fn lines_are_filled_to_the_width() {
        let columns = bar();
        let stretch = stretch(&columns);
        for width in [120.0, 200.0, 333.0, 1000.0] {
            let force = force_for(&[stretch, stretch], pt(width), AIR);
            let (axes, ends) = lay_within(&[stretch, stretch], force, pt(width), AIR);
            assert!((ends[1].0 - width).abs() < 0.05, "{ends:?}");
            assert!(axes.windows(2).all(|pair| pair[0].1 < pair[1].1), "{axes:?}");
        }
    }

    #[test]
    fn nothing_collides_while_there_is_room() {
        let columns = bar();
        let stretch = stretch(&columns);
        let (axes, _) = lay(&[stretch], 0.1, AIR);
        let x: Vec<f32> = axes.iter().map(|(_, x)| x.0).collect();
        assert!(x[1] - x[0] >= 3.0 + 2.0 + 9.0);
        assert!(x[2] - x[0] >= 25.0 + 4.0);
    }

    #[test]
    fn what_has_no_room_is_squeezed() {
        let columns = bar();
        let stretch = stretch(&columns);
        let (axes, ends) = lay_within(&[stretch], 0.0, pt(20.0), AIR);
        assert!((ends[0].0 - 20.0).abs() < 0.01);
        assert!(axes.iter().all(|(_, x)| x.0 <= 20.0));
    }
}
