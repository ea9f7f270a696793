//! The blocks of a lesson, each understood and checked by itself and against those that it names.

use super::effort::Effort;
use super::others::{Called, title};
use super::{Block, KINDS, Kind, Music, Others};
use crate::findings::rules::{block_syntax, guessed, unknown_name};
use crate::findings::source::Spanned;
use crate::findings::{Finding, Findings, meant};
use crate::lesson::exercise::Exercise;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::limits::Held;
use crate::lesson::{self, Lesson};
use std::collections::BTreeSet;

/// Reads all blocks of a lesson, each with what is wrong in it.
pub fn read(lesson: &Lesson<'_>) -> Read {
    let mut reading = Reading::new(lesson);
    KINDS.iter().for_each(|kind| reading.read_all(*kind));
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
        let read = self.music.into_iter().zip(self.findings);
        for (index, (fence, (music, own))) in lesson.fences.iter().zip(read).enumerate() {
            let own = meant::silence(own, fence.meant.as_ref());
            let caption = title(fence);
            let counts = fence.printed && music.is_some() && caption.is_some();
            number += u32::from(counts);
            blocks.push(Block {
                music,
                caption,
                number: counts.then_some(number),
                printed: fence.printed,
                blank: fence.exercise.is_blank(),
                answers: answered(index, fence, lesson),
                announced: fence.announced.clone(),
                faults: Vec::new(),
                guesses: guesses(&own),
                span: fence.span,
            });
            own.into_iter().for_each(|finding| findings.add(finding));
        }
        give_answers_their_numbers(&mut blocks);
        blocks
    }
}

/// The index of the block whose answer a block is: its own, or another.
fn answered(index: usize, fence: &Fence<'_>, lesson: &Lesson<'_>) -> Option<usize> {
    match &fence.exercise {
        Exercise::None => None,
        Exercise::Blank { answered, .. } => answered.then_some(index),
        Exercise::AnswerTo(name) => {
            let target = lesson.block(&name.value)?;
            lesson.fences.get(target).filter(|fence| fence.printed).map(|_| target)
        }
    }
}

/// Answers bear the numbers of their figures, and where they have no caption of their own the captions too.
fn give_answers_their_numbers(blocks: &mut [Block]) {
    let figures: Vec<(Option<String>, Option<u32>)> =
        blocks.iter().map(|block| (block.caption.clone(), block.number)).collect();
    for (index, block) in blocks.iter_mut().enumerate() {
        let figure = block.answers.filter(|figure| *figure != index);
        let Some((caption, number)) = figure.and_then(|figure| figures.get(figure)) else {
            continue;
        };
        block.number = *number;
        block.caption = block.caption.take().or_else(|| caption.clone());
    }
}

/// The blocks as far as they have been read.
struct Reading<'l> {
    lesson: &'l Lesson<'l>,
    music: Vec<Option<Box<dyn Music>>>,
    findings: Vec<Vec<Finding>>,
    /// The blocks that follow, by whatever way, themselves.
    circular: BTreeSet<usize>,
    /// How much there is in each block, for those that ask for it.
    sizes: Vec<u64>,
    /// What the blocks may still ask for.
    effort: Effort,
    /// What the blocks hold.
    held: Held,
    /// How they are called.
    called: Called,
}

