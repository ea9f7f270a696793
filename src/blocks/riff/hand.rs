//! The fretting hand over a riff: fingers for the notes that have none written, and doubts where the
//! hand can't hold what sounds together, or can't get there in time.

mod held_down;
mod picked;

pub use picked::Shapes;

use super::rows::carry_fingers;
use crate::blocks::hold::{beyond, with_ways_out};
use crate::blocks::tab::Tab;
use crate::blocks::tab::places::Places;
use crate::findings::hand::{CAUTION, ShapePlace, called};
use crate::findings::rules::{jump, reach, stretch};
use crate::findings::{Finding, Findings, Span};
use crate::lesson::Setting;
use crate::music::performance::{Pace, Performance};
use crate::music::tab::{Bar, Event, Joint, Note, Riff, Sound};
use crate::neck::hold::{self, Breach};
use crate::neck::path::{self, Leap, Moment, Path, Stop};
use crate::neck::{Finger, Fret, Hand, Neck, Posture, StringIndex};
use crate::theory::Ticks;
use std::collections::HashSet;
use std::time::Duration;

/// Plucked notes, the thumb behind the neck.
const PLUCKED: Posture = Posture { thumb: false, strum: false };

/// Works out the fingers of a riff where they are not written, and raises `finger-count`,
/// `finger-crossing`, `reach`, `stretch` and `jump`.
pub(super) fn work_out(
    tab: &mut Tab,
    setting: &Setting,
    shapes: &Shapes<'_>,
    findings: &mut Findings,
) {
    let Tab { riff, places } = tab;
    let pace = riff.pace(setting);
    let mut score = Score::of(&Performance::as_written(riff, pace));
    picked::hold(&mut score, riff, setting.hand, shapes);
    let neck = Neck::of(&riff.instrument);
    let path = path::fingers(&score.moments, &neck, setting.hand);
    let (score, path, neck, hand) = (&score, &path, &neck, setting.hand);
    let check = Check { riff, places, score, path, neck, hand, pace };
    check.chords(findings);
    check.held_down(findings);
    check.jumps(findings);
    check.seams(findings);
    fill(&mut riff.bars, score, path);
    let events = riff.bars.iter_mut().flat_map(|bar| &mut bar.events);
    carry_fingers(events.flat_map(|event| &mut event.notes));
}

/// Where a stop of the passage stands in the riff.
#[derive(Debug, Clone, Copy)]
struct Spot {
    bar: usize,
    event: usize,
    note: usize,
    /// The grace note, by its index; `None` is the note itself.
    grace: Option<usize>,
}

/// A riff as the fretting hand meets it.
#[derive(Debug, Default)]
struct Score {
    moments: Vec<Moment>,
    /// For each moment where its stops stand.
    spots: Vec<Vec<Spot>>,
    /// For each moment its bar and its time.
    times: Vec<(usize, Duration)>,
}

impl Score {
    fn of(performance: &Performance) -> Score {
        let mut score = Score::default();
        // String, fret, and until when it rings.
        let mut ringing: Vec<(StringIndex, Fret, Ticks)> = Vec::new();
        let mut before = Duration::ZERO;
        for stroke in performance.strokes() {
            ringing.retain(|(_, _, end)| *end > stroke.start);
            let held = ringing.iter().map(|(string, fret, _)| (*string, *fret)).collect();
            let time = performance.time(stroke.start);
            let since = time.saturating_sub(before);
            score.add(stroke.pass.index, stroke.index, stroke.event, since, held);
            score.times.resize(score.moments.len(), (stroke.pass.index, time));
            for note in &stroke.event.notes {
                let end = performance.rings(&stroke, note.string);
                let held = end.and_then(|end| Some((stops(note).last()?.0.fret, end)));
                ringing.extend(held.map(|(fret, end)| (note.string, fret, end)));
            }
            before = time;
        }
        score
    }

