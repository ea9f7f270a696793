//! A riff in plain words, moment by moment, for whoever can't see it.

use super::super::rows;
use super::chords::{self, Symbol};
use super::strokes::{self, Boxes};
use super::systems::within;
use crate::lesson::Setting;
use crate::lesson::setting::Swing;
use crate::music::tab::{Bar, Event, Form, Grace, Joint, Note, Remark, Riff, Slide, Sound};
use crate::neck::{Finger, Fret};
use crate::theory::Ticks;
use crate::words::{capital, ordinal};
use std::ops::Range;

/// The whole riff in words.
pub(super) fn whole(riff: &Riff, setting: &Setting) -> String {
    let end = riff.bars.last().map_or(Ticks::ZERO, |bar| bar.start + bar.length);
    let bars = 0..riff.bars.len();
    let music = some(riff, bars, Ticks::ZERO..end);
    let shapes = Boxes::spoken(riff, setting);
    let told = [opening(riff, setting), shapes, music];
    told.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" ")
}

/// Some bars of a riff in words, as far as their moments lie in a span.
pub(super) fn some(riff: &Riff, bars: Range<usize>, span: Range<Ticks>) -> String {
    let told = bars.filter_map(|index| {
        let bar = riff.bars.get(index)?;
        Some(Teller { riff, bar, index, span: &span }.tell())
    });
    told.collect::<Vec<String>>().join(" ")
}

/// What a group of bars is called: "Bar 3", "Bars 1 to 4".
pub(super) fn title(riff: &Riff, bars: Range<usize>) -> String {
    let number = |index: usize| riff.bars.get(index).map_or(0, |bar| bar.number);
    let (first, last) = (number(bars.start), number(bars.end.saturating_sub(1)));
    if first == last { format!("Bar {first}") } else { format!("Bars {first} to {last}") }
}

fn opening(riff: &Riff, setting: &Setting) -> String {
    let what = match &riff.form {
        Form::Tab => format!("Tab for {} strings", riff.instrument.tuning.len()),
        Form::Strum(_) => "A strumming pattern".to_owned(),
        Form::Words => "Chords over words".to_owned(),
    };
    let meter = riff.bars.first().filter(|_| riff.timed);
    let meter =
        meter.map_or_else(|| ", without rhythm".into(), |bar| format!(", in {}", bar.meter));
    let swing = match setting.swing {
        Swing::None => "",
        Swing::Eighths => ", eighths swung",
        Swing::Sixteenths => ", sixteenths swung",
    };
    let capo = match riff.instrument.capo {
        0 => String::new(),
        fret => format!(", capo at fret {fret}"),
    };
    let frame = if riff.frame { ", empty, to be filled in" } else { "" };
    format!("{what}{meter}{swing}{capo}{frame}.")
}

/// Something told about a moment.
pub(in super::super) struct Told {
    /// The moment, in the bar.
    pub at: Ticks,
    /// Its turn among all that is told about the moment.
    pub turn: Turn,
    pub words: String,
}

/// The order in which the things of one moment are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) enum Turn {
    /// Before the bar's name.
    Opens,
    /// The bar's name.
    Name,
    /// What holds from there.
    Holds,
    /// What is remarked.
    Remarked,
    /// What is sung.
    Sung,
    /// What is played, or silent.
    Played,
}

/// Tells one bar, or the part of it that lies in a span.
pub(in super::super) struct Teller<'a> {
    pub riff: &'a Riff,
    pub bar: &'a Bar,
    /// The bar's index.
    pub index: usize,
    /// The moments, counted from the riff's start.
    span: &'a Range<Ticks>,
}

impl<'a> Teller<'a> {
    fn tell(&self) -> String {
        let mut told = self.name();
        told.extend(rows::ALL.iter().flat_map(|kind| kind.tell(self)));
        let events = self.here(&self.bar.events, |event| event.at).iter();
        told.extend(events.map(|event| Told {
            at: event.at,
            turn: Turn::Played,
            words: self.event(event),
        }));
        told.sort_by_key(|told| (told.at, told.turn));
        let mut words: Vec<String> = told.into_iter().map(|told| told.words).collect();
        let silent = self.bar.counts.iter().any(|count| count.rest);
        let is_still = self.bar.events.is_empty() && !silent && !self.riff.frame;
        if is_still && self.holds(Ticks::ZERO) {
            words.push("Nothing is played anew.".into());
        }
        let last = self.bar.length - Ticks(1);
        words.extend(self.ending_words().filter(|_| self.holds(last)));
        words.join(" ")
    }

