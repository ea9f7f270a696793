//! What a riff says, as it is drawn.

use super::super::notes::{SLUR_FOOT, TUCKED_FOOT};
use super::super::scale::{Scale, Weight};
use super::super::tests::{desk_of, each_item, figure, look};
use super::super::{signs, strokes};
use super::{GAP, Said, say, sorted};
use crate::blocks::signs::{BarLine, thick};
use crate::ink::{Drawing, Face, Fonts, Path, Point, Pt, Segment, Text, pt};
use crate::music::tab::{Form, Pick, Riff, Slide};
use crate::neck::StringIndex;
use crate::words::paper::tab;

/// What is drawn of a riff in a column of some width.
pub(super) fn drawn(riff: &Riff, width: f32) -> Said {
    let fonts = Fonts::new();
    let look = look(GAP);
    let desk = desk_of(&fonts, &look, width);
    let strings = if riff.form == Form::Tab { riff.instrument.tuning.len() } else { strokes::LANE };
    let scale = Scale { desk: &desk, strings };
    let mut said = Said::new();
    for strip in &figure(riff, GAP, width).strips {
        Strip::of(strip).tell(&mut said, &scale, riff.form == Form::Tab);
    }
    sorted(said)
}

/// The words and signs of a strip, the highest line of its staff at 0.
struct Strip {
    texts: Vec<(Point, Text)>,
    paths: Vec<(Point, Path)>,
}

impl Strip {
    fn of(strip: &Drawing) -> Strip {
        let (mut texts, mut paths) = (Vec::new(), Vec::new());
        let crate::ink::Item::Group(group) = &strip.items[0] else { panic!("no group") };
        each_item(&group.items, Point::default(), &mut |item, offset| match item {
            crate::ink::Item::Text(at, text) => texts.push((*at + offset, text.clone())),
            crate::ink::Item::Path(path) => paths.push((offset, path.clone())),
            _ => {}
        });
        texts.sort_by(|(a, _), (b, _)| a.x.0.total_cmp(&b.x.0).then(a.y.0.total_cmp(&b.y.0)));
        Strip { texts, paths }
    }

    fn tell(&self, said: &mut Said, scale: &Scale, is_tab: bool) {
        for (at, text) in &self.texts {
            self.tell_text(said, *at, text, scale, is_tab);
        }
        for (offset, path) in &self.paths {
            self.tell_path(said, *offset, path, scale);
        }
    }

    /// A line of words, by its face and where it stands.
    fn tell_text(&self, said: &mut Said, at: Point, text: &Text, scale: &Scale, is_tab: bool) {
        let Some(run) = text.runs.first() else { return };
        let size = text.runs.iter().fold(Pt::ZERO, |size, run| size.max(run.style.size));
        let (face, words) = (run.style.face, text.characters());
        let above = at.y < Pt::ZERO;
        let below = at.y > scale.staff_height() + scale.gaps(0.6);
        let number = self.string_of(at, size, scale).filter(|_| is_tab);
        let centre = at.x + text.width / 2.0;
        let heading = self.heading(at.y);
        match (face, number) {
            (Face::SerifSemibold, _) if size == scale.desk.look.symbol_size && above => {
                say(said, "chords", words);
            }
            (Face::SansSemibold, Some(_))
                if words.starts_with(|c: char| c.is_ascii_uppercase()) => {}
            (Face::SansSemibold, Some(string)) => {
                let harmonic = self.is_pointed(centre, text.width, size, string, scale);
                let words = if harmonic { format!("<{words}>") } else { words };
                say(said, format!("string {}", string.index()), words);
            }
            (Face::SerifSemibold, None) if size == scale.meter_size() && !above && !below => {
                say(said, "meter", words);
            }
            (Face::SansSemibold, None) if above && words.starts_with('×') => {
                say(said, "times", words);
            }
            (Face::SansSemibold, None) if above && words.ends_with('.') => {
                say(said, "endings", words);
            }
            (Face::SerifItalic, _) if !below && LETTERS.contains(&words.as_str()) => {
                let tap = words == tab::TAP && !self.is_over_slur(centre, scale);
                tap.then(|| say(said, "taps", words));
            }
            (Face::Serif | Face::SerifSemibold, None) if above => {
                words.split_whitespace().for_each(|word| say(said, "tones", word));
            }
            (Face::SerifItalic, _) if is_tab && above && is_bend(&words) => {
                say(said, "bends", words);
            }
            (Face::SansSemibold, _) if below => match heading.as_deref() {
                Some(tab::COUNT) => say(said, "counts", words),
                Some(tab::LEFT) => say(said, "left", words),
                _ => {}
            },
            (Face::Serif, _) if below && words == "-" => {
                let sung = said.get_mut("sung").and_then(|sung| sung.last_mut());
                let sung = sung.filter(|syllable| !syllable.ends_with('-'));
                sung.into_iter().for_each(|syllable| syllable.push('-'));
            }
            (Face::Serif, _) if below => say(said, "sung", words),
            (Face::SerifBoldItalic, _) if at.x == Pt::ZERO && is_heading(&words) => {}
            (Face::SerifBoldItalic, _) if words.chars().all(|sign| sign.is_ascii_digit()) => {}
            (Face::SerifItalic | Face::SerifBoldItalic, _) if below => {
                words.split_whitespace().for_each(|word| say(said, "italic", word));
            }
            (Face::SerifItalic, _) if above => say(said, "spans", words),
            _ => {}
        }
    }

