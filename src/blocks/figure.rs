//! What every kind of block draws: a figure, and the looks that a template gives it.

use crate::findings::Span;
use crate::ink::measure::{Measure, StringGap, TypeSize};
use crate::ink::{Drawing, Face, Fonts, Item, Label, Point, Pt, Style, Text, pt};
use crate::theory::{Degree, Printed, Ticks};
use crate::words::Lang;
use serde::Deserialize;

/// A figure ready for the page.
#[derive(Debug, Clone, Default)]
pub struct Figure {
    /// What it shows, in words, written from the model, for whoever can't see it.
    pub words: String,
    /// Its strips from top to bottom: systems of a tab, rows of chord boxes. A page may end
    /// between strips, never within one.
    pub strips: Vec<Drawing>,
    /// How many of its first strips head it: the boxes of a song's chords, which may stand over all its parts.
    pub head: usize,
    /// How its strips follow one another; those that it says nothing of stand apart.
    pub joints: Vec<Joint>,
    /// Where the pieces of its source are drawn.
    pub elements: Vec<Element>,
    /// Where the bars are drawn of what can be heard.
    pub bars: Vec<DrawnBar>,
    /// What its signs mean, in words; a lesson's pages say each of them once. They stand where notes do, before them.
    pub keys: Vec<Printed>,
    /// What is said about it in words: what a neck's rows have in common. A page sets
    /// them beside the figure, or beneath it; none of them is in the strips.
    pub notes: Vec<Printed>,
}

/// How a strip follows the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Joint {
    /// As the template has strips stand apart; a page may end between them.
    #[default]
    Apart,
    /// As a stanza follows another, so much air between them.
    Stanza(Pt),
    /// As a line of words follows another.
    Line(Pt),
    /// The same, and no page ends between them.
    Held(Pt),
}

/// Where on the paper a piece of the source is drawn: a bar, a note, a chord box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// The piece.
    pub span: Span,
    /// The strip, by its index.
    pub strip: usize,
    /// Its left edge in the strip.
    pub left: Pt,
    /// Its right edge.
    pub right: Pt,
}

/// Where a bar is drawn, or what of it a strip holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnBar {
    /// When the bar begins, counted from the beginning of what is written.
    pub start: Ticks,
    /// The strip, by its index.
    pub strip: usize,
    /// Its left edge in the strip.
    pub left: Pt,
    /// Its right edge.
    pub right: Pt,
}

impl Figure {
    /// The strips in one drawing, beneath each other.
    pub fn stacked(&self) -> Drawing {
        self.in_rows_apart(Pt::ZERO)
    }

    /// The same with air between the strips that stand apart, for pages without a template's own.
    pub fn in_rows(&self) -> Drawing {
        self.in_rows_apart(BETWEEN_ROWS)
    }

    /// How much air is between a strip and the one before it in [`Figure::in_rows`].
    pub fn air_above(&self, strip: usize) -> Pt {
        self.air(strip, BETWEEN_ROWS)
    }

    fn air(&self, strip: usize, apart: Pt) -> Pt {
        match self.joints.get(strip) {
            _ if strip == 0 => Pt::ZERO,
            Some(Joint::Stanza(air) | Joint::Line(air) | Joint::Held(air)) => *air,
            Some(Joint::Apart) | None => apart,
        }
    }

    /// The same with so much air between strips that stand apart.
    pub fn in_rows_apart(&self, apart: Pt) -> Drawing {
        let width = self.strips.iter().fold(Pt::ZERO, |width, strip| width.max(strip.width));
        let mut whole = Drawing::new(width, Pt::ZERO);
        for (index, strip) in self.strips.iter().enumerate() {
            whole.set_below(strip.clone(), self.air(index, apart));
        }
        whole
    }

    /// Where the strips stand in [`Figure::in_rows_apart`]: the upper and the lower edge of each.
    pub fn edges(&self, apart: Pt) -> Vec<(Pt, Pt)> {
        let edges = self.strips.iter().enumerate().scan(Pt::ZERO, |above, (index, strip)| {
            let upper = *above + self.air(index, apart);
            *above = upper + strip.height;
            Some((upper, *above))
        });
        edges.collect()
    }
}

