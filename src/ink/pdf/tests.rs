//! Tests of the whole file, read back with lopdf.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::ink::{
    Bookmark, Drawing, Face, Group, Item, Label, Link, Page, Part, PartId, Path, Picture,
    PictureData, Point, Role, Style, Text, pt,
};
use lopdf::content::Content;
use lopdf::{Dictionary, Object, ObjectId};
use proptest::prelude::*;
use std::collections::BTreeSet;

const BODY: Style = Style::new(Face::Serif, pt(10.5));

/// A document that is being written, line by line.
struct Draft {
    fonts: Fonts,
    document: Document,
    y: f32,
}

impl Draft {
    fn new() -> Draft {
        let document = Document {
            title: "Slow (München) ♯".into(),
            author: "A. Teacher".into(),
            language: "en".into(),
            ..Document::default()
        };
        let mut draft = Draft { fonts: Fonts::new(), document, y: 0.0 };
        draft.page();
        draft
    }

    fn page(&mut self) {
        self.document
            .pages
            .push(Page { drawing: Drawing::new(pt(300.0), pt(400.0)), ..Page::default() });
        self.y = 20.0;
    }

    fn part(&mut self, role: Role, parent: Option<PartId>) -> PartId {
        self.document.parts.push(Part { role, parent, words: String::new() });
        PartId(self.document.parts.len() - 1)
    }

    fn put(&mut self, label: Label, items: Vec<Item>) {
        let offset = Point::new(pt(20.0), pt(self.y));
        self.y += 14.0;
        let page = self.document.pages.last_mut().unwrap();
        page.drawing.items.push(Item::Group(Group { offset, label, items }));
    }

    fn words(&self, words: &str) -> Item {
        Item::Text(Point::default(), Text::set(&self.fonts, words, BODY))
    }

    fn line(&mut self, part: PartId, words: &str) {
        let words = self.words(words);
        self.put(Label::Part(part), vec![words]);
    }

    fn link(&mut self, part: PartId, address: &str) {
        let corner = Point::new(pt(20.0), pt(self.y - 24.0));
        let link =
            Link { part, corner, width: pt(40.0), height: pt(12.0), address: address.into() };
        self.document.pages.last_mut().unwrap().links.push(link);
    }

    fn paint(&self) -> Vec<u8> {
        paint(&self.document, &self.fonts).unwrap()
    }

    fn file(&self) -> File {
        File(lopdf::Document::load_mem(&self.paint()).unwrap())
    }
}

/// Two pages with one of everything.
fn sample() -> Draft {
    let mut draft = Draft::new();
    let section = draft.part(Role::Section, None);
    let heading = draft.part(Role::Heading(2), Some(section));
    draft.line(heading, "The office figure");
    let paragraph = draft.part(Role::Paragraph, Some(section));
    draft.line(paragraph, "It begins on this page ");
    let figure = draft.part(Role::Figure, Some(section));
    draft.document.parts[figure.0].words = "A box with a ♯ in it (so).".into();
    let data = PictureData::Dots([255, 0, 0, 0, 0, 255].into());
    let picture = Picture { width: pt(20.0), height: pt(10.0), columns: 2, rows: 1, data };
    let square = Path::rectangle(Point::default(), pt(30.0), pt(30.0), 0.5);
    draft.put(
        Label::Part(figure),
        vec![Item::Path(square), Item::Picture(Point::default(), picture)],
    );
    let number = draft.words("1 of 2");
    draft.put(Label::Artifact, vec![number]);
    draft.page();
    draft.line(paragraph, "and ends with 日 and 𝄞 on the next.");
    let link = draft.part(Role::Link, Some(paragraph));
    draft.line(link, "a link");
    draft.link(link, "https://example.org/ü");
    draft.line(link, "that goes on");
    draft.link(link, "https://example.org/ü");
    let table = draft.part(Role::Table, Some(section));
    let row = draft.part(Role::TableRow, Some(table));
    let head = draft.part(Role::TableHead, Some(row));
    draft.part(Role::TableHead, Some(row));
    draft.line(head, "String");
    let deeper = draft.part(Role::Heading(5), Some(section));
    draft.line(deeper, "Deeper");
    for (title, level, page) in [("One", 1, 0), ("Two", 2, 0), ("Three", 3, 1), ("Four", 2, 1)] {
        let title = title.to_owned();
        draft.document.bookmarks.push(Bookmark { title, level, page, y: pt(30.0) });
    }
    draft
}

