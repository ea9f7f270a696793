//! A riff in plain words, moment by moment, for whoever can't see it. Nothing that is printed is left out: a test
//! rebuilds riffs from their words (`tests/it/told`).

use super::super::rows;
use super::chords::{self, Symbol};
use super::strokes::{self, Boxes};
use super::systems::within;
use crate::lesson::Setting;
use crate::lesson::setting::Swing;
use crate::music::tab::{Bar, Event, Form, Grace, Joint, Note, Remark, Riff, Slide, Sound};
use crate::neck::{Fret, StringIndex};
use crate::theory::Ticks;
use crate::words::{capital, listed, ordinal, terms};
use std::collections::BTreeMap;
use std::ops::Range;

/// The whole riff in words, a line a bar. A bar that goes like an earlier one is told by that one's number.
pub(super) fn whole(riff: &Riff, setting: &Setting) -> String {
    let end = riff.bars.last().map_or(Ticks::ZERO, |bar| bar.start + bar.length);
    let span = Ticks::ZERO..end;
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    let bars = tellers(riff, 0..riff.bars.len(), &span).map(|teller| {
        let mut told = teller.tell();
        let number = teller.bar.number;
        let like = *known.entry(told.music.clone()).or_insert(number);
        if like != number && told.moments > 1 {
            told.music = format!("As bar {like}.");
        }
        told.in_words()
    });
    let told = [opening(riff, setting), Boxes::spoken(riff, setting)].into_iter().chain(bars);
    told.filter(|words| !words.is_empty()).collect::<Vec<_>>().join("\n")
}

/// Some bars of a riff in words, as far as their moments lie in a span.
pub(super) fn some(riff: &Riff, bars: Range<usize>, span: Range<Ticks>) -> String {
    let told = tellers(riff, bars, &span).map(|teller| teller.tell().in_words());
    told.collect::<Vec<String>>().join("\n")
}

fn tellers<'a>(
    riff: &'a Riff,
    bars: Range<usize>,
    span: &'a Range<Ticks>,
) -> impl Iterator<Item = Teller<'a>> {
    bars.filter_map(move |index| Some(Teller { riff, bar: riff.bars.get(index)?, index, span }))
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
    let big = if riff.big_beats { ", counted in big beats" } else { "" };
    let capo = match riff.instrument.capo {
        0 => String::new(),
        fret => format!(", capo at fret {fret}"),
    };
    let frame = if riff.frame { ", empty, to be filled in" } else { "" };
    format!("{what}{meter}{big}{swing}{capo}{frame}.")
}

/// Something told about a moment.
pub(in super::super) struct Told {
    /// The moment, in the bar.
    pub at: Ticks,
    /// Its turn among all that is told about the moment.
    pub turn: Turn,
    /// A sentence before the bar's name and as part of it; for a moment a few words, that follow its count.
    pub words: String,
}

/// A bar in words.
struct BarTold {
    /// What it is called, and what begins with it.
    name: String,
    /// Its moments.
    music: String,
    /// How many of them.
    moments: usize,
    /// What ends with it.
    end: Option<String>,
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
    fn tell(&self) -> BarTold {
        let mut told = self.name();
        told.extend(rows::ALL.iter().flat_map(|kind| kind.tell(self)));
        told.extend(self.events());
        told.sort_by_key(|told| (told.at, told.turn));
        let named = told.iter().take_while(|told| told.turn <= Turn::Name).count();
        let (name, moments) = told.split_at(named);
        let moments: Vec<String> = moments
            .chunk_by(|one, next| one.at == next.at)
            .filter_map(|of| self.moment(of))
            .collect();
        let silent = self.bar.events.is_empty() && !self.riff.frame && self.holds(Ticks::ZERO);
        let rests = self.bar.counts.iter().any(|count| count.rest);
        let still = (silent && !rests).then(|| "Nothing is played anew.".to_owned());
        let count = moments.len();
        let music: Vec<String> = still.into_iter().chain(moments).collect();
        let last = self.bar.length - Ticks(1);
        let end = self.ending_words().filter(|_| self.holds(last));
        BarTold { name: joined(name), music: music.join(" "), moments: count, end }
    }

    /// "And of 2: chord A major; third string fret 2."
    fn moment(&self, told: &[Told]) -> Option<String> {
        let at = told.first()?.at;
        let words: Vec<&str> = told.iter().map(|told| told.words.as_str()).collect();
        Some(format!("{}: {}.", self.when(at), words.join("; ")))
    }

