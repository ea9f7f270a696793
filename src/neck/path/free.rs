//! Places for a passage whose pitches are known: which strings, frets and fingers, so that the hand
//! moves least.
//!
//! Every way to play a moment is tried with every grip that takes it. The costs are those of given
//! strings and frets, and with them what it costs to cross strings, to go up the neck, and to let an
//! open string ring beside high frets (optimum path as before; weights assumed, to be measured). Open
//! strings need no finger, so the last grip is carried over them.

use super::grips::{Grip, Grips, LOW_FIRST};
use super::travel::Travel;
use super::{BROKEN, Joint, LEAST_STEP, Layer, Moment, Stop, step};
use crate::neck::{Finger, Fret, Hand, Neck};
use std::collections::BTreeMap;
use std::time::Duration;

/// What sounds at one moment, its place on the neck still open.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choice {
    /// The time since the moment before; zero where it is not known, or is no time at all.
    pub since: Duration,
    /// Every way to play it: for each note its place. The notes stand in the same order in all ways.
    pub ways: Vec<Vec<Stop>>,
    /// For each note the note of the moment before that it is joined to, and so shares a string with.
    pub links: Vec<Option<usize>>,
    /// Whether what sounded before rings on into this moment.
    pub rings: bool,
}

/// The best place for a passage.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// For each moment the place of each note with its finger; empty where there was no way.
    pub stops: Vec<Vec<Stop>>,
    /// How hard it is in all.
    pub cost: f64,
}

/// Finds the best place for a passage: near a fret, where one is named. It is exact where a moment
/// has no more than `MOST_GRIPS` grips and no more than `MOST_CARRIED` are carried over open
/// strings.
pub fn places(choices: &[Choice], near: Option<Fret>, neck: &Neck, hand: Hand) -> Placed {
    let moments: Vec<Vec<Moment>> = choices.iter().map(Choice::moments).collect();
    let travel = Travel::over(&moments.concat(), neck);
    let grips = Grips::new(neck, hand);
    let mut search =
        Search { choices, moments: &moments, travel, grips, near, times: times(choices) };
    let columns = search.columns();
    search.cheapest(&columns)
}

/// The grips of one moment that are followed, the easiest first: far more than a single note (about 24) or
/// a chord on given strings (10) has, so that only chords of free strings are cut short.
const MOST_GRIPS: usize = 200;
/// The grips that are carried over an open string, the cheapest first: about two notes' worth, so that the
/// work grows with the passage and no faster.
const MOST_CARRIED: usize = 48;

/// What a string more between two notes costs, and each beyond the first, which is skipped (hand note
/// section 3.2).
const CROSSED: f64 = 0.04;
const SKIPPED: f64 = 0.06;
/// What an open string costs, and each fret over the third that the hand is up the neck, where its tone
/// stands out from the fretted ones (hand note section 3.2).
const OPEN: f64 = 0.02;
const OPEN_HIGH_UP: f64 = 0.08;
/// What each fret up the neck costs a grip of several fingers: as much as it costs a single finger's
/// ([`super::grips`]), since strain alone would lead up to where frets are narrow.
const UP_THE_NECK: f64 = LOW_FIRST;
/// What a fret costs that the hand is away from where it is wanted: five of them about as much as an easy
/// shift (assumed, to be measured).
const AWAY: f64 = 0.15;
/// Up to this fret the hand is beside the nut, where open strings are at home.
const LOW: Fret = Fret::new(3);
/// What it costs to stop a note that should ring on: more than an unhurried shift over the whole neck, less
/// than a broken joint (assumed, to be measured).
const RINGING_CUT: f64 = 2.0;

impl Choice {
    /// Each way as what sounds at a moment.
    fn moments(&self) -> Vec<Moment> {
        let moment =
            |way: &Vec<Stop>| Moment { since: self.since, stops: way.clone(), ringing: Vec::new() };
        self.ways.iter().map(moment).collect()
    }
}

