//! Writing the file (ISO 32000-1, 7.5): streams one after another, all else gathered into streams of objects (7.5.7),
//! and where everything stands (7.5.8).

use super::packing::{Packing, Ticket};
use super::strings::{count, dictionary, hexadecimal, name, stands_in_brackets};
use lopdf::{Dictionary, Object, ObjectId, Stream, StringFormat};
use std::fmt::Arguments;
use std::io::Write;

/// How many objects are gathered in a stream: whoever asks for one unpacks all of them (assumed).
const GATHERED: usize = 100;
/// How many bytes say where an object stands, and which one it is among those gathered.
const PLACE: usize = 4;
const RANK: usize = 1;

/// Objects that are gathered in a stream.
pub(super) struct Gathered {
    stream: ObjectId,
    members: Vec<u32>,
}

/// Takes all objects that are no streams out of a file, and gathers them in streams, which are packed.
pub(super) fn gather(
    file: &mut lopdf::Document,
    streams: &mut Vec<(ObjectId, Ticket)>,
    packing: &Packing,
) -> Vec<Gathered> {
    let (kept, loose): (Vec<_>, Vec<_>) = std::mem::take(&mut file.objects)
        .into_iter()
        .partition(|(_, object)| matches!(object, Object::Stream(_)));
    file.objects = kept.into_iter().collect();
    let mut gathered = Vec::new();
    for objects in loose.chunks(GATHERED) {
        let (content, first) = contents(objects);
        let entries = dictionary([
            ("Type", name("ObjStm")),
            ("N", count(objects.len())),
            ("First", count(first)),
        ]);
        let stream = file.add_object(Stream::new(entries, Vec::new()));
        streams.push((stream, packing.put(content)));
        gathered.push(Gathered { stream, members: objects.iter().map(|(id, _)| id.0).collect() });
    }
    gathered
}

/// What a stream of objects holds: the number and the place of each, then the objects; where the first of them begins.
fn contents(objects: &[(ObjectId, Object)]) -> (Vec<u8>, usize) {
    let (mut places, mut written) = (Vec::new(), Vec::new());
    for (id, object) in objects {
        say(&mut places, format_args!("{} {} ", id.0, written.len()));
        put_object(&mut written, object);
        written.push(b' ');
    }
    let first = places.len();
    places.append(&mut written);
    (places, first)
}

/// The bytes of a file whose objects are streams and what is gathered in some of them; what its trailer says.
pub(super) fn bytes(
    file: &lopdf::Document,
    gathered: &[Gathered],
    mut trailer: Dictionary,
) -> Vec<u8> {
    let streams =
        file.objects.iter().filter_map(|(id, object)| Some((id.0, object.as_stream().ok()?)));
    let size: usize = streams.clone().map(|(_, stream)| stream.content.len() + 200).sum();
    let mut out = Vec::with_capacity(size);
    // Bytes beyond seven bits in the second line say that this is no text (7.5.2).
    out.extend(b"%PDF-1.7\n%\xBB\xAD\xC0\xDE\n");
    let own = file.max_id + 1;
    let mut places = Places::new(own);
    for (id, stream) in streams {
        places.set(id, 1, out.len(), 0);
        put_stream(&mut out, id, &stream.dict, &stream.content);
    }
    for Gathered { stream, members } in gathered {
        for (rank, &member) in members.iter().enumerate() {
            places.set(member, 2, stream.0 as usize, rank);
        }
    }
    let start = out.len();
    places.set(own, 1, start, 0);
    trailer.set("Type", name("XRef"));
    trailer.set("Size", count(own as usize + 1));
    trailer.set("W", Object::Array([1, PLACE, RANK].map(count).to_vec()));
    trailer.set("Length", count(places.entries.len()));
    put_stream(&mut out, own, &trailer, &places.entries);
    say(&mut out, format_args!("startxref\n{start}\n%%EOF"));
    out
}

/// Where each object stands, by its number.
struct Places {
    entries: Vec<u8>,
}