/// The air between strips that stand apart, where no template says how much; chosen by eye.
const BETWEEN_ROWS: Pt = pt(10.0);
/// The room above the notes that stand beneath a figure, in sizes of their type; chosen by eye.
const ABOVE_NOTES: f32 = 0.8;
/// From line to line of notes, in sizes of their type (looks, "Page": 8.5 on 11).
const NOTE_LEADING: f32 = 1.3;

impl Figure {
    /// The figure with what is told of it, and of its pieces, in a language. What shows on it was set in that already.
    #[must_use]
    pub fn told_in(mut self, lang: Lang) -> Figure {
        if lang != Lang::English {
            self.words = lang.told(&self.words).into_owned();
            self.strips.iter_mut().for_each(|strip| tell(&mut strip.items, lang));
        }
        self
    }

    /// The figure with its keys and notes in a strip beneath the others, in the smallest words of its looks: for places that
    /// have no column beside figures.
    #[must_use]
    pub fn with_notes_beneath(mut self, desk: &Desk<'_>) -> Figure {
        let mut notes = std::mem::take(&mut self.keys);
        notes.append(&mut self.notes);
        if notes.is_empty() {
            return self;
        }
        let style = Style::new(Face::Serif, desk.look.small_size);
        let mut strip = Drawing::new(Pt::ZERO, style.size * ABOVE_NOTES);
        for line in notes.iter().flat_map(|note| desk.printed_lines(note, style, desk.width)) {
            strip.width = strip.width.max(line.width);
            strip.text(Point::new(Pt::ZERO, strip.height + style.size), line);
            strip.height += style.size * NOTE_LEADING;
        }
        self.strips.push(strip);
        self
    }
}

fn tell(items: &mut [Item], lang: Lang) {
    for item in items {
        let Item::Group(group) = item else { continue };
        if let Label::Words { title, words } = &mut group.label {
            *title = lang.told(title).into_owned();
            *words = lang.told(words).into_owned();
        }
        tell(&mut group.items, lang);
    }
}

/// What a template says about figures.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Look {
    /// The distance between tab lines.
    #[serde(deserialize_with = "StringGap::read")]
    pub string_gap: Pt,
    /// The size of fret numbers in a tab.
    #[serde(deserialize_with = "TypeSize::read")]
    pub fret_size: Pt,
    /// The size of chord symbols.
    #[serde(deserialize_with = "TypeSize::read")]
    pub symbol_size: Pt,
    /// The size of the smallest words in figures (counts, fingers, remarks).
    #[serde(deserialize_with = "TypeSize::read")]
    pub small_size: Pt,
    /// The size of words that are sung.
    #[serde(deserialize_with = "TypeSize::read")]
    pub sung_size: Pt,
    /// The distance between the strings of a chord box.
    #[serde(deserialize_with = "StringGap::read")]
    pub box_gap: Pt,
    /// What stands beneath the strings of a chord box and in a neck's dots.
    pub label: DotLabel,
    /// What becomes of parts of several that rest through a system.
    pub resting_parts: RestingParts,
}

/// What becomes of parts of several that rest through a system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RestingParts {
    /// They stand there with their rests.
    #[default]
    Shown,
    /// They don't stand there.
    LeftOut,
}

/// What a dot or a string is labelled with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DotLabel {
    /// Degrees above the root.
    Degrees,
    /// Note names.
    Notes,
    /// Fretting fingers.
    Fingers,
    /// Nothing.
    None,
    /// Degrees or note names, as the reader of a page on the screen likes: both are drawn, each in a layer.
    #[serde(skip)]
    Either,
}

/// The layers of figures that a page on the screen may hide.
pub mod layer {
    /// The fingers of both hands.
    pub const FINGERS: &str = "fingers";
    /// Degrees, where notes may stand in their place.
    pub const DEGREES: &str = "degrees";
    /// Those notes.
    pub const NOTES: &str = "notes";
    /// Boxes to tick, where a page has some of its own.
    pub const TICKS: &str = "ticks";
}

