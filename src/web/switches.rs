//! What a student may turn on and off: each is a class of the page's root, which its style goes by, and a box to tick,
//! which is there once the page's script (`templates/web/switches.js`) has found it.

use super::figures::Figures;
use super::markup::Html;
use crate::blocks::figure::{DotLabel, layer};
use crate::checks::Elaborated;
use crate::ink::svg::in_page::MIRRORABLE;
use crate::page::Template;
use crate::words::Lang;
use crate::words::paper::screen as words;

/// The classes of what is on.
const LEFT_HANDED: &str = "left-handed";
const LARGE_DIGITS: &str = "large-digits";
const NOTE_NAMES: &str = "note-names";
const FINGERS: &str = "fingers";
/// The class of a page whose figures are drawn for left-handed players.
const DRAWN_LEFT: &str = "drawn-left";

/// What is on at first: what the header asks for, and what its pages on paper have.
pub fn states(lesson: &Elaborated<'_>, template: &Template) -> String {
    let (header, on) = (&lesson.lesson.header, lesson.lesson.header.page);
    let is_left = header.setting.left_handed;
    let states = [
        (on.left_handed || is_left, LEFT_HANDED),
        (on.large_digits, LARGE_DIGITS),
        (on.note_names || template.figure.label == DotLabel::Notes, NOTE_NAMES),
        (on.fingers, FINGERS),
        (is_left, DRAWN_LEFT),
    ];
    let on = states.into_iter().filter_map(|(is_on, class)| is_on.then_some(class));
    on.collect::<Vec<_>>().join(" ")
}

/// Writes the boxes to tick for what the figures have; nothing where there is no figure.
pub fn write(figures: &Figures<'_>, lang: Lang, html: &mut Html) {
    if figures.count() == 0 {
        return;
    }
    let all = [
        (figures.has(MIRRORABLE), LEFT_HANDED, words::LEFT_HANDED),
        (true, LARGE_DIGITS, words::LARGE_DIGITS),
        (figures.has(layer::NOTES), NOTE_NAMES, words::NOTE_NAMES),
        (figures.has(layer::FINGERS), FINGERS, words::FINGERS),
    ];
    html.open("section", &[("aria-label", &lang.said(words::SWITCHES))]);
    html.open("fieldset", &[("id", "switches"), ("hidden", "")]);
    html.words("legend", &[], &lang.said(words::SWITCHES));
    for (_, class, words) in all.into_iter().filter(|(is_there, ..)| *is_there) {
        html.open("label", &[]);
        html.open("input", &[("type", "checkbox"), ("name", class)]);
        html.text(&lang.said(words));
        html.close("label");
    }
    html.close("fieldset");
    html.close("section");
    html.end_line();
}
