//! The blocks of a lesson, each understood and checked by itself and against those that it names.
//!
//! Blocks may speak of blocks that stand further down, so they are read in the order in which kinds
//! build on each other: progressions and shapes, then riffs over progressions, then riffs moved
//! elsewhere, each after the one that it is from, then chords under riffs, then diagrams of any.

use super::effort::Effort;
use super::{Block, Music, changes, moved, neck, riff, say, shape, voicings};
use crate::blocks::bars::Bars;
use crate::blocks::tab::Tab;
use crate::findings::nearest::Known;
use crate::findings::rules::{block_syntax, guessed, later};
use crate::findings::{Finding, Findings, meant};
use crate::lesson::fence::{Fence, Kind};
use crate::lesson::{Lesson, limits};
use crate::neck::{Fingering, Instrument};
use crate::theory::{Chord, Harmony};
use std::collections::BTreeSet;
use std::rc::Rc;

/// Reads all blocks of a lesson, each with what is wrong in it.
pub fn read(lesson: &Lesson<'_>) -> Read {
    let mut reading = Reading::new(lesson);
    for pass in [is_ground, is_riff] {
        reading.read_all(pass);
    }
    reading.read_moves();
    for pass in [is_voicings, is_neck, is_say] {
        reading.read_all(pass);
    }
    reading.check_cues();
    Read { music: reading.music, findings: reading.findings }
}

/// The blocks of a lesson as they were read, one a fence.
#[derive(Debug)]
pub struct Read {
    /// What each says, where it could be understood and is of a kind that is printed.
    pub music: Vec<Option<Box<dyn Music>>>,
    /// What is wrong in each, not yet silenced by its `meant` line.
    pub findings: Vec<Vec<Finding>>,
}

impl Read {
    /// Takes in what was found in the block of an index.
    pub fn tell(&mut self, index: usize, finding: Finding) {
        if let Some(findings) = self.findings.get_mut(index) {
            findings.push(finding);
        }
    }

    /// Silences what is meant, hands the findings over and numbers the captions.
    pub fn finish(self, lesson: &Lesson<'_>, findings: &mut Findings) -> Vec<Block> {
        let mut number = 0;
        let mut blocks = Vec::new();
        for ((fence, music), own) in lesson.fences.iter().zip(self.music).zip(self.findings) {
            let own = meant::silence(own, fence.meant.as_ref());
            let caption = caption(fence);
            let counts = fence.printed && music.is_some() && caption.is_some();
            number += u32::from(counts);
            blocks.push(Block {
                music,
                caption,
                number: counts.then_some(number),
                printed: fence.printed,
                announced: fence.announced.clone(),
                faults: Vec::new(),
                guesses: guesses(&own),
                span: fence.span,
            });
            own.into_iter().for_each(|finding| findings.add(finding));
        }
        blocks
    }
}

fn is_ground(kind: Kind) -> bool {
    !is_riff(kind) && kind != Kind::Move && !is_voicings(kind) && !is_neck(kind) && !is_say(kind)
}

fn is_riff(kind: Kind) -> bool {
    kind == Kind::Riff
}

fn is_voicings(kind: Kind) -> bool {
    kind == Kind::Voicings
}

fn is_neck(kind: Kind) -> bool {
    kind == Kind::Neck
}

fn is_say(kind: Kind) -> bool {
    kind == Kind::Say
}

fn is_changes(kind: Kind) -> bool {
    kind == Kind::Changes
}

fn is_any_riff(kind: Kind) -> bool {
    matches!(kind, Kind::Riff | Kind::Move)
}

/// Whether a kind has places on the neck that a diagram can show.
fn plays_places(kind: Kind) -> bool {
    is_any_riff(kind) || matches!(kind, Kind::Shape | Kind::Voicings)
}

/// Whether a cue can show a kind.
fn has_figure(kind: Kind) -> bool {
    !matches!(kind, Kind::Say | Kind::Loop | Kind::Now)
}