impl DotLabel {
    /// The labels that are drawn, each with what it is in the drawing.
    pub fn drawn(self) -> Vec<(Label, DotLabel)> {
        match self {
            DotLabel::Either => vec![
                (Label::Layer(layer::DEGREES), DotLabel::Degrees),
                (Label::Layer(layer::NOTES), DotLabel::Notes),
            ],
            one => vec![(Label::None, one)],
        }
    }
}

/// What a figure is drawn with.
pub struct Desk<'a> {
    /// The language of our own words.
    pub lang: Lang,
    /// The type faces.
    pub fonts: &'a Fonts,
    /// The template's looks.
    pub look: &'a Look,
    /// The width of the column.
    pub width: Pt,
}

impl Desk<'_> {
    /// Words of our own in a style, in the language.
    pub fn said(&self, words: &str, style: Style) -> Text {
        self.words(&self.lang.said(words), style)
    }

    /// Words of our own, as a note has them, in the language.
    pub fn note(&self, words: &str) -> Printed {
        Printed::plain(self.lang.told(words))
    }

    /// A degree as it stands in diagrams, where the root has a sign of each language.
    pub fn degree(&self, degree: Degree) -> String {
        self.lang.said_in("degree", &degree.printed()).into_owned()
    }

    /// A note of our own in the language; what is raised in it stays so.
    pub fn in_language(&self, note: Printed) -> Printed {
        self.lang.printed(note)
    }

    /// Words in a style.
    pub fn words(&self, words: &str, style: Style) -> Text {
        Text::set(self.fonts, words, style)
    }

    /// Words in lines no wider than a width; a single word may be.
    pub fn lines(&self, words: &str, style: Style, width: Pt) -> Vec<Text> {
        let whole = self.words(words, style);
        if whole.width <= width {
            return vec![whole];
        }
        let space = self.words(" ", style).width;
        let mut lines: Vec<(String, Pt)> = Vec::new();
        for word in words.split_whitespace() {
            let long = self.words(word, style).width;
            match lines.last_mut() {
                Some((line, used)) if *used + space + long <= width => {
                    line.push(' ');
                    line.push_str(word);
                    *used += space + long;
                }
                _ => lines.push((word.to_owned(), long)),
            }
        }
        lines.iter().map(|(line, _)| self.words(line, style)).collect()
    }

    /// Words with raised runs among them in lines no wider than a width; a single word may be.
    pub fn printed_lines(&self, words: &Printed, style: Style, width: Pt) -> Vec<Text> {
        let space = self.words(" ", style);
        let mut lines: Vec<Text> = Vec::new();
        for word in words.words() {
            let word = self.symbol(&word, style);
            match lines.last_mut() {
                Some(line) if line.width + space.width + word.width <= width => {
                    *line = std::mem::take(line).then(space.clone()).then(word);
                }
                _ => lines.push(word),
            }
        }
        lines
    }

    /// How far a voice moves or a string is bent ("up ½"), in italics; the fraction upright and larger, so that a copy of a
    /// copy still shows it.
    pub fn moved(&self, words: &str, size: Pt) -> Text {
        let (plain, fraction) = match words.char_indices().next_back() {
            Some((at, '¼' | '½' | '¾')) => words.split_at(at),
            _ => (words, ""),
        };
        let upright = Style::new(Face::Serif, size * FRACTION);
        let plain = self.words(plain, Style::new(Face::SerifItalic, size));
        if fraction.is_empty() { plain } else { plain.then(self.words(fraction, upright)) }
    }

    /// A musical word (a chord symbol, a numeral) in a style, its raised runs small and high.
    pub fn symbol(&self, symbol: &Printed, style: Style) -> Text {
        set_printed(self.fonts, symbol, style, self.look.least_raised())
    }
}

