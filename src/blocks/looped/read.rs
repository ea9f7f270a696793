//! Reading a loop: the name of a block, and phrases about how it is played.

use super::{Backing, Loop, TOO_LONG, WRITTEN};
use crate::blocks::{Offer, Other, Others};
use crate::findings::rules::{block_syntax, unknown_name};
use crate::findings::source::Line;
use crate::findings::{Finding, Findings, Span};
use crate::lesson::fence::Fence;
use crate::lesson::numbers::without_the;
use crate::lesson::setting::Tempo;
use crate::music::ladder::Round;

/// The most times that something is played at one tempo. Assumed: nobody practises more at once.
const MOST_TIMES: u32 = 1000;
/// The most tempos of a loop, whose boxes stay on one page. Assumed: nobody climbs more rungs at once.
const MOST_TEMPOS: usize = 40;

/// Reads a `loop` block; `None` where it names nothing that can be played over and over.
pub fn read(fence: &Fence<'_>, others: &Others<'_>, findings: &mut Findings) -> Option<Loop> {
    let last = fence.lines.last();
    let lines = fence.lines.iter().flat_map(|line| line.parts(','));
    let mut lines = lines.filter(|line| !line.text.is_empty());
    let Some(first) = lines.next() else {
        findings.add(
            block_syntax::at(fence.head, "this loop names nothing to practise")
                .note("write the name of a block, and how often: `solo 8 times at 70`"),
        );
        return None;
    };
    let (name, rest) = without_the(first).first_word();
    let parts = others.music(name.text).map(|music| music.part_names()).unwrap_or_default();
    let mut said = Said { parts, ..Said::default() };
    for phrase in [rest].into_iter().chain(lines).chain(fence.phrases.iter().copied()) {
        said.read_all(phrase, findings);
    }
    let other = found(name, others, findings)?;
    let music = other.music?;
    let (Some(once), Some(opening)) = (music.length(), music.opening()) else {
        findings.add(without_clock(name));
        return None;
    };
    let own = other.fence.setting.tempo;
    let tempos = if said.tempos.is_empty() { vec![own] } else { said.tempos };
    let times = said.times.unwrap_or(1);
    let read = Loop {
        of: other.index,
        title: other.title().unwrap_or_else(|| name.text.to_owned()),
        rounds: tempos.into_iter().map(|tempo| Round { tempo, times }).collect(),
        click: said.click.unwrap_or(true),
        count_in: said.count_in.unwrap_or(true),
        chords: said.chords.unwrap_or(Backing::Held),
        bass: said.bass,
        without: left_out(&said.without, (name, &said.parts), findings),
        said: last.map_or(first.whole(), |last| first.whole().to(last.whole())),
        once,
        opening,
    };
    if read.sounds_for(None) >= TOO_LONG {
        findings.add(too_long(first.whole(), &read));
        return None;
    }
    if read.bass && music.chords().is_empty() {
        findings.add(no_chords(name));
        return None;
    }
    if !read.bass && !said.parts.is_empty() && said.parts.iter().all(|p| read.without.contains(p)) {
        findings.add(all_left_out(first.whole(), name));
        return None;
    }
    Some(read)
}

/// The block of a name that is played.
fn found<'r>(name: Line<'_>, others: &Others<'r>, findings: &mut Findings) -> Option<Other<'r>> {
    let Some(other) = others.named(name.text) else {
        let names = others.called(Offer::Bars);
        let finding = unknown_name::none(name.whole(), "block to play", name.text);
        findings.add(finding.offer(&names.near(name.text, 2), name.whole(), str::to_owned));
        return None;
    };
    if !other.offers(Offer::Bars) {
        findings.add(without_clock(name));
        return None;
    }
    Some(other)
}

fn without_clock(name: Line<'_>) -> Finding {
    let message = format!("`{}` has no bars in time, so it can't go round", name.text);
    block_syntax::at(name.whole(), message)
        .note("a loop is of a `changes` or a `together` block, or of a riff with a `count` row")
}

fn no_chords(name: Line<'_>) -> Finding {
    let message = format!("`{}` has no chords, so a bass has nothing to play", name.text);
    block_syntax::at(name.whole(), message)
        .note("it plays the roots of a `chord` row or of changes")
}

fn all_left_out(place: Span, name: Line<'_>) -> Finding {
    let message = format!("this loop leaves out all parts of `{}`, so nothing is heard", name.text);
    block_syntax::at(place, message).note("leave out the part that the student plays")
}

fn too_long(place: Span, read: &Loop) -> Finding {
    let minutes = read.sounds_for(None).as_secs() / 60;
    let message = format!("this would sound for {minutes} minutes; a loop stays below 60");
    block_syntax::at(place, message).note("fewer times, or fewer tempos")
}

