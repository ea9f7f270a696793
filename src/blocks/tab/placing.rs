//! Notes whose pitches are known and whose places on the neck are not: the search for the places,
//! and what becomes of techniques there.

use super::Tab;
use super::guides::Guides;
use super::places::{NotePlace, Places};
use super::shapes::Shapes;
use super::techniques::{Set, Setter};
use crate::findings::Span;
use crate::findings::rules::no_voicing;
use crate::findings::{Finding, Findings};
use crate::lesson::Setting;
use crate::music::melody::{Melody, Sounding, Tone, Tones};
use crate::music::tab::{Bar, Joint, Note, RING, Riff};
use crate::neck::harmonic;
use crate::neck::path::{self, Choice, Stop};
use crate::neck::{Finger, Fret, Hand, Instrument, Neck, Posture, StringIndex, by_string, hold};
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Key, Midi, Ticks};
use crate::words::listed;
use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

/// Lays a melody on the neck: near the places that are asked for, as the hand moves least. What has
/// no place is reported and left out; a technique that its place does not allow is reported, and the
/// note is played without it. `places` tells where its notes are written, each on the string that
/// its tone has. What is picked lies on the `shapes` of its chords, whose fingers are worked out once
/// all notes have their places.
pub fn lay(
    melody: Melody,
    mut places: Places,
    setting: &Setting,
    guides: &Guides,
    shapes: Shapes,
    findings: &mut Findings,
) -> Tab {
    let Melody { mut riff, tones } = melody;
    let ground = Ground {
        instrument: &riff.instrument.clone(),
        neck: Neck::of(&riff.instrument),
        hand: setting.hand,
        key: riff.key,
        guides,
        shapes,
    };
    let plan = Plan::of(&riff, &places, &tones, setting, &ground, findings);
    let placed = path::places(&plan.choices, guides.near, &ground.neck, setting.hand);
    let mut setter = Setter::new(ground.instrument, guides, &placed.stops);
    let set: Vec<Vec<Set>> = plan.events.iter().map(|event| setter.notes(event)).collect();
    for lost in setter.lost {
        findings.add(lost.finding(&riff, &places));
    }
    let mut now: Vec<Vec<NotePlace>> = vec![Vec::new(); riff.bars.len()];
    for (event, set) in plan.events.iter().zip(set) {
        let (bar, at) = event.moment;
        if let Some(now) = now.get_mut(bar) {
            now.extend(set.iter().filter_map(|set| {
                let was = places.note(bar, at, set.from)?;
                Some(NotePlace { string: set.note.string, ..was.clone() })
            }));
        }
        if let Some(notes) = event_at(&mut riff.bars, event.at) {
            *notes = set.into_iter().map(|set| set.note).collect();
            if ground.shapes.holds(event.at) {
                notes.iter_mut().for_each(|note| note.finger = None);
            }
        }
    }
    for (place, now) in places.bars.iter_mut().zip(now) {
        place.notes = now;
    }
    for bar in &mut riff.bars {
        bar.events.retain(|event| !event.notes.is_empty());
    }
    Tab { riff, places }
}

fn event_at(bars: &mut [Bar], (bar, event): (usize, usize)) -> Option<&mut Vec<Note>> {
    bars.get_mut(bar)?.events.get_mut(event).map(|event| &mut event.notes)
}

/// What notes are laid on.
struct Ground<'g> {
    instrument: &'g Instrument,
    neck: Neck,
    hand: Hand,
    key: Option<Key>,
    guides: &'g Guides,
    shapes: Shapes,
}