impl Places {
    const ENTRY: usize = 1 + PLACE + RANK;

    /// As long as nothing else is said a number isn't in use.
    fn new(last: u32) -> Places {
        Places { entries: vec![0; (last as usize + 1) * Places::ENTRY] }
    }

    /// Says in which way an object is there, where, and which it is among those at that place.
    fn set(&mut self, object: u32, way: u8, place: usize, rank: usize) {
        let at = object as usize * Places::ENTRY;
        let place = u32::try_from(place).unwrap_or(u32::MAX).to_be_bytes();
        let rank = u8::try_from(rank).unwrap_or(u8::MAX);
        let said = std::iter::once(way).chain(place).chain([rank]);
        self.entries.iter_mut().skip(at).zip(said).for_each(|(entry, said)| *entry = said);
    }
}

fn put_stream(out: &mut Vec<u8>, id: u32, entries: &Dictionary, content: &[u8]) {
    say(out, format_args!("{id} 0 obj\n"));
    put_dictionary(out, entries);
    out.extend(b"stream\n");
    out.extend(content);
    out.extend(b"\nendstream\nendobj\n");
}

fn put_object(out: &mut Vec<u8>, object: &Object) {
    match object {
        Object::Null => out.extend(b"null"),
        Object::Boolean(is_true) => say(out, format_args!("{is_true}")),
        Object::Integer(number) => say(out, format_args!("{number}")),
        Object::Real(number) => say(out, format_args!("{number}")),
        Object::Name(name) => put_name(out, name),
        Object::String(bytes, format) => put_string(out, bytes, *format),
        Object::Array(objects) => put_array(out, objects),
        Object::Dictionary(entries) => put_dictionary(out, entries),
        // Streams stand alone, and are led to.
        Object::Stream(stream) => put_dictionary(out, &stream.dict),
        Object::Reference((number, generation)) => {
            say(out, format_args!("{number} {generation} R"))
        }
    }
}

/// A name; what would end it is written in digits (7.3.5).
fn put_name(out: &mut Vec<u8>, name: &[u8]) {
    out.push(b'/');
    for &byte in name {
        match byte {
            b'(' | b')' | b'<' | b'>' | b'[' | b']' | b'{' | b'}' | b'/' | b'%' | b'#' => {
                say(out, format_args!("#{byte:02X}"));
            }
            b'!'..=b'~' => out.push(byte),
            _ => say(out, format_args!("#{byte:02X}")),
        }
    }
}

/// Bytes between brackets where they may stand there as they are, else in digits (7.3.4).
fn put_string(out: &mut Vec<u8>, bytes: &[u8], format: StringFormat) {
    if matches!(format, StringFormat::Literal) && stands_in_brackets(bytes) {
        out.push(b'(');
        out.extend(bytes);
        out.push(b')');
    } else {
        say(out, format_args!("<{}>", hexadecimal(bytes)));
    }
}

fn put_array(out: &mut Vec<u8>, objects: &[Object]) {
    out.push(b'[');
    for (index, object) in objects.iter().enumerate() {
        if index > 0 {
            part(out, object);
        }
        put_object(out, object);
    }
    out.push(b']');
}

fn put_dictionary(out: &mut Vec<u8>, entries: &Dictionary) {
    out.extend(b"<<");
    for (key, value) in entries {
        put_name(out, key);
        part(out, value);
        put_object(out, value);
    }
    out.extend(b">>");
}

/// Parts an object from what stands before it, unless its first letter does.
fn part(out: &mut Vec<u8>, object: &Object) {
    let parts_itself = matches!(
        object,
        Object::Name(_) | Object::String(..) | Object::Array(_) | Object::Dictionary(_)
    );
    if !parts_itself {
        out.push(b' ');
    }
}

/// Appends words.
fn say(out: &mut Vec<u8>, words: Arguments<'_>) {
    // Memory takes all that it is given.
    let _ = out.write_fmt(words);
}
