//! What stands on the strings: fret numbers with their places, and what joins one to the next.

use super::chains::{Step, chain, is_bent, main_of};
use super::scale::{Scale, Weight};
use crate::ink::{Pt, Text, pt};
use crate::music::tab::{Bar, Event, Joint, Note, Riff, Slide, Sound};
use crate::neck::{Fret, StringIndex};
use crate::theory::Ticks;
use crate::words::paper::tab;

/// A place on a string's line: a moment, and how far beside its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    /// The moment, counted from the riff's start.
    pub tick: Ticks,
    /// How far to the right of the moment's axis.
    pub shift: Pt,
    /// Half the width of what stands there.
    pub half: Pt,
}

/// A fret number, a harmonic or a muted stroke.
#[derive(Debug, Clone)]
pub(super) struct Mark {
    pub spot: Spot,
    pub string: StringIndex,
    pub face: MarkFace,
    /// Its size of type.
    pub size: Pt,
    /// Slides from nowhere and to nowhere.
    pub slide_in: Option<Slide>,
    pub slide_out: Option<Slide>,
}

/// What a mark looks like.
#[derive(Debug, Clone)]
pub(super) enum MarkFace {
    /// A number or a muted stroke's cross, in round brackets where it is optional.
    Plain(Text),
    /// A number between pointed brackets.
    Harmonic(Text),
}

/// What joins two places on a string.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub string: StringIndex,
    pub from: Spot,
    pub to: Spot,
    pub kind: LinkKind,
}

/// How they are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LinkKind {
    /// A slur under a letter, if it has one.
    Slur(Option<&'static str>),
    /// A line that rises or falls.
    Slide(Slide),
    /// An arrow up, by so many quarter tones from rest.
    Bend {
        /// How far the string is bent where it begins.
        from: i32,
        /// How far where it ends.
        to: i32,
        /// Whether it was bent in two steps where it begins.
        went_on: bool,
    },
    /// A straight arrow up beside a note that is bent before it is picked.
    PreBend(i32),
}

/// What stands on the strings in one bar.
#[derive(Debug, Clone, Default)]
pub(super) struct BarTones {
    pub marks: Vec<Mark>,
    /// Links that begin in this bar.
    pub departs: Vec<usize>,
    /// Links that end in this bar.
    pub arrives: Vec<usize>,
    /// Where notes stand that are tapped from nowhere.
    pub taps: Vec<(StringIndex, Spot)>,
    /// Where vibrato begins and until when it lasts.
    pub vibrato: Vec<(Spot, Ticks)>,
}

/// What stands on the strings of a whole riff.
#[derive(Debug, Clone, Default)]
pub(super) struct Tones {
    pub bars: Vec<BarTones>,
    pub links: Vec<Link>,
}

/// Where the hand is on a string.
#[derive(Debug, Clone, Copy)]
struct Held {
    spot: Spot,
    bar: usize,
    fret: Fret,
    /// How far it is bent, in quarter tones.
    bent: i32,
    /// Whether it was bent in two steps.
    went_on: bool,
    /// Whether it is to be bent before it is picked.
    ahead: bool,
}

/// Reads the riff from left to right and remembers where the hand is on each string.
struct ToneReader<'a> {
    scale: &'a Scale<'a>,
    tones: Tones,
    held: Vec<Option<Held>>,
    moment: Moment,
}

/// What stands on the strings at the moment that is read.
#[derive(Debug, Clone, Default)]
struct Moment {
    /// How far the widest number reaches from the axis.
    half: Pt,
    /// The strings that are bent from there, and how much room their arrows take to the right.
    bent: Vec<(StringIndex, Pt)>,
}

/// Works out what stands on the strings.
pub(super) fn tones(riff: &Riff, scale: &Scale) -> Tones {
    let held = vec![None; riff.instrument.tuning.len()];
    let mut reader = ToneReader { scale, tones: Tones::default(), held, moment: Moment::default() };
    for (index, bar) in riff.bars.iter().enumerate() {
        reader.read_bar(index, bar);
    }
    let Tones { mut bars, links } = reader.tones;
    for bar in &mut bars {
        let tick = |spot: fn(&Link) -> Spot| {
            let links = &links;
            move |index: &usize| links.get(*index).map(|link| spot(link).tick)
        };
        bar.departs.sort_by_key(tick(|link| link.from));
        bar.arrives.sort_by_key(tick(|link| link.to));
    }
    Tones { bars, links }
}