impl Ground<'_> {
    /// The places of a tone: each string that may be used, with its fret.
    fn places(&self, held: &Held) -> Vec<Stop> {
        let last = i32::from(self.instrument.last_fret());
        let strings = by_string(self.instrument.tuning.strings());
        let allowed = strings.filter(|(string, _)| self.guides.allows(*string));
        let places = allowed.filter_map(|(string, open)| {
            let fret = held.pitch - open.midi();
            let fret = match held.hold {
                Hold::Fret => Some(fret).filter(|fret| (0..=last).contains(fret)),
                Hold::Pressed => Some(fret).filter(|fret| (1..=last).contains(fret)),
                Hold::Harmonic => {
                    harmonic::NODES.iter().any(|(_, above)| *above == fret).then_some(0)
                }
            };
            let fret = Fret::checked(fret?)?;
            Some(Stop {
                string,
                fret,
                finger: held.finger.filter(|_| fret.is_pressed()),
                joint: held.joint,
            })
        });
        places.collect()
    }

    /// Every way to play tones at once that the hand can hold.
    fn ways(&self, held: &[Held]) -> Vec<Vec<Stop>> {
        let places: Vec<Vec<Stop>> = held.iter().map(|held| self.places(held)).collect();
        let mut ways: Vec<Vec<Stop>> = vec![Vec::new()];
        for places in &places {
            let longer = ways.iter().flat_map(|way| {
                let free = places.iter().filter(|stop| self.goes_with(way, stop));
                free.map(|stop| [way.as_slice(), &[*stop]].concat())
            });
            ways = longer.take(MOST_WAYS).collect();
        }
        ways.retain(|way| !way.is_empty() && self.can_hold(way));
        ways
    }

    /// Those of the ways to play an event that keep the shape of its chord.
    fn kept(&self, event: (usize, usize), ways: Vec<Vec<Stop>>) -> Vec<Vec<Stop>> {
        let pitch = |stop: &Stop| self.instrument.written_pitch(stop.string, stop.fret);
        self.shapes.kept(event, pitch, ways)
    }

    /// Whether a note can be added to a way: its string is free, and it is in the reach of a hand.
    fn goes_with(&self, way: &[Stop], stop: &Stop) -> bool {
        let apart =
            |one: Fret, other: Fret| (self.neck.pressed(one) - self.neck.pressed(other)).abs();
        way.iter().all(|other| {
            let open = other.fret.is_open() || stop.fret.is_open();
            other.string != stop.string && (open || apart(other.fret, stop.fret) < self.hand.span)
        })
    }

    fn can_hold(&self, way: &[Stop]) -> bool {
        let pressed: BTreeSet<Fret> =
            way.iter().map(|stop| stop.fret).filter(|fret| fret.is_pressed()).collect();
        if pressed.len() > FINGERS {
            return false;
        }
        if way.iter().filter(|stop| stop.fret.is_pressed()).count() < 2 {
            return true;
        }
        let mut frets = vec![None; self.instrument.tuning.len()];
        for stop in way {
            if let Some(fret) = frets.get_mut(stop.string.index()) {
                *fret = Some(stop.fret);
            }
        }
        let posture = Posture { thumb: false, strum: false };
        hold::easiest(&frets, &self.neck, self.hand, posture).is_some()
    }

    fn name(&self, pitch: Midi) -> String {
        let names = self.instrument.tuning.names_of_notes();
        spell(pitch, self.key.as_ref(), None, Direction::Unknown).called(names).to_string()
    }

    fn names(&self, held: &[Held]) -> String {
        listed(&held.iter().map(|held| self.name(held.pitch)).collect::<Vec<_>>())
    }
}

/// More ways to lay notes on strings than this are not looked at; four notes on six strings have
/// fewer.
const MOST_WAYS: usize = 200;
/// Of more notes than this that can't be held, inner ones are left out without a look at which.
const MOST_TRIED: usize = 6;
/// The fingers that press.
const FINGERS: usize = 4;

/// A tone as the hand holds it.
#[derive(Debug, Clone, Copy)]
struct Held {
    /// The pitch of the fret that is held.
    pitch: Midi,
    hold: Hold,
    finger: Option<Finger>,
    joint: path::Joint,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Hold {
    /// A fret or the open string.
    Fret,
    /// A fret, since the open string can't be bent.
    Pressed,
    /// The open string, touched over a node.
    Harmonic,
}

/// The riff as moments that wait for their places.
#[derive(Default)]
struct Plan<'t> {
    choices: Vec<Choice>,
    events: Vec<Planned<'t>>,
    /// For each string the moment and the note in it that were last on it.
    last_on: BTreeMap<StringIndex, (usize, usize)>,
    /// For each string what pitch is held on it.
    held_on: BTreeMap<StringIndex, Midi>,
}

/// An event and where its tones are among the moments.
pub(super) struct Planned<'t> {
    /// Its bar and its place in the bar.
    at: (usize, usize),
    /// Its bar and when in it.
    pub moment: (usize, Ticks),
    /// Its tones.
    pub tones: Vec<PlannedTone<'t>>,
}

/// A tone and where it is among the moments.
pub(super) struct PlannedTone<'t> {
    /// The tone.
    pub tone: &'t Tone,
    /// The moment and the note in it of each of its grace notes and of itself; empty for a muted
    /// stroke.
    pub steps: Vec<(usize, usize)>,
    /// Whether the last of the steps is the tone itself.
    pub sounds: bool,
    /// What the first of them is joined to, if anything.
    pub from: Option<(usize, usize)>,
}

