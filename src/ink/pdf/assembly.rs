//! Putting the file together: pages, pictures, links, the tree of parts and the catalogue.

use super::PdfError;
use super::content::Content;
use super::file;
use super::packing::Packing;
use super::pictures::Pictures;
use super::strings::{count, dictionary, name, sides, words};
use super::structure::{PlacedLink, Tree};
use super::type_in_use::Glyphs;
use super::{metadata, outline};
use crate::ink::document::{Document, Link, Page};
use crate::ink::hash;
use crate::ink::units::Pt;
use lopdf::{Dictionary, Object, ObjectId, Stream, StringFormat};
use percent_encoding::{AsciiSet, CONTROLS, utf8_percent_encode};

/// The whole file.
pub(super) fn file<'f>(
    document: &Document,
    contents: Vec<Content>,
    glyphs: &Glyphs<'f>,
    pictures: &Pictures,
    packing: &Packing<'f>,
) -> Result<Vec<u8>, PdfError> {
    packing.put_faces(glyphs.faces_in_use()?);
    let mut file = lopdf::Document::new();
    let mut streams = Vec::new();
    let resources = file.new_object_id();
    let page_ids: Vec<ObjectId> = contents.iter().map(|_| file.new_object_id()).collect();
    let links = links(document, &mut file);
    let tree = Tree::new(document, &contents, &links, &mut file);
    let root = tree.put(&contents, &links, &page_ids, &mut file);
    let leaves = file.new_object_id();
    let pages = document.pages.iter().zip(contents).zip(&links).zip(&page_ids);
    for (key, (((page, content), links), &id)) in pages.enumerate() {
        let operators = file.add_object(Stream::new(Dictionary::new(), Vec::new()));
        streams.push((operators, content.operators));
        let mut entry = page_entry(page, key, operators, links);
        entry.set("Parent", Object::Reference(leaves));
        entry.set("Resources", Object::Reference(resources));
        file.set_object(id, entry);
    }
    let kids = page_ids.iter().map(|&id| Object::Reference(id)).collect();
    file.set_object(
        leaves,
        dictionary([
            ("Type", name("Pages")),
            ("Count", count(page_ids.len())),
            ("Kids", Object::Array(kids)),
        ]),
    );
    let outlines = outline::put(document, &page_ids, &mut file);
    let catalogue = catalogue(document, leaves, root, outlines, &mut file);
    let information = file.add_object(metadata::information(document));
    let fonts = faces(glyphs, packing, &mut file)?;
    put_resources(resources, fonts, pictures, &mut file);
    streams.extend(packing.put_all(&mut file));
    let gathered = file::gather(&mut file, &mut streams, packing);
    packing.give(&streams, &mut file);
    let identity = Object::String(identity(&file), StringFormat::Hexadecimal);
    let trailer = dictionary([
        ("Root", Object::Reference(catalogue)),
        ("Info", Object::Reference(information)),
        ("ID", Object::Array(vec![identity.clone(), identity])),
    ]);
    Ok(file::bytes(&file, &gathered, trailer))
}

/// Puts the embedded faces into a file; by the names that page content calls them.
fn faces(
    glyphs: &Glyphs,
    packing: &Packing,
    file: &mut lopdf::Document,
) -> Result<Dictionary, PdfError> {
    let mut faces = packing.embedded()?;
    faces.renumber_objects_with(file.max_id + 1);
    let fonts = faces_of(&mut faces)?;
    glyphs.say_characters(&fonts, &mut faces);
    if !packing.packs_faces() {
        leave_as_they_are(&mut faces);
    }
    file.max_id = faces.max_id;
    file.objects.append(&mut faces.objects);
    Ok(fonts)
}

/// Takes the embedded faces, by the names that page content calls them, and drops everything else.
fn faces_of(file: &mut lopdf::Document) -> Result<Dictionary, PdfError> {
    let missing = |what: lopdf::Error| PdfError::Assembly(what.to_string());
    let page = file.get_pages().into_values().next();
    let page = page.ok_or_else(|| PdfError::Assembly("no page holds the faces".into()))?;
    let faces = file
        .get_dictionary(page)
        .and_then(|page| page.get_deref(b"Resources", file)?.as_dict())
        .and_then(|resources| resources.get_deref(b"Font", file)?.as_dict())
        .map_err(missing)?
        .clone();
    // What is left is what the faces lead to.
    file.trailer = dictionary([("Root", Object::Dictionary(faces.clone()))]);
    file.prune_objects();
    Ok(faces)
}

/// Has the streams that a file holds so far stay unpacked.
fn leave_as_they_are(file: &mut lopdf::Document) {
    let streams = file.objects.values_mut().filter_map(|object| object.as_stream_mut().ok());
    streams.for_each(|stream| stream.allows_compression = false);
}