    /// Adds an event: its grace notes one after the other, then its notes.
    fn add(
        &mut self,
        bar: usize,
        index: usize,
        event: &Event,
        since: Duration,
        ringing: Vec<(StringIndex, Fret)>,
    ) {
        let mut last = (Moment { ringing, ..Moment::default() }, Vec::new());
        let mut graces: Vec<(Stop, Spot)> = Vec::new();
        for (at, note) in event.notes.iter().enumerate() {
            let spot = |grace| Spot { bar, event: index, note: at, grace };
            let mut stops = stops(note);
            if let Some((stop, grace)) = stops.pop() {
                last.0.stops.push(stop);
                last.1.push(spot(grace));
            }
            graces.extend(stops.into_iter().map(|(stop, grace)| (stop, spot(grace))));
        }
        let graces = graces.into_iter().map(|(stop, spot)| {
            let ringing = last.0.ringing.clone();
            (Moment { stops: vec![stop], ringing, ..Moment::default() }, vec![spot])
        });
        let mut added: Vec<(Moment, Vec<Spot>)> = graces.collect();
        added.push(last);
        if let Some((first, _)) = added.first_mut() {
            first.since = since;
        }
        let (moments, spots): (Vec<Moment>, Vec<Vec<Spot>>) = added.into_iter().unzip();
        self.moments.extend(moments);
        self.spots.extend(spots);
    }
}

/// The stops of a note and its grace notes, in order. What is bent or let down is held where it
/// was; what is tapped is the other hand's.
fn stops(note: &Note) -> Vec<(Stop, Option<usize>)> {
    let graces = note.graces.iter().enumerate();
    let graces = graces.map(|(at, grace)| (grace.sound, grace.joined, grace.finger, Some(at)));
    let main = match note.sound {
        Sound::Fret(fret) => Some((fret, note.joined, note.finger, None)),
        _ => None,
    };
    let mut tapped = false;
    let mut found = Vec::new();
    for (index, (fret, joined, finger, grace)) in graces.chain(main).enumerate() {
        let joint = match joined {
            _ if index == 0 && note.tapped => {
                tapped = true;
                continue;
            }
            Some(Joint::Bend | Joint::Release) => continue,
            Some(Joint::Tap) => {
                tapped = true;
                continue;
            }
            Some(Joint::Slide) => path::Joint::SameFinger,
            Some(Joint::HammerOn | Joint::PullOff) if !tapped => path::Joint::OtherFinger,
            _ => path::Joint::Struck,
        };
        found.push((Stop { string: note.string, fret, finger, joint }, grace));
    }
    found
}

/// A riff with its fingers, to be judged.
struct Check<'c> {
    riff: &'c Riff,
    places: &'c Places,
    score: &'c Score,
    path: &'c Path,
    neck: &'c Neck,
    hand: Hand,
    pace: Pace,
}

