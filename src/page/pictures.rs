//! Pictures of the lesson's folder on the galley.

use super::flow::{Flow, Manner, Room};
use super::galley::Slip;
use super::inline::heavy;
use super::template::Type;
use crate::ink::{Group, Item, Label, Picture, Point, Pt, Role, picture::Raster};
use crate::lesson::prose::PictureLink;
use std::sync::Arc;

impl Flow<'_> {
    /// Sets a picture, or its words where it can't be printed.
    pub(super) fn picture(&mut self, index: usize, place: Room) {
        let Some(link) = self.lesson.lesson.pictures.get(index) else { return };
        let from = self.galley.next();
        self.picture_or_words(link, place);
        self.galley.anchor(from, link.span, place.left, place.width);
    }

    fn picture_or_words(&mut self, link: &PictureLink, place: Room) {
        let Some(raster) = &link.picture else {
            let body = self.template().body;
            let type_ = Type { face: heavy(body.face), ..Type::from(body) };
            let words = format!("[{}]", link.words);
            return self.words(&words, Role::Paragraph, Manner::ragged(type_), place);
        };
        let picture = self.fitted(raster, place.width);
        let words = if link.words.trim().is_empty() { "picture" } else { &link.words };
        let part = self.parts.add_with_words(Role::Figure, place.part, words);
        let (height, left) = (picture.height, place.left + (place.width - picture.width) / 2.0);
        let items = vec![Item::Picture(Point::default(), picture)];
        let group = Group { offset: Point::new(left, Pt::ZERO), label: Label::Part(part), items };
        self.galley.space(self.template().spaces.figure);
        self.galley.push(Slip { height, items: vec![Item::Group(group)], ..Slip::default() });
        self.galley.space(self.template().spaces.figure);
    }

    /// A picture that is no wider than it may be. Its dots are those of the whole column's width
    /// wherever it stands, so that all its places share them.
    fn fitted(&mut self, raster: &Arc<Raster>, widest: Pt) -> Picture {
        let (column, height) = self.job.column();
        let key = Arc::as_ptr(raster).addr();
        let across =
            self.pictures.entry(key).or_insert_with(|| raster.printed(column, height * 0.6));
        let shrink = (widest / across.width).min(1.0);
        let (width, height) = (across.width * shrink, across.height * shrink);
        Picture { width, height, ..across.clone() }
    }
}