/// The blocks as far as they have been read.
struct Reading<'l, 'a> {
    lesson: &'l Lesson<'a>,
    music: Vec<Option<Box<dyn Music>>>,
    findings: Vec<Vec<Finding>>,
    /// The `move` blocks that come from themselves.
    circular: BTreeSet<usize>,
    /// How much there is in each block, for those that ask for it.
    sizes: Vec<u64>,
    /// What the blocks may still ask for.
    effort: Effort,
    /// What the blocks may still hold.
    held: limits::Blocks,
    /// How they are called.
    called: Called,
}

/// The names of blocks that others may name, those with faults too.
struct Called {
    changes: Rc<Known>,
    riffs: Rc<Known>,
    places: Rc<Known>,
    figures: Rc<Known>,
}

impl Called {
    fn of(lesson: &Lesson<'_>) -> Called {
        let named = |is: fn(Kind) -> bool| {
            let fences = lesson.fences.iter().filter(|fence| is(fence.kind));
            let names = fences.filter_map(|fence| fence.name.as_ref());
            Rc::new(Known::new(names.map(|name| name.value.clone())))
        };
        Called {
            changes: named(is_changes),
            riffs: named(is_any_riff),
            places: named(plays_places),
            figures: named(has_figure),
        }
    }
}

impl<'l, 'a> Reading<'l, 'a> {
    fn new(lesson: &'l Lesson<'a>) -> Reading<'l, 'a> {
        let blocks = lesson.fences.len();
        let music = std::iter::repeat_with(|| None).take(blocks).collect();
        Reading {
            lesson,
            music,
            findings: vec![Vec::new(); blocks],
            circular: BTreeSet::new(),
            sizes: vec![0; blocks],
            effort: Effort::ALL,
            held: limits::Blocks::default(),
            called: Called::of(lesson),
        }
    }

    fn read_all(&mut self, pass: fn(Kind) -> bool) {
        for (index, fence) in self.lesson.fences.iter().enumerate() {
            if pass(fence.kind) {
                self.read(index, fence);
            }
        }
    }

    /// Reads the riffs that are moved, each after the one that it is from.
    fn read_moves(&mut self) {
        let fences = &self.lesson.fences;
        let is_move = |index: &usize| fences.get(*index).is_some_and(|f| f.kind == Kind::Move);
        let from: Vec<Option<usize>> = fences.iter().map(|fence| self.moved_from(fence)).collect();
        let mut done: BTreeSet<usize> = BTreeSet::new();
        for index in (0..fences.len()).filter(is_move) {
            let mut way: Vec<usize> = Vec::new();
            let mut next = Some(index);
            while let Some(index) = next.filter(|index| is_move(index) && done.insert(*index)) {
                way.push(index);
                next = from.get(index).copied().flatten();
            }
            let circle = way.iter().position(|index| Some(*index) == next);
            let circle = circle.and_then(|begin| way.get(begin..)).unwrap_or_default();
            self.circular.extend(circle);
            for index in way.iter().rev() {
                if let Some(fence) = fences.get(*index) {
                    self.read(*index, fence);
                }
            }
        }
    }

    /// The block that a `move` is from, by its index.
    fn moved_from(&self, fence: &Fence<'_>) -> Option<usize> {
        let name = moved::source(fence).filter(|_| fence.kind == Kind::Move)?;
        self.lesson.block(name.text)
    }

