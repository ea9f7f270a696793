//! The spoken script: what is said, shown and played, each with the moment on a running clock.

pub mod captions;
pub mod chapters;
pub mod clock;
pub mod cues;
pub mod figures;
pub mod files;
mod holds;
pub mod measured;
pub mod moved;
pub mod names;
pub mod page;
pub mod reading;
mod running;
mod said;
pub mod screen;
pub mod sections;
pub mod shots;
pub mod table;
#[cfg(test)]
mod testing;
pub mod text;
pub mod told;

use crate::blocks::Fault;
use crate::blocks::say::{self, Order, Part, Play, Said, Say, Shown, Speech, Stress};
use crate::checks::Elaborated;
use crate::findings::{Findings, Span};
use crate::lesson::header::CaptionWords;
use crate::lesson::phrase::{self, Phrase};
use crate::lesson::prose::Node;
use crate::page::inline::plain_words;
use crate::theory::Names;
use crate::theory::Printed;
use crate::words::said::Tongue;
use crate::words::{Lang, paper};
use clock::words_in;
use measured::{Match, Share};
use std::collections::BTreeMap;
use std::ops::Range;
use std::time::Duration;

/// A lesson's script.
#[derive(Debug)]
pub struct Script {
    /// The lesson's title.
    pub title: String,
    /// The language of our own words.
    pub lang: Lang,
    /// Who speaks, where the header says so.
    pub teacher: String,
    /// What holds in it, as on the handout: key, tempo, a tuning that isn't the usual one, capo.
    pub holds: Vec<String>,
    /// Spoken words a minute.
    pub pace: u16,
    /// How long it is to run, where the header says so.
    pub length: Option<Duration>,
    /// How much of its clock goes by measured times, if something does.
    pub measured: Option<Share>,
    /// How captions write musical names.
    pub captions: CaptionWords,
    /// All that happens, in order.
    pub items: Vec<Item>,
    /// How long it runs.
    pub runs: Duration,
}

/// One thing that happens.
#[derive(Debug)]
pub struct Item {
    /// When, from the beginning.
    pub at: Duration,
    /// How long it takes.
    pub takes: Duration,
    /// What.
    pub what: What,
    /// Where a speech or a cue stands in the lesson.
    pub span: Option<Span>,
    /// Whether a fault lies in it, for a draft.
    pub faulty: bool,
}

/// What happens.
#[derive(Debug)]
pub enum What {
    /// A heading of the lesson.
    Heading {
        /// 1 to 6.
        level: u8,
        /// Its words.
        words: String,
    },
    /// Something is said.
    Speech {
        /// As it is printed.
        words: String,
        /// As it is said aloud: musical names in words.
        said: String,
        /// Which bytes of it don't look like the others, and how they do.
        looks: Vec<(Range<usize>, Look)>,
        /// How many words it counts.
        count: usize,
    },
    /// Something is done.
    Cue(Cue),
}

/// What words that are said look like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Look {
    /// Their stress.
    pub stress: Stress,
    /// Whether they are set small and raised, as a chord's extensions are.
    pub raised: bool,
}

/// A cue.
#[derive(Debug)]
pub struct Cue {
    /// As written, without its brackets.
    pub words: String,
    /// What it is for.
    pub kind: CueKind,
    /// The block that it names, if it names one.
    pub named: Option<told::Named>,
    /// How fast it is played where it is to be played slowly, in words.
    pub slowly: Option<String>,
}

/// What a cue is for.
#[derive(Debug)]
pub enum CueKind {
    /// A figure is on the screen from here.
    Show(Shown),
    /// Something is played.
    Play,
    /// Nothing is said.
    Pause,
    /// What follows is said again.
    Retake,
    /// Anything else, in free words; also a cue that could not be understood.
    Free,
}

impl Script {
    /// What cues show, each with its cue's place among the items.
    pub fn shown(&self) -> impl Iterator<Item = (usize, &Shown)> {
        self.items.iter().enumerate().filter_map(|(index, item)| Some((index, item.what.shows()?)))
    }
}

impl Cue {
    /// Its first word in small letters, without a sign behind it.
    pub fn first_word(&self) -> String {
        let word = self.words.split_whitespace().next().unwrap_or_default();
        word.trim_end_matches([':', ',', ';']).to_lowercase()
    }
}