/// What every page may use.
fn put_resources(id: ObjectId, fonts: Dictionary, pictures: &Pictures, file: &mut lopdf::Document) {
    let mut images = Dictionary::new();
    for (index, image) in pictures.streams().enumerate() {
        images.set(format!("P{index}"), Object::Reference(file.add_object(image)));
    }
    let entries =
        dictionary([("Font", Object::Dictionary(fonts)), ("XObject", Object::Dictionary(images))]);
    file.set_object(id, entries);
}

/// Puts the links into the file, page by page. Their keys in the tree come behind the pages' own.
fn links(document: &Document, file: &mut lopdf::Document) -> Vec<Vec<PlacedLink>> {
    let mut keys = document.pages.len()..;
    let is_known = |link: &&Link| link.part.0 < document.parts.len();
    let mut place = |page: &Page, link: &Link| {
        let key = keys.next().unwrap_or_default();
        let annotation = file.add_object(link_entry(document, page, link, key));
        PlacedLink { part: link.part, annotation }
    };
    let pages = document.pages.iter();
    pages
        .map(|page| page.links.iter().filter(is_known).map(|link| place(page, link)).collect())
        .collect()
}

fn link_entry(document: &Document, page: &Page, link: &Link, key: usize) -> Dictionary {
    let top = page.drawing.height - link.corner.y;
    let (left, right) = (link.corner.x, link.corner.x + link.width);
    let said = document.parts.get(link.part.0).map_or("", |part| &part.words);
    let said = if said.is_empty() { &link.address } else { said };
    let action = dictionary([
        ("S", name("URI")),
        ("URI", Object::String(address(&link.address), StringFormat::Hexadecimal)),
    ]);
    dictionary([
        ("Type", name("Annot")),
        ("Subtype", name("Link")),
        ("Rect", sides([left, top - link.height, right, top])),
        ("Border", Object::Array(vec![Object::Integer(0); 3])),
        // Printed too (ISO 32000-1, 12.5.3).
        ("F", Object::Integer(4)),
        ("Contents", words(said)),
        ("A", Object::Dictionary(action)),
        ("StructParent", count(key)),
    ])
}

/// What an address may not have as it is, beside all that is beyond seven bits.
const NOT_GRAPHIC: &AsciiSet = &CONTROLS.add(b' ');

/// An address in seven bits, the rest as percent signs and digits (RFC 3986, 2.1).
fn address(text: &str) -> Vec<u8> {
    utf8_percent_encode(text, NOT_GRAPHIC).to_string().into_bytes()
}

fn page_entry(page: &Page, key: usize, operators: ObjectId, links: &[PlacedLink]) -> Dictionary {
    let mut entry = dictionary([
        ("Type", name("Page")),
        ("MediaBox", sides([Pt::ZERO, Pt::ZERO, page.drawing.width, page.drawing.height])),
        ("Contents", Object::Reference(operators)),
        ("StructParents", count(key)),
        ("Tabs", name("S")),
    ]);
    if !links.is_empty() {
        let places = links.iter().map(|link| Object::Reference(link.annotation));
        entry.set("Annots", Object::Array(places.collect()));
    }
    entry
}

fn catalogue(
    document: &Document,
    leaves: ObjectId,
    tree: ObjectId,
    outlines: Option<ObjectId>,
    file: &mut lopdf::Document,
) -> ObjectId {
    let metadata = file.add_object(metadata::stream(document));
    let yes = |key: &str| Object::Dictionary(dictionary([(key, Object::Boolean(true))]));
    let mut entries = dictionary([
        ("Type", name("Catalog")),
        ("Pages", Object::Reference(leaves)),
        ("Lang", words(metadata::language(document))),
        ("MarkInfo", yes("Marked")),
        ("ViewerPreferences", yes("DisplayDocTitle")),
        ("StructTreeRoot", Object::Reference(tree)),
        ("Metadata", Object::Reference(metadata)),
    ]);
    if let Some(outlines) = outlines {
        entries.set("Outlines", Object::Reference(outlines));
        entries.set("PageMode", name("UseOutlines"));
    }
    file.add_object(entries)
}

/// The file's identity: a hash of what it holds, so that the same document has the same one.
fn identity(file: &lopdf::Document) -> Vec<u8> {
    let streams = file.objects.values().filter_map(|object| object.as_stream().ok());
    let hash =
        streams.fold(hash::of(b""), |hash, stream| hash::more_by_eights(hash, &stream.content));
    let second = hash::more(hash, b"again");
    [hash.to_be_bytes(), second.to_be_bytes()].concat()
}