    /// What the row is called that a height lies in, or beneath whose first line it lies.
    fn heading(&self, y: Pt) -> Option<String> {
        let headings = self.texts.iter().filter(|(at, text)| {
            at.x == Pt::ZERO && at.y <= y + pt(0.1) && is_heading(&text.characters())
        });
        let nearest = headings.max_by(|(a, _), (b, _)| a.y.0.total_cmp(&b.y.0));
        nearest.map(|(_, text)| text.characters())
    }

    /// Whether the middle of a slur is at an axis.
    fn is_over_slur(&self, x: Pt, scale: &Scale) -> bool {
        self.paths.iter().filter(|(_, path)| is_slur(path)).any(|(offset, path)| {
            let points = points_of(path, *offset);
            let middle = (points[0].x + points[3].x) / 2.0;
            (middle - x).abs() < scale.gaps(0.11)
        })
    }

    /// The string on whose line a number of a size is centred.
    fn string_of(&self, at: Point, size: Pt, scale: &Scale) -> Option<StringIndex> {
        let sizes = [Weight::Full, Weight::Grace, Weight::Cross].map(|w| scale.fret_size(w));
        let middle = at.y - scale.half_cap(size);
        let on = |string: &StringIndex| near(scale.line_of(*string), middle);
        StringIndex::first(scale.strings).find(on).filter(|_| sizes.contains(&size))
    }

    /// Whether a number stands between pointed brackets.
    fn is_pointed(&self, x: Pt, width: Pt, size: Pt, string: StringIndex, scale: &Scale) -> bool {
        let inner = width / 2.0 + size * super::super::notes::POINTED_AIR;
        let y = scale.line_of(string);
        let bracket = signs::pointed_bracket(
            x - inner,
            y,
            size * (super::super::tones::POINTED_BRACKET - 0.1),
            scale.cap_height(size),
        );
        self.paths.iter().any(|(offset, path)| {
            same_shape(path, &bracket) && distance(path, *offset, &bracket) < 0.05
        })
    }

    fn tell_path(&self, said: &mut Said, offset: Point, path: &Path, scale: &Scale) {
        let (gap, small) = (scale.gap(), scale.small_size());
        let zero = Pt::ZERO;
        if same_shape(path, &signs::accent(zero, zero, gap)) {
            say(said, "sign", "accent");
        }
        let lane = (scale.gaps(0.15), scale.staff_height());
        for stroke in [Pick::Down, Pick::Up, Pick::Choked] {
            let picked = &signs::pick(stroke, zero, zero, small)[0];
            let strummed = &signs::strum(stroke, zero, lane, strokes::half_stroke(scale))[0];
            let filled = path.fill.is_some() == strummed.fill.is_some();
            if same_shape(path, picked) || (filled && same_shape(path, strummed)) {
                let air =
                    if self.is_in_brackets(path, offset, picked, small) { "air " } else { "" };
                say(said, "sign", format!("{air}{stroke:?}"));
            }
        }
        let wave = signs::wave(zero, gap * 2.0, zero, gap);
        if path.segments.len() >= 3 && starts_alike(path, &wave) {
            say(said, "sign", "vibrato");
        }
        let points = points_of(path, offset);
        let Some((first, last)) = points.first().zip(points.last()) else { return };
        let (wide, rise) = (last.x - first.x, last.y - first.y);
        if path.segments.len() == 2 && wide > zero && near(rise.abs(), scale.gaps(0.66)) {
            let middle = (first.y + last.y) / 2.0;
            let string = StringIndex::first(scale.strings)
                .find(|string| near(scale.line_of(*string), middle));
            let way = if rise < zero { Slide::Up } else { Slide::Down };
            if let Some(string) = string {
                say(said, "sign", format!("slide {way:?} on {}", string.index()));
            }
        }
        self.tell_slur(said, path, &points, scale);
        let thick = thick(gap);
        let upright = path.segments.len() == 2 && near(first.x, last.x);
        if upright && path.stroke.is_some_and(|stroke| stroke.width == thick) {
            let both = BarLine::RepeatBoth.reach(gap).0 - scale.gaps(0.17);
            let dots =
                [-both, both].into_iter().filter(|side| self.has_dot(first.x + *side, scale));
            dots.for_each(|_| say(said, "sign", "repeat"));
        }
    }

