//! Reading a cue: `[show hook]`, `[play bars 1 to 2 of hook twice]`, `[pause 2 s]`, free words.

use super::seconds::Seconds;
use super::{Cue, Order, Play, Played, Prop, Shown, Stage};
use crate::blocks::bars::wrong_bars;
use crate::findings::nearest::near;
use crate::findings::rules::{block_syntax, cue, unknown_name};
use crate::findings::source::Line;
use crate::findings::{Finding, Findings};
use crate::lesson::numbers::{bars_of, without_the};
use crate::lesson::setting::Tempo;
use crate::theory::Names;
use crate::words::help::{self, Sign, see, sign};
use std::time::Duration;

/// The most times that something is played. Assumed: nobody films more.
const MOST_TIMES: u32 = 100;
/// The longest pause, and the longest that a chord stands, in seconds. Assumed: what is longer is a slip.
const LONGEST: f64 = 600.0;

/// Reads a line that begins with a square bracket.
pub(super) fn read(
    line: Line<'_>,
    (stage, names): (&dyn Stage, Names),
    findings: &mut Findings,
) -> Cue {
    let inner = line.split_at(1).1;
    let inner = match inner.text.strip_suffix(']') {
        Some(text) => Line { text, start: inner.start }.trimmed(),
        None => {
            let message = "a cue ends with `]` on its own line";
            let finding = block_syntax::at(line.whole(), message);
            findings.add(finding.note("what is said stands on lines of its own, without brackets"));
            return free(line, inner.trimmed());
        }
    };
    // `[[show hook]]` and `[pause: 2 s]` are read as they are meant.
    let inner = match inner.text.strip_prefix('[').and_then(|text| text.strip_suffix(']')) {
        Some(text) => Line { text, start: inner.start + 1 }.trimmed(),
        None => inner,
    };
    let (verb, rest) = inner.first_word();
    let verb = Line { text: verb.text.trim_end_matches(':'), ..verb };
    let mut reader = CueReader { stage, names, findings };
    let known = VERBS.iter().find(|known| verb.is(known.word));
    if known.is_none() {
        reader.check_word(verb, rest);
    }
    let order = known.and_then(|known| (known.read)(&mut reader, inner, rest));
    Cue { order: order.unwrap_or(Order::Free), ..free(line, inner) }
}

/// A word that a cue begins with, cues in which it does, and how what follows it is read: from the whole cue
/// and what stands behind the word.
struct Verb {
    word: &'static str,
    takes: Takes,
    signs: &'static [Sign],
    read: fn(&mut CueReader, Line, Line) -> Option<Order>,
}

/// What follows a word that a cue begins with, by which one that is nearly that word is known.
#[derive(Clone, Copy, PartialEq)]
enum Takes {
    /// The name of a block.
    Name,
    /// A time.
    Time,
    /// Whatever words.
    Words,
}

const VERBS: [Verb; 4] = [
    Verb {
        word: "show",
        takes: Takes::Name,
        signs: &[
            sign(
                "[show hook]",
                "a block is on the screen, or the shape of a chord, until the next `show`",
            ),
            sign("[show bars 1 to 2 of hook]", "just those bars"),
        ],
        read: |reader, _, rest| reader.shown(rest).map(Order::Show),
    },
    Verb {
        word: "play",
        takes: Takes::Name,
        signs: &[
            sign("[play hook]", "a block is played, or bars of it"),
            sign("[play hook at 80 twice]", "in that manner"),
            sign("[play grips, each 2 s]", "chord by chord, so long each; else a bar each"),
        ],
        read: |reader, _, rest| reader.play(rest).map(Order::Play),
    },
    Verb {
        word: "pause",
        takes: Takes::Time,
        signs: &[sign("[pause 2 s]", "nothing is said so long")],
        read: |reader, inner, rest| reader.pause(inner, rest).map(Order::Pause),
    },
    Verb {
        word: "retake",
        takes: Takes::Words,
        signs: &[sign(
            "[retake too fast]",
            "what follows up to the next cue is said again; words may say why",
        )],
        read: |_, _, _| Some(Order::Retake),
    },
];

/// How something is played, behind its name in a `play` cue.
pub(super) const MANNERS: [Sign; 6] = [
    sign("once", "as where nothing is said"),
    sign("twice", "two times"),
    sign("3 times", "so often"),
    sign("at 80", "at that tempo; or `at dotted 60`"),
    sign("slowly", "at half the tempo"),
    sign("each 2 s", "so long a chord or a diagram, of a block without a count"),
];

/// What cues may say.
pub(super) fn signs() -> Vec<Sign> {
    let own =
        "any other first word: a cue in your own words; `camera` and `tone` part the list of shots";
    let free = sign("[camera on the hand]", own);
    VERBS.iter().flat_map(|verb| verb.signs).copied().chain([free]).collect()
}

/// The cues as a message has them.
fn written() -> String {
    help::named(VERBS.iter().flat_map(|verb| verb.signs))
}