/// When each moment is, counted from the first.
fn times(choices: &[Choice]) -> Vec<Duration> {
    let mut time = Duration::ZERO;
    let since = choices.iter().map(|choice| {
        time = time.saturating_add(choice.since);
        time
    });
    since.collect()
}

/// A way to play a moment, and what the hand holds then.
#[derive(Debug, Clone, Copy)]
struct State {
    way: usize,
    /// The grip, and the moment at which it was taken; none before anything is fretted.
    held: Option<(usize, Grip)>,
    /// Which of the grips of that moment it is.
    number: usize,
    cost: f64,
    /// The state before it, by its index.
    before: usize,
}

/// A moment that can be played, with the states that it may be in.
struct Column {
    at: usize,
    states: Vec<State>,
}

struct Search<'c> {
    choices: &'c [Choice],
    moments: &'c [Vec<Moment>],
    travel: Travel,
    grips: Grips<'c>,
    near: Option<Fret>,
    times: Vec<Duration>,
}

impl Search<'_> {
    fn columns(&mut self) -> Vec<Column> {
        let mut columns: Vec<Column> = Vec::new();
        for at in 0..self.choices.len() {
            let mut states = self.open_states(at, columns.last());
            states.extend(self.gripped_states(at, columns.last()));
            if !states.is_empty() {
                columns.push(Column { at, states });
            }
        }
        columns
    }

    fn way(&self, at: usize, way: usize) -> &[Stop] {
        let moment = self.moments.get(at).and_then(|ways| ways.get(way));
        moment.map_or(&[], |moment| &moment.stops)
    }

    /// The states in which only open strings sound, so that the hand holds what it held.
    fn open_states(&self, at: usize, before: Option<&Column>) -> Vec<State> {
        let ways = self.moments.get(at).into_iter().flatten().enumerate();
        let mut cheapest: BTreeMap<(usize, Option<usize>, usize), State> = BTreeMap::new();
        for (way, moment) in ways.filter(|(_, moment)| is_open(&moment.stops)) {
            let start = State { way, held: None, number: 0, cost: 0.0, before: 0 };
            let Some(before) = before else {
                let cost = self.open_cost(&moment.stops, None);
                cheapest.insert((way, None, 0), State { cost, ..start });
                continue;
            };
            for (index, from) in before.states.iter().enumerate() {
                let place = from.held.map(|(_, grip)| grip.place);
                let cost = from.cost
                    + self.open_cost(&moment.stops, place)
                    + self.crossing(before.at, from.way, at, way);
                let state = State { way, before: index, cost, ..*from };
                let key = (way, from.held.map(|(moment, _)| moment), from.number);
                let known = cheapest.entry(key).or_insert(state);
                if cost < known.cost {
                    *known = state;
                }
            }
        }
        let mut states: Vec<State> = cheapest.into_values().collect();
        states.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        states.truncate(MOST_CARRIED);
        states
    }

    /// The states in which the hand takes a grip at this moment.
    fn gripped_states(&mut self, at: usize, before: Option<&Column>) -> Vec<State> {
        let grips = self.grips_at(at);
        let mut states = Vec::with_capacity(grips.len());
        for (number, (way, grip)) in grips.into_iter().enumerate() {
            let own = self.own_cost(at, way, &grip);
            let mut best = (f64::INFINITY, 0);
            match before {
                None => best.0 = 0.0,
                Some(before) => {
                    for (index, from) in before.states.iter().enumerate() {
                        // No step costs less than this, so most ways need no look.
                        if from.cost + LEAST_STEP < best.0 {
                            let cost = from.cost + self.change(before.at, from, at, way, &grip);
                            if cost < best.0 {
                                best = (cost, index);
                            }
                        }
                    }
                }
            }
            let (cost, before) = (best.0 + own, best.1);
            states.push(State { way, held: Some((at, grip)), number, cost, before });
        }
        states
    }

    /// The ways to play a moment that press something, each with its grips.
    fn grips_at(&mut self, at: usize) -> Vec<(usize, Grip)> {
        let ways = self.moments.get(at).into_iter().flatten().enumerate();
        let mut found: Vec<(usize, Grip)> = Vec::new();
        for (way, moment) in ways.filter(|(_, moment)| !is_open(&moment.stops)) {
            let grips = self.grips.of(moment);
            found.extend(grips.into_iter().map(|grip| (way, grip)));
        }
        // A grip without fingers is none: the hand can't take that way.
        found.retain(|(_, grip)| !self.grips.presses(grip).is_empty());
        if found.len() > MOST_GRIPS {
            found.sort_by(|(way, a), (other, b)| {
                self.own_cost(at, *way, a).total_cmp(&self.own_cost(at, *other, b))
            });
            found.truncate(MOST_GRIPS);
        }
        found
    }

    /// What a grip costs whatever comes before it.
    fn own_cost(&self, at: usize, way: usize, grip: &Grip) -> f64 {
        let several = self.grips.presses(grip).len() > 1;
        let up = if several { UP_THE_NECK * f64::from(grip.place) } else { 0.0 };
        let open = self.way(at, way).iter().filter(|stop| stop.fret.is_open()).count();
        let rings = open as f64 * open_string(Some(grip.place));
        // Only given fingers that the hand can't hold so cost nothing; a place where it can is better.
        let up = if several && grip.cost == 0.0 { up + BROKEN } else { up };
        grip.cost + up + rings + AWAY * f64::from(self.away(grip.place))
    }

    /// How many frets the index finger is away from where it is wanted.
    fn away(&self, place: Fret) -> u8 {
        self.near.map_or(0, |near| place.abs_diff(near.max(Fret::FIRST)))
    }

    /// What open strings cost whatever comes before them. Where a place beyond the third fret is asked for,
    /// they are as far from it as the hand would be.
    fn open_cost(&self, stops: &[Stop], place: Option<Fret>) -> f64 {
        let away = AWAY * f64::from(self.near.unwrap_or(Fret::OPEN).above(LOW));
        stops.len() as f64 * (open_string(place) + away)
    }

    /// What it costs to go from a state to a grip.
    fn change(&self, from_at: usize, from: &State, at: usize, way: usize, grip: &Grip) -> f64 {
        let crossing = self.crossing(from_at, from.way, at, way);
        let moment = self.moments.get(at).and_then(|ways| ways.get(way));
        let (Some((held_at, held)), Some(moment)) = (from.held, moment) else { return crossing };
        let time = |at: usize| self.times.get(at).copied().unwrap_or_default();
        let layer = Layer {
            at,
            moment,
            since: time(at).saturating_sub(time(held_at)),
            freed: held_at != from_at,
            grips: Vec::new(),
        };
        crossing + step(&held, grip, &layer, &self.grips, &self.travel)
    }

    /// What it costs to cross strings between two moments, to break joints, and to stop what rings.
    fn crossing(&self, from_at: usize, from: usize, at: usize, way: usize) -> f64 {
        let (before, after) = (self.way(from_at, from), self.way(at, way));
        let top = |stops: &[Stop]| stops.iter().map(|stop| stop.string).max();
        let crossed = match (top(before), top(after)) {
            (Some(from), Some(to)) => from.abs_diff(to),
            _ => 0,
        };
        let cost = CROSSED * crossed as f64 + SKIPPED * crossed.saturating_sub(1) as f64;
        let Some(choice) = self.choices.get(at) else { return cost };
        let linked = |note: usize| {
            let link = choice.links.get(note).copied().flatten().filter(|_| from_at + 1 == at);
            link.and_then(|link| before.get(link))
        };
        let stops = || after.iter().enumerate();
        let broken = stops()
            .filter_map(|(note, stop)| Some((linked(note)?, stop)))
            .filter(|(from, stop)| !is_joined(from, stop));
        let cut = stops().filter(|(note, stop)| {
            choice.rings
                && linked(*note).is_none()
                && before.iter().any(|old| old.string == stop.string && old.fret != stop.fret)
        });
        cost + BROKEN * broken.count() as f64 + RINGING_CUT * cut.count() as f64
    }

    /// Follows the cheapest state back from the last moment to the first.
    fn cheapest(&self, columns: &[Column]) -> Placed {
        let mut placed = Placed { stops: vec![Vec::new(); self.choices.len()], cost: 0.0 };
        let last = columns.last().map(|column| column.states.iter().enumerate());
        let end = last.and_then(|states| states.min_by(|(_, a), (_, b)| a.cost.total_cmp(&b.cost)));
        let Some((mut index, end)) = end else { return placed };
        placed.cost = end.cost;
        for column in columns.iter().rev() {
            let Some(state) = column.states.get(index) else { break };
            if let Some(stops) = placed.stops.get_mut(column.at) {
                *stops = self.fingered(column.at, state);
            }
            index = state.before;
        }
        placed
    }

    fn fingered(&self, at: usize, state: &State) -> Vec<Stop> {
        let grip = state.held.filter(|(held_at, _)| *held_at == at).map(|(_, grip)| grip);
        let finger = |stop: &Stop| -> Option<Finger> {
            let presses = self.grips.presses(grip.as_ref()?).iter();
            let mut over = presses.filter(|press| press.covers(stop.string));
            over.find(|press| press.fret == stop.fret).map(|press| press.finger)
        };
        let stops = self.way(at, state.way).iter();
        stops.map(|stop| Stop { finger: finger(stop), ..*stop }).collect()
    }
}

