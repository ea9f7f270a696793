//! The pictures for the screen: each figure that cues show, as large as it may be.

use super::figures;
use super::names::{Picture, Pictures};
use crate::blocks::figure::{Desk, Figure, Look};
use crate::checks::Elaborated;
use crate::ink::{Drawing, Extent, Fonts, Item, Label, Path, Point, Pt, pt, svg};
use std::cmp::Ordering;
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// The widths of a column in which a figure is tried, so that it fills the screen well.
const WIDTHS: [f32; 8] = [220.0, 280.0, 340.0, 400.0, 460.0, 520.0, 600.0, 680.0];
/// The smallest type on a screen of 1080 lines, in dots: it is still read on a telephone (looks, "Screen").
const SMALLEST_TYPE: f32 = 28.0;
/// How many times as large counts, fingers and labels may be where they would be smaller (chosen by eye: then they are
/// about as large as frets, and a little larger).
const LARGER: [f32; 2] = [1.2, 1.45];
/// How many dots of such a screen a point of its drawing takes.
const DOTS: f32 = 1920.0 / LONGER;
/// Rows, the narrowest of which is so much of the widest, are parted evenly (assumed: a bar more or less in a
/// row of four is seen, a sign at its end is not).
const EVEN: f32 = 0.85;
/// The longer side of a screen: that of 1920×1080 dots at 96 dots an inch.
const LONGER: f32 = 1440.0;
/// How much of the screen's width and height a figure may fill; the rest is air.
const SHARE: f32 = 0.9;
/// The most that a figure is enlarged. Assumed: letters larger than this look clumsy.
const LARGEST: f32 = 7.0;
/// The thinnest line on a screen of 1080 lines, in dots: one of a single dot flickers in a film that is made smaller
/// (assumed, to be measured).
const THINNEST: f32 = 2.0;
/// The least air between rows, and the most where the screen has room for it, in points of the figure (chosen by eye).
const LEAST_AIR: Pt = pt(6.0);
const MOST_AIR: Pt = pt(26.0);

/// The paper's shade beneath dark ink.
const WHITE: f32 = 1.0;

/// The colour of the lines and letters for the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// For light pictures.
    Dark,
    /// For dark pictures.
    Light,
}

/// The size of a picture in dots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// 16 to 7680.
    pub width: u16,
    /// 16 to 7680.
    pub height: u16,
}

impl Size {
    /// The sizes of pictures where none is asked for, all of one shape.
    pub const USUAL: [Size; 2] =
        [Size { width: 1920, height: 1080 }, Size { width: 3840, height: 2160 }];
    /// How many dots a side may have: up to those of the widest screens that films are made for (ITU-R
    /// BT.2020).
    const SIDES: RangeInclusive<u16> = 16..=7680;

    /// The screen's width and height on which a figure of this size is drawn.
    fn screen(self) -> (Pt, Pt) {
        let (width, height) = (f32::from(self.width), f32::from(self.height));
        let dot = LONGER / width.max(height);
        (pt(width * dot), pt(height * dot))
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}", self.width, self.height)
    }
}

impl FromStr for Size {
    type Err = String;

    fn from_str(text: &str) -> Result<Size, String> {
        let side = |side: &str| side.parse().ok().filter(|dots| Size::SIDES.contains(dots));
        let sides = text.split_once(['x', 'X', '×']);
        let size = sides
            .and_then(|(width, height)| Some(Size { width: side(width)?, height: side(height)? }));
        let (least, most) = (Size::SIDES.start(), Size::SIDES.end());
        size.ok_or_else(|| {
            format!("a size is width and height in dots, {least} to {most} each, such as 3840x2160")
        })
    }
}

/// How pictures for the screen are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Their lines' and letters' colour.
    pub ink: Ink,
    /// Whether they lie on nothing, to be laid over a film; else on paper, white under dark ink and black under light.
    pub clear: bool,
    /// Their size; else they are of the usual sizes.
    pub at: Option<Size>,
}

impl Wanted {
    /// The sizes in which they are painted, all of one shape.
    pub fn sizes(&self) -> Vec<Size> {
        self.at.map_or_else(|| Size::USUAL.to_vec(), |size| vec![size])
    }

    fn screen(&self) -> (Pt, Pt) {
        self.at.unwrap_or(Size::USUAL[0]).screen()
    }
}