impl ToneReader<'_> {
    fn read_bar(&mut self, index: usize, bar: &Bar) {
        self.tones.bars.push(BarTones::default());
        for event in &bar.events {
            self.moment = self.moment_of(event);
            for note in &event.notes {
                self.read_note(index, bar, event, note);
            }
        }
    }

    fn moment_of(&self, event: &Event) -> Moment {
        let halves = event.notes.iter().map(|note| self.half_of(note));
        let bent = event.notes.iter().filter(|note| is_bent(note));
        Moment {
            half: halves.fold(Pt::ZERO, Pt::max),
            bent: bent.map(|note| (note.string, self.bends_of(note))).collect(),
        }
    }

    /// Half the width of what stands on the axis of a note's moment.
    fn half_of(&self, note: &Note) -> Pt {
        match note.sound {
            Sound::Fret(fret) => {
                let chain = chain(note, fret);
                let main = main_of(&chain).and_then(|main| chain.get(main));
                main.map_or(Pt::ZERO, |step| self.room(step, Weight::Full) / 2.0)
            }
            Sound::Harmonic(fret) => self.harmonic(fret, note.ghost).1,
            Sound::Muted => self.scale.cross(note.ghost).width / 2.0,
        }
    }

    /// The room of a note's arrows: a size, and whatever goes on from the first of them.
    fn bends_of(&self, note: &Note) -> Pt {
        let Sound::Fret(fret) = note.sound else { return self.size_room() };
        let chain = chain(note, fret);
        let later = chain.iter().skip(main_of(&chain).map_or(1, |main| main + 2));
        let later: Pt = later.map(|step| self.room(step, Weight::Full)).sum();
        let numbers = if later > Pt::ZERO { self.scale.gaps(BETWEEN_SIZES) } else { Pt::ZERO };
        self.size_room() + later + numbers
    }

    /// The room of a bend's size, so that it doesn't run into the next.
    fn size_room(&self) -> Pt {
        self.scale.bent(2).width.max(self.scale.bent(4).width) + self.scale.gaps(BETWEEN_SIZES)
    }

    /// How much further to the right a string's arrow stands for those of the strings above it that are
    /// bent at the same moment: so each has its own size over it, and none crosses another.
    fn aside(&self, string: StringIndex) -> Pt {
        self.moment.bent.iter().filter(|(other, _)| *other > string).map(|(_, room)| *room).sum()
    }

    fn read_note(&mut self, index: usize, bar: &Bar, event: &Event, note: &Note) {
        let tick = bar.start + event.at;
        let spot = match note.sound {
            Sound::Fret(fret) => self.read_chain(index, tick, note, fret),
            Sound::Harmonic(fret) => self.put_other(index, tick, note, Some(fret)),
            Sound::Muted => self.put_other(index, tick, note, None),
        };
        if note.quarter_bend {
            let distance = self.scale.gaps(BEND_WIDTH) + self.aside(note.string);
            self.bend_by(index, note.string, after(spot, distance), 1);
        }
        if let Some(tones) = self.tones.bars.last_mut().filter(|_| note.vibrato) {
            tones.vibrato.push((spot, tick + event.duration));
        }
    }

    /// Puts a chain of joined frets down: the one that is picked or lasts on the moment's axis,
    /// grace notes small to its left, what it is bent to and let down to on its right.
    fn read_chain(&mut self, bar: usize, tick: Ticks, note: &Note, fret: Fret) -> Spot {
        let chain = chain(note, fret);
        let main = main_of(&chain);
        let mut left = self.left_edge(&chain, main);
        let mut last = Spot { tick, shift: Pt::ZERO, half: Pt::ZERO };
        for (place, step) in chain.iter().enumerate() {
            let weight = if Some(place) < main { Weight::Grace } else { Weight::Full };
            if step.is_bent() {
                if main.is_some_and(|main| place == main + 1) {
                    left = left.max(self.moment.half) + self.aside(note.string);
                }
                let peak = left + self.rise(step, main.is_some_and(|main| place > main + 1));
                last = self.bend_to(
                    bar,
                    note.string,
                    Spot { shift: peak, half: Pt::ZERO, ..last },
                    step,
                );
            } else {
                let half = self.room(step, weight) / 2.0;
                last = Spot { tick, shift: left + half, half };
                let joined = self.arrive(bar, note.string, last, step);
                let (slide_in, slide_out) = slides(note, place == 0, place + 1 == chain.len());
                let face = MarkFace::Plain(self.number(step.fret, step.ghost, weight));
                let size = self.scale.fret_size(weight);
                self.put(Mark { spot: last, string: note.string, face, size, slide_in, slide_out });
                let tapped = step.joined == Some(Joint::Tap) && !joined;
                self.tap(note.string, last, tapped || (place == 0 && note.tapped));
            }
            left += self.room(step, weight);
            if step.joined == Some(Joint::Bend) && main.is_some_and(|main| place > main + 1) {
                left += self.rise(step, true) - self.scale.gaps(BEND_WIDTH);
            }
            if step.quarter {
                left += self.scale.gaps(BEND_WIDTH);
                let peak = Spot { shift: left, half: Pt::ZERO, ..last };
                last = self.bend_by(bar, note.string, peak, 1);
            }
            left += chain.get(place + 1).map_or(Pt::ZERO, |next| self.air(next));
        }
        last
    }

    /// Where a chain's first step begins, so that its main number stands on the axis; where there
    /// is none, so that the first bend ends there.
    fn left_edge(&self, chain: &[Step], main: Option<usize>) -> Pt {
        let Some(main) = main else {
            let first = chain.first().map_or(Pt::ZERO, |step| self.room(step, Weight::Full));
            let bend = self.scale.gaps(BEND_WIDTH);
            return -(bend + (first - bend) / 2.0);
        };
        let half = chain.get(main).map_or(Pt::ZERO, |step| self.room(step, Weight::Full) / 2.0);
        let graces = chain.iter().zip(chain.iter().skip(1)).take(main);
        let quarter = |step: &Step| if step.quarter { BEND_WIDTH } else { 0.0 };
        let rooms = graces.map(|(step, next)| {
            self.room(step, Weight::Grace) + self.scale.gaps(quarter(step)) + self.air(next)
        });
        -half - rooms.sum::<Pt>()
    }

    /// How far to the right a bend leads; one that goes on from another leaves room for both sizes.
    fn rise(&self, step: &Step, goes_on: bool) -> Pt {
        let width = self.scale.gaps(BEND_WIDTH);
        if goes_on && step.joined == Some(Joint::Bend) {
            width.max(self.size_room())
        } else {
            width
        }
    }

    /// The width that a step takes: its number's, a bend's arrow's, or both for a release.
    fn room(&self, step: &Step, weight: Weight) -> Pt {
        let bend = self.scale.gaps(BEND_WIDTH);
        match step.joined {
            Some(Joint::Bend) => bend,
            Some(Joint::Release) => bend + self.number(step.fret, true, Weight::Grace).width,
            _ => self.number(step.fret, step.ghost, weight).width,
        }
    }

    /// The air between a step and the one behind it.
    fn air(&self, next: &Step) -> Pt {
        match next.joined {
            Some(Joint::Bend | Joint::Release) => Pt::ZERO,
            Some(Joint::Slide) => self.scale.gaps(SLIDE_AIR),
            _ => self.scale.gaps(SLUR_AIR),
        }
    }

    fn number(&self, fret: Fret, ghost: bool, weight: Weight) -> Text {
        let number = fret.to_string();
        if ghost { self.scale.ghost(&number, weight) } else { self.scale.fret(&number, weight) }
    }

    /// The number of a harmonic, and half its width with its brackets.
    fn harmonic(&self, fret: Fret, ghost: bool) -> (Text, Pt) {
        let text = self.number(fret, ghost, Weight::Full);
        let half = text.width / 2.0 + self.scale.fret_size(Weight::Full) * POINTED_BRACKET;
        (text, half)
    }

    /// Joins a new fret to the one before it on the string, and moves the hand there. Says whether there was
    /// anything to join.
    fn arrive(&mut self, bar: usize, string: StringIndex, spot: Spot, step: &Step) -> bool {
        let Some(place) = self.held.get_mut(string.index()) else { return false };
        let before = place.replace(Held {
            spot,
            bar,
            fret: step.fret,
            bent: 0,
            went_on: false,
            ahead: step.ahead,
        });
        let (Some(joint), Some(before)) = (step.joined, before) else { return false };
        let kind = match joint {
            Joint::HammerOn => LinkKind::Slur(Some(tab::HAMMER_ON)),
            Joint::PullOff => LinkKind::Slur(Some(tab::PULL_OFF)),
            Joint::Tap => LinkKind::Slur(Some(tab::TAP)),
            Joint::Slide if step.fret < before.fret => LinkKind::Slide(Slide::Down),
            Joint::Slide => LinkKind::Slide(Slide::Up),
            Joint::Bend | Joint::Release => LinkKind::Slur(None),
        };
        self.link(before.bar, bar, Link { string, from: before.spot, to: spot, kind });
        true
    }

    /// Bends the string, or lets it down, to the pitch of a step's fret.
    fn bend_to(&mut self, bar: usize, string: StringIndex, free: Spot, step: &Step) -> Spot {
        let held = self.held.get(string.index()).copied().flatten();
        let fret = held.map_or(step.fret, |held| held.fret);
        let quarters = 2 * (i32::from(step.fret) - i32::from(fret)).max(0);
        let released = step.joined == Some(Joint::Release) && quarters == 0;
        let free = if released { self.put_released(free, string, step.fret) } else { free };
        self.bend_by(bar, string, free, quarters)
    }

    fn bend_by(&mut self, bar: usize, string: StringIndex, to: Spot, quarters: i32) -> Spot {
        let Some(held) = self.held.get(string.index()).copied().flatten() else { return to };
        let kind = match held.ahead {
            true => LinkKind::PreBend(quarters),
            false => LinkKind::Bend { from: held.bent, to: quarters, went_on: held.went_on },
        };
        // The arrow of a note that is bent ahead stands beside its number.
        let back = self.scale.gaps(BEND_WIDTH - AHEAD_AIR);
        let to = if held.ahead { Spot { shift: to.shift - back, ..to } } else { to };
        self.link(held.bar, bar, Link { string, from: held.spot, to, kind });
        if let Some(place) = self.held.get_mut(string.index()) {
            let went_on = held.bent > 0 && quarters > held.bent;
            *place = Some(Held { spot: to, bar, bent: quarters, went_on, ahead: false, ..held });
        }
        to
    }

    /// The number of a fret that a bend was let down to, small and in brackets.
    fn put_released(&mut self, free: Spot, string: StringIndex, fret: Fret) -> Spot {
        let text = self.number(fret, true, Weight::Grace);
        let half = text.width / 2.0;
        let spot = Spot { shift: free.shift + half, half, ..free };
        let size = self.scale.fret_size(Weight::Grace);
        let face = MarkFace::Plain(text);
        self.put(Mark { spot, string, face, size, slide_in: None, slide_out: None });
        spot
    }

    /// Puts a harmonic over a fret or a muted stroke down.
    fn put_other(&mut self, bar: usize, tick: Ticks, note: &Note, fret: Option<Fret>) -> Spot {
        let weight = if fret.is_some() { Weight::Full } else { Weight::Cross };
        let size = self.scale.fret_size(weight);
        let (face, half) = match fret {
            Some(fret) => {
                let (text, half) = self.harmonic(fret, note.ghost);
                (MarkFace::Harmonic(text), half)
            }
            None => {
                let text = self.scale.cross(note.ghost);
                let half = text.width / 2.0;
                (MarkFace::Plain(text), half)
            }
        };
        let spot = Spot { tick, shift: Pt::ZERO, half };
        let fret = fret.unwrap_or_default();
        let (ghost, joined) = (note.ghost, note.joined);
        let step = Step { fret, ghost, joined, ahead: false, quarter: false };
        self.arrive(bar, note.string, spot, &step);
        self.tap(note.string, spot, note.tapped);
        let (slide_in, slide_out) = slides(note, true, true);
        self.put(Mark { spot, string: note.string, face, size, slide_in, slide_out });
        spot
    }

    fn tap(&mut self, string: StringIndex, spot: Spot, tapped: bool) {
        if let Some(tones) = self.tones.bars.last_mut().filter(|_| tapped) {
            tones.taps.push((string, spot));
        }
    }

    fn put(&mut self, mark: Mark) {
        if let Some(tones) = self.tones.bars.last_mut() {
            tones.marks.push(mark);
        }
    }

    fn link(&mut self, from_bar: usize, to_bar: usize, link: Link) {
        let index = self.tones.links.len();
        self.tones.links.push(link);
        if let Some(bar) = self.tones.bars.get_mut(from_bar) {
            bar.departs.push(index);
        }
        if let Some(bar) = self.tones.bars.get_mut(to_bar) {
            bar.arrives.push(index);
        }
    }
}

/// How far a bend's arrow leads to the right, in distances between tab lines.
const BEND_WIDTH: f32 = 1.15;

/// The air between a number and the straight arrow beside it, and between two sizes of bends, in the
/// same.
const AHEAD_AIR: f32 = 0.4;
const BETWEEN_SIZES: f32 = 0.4;

/// The air between a grace note and what follows it, for a slur and for a slide, in the same.
const SLUR_AIR: f32 = 0.95;
const SLIDE_AIR: f32 = 1.0;

/// The room of a pointed bracket beside a harmonic's number, in parts of the size of type.
pub(super) const POINTED_BRACKET: f32 = 0.38;

/// A free place to the right of another.
fn after(spot: Spot, distance: Pt) -> Spot {
    Spot { tick: spot.tick, shift: spot.shift + spot.half + distance, half: pt(0.0) }
}

/// The slides of a note that its first and its last step show.
fn slides(note: &Note, first: bool, last: bool) -> (Option<Slide>, Option<Slide>) {
    (note.slide_in.filter(|_| first), note.slide_out.filter(|_| last))
}