/// A file that was read back.
struct File(lopdf::Document);

impl File {
    fn catalogue(&self) -> &Dictionary {
        self.0.catalog().unwrap()
    }

    fn entry<'a>(&'a self, of: &'a Dictionary, key: &str) -> Option<&'a Object> {
        of.get_deref(key.as_bytes(), &self.0).ok()
    }

    fn dictionary(&self, id: ObjectId) -> &Dictionary {
        self.0.get_dictionary(id).unwrap()
    }

    fn pages(&self) -> Vec<ObjectId> {
        self.0.get_pages().into_values().collect()
    }

    /// The numbers of the marked pieces of a page.
    fn marks(&self, page: ObjectId) -> Vec<i64> {
        let content = Content::decode(&self.0.get_page_content(page)).unwrap();
        let begun = content.operations.iter().filter(|operation| operation.operator == "BDC");
        begun
            .map(|operation| {
                operation.operands[1].as_dict().unwrap().get(b"MCID").unwrap().as_i64().unwrap()
            })
            .collect()
    }

    /// What the tree's way back says for a key.
    fn parents(&self, key: i64) -> Object {
        let root = self.entry(self.catalogue(), "StructTreeRoot").unwrap().as_dict().unwrap();
        let tree = self.entry(root, "ParentTree").unwrap().as_dict().unwrap();
        let numbers = tree.get(b"Nums").unwrap().as_array().unwrap();
        let pair = numbers.chunks(2).find(|pair| pair[0].as_i64().unwrap() == key).unwrap();
        pair[1].clone()
    }

    /// Every element of the tree, from the top, with its depth.
    fn elements(&self) -> Vec<(usize, ObjectId)> {
        let root = self.entry(self.catalogue(), "StructTreeRoot").unwrap().as_dict().unwrap();
        let mut found = Vec::new();
        let mut ahead = vec![(0, root.get(b"K").unwrap().as_reference().unwrap())];
        while let Some((depth, id)) = ahead.pop() {
            found.push((depth, id));
            let inner = self.kids(id).into_iter().rev();
            ahead.extend(inner.filter_map(|kid| Some((depth + 1, kid.as_reference().ok()?))));
        }
        found
    }

    fn kids(&self, element: ObjectId) -> Vec<Object> {
        let kids = self.dictionary(element).get(b"K").and_then(Object::as_array);
        kids.cloned().unwrap_or_default()
    }

    fn tag(&self, element: ObjectId) -> &str {
        let tag = self.dictionary(element).get(b"S").unwrap().as_name().unwrap();
        std::str::from_utf8(tag).unwrap()
    }

    /// The element's marked pieces: page and number.
    fn pieces(&self, element: ObjectId) -> Vec<(ObjectId, i64)> {
        let own = self.dictionary(element).get(b"Pg").and_then(Object::as_reference).ok();
        let kids = self.kids(element);
        let piece = |kid: &Object| match kid {
            Object::Integer(mark) => Some((own.unwrap(), *mark)),
            Object::Dictionary(entry) if entry.has(b"MCID") => Some((
                entry.get(b"Pg").unwrap().as_reference().unwrap(),
                entry.get(b"MCID").unwrap().as_i64().unwrap(),
            )),
            _ => None,
        };
        kids.iter().filter_map(piece).collect()
    }
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    assert!(sample().paint() == sample().paint());
    let mut other = sample();
    other.document.title.push('!');
    assert!(other.paint() != sample().paint());
}

#[test]
fn every_marked_piece_and_its_element_name_each_other() {
    let file = sample().file();
    let mut named = BTreeSet::new();
    for (_, element) in file.elements() {
        for (page, mark) in file.pieces(element) {
            let key = file.dictionary(page).get(b"StructParents").unwrap().as_i64().unwrap();
            let parents = file.parents(key);
            let back = parents.as_array().unwrap()[usize::try_from(mark).unwrap()].clone();
            assert_eq!(back.as_reference().unwrap(), element, "piece {mark}");
            assert!(named.insert((page, mark)), "piece {mark} stands in the tree twice");
        }
    }
    for page in file.pages() {
        let marks = file.marks(page);
        assert_eq!(marks, (0..marks.len() as i64).collect::<Vec<_>>());
        assert!(marks.iter().all(|&mark| named.remove(&(page, mark))), "a piece is in no element");
    }
    assert!(named.is_empty(), "the tree names a piece that is on no page");
}

