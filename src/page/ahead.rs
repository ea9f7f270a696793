//! Figures drawn ahead: while words are set and the first figures drawn, a thread of its own draws the last ones, up
//! to where the two meet.

use super::Job;
use crate::blocks::Block;
use crate::blocks::figure::{Desk, Figure, Look};
use crate::checks::Elaborated;
use crate::ink::{Fonts, Pt, cores};
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::words::Lang;
use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

/// For how many figures a thread is worth the faces that it loads for itself; assumed, to be measured.
const FEWEST: usize = 8;

/// The figures that are drawn ahead.
pub struct Figures<'a> {
    /// The width that they are drawn for.
    width: Pt,
    /// By the index of the block: whether someone draws its figure.
    taken: &'a [AtomicBool],
    drawn: Receiver<(usize, Option<Figure>)>,
    /// What isn't needed yet.
    early: RefCell<HashMap<usize, Option<Figure>>>,
}

/// What the thread beside knows.
struct Ahead<'a> {
    blocks: &'a [Block],
    fences: &'a [Fence<'a>],
    lang: Lang,
    look: &'a Look,
    width: Pt,
    draft: bool,
    taken: &'a [AtomicBool],
}

/// Does work that asks for the figures of a lesson, in the order in which they stand.
pub fn beside<T>(
    lesson: &Elaborated<'_>,
    job: &Job<'_>,
    work: impl FnOnce(&Figures<'_>) -> T,
) -> T {
    let taken: Vec<AtomicBool> = lesson.blocks.iter().map(|_| AtomicBool::new(false)).collect();
    let (blocks, fences) = (&lesson.blocks, &lesson.lesson.fences);
    let (look, width, draft) = (&job.template.figure, job.column().0, job.draft);
    let lang = lesson.lesson.header.lang;
    let ahead = Ahead { blocks, fences, lang, look, width, draft, taken: &taken };
    let (sender, drawn) = channel();
    // Only the faces of the house can be loaded once more.
    let is_worth =
        ahead.printed().count() >= FEWEST && !job.fonts.have_own() && cores::are_several();
    thread::scope(|scope| {
        if is_worth {
            // Where no thread is to be had, nothing is drawn ahead.
            let _ = thread::Builder::new().spawn_scoped(scope, || ahead.draw(sender));
        }
        let early = RefCell::default();
        work(&Figures { width, taken: &taken, drawn, early })
    })
}

impl Ahead<'_> {
    /// The blocks that are printed, by their indices.
    fn printed(&self) -> impl DoubleEndedIterator<Item = (usize, (&Block, &Fence<'_>))> {
        let blocks = self.blocks.iter().zip(self.fences).enumerate();
        blocks.filter(|(_, (block, fence))| block.printed && fence.kind.medium != Medium::Script)
    }

    /// Draws figures from the last on, up to the first that somebody else draws.
    fn draw(&self, sender: Sender<(usize, Option<Figure>)>) {
        let fonts = Fonts::new();
        let desk = Desk { lang: self.lang, fonts: &fonts, look: self.look, width: self.width };
        for (index, (block, fence)) in self.printed().rev() {
            if is_taken(self.taken, index) {
                return;
            }
            let figure = block.printed_figure(&desk, &fence.setting, self.draft);
            if sender.send((index, figure)).is_err() {
                return;
            }
        }
    }
}

/// Takes a block's figure to be drawn; whether somebody else has it.
fn is_taken(taken: &[AtomicBool], index: usize) -> bool {
    taken.get(index).is_some_and(|taken| taken.swap(true, Ordering::Relaxed))
}

impl Figures<'_> {
    /// The figure of a block for a width; `None` where whoever asks is to draw it.
    pub fn take(&self, index: usize, width: Pt) -> Option<Option<Figure>> {
        // What stands in a list is narrower than what is drawn ahead.
        let is_ahead = is_taken(self.taken, index) && width == self.width;
        if !is_ahead {
            return None;
        }
        if let Some(figure) = self.early.borrow_mut().remove(&index) {
            return Some(figure);
        }
        while let Ok((other, figure)) = self.drawn.recv() {
            if other == index {
                return Some(figure);
            }
            self.early.borrow_mut().insert(other, figure);
        }
        None
    }
}
