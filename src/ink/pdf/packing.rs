//! Packing the file's streams (ISO 32000-1, 7.4.4), on all the machine's cores.

use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::{Object, Stream};
use std::sync::Mutex;
use std::thread;

/// How hard to try: 9 takes more than half as long again for one part in five hundred (measured on a lesson of
/// 24 pages).
const EFFORT: u32 = 4;

/// For how many bytes one more thread is worth what it takes to begin; by measurement, a page has 20 kB.
const SHARE: usize = 256 << 10;

/// Packs every stream that may be packed and isn't yet.
pub(super) fn pack(file: &mut lopdf::Document) {
    let streams = file.objects.values_mut().filter_map(|object| match object {
        Object::Stream(stream) if stream.allows_compression && !stream.dict.has(b"Filter") => {
            Some(stream)
        }
        _ => None,
    });
    let streams: Vec<&mut Stream> = streams.collect();
    let bytes: usize = streams.iter().map(|stream| stream.content.len()).sum();
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let helpers = cores.min(streams.len()).min(bytes / SHARE + 1);
    let queue = Mutex::new(streams.into_iter());
    thread::scope(|scope| {
        for _ in 1..helpers {
            // Where no thread is to be had, the others do its work.
            let _ = thread::Builder::new().spawn_scoped(scope, || work(&queue));
        }
        work(&queue);
    });
}

/// Packs streams of the queue until none is left.
fn work<'a>(queue: &Mutex<impl Iterator<Item = &'a mut Stream>>) {
    let mut packer = Compress::new(Compression::new(EFFORT), true);
    let next = || queue.lock().ok().and_then(|mut queue| queue.next());
    while let Some(stream) = next() {
        packer.reset();
        // What doesn't become smaller stays as it is.
        let mut packed = Vec::with_capacity(stream.content.len());
        let end = packer.compress_vec(&stream.content, &mut packed, FlushCompress::Finish);
        if matches!(end, Ok(Status::StreamEnd)) {
            stream.set_content(packed);
            stream.dict.set("Filter", "FlateDecode");
        }
    }
}