fn free(line: Line<'_>, inner: Line<'_>) -> Cue {
    Cue { words: inner.text.to_owned(), span: line.whole(), order: Order::Free }
}

struct CueReader<'a> {
    names: Names,
    stage: &'a dyn Stage,
    findings: &'a mut Findings,
}

impl CueReader<'_> {
    fn fault(&mut self, line: Line<'_>, message: impl Into<String>, note: &str) {
        let finding = block_syntax::at(line.whole(), message.into());
        self.findings.add(finding.note(note).note(see("say")));
    }

    /// Whether a word that begins no known cue is a letter or two from one that does, before a name or a time.
    fn check_word(&mut self, verb: Line<'_>, rest: Line<'_>) {
        let (name, _) = target(rest).1.first_word();
        let names = self.stage.names();
        let is_named = names.has(name.text.trim_end_matches(','));
        let is_timed = name.text.starts_with(|c: char| c.is_ascii_digit());
        let fits = |known: &&Verb| match known.takes {
            Takes::Name => is_named,
            Takes::Time => is_timed,
            Takes::Words => false,
        };
        let near = near(verb.text, VERBS.iter().filter(fits).map(|known| known.word), 2);
        if !near.words.is_empty() {
            let finding = cue::fumbled(verb.whole(), verb.text);
            self.findings.add(finding.offer(&near, verb.whole(), str::to_owned).note(see("say")));
        }
    }

    fn shown(&mut self, line: Line<'_>) -> Option<Shown> {
        let (bars, name) = target(line);
        if let Some(prop) = self.stage.find(name.text) {
            self.check_bars(line, name, prop, bars);
            return Some(Shown::Block { index: prop.index, bars });
        }
        let chord = self.names.chord(name.text).ok().filter(|_| bars.is_none());
        match chord.and_then(|chord| Some((self.stage.shape(&chord)?, chord))) {
            Some((index, chord)) => Some(Shown::Shape { index, chord }),
            None => self.unknown(line, name),
        }
    }

    fn play(&mut self, line: Line<'_>) -> Option<Play> {
        let (line, manner) = self.manner(line)?;
        let (bars, name) = target(line);
        let Some(prop) = self.stage.find(name.text) else { return self.unknown(line, name) };
        self.check_bars(line, name, prop, bars);
        if prop.played.is_none() {
            let message = format!("`{}` has no count, so it can't be played", name.text);
            let note = "a riff with a count row can, and so can changes, chords and diagrams";
            self.fault(name, message, note);
            return None;
        }
        let Manner { times, tempo, slowly, each } = manner;
        if let Some((written, _)) = each {
            self.check_each(written, name, prop, tempo.is_some() || slowly)?;
        }
        let each = each.map(|(_, time)| time);
        Some(Play { index: prop.index, bars, times, tempo, slowly, each })
    }

    /// Whether `each 2 s` can say how long a block's chords take.
    fn check_each(
        &mut self,
        written: Line<'_>,
        name: Line<'_>,
        prop: Prop,
        has_tempo: bool,
    ) -> Option<()> {
        if prop.played == Some(Played::InTime) {
            let message = format!(
                "`{}` has its own clock, so `{}` says nothing of it",
                name.text, written.text
            );
            self.fault(written, message, "`at 80` says how fast it is played");
            return None;
        }
        if has_tempo {
            let message =
                format!("a tempo and `{}` can't both say how fast it is played", written.text);
            self.fault(written, message, "leave one of them out");
            return None;
        }
        Some(())
    }

    /// Takes how often and how fast off the end of a cue.
    fn manner<'l>(&mut self, mut line: Line<'l>) -> Option<(Line<'l>, Manner<'l>)> {
        let mut manner = Manner { times: 1, tempo: None, slowly: false, each: None };
        loop {
            line = Line { text: line.text.trim_end_matches([',', ' ', '\t']), ..line };
            let (front, last) = line.last_word();
            match last.text.to_lowercase().as_str() {
                "once" => (line, manner.times) = (front, 1),
                "twice" => (line, manner.times) = (front, 2),
                "slowly" => (line, manner.slowly) = (front, true),
                "times" => (line, manner.times) = self.times(front)?,
                _ => match (at_tempo(line), each(line)) {
                    (Some((front, tempo)), _) => {
                        (line, manner.tempo) = (front, Some(self.tempo(tempo)?));
                    }
                    (None, Some((front, written, time))) => {
                        match self::time(written, time, |seconds| format!("each {seconds} s")) {
                            Ok(time) => (line, manner.each) = (front, Some((written, time))),
                            Err(finding) => return self.refuse(*finding),
                        }
                    }
                    (None, None) => return Some((line, manner)),
                },
            }
        }
    }

    /// How often, from the number at the end of a line.
    fn times<'l>(&mut self, line: Line<'l>) -> Option<(Line<'l>, u32)> {
        let (front, number) = line.last_word();
        let times = number.text.parse().ok().filter(|times| (1..=MOST_TIMES).contains(times));
        if times.is_none() {
            let message = format!("`{}` can't be how often it is played", number.text);
            self.fault(line, message, "1 to 100 times");
        }
        Some((front, times?))
    }

    fn tempo(&mut self, written: Line<'_>) -> Option<Tempo> {
        let tempo = Tempo::parse(written.text);
        if tempo.is_none() {
            let message = format!("`{}` is no tempo", written.text);
            self.fault(written, message, "20 to 400, or `dotted 60`");
        }
        tempo
    }

    fn pause(&mut self, cue: Line<'_>, line: Line<'_>) -> Option<Duration> {
        let note = "to have a pause of your own words, begin with another word: `[breathe]`";
        match time(cue, line, |seconds| format!("[pause {seconds} s]")) {
            Ok(time) => Some(time),
            Err(finding) => self.refuse(finding.note(note)),
        }
    }

    /// Takes a finding in with where more is said; always `None`.
    fn refuse<T>(&mut self, finding: Finding) -> Option<T> {
        self.findings.add(finding.note(see("say")));
        None
    }

    fn check_bars(&mut self, line: Line<'_>, name: Line<'_>, prop: Prop, bars: Option<(u32, u32)>) {
        let wrong = bars.and_then(|bars| wrong_bars(line.whole(), name.text, prop.bars, bars));
        if let Some(finding) = wrong {
            self.findings.add(finding);
        }
    }

    /// The finding about a cue that names nothing; always `None`.
    fn unknown<T>(&mut self, line: Line<'_>, name: Line<'_>) -> Option<T> {
        if name.text.is_empty() {
            self.fault(line, "this cue names nothing", &format!("cues are written {}", written()));
            return None;
        }
        let names = self.stage.names();
        let (first, behind) = name.first_word();
        if !behind.text.is_empty() && names.has(first.text) {
            let message = format!("`{}` can't be read behind a figure's name", behind.text);
            let manners = help::named(&MANNERS);
            self.fault(behind, message, &format!("a `play` cue says there how: {manners}"));
            return None;
        }
        let finding = unknown_name::none(name.whole(), "figure", name.text);
        // Of a longer name a third of the letters may be wrong.
        let most = (name.text.chars().count() / 3).max(2);
        let near = names.near(name.text, most);
        let advice = "a cue names a block of music; `show` takes a chord that has a shape too";
        self.findings.add(match near.words.is_empty() {
            true => finding.note(advice),
            false => finding.offer(&near, name.whole(), str::to_owned),
        });
        None
    }
}