/// A picture for the screen.
#[derive(Debug)]
pub struct Screen {
    /// Its file's name without an ending.
    pub name: String,
    /// The image, its longer side 1920 dots at 96 dots an inch.
    pub svg: String,
}

/// The lesson's figures as they are drawn for the screen.
pub struct Job<'a> {
    /// The lesson.
    pub lesson: &'a Elaborated<'a>,
    /// How its figures look.
    pub look: &'a Look,
    /// The faces.
    pub fonts: &'a Fonts,
    /// How the pictures are wanted.
    pub wanted: Wanted,
}

/// The pictures of a script, in order of use: each whole, then its chords one after another.
pub fn screens(pictures: &Pictures, job: &Job<'_>) -> Vec<Screen> {
    pictures.all.iter().flat_map(|picture| job.screens(picture)).collect()
}

impl Job<'_> {
    fn screens(&self, picture: &Picture) -> Vec<Screen> {
        let Picture { name, shows, each } = picture;
        let whole = self.set(std::slice::from_ref(name), &|desk| {
            figures::figure(self.lesson, shows, desk).into_iter().collect()
        });
        let each = self.set(each, &|desk| figures::each(self.lesson, shows, desk));
        whole.into_iter().chain(each).collect()
    }

    /// A set of figures, enlarged alike, so that one can follow another.
    fn set(&self, names: &[String], drawn: Drawn<'_>) -> Vec<Screen> {
        let screen = self.wanted.screen();
        let (scale, figures) =
            self.best(drawn).map(|(fit, figures)| (fit.scale, figures)).unwrap_or_default();
        let screens = names.iter().zip(figures).map(|(name, (drawing, words))| {
            let drawing = on_screen(&drawing, scale, screen, self.wanted);
            Screen { name: name.clone(), svg: svg::figure(&drawing, name, &words, self.fonts) }
        });
        screens.collect()
    }

    /// A set of figures with their words, all in the width of column in which they fill the screen best, and
    /// beginning at one height.
    /// Where its smallest type is too small, it is tried with larger counts, fingers and labels.
    fn best(&self, drawn: Drawn<'_>) -> Option<(Fit, Vec<(Drawing, String)>)> {
        let mut best = self.best_of(self.look, drawn)?;
        for times in LARGER {
            if best.0.type_size >= SMALLEST_TYPE {
                break;
            }
            let small_size = self.look.small_size * times;
            let other = self.best_of(&Look { small_size, ..self.look.clone() }, drawn)?;
            if other.0.cmp(&best.0) == Ordering::Greater {
                best = other;
            }
        }
        Some(best)
    }

    /// The best width for figures of a look.
    fn best_of(&self, look: &Look, drawn: Drawn<'_>) -> Option<(Fit, Vec<(Drawing, String)>)> {
        let screen = self.wanted.screen();
        let tried = WIDTHS.iter().map(|width| {
            let desk = Desk {
                lang: self.lesson.lesson.header.lang,
                fonts: self.fonts,
                look,
                width: pt(*width),
            };
            let mut evenness = 1.0_f32;
            let figures = drawn(&desk).into_iter().map(|mut figure| {
                // A picture is seen for seconds: what its signs mean stands on it, sentences about it don't.
                figure.notes.clear();
                figure.with_notes_beneath(&desk)
            });
            let figures: Vec<Figure> = figures.collect();
            evenness = figures.iter().map(evenness_of).fold(evenness, f32::min);
            let close = |figure: &Figure| figure.in_rows_apart(LEAST_AIR);
            let close = framed(figures.iter().map(close).collect());
            let scales = close.iter().map(|drawing| enlargement(drawing, screen));
            let scale = scales.fold(LARGEST, f32::min);
            let figures = spread(figures, scale, screen);
            let smallest = figures.iter().map(|(drawing, _)| smallest_type(&drawing.items));
            let smallest = smallest.fold(f32::INFINITY, f32::min) * scale * DOTS;
            let type_size = smallest.min(SMALLEST_TYPE);
            let fit = Fit { type_size, is_even: evenness >= EVEN, scale };
            (fit, figures)
        });
        tried.max_by(|(one, _), (other, _)| one.cmp(other))
    }
}

