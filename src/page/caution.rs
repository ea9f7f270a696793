//! The word of care for the hands on the galley: in the side column, or in the text.

use super::asides::{Aside, Folded};
use super::flow::{Flow, Leads, Manner, Room, artifact};
use super::galley::LONELY_LINE;
use super::inline::heavy;
use super::paragraph::{Dress, Passage};
use super::template::Type;
use crate::ink::{Path, Point, Pt, Role};
use crate::words::paper::end;

/// The room between the caution and its rules, in spaces between paragraphs; chosen by eye.
const AIR: f32 = 0.6;

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
        let lang = self.lang();
        entry.words.push(&lang.said(end::CAUTION_HEAD), Dress::plain(strong.style()));
        entry.words.push(&lang.said(end::CAUTION), Dress::plain(side.style()));
        let (anchor, fold, entries) = (self.called_at, self.galley.next(), vec![entry]);
        self.aside(Aside { anchor, fold, slack: 1.0, entries, folded: Folded::Caution, place });
    }

    /// Sets the caution in the text, where the side column has no room for it.
    pub(super) fn set_caution(&mut self, place: Room) {
        let small = self.template().small;
        let mut passage = Passage::default();
        let strong = Type { face: heavy(small.face), ..small };
        let lang = self.lang();
        passage.push(&lang.said(end::CAUTION_HEAD), Dress::plain(strong.style()));
        passage.push(&lang.said(end::CAUTION), Dress::plain(small.style()));
        let part = self.parts.add(Role::Paragraph, place.part);
        self.galley.space(place.gap * 2.0);
        // It is about what it follows: alone on the next page nobody would know why it is there.
        self.galley.hold(LONELY_LINE);
        let from = self.galley.next();
        self.passage(&passage, part, &Leads::default(), Manner::ragged(small), place);
        self.galley.keep_whole(from);
        self.rule_off(from, place);
        self.galley.space(place.gap * 2.0);
    }

    /// Draws a thin rule above and beneath the slips from an index on: words between rules are no quotation.
    fn rule_off(&mut self, from: usize, place: Room) {
        let (air, width) = (place.gap * AIR, self.rules().0);
        let rule = |y: Pt| {
            artifact(Path::line(Point::new(place.left, y), Point::new(place.right(), y), width))
        };
        let slips = self.galley.slips.get_mut(from..).unwrap_or_default();
        if let Some(first) = slips.first_mut() {
            first.lower(air);
            first.items.push(rule(width / 2.0));
        }
        if let Some(last) = slips.last_mut() {
            last.height += air;
            last.items.push(rule(last.height - width / 2.0));
        }
    }
}
