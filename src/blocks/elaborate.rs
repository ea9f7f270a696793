//! From the lesson as it is read to the lesson with everything worked out: each block understood
//! and checked, captions numbered, phrases checked and set.
//!
//! Blocks may speak of blocks that stand further down, so they are read in the order in which kinds
//! build on each other: progressions and shapes, then riffs over progressions, then diagrams of
//! either.

use super::{Block, Elaborated, Music, changes, neck, riff, shape};
use crate::lesson::Lesson;
use crate::lesson::fence::{Fence, Kind};
use crate::proof::phrases::{self, Bars, Name, Names};
use crate::proof::rules::later;
use crate::proof::{Finding, Findings, Weight, meant};
use crate::theory::Harmony;

/// Works a lesson out; what is wrong in it goes to the findings.
pub fn elaborate<'a>(lesson: Lesson<'a>, findings: &mut Findings) -> Elaborated<'a> {
    let mut reading = Reading::new(&lesson);
    for pass in [is_ground, is_riff, is_neck] {
        for (index, fence) in lesson.fences.iter().enumerate().filter(|(_, fence)| pass(fence.kind))
        {
            reading.read(index, fence);
        }
    }
    let blocks = reading.finish(findings);
    let names = names_of(&lesson, &blocks);
    let set =
        lesson.phrases.iter().map(|phrase| phrases::check(phrase, &names, findings)).collect();
    Elaborated { lesson, blocks, phrases: set }
}

fn is_ground(kind: Kind) -> bool {
    !is_riff(kind) && !is_neck(kind)
}

fn is_riff(kind: Kind) -> bool {
    kind == Kind::Riff
}

fn is_neck(kind: Kind) -> bool {
    kind == Kind::Neck
}

/// The blocks as far as they have been read.
struct Reading<'l, 'a> {
    lesson: &'l Lesson<'a>,
    music: Vec<Option<Music>>,
    findings: Vec<Vec<Finding>>,
}

impl<'l, 'a> Reading<'l, 'a> {
    fn new(lesson: &'l Lesson<'a>) -> Reading<'l, 'a> {
        let blocks = lesson.fences.len();
        let music = std::iter::repeat_with(|| None).take(blocks).collect();
        Reading { lesson, music, findings: vec![Vec::new(); blocks] }
    }

    fn read(&mut self, index: usize, fence: &Fence<'_>) {
        let mut own = Findings::default();
        let music = match fence.kind {
            Kind::Shape => shape::read(fence, &mut own).map(Music::Shape),
            Kind::Changes => changes::read(fence, &mut own).map(Music::Changes),
            Kind::Riff => {
                riff::read(fence, &*self, &mut own).map(|riff| Music::Riff(Box::new(riff)))
            }
            Kind::Neck => neck::read(fence, &|name| self.played(name), &mut own).map(Music::Neck),
            Kind::Now => None,
            Kind::Voicings | Kind::Move | Kind::Together | Kind::Say | Kind::Loop => {
                let message =
                    "this kind of block is not printed by this version; it is passed over";
                own.add(Finding::new(&later::RULE, fence.head, message));
                None
            }
        };
        if let Some(place) = self.music.get_mut(index) {
            *place = music;
        }
        if let Some(place) = self.findings.get_mut(index) {
            *place = own.sorted();
        }
    }

    /// The block of a name, with its fence, once it has been read.
    fn named(&self, name: &str) -> Option<(&'l Fence<'a>, &Music)> {
        let index = self.lesson.block(name)?;
        Some((self.lesson.fences.get(index)?, self.music.get(index)?.as_ref()?))
    }

    fn played(&self, name: &str) -> Option<neck::Played> {
        let (fence, music) = self.named(name)?;
        let places = match music {
            Music::Riff(riff) => riff.places(),
            Music::Shape(shapes) => shapes.places(),
            Music::Changes(_) | Music::Neck(_) => return None,
        };
        Some(neck::Played { title: caption(fence)?, places })
    }

    /// Silences what is meant, hands the findings over and numbers the captions.
    fn finish(self, findings: &mut Findings) -> Vec<Block> {
        let mut number = 0;
        let mut blocks = Vec::new();
        for ((fence, music), own) in self.lesson.fences.iter().zip(self.music).zip(self.findings) {
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
                faults: faults(&own),
                span: fence.span,
            });
            own.into_iter().for_each(|finding| findings.add(finding));
        }
        blocks
    }
}

impl riff::Progressions for Reading<'_, '_> {
    fn names(&self) -> Vec<String> {
        let changes = self.lesson.fences.iter().filter(|fence| fence.kind == Kind::Changes);
        changes.filter_map(|fence| fence.name.as_ref()).map(|name| name.value.clone()).collect()
    }

    fn harmony(&self, name: &str) -> Option<Harmony> {
        match self.named(name)? {
            (_, Music::Changes(changes)) => Some(changes.harmony()),
            _ => None,
        }
    }
}

fn faults(findings: &[Finding]) -> Vec<String> {
    let faults = findings.iter().filter(|finding| finding.rule.weight == Weight::Fault);
    faults.map(|finding| finding.message.clone()).collect()
}

/// The caption that is written, or else the block's name, hyphens as spaces.
fn caption(fence: &Fence<'_>) -> Option<String> {
    let name = fence.name.as_ref().map(|name| name.value.replace('-', " "));
    fence.caption.clone().or(name)
}

/// What phrases may refer to.
fn names_of(lesson: &Lesson<'_>, blocks: &[Block]) -> Names {
    let mut names = Names::default();
    for (index, (fence, block)) in lesson.fences.iter().zip(blocks).enumerate() {
        if let Some(name) = &fence.name {
            let bars = bars_of(fence.kind, block.music.as_ref());
            names.add(&name.value, Name { index, bars, figure: block.number });
        }
    }
    names
}

fn bars_of(kind: Kind, music: Option<&Music>) -> Bars {
    let (last, pickup) = match music {
        Some(Music::Riff(riff)) => (riff.bars.last().map(|bar| bar.number), riff.pickup),
        Some(Music::Changes(changes)) => {
            (changes.bars.last().map(|bar| bar.number), changes.pickup)
        }
        Some(Music::Shape(_) | Music::Neck(_)) => return Bars::Without,
        None => (None, false),
    };
    match last.and_then(|last| u32::try_from(last).ok()) {
        Some(last) => Bars::Numbered { last, pickup },
        None if matches!(kind, Kind::Shape | Kind::Neck) => Bars::Without,
        None => Bars::Unread,
    }
}
