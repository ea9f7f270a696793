//! The pictures for the screen: each figure that cues show, as large as it may be.

use super::figures;
use super::names::{Picture, Pictures};
use crate::blocks::figure::{Desk, Figure, Look};
use crate::checks::Elaborated;
use crate::ink::{Drawing, Extent, Fonts, Label, Point, Pt, pt, svg};
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// The widths of a column in which a figure is tried, so that it fills the screen well.
const WIDTHS: [f32; 6] = [220.0, 300.0, 380.0, 460.0, 560.0, 680.0];
/// The longer side of a screen: that of 1920×1080 dots at 96 dots an inch.
const LONGER: f32 = 1440.0;
/// How much of the screen's width and height a figure may fill; the rest is air.
const SHARE: f32 = 0.9;
/// The most that a figure is enlarged. Assumed: letters larger than this look clumsy.
const LARGEST: f32 = 6.0;

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

    /// A set of figures, all in the width of column in which they fill the screen best, beginning at one height
    /// and enlarged alike, so that one can follow another.
    fn set(&self, names: &[String], drawn: &dyn Fn(&Desk<'_>) -> Vec<Figure>) -> Vec<Screen> {
        let screen = self.wanted.screen();
        let tried = WIDTHS.iter().map(|width| {
            let desk = Desk { fonts: self.fonts, look: self.look, width: pt(*width) };
            let figures =
                drawn(&desk).into_iter().map(|figure| (trimmed(&figure.stacked()), figure.words));
            let mut figures: Vec<(Drawing, String)> = figures.collect();
            let highest = figures.iter().map(|(drawing, _)| drawing.height).fold(Pt::ZERO, Pt::max);
            figures.iter_mut().for_each(|(drawing, _)| drawing.height = highest);
            let scales = figures.iter().map(|(drawing, _)| enlargement(drawing, screen));
            (scales.fold(LARGEST, f32::min), figures)
        });
        let best = tried.max_by(|(one, _), (other, _)| one.total_cmp(other));
        let (scale, figures) = best.unwrap_or_default();
        let screens = names.iter().zip(figures).map(|(name, (drawing, words))| {
            let drawing = on_screen(&drawing, scale, screen, self.wanted.ink);
            Screen { name: name.clone(), svg: svg::figure(&drawing, name, &words, self.fonts) }
        });
        screens.collect()
    }
}

/// A drawing without the empty paper around it, so that it stands in the middle of the screen.
fn trimmed(drawing: &Drawing) -> Drawing {
    let Some(Extent { from, to }) = Extent::of(&drawing.items) else { return drawing.clone() };
    let mut trimmed = Drawing::new(to.x - from.x, to.y - from.y);
    trimmed.place(Point::new(-from.x, -from.y), drawing.clone(), Label::None);
    trimmed
}

/// How many times a drawing may be enlarged to fit the screen.
fn enlargement(drawing: &Drawing, (width, height): (Pt, Pt)) -> f32 {
    let across = width * SHARE / drawing.width.max(pt(1.0));
    let down = height * SHARE / drawing.height.max(pt(1.0));
    across.min(down).min(LARGEST)
}

fn on_screen(drawing: &Drawing, scale: f32, (width, height): (Pt, Pt), ink: Ink) -> Drawing {
    let mut large = drawing.scaled(scale);
    if ink == Ink::Light {
        large = large.inverted();
    }
    let corner = Point::new((width - large.width) / 2.0, (height - large.height) / 2.0);
    let mut screen = Drawing::new(width, height);
    screen.place(corner, large, Label::None);
    screen
}

#[cfg(test)]
mod tests {
    use super::*;

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