/// Reads a time in seconds; the finding, about the whole that it stands in, says by the form how it is written.
fn time(
    whole: Line<'_>,
    line: Line<'_>,
    form: impl Fn(f64) -> String,
) -> Result<Duration, Box<Finding>> {
    let read = Seconds::read(line.text).filter(|time| (0.0..=LONGEST).contains(&time.number));
    let Some(Seconds { number, meant }) = read else {
        let message = format!("a time is written in seconds, as in `{}`, at most 600", form(2.0));
        return Err(Box::new(block_syntax::at(whole.whole(), message)));
    };
    let Some(ground) = meant else { return Ok(Duration::from_secs_f64(number)) };
    let form = form(number);
    let message = format!("a time is written in seconds with `s`: `{form}`");
    let finding = block_syntax::at(whole.whole(), message);
    let written = format!("{number} s");
    Err(Box::new(finding.fix(format!("`{form}`"), line.whole(), written, ground)))
}

/// How something is played.
struct Manner<'l> {
    times: u32,
    tempo: Option<Tempo>,
    slowly: bool,
    /// How long each chord is, as written and as time.
    each: Option<(Line<'l>, Duration)>,
}

/// Parts `at 80` or `at dotted 60` off the end of a cue.
fn at_tempo(line: Line<'_>) -> Option<(Line<'_>, Line<'_>)> {
    let (front, number) = line.last_word();
    let (before, word) = front.last_word();
    if word.is("at") {
        return Some((before, number));
    }
    let (before, at) = before.last_word();
    (word.is("dotted") && at.is("at")).then(|| (before, line.from_to(word, number)))
}

/// Parts `each 2 s` off the end of a cue: what stands before, the phrase, and its time.
fn each(line: Line<'_>) -> Option<(Line<'_>, Line<'_>, Line<'_>)> {
    let (mut front, mut word) = line.last_word();
    for _ in 0..2 {
        let time = word;
        (front, word) = front.last_word();
        if word.is("each") && !front.text.is_empty() {
            let phrase = line.from_to(word, line.last_word().1);
            return Some((front, phrase, line.from_to(time, line.last_word().1)));
        }
    }
    None
}

/// The bars and the name in `bars 1 to 2 of the hook`.
fn target(line: Line<'_>) -> (Option<(u32, u32)>, Line<'_>) {
    match bars_of(line) {
        Some((bars, name)) => (Some(bars), without_the(name)),
        None => (None, without_the(line)),
    }
}