    /// Whether a moment of the bar is told.
    pub fn holds(&self, at: Ticks) -> bool {
        self.span.contains(&(self.bar.start + at))
    }

    /// Those of the bar's things, rising in time, that are told.
    pub fn here<'t, T>(&self, things: &'t [T], at: impl Fn(&T) -> Ticks) -> &'t [T] {
        within(things, self.span, |thing| self.bar.start + at(thing))
    }

    /// The remarks of a row that are told.
    pub fn remarks(&self, row: &str) -> &'a [Remark] {
        self.here(self.bar.remarks(row), |remark| remark.at)
    }

    /// The chords over the bar.
    pub fn chords(&self) -> Vec<Symbol<'a>> {
        chords::over(self.riff, self.index)
    }

    /// A row's remarks, each under a heading.
    pub fn tell_remarks(&self, row: &str, heading: &str) -> Vec<Told> {
        let told = |remark: &Remark| {
            let words = format!("{heading}: {}.", remark.text);
            Told { at: remark.at, turn: Turn::Remarked, words }
        };
        self.remarks(row).iter().map(told).collect()
    }

    /// Where a row's runs begin and end.
    pub fn tell_runs(&self, row: &str, begins: &str, ends: &str) -> Vec<Told> {
        let (start, runs) = (self.bar.start, self.riff.runs(row));
        let within = start.max(self.span.start)..(start + self.bar.length).min(self.span.end);
        let first = runs.partition_point(|(_, to)| *to < within.start);
        let near = runs.iter().skip(first).take_while(|(from, _)| *from < within.end);
        let told = |moment: Ticks, words: &str| {
            let at = || moment - start;
            let words = || words.to_owned();
            within.contains(&moment).then(|| Told { at: at(), turn: Turn::Holds, words: words() })
        };
        near.flat_map(|(from, to)| [told(*from, begins), told(*to, ends)]).flatten().collect()
    }

    /// "A repeat begins. Bar 4, A major, in 3/4."
    fn name(&self) -> Vec<Told> {
        if !self.holds(Ticks::ZERO) {
            return Vec::new();
        }
        let told = |turn, words| Told { at: Ticks::ZERO, turn, words };
        let repeat = self.bar.repeat_start.then(|| "A repeat begins.".to_owned());
        let pickup = self.riff.pickup && self.index == 0;
        let name = if pickup { "Pickup".into() } else { format!("Bar {}", self.bar.number) };
        let behind = rows::ALL.iter().filter_map(|kind| kind.tell_name(self));
        let names: Vec<String> = [name].into_iter().chain(behind).collect();
        let name = told(Turn::Name, format!("{}.", names.join(", ")));
        repeat.map(|words| told(Turn::Opens, words)).into_iter().chain([name]).collect()
    }

    fn ending_words(&self) -> Option<String> {
        match self.bar.repeat_end {
            Some(2) => Some("The repeat ends: play it twice.".into()),
            Some(times) => Some(format!("The repeat ends: play it {times} times in all.")),
            None => self.bar.double_end.then(|| "Double bar.".into()),
        }
    }

    /// A moment as it is counted: "1", "And of 2", "La of 3".
    pub fn when(&self, at: Ticks) -> String {
        if !self.riff.timed {
            return "Then".into();
        }
        let meter = self.bar.meter;
        let big = self.riff.big_beats && meter.is_compound();
        let beat = if big { meter.felt_beat() } else { meter.beat() };
        let place = (meter.bar() - self.bar.length) + at;
        let number = place.0 / beat.0.max(1) + 1;
        let counts = &self.bar.counts;
        let found = counts.binary_search_by(|count| count.at.cmp(&at)).ok();
        let sign = found.and_then(|found| counts.get(found)).map(|count| count.sign.as_str());
        match sign {
            _ if place % beat == Ticks::ZERO => number.to_string(),
            Some("&" | "+") => format!("And of {number}"),
            Some("'") | None => format!("Between {number} and the next beat"),
            Some(sign) => format!("{} of {number}", capital(sign)),
        }
    }

    /// What is played, and behind it what rows say of it: how it sounds, then how it is made, which are
    /// the rows from the last to the first.
    fn event(&self, event: &Event) -> String {
        let stroke = event.pick.filter(|_| matches!(self.riff.form, Form::Strum(_)));
        let played = match stroke {
            Some(stroke) => strokes::spoken(stroke).to_owned(),
            None => {
                let notes: Vec<String> = event.notes.iter().map(|note| self.note(note)).collect();
                notes.join("; ")
            }
        };
        let behind = rows::ALL.iter().rev().filter_map(|kind| kind.tell_event(self.riff, event));
        let words: Vec<String> = [played].into_iter().chain(behind).collect();
        format!("{}: {}.", self.when(event.at), words.join(", "))
    }

    /// "third string hammer-on to fret 6, with vibrato".
    fn note(&self, note: &Note) -> String {
        let string = format!("{} string", ordinal(self.riff.instrument.tuning.number(note.string)));
        let mut steps: Vec<String> = note.graces.iter().enumerate().map(grace).collect();
        let joined = note.joined.map(joint_words);
        let sound = match (note.sound, joined) {
            (Sound::Fret(fret), Some(joint)) => format!("{joint} {}", fret_words(fret)),
            (Sound::Fret(Fret::OPEN), None) => "open".into(),
            (Sound::Fret(fret), None) => fret_words(fret),
            (Sound::Harmonic(fret), _) => format!("harmonic over fret {fret}"),
            (Sound::Muted, _) => "muted".into(),
        };
        steps.push(sound);
        let mut words = format!("{string} {}", steps.join(", "));
        words.push_str(&extras(note));
        match note.finger.filter(|_| self.riff.fingered) {
            Some(Finger::Thumb) => words.push_str(", thumb"),
            Some(finger) => words.push_str(&format!(", finger {}", finger.sign())),
            None => {}
        }
        words
    }
}