    /// What the name is that the `move` of an index is from.
    fn source(&self, index: usize, name: &str) -> moved::Source<'_> {
        let Some(from) = self.lesson.block(name) else {
            return moved::Source::Unknown(Rc::clone(&self.called.riffs));
        };
        let kind = self.lesson.fences.get(from).map(|fence| fence.kind);
        let music = self.music.get(from).and_then(Option::as_deref);
        match music.and_then(|music| music.tab()) {
            _ if self.circular.contains(&index) => moved::Source::Itself,
            Some(tab) => moved::Source::Riff(tab),
            None if kind.is_some_and(is_any_riff) => moved::Source::Unread,
            None => moved::Source::NoRiff,
        }
    }

    fn read(&mut self, index: usize, fence: &Fence<'_>) {
        let mut own = Findings::default();
        fence.guesses.iter().for_each(|guess| own.add(guess.finding()));
        let asked = self.asked(fence);
        let beyond = self.held.take(fence).err();
        let music: Option<Box<dyn Music>> = match fence.kind {
            _ if beyond.is_some() => {
                beyond.into_iter().for_each(|beyond| own.add(*beyond));
                None
            }
            _ if !self.effort.take(asked) => {
                own.add(block_syntax::spent(fence.head));
                None
            }
            Kind::Shape => shape::read(fence, &mut own).map(boxed),
            Kind::Changes => changes::read(fence, &mut own).map(boxed),
            Kind::Riff => {
                let known = Above { reading: &*self, index };
                let tab = riff::read(fence, &known, &mut own);
                tab.map(|tab| tried(tab, fence, &mut own))
            }
            Kind::Move => {
                let tab = moved::read(fence, &|name| self.source(index, name), &mut own);
                tab.map(|tab| tried(tab, fence, &mut own))
            }
            Kind::Neck => neck::read(fence, &*self, &mut own).map(boxed),
            Kind::Voicings => {
                let mut effort = self.effort;
                let melody = |name: &str| self.melody(name);
                let voicings = voicings::read(fence, &melody, &mut effort, &mut own);
                self.effort = effort;
                voicings.map(boxed)
            }
            Kind::Now => None,
            Kind::Say => {
                let say = say::read(fence, &Above { reading: &*self, index }, &mut own);
                Some(boxed(say))
            }
            Kind::Together | Kind::Loop => {
                own.add(later::passed_over(fence.head));
                None
            }
        };
        if let (Some(size), Some(music)) = (self.sizes.get_mut(index), &music) {
            *size = music.size() as u64;
        }
        if let Some(place) = self.music.get_mut(index) {
            *place = music;
        }
        if let Some(place) = self.findings.get_mut(index) {
            *place = own.sorted();
        }
    }

    /// How much a block asks for by the names of others: all that they hold.
    fn asked(&self, fence: &Fence<'_>) -> u64 {
        let (weight, of_line): (u64, fn(&str) -> bool) = match fence.kind {
            Kind::Move => (Effort::MOVED_NOTE, |_| true),
            Kind::Riff => (Effort::BAR_OVER, |_| false),
            Kind::Neck | Kind::Voicings => (1, |_| true),
            Kind::Say => (Effort::SHOWN, |line| line.trim_start().starts_with('[')),
            _ => return 0,
        };
        let phrases = fence.phrases.iter().map(|phrase| phrase.text);
        let lines = fence.lines.iter().map(|line| line.text).filter(|line| of_line(line));
        let words = phrases.chain(lines).flat_map(|text| text.split([' ', ',', '[', ']']));
        let named = words.filter_map(|word| self.lesson.block(word));
        named.filter_map(|index| self.sizes.get(index)).sum::<u64>() * weight
    }

    /// The block of a name, with its fence, once it has been read.
    fn named(&self, name: &str) -> Option<(&'l Fence<'a>, &dyn Music)> {
        let index = self.lesson.block(name)?;
        Some((self.lesson.fences.get(index)?, self.music.get(index)?.as_deref()?))
    }

    /// The melody of the riff of a name; where none that can be read is called so, the riffs' names.
    fn melody(&self, name: &str) -> Result<voicings::Melody, Rc<Known>> {
        let Some(tab) = self.named(name).and_then(|(_, music)| music.tab()) else {
            return Err(Rc::clone(&self.called.riffs));
        };
        let change = |top: riff::tops::Top| voicings::Change {
            bar: top.bar,
            chord: top.chord,
            top: top.note,
        };
        Ok(voicings::Melody { changes: tab.riff.tops().into_iter().map(change).collect() })
    }

    /// Finds the cues that don't fit what is said, all scripts of the lesson taken together.
    fn check_cues(&mut self) {
        let blocks = self.music.iter().enumerate();
        let said = blocks
            .filter_map(|(index, music)| Some((index, music.as_deref()?.as_a::<say::Say>()?)));
        let said: Vec<(usize, &say::Say)> = said.collect();
        for (index, finding) in say::unfitting(&said, &|name| self.lesson.block(name)) {
            if let Some(findings) = self.findings.get_mut(index) {
                findings.push(finding);
            }
        }
    }
}

