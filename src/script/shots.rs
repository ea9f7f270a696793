//! The list of shots: what is filmed together, with boxes to tick.

use super::sections::{self, Section};
use super::{Cue, CueKind, Item, Script, What, clock};
use crate::words::Lang;
use crate::words::paper::script::OPENING;
use std::collections::BTreeMap;
use std::ops::Range;
use std::time::Duration;

/// How wide the text is set, in characters.
const WIDTH: usize = 78;
/// Before the first line of a shot.
const BOX: &str = "[ ]  ";
/// Before its other lines.
const INDENT: &str = "     ";
/// The first words of cues that name a setup, which holds up to the next cue with that first word.
const SETUPS: [&str; 2] = ["camera", "tone"];
/// How many words are told of what is said before and after. Assumed: enough to find the place.
const WORDS: usize = 7;
/// What stands where no cue names a setup and nothing is to be said again.
const NOTHING: &str = "No cue names a setup, such as [camera on the left hand] or [tone clean], and \
                       nothing is to be said again, [retake].";

/// Beneath the lesson's title.
const TITLE: &str = "Shots: what is filmed together";

/// A setup, and the stretches of the script that are filmed in it.
struct Setup {
    name: String,
    stretches: Vec<Range<usize>>,
}

/// The list: the setups of the camera in order of their first use, then those of the tone, each with its
/// stretches; then what is to be said again.
pub fn write(script: &Script) -> String {
    let (items, runs, lang) = (&script.items, script.runs, script.lang);
    let list = List { items, sections: sections::of(script), runs, lang };
    let setups = SETUPS.iter().flat_map(|word| setups(&script.items, word, lang));
    let groups: String = setups.map(|setup| list.setup(&setup)).collect();
    let all = groups + &list.again();
    let nothing = || format!("\n{}\n", textwrap::fill(&lang.said(NOTHING), WIDTH));
    let all = if all.is_empty() { nothing() } else { all };
    format!("{}\n{}\n{all}", script.title, lang.said(TITLE))
}

/// The setups that cues with a first word name, by their wording whatever its case and spaces; none where
/// there is no such cue.
fn setups(items: &[Item], word: &str, lang: Lang) -> Vec<Setup> {
    let named = items.iter().enumerate().filter_map(|(index, item)| match &item.what {
        What::Cue(cue) if cue.first_word() == word => Some((index, cue.words.as_str())),
        _ => None,
    });
    let named: Vec<(usize, &str)> = named.collect();
    let Some((first, _)) = named.first() else { return Vec::new() };
    let mut setups = Vec::new();
    let before = 0..*first;
    if items.get(before.clone()).is_some_and(|before| before.iter().any(is_filmed)) {
        setups.push(Setup {
            name: lang.said(&format!("no {word} named")).into_owned(),
            stretches: vec![before],
        });
    }
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    let ends = named.iter().skip(1).map(|(index, _)| *index).chain([items.len()]);
    for ((start, words), end) in named.iter().zip(ends) {
        let name = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let index = *known.entry(name.to_lowercase()).or_insert_with(|| {
            setups.push(Setup { name, stretches: Vec::new() });
            setups.len() - 1
        });
        // A cue that the next one takes the place of at once sets nothing up.
        if items.get(*start..end).is_some_and(|here| here.iter().any(is_filmed)) {
            setups.get_mut(index).into_iter().for_each(|setup| setup.stretches.push(*start..end));
        }
    }
    setups.retain(|setup| !setup.stretches.is_empty());
    setups
}

/// Whether something is said or played.
fn is_filmed(item: &Item) -> bool {
    let plays = matches!(&item.what, What::Cue(Cue { kind: CueKind::Play, .. }));
    plays || spoken(item).is_some()
}

fn spoken(item: &Item) -> Option<&str> {
    match &item.what {
        What::Speech { words, .. } => Some(words),
        _ => None,
    }
}

/// What the list is made of.
struct List<'s> {
    items: &'s [Item],
    sections: Vec<Section>,
    runs: Duration,
    lang: Lang,
}