fn is_open(stops: &[Stop]) -> bool {
    !stops.is_empty() && stops.iter().all(|stop| stop.fret.is_open())
}

fn open_string(place: Option<Fret>) -> f64 {
    OPEN + OPEN_HIGH_UP * f64::from(place.unwrap_or(Fret::OPEN).above(LOW))
}

/// Whether a joint leads from one place to another: along the string, and where one finger makes
/// it, from fret to fret.
fn is_joined(from: &Stop, to: &Stop) -> bool {
    let fretted = from.fret.is_pressed() && to.fret.is_pressed();
    from.string == to.string && (to.joint != Joint::SameFinger || fretted)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::neck::{Instrument, StringIndex, by_string};
    use proptest::prelude::*;

    const OPEN_STRINGS: [i32; 6] = [40, 45, 50, 55, 59, 64];

    fn stop(string: StringIndex, fret: i32, joint: Joint) -> Option<Stop> {
        let fret = Fret::checked(fret).filter(|fret| *fret <= Fret::new(19))?;
        Some(Stop { string, fret, finger: None, joint })
    }

    /// All ways to play one or two pitches.
    fn ways(pitches: &[i32], joint: Joint) -> Vec<Vec<Stop>> {
        let on = |pitch: i32| -> Vec<Stop> {
            by_string(&OPEN_STRINGS)
                .filter_map(|(string, open)| stop(string, pitch - open, joint))
                .collect()
        };
        match pitches {
            [one] => on(*one).into_iter().map(|stop| vec![stop]).collect(),
            [one, other] => {
                let both =
                    on(*one).into_iter().flat_map(|a| on(*other).into_iter().map(move |b| [a, b]));
                both.filter(|[a, b]| a.string != b.string).map(Vec::from).collect()
            }
            _ => Vec::new(),
        }
    }

    fn choice(pitches: &[i32], joined: bool) -> Choice {
        let joint = if joined { Joint::OtherFinger } else { Joint::Struck };
        let mut links = vec![None; pitches.len()];
        links[0] = joined.then_some(0);
        Choice {
            since: Duration::from_millis(250),
            ways: ways(pitches, joint),
            links,
            rings: false,
        }
    }

    fn neck() -> Neck {
        Neck::of(&Instrument::guitar())
    }

    fn found(choices: &[Choice], near: Option<Fret>) -> Placed {
        places(choices, near, &neck(), Hand::MEDIUM)
    }

    /// The least cost over every choice of ways, each with no other way beside it.
    fn exhaustive(choices: &[Choice], near: Option<Fret>) -> f64 {
        let mut single: Vec<Vec<Choice>> = vec![Vec::new()];
        for choice in choices {
            let mut longer = Vec::new();
            for passage in &single {
                for way in &choice.ways {
                    let one = Choice { ways: vec![way.clone()], ..choice.clone() };
                    longer.push([passage.as_slice(), &[one]].concat());
                }
            }
            single = longer;
        }
        let whole = |placed: &Placed| placed.stops.iter().all(|stops| !stops.is_empty());
        let costs = single.iter().map(|passage| found(passage, near)).filter(whole);
        costs.map(|placed| placed.cost).fold(f64::INFINITY, f64::min)
    }

    fn line(pitches: &[i32]) -> Vec<Choice> {
        pitches.iter().map(|pitch| choice(&[*pitch], false)).collect()
    }

    fn written(placed: &Placed) -> String {
        let on = |stop: &Stop| {
            let finger = stop.finger.map_or('0', Finger::sign);
            format!("{}:{}.{finger}", 6 - stop.string.index(), stop.fret)
        };
        let moment = |stops: &Vec<Stop>| stops.iter().map(on).collect::<Vec<_>>().join("+");
        placed.stops.iter().map(moment).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn textbook_scales_lie_where_they_are_taught() {
        for (pitches, near, wanted) in [
            // C major from the fifth string in the open position.
            (
                &[48, 50, 52, 53, 55, 57, 59, 60][..],
                None,
                "5:3.3 4:0.0 4:2.2 4:3.3 3:0.0 3:2.2 2:0.0 2:1.1",
            ),
            // A minor pentatonic in the fifth position.
            (&[45, 48, 50, 52, 55, 57][..], Some(5), "6:5.1 6:8.4 5:5.1 5:7.3 4:5.1 4:7.3"),
        ] {
            assert_eq!(written(&found(&line(pitches), near.map(Fret::new))), wanted);
        }
    }

    #[test]
    fn a_moment_without_a_way_is_passed_over() {
        let mut choices = line(&[60, 62, 64]);
        choices[1].ways.clear();
        let placed = found(&choices, None);
        let lengths: Vec<usize> = placed.stops.iter().map(Vec::len).collect();
        assert_eq!(lengths, [1, 0, 1]);
        assert_eq!(found(&[], None).cost, 0.0);
    }

    fn passage() -> impl Strategy<Value = Vec<Choice>> {
        let single = (45_i32..76, any::<bool>()).prop_map(|(pitch, joined)| (vec![pitch], joined));
        let double = (48_i32..72, 3_i32..10).prop_map(|(low, up)| (vec![low, low + up], false));
        prop::collection::vec(prop_oneof![4 => single, 1 => double], 1..5).prop_map(|notes| {
            let mut last = 0;
            let mut choices = Vec::new();
            for (pitches, joined) in notes {
                choices.push(choice(&pitches, joined && last == 1));
                last = pitches.len();
            }
            choices
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_passage_costs_more_than_trying_every_way(choices in passage(), near in prop::option::of(0_u8..12)) {
            let near = near.map(Fret::new);
            let cost = found(&choices, near).cost;
            let least = exhaustive(&choices, near);
            prop_assert!((cost - least).abs() < 1e-9, "{cost} not {least}");
        }

        #[test]
        fn joined_notes_share_a_string(low in 45_i32..70, steps in 1_i32..4) {
            let choices = [choice(&[low], false), choice(&[low + steps], true)];
            let placed = found(&choices, None);
            prop_assert_eq!(placed.stops[0][0].string, placed.stops[1][0].string);
        }
    }
}