/// The parts that are left out, as the block names them; one that it doesn't have is a fault.
fn left_out(
    without: &[(String, Span)],
    (block, parts): (Line<'_>, &[String]),
    findings: &mut Findings,
) -> Vec<String> {
    let mut left = Vec::new();
    for (part, place) in without {
        match parts.iter().find(|name| is_called(name, part)) {
            Some(name) => left.push(name.clone()),
            None => findings.add(unknown_name::no_part(*place, (block.text, part), parts)),
        }
    }
    left
}

/// Whether a part has a name, whatever the case and the spaces between its words.
fn is_called(part: &str, name: &str) -> bool {
    let words =
        |text: &str| -> Vec<String> { text.split_whitespace().map(str::to_lowercase).collect() };
    words(part) == words(name)
}

/// What the phrases say so far.
#[derive(Default)]
struct Said {
    /// The parts of the block that is played.
    parts: Vec<String>,
    times: Option<u32>,
    tempos: Vec<Tempo>,
    click: Option<bool>,
    count_in: Option<bool>,
    chords: Option<Backing>,
    bass: bool,
    /// What is left out, as it is written.
    without: Vec<(String, Span)>,
}

impl Said {
    /// Reads the phrases between two commas, which may follow one another without any.
    fn read_all(&mut self, phrases: Line<'_>, findings: &mut Findings) {
        let words: Vec<Line<'_>> = phrases.words().collect();
        let mut rest = words.as_slice();
        while let (Some(first), Some(last)) = (rest.first(), rest.last()) {
            match self.read(rest, findings) {
                0 => {
                    let phrase = phrases.from_to(*first, *last);
                    let finding = block_syntax::no_phrase(phrase, "a `loop` block");
                    findings.add(finding.note(WRITTEN.fence_knows()));
                    return;
                }
                taken => rest = rest.get(taken..).unwrap_or_default(),
            }
        }
    }

    /// Reads the phrase that some words begin with: how many words it takes, 0 where there is none.
    fn read(&mut self, words: &[Line<'_>], findings: &mut Findings) -> usize {
        let lower: Vec<String> = words.iter().take(4).map(|w| w.text.to_lowercase()).collect();
        let lower: Vec<&str> = lower.iter().map(String::as_str).collect();
        match lower.as_slice() {
            ["once", ..] => self.take_times(1, 1),
            ["twice", ..] => self.take_times(2, 1),
            [number, "times", ..] => match number.parse() {
                Ok(times) if (1..=MOST_TIMES).contains(&times) => self.take_times(times, 2),
                _ => wrong(words, "is no number of times", "1 to 1000", findings),
            },
            ["at" | "then", "dotted", ..] => self.tempo(words, 3, findings),
            ["at" | "then", _, ..] => self.tempo(words, 2, findings),
            _ => self.manner(&lower, words),
        }
    }

    fn take_times(&mut self, times: u32, words: usize) -> usize {
        self.times = Some(times);
        words
    }

    /// Reads `at 70`, `then dotted 60`, so many words.
    fn tempo(&mut self, words: &[Line<'_>], taken: usize, findings: &mut Findings) -> usize {
        let number = words.get(1..taken.min(words.len())).unwrap_or_default();
        let written: Vec<&str> = number.iter().map(|word| word.text).collect();
        match Tempo::parse(&written.join(" ")) {
            Some(_) if self.tempos.len() == MOST_TEMPOS => {
                if let Some(word) = words.first() {
                    let message = "a loop has at most 40 tempos";
                    findings.add(block_syntax::at(word.whole(), message));
                }
                return words.len();
            }
            Some(tempo) => self.tempos.push(tempo),
            None => {
                let allowed = "20 to 400 quarter notes a minute, such as `92`, or `dotted 60`";
                return wrong(number, "is no tempo", allowed, findings) + 1;
            }
        }
        taken
    }

    /// Reads a phrase about how it sounds.
    fn manner(&mut self, lower: &[&str], words: &[Line<'_>]) -> usize {
        match lower {
            ["strummed", ..] => self.take_chords(Backing::Strummed),
            ["held", ..] => self.take_chords(Backing::Held),
            ["with" | "without" | "no", "a", what, ..] | ["with" | "no", what, ..]
                if ["click", "count-in", "bass"].contains(what) =>
            {
                let on = lower.first() == Some(&"with");
                match *what {
                    "click" => self.click = Some(on),
                    "count-in" => self.count_in = Some(on),
                    _ => self.bass = on,
                }
                if lower.get(1) == Some(&"a") { 3 } else { 2 }
            }
            ["without", "the", _, ..] => self.leave_out(words, 2),
            ["without", _, ..] => self.leave_out(words, 1),
            _ => 0,
        }
    }

    fn take_chords(&mut self, chords: Backing) -> usize {
        self.chords = Some(chords);
        1
    }

    /// Takes a part that is named behind so many words, which may be several words itself.
    fn leave_out(&mut self, words: &[Line<'_>], before: usize) -> usize {
        let rest = words.get(before..).unwrap_or_default();
        let written = |count: usize| -> Option<String> {
            let own: Vec<&str> = rest.get(..count)?.iter().map(|word| word.text).collect();
            Some(own.join(" "))
        };
        let counts = self.parts.iter().filter_map(|part| {
            let count = part.split_whitespace().count();
            written(count).filter(|name| is_called(part, name)).map(|_| count)
        });
        let count = counts.max().unwrap_or(1);
        if let (Some(first), Some(last)) = (rest.first(), rest.get(count - 1)) {
            self.without.extend(written(count).map(|name| (name, first.whole().to(last.whole()))));
        }
        before + count
    }
}

/// Finds fault with what some words say; they are taken.
fn wrong(words: &[Line<'_>], what: &str, allowed: &str, findings: &mut Findings) -> usize {
    if let (Some(first), Some(last)) = (words.first(), words.last()) {
        let written: Vec<&str> = words.iter().map(|word| word.text).collect();
        let message = format!("`{}` {what}", written.join(" "));
        let finding = block_syntax::at(first.whole().to(last.whole()), message);
        findings.add(finding.note(format!("allowed: {allowed}")));
    }
    words.len()
}