impl List<'_> {
    /// A setup with its stretches under its name.
    fn setup(&self, setup: &Setup) -> String {
        let stretches = setup.stretches.iter().map(|stretch| self.stretch(stretch));
        headed(&setup.name) + &stretches.collect::<String>()
    }

    /// A stretch: when and where it is, what is said before it and at its beginning, what is shown and played.
    fn stretch(&self, stretch: &Range<usize>) -> String {
        let here = self.items.get(stretch.clone()).unwrap_or_default();
        let before = self.items.get(..stretch.start).unwrap_or_default();
        let time = |index: usize| self.items.get(index).map_or(self.runs, |item| item.at);
        let times = [stretch.start, stretch.end].map(|index| clock::told(time(index)));
        let to = format!(" {} ", self.lang.said("to"));
        let title = format!("{}, {}", times.join(&to), self.sections_of(stretch, here));
        let before = before.iter().rev().find_map(spoken).map(last_words);
        let first = here.iter().find_map(spoken).map(first_words);
        let lines = [
            before.map(|words| self.headed("before", &words)),
            first.map(|words| self.headed("begins", &words)),
            cues(here).map(|cues| self.headed("cues", &cues)),
        ];
        entry(&title, lines.into_iter().flatten())
    }

    /// Words behind what they are.
    fn headed(&self, head: &str, words: &str) -> String {
        format!("{}: {words}", self.lang.said(head))
    }

    /// What is to be said again; nothing where nothing is.
    fn again(&self) -> String {
        let retakes = self.items.iter().enumerate().filter_map(|(index, item)| match &item.what {
            What::Cue(cue @ Cue { kind: CueKind::Retake, .. }) => Some(self.retake(index, cue)),
            _ => None,
        });
        let retakes: String = retakes.collect();
        if retakes.is_empty() { retakes } else { headed(&self.lang.said("Say again")) + &retakes }
    }

    /// A retake: when and where it is and why, and what is said up to the next cue.
    fn retake(&self, index: usize, cue: &Cue) -> String {
        let at = self.items.get(index).map_or(self.runs, |item| item.at);
        let place = format!("{}, {}", clock::told(at), self.section(index));
        let (_, remark) = cue.words.split_once(char::is_whitespace).unwrap_or_default();
        let title = if remark.is_empty() { place } else { format!("{place}: {}", remark.trim()) };
        let following = self.items.get(index + 1..).unwrap_or_default();
        entry(&title, following.iter().map_while(spoken).map(str::to_owned))
    }

    /// The section of a stretch with these items, or the first and the last in which something is filmed.
    fn sections_of(&self, stretch: &Range<usize>, here: &[Item]) -> String {
        let last = here.iter().rposition(is_filmed).unwrap_or_default();
        match [stretch.start, stretch.start + last].map(|item| self.section(item)) {
            [first, last] if first == last => first.to_owned(),
            [first, last] => format!("{first} {} {last}", self.lang.said("to")),
        }
    }

    /// The section in which an item stands.
    fn section(&self, item: usize) -> &str {
        let begun = self.sections.partition_point(|section| section.item <= item);
        let section = self.sections.get(begun.saturating_sub(1));
        section.map_or(OPENING, |section| &section.title)
    }
}

/// The words of the cues that show or play something.
fn cues(items: &[Item]) -> Option<String> {
    let cues = items.iter().filter_map(|item| match &item.what {
        What::Cue(Cue { words, kind: CueKind::Show(_) | CueKind::Play, .. }) => {
            Some(words.as_str())
        }
        _ => None,
    });
    let cues: Vec<&str> = cues.collect();
    (!cues.is_empty()).then(|| cues.join("; "))
}

/// The last few words of a speech.
fn last_words(speech: &str) -> String {
    let mut words: Vec<&str> = speech.split_whitespace().rev().take(WORDS + 1).collect();
    if words.len() > WORDS {
        words.pop();
        words.push("…");
    }
    words.reverse();
    words.join(" ")
}

/// The first few words of a speech.
fn first_words(speech: &str) -> String {
    let mut words: Vec<&str> = speech.split_whitespace().take(WORDS + 1).collect();
    if words.len() > WORDS {
        words.pop();
        words.push("…");
    }
    words.join(" ")
}

fn headed(title: &str) -> String {
    format!("\n{title}\n{}\n", "-".repeat(title.chars().count()))
}

/// A box to tick with a title beside it and lines beneath, broken where they are too long.
fn entry(title: &str, lines: impl Iterator<Item = String>) -> String {
    let options = textwrap::Options::new(WIDTH).subsequent_indent(INDENT);
    let title = textwrap::fill(title, options.clone().initial_indent(BOX));
    let lines =
        lines.map(|line| textwrap::fill(&line, options.clone().initial_indent(INDENT)) + "\n");
    format!("\n{title}\n{}", lines.collect::<String>())
}