/// What is said about a note behind its fret.
fn extras(note: &Note) -> String {
    let said = [
        note.ghost.then(|| "optional".to_owned()),
        note.tapped.then(|| "tapped".to_owned()),
        note.slide_in.map(|slide| match slide {
            Slide::Up => "slid into from below".to_owned(),
            Slide::Down => "slid into from above".to_owned(),
        }),
        note.slide_out.map(|slide| match slide {
            Slide::Up => "sliding out upwards".to_owned(),
            Slide::Down => "sliding out downwards".to_owned(),
        }),
        note.quarter_bend.then(|| "bent by a quarter tone".to_owned()),
        note.vibrato.then(|| "with vibrato".to_owned()),
    ];
    said.into_iter().flatten().map(|words| format!(", {words}")).collect()
}

fn grace((index, grace): (usize, &Grace)) -> String {
    let fret = fret_words(grace.sound);
    let ghost = if grace.ghost { " not picked" } else { "" };
    let quarter = if grace.quarter_bend { " bent by a quarter tone" } else { "" };
    match grace.joined {
        Some(joint) => format!("{} {fret}{ghost}{quarter}", joint_words(joint)),
        None if index == 0 => format!("from {fret}{ghost}{quarter}"),
        None => format!("{fret}{ghost}{quarter}"),
    }
}

fn joint_words(joint: Joint) -> &'static str {
    match joint {
        Joint::HammerOn => "hammer-on to",
        Joint::PullOff => "pull-off to",
        Joint::Slide => "slide to",
        Joint::Tap => "tap at",
        Joint::Bend => "bend to the pitch of",
        Joint::Release => "release to the pitch of",
    }
}

fn fret_words(fret: Fret) -> String {
    if fret.is_open() { "the open string".into() } else { format!("fret {fret}") }
}