impl What {
    /// What is on the screen from here, if it is a cue that shows something.
    pub fn shows(&self) -> Option<&Shown> {
        match self {
            What::Cue(Cue { kind: CueKind::Show(shown), .. }) => Some(shown),
            _ => None,
        }
    }
}

/// Gathers a lesson's script, its clock made from measured times where the lesson has any.
pub fn of(lesson: &Elaborated<'_>) -> Script {
    let mut script = estimated(lesson);
    let times = &lesson.lesson.times;
    if !times.is_empty() {
        Match::of(&script, times).lay(&mut script);
    }
    script
}

/// Doubts measured times of sections that the script hasn't.
pub fn check(lesson: &Elaborated<'_>, findings: &mut Findings) {
    let times = &lesson.lesson.times;
    if !times.is_empty() {
        Match::of(&estimated(lesson), times).doubt(lesson, findings);
    }
}

/// A lesson's script with the times that its words and its music are thought to take.
fn estimated(lesson: &Elaborated<'_>) -> Script {
    let places = lesson.lesson.phrases.iter().map(|phrase| phrase.text.span.start);
    let mut gathering = Gathering {
        lesson,
        phrases: places.enumerate().map(|(index, start)| (start, index)).collect(),
        items: Vec::new(),
        now: Duration::ZERO,
    };
    gathering.nodes(&lesson.lesson.nodes);
    let header = &lesson.lesson.header;
    Script {
        title: header.title.clone(),
        lang: header.lang,
        teacher: header.teacher.clone().unwrap_or_default(),
        holds: holds::of(header),
        pace: header.pace,
        length: header.length,
        measured: None,
        captions: header.captions,
        items: gathering.items,
        runs: gathering.now,
    }
}

struct Gathering<'a> {
    lesson: &'a Elaborated<'a>,
    /// The lesson's phrases by the places where they begin.
    phrases: BTreeMap<usize, usize>,
    items: Vec<Item>,
    now: Duration,
}