impl<'t> PlannedTone<'t> {
    fn of(tone: &'t Tone) -> PlannedTone<'t> {
        PlannedTone { tone, steps: Vec::new(), sounds: false, from: None }
    }
}

/// A step of an event: one of its tones or of their grace notes.
struct Step {
    /// The tone, by its index in the event.
    tone: usize,
    held: Held,
    /// What it is joined to, if anything.
    link: Option<(usize, usize)>,
}

fn held(steps: &[Step]) -> Vec<Held> {
    steps.iter().map(|step| step.held).collect()
}

impl<'t> Plan<'t> {
    fn of(
        riff: &Riff,
        places: &Places,
        tones: &'t Tones,
        setting: &Setting,
        ground: &Ground,
        findings: &mut Findings,
    ) -> Plan<'t> {
        let mut plan = Plan::default();
        let mut last = None;
        for (index, (bar, in_bar)) in riff.bars.iter().zip(tones).enumerate() {
            for (number, (event, tones)) in bar.events.iter().zip(in_bar).enumerate() {
                let now = bar.start + event.at;
                let since = last.map_or(Ticks::ZERO, |last| now.since(last));
                last = Some(now);
                let time = if riff.timed { setting.tempo.time(since) } else { Duration::ZERO };
                let rings = riff.runs(RING).iter().any(|(from, to)| *from < now && now < *to);
                let mut adding = Adding {
                    plan: &mut plan,
                    ground,
                    riff,
                    places,
                    at: (index, number),
                    moment: (index, event.at),
                    since: time,
                    rings,
                };
                adding.event(tones, findings);
            }
        }
        plan
    }
}

/// An event that is being added to the plan.
struct Adding<'p, 't, 'g> {
    plan: &'p mut Plan<'t>,
    ground: &'p Ground<'g>,
    riff: &'p Riff,
    places: &'p Places,
    at: (usize, usize),
    moment: (usize, Ticks),
    since: Duration,
    rings: bool,
}

impl<'t> Adding<'_, 't, '_> {
    fn event(&mut self, tones: &'t [Tone], findings: &mut Findings) {
        let mut planned: Vec<PlannedTone> = tones.iter().map(PlannedTone::of).collect();
        let most = tones.iter().map(|tone| tone.graces.len()).max().unwrap_or_default();
        for before in (1..=most).rev() {
            let steps = self.grace_steps(&planned, before);
            let ways = self.ground.ways(&held(&steps));
            self.add(steps, ways, &mut planned);
        }
        let steps = self.main_steps(&planned);
        let (steps, ways) = self.playable(steps, tones, findings);
        let ways = self.ground.kept(self.at, ways);
        for step in &steps {
            if let Some(planned) = planned.get_mut(step.tone) {
                planned.sounds = true;
            }
        }
        self.add(steps, ways, &mut planned);
        planned.retain(|planned| planned.sounds || planned.tone.sound == Sounding::Muted);
        self.plan.events.push(Planned { at: self.at, moment: self.moment, tones: planned });
    }

    /// The grace notes that stand so many notes before their main note.
    fn grace_steps(&mut self, planned: &[PlannedTone], before: usize) -> Vec<Step> {
        let mut steps = Vec::new();
        for (index, planned) in planned.iter().enumerate() {
            let Some(number) = planned.tone.graces.len().checked_sub(before) else { continue };
            let Some(grace) = planned.tone.graces.get(number) else { continue };
            let sound = Sounding::Pitch(grace.sound);
            steps.extend(self.step(index, planned, sound, grace.joined, grace.finger));
        }
        steps
    }

    fn main_steps(&mut self, planned: &[PlannedTone]) -> Vec<Step> {
        let tones = planned.iter().enumerate();
        let steps = tones.filter_map(|(index, planned)| {
            let tone = planned.tone;
            self.step(index, planned, tone.sound, tone.joined, tone.finger)
        });
        steps.collect()
    }

    fn step(
        &self,
        index: usize,
        planned: &PlannedTone,
        sound: Sounding,
        joined: Option<Joint>,
        finger: Option<Finger>,
    ) -> Option<Step> {
        let string = planned.tone.string;
        let link = planned.steps.last().or_else(|| self.plan.last_on.get(&string)).copied();
        let link = link.filter(|_| joined.is_some());
        let bent = matches!(joined, Some(Joint::Bend | Joint::Release));
        let held_before = self.plan.held_on.get(&string).copied();
        let quarter = planned.tone.has_quarter_bend();
        let (pitch, hold) = match sound {
            Sounding::Muted => return None,
            Sounding::Harmonic { pitch, .. } => (pitch, self.harmonic(pitch)),
            Sounding::Pitch(pitch) if bent => (held_before.unwrap_or(pitch), Hold::Pressed),
            Sounding::Pitch(pitch) if quarter => (pitch, Hold::Pressed),
            Sounding::Pitch(pitch) => (pitch, Hold::Fret),
        };
        let joint = match joined {
            None => path::Joint::Struck,
            Some(Joint::Slide | Joint::Bend | Joint::Release) => path::Joint::SameFinger,
            Some(Joint::HammerOn | Joint::PullOff | Joint::Tap) => path::Joint::OtherFinger,
        };
        Some(Step { tone: index, held: Held { pitch, hold, finger, joint }, link })
    }

