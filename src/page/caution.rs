//! The word of care for the hands on the galley: in the side column, or in the text.

use super::asides::{Aside, Folded};
use super::flow::{Flow, Leads, Manner, Room};
use super::galley::{Bar, LONELY_LINE};
use super::inline::heavy;
use super::paragraph::{Dress, Passage};
use super::template::Type;
use crate::ink::Role;
use crate::words::paper::end;

impl Flow<'_> {
    /// Gives the caution where a section ends that called for it.
    pub(super) fn give_caution(&mut self, place: Room) {
        if !self.caution.falls_due() {
            return;
        }
        self.caution.give();
        let side = Type::from(self.template().side);
        let mut entry = self.entry(None, "", place);
        let strong = Type { face: heavy(side.face), ..side };
        entry.words.push(end::CAUTION_HEAD, Dress::plain(strong.style()));
        entry.words.push(end::CAUTION, Dress::plain(side.style()));
        let (anchor, fold, entries) = (self.called_at, self.galley.next(), vec![entry]);
        self.aside(Aside { anchor, fold, slack: 1.0, entries, folded: Folded::Caution, place });
    }

    /// Sets the caution in the text, where the side column has no room for it.
    pub(super) fn set_caution(&mut self, place: Room) {
        let small = self.template().small;
        let mut passage = Passage::default();
        let strong = Type { face: heavy(small.face), ..small };
        passage.push(end::CAUTION_HEAD, Dress::plain(strong.style()));
        passage.push(end::CAUTION, Dress::plain(small.style()));
        let part = self.parts.add(Role::Paragraph, place.part);
        let inner = place.moved_in(self.template().spaces.indent * 0.6, part);
        self.galley.space(place.gap * 2.0);
        // It is about what it follows: alone on the next page nobody would know why it is there.
        self.galley.hold(LONELY_LINE);
        let from = self.galley.next();
        self.passage(&passage, part, &Leads::default(), Manner::ragged(small), inner);
        self.galley.keep_whole(from);
        let width = self.rules().1;
        self.galley.bar(from, Bar { x: place.left, width, shade: 0.0, joined: false });
        self.galley.space(place.gap * 2.0);
    }
}
