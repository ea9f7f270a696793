//! The figures that cues show: small beside the script, large for the screen.

use super::{Item, Script};
use crate::blocks::figure::{Desk, Figure, Look};
use crate::blocks::say::Shown;
use crate::checks::Elaborated;
use crate::ink::{Drawing, Extent, Fonts, Label, Point, Pt, pt, svg};
use std::collections::BTreeMap;

/// The widths of a column in which a figure is tried, so that it fills the screen well.
const WIDTHS: [f32; 6] = [220.0, 300.0, 380.0, 460.0, 560.0, 680.0];
/// The screen, 1920×1080 dots at 96 dots an inch.
const SCREEN: (Pt, Pt) = (pt(1440.0), pt(810.0));
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

/// The width for which a figure is drawn before it is made small.
const COLUMN: Pt = pt(250.0);

/// The figures that cues show beside the script, each by its cue's place among the items.
pub type Beside = BTreeMap<usize, Figure>;

/// Draws the figures that stand beside a script.
pub fn beside(lesson: &Elaborated<'_>, script: &Script, look: &Look, fonts: &Fonts) -> Beside {
    let drawn = |(index, item): (usize, &Item)| {
        Some((index, figure(lesson, item.what.shows()?, COLUMN, look, fonts)?))
    };
    script.items.iter().enumerate().filter_map(drawn).collect()
}

/// A figure for the screen.
#[derive(Debug)]
pub struct Screen {
    /// Its file's name without an ending: its place in the order of use, and what it shows.
    pub name: String,
    /// The image, 1920×1080 at 96 dots an inch.
    pub svg: String,
}

/// What a cue shows, drawn for a column of a width; `None` where it could not be understood.
fn figure(
    lesson: &Elaborated<'_>,
    shown: &Shown,
    width: Pt,
    look: &Look,
    fonts: &Fonts,
) -> Option<Figure> {
    let (Shown::Block { index, .. } | Shown::Shape { index, .. }) = shown;
    let music = lesson.blocks.get(*index)?.music.as_deref()?;
    let setting = &lesson.lesson.fences.get(*index)?.setting;
    let desk = Desk { fonts, look, width };
    let part = match shown {
        Shown::Block { bars: None, .. } => return Some(music.figure(&desk, setting)),
        Shown::Block { bars: Some(bars), .. } => music.excerpt(*bars)?,
        Shown::Shape { chord, .. } => music.shape_alone(chord)?,
    };
    Some(part.figure(&desk, setting))
}

/// The figures that a script's cues show, in order of use.
pub fn screens(
    lesson: &Elaborated<'_>,
    script: &Script,
    look: &Look,
    fonts: &Fonts,
    ink: Ink,
) -> Vec<Screen> {
    let shown = script.items.iter().filter_map(|item| item.what.shows());
    let mut screens = Vec::new();
    for shown in shown {
        let Some(name) = name(lesson, shown) else { continue };
        let figures =
            WIDTHS.iter().filter_map(|width| figure(lesson, shown, pt(*width), look, fonts));
        let drawings = figures.map(|figure| (trimmed(&figure.stacked()), figure.words));
        let best = drawings.map(|(drawing, words)| (enlargement(&drawing), drawing, words));
        let best = best.max_by(|(a, ..), (b, ..)| a.total_cmp(b));
        let Some((scale, drawing, words)) = best else { continue };
        let svg = svg::figure(&on_screen(&drawing, scale, ink), &name, &words, fonts);
        screens.push(Screen { name: format!("{:02}-{name}", screens.len() + 1), svg });
    }
    screens
}

/// A drawing without the empty paper around it, so that it stands in the middle of the screen.
fn trimmed(drawing: &Drawing) -> Drawing {
    let Some(Extent { from, to }) = Extent::of(&drawing.items) else { return drawing.clone() };
    let mut trimmed = Drawing::new(to.x - from.x, to.y - from.y);
    trimmed.place(Point::new(-from.x, -from.y), drawing.clone(), Label::None);
    trimmed
}

/// How many times a drawing may be enlarged to fit the screen.
fn enlargement(drawing: &Drawing) -> f32 {
    let (width, height) = SCREEN;
    let across = width * SHARE / drawing.width.max(pt(1.0));
    let down = height * SHARE / drawing.height.max(pt(1.0));
    across.min(down).min(LARGEST)
}

fn on_screen(drawing: &Drawing, scale: f32, ink: Ink) -> Drawing {
    let mut large = drawing.scaled(scale);
    if ink == Ink::Light {
        large = large.inverted();
    }
    let (width, height) = SCREEN;
    let corner = Point::new((width - large.width) / 2.0, (height - large.height) / 2.0);
    let mut screen = Drawing::new(width, height);
    screen.place(corner, large, Label::None);
    screen
}

/// The name of a figure's file: its block's, or its chord's in letters that every file system takes.
fn name(lesson: &Elaborated<'_>, shown: &Shown) -> Option<String> {
    match shown {
        Shown::Block { index, bars } => {
            let name = lesson.lesson.fences.get(*index)?.name.as_ref()?.value.to_lowercase();
            Some(match bars {
                None => name,
                Some((first, last)) if first == last => format!("{name}-bar-{first}"),
                Some((first, last)) => format!("{name}-bars-{first}-to-{last}"),
            })
        }
        Shown::Shape { chord, .. } => {
            Some(chord.to_string().replace('#', "-sharp").replace(['/', '(', ')'], "-"))
        }
    }
}