    /// How a harmonic is held: a fret where no string has it.
    fn harmonic(&self, pitch: Midi) -> Hold {
        let held = |hold| Held { pitch, hold, finger: None, joint: path::Joint::Struck };
        match self.ground.places(&held(Hold::Harmonic)).is_empty() {
            true => Hold::Fret,
            false => Hold::Harmonic,
        }
    }

    /// The steps that have a place together, and all ways to play them. What has none is reported,
    /// with the nearest that has.
    fn playable(
        &self,
        steps: Vec<Step>,
        tones: &[Tone],
        findings: &mut Findings,
    ) -> (Vec<Step>, Vec<Vec<Stop>>) {
        let mut steps = steps;
        loop {
            let ways = self.ground.ways(&held(&steps));
            if !ways.is_empty() || steps.is_empty() {
                return (steps, ways);
            }
            let alone = steps.iter().position(|step| self.ground.places(&step.held).is_empty());
            let out = steps.remove(alone.unwrap_or_else(|| self.spare(&steps)));
            let (bar, at) = self.moment;
            let tone = tones.get(out.tone);
            let place = tone.and_then(|tone| self.places.note(bar, at, tone.string));
            let span = place.map_or(Span::default(), |place| place.span);
            findings.add(match alone {
                Some(_) => self.without_place(&out, span),
                None => self.without_hold(&out, &held(&steps), span),
            });
        }
    }

    /// The first note without which the others can be held, else one in the middle.
    fn spare(&self, steps: &[Step]) -> usize {
        let holds_without = |spare: &usize| {
            let mut rest = held(steps);
            rest.remove(*spare);
            !self.ground.ways(&rest).is_empty()
        };
        let tried = if steps.len() <= MOST_TRIED { steps.len() } else { 0 };
        (0..tried).find(holds_without).unwrap_or(steps.len() / 2)
    }

    fn without_place(&self, out: &Step, span: Span) -> Finding {
        let (bar, at) = self.moment;
        let place = self.riff.place(bar, at, None);
        let ground = self.ground;
        let what = match out.held.hold {
            Hold::Harmonic => format!("the harmonic {}", ground.name(out.held.pitch)),
            _ => ground.name(out.held.pitch),
        };
        let where_ = if ground.guides.strings.is_some() { "these strings" } else { "this neck" };
        let finding = no_voicing::of_note(span, &what, where_).heard_at(&place);
        let near = (1..=48).flat_map(|away| [-away, away].map(|by| out.held.pitch + by));
        let has_place =
            |pitch: &Midi| !ground.places(&Held { pitch: *pitch, ..out.held }).is_empty();
        match near.into_iter().find(has_place) {
            Some(near) => {
                finding.note(format!("the nearest that has one is {}", ground.name(near)))
            }
            None => finding,
        }
    }

    fn without_hold(&self, out: &Step, rest: &[Held], span: Span) -> Finding {
        let (bar, at) = self.moment;
        let place = self.riff.place(bar, at, None);
        let name = self.ground.name(out.held.pitch);
        let others = self.ground.names(rest);
        let finding = no_voicing::not_together(span, &name, &others).heard_at(&place);
        match self.ground.ways(rest).is_empty() {
            true => finding,
            false => finding.note(format!("{others} can be held without it")),
        }
    }

    /// Adds steps that sound at once as a moment.
    fn add(&mut self, steps: Vec<Step>, ways: Vec<Vec<Stop>>, planned: &mut [PlannedTone]) {
        if ways.is_empty() {
            return;
        }
        let moment = self.plan.choices.len();
        let link = |step: &Step| {
            step.link.filter(|(before, _)| before + 1 == moment).map(|(_, note)| note)
        };
        let links = steps.iter().map(link).collect();
        let since = std::mem::take(&mut self.since);
        self.plan.choices.push(Choice { since, ways, links, rings: self.rings });
        for (note, step) in steps.iter().enumerate() {
            let Some(planned) = planned.get_mut(step.tone) else { continue };
            if planned.steps.is_empty() {
                planned.from = step.link;
            }
            planned.steps.push((moment, note));
            let string = planned.tone.string;
            self.plan.last_on.insert(string, (moment, note));
            self.plan.held_on.insert(string, step.held.pitch);
        }
    }
}