#[test]
fn every_link_and_its_element_name_each_other() {
    let file = sample().file();
    let mut count = 0;
    for page in file.pages() {
        let links = file.dictionary(page).get(b"Annots").and_then(Object::as_array);
        for link in links.cloned().unwrap_or_default() {
            let id = link.as_reference().unwrap();
            let key = file.dictionary(id).get(b"StructParent").unwrap().as_i64().unwrap();
            let element = file.parents(key).as_reference().unwrap();
            assert_eq!(file.tag(element), "Link");
            let is_it = |kid: &Object| {
                let entry = kid.as_dict().ok()?;
                Some(entry.get(b"Obj").ok()?.as_reference().ok()? == id)
            };
            assert!(file.kids(element).iter().any(|kid| is_it(kid) == Some(true)));
            assert!(file.dictionary(id).has(b"Contents"));
            count += 1;
        }
    }
    assert_eq!(count, 2);
}

#[test]
fn the_tree_follows_the_document() {
    let file = sample().file();
    let lines: Vec<String> = file
        .elements()
        .into_iter()
        .map(|(depth, id)| format!("{}{}", " ".repeat(depth), file.tag(id)))
        .collect();
    // A heading of level 2 comes first and one of level 5 next: no level is left out.
    let expected = [
        "Document", " Sect", "  H1", "  P", "   Link", "  Figure", "  Table", "   TR", "    TH",
        "    TH", "  H2",
    ];
    assert_eq!(lines, expected);
}

#[test]
fn a_paragraph_may_lie_on_two_pages() {
    let file = sample().file();
    let paragraph = file.elements().into_iter().find(|&(_, id)| file.tag(id) == "P").unwrap().1;
    let pages: BTreeSet<ObjectId> =
        file.pieces(paragraph).into_iter().map(|(page, _)| page).collect();
    assert_eq!(pages.len(), 2);
}

#[test]
fn a_figure_has_its_words_and_its_place() {
    let file = sample().file();
    let figure = file.elements().into_iter().find(|&(_, id)| file.tag(id) == "Figure").unwrap().1;
    let entry = file.dictionary(figure);
    let words = lopdf::decode_text_string(entry.get(b"Alt").unwrap()).unwrap();
    assert_eq!(words, "A box with a ♯ in it (so).");
    let area =
        entry.get(b"A").unwrap().as_dict().unwrap().get(b"BBox").unwrap().as_array().unwrap();
    let sides: Vec<f32> = area.iter().map(|side| side.as_float().unwrap()).collect();
    // 20 points from the left, two lines of 14 points below a margin of 20, on a page of 400.
    assert_eq!(sides, [20.0, 322.0, 50.0, 352.0]);
}

#[test]
fn bookmarks_nest_by_their_levels() {
    let file = sample().file();
    let mut titles = Vec::new();
    let top = file.entry(file.catalogue(), "Outlines").unwrap().as_dict().unwrap();
    assert_eq!(top.get(b"Count").unwrap().as_i64().unwrap(), 4);
    let first = |entry: &Dictionary| entry.get(b"First").and_then(Object::as_reference).ok();
    let mut ahead: Vec<(usize, ObjectId)> = first(top).map(|id| (0, id)).into_iter().collect();
    while let Some((depth, id)) = ahead.pop() {
        let entry = file.dictionary(id);
        let title = lopdf::decode_text_string(entry.get(b"Title").unwrap()).unwrap();
        titles.push(format!("{}{title}", " ".repeat(depth)));
        if let Ok(next) = entry.get(b"Next").and_then(Object::as_reference) {
            assert_eq!(file.dictionary(next).get(b"Prev").unwrap().as_reference().unwrap(), id);
            ahead.push((depth, next));
        }
        ahead.extend(first(entry).map(|id| (depth + 1, id)));
    }
    assert_eq!(titles, ["One", " Two", "  Three", " Four"]);
}

/// What says which characters glyphs stand for, a text for each face.
fn character_maps(file: &File) -> Vec<String> {
    let maps = file.0.objects.values().filter_map(|object| {
        let stream = object.as_stream().ok()?;
        let bytes = stream.get_plain_content().ok()?;
        String::from_utf8(bytes).ok().filter(|text| text.contains("begincmap"))
    });
    maps.map(|map| map.to_uppercase()).collect()
}