    /// What is played. The string of a note that follows one on the same string isn't named again.
    fn events(&self) -> Vec<Told> {
        let mut known = None;
        let events = self.here(&self.bar.events, |event| event.at).iter();
        let told = events.map(|event| {
            let words = self.event(event, known);
            known = match event.notes.as_slice() {
                [note] => Some(note.string),
                _ => None,
            };
            Told { at: event.at, turn: Turn::Played, words }
        });
        told.collect()
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
            let words = format!("{heading} “{}”", remark.text);
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
        let name = match pickup {
            true => format!("Pickup from {}", self.when(Ticks::ZERO).to_lowercase()),
            false => format!("Bar {}", self.bar.number),
        };
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

    /// A moment as it is counted: "Beat 1", "And of 2", "La of 3"; what is counted by no sign of its own as a part of
    /// the beat, "1/8 of a beat after 2".
    pub fn when(&self, at: Ticks) -> String {
        if !self.riff.timed {
            return "Then".into();
        }
        let meter = self.bar.meter;
        let big = self.riff.big_beats && meter.is_compound();
        let beat = if big { meter.felt_beat() } else { meter.beat() };
        let place = (meter.bar() - self.bar.length) + at;
        let number = place.0 / beat.0.max(1) + 1;
        let part = place % beat;
        let counts = &self.bar.counts;
        let found = counts.binary_search_by(|count| count.at.cmp(&at)).ok();
        let sign = found.and_then(|found| counts.get(found)).map(|count| count.sign.as_str());
        match sign {
            _ if part == Ticks::ZERO => format!("Beat {number}"),
            _ if part * 2 == beat => format!("And of {number}"),
            Some(sign) if has_place_of_its_own(sign) => format!("{} of {number}", capital(sign)),
            _ => {
                let common = common_factor(part.0, beat.0).max(1);
                format!("{}/{} of a beat after {number}", part.0 / common, beat.0 / common)
            }
        }
    }

    /// What is played, and behind it what rows say of it: how it sounds, then how it is made, which are
    /// the rows from the last to the first.
    fn event(&self, event: &Event, known: Option<StringIndex>) -> String {
        let stroke = event.pick.filter(|_| matches!(self.riff.form, Form::Strum(_)));
        let played = match stroke {
            Some(stroke) => strokes::spoken(stroke).to_owned(),
            None => self.notes(&event.notes, known),
        };
        let behind = rows::ALL.iter().rev().filter_map(|kind| kind.tell_event(self.riff, event));
        let words: Vec<String> = [played].into_iter().chain(behind).collect();
        words.join(", ")
    }

    /// "fifth string open; third and second strings fret 2"; without the string where it is the known one.
    fn notes(&self, notes: &[Note], known: Option<StringIndex>) -> String {
        let told: Vec<(StringIndex, String)> =
            notes.iter().map(|note| (note.string, self.note(note))).collect();
        if let [(string, words)] = told.as_slice()
            && known == Some(*string)
        {
            return words.clone();
        }
        let name = |string| ordinal(self.riff.instrument.tuning.number(string));
        let alike = told.chunk_by(|(_, one), (_, next)| one == next).filter_map(|alike| {
            let (_, words) = alike.first()?;
            let strings: Vec<String> = alike.iter().map(|(string, _)| name(*string)).collect();
            let called = if alike.len() == 1 { "string" } else { "strings" };
            Some(format!("{} {called} {words}", listed(&strings)))
        });
        alike.collect::<Vec<_>>().join("; ")
    }

    /// "hammer-on to fret 6, middle finger, with vibrato".
    fn note(&self, note: &Note) -> String {
        let graces = note.graces.iter().enumerate();
        let mut steps: Vec<String> =
            graces.map(|(index, grace)| self.grace(index, grace)).collect();
        let sound = match note.sound {
            Sound::Fret(Fret::OPEN) if note.joined.is_none() => "open".into(),
            Sound::Fret(fret) => fret_words(fret),
            Sound::Harmonic(fret) => format!("harmonic over fret {fret}"),
            Sound::Muted => "muted".into(),
        };
        steps.push(match note.joined {
            Some(joint) => format!("{} {sound}", joint_words(joint)),
            None => sound,
        });
        let goes_on = note.joined.is_some_and(keeps_finger);
        let before = note.graces.last().and_then(|grace| grace.finger).filter(|_| goes_on);
        let finger = note.finger.filter(|finger| self.riff.fingered && before != Some(*finger));
        steps.extend(finger.map(|finger| terms::whole_finger(finger).to_owned()));
        steps.join(", ") + &extras(note)
    }

    /// "from fret 5 with index finger", "bend to the pitch of fret 7".
    fn grace(&self, index: usize, grace: &Grace) -> String {
        let begins = if index == 0 { "from" } else { "then" };
        let how = grace.joined.map_or(begins, joint_words);
        let finger = grace.finger.filter(|_| self.riff.fingered);
        let finger = finger.map(|finger| format!(" with {}", terms::whole_finger(finger)));
        let ghost = if grace.ghost { " not picked" } else { "" };
        let quarter = if grace.quarter_bend { " bent by a quarter tone" } else { "" };
        format!("{how} {}{}{ghost}{quarter}", fret_words(grace.sound), finger.unwrap_or_default())
    }
}

impl BarTold {
    fn in_words(self) -> String {
        let parts = [self.name, self.music].into_iter().chain(self.end);
        parts.filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" ")
    }
}

fn joined(told: &[Told]) -> String {
    told.iter().map(|told| told.words.as_str()).collect::<Vec<_>>().join(" ")
}

/// Whether a sign of the count always stands at the same part of its beat; others follow the count before them.
fn has_place_of_its_own(sign: &str) -> bool {
    !matches!(sign, "ta" | "'" | "’")
}

/// The largest number that divides both.
fn common_factor(one: u32, other: u32) -> u32 {
    if other == 0 { one } else { common_factor(other, one % other) }
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

/// Whether a joint is played by the finger that holds the note before it, which isn't named again.
fn keeps_finger(joint: Joint) -> bool {
    matches!(joint, Joint::Slide | Joint::Bend | Joint::Release)
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
