//! A riff in plain words, moment by moment, for whoever can't see it.

use super::super::model::{Bar, Event, Form, Grace, Joint, Note, Riff, Slide, Sound};
use super::chords;
use super::strokes::{self, Boxes};
use super::systems::within;
use crate::lesson::Setting;
use crate::lesson::setting::Swing;
use crate::neck::Finger;
use crate::theory::Ticks;
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
        Some(Teller { riff, bar, index }.tell(&span))
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
    format!("{what}{meter}{swing}{capo}.")
}

/// Tells one bar.
struct Teller<'a> {
    riff: &'a Riff,
    bar: &'a Bar,
    index: usize,
}

impl Teller<'_> {
    fn tell(&self, span: &Range<Ticks>) -> String {
        let here = |at: &Ticks| span.contains(&(self.bar.start + *at));
        let mut told: Vec<(Ticks, String)> = Vec::new();
        if here(&Ticks::ZERO) {
            told.push((Ticks::ZERO, self.heading()));
        }
        let start = self.bar.start;
        let chords = chords::over(self.riff, self.index);
        let later = within(&chords, span, |symbol| start + symbol.at).iter();
        told.extend(later.filter(|symbol| symbol.at > Ticks::ZERO).map(|symbol| {
            (symbol.at, format!("{}: chord {}.", self.when(symbol.at), symbol.spoken()))
        }));
        told.extend(self.runs(span));
        for (row, what) in
            [(self.bar.remarks("words"), "Remark"), (self.bar.remarks("tone"), "Tone")]
        {
            let remarks = within(row, span, |remark| start + remark.at).iter();
            told.extend(remarks.map(|remark| (remark.at, format!("{what}: {}.", remark.text))));
        }
        told.extend(self.sung(span));
        let counts = within(&self.bar.counts, span, |count| start + count.at).iter();
        let rests = counts.filter(|count| count.rest);
        told.extend(rests.map(|rest| (rest.at, format!("{}: rest.", self.when(rest.at)))));
        let events = within(&self.bar.events, span, |event| start + event.at).iter();
        told.extend(events.map(|event| (event.at, self.event(event))));
        told.sort_by_key(|(at, _)| *at);
        let silent = self.bar.counts.iter().any(|count| count.rest);
        if self.bar.events.is_empty() && !silent && here(&Ticks::ZERO) {
            told.push((self.bar.length - Ticks(1), "Nothing is played anew.".into()));
        }
        let mut told: Vec<String> = told.into_iter().map(|(_, words)| words).collect();
        told.extend(self.ending_words().filter(|_| here(&(self.bar.length - Ticks(1)))));
        told.join(" ")
    }

    /// "First ending. Bar 4, A major, in 3/4."
    fn heading(&self) -> String {
        let mut words = Vec::new();
        if self.bar.repeat_start {
            words.push("A repeat begins.".to_owned());
        }
        if let Some(ending) = self.bar.ending {
            words.push(format!("{} ending.", capital(&ordinal(usize::from(ending)))));
        }
        let pickup = self.riff.pickup && self.index == 0;
        let name = if pickup { "Pickup".into() } else { format!("Bar {}", self.bar.number) };
        let chords = chords::over(self.riff, self.index);
        let chord = chords.first().filter(|symbol| symbol.at == Ticks::ZERO);
        let chord = chord.map_or(String::new(), |symbol| format!(", {}", symbol.spoken()));
        let changes = self.bar.meter_changes && self.index > 0;
        let meter = if changes { format!(", in {}", self.bar.meter) } else { String::new() };
        words.push(format!("{name}{chord}{meter}."));
        words.join(" ")
    }

    fn ending_words(&self) -> Option<String> {
        match self.bar.repeat_end {
            Some(2) => Some("The repeat ends: play it twice.".into()),
            Some(times) => Some(format!("The repeat ends: play it {times} times in all.")),
            None => self.bar.double_end.then(|| "Double bar.".into()),
        }
    }

    /// The syllables that are sung in the part of the bar that lies in a span.
    fn sung(&self, span: &Range<Ticks>) -> Option<(Ticks, String)> {
        let syllables =
            within(self.bar.remarks("sung"), span, |syllable| self.bar.start + syllable.at);
        let at = syllables.first()?.at;
        let words: Vec<&str> = syllables.iter().map(|syllable| syllable.text.as_str()).collect();
        Some((at, format!("Sung: {}.", words.join(" "))))
    }

    /// Where runs of muting and ringing begin and end in the part of the bar that lies in a span.
    fn runs(&self, span: &Range<Ticks>) -> Vec<(Ticks, String)> {
        let start = self.bar.start;
        let within = start.max(span.start)..(start + self.bar.length).min(span.end);
        let told = |runs: &[(Ticks, Ticks)], begins: &str, ends: &str| {
            let first = runs.partition_point(|(_, to)| *to < within.start);
            let near = runs.iter().skip(first).take_while(|(from, _)| *from < within.end);
            let mut told = Vec::new();
            for (from, to) in near {
                told.extend(within.contains(from).then(|| (*from - start, begins.to_owned())));
                told.extend(within.contains(to).then(|| (*to - start, ends.to_owned())));
            }
            told
        };
        let mut all =
            told(self.riff.runs("mute"), "Palm-muted from here.", "The palm muting ends.");
        all.extend(told(self.riff.runs("ring"), "Let ring from here.", "The ringing ends."));
        all
    }

    /// A moment as it is counted: "1", "And of 2", "La of 3".
    fn when(&self, at: Ticks) -> String {
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

    fn event(&self, event: &Event) -> String {
        if let (Form::Strum(_), Some(pick)) = (&self.riff.form, event.pick) {
            let accent = if event.signs.contains_key("accent") { ", accented" } else { "" };
            return format!("{}: {}{accent}.", self.when(event.at), strokes::spoken(pick));
        }
        let notes: Vec<String> = event.notes.iter().map(|note| self.note(note)).collect();
        let mut words = notes.join("; ");
        if event.signs.contains_key("accent") {
            words.push_str(", accented");
        }
        if let Some(pick) = event.pick {
            words.push_str(&format!(", {}", strokes::spoken(pick)));
        }
        if !event.right.is_empty() {
            let fingers: Vec<String> = event.right.chars().map(String::from).collect();
            words.push_str(&format!(", plucked {}", fingers.join(" ")));
        }
        format!("{}: {words}.", self.when(event.at))
    }

    /// "third string hammer-on to fret 6, with vibrato".
    fn note(&self, note: &Note) -> String {
        let string = format!("{} string", ordinal(self.riff.instrument.tuning.number(note.string)));
        let mut steps: Vec<String> = note.graces.iter().enumerate().map(grace).collect();
        let joined = note.joined.map(joint_words);
        let sound = match (note.sound, joined) {
            (Sound::Fret(fret), Some(joint)) => format!("{joint} {}", fret_words(fret)),
            (Sound::Fret(0), None) => "open".into(),
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
    let fret = fret_words(grace.fret);
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

fn fret_words(fret: u8) -> String {
    if fret == 0 { "the open string".into() } else { format!("fret {fret}") }
}

fn ordinal(number: usize) -> String {
    const WORDS: [&str; 12] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth", "eleventh", "twelfth",
    ];
    let word = number.checked_sub(1).and_then(|index| WORDS.get(index));
    word.map_or_else(|| format!("{number}th"), |word| (*word).to_owned())
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