#[test]
fn ligatures_are_found_by_their_letters() {
    let maps = character_maps(&sample().file());
    // The letters f, f and i of "office".
    assert!(maps.iter().any(|map| map.contains("<006600660069>")));
}

#[test]
fn our_signs_are_read_as_what_they_are() {
    let mut draft = Draft::new();
    let paragraph = draft.part(Role::Paragraph, None);
    draft.line(paragraph, "F♯ B♭ D♮ F𝄪 B𝄫");
    let maps = character_maps(&draft.file());
    for code in ["<266F>", "<266D>", "<266E>", "<D834DD2A>", "<D834DD2B>"] {
        assert!(maps.iter().any(|map| map.contains(code)), "{code}");
    }
}

#[test]
fn a_glyph_that_stands_for_two_texts_says_which() {
    let file = sample().file();
    let page = file.pages()[1];
    let content = Content::decode(&file.0.get_page_content(page)).unwrap();
    let said: Vec<String> = content
        .operations
        .iter()
        .filter_map(|operation| operation.operands.get(1)?.as_dict().ok())
        .filter_map(|properties| properties.get(b"ActualText").ok())
        .map(|text| lopdf::decode_text_string(text).unwrap())
        .collect();
    // The first box stands for 日 wherever nothing else is said.
    assert_eq!(said, ["𝄞"]);
}

#[test]
fn words_from_the_right_are_written_as_they_are_read() {
    let mut draft = Draft::new();
    let part = draft.part(Role::Paragraph, None);
    let words = "(three): שלום עולם טוב, (מים) 12 end";
    draft.line(part, words);
    let file = draft.file();
    let page = file.pages()[0];
    let content = Content::decode(&file.0.get_page_content(page)).unwrap();
    let said = content.operations.iter().filter_map(|operation| {
        let said = operation.operands.get(1)?.as_dict().ok()?.get(b"ActualText").ok()?;
        Some(lopdf::decode_text_string(said).unwrap())
    });
    // A bracket in words from the right is drawn as the other one; a text of its own says which.
    assert_eq!(said.collect::<String>(), "()");
    let plain = |text: &str| {
        let text = text.replace(['(', ')'], "");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(plain(&file.0.extract_text(&[1]).unwrap()), plain(words));
}

#[test]
fn the_file_says_what_it_is() {
    let bytes = sample().paint();
    assert!(bytes.starts_with(b"%PDF-1.7"));
    let file = sample().file();
    let catalogue = file.catalogue();
    assert_eq!(catalogue.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    let metadata = file.entry(catalogue, "Metadata").unwrap().as_stream().unwrap();
    let packet = std::str::from_utf8(&metadata.content).unwrap();
    for words in ["<pdfuaid:part>1<", "Slow (München) ♯", "A. Teacher"] {
        assert!(packet.contains(words), "{words}");
    }
    assert_eq!(file.pages().len(), 2);
}

#[test]
fn the_same_picture_is_kept_once() {
    let mut draft = sample();
    let twice = draft.document.pages[0].drawing.items.clone();
    draft.document.pages[1].drawing.items.extend(twice);
    let images = |file: &File| {
        let streams = file.0.objects.values().filter_map(|object| object.as_stream().ok());
        streams
            .filter(|stream| stream.dict.get(b"Subtype").is_ok_and(|kind| *kind == "Image".into()))
            .count()
    };
    assert_eq!(images(&draft.file()), 1);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn any_words_and_numbers_make_a_sound_file(
        words in any::<String>(),
        numbers in prop::array::uniform4(any::<f32>()),
        parent in 0_usize..9,
    ) {
        let mut draft = sample();
        draft.document.title = words.clone();
        draft.document.author = words.clone();
        let part = draft.part(Role::Figure, Some(PartId(parent)));
        draft.document.parts[part.0].words = words.clone();
        draft.line(part, &words);
        draft.line(PartId(99), &words);
        draft.link(part, &words);
        let [a, b, c, d] = numbers.map(pt);
        let path = Path::line(Point::new(a, b), Point::new(c, d), a);
        draft.put(Label::Part(part), vec![Item::Path(path)]);
        let file = draft.file();
        for page in file.pages() {
            let content = file.0.get_page_content(page);
            prop_assert!(Content::decode(&content).is_ok());
        }
    }
}
