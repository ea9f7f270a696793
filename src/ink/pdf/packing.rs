//! Packing the file's streams (ISO 32000-1, 7.4.4), and embedding its faces, while the rest of the file is made.

use super::PdfError;
use super::type_in_use::FacesInUse;
use crate::ink::cores;
use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::{Object, ObjectId, Stream};
use std::collections::VecDeque;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;

/// How hard is tried.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    /// As the library counts it, from 1 to 9.
    level: u32,
    /// Whether faces are packed too.
    faces: bool,
}

impl Effort {
    /// For what is kept: 9 takes more than half as long again for one part in five hundred (measured on a lesson of
    /// 24 pages).
    pub(super) const KEPT: Effort = Effort { level: 4, faces: true };
    /// For what is soon made anew: less than half of that time for one part in ten more (measured on a lesson of 12
    /// pages). Faces, whose outlines become smaller by a tenth, are left as they are.
    pub(super) const PASSING: Effort = Effort { level: 2, faces: false };
}

/// What is to be packed, and what is.
pub(super) struct Packing<'f> {
    effort: Effort,
    state: Mutex<State<'f>>,
    /// Something was put in, or nothing more will be.
    news: Condvar,
}

#[derive(Default)]
struct State<'f> {
    faces: Faces<'f>,
    waiting: VecDeque<(usize, Vec<u8>)>,
    /// By the numbers of the tickets.
    packed: Vec<Packed>,
    /// How many are being packed.
    in_hand: usize,
    is_closed: bool,
}

/// How far the faces are.
#[derive(Default)]
enum Faces<'f> {
    /// None are asked for, or whoever asked has them.
    #[default]
    None,
    Waiting(FacesInUse<'f>),
    InHand,
    Embedded(Result<Box<lopdf::Document>, PdfError>),
}

/// A stream's content as it is in the file.
#[derive(Default)]
struct Packed {
    content: Vec<u8>,
    /// Whether it became smaller; what doesn't stays as it was.
    is_smaller: bool,
}

/// With this a packed content is asked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ticket(usize);

/// Does work that has contents packed: beside it, on a thread of their own, where there are several pages and a
/// second core.
pub(super) fn beside<'f, T>(
    pages: usize,
    effort: Effort,
    work: impl FnOnce(&Packing<'f>) -> T,
) -> T {
    let packing = Packing { effort, state: Mutex::default(), news: Condvar::new() };
    thread::scope(|scope| {
        // However the work ends, the thread does too.
        let _end = Closing(&packing);
        if pages > 1 && cores::are_several() {
            // Where no thread is to be had, all is packed at the end.
            let _ = thread::Builder::new().spawn_scoped(scope, || packing.pack_until_closed());
        }
        work(&packing)
    })
}

struct Closing<'a, 'f>(&'a Packing<'f>);

impl Drop for Closing<'_, '_> {
    fn drop(&mut self) {
        self.0.state().is_closed = true;
        self.0.news.notify_all();
    }
}

impl<'f> Packing<'f> {
    /// Whether faces are to be packed.
    pub(super) fn packs_faces(&self) -> bool {
        self.effort.faces
    }

    fn packer(&self) -> Compress {
        Compress::new(Compression::new(self.effort.level), true)
    }

    fn state(&self) -> MutexGuard<'_, State<'f>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Has a content packed.
    pub(super) fn put(&self, content: Vec<u8>) -> Ticket {
        let mut state = self.state();
        let ticket = state.packed.len();
        state.packed.push(Packed::default());
        state.waiting.push_back((ticket, content));
        drop(state);
        self.news.notify_one();
        Ticket(ticket)
    }

    /// Has every stream of a file packed that may be and isn't yet, nor is empty; which they are.
    pub(super) fn put_all(&self, file: &mut lopdf::Document) -> Vec<(ObjectId, Ticket)> {
        let put = |(id, object): (&ObjectId, &mut Object)| match object {
            Object::Stream(stream) if is_to_pack(stream) => {
                Some((*id, self.put(std::mem::take(&mut stream.content))))
            }
            _ => None,
        };
        file.objects.iter_mut().filter_map(put).collect()
    }

    /// Packs what still waits, and puts all into its streams.
    pub(super) fn give(&self, streams: &[(ObjectId, Ticket)], file: &mut lopdf::Document) {
        let mut packer = self.packer();
        while let Some((ticket, content)) = self.next() {
            self.pack(ticket, content, &mut packer);
        }
        let mut state = self.until_all_are_packed();
        for (id, ticket) in streams {
            let packed = state.packed.get_mut(ticket.0).map(std::mem::take).unwrap_or_default();
            if let Ok(stream) = file.get_object_mut(*id).and_then(Object::as_stream_mut) {
                stream.set_content(packed.content);
                if packed.is_smaller {
                    stream.dict.set("Filter", "FlateDecode");
                }
            }
        }
    }