/// Sets a musical word in a style, its raised runs small and high, the smallest of them given.
pub fn set_printed(fonts: &Fonts, printed: &Printed, style: Style, least: Pt) -> Text {
    styled(printed, style, least)
        .fold(Text::default(), |line, (words, style)| line.then(Text::set(fonts, words, style)))
}

/// The pieces of a musical word with the style of each, the smallest of raised words given. The signs ° ø + are drawn
/// for figures: among raised ones they are larger than these, so that they are read beside letters. The slash before a
/// bass has even strokes too.
pub fn styled(printed: &Printed, style: Style, least: Pt) -> impl Iterator<Item = (&str, Style)> {
    let pieces = printed.runs.iter().flat_map(|run| {
        let is_sign = |letter: char| letter == '°' || run.raised && matches!(letter, 'ø' | '+');
        let is_apart = move |letter: char| letter == '/' || is_sign(letter);
        let ends = run.text.split_inclusive(is_apart).flat_map(move |words| {
            let sign = words.char_indices().next_back().filter(|(_, last)| is_apart(*last));
            let (before, sign) = words.split_at(sign.map_or(words.len(), |(at, _)| at));
            [(before, false), (sign, !sign.is_empty())]
        });
        ends.map(move |(words, is_sign)| (words, is_sign, run.raised))
    });
    pieces.filter(|(words, ..)| !words.is_empty()).map(move |(words, is_sign, is_raised)| {
        let style = match (is_sign, is_raised) {
            (true, false) if words == "/" => Style { face: even(style), ..style },
            (true, _) if words != "/" => high_sign(style, words == "°", least),
            (_, true) => raised(style, least),
            (_, false) => style,
        };
        (words, style)
    })
}

/// The style of a raised sign among words of a style; a ring is small in its face already. By eye, beside capitals.
fn high_sign(style: Style, is_ring: bool, least: Pt) -> Style {
    let (size, rise) = if is_ring { (1.35, -0.16) } else { (0.92, 0.24) };
    let size = (style.size * size).max(least);
    Style { size, rise: style.rise + style.size * rise, ..style }
}

/// The style of raised words among words of a style: 0.72 of the size, yet never below the smallest that is given, in
/// even strokes, their tops a little above the capitals. Among words so small that raised ones are no smaller they still
/// stand off the line by a fifth.
pub fn raised(style: Style, least: Pt) -> Style {
    let size = (style.size * 0.72).max(least).min(style.size);
    // Figures and capitals are 0.65 of the size high; 0.74 is where the tops stand, by eye.
    let rise = (style.size * 0.74 - size * 0.65).max(style.size * 0.2);
    Style { face: even(style), size, rise: style.rise + rise, ..style }
}

/// The face of raised words and of the slash before a bass: that of figures' digits, whose strokes are even; what is
/// fine in letters is lost in a copy of a copy, a serif 7 but for its bar.
const EVEN: Face = Face::SansSemibold;

/// From which size of type letters' own raised words and slashes are sturdy enough; by eye, on blurred prints.
const STURDY: Pt = pt(16.0);

/// The face of raised words and slashes among words of a style.
fn even(style: Style) -> Face {
    if style.size < STURDY { EVEN } else { style.face }
}

/// How large a fraction is beside the words before it; by eye, on blurred prints.
const FRACTION: f32 = 1.2;

/// The smallest raised words: below it a raised 7 of normal words loses its stem in a copy; by eye, on blurred prints.
pub const SMALLEST_RAISED: Pt = pt(8.2);

/// The size of strings' letters among that of counts (looks, "Tab": 9 pt; 8 beside frets of 10 stay in a copy).
const LETTER: f32 = 8.0 / 9.0;

/// The size of a grace note's fret among that of others; by eye.
const GRACE: f32 = 0.78;

impl Look {
    /// Whether readers may have figures for either hand, with degrees or note names, after they are drawn.
    pub fn is_switched(&self) -> bool {
        self.label == DotLabel::Either
    }

    /// The smallest raised words of the template: as large beside its small words as 15 pt beside the 18 of large
    /// print.
    pub fn least_raised(&self) -> Pt {
        (self.small_size / 1.2).max(SMALLEST_RAISED)
    }