impl neck::Elsewhere for Reading<'_, '_> {
    fn played(&self, name: &str) -> Option<neck::Played> {
        let (fence, music) = self.named(name)?;
        Some(neck::Played { places: music.places()?, title: caption(fence)? })
    }

    fn progression(&self, name: &str) -> Option<neck::Progression> {
        let (fence, music) = self.named(name)?;
        Some(neck::Progression { chords: music.progression()?, title: caption(fence)? })
    }

    fn names(&self) -> Rc<Known> {
        Rc::clone(&self.called.places)
    }

    fn progressions(&self) -> Rc<Known> {
        Rc::clone(&self.called.changes)
    }
}

/// What a riff can know of the lesson: the changes by their names, and the shapes above it.
struct Above<'r, 'l, 'a> {
    reading: &'r Reading<'l, 'a>,
    /// The riff's own index.
    index: usize,
}

impl riff::Progressions for Above<'_, '_, '_> {
    fn names(&self) -> Rc<Known> {
        Rc::clone(&self.reading.called.changes)
    }

    fn harmony(&self, name: &str) -> Option<Harmony> {
        self.reading.named(name)?.1.harmony()
    }

    fn shape(&self, chord: &Chord, instrument: &Instrument) -> Option<Fingering> {
        let blocks = self.reading.lesson.fences.iter().zip(&self.reading.music).take(self.index);
        let fits = |fence: &Fence| fence.setting.instrument.tuning == instrument.tuning;
        let shapes = blocks.rev().filter(|(fence, _)| fits(fence));
        shapes.filter_map(|(_, music)| music.as_ref()?.shape(chord)).next().cloned()
    }
}

impl say::Stage for Above<'_, '_, '_> {
    fn names(&self) -> Rc<Known> {
        Rc::clone(&self.reading.called.figures)
    }

    fn find(&self, name: &str) -> Option<say::Prop> {
        let index = self.reading.lesson.block(name)?;
        let fence = self.reading.lesson.fences.get(index)?;
        let kind = Some(fence.kind).filter(|kind| has_figure(*kind))?;
        let music = self.reading.music.get(index).and_then(Option::as_deref);
        let can_play = match music {
            Some(music) => music.length(None).is_some(),
            None => matches!(kind, Kind::Riff | Kind::Move | Kind::Changes | Kind::Together),
        };
        Some(say::Prop { index, bars: bars_of(kind, music), can_play })
    }

    fn shape(&self, chord: &Chord) -> Option<usize> {
        let has = |music: &Option<Box<dyn Music>>| {
            music.as_ref().is_some_and(|music| music.shape(chord).is_some())
        };
        let (above, below) = self.reading.music.split_at_checked(self.index)?;
        let below_at = || below.iter().position(has).map(|at| at + above.len());
        above.iter().rposition(has).or_else(below_at)
    }
}

fn boxed(music: impl Music) -> Box<dyn Music> {
    Box::new(music)
}

/// A riff, when the hands have been looked at that play it.
fn tried(mut tab: Tab, fence: &Fence<'_>, findings: &mut Findings) -> Box<dyn Music> {
    tab.try_hands(&fence.setting, findings);
    boxed(tab)
}

/// What is guessed in a block, in words.
fn guesses(findings: &[Finding]) -> Vec<String> {
    let guesses = findings.iter().filter(|finding| finding.rule == &guessed::RULE);
    guesses.map(|guess| guess.message.clone()).collect()
}

/// The caption that is written, or else the block's name, hyphens as spaces.
fn caption(fence: &Fence<'_>) -> Option<String> {
    let name = fence.name.as_ref().map(|name| name.value.replace('-', " "));
    fence.caption.clone().or(name)
}

/// The bars of a block that was read, or of a kind of block that could not be.
pub fn bars_of(kind: Kind, music: Option<&dyn Music>) -> Bars {
    match music {
        Some(music) => music.bars(),
        None if matches!(kind, Kind::Shape | Kind::Voicings | Kind::Neck | Kind::Say) => {
            Bars::Without
        }
        None => Bars::Unread,
    }
}
