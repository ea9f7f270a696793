//! Measuring drawn necks: what lies where, and whether anything touches.

use crate::ink::{Drawing, Extent, Item, Path, Point, Pt, Segment, Text, pt};

/// Text reaches so far above its baseline, as a share of its size: a figure's height.
const FIGURE: f32 = 0.73;

/// Two marks, or two inlays, are at least so far apart: a quarter of a millimetre.
const LEAST_APART: Pt = pt(0.71);

/// What is drawn on a neck.
#[derive(Debug, Default)]
pub struct Measured {
    /// The marks.
    pub dots: Vec<Extent>,
    /// The words that stand in no mark: numbers, letters, a title.
    pub words: Vec<(String, Extent)>,
    /// The inlays.
    pub inlays: Vec<Extent>,
    /// Where the frets stand.
    pub wires: Vec<f32>,
    labels: Vec<(String, Extent)>,
}

impl Measured {
    /// Measures a drawing.
    pub fn of(drawing: &Drawing) -> Measured {
        let mut measured = Measured::default();
        measured.take(&drawing.items, Point::default());
        measured.wires.sort_by(f32::total_cmp);
        let (labels, words) = std::mem::take(&mut measured.words)
            .into_iter()
            .partition(|(_, text)| measured.dots.iter().any(|dot| holds(dot, middle(text))));
        Measured { labels, words, ..measured }
    }

    fn take(&mut self, items: &[Item], by: Point) {
        for item in items {
            match item {
                Item::Path(path) => self.path(path, by),
                Item::Text(at, text) => {
                    self.words.push((text.characters(), extent_of(*at + by, text)));
                }
                Item::Group(group) => self.take(&group.items, by + group.offset),
                Item::Picture(..) => {}
            }
        }
    }

    /// A mark is filled and has an outline; an inlay has no outline, a line no area.
    fn path(&mut self, path: &Path, by: Point) {
        if let (Some(_), None) = (path.fill, path.stroke) {
            let Extent { from, to } = Extent::of(&[Item::Path(path.clone())]).unwrap();
            self.inlays.push(Extent { from: from + by, to: to + by });
        }
        if let (Some(_), Some(line)) = (path.fill, path.stroke) {
            let Extent { from, to } = Extent::of(&[Item::Path(path.clone())]).unwrap();
            let out = |by: Pt| Point::new(by, by);
            let half = line.width / 2.0;
            self.dots.push(Extent { from: from + by + out(-half), to: to + by + out(half) });
        }
        // A line through the places of a shape is thinner than a fret.
        if let [Segment::Move(from), Segment::Line(to)] = path.segments.as_slice()
            && from.x == to.x
            && path.stroke.is_some_and(|line| line.width > pt(0.65))
        {
            self.wires.push((from.x + by.x).0);
        }
    }

    /// Asserts that no two marks, inlays, numbers or letters touch, marks being well apart, that labels stay in their marks, that a mark
    /// is at most 0.85 of the narrowest fret, and that all lies within the drawing.
    pub fn assert_nothing_touches(&self, width: Pt, what: &str) {
        let dots = self.dots.iter().map(|dot| ("a mark", dot));
        let words = self.words.iter().map(|(words, extent)| (words.as_str(), extent));
        let inlays = self.inlays.iter().map(|inlay| ("an inlay", inlay));
        let mut all: Vec<(&str, &Extent)> = dots.chain(words).chain(inlays).collect();
        all.sort_by(|(_, one), (_, other)| one.from.x.0.total_cmp(&other.from.x.0));
        for (at, (name, one)) in all.iter().enumerate() {
            assert!(one.from.x >= pt(-0.1) && one.to.x <= width + pt(0.1), "{what}: {name} is out");
            let beyond = one.to.x + LEAST_APART;
            let near = all.iter().skip(at + 1).take_while(|(_, other)| other.from.x <= beyond);
            for (other_name, other) in near {
                let least = if name == other_name { LEAST_APART } else { Pt::ZERO };
                assert!(
                    !touch(one, other, least),
                    "{what}: {name} and {other_name}: {one:?} {other:?}"
                );
            }
        }
        for (words, text) in &self.labels {
            let inside = |dot: &Extent| dot.from.x <= text.from.x && text.to.x <= dot.to.x;
            let own = self.dots.iter().find(|dot| holds(dot, middle(text)));
            assert!(own.is_some_and(inside), "{what}: {words} leaves its mark");
        }
        let gaps = self.wires.windows(2).map(|pair| pair[1] - pair[0]);
        let narrowest = gaps.fold(f32::INFINITY, f32::min);
        let (first, last) = (self.wires.first(), self.wires.last());
        for dot in &self.dots {
            let x = middle(dot).x.0;
            let pressed =
                first.is_some_and(|first| x > *first) && last.is_some_and(|last| x < *last);
            let wide = (dot.to.x - dot.from.x).0;
            assert!(!pressed || wide <= 0.85 * narrowest + 0.05, "{what}: {wide} of {narrowest}");
        }
    }
}

fn extent_of(at: Point, text: &Text) -> Extent {
    let size = text.runs.iter().fold(Pt::ZERO, |size, run| size.max(run.style.size));
    Extent {
        from: at + Point::new(Pt::ZERO, -(size * FIGURE)),
        to: at + Point::new(text.width, Pt::ZERO),
    }
}

fn middle(extent: &Extent) -> Point {
    let (from, to) = (extent.from, extent.to);
    Point::new((from.x + to.x) / 2.0, (from.y + to.y) / 2.0)
}

fn holds(extent: &Extent, point: Point) -> bool {
    let (from, to) = (extent.from, extent.to);
    (from.x..=to.x).contains(&point.x) && (from.y..=to.y).contains(&point.y)
}

/// Whether two things are nearer than so far.
fn touch(one: &Extent, other: &Extent, least: Pt) -> bool {
    let beside = (other.from.x - one.to.x).max(one.from.x - other.to.x);
    let above = (other.from.y - one.to.y).max(one.from.y - other.to.y);
    beside.max(above) <= least
}