impl<'l> Reading<'l> {
    fn new(lesson: &'l Lesson<'l>) -> Reading<'l> {
        let blocks = lesson.fences.len();
        let music = std::iter::repeat_with(|| None).take(blocks).collect();
        Reading {
            lesson,
            music,
            findings: vec![Vec::new(); blocks],
            circular: BTreeSet::new(),
            sizes: vec![0; blocks],
            effort: Effort::ALL,
            held: Held::default(),
            called: Called::of(lesson),
        }
    }

    /// Reads the blocks of a kind, each after the one of its kind that it follows.
    fn read_all(&mut self, kind: &dyn Kind) {
        let fences = &self.lesson.fences;
        let is_one = |fence: &&Fence<'_>| fence.kind == kind.written();
        let is_one_at = |index: &usize| fences.get(*index).as_ref().is_some_and(is_one);
        let follows = |fence| {
            kind.follows(Some(fence).filter(is_one)?).and_then(|name| self.lesson.block(&name))
        };
        let follows: Vec<Option<usize>> = fences.iter().map(follows).collect();
        let mut done: BTreeSet<usize> = BTreeSet::new();
        for index in (0..fences.len()).filter(is_one_at) {
            let mut way: Vec<usize> = Vec::new();
            let mut next = Some(index);
            while let Some(index) = next.filter(|index| is_one_at(index) && done.insert(*index)) {
                way.push(index);
                next = follows.get(index).copied().flatten();
            }
            let circle = way.iter().position(|index| Some(*index) == next);
            let circle = circle.and_then(|begin| way.get(begin..)).unwrap_or_default();
            self.circular.extend(circle);
            for index in way.iter().rev() {
                if let Some(fence) = fences.get(*index) {
                    self.read(*index, fence, kind);
                }
            }
        }
        let Reading { lesson, music, circular, called, effort, .. } = self;
        kind.settle(Settled { kind: kind.written(), lesson, music, called, circular }, effort);
    }

    fn read(&mut self, index: usize, fence: &Fence<'_>, kind: &dyn Kind) {
        let mut own = Findings::default();
        fence.guesses.iter().for_each(|guess| own.add(guess.finding()));
        let asked = self.asked(fence, kind);
        let music = if let Err(limit) = kind.count(fence, &mut self.held) {
            own.add(limit.block_is_left(fence.head));
            None
        } else if !self.effort.take(asked) {
            own.add(block_syntax::spent(fence.head));
            None
        } else {
            let Reading { lesson, music, called, circular, effort, .. } = self;
            let others = Others { index, lesson, music, called, circular };
            kind.read(fence, &others, effort, &mut own)
        };
        self.check_exercise(index, fence, music.as_deref(), &mut own);
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

    /// Tells what a block can't be as an exercise, or as an answer.
    fn check_exercise(
        &self,
        index: usize,
        fence: &Fence<'_>,
        music: Option<&dyn Music>,
        findings: &mut Findings,
    ) {
        match &fence.exercise {
            Exercise::None => {}
            Exercise::Blank { span, .. } => {
                let is_none = music.is_some_and(|music| music.blank().is_none());
                if is_none || fence.kind.medium != Medium::Handout {
                    findings.add(block_syntax::nothing_to_fill_in(*span, fence.kind.name));
                }
            }
            Exercise::AnswerTo(name) if fence.kind.medium != Medium::Handout => {
                findings.add(block_syntax::no_answer(name.span, fence.kind.name));
            }
            Exercise::AnswerTo(name) => {
                let figure = self.lesson.block(&name.value);
                let figure = figure.and_then(|at| Some((at, self.lesson.fences.get(at)?)));
                match figure {
                    None => self.no_figure(name, findings),
                    Some((at, _)) if at == index => {
                        findings.add(block_syntax::answers_itself(name.span));
                    }
                    Some((_, figure)) if !figure.printed => {
                        findings.add(block_syntax::answers_unprinted(name.span, &name.value));
                    }
                    Some(_) => {}
                }
            }
        }
    }

    /// Tells that no block is called so, with the names that are near.
    fn no_figure(&self, name: &Spanned<String>, findings: &mut Findings) {
        let finding = unknown_name::none(name.span, "figure", &name.value);
        let help = |finding: Finding| {
            let near = self.called.figures().near(&name.value, 2);
            match near.words.is_empty() {
                true => finding.note("`answer to` names the block of a figure in this lesson"),
                false => finding.offer(&near, name.span, str::to_owned),
            }
        };
        let finding = findings.helped(finding, help);
        findings.add(finding);
    }

    /// How much a block asks for by the names of others: all that they hold.
    fn asked(&self, fence: &Fence<'_>, kind: &dyn Kind) -> u64 {
        if kind.effort() == 0 {
            return 0;
        }
        let phrases = fence.phrases.iter().map(|phrase| phrase.text);
        let lines = fence.lines.iter().map(|line| line.text).filter(|line| kind.can_name(line));
        let words = phrases.chain(lines).flat_map(|text| text.split([' ', ',', '[', ']', ':']));
        let named = words.filter_map(|word| self.lesson.block(word));
        named.filter_map(|index| self.sizes.get(index)).sum::<u64>() * kind.effort()
    }
}

/// All blocks of a kind, each read, for what they share.
#[derive(Debug)]
pub struct Settled<'r> {
    kind: lesson::Kind,
    lesson: &'r Lesson<'r>,
    music: &'r mut [Option<Box<dyn Music>>],
    called: &'r Called,
    circular: &'r BTreeSet<usize>,
}

impl<'r> Settled<'r> {
    /// The indices of the blocks among the lesson's fences, in order.
    pub fn indices(&self) -> impl Iterator<Item = usize> + use<'r> {
        let (kind, fences) = (self.kind, self.lesson.fences.iter().enumerate());
        fences.filter(move |(_, fence)| fence.kind == kind).map(|(index, _)| index)
    }

    /// What the block of an index says, where it could be understood.
    pub fn music(&mut self, index: usize) -> Option<&mut dyn Music> {
        self.music.get_mut(index)?.as_deref_mut()
    }

    /// What comes of the block of an index, seen among the others.
    pub fn with<T>(
        &self,
        index: usize,
        see: impl FnOnce(&Fence<'_>, &Others<'_>) -> T,
    ) -> Option<T> {
        let Settled { lesson, music, called, circular, .. } = self;
        let others = Others { index, lesson, music, called, circular };
        Some(see(lesson.fences.get(index)?, &others))
    }
}

/// What is guessed in a block, in words.
fn guesses(findings: &[Finding]) -> Vec<String> {
    let guesses = findings.iter().filter(|finding| finding.rule == &guessed::RULE);
    guesses.map(|guess| guess.message.clone()).collect()
}