    fn next(&self) -> Option<(usize, Vec<u8>)> {
        self.state().next()
    }

    fn pack(&self, ticket: usize, content: Vec<u8>, packer: &mut Compress) {
        let mut hand = InHand { packing: self, ticket, packed: Packed::default() };
        hand.packed = packed(content, packer);
    }

    fn pack_until_closed(&self) {
        let mut packer = self.packer();
        loop {
            let mut state = self.state();
            if let Some((ticket, content)) = state.next() {
                drop(state);
                self.pack(ticket, content, &mut packer);
            } else if let Some(faces) = state.next_faces() {
                drop(state);
                self.embed(faces);
            } else if state.is_closed {
                return;
            } else {
                drop(self.news.wait(state));
            }
        }
    }

    /// Has faces embedded.
    pub(super) fn put_faces(&self, faces: FacesInUse<'f>) {
        self.state().faces = Faces::Waiting(faces);
        self.news.notify_one();
    }

    /// The faces that were put in, embedded: by whoever asks, where nobody has them in hand.
    pub(super) fn embedded(&self) -> Result<lopdf::Document, PdfError> {
        let faces = self.state().next_faces();
        if let Some(faces) = faces {
            return faces.embedded();
        }
        let is_busy = |state: &mut State| matches!(state.faces, Faces::InHand);
        let state = self.news.wait_while(self.state(), is_busy);
        match std::mem::take(&mut state.unwrap_or_else(PoisonError::into_inner).faces) {
            Faces::Embedded(embedded) => embedded.map(|file| *file),
            _ => Err(PdfError::Assembly("nobody embeds its faces".into())),
        }
    }

    fn embed(&self, faces: FacesInUse<'_>) {
        let mut hand = FacesInHand { packing: self, faces: Faces::None };
        hand.faces = Faces::Embedded(faces.embedded().map(Box::new));
    }

    /// What is packed, as soon as the thread beside has put down what it has in hand.
    fn until_all_are_packed(&self) -> MutexGuard<'_, State<'f>> {
        let is_busy = |state: &mut State| state.in_hand > 0;
        self.news.wait_while(self.state(), is_busy).unwrap_or_else(PoisonError::into_inner)
    }
}

/// A content that somebody packs. However that ends, it is put down, so that nobody waits for it forever.
struct InHand<'a, 'f> {
    packing: &'a Packing<'f>,
    ticket: usize,
    packed: Packed,
}

impl Drop for InHand<'_, '_> {
    fn drop(&mut self) {
        let mut state = self.packing.state();
        state.in_hand -= 1;
        if let Some(place) = state.packed.get_mut(self.ticket) {
            *place = std::mem::take(&mut self.packed);
        }
        drop(state);
        self.packing.news.notify_all();
    }
}

/// Faces that somebody embeds. However that ends, whoever waits for them hears of it.
struct FacesInHand<'a, 'f> {
    packing: &'a Packing<'f>,
    /// What becomes of them; none where embedding was broken off.
    faces: Faces<'f>,
}

impl Drop for FacesInHand<'_, '_> {
    fn drop(&mut self) {
        self.packing.state().faces = std::mem::take(&mut self.faces);
        self.packing.news.notify_all();
    }
}

impl<'f> State<'f> {
    /// The faces, where they wait to be embedded; whoever takes them has them in hand.
    fn next_faces(&mut self) -> Option<FacesInUse<'f>> {
        match std::mem::take(&mut self.faces) {
            Faces::Waiting(faces) => {
                self.faces = Faces::InHand;
                Some(faces)
            }
            other => {
                self.faces = other;
                None
            }
        }
    }

    /// The next content to be packed; whoever takes it has it in hand.
    fn next(&mut self) -> Option<(usize, Vec<u8>)> {
        let next = self.waiting.pop_front()?;
        self.in_hand += 1;
        Some(next)
    }
}

fn is_to_pack(stream: &Stream) -> bool {
    stream.allows_compression && !stream.content.is_empty() && !stream.dict.has(b"Filter")
}

fn packed(content: Vec<u8>, packer: &mut Compress) -> Packed {
    packer.reset();
    let mut smaller = Vec::with_capacity(content.len());
    let end = packer.compress_vec(&content, &mut smaller, FlushCompress::Finish);
    match end {
        Ok(Status::StreamEnd) => Packed { content: smaller, is_smaller: true },
        _ => Packed { content, is_smaller: false },
    }
}