/// A set of figures with their words, their rows as far apart as the screen has room for.
fn spread(figures: Vec<Figure>, scale: f32, (_, height): (Pt, Pt)) -> Vec<(Drawing, String)> {
    let air = figures.iter().map(|figure| {
        let gaps = figure.strips.iter().skip(1).fold(0.0, |gaps, _| gaps + 1.0);
        let drawn = Extent::of(&figure.in_rows_apart(LEAST_AIR).items)
            .map_or(Pt::ZERO, |it| it.to.y - it.from.y);
        let room = height * SHARE / scale - drawn;
        (LEAST_AIR + room / f32::max(gaps, 1.0)).max(LEAST_AIR).min(MOST_AIR)
    });
    let air = air.fold(MOST_AIR, Pt::min);
    let drawings = framed(figures.iter().map(|figure| figure.in_rows_apart(air)).collect());
    drawings.into_iter().zip(figures.into_iter().map(|figure| figure.words)).collect()
}

/// Draws the figures of a set.
type Drawn<'d> = &'d dyn Fn(&Desk<'_>) -> Vec<Figure>;

/// How well a set of figures fits the screen.
struct Fit {
    /// The size of its smallest type in dots, as far as it isn't large enough.
    type_size: f32,
    /// Whether its rows are parted evenly.
    is_even: bool,
    /// How many times it is enlarged.
    scale: f32,
}

impl Fit {
    /// What can be read is better than what is parted evenly, and that better than what is merely larger.
    fn cmp(&self, other: &Fit) -> Ordering {
        let read = self.type_size.total_cmp(&other.type_size);
        read.then(self.is_even.cmp(&other.is_even)).then(self.scale.total_cmp(&other.scale))
    }
}

/// How wide the narrowest row of a figure is, as a share of the widest.
fn evenness_of(figure: &Figure) -> f32 {
    let widths = figure.strips.iter().filter_map(|strip| {
        let Extent { from, to } = Extent::of(&strip.items)?;
        Some((to.x - from.x).0)
    });
    let (narrowest, widest) = widths
        .fold((f32::INFINITY, 0.0_f32), |(least, most), width| (least.min(width), most.max(width)));
    if widest > 0.0 { narrowest / widest } else { 1.0 }
}

/// The size of the smallest type among items, in points.
fn smallest_type(items: &[Item]) -> f32 {
    let of_item = |item: &Item| match item {
        Item::Text(_, text) => {
            text.runs.iter().map(|run| run.style.size.0).fold(f32::INFINITY, f32::min)
        }
        Item::Group(group) => smallest_type(&group.items),
        Item::Path(_) | Item::Picture(..) => f32::INFINITY,
    };
    items.iter().map(of_item).fold(f32::INFINITY, f32::min)
}

/// Drawings without the empty paper around them, so that they stand in the middle of the screen: all in one frame, so
/// that nothing jumps where one follows another.
fn framed(drawings: Vec<Drawing>) -> Vec<Drawing> {
    let extents: Vec<Extent> =
        drawings.iter().filter_map(|drawing| Extent::of(&drawing.items)).collect();
    let Some(Extent { from, to }) = extents.into_iter().reduce(Extent::and) else {
        return drawings;
    };
    let is_alone = drawings.len() == 1;
    let middles = drawings.iter().map(|drawing| middle(drawing, is_alone)).collect::<Vec<Pt>>();
    let reaches = drawings.iter().zip(&middles).map(|(drawing, middle)| reach(drawing, *middle));
    let reach = reaches.fold(Pt::ZERO, Pt::max);
    let framed = drawings.into_iter().zip(middles).map(|(drawing, middle)| {
        let mut framed = Drawing::new(reach * 2.0, to.y - from.y);
        framed.place(Point::new(reach - middle, -from.y), drawing, Label::None);
        framed
    });
    framed.collect()
}

/// Where across a drawing stands what the screen's middle is to be: that of all of it where it is alone, and of its
/// grid where others follow, however far a word beside or beneath one of them reaches.
fn middle(drawing: &Drawing, is_alone: bool) -> Pt {
    let whole = Extent::of(&drawing.items);
    let grid = widest_path(&drawing.items).filter(|_| !is_alone);
    grid.or(whole).map_or(Pt::ZERO, |it| (it.from.x + it.to.x) / 2.0)
}

/// How far a drawing reaches to the left or to the right of a place.
fn reach(drawing: &Drawing, middle: Pt) -> Pt {
    Extent::of(&drawing.items)
        .map_or(Pt::ZERO, |Extent { from, to }| (middle - from.x).max(to.x - middle))
}

/// The widest path of a drawing: of a chord's box a fret, or its nut.
fn widest_path(items: &[Item]) -> Option<Extent> {
    let of_item = |item: &Item| match item {
        Item::Path(_) => Extent::of(std::slice::from_ref(item)),
        Item::Group(group) => {
            let Extent { from, to } = widest_path(&group.items)?;
            Some(Extent { from: from + group.offset, to: to + group.offset })
        }
        Item::Text(..) | Item::Picture(..) => None,
    };
    let width = |it: &Extent| (it.to.x - it.from.x).0;
    items.iter().filter_map(of_item).max_by(|one, other| width(one).total_cmp(&width(other)))
}

/// How many times a drawing may be enlarged to fit the screen.
fn enlargement(drawing: &Drawing, (width, height): (Pt, Pt)) -> f32 {
    let across = width * SHARE / drawing.width.max(pt(1.0));
    let down = height * SHARE / drawing.height.max(pt(1.0));
    across.min(down).min(LARGEST)
}

fn on_screen(drawing: &Drawing, scale: f32, (width, height): (Pt, Pt), wanted: Wanted) -> Drawing {
    let large = drawing.scaled(scale).sturdy(pt(THINNEST / DOTS));
    let corner = Point::new((width - large.width) / 2.0, (height - large.height) / 2.0);
    let mut screen = Drawing::new(width, height);
    if !wanted.clear {
        screen.path(Path::rectangle(Point::default(), width, height, WHITE));
    }
    screen.place(corner, large, Label::None);
    if wanted.ink == Ink::Light { screen.inverted() } else { screen }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::findings::{Findings, Source};
    use crate::lesson::world::MemoryWorld;
    use crate::page::Template;
    use crate::script::{self, names};
    use crate::{blocks, checks, lesson};

    /// Each picture of a lesson: whether it can be read and is parted evenly, and what is drawn; then its chords one
    /// after another.
    fn fits(text: &str, look: impl Fn(&str, &Fit, &[Drawing])) {
        let (source, mut found) = (Source::new("one.md", text.as_bytes()), Findings::default());
        let world = MemoryWorld::default();
        let lesson = lesson::read(&source, &blocks::kinds(), &world, &mut found);
        let lesson = &checks::elaborate(lesson, &mut found);
        let script = script::of(lesson);
        let (template, fonts) = (Template::usual().unwrap(), Fonts::new());
        let wanted = Wanted { ink: Ink::Dark, clear: false, at: None };
        let job = Job { lesson, look: &template.figure, fonts: &fonts, wanted };
        for picture in names::pictures(lesson, &script).all {
            let drawn = |desk: &Desk<'_>| {
                figures::figure(lesson, &picture.shows, desk).into_iter().collect()
            };
            let each = |desk: &Desk<'_>| figures::each(lesson, &picture.shows, desk);
            for (name, drawn) in
                [(picture.name.clone(), &drawn as Drawn<'_>), ("each".to_owned(), &each)]
            {
                let (fit, figures) = job.best(drawn).unwrap();
                let drawings: Vec<Drawing> =
                    figures.into_iter().map(|(drawing, _)| drawing).collect();
                if !drawings.is_empty() {
                    look(&name, &fit, &drawings);
                }
            }
        }
    }

    #[test]
    fn eight_bars_are_parted_by_fours_and_read_on_a_small_screen() {
        let bar = "1   2   3   4   |";
        let notes = "0---2---3---2---|";
        let (count, string) = (bar.repeat(8), notes.repeat(8));
        let text = format!(
            "---\ntitle: T\n---\n~~~ riff tune\ncount   {count}\nB       {string}\n~~~\n\n~~~ changes verse\n| A | D | E | A | D | A | E | A |\n~~~\n\n~~~ say\n[show tune]\nOne.\n[show verse]\nTwo.\n~~~\n"
        );
        fits(&text, |name, fit, _| {
            assert!(fit.is_even && fit.type_size >= SMALLEST_TYPE, "{name} {}", fit.scale)
        });
    }

    #[test]
    fn the_pictures_of_the_demo_lessons_can_be_read() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "md") {
                let text = std::fs::read_to_string(&path).unwrap();
                fits(&text, |name, fit, _| {
                    assert!(fit.type_size >= SMALLEST_TYPE, "{path:?} {name} {}", fit.type_size)
                });
            }
        }
    }

    /// All words of items, one after another.
    fn written(items: &[Item]) -> String {
        let of_item = |item: &Item| match item {
            Item::Text(_, text) => text.characters() + " ",
            Item::Group(group) => written(&group.items),
            _ => String::new(),
        };
        items.iter().map(of_item).collect()
    }

    fn demo(name: &str) -> String {
        let path = format!("{}/lessons/{name}.md", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).unwrap()
    }

    #[test]
    fn signs_are_explained_on_the_screen_and_nothing_else_is_said() {
        fits(&demo("lanterns"), |name, _, drawings| {
            let words: String = drawings.iter().map(|drawing| written(&drawing.items)).collect();
            assert!(!words.contains("whatever chord sounds"), "{name}: {words}");
            assert!(name != "high" || words.contains("the note stays"), "{name}: {words}");
        });
    }

    #[test]
    fn chords_that_follow_one_another_stand_in_one_frame() {
        fits(&demo("paper-kites"), |name, _, drawings| {
            let first = &drawings[0];
            let alike = |it: &Drawing| (it.width, it.height) == (first.width, first.height);
            assert!(drawings.iter().all(alike), "{name}");
        });
    }

    #[test]
    fn each_chord_stands_in_the_middle_of_the_screen_and_its_grid_stays_there() {
        for lesson in ["slow-ferry", "paper-kites", "lanterns", "orchard-gate"] {
            fits(&demo(lesson), |name, fit, drawings| {
                let grids = drawings.iter().map(|drawing| {
                    let off = middle(drawing, drawings.len() == 1) - drawing.width / 2.0;
                    assert!((off * fit.scale).0.abs() < 0.5, "{lesson} {name}: {off:?}");
                    middle(drawing, false)
                });
                let grids: Vec<Pt> = grids.collect();
                let stays = |grid: &Pt| (*grid - grids[0]).0.abs() < 0.5;
                assert!(
                    drawings.len() == 1 || grids.iter().all(stays),
                    "{lesson} {name}: {grids:?}"
                );
            });
        }
    }

    #[test]
    fn rows_stand_apart_where_the_screen_has_room() {
        let text = "---\ntitle: T\nkey: A major\n---\n~~~ changes verse\n| A | D | E | A | D | A | E | A |\n~~~\n\n~~~ say\n[show verse]\nTwo.\n~~~\n";
        fits(text, |_, fit, drawings| {
            // Two rows of names, numerals and functions, and air between them.
            assert!(
                drawings[0].height * fit.scale > pt(330.0),
                "{:?}",
                drawings[0].height * fit.scale
            );
        });
    }

    #[test]
    fn no_line_is_thinner_than_a_film_keeps() {
        fn thinnest(items: &[Item]) -> f32 {
            let of_item = |item: &Item| match item {
                Item::Path(path) => path.stroke.map_or(f32::INFINITY, |line| line.width.0),
                Item::Group(group) => thinnest(&group.items),
                _ => f32::INFINITY,
            };
            items.iter().map(of_item).fold(f32::INFINITY, f32::min)
        }
        fits(&demo("closed-bakery"), |name, fit, drawings| {
            let screen = Size::USUAL[0].screen();
            let wanted = Wanted { ink: Ink::Light, clear: true, at: None };
            let picture = on_screen(&drawings[0], fit.scale, screen, wanted);
            let dots = thinnest(&picture.items) * DOTS;
            assert!(dots >= THINNEST - 0.01, "{name}: {dots}");
        });
    }

    #[test]
    fn sizes_are_read_within_bounds() {
        for (text, size) in [
            ("3840x2160", Some((3840, 2160))),
            ("16X7680", Some((16, 7680))),
            ("1080×1920", Some((1080, 1920))),
            ("15x100", None),
            ("100x7681", None),
            ("99999x100", None),
            ("1920", None),
            ("1920x", None),
            ("-1920x1080", None),
            ("1920x1080x3", None),
            ("a x b", None),
        ] {
            let read = text.parse::<Size>().ok().map(|size| (size.width, size.height));
            assert_eq!(read, size, "{text}");
        }
    }
}