impl Gathering<'_> {
    fn nodes(&mut self, nodes: &[Node]) {
        for node in nodes {
            match node {
                Node::Heading { level, words, .. } => {
                    let words = plain_words(words, &self.lesson.phrases);
                    let what = What::Heading { level: *level, words };
                    self.add(Duration::ZERO, what, None, false);
                }
                Node::Music(index) => self.block(*index),
                Node::List { items, .. } => items.iter().for_each(|item| self.nodes(item)),
                Node::Quote(inner) => self.nodes(inner),
                _ => {}
            }
        }
    }

    fn block(&mut self, index: usize) {
        let lesson = self.lesson;
        let Some(block) = lesson.blocks.get(index) else { return };
        let Some(say) = block.as_a::<Say>() else { return };
        let is_faulty = |span: Span| {
            let is_here = |fault: &Fault| (span.start..span.end).contains(&fault.span.start);
            block.faults.iter().any(is_here)
        };
        for part in &say.parts {
            match part {
                Part::Speech(speech) => self.speech(speech, is_faulty(speech.span)),
                Part::Cue(cue) => self.cue(cue, is_faulty(cue.span)),
            }
        }
    }

    fn speech(&mut self, speech: &Speech, faulty: bool) {
        let typed = speech.pieces.iter().map(|piece| match &piece.said {
            Said::Words(words) => words.as_str(),
            Said::Phrase(phrase) => phrase.value.as_str(),
        });
        let count = words_in(&typed.collect::<String>());
        let (mut words, mut looks) = (String::new(), Vec::new());
        for piece in &speech.pieces {
            for run in self.printed(&piece.said).runs {
                let start = words.len();
                words.push_str(&run.text);
                let look = Look { stress: piece.stress, raised: run.raised };
                if look != Look::default() {
                    looks.push((start..words.len(), look));
                }
            }
        }
        let takes = clock::spoken(count, self.lesson.lesson.header.pace);
        let names = self.lesson.lesson.header.setting.names;
        let lang = self.lesson.lesson.header.lang;
        let said = speech.pieces.iter().map(|piece| aloud(&piece.said, names, lang)).collect();
        self.add(takes, What::Speech { words, said, looks, count }, Some(speech.span), faulty);
    }

    /// A piece of speech as it is read: music as it is printed, but references and numerals as
    /// typed, since nobody says "figure 3" aloud.
    fn printed(&self, said: &Said) -> Printed {
        let phrase = match said {
            Said::Words(words) => return Printed::plain(words.clone()),
            Said::Phrase(phrase) => phrase,
        };
        let index = self.phrases.get(&phrase.span.start);
        let set = index.and_then(|index| self.lesson.phrases.get(*index));
        let names = self.lesson.lesson.header.setting.names;
        match (phrase::read(&phrase.value, names), set) {
            (Some(Phrase::Reference { .. }), _) => {
                Printed::plain(self.lesson.lesson.header.lang.phrase(&phrase.value))
            }
            (Some(Phrase::Numerals(_)), _) | (_, None) => Printed::plain(phrase.value.clone()),
            (_, Some(set)) => set.printed.clone(),
        }
    }

    fn cue(&mut self, cue: &say::Cue, faulty: bool) {
        let takes = match &cue.order {
            Order::Play(play) => self.playing(play),
            Order::Pause(pause) => *pause,
            Order::Show(_) | Order::Retake | Order::Free => Duration::ZERO,
        };
        let kind = match &cue.order {
            Order::Show(shown) => CueKind::Show(shown.clone()),
            Order::Play(_) => CueKind::Play,
            Order::Pause(_) => CueKind::Pause,
            Order::Retake => CueKind::Retake,
            Order::Free => CueKind::Free,
        };
        let named = self.named(cue);
        let what = Cue { words: cue.words.clone(), kind, named, slowly: self.slowly(cue) };
        self.add(takes, What::Cue(what), Some(cue.span), faulty);
    }

    /// The block that a cue shows or plays by its name.
    fn named(&self, cue: &say::Cue) -> Option<told::Named> {
        let index = match &cue.order {
            Order::Show(Shown::Block { index, .. }) => *index,
            Order::Play(play) => play.index,
            _ => return None,
        };
        let name = self.lesson.lesson.fences.get(index)?.name.as_ref()?;
        told::Named::of(
            &cue.words,
            &name.value,
            self.lesson.blocks.get(index)?,
            self.lesson.lesson.header.lang,
        )
    }

    /// Half the tempo of what is played slowly, where the lesson gives one and the cue doesn't.
    fn slowly(&self, cue: &say::Cue) -> Option<String> {
        let Order::Play(Play { index, tempo: None, slowly: true, .. }) = &cue.order else {
            return None;
        };
        let (header, own) = (&self.lesson.lesson.header, self.lesson.lesson.fences.get(*index)?);
        let tempo = own.setting.tempo;
        let is_given = holds::gives_tempo(header) || tempo != header.setting.tempo;
        is_given.then(|| {
            let half = paper::script::half(tempo.number, tempo.dotted);
            self.lesson.lesson.header.lang.said(&half).into_owned()
        })
    }

    /// How long something is played: by its own clock, or chord by chord.
    fn playing(&self, play: &Play) -> Duration {
        let music = self.lesson.blocks.get(play.index).and_then(|block| block.music.as_ref());
        let fence = self.lesson.lesson.fences.get(play.index);
        let (Some(music), Some(fence)) = (music, fence) else { return Duration::ZERO };
        let (meter, tempo) = (fence.setting.meter, fence.setting.tempo);
        if let Some(heard) = music.sounds_for(play.tempo) {
            return clock::heard(heard, play);
        }
        let length = match play.bars {
            Some(bars) => music.excerpt(bars).and_then(|excerpt| excerpt.length()),
            None => music.length(),
        };
        match (length, music.turns()) {
            (Some(length), _) => clock::played(length, tempo, play),
            (None, Some(turns)) => clock::played_in_turn(turns, (meter, tempo), play),
            (None, None) => Duration::ZERO,
        }
    }

    fn add(&mut self, takes: Duration, what: What, span: Option<Span>, faulty: bool) {
        self.items.push(Item { at: self.now, takes, what, span, faulty });
        self.now += takes;
    }
}

/// A piece of speech as it is said aloud.
fn aloud(said: &Said, names: Names, lang: Lang) -> String {
    match said {
        Said::Words(words) => Tongue::of(lang).prose(words, names),
        Said::Phrase(phrase) => said::phrase(&phrase.value, names, lang),
    }
}