impl Check<'_> {
    /// Judges what sounds together, each shape where it stands first.
    fn chords(&self, findings: &mut Findings) {
        let mut seen = HashSet::new();
        let mut rung = HashSet::new();
        for (moment, spots) in self.score.moments.iter().zip(&self.score.spots) {
            let fretted = moment.stops.iter().filter(|stop| stop.fret.is_pressed()).count();
            let Some(event) = spots.first().and_then(|spot| self.event(spot)) else { continue };
            let shape = self.shape(moment);
            if fretted > 0 && !event.meant {
                self.ringing(moment, &shape, spots, &mut rung, findings);
            }
            if fretted < 2 || event.meant || seen.contains(&shape) {
                continue;
            }
            self.chord(&shape, spots, findings);
            seen.insert(shape);
        }
    }

    /// Doubts that the hand can keep what rings on while it presses what is struck, the first time.
    fn ringing(
        &self,
        moment: &Moment,
        (struck, _): &Shape,
        spots: &[Spot],
        rung: &mut HashSet<Vec<Option<Fret>>>,
        findings: &mut Findings,
    ) {
        let pressed = moment.ringing.iter().filter(|(_, fret)| fret.is_pressed());
        let kept: Vec<(StringIndex, Fret)> = pressed
            .filter(|(string, _)| struck.get(string.index()).is_some_and(Option::is_none))
            .copied()
            .collect();
        let mut whole = struck.clone();
        for (string, fret) in &kept {
            if let Some(place) = whole.get_mut(string.index()) {
                *place = Some(*fret);
            }
        }
        let holds =
            |frets: &[Option<Fret>]| hold::easiest(frets, self.neck, self.hand, PLUCKED).is_some();
        if kept.is_empty() || !rung.insert(whole.clone()) || holds(&whole) || !holds(struck) {
            return;
        }
        let Some((span, before)) = self.place(spots) else { return };
        let tuning = &self.riff.instrument.tuning;
        let place = ShapePlace { before: &before, span, frets: struck, tuning, hand: self.hand };
        findings.add(reach::ringing(&kept, &place).note(CAUTION));
    }

    /// For each string its fret, and its finger where that is written.
    fn shape(&self, moment: &Moment) -> Shape {
        let strings = self.riff.instrument.tuning.len();
        let mut shape = (vec![None; strings], vec![None; strings]);
        for stop in &moment.stops {
            if let Some(fret) = shape.0.get_mut(stop.string.index()) {
                *fret = Some(stop.fret);
            }
            if let Some(finger) = shape.1.get_mut(stop.string.index()) {
                *finger = stop.finger.filter(|_| stop.fret.is_pressed());
            }
        }
        shape
    }

    fn chord(&self, (frets, written): &Shape, spots: &[Spot], findings: &mut Findings) {
        let Some((span, before)) = self.place(spots) else { return };
        let tuning = &self.riff.instrument.tuning;
        let place = ShapePlace { before: &before, span, frets, tuning, hand: self.hand };
        let easiest = hold::easiest(frets, self.neck, self.hand, PLUCKED);
        let is_written = written.iter().any(Option::is_some);
        let fingers = match &easiest {
            Some(hold) if !is_written => &hold.fingers,
            _ => written,
        };
        let judgement = hold::judge(frets, fingers, self.neck, self.hand, PLUCKED);
        let mut breaches = judgement.breaches;
        breaches.retain(|breach| !matches!(breach, Breach::Unpressed { .. }));
        if easiest.is_none() && !is_written {
            breaches.extend(hold::obstacle(frets, self.neck, self.hand, PLUCKED));
        }
        let mut raised: Vec<Finding> =
            breaches.iter().map(|breach| beyond(breach, &place)).collect();
        if raised.is_empty() {
            raised.extend(judgement.stretch.iter().map(|gap| stretch::wide(gap, &place)));
        }
        for finding in raised {
            let other = easiest.as_ref().filter(|hold| hold.stretch <= 1.0 && is_written);
            let finding = match other {
                Some(hold) => finding.note(easier(&hold.fingers)),
                None => {
                    findings.helped(finding, |finding| with_ways_out(finding, &place, self.neck))
                }
            };
            findings.add(finding.note(CAUTION));
        }
    }

    /// Raises `jump` for every shift for which there is no time.
    fn jumps(&self, findings: &mut Findings) {
        for jump in &self.path.jumps {
            let (Some(from), Some(to)) =
                (self.score.spots.get(jump.from), self.score.spots.get(jump.to))
            else {
                continue;
            };
            if to.first().and_then(|spot| self.event(spot)).is_none_or(|event| event.meant) {
                continue;
            }
            let finding = self.jump(&jump.leap, from, to, "");
            finding.into_iter().for_each(|finding| findings.add(finding));
        }
    }

    /// Raises `jump` where a repeat begins again too soon.
    fn seams(&self, findings: &mut Findings) {
        let mut begin = 0;
        for (index, bar) in self.riff.bars.iter().enumerate() {
            if bar.repeat_start {
                begin = index;
            }
            if bar.repeat_end.is_some() {
                self.seam(begin, index).into_iter().for_each(|finding| findings.add(finding));
                begin = index + 1;
            }
        }
    }

    /// The jump from the end of a repeat to its beginning, if there is one.
    fn seam(&self, begin: usize, end: usize) -> Option<Finding> {
        let held = |at: &usize| self.path.places.get(*at).copied().flatten().is_some();
        let bar_of = |at: usize| self.score.times.get(at).map(|(bar, _)| *bar);
        let bars = self.score.times.partition_point(|(bar, _)| *bar <= end);
        let last = (0..bars).rev().find(held).filter(|at| bar_of(*at) >= Some(begin))?;
        let from_begin = self.score.times.partition_point(|(bar, _)| *bar < begin);
        let first = (from_begin..bars).find(held)?;
        let time = |at: usize| self.score.times.get(at).map(|(_, time)| *time);
        let (first_bar, last_bar) = (self.riff.bars.get(begin)?, self.riff.bars.get(end)?);
        let to_end = self.time(last_bar, last_bar.length).checked_sub(time(last)?)?;
        let from_start = time(first)?.checked_sub(self.time(first_bar, Ticks::ZERO))?;
        let place = |at: usize| self.path.places.get(at).copied().flatten();
        let leap = path::leap(place(last)?, place(first)?, to_end + from_start, self.neck)?;
        let spots = (self.score.spots.get(last)?, self.score.spots.get(first)?);
        self.jump(&leap, spots.0, spots.1, "when the repeat begins again ")
    }

    /// The time from the riff's start as written to a moment of a bar.
    fn time(&self, bar: &Bar, at: Ticks) -> Duration {
        self.pace.time(bar.start + self.pace.swung(bar.meter, at))
    }

    fn jump(&self, leap: &Leap, from: &[Spot], to: &[Spot], when: &str) -> Option<Finding> {
        let (span, before) = self.place(to)?;
        let mut finding = jump::no_time(span, &format!("{before}{when}"), leap);
        if let Some((start, _)) = self.place(from) {
            finding = finding.label(start, "from here");
        }
        let times = leap.relaxed / (leap.time.as_secs_f64() * 1000.0);
        if let Some(tempo) = self.pace.slower(times) {
            finding = finding.note(format!("at tempo {tempo} there is time"));
        }
        if let Some(other) = self.other_string(leap, to) {
            finding = finding.note(other);
        }
        Some(finding.note("an open string on the way gives the hand time"))
    }

    /// Where the note that the hand jumps to lies nearer.
    fn other_string(&self, leap: &Leap, to: &[Spot]) -> Option<String> {
        let [spot] = to else { return None };
        let note = self.event(spot)?.notes.get(spot.note)?;
        let Sound::Fret(fret) = note.sound else { return None };
        let instrument = &self.riff.instrument;
        let pitch = instrument.written_pitch(note.string, fret)?;
        let strings = instrument.tuning.indices().filter(|string| *string != note.string);
        let places = strings.filter_map(|string| {
            let open = instrument.written_pitch(string, Fret::OPEN)?;
            let fret = Fret::checked(pitch - open)?;
            (fret <= instrument.last_fret()).then_some((string, fret))
        });
        // The hand covers four frets where it is; open strings need no hand.
        let far = |fret: Fret| match fret {
            Fret::OPEN => 0,
            _ => leap.from.above(fret).max(fret.above(leap.from.up(3))),
        };
        let (string, fret) = places.min_by_key(|(_, fret)| far(*fret))?;
        let nearer = far(fret) < leap.to.abs_diff(leap.from);
        let number = instrument.tuning.number(string);
        nearer.then(|| format!("the same note is nearer at fret {fret} of string {number}"))
    }

    fn event(&self, spot: &Spot) -> Option<&Event> {
        self.riff.bars.get(spot.bar)?.events.get(spot.event)
    }

    /// The place of a moment in the lesson, and in words before a message.
    fn place(&self, spots: &[Spot]) -> Option<(Span, String)> {
        let spot = spots.first()?;
        let event = self.event(spot)?;
        let note = event.notes.get(spot.note)?;
        let place = self.places.note(spot.bar, event.at, note.string)?;
        Some((place.span, format!("{}: ", self.riff.place(spot.bar, event.at, None))))
    }
}

/// For each string its fret and its finger.
type Shape = (Vec<Option<Fret>>, Vec<Option<Finger>>);

/// "easier: fingers 1, 3 and 4, from the lowest string up".
fn easier(fingers: &[Option<Finger>]) -> String {
    let fingers: Vec<String> = fingers.iter().flatten().map(|finger| called(*finger)).collect();
    format!("easier, from the lowest string up: {}", fingers.join(", "))
}

/// Gives the notes that have no finger the one that was worked out.
fn fill(bars: &mut [Bar], score: &Score, path: &Path) {
    for (spots, fingers) in score.spots.iter().zip(&path.fingers) {
        for (spot, finger) in spots.iter().zip(fingers) {
            let events = bars.get_mut(spot.bar).map(|bar| &mut bar.events);
            let note =
                events.and_then(|events| events.get_mut(spot.event)?.notes.get_mut(spot.note));
            let place = note.and_then(|note| match spot.grace {
                Some(grace) => note.graces.get_mut(grace).map(|grace| &mut grace.finger),
                None => Some(&mut note.finger),
            });
            if let Some(place) = place {
                *place = place.or(*finger);
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