    /// Whether round brackets stand about a stroke of the pick, drawn like one at the origin.
    fn is_in_brackets(&self, path: &Path, offset: Point, origin: &Path, size: Pt) -> bool {
        let (here, there) = (points_of(path, offset)[0], super::super::tests::points(origin)[0]);
        let (x, baseline) = (here.x - there.x, here.y - there.y);
        [-1.0, 1.0].into_iter().all(|side| {
            let bracket = signs::round_bracket(x, baseline, size, side);
            let is_it = |(offset, path): &(Point, Path)| {
                same_shape(path, &bracket) && distance(path, *offset, &bracket) < 0.05
            };
            self.paths.iter().any(is_it)
        })
    }

    /// A slur on a string with the nearest letter over its middle.
    fn tell_slur(&self, said: &mut Said, path: &Path, points: &[Point], scale: &Scale) {
        if !is_slur(path) {
            return;
        }
        let (from, to) = (points[0], points[3]);
        let at = |foot: f32| from.y + scale.gaps(foot);
        let on = |string: &StringIndex, line: Pt| near(scale.line_of(*string), line);
        let string = StringIndex::first(scale.strings)
            .find(|string| on(string, at(SLUR_FOOT)) || on(string, at(TUCKED_FOOT)));
        let Some(string) = string.filter(|_| near(from.y, to.y) && path.fill.is_some()) else {
            return;
        };
        let (middle, line) = ((from.x + to.x) / 2.0, scale.line_of(string));
        let letters = self.texts.iter().filter(|(at, text)| {
            let centre = at.x + text.width / 2.0;
            let over = at.y < line + scale.gaps(1.0) && (centre - middle).abs() < scale.gaps(0.11);
            over && LETTERS.contains(&text.characters().as_str())
        });
        let letter = letters.max_by(|(a, _), (b, _)| a.y.0.total_cmp(&b.y.0));
        let letter = letter.map_or_else(|| "slur".to_owned(), |(_, text)| text.characters());
        say(said, "sign", format!("{letter} on {}", string.index()));
    }

    /// Whether a dot of a repeat stands beside a thick line.
    fn has_dot(&self, x: Pt, scale: &Scale) -> bool {
        let dot = Path::circle(Point::default(), scale.gaps(0.17), Some(0.0), None);
        self.paths.iter().any(|(offset, path)| {
            let points = points_of(path, *offset);
            let centre = points.first().map(|first| first.x - scale.gaps(0.17));
            // Those that lengthen notes stand beneath the staff.
            same_shape(path, &dot)
                && points.first().is_some_and(|first| first.y < scale.staff_height())
                && centre.is_some_and(|centre| (centre - x).abs() < scale.gaps(0.2))
        })
    }
}

/// The letters of techniques.
const LETTERS: [&str; 3] = [tab::HAMMER_ON, tab::PULL_OFF, tab::TAP];

fn is_heading(words: &str) -> bool {
    [tab::COUNT, tab::LEFT, tab::RIGHT, tab::PICK].contains(&words)
}

fn is_slur(path: &Path) -> bool {
    path.fill.is_some()
        && matches!(
            path.segments[..],
            [Segment::Move(_), Segment::Curve(..), Segment::Curve(..), Segment::Close]
        )
}

fn is_bend(words: &str) -> bool {
    words.starts_with("up ")
}

fn near(one: Pt, other: Pt) -> bool {
    (one - other).abs() < pt(0.06)
}

fn points_of(path: &Path, offset: Point) -> Vec<Point> {
    super::super::tests::points(path).into_iter().map(|point| point + offset).collect()
}

/// Whether two paths are alike but for their places.
fn same_shape(one: &Path, other: &Path) -> bool {
    one.segments.len() == other.segments.len() && starts_alike(one, other)
}

/// Whether two paths begin alike, wherever they stand.
fn starts_alike(one: &Path, other: &Path) -> bool {
    let (one, other) = (super::super::tests::points(one), super::super::tests::points(other));
    let Some((from, to)) = one.first().zip(other.first()) else { return false };
    let pairs = one.iter().zip(&other);
    let alike =
        |(a, b): (&Point, &Point)| near(a.x - from.x, b.x - to.x) && near(a.y - from.y, b.y - to.y);
    one.len() >= other.len() && pairs.clone().count() > 1 && pairs.clone().all(alike)
}

fn distance(path: &Path, offset: Point, other: &Path) -> f32 {
    let (one, other) = (points_of(path, offset)[0], super::super::tests::points(other)[0]);
    ((one.x - other.x).abs() + (one.y - other.y).abs()).0
}
