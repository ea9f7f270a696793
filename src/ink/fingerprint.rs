//! Fingerprints of drawings: whether two look the same, without painting either. They hold within
//! one run of the program and are never written to a file.

use super::document::{Document, Part};
use super::drawing::{Drawing, Item, Label, Path, Picture, Segment};
use super::text::Text;
use super::units::{Point, Pt};
use std::hash::{DefaultHasher, Hash, Hasher};

/// The fingerprint of items: equal for items that look, read and lie the same.
pub fn of_items(items: &[Item], parts: &[Part]) -> u64 {
    let mut print = Print { hasher: DefaultHasher::new(), parts };
    print.items(items);
    print.hasher.finish()
}

/// The fingerprint of a drawing, its size included.
pub fn of_drawing(drawing: &Drawing, parts: &[Part]) -> u64 {
    let mut print = Print { hasher: DefaultHasher::new(), parts };
    print.lengths(&[drawing.width, drawing.height]);
    print.items(&drawing.items);
    print.hasher.finish()
}

/// The fingerprint of all that a document's file holds.
pub fn of_document(document: &Document) -> u64 {
    let mut print = Print { hasher: DefaultHasher::new(), parts: &document.parts };
    (&document.title, &document.author, &document.language).hash(&mut print.hasher);
    for part in &document.parts {
        (part.role, part.parent, &part.words).hash(&mut print.hasher);
    }
    for page in &document.pages {
        print.lengths(&[page.drawing.width, page.drawing.height]);
        print.items(&page.drawing.items);
        for link in &page.links {
            (link.part, &link.address).hash(&mut print.hasher);
            print.point(link.corner);
            print.lengths(&[link.width, link.height]);
        }
    }
    for bookmark in &document.bookmarks {
        (&bookmark.title, bookmark.level, bookmark.page).hash(&mut print.hasher);
        print.lengths(&[bookmark.y]);
    }
    print.hasher.finish()
}

struct Print<'a> {
    hasher: DefaultHasher,
    /// What the labels speak of: a part is known by its role and words, not by its number, which a
    /// word put in further up changes.
    parts: &'a [Part],
}

impl Print<'_> {
    fn items(&mut self, items: &[Item]) {
        items.len().hash(&mut self.hasher);
        items.iter().for_each(|item| self.item(item));
    }

    fn item(&mut self, item: &Item) {
        std::mem::discriminant(item).hash(&mut self.hasher);
        match item {
            Item::Path(path) => self.path(path),
            Item::Text(at, text) => {
                self.point(*at);
                self.text(text);
            }
            Item::Picture(at, picture) => {
                self.point(*at);
                self.picture(picture);
            }
            Item::Group(group) => {
                self.point(group.offset);
                self.label(&group.label);
                self.items(&group.items);
            }
        }
    }

    fn label(&mut self, label: &Label) {
        std::mem::discriminant(label).hash(&mut self.hasher);
        match label {
            Label::None | Label::Artifact | Label::Mirrorable => {}
            Label::Layer(name) => name.hash(&mut self.hasher),
            Label::Part(id) => {
                let part = self.parts.get(id.0).map(|part| (part.role, &part.words));
                part.hash(&mut self.hasher);
            }
            Label::Words { title, words } => (title, words).hash(&mut self.hasher),
        }
    }

    fn path(&mut self, path: &Path) {
        for segment in &path.segments {
            std::mem::discriminant(segment).hash(&mut self.hasher);
            match segment {
                Segment::Move(to) | Segment::Line(to) => self.point(*to),
                Segment::Curve(a, b, to) => [a, b, to].iter().for_each(|at| self.point(**at)),
                Segment::Close => {}
            }
        }
        path.fill.map(f32::to_bits).hash(&mut self.hasher);
        if let Some(stroke) = path.stroke {
            let (dash, gap) = stroke.dash.unwrap_or_default();
            self.lengths(&[stroke.width, Pt(stroke.shade), dash, gap]);
            stroke.round.hash(&mut self.hasher);
        }
    }

    fn text(&mut self, text: &Text) {
        text.runs.len().hash(&mut self.hasher);
        for run in &text.runs {
            run.style.face.hash(&mut self.hasher);
            self.lengths(&[run.x, run.style.size, Pt(run.style.shade), run.style.rise]);
            for piece in &run.word.pieces {
                (piece.face, piece.way).hash(&mut self.hasher);
                for glyph in &piece.glyphs {
                    (glyph.id, &glyph.characters).hash(&mut self.hasher);
                }
            }
        }
    }

    fn picture(&mut self, picture: &Picture) {
        self.lengths(&[picture.width, picture.height]);
        (picture.columns, picture.rows, &picture.data).hash(&mut self.hasher);
    }

    fn point(&mut self, at: Point) {
        self.lengths(&[at.x, at.y]);
    }

    fn lengths(&mut self, lengths: &[Pt]) {
        lengths.iter().for_each(|length| length.0.to_bits().hash(&mut self.hasher));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Face, Fonts, Group, PartId, Role, Style, pt};

    fn words(fonts: &Fonts, words: &str, x: f32) -> Item {
        Item::Text(
            Point::new(pt(x), pt(0.0)),
            Text::set(fonts, words, Style::new(Face::Serif, pt(10.0))),
        )
    }

    #[test]
    fn what_looks_or_reads_different_has_another_fingerprint() {
        let fonts = Fonts::new();
        let part = |role| Part { role, parent: None, words: String::new() };
        let parts = [part(Role::Paragraph), part(Role::Paragraph), part(Role::Heading(2))];
        let labelled = |index| {
            let (offset, label) = (Point::default(), Label::Part(PartId(index)));
            vec![Item::Group(Group { offset, label, items: vec![words(&fonts, "one", 0.0)] })]
        };
        let print = |items: &[Item]| of_items(items, &parts);
        let one = print(&[words(&fonts, "one", 0.0)]);
        assert_eq!(one, print(&[words(&fonts, "one", 0.0)]));
        assert_ne!(one, print(&[words(&fonts, "two", 0.0)]));
        assert_ne!(one, print(&[words(&fonts, "one", 1.0)]));
        assert_ne!(one, print(&labelled(0)));
        assert_eq!(print(&labelled(0)), print(&labelled(1)), "a part's number doesn't count");
        assert_ne!(print(&labelled(0)), print(&labelled(2)), "what it is does");
    }
}