    /// The size of strings' letters.
    pub fn letter_size(&self) -> Pt {
        (self.small_size * LETTER).max(TypeSize::SMALLEST)
    }

    /// The size of a grace note's fret.
    pub fn grace_size(&self) -> Pt {
        (self.fret_size * GRACE).max(TypeSize::SMALLEST)
    }

    /// The smallest type of figures.
    pub fn least_type(&self) -> Pt {
        self.least_raised().min(self.letter_size()).min(self.grace_size())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOOK: Look = Look {
        string_gap: pt(7.0),
        fret_size: pt(8.5),
        symbol_size: pt(13.0),
        small_size: pt(12.0),
        sung_size: pt(11.0),
        box_gap: pt(9.0),
        label: DotLabel::Degrees,
        resting_parts: RestingParts::Shown,
    };

    #[test]
    fn small_raised_words_have_even_strokes_and_none_are_smaller_than_is_given() {
        for (face, size, least, expected) in [
            (Face::Serif, 12.5, 7.5, (EVEN, 9.0)),
            (Face::Serif, 10.0, 8.2, (EVEN, 8.2)),
            (Face::SerifItalic, 18.0, 15.0, (Face::SerifItalic, 15.0)),
            (Face::SerifSemibold, 25.0, 15.0, (Face::SerifSemibold, 18.0)),
            (Face::Sans, 9.0, 15.0, (EVEN, 9.0)),
        ] {
            let raised = raised(Style::new(face, pt(size)), pt(least));
            assert_eq!((raised.face, raised.size), (expected.0, pt(expected.1)));
            assert!(raised.rise > Pt::ZERO);
        }
    }

    fn fractions_of(words: &str) -> Vec<(Face, Pt)> {
        let fonts = Fonts::new();
        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &LOOK, width: pt(100.0) };
        let runs = desk.moved(words, pt(10.0)).runs;
        runs.iter().map(|run| (run.style.face, run.style.size)).collect()
    }

    #[test]
    fn fractions_of_distances_are_upright_and_larger() {
        assert!(fractions_of("up 1").iter().all(|run| *run == (Face::SerifItalic, pt(10.0))));
        let half = fractions_of("down 1½");
        assert_eq!(half.last(), Some(&(Face::Serif, pt(12.0))));
        assert_eq!(half.first(), Some(&(Face::SerifItalic, pt(10.0))));
    }

    #[test]
    fn the_slash_before_a_bass_has_even_strokes_and_its_letters_keep_theirs() {
        let printed = Printed::plain("E").then("7", true).then("/G♯", false);
        let style = Style::new(Face::SerifSemibold, pt(13.0));
        let faces: Vec<(&str, Face)> =
            styled(&printed, style, pt(8.0)).map(|(words, style)| (words, style.face)).collect();
        let own = Face::SerifSemibold;
        assert_eq!(faces, [("E", own), ("7", EVEN), ("/", EVEN), ("G♯", own)]);
    }

    #[test]
    fn notes_stand_beneath_and_their_signs_stay_raised() {
        let fonts = Fonts::new();
        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &LOOK, width: pt(100.0) };
        let note =
            Printed::plain("The open dots belong to A").then("add9", true).then(" too", false);
        let figure = Figure { notes: vec![note], ..Figure::default() }.with_notes_beneath(&desk);
        assert!(figure.notes.is_empty());
        let lines = figure.strips[0].items.iter().filter_map(|item| match item {
            Item::Text(_, text) => Some(text),
            _ => None,
        });
        let lines: Vec<&Text> = lines.collect();
        assert!(lines.len() > 1 && lines.iter().all(|line| line.width <= desk.width));
        let words: Vec<String> = lines.iter().map(|line| line.characters()).collect();
        assert_eq!(words.join(" "), "The open dots belong to Aadd9 too");
        let mut runs = lines.iter().flat_map(|line| &line.runs);
        assert!(runs.any(|run| run.style.rise > Pt::ZERO));
    }
}
