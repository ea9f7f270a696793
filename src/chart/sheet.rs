//! A chart on pages: one size for all of it, the largest at which its figures fill whole pages.

use super::{Chart, Content, Part};
use crate::blocks::figure::{Desk, Figure, Look};
use crate::blocks::shape::{Grid, Shapes};
use crate::checks::Elaborated;
use crate::ink::measure::TypeSize;
use crate::ink::{Document, Extent, Pt, pt};
use crate::page::chart::{Charted, Named, pages_of_chart, set_chart};
use crate::page::{Job, Template};

/// From a size to the next smaller one that is tried, and then to the next larger one.
const COARSE: f32 = 1.12;
const FINE: f32 = 1.028;
/// The smallest words of a handout and of large print (looks, "Type").
const SMALLEST: Pt = pt(8.0);
const SMALLEST_OF_LARGE: Pt = pt(15.0);
/// How many times the template's spaces between figures and their rows are tried, the widest first; chosen by eye.
const SPACES: [f32; 8] = [3.0, 2.6, 2.2, 1.9, 1.6, 1.4, 1.2, 1.1];
/// Rows of one chord are at most half a box apart, in parts of the distance between strings (the frets of a box are
/// about five high), and chords twice that, so that it is seen which rows belong together; chosen by eye.
const ROWS_APART: f32 = 2.5;
/// The most that titles, names and captions grow, as the root of what figures do; chosen by eye.
const LARGEST_WORDS: f32 = 1.8;
/// Words beneath boxes are at most so large beside the title; chosen by eye.
const BENEATH_TITLE: f32 = 0.6;
/// So little beside the column is a rounding error.
const HAIR: Pt = pt(0.5);
/// A row of boxes is no higher, in parts of a page: a title and names stand above the first.
const HIGHEST_STRIP: f32 = 0.75;
/// No box is narrower, in parts of the distance between its strings: that of four strings.
const LEAST_BOX: f32 = 3.0;
/// More rows of something to write on than any page holds.
const MOST_ROWS: usize = 60;

/// Sets a chart on pages: on as many as it needs in the smallest size, as large as it can be on these.
pub fn set(chart: &Chart, lesson: &Elaborated<'_>, job: &Job<'_>) -> Document {
    let sheet = Sheet { chart, lesson, job };
    let (drawn, template, most) = match sheet.blank() {
        Some(drawn) => (drawn, job.template.clone(), None),
        None => {
            let times = sheet.best_size();
            let look = enlarged(&job.template.figure, times);
            (sheet.draw(&look), worded(job.template, times), Some(look.box_gap * ROWS_APART))
        }
    };
    let template = sheet.spaced(&drawn, template, most);
    let job = Job { template: &template, ..*job };
    set_chart(lesson, sheet.charted(drawn), &job)
}

/// A chart that is to be set.
struct Sheet<'a> {
    chart: &'a Chart,
    lesson: &'a Elaborated<'a>,
    job: &'a Job<'a>,
}

impl Sheet<'_> {
    /// How many times larger than the template has it the chart is to be drawn.
    fn best_size(&self) -> f32 {
        let usual = &self.job.template.figure;
        let rows = |times: f32| self.rows_of_necks(&enlarged(usual, times));
        let smallest = smallest_of(usual);
        let (fewest_rows, fewest) = (rows(smallest), self.pages(smallest));
        largest((smallest, largest_of(usual, self.job.column().0)), |times| {
            rows(*times) <= fewest_rows && self.is_within(*times) && self.pages(*times) <= fewest
        })
    }

    /// Whether nothing stands beside the column in a size, or is so high that a page would shrink it.
    fn is_within(&self, times: f32) -> bool {
        let width = self.job.column().0 + HAIR;
        let drawn = self.draw(&enlarged(&self.job.template.figure, times));
        let strips = || drawn.iter().flat_map(|figure| &figure.strips);
        let highest = self.job.column().1 * HIGHEST_STRIP;
        if strips().any(|strip| strip.height > highest) {
            return false;
        }
        let mut extents = strips().filter_map(|strip| Extent::of(&strip.items));
        extents.all(|extent| extent.from.x >= -HAIR && extent.to.x <= width)
    }

    /// How many rows its necks take.
    fn rows_of_necks(&self, look: &Look) -> usize {
        let desk = self.desk(look);
        let necks = self.chart.parts.iter().filter_map(|part| match &part.content {
            Content::Neck(necks) => Some(necks.figure(&desk).strips.len()),
            _ => None,
        });
        necks.sum()
    }

    fn desk<'d>(&'d self, look: &'d Look) -> Desk<'d> {
        Desk {
            lang: self.lesson.lesson.header.lang,
            fonts: self.job.fonts,
            look,
            width: self.job.column().0,
        }
    }

    /// All figures in a look.
    fn draw(&self, look: &Look) -> Vec<Figure> {
        let desk = self.desk(look);
        let setting = &self.lesson.lesson.header.setting;
        let all = self.chart.parts.iter().filter_map(|part| match &part.content {
            Content::Boxes(shapes) => Some(shapes),
            _ => None,
        });
        let all: Vec<&Shapes> = all.collect();
        let grid = Grid::of_all(&all, self.chart.named, &desk, setting);
        let grid = if self.chart.numerals { grid.of_numerals() } else { grid };
        let times = look.box_gap / self.job.template.figure.box_gap;
        let grid = grid.with_words_at_most(largest_beneath(self.job.template, times), &desk);
        let figure = |part: &Part| match &part.content {
            Content::Boxes(shapes) => shapes.figure_on(&grid, &desk, setting),
            Content::Way(voicings) => voicings.figure(&desk, setting),
            Content::Neck(diagrams) => diagrams.figure(&desk),
            Content::Blank(blank) => blank.figure(1, &desk, setting),
        };
        self.chart.parts.iter().map(|part| figure(part).told_in(desk.lang)).collect()
    }

    /// As much to write on as a page holds, where that is what the chart is.
    fn blank(&self) -> Option<Vec<Figure>> {
        let [Part { content: Content::Blank(blank), .. }] = self.chart.parts.as_slice() else {
            return None;
        };
        let (look, setting) = (&self.job.template.figure, &self.lesson.lesson.header.setting);
        let rows = |count: usize| vec![blank.figure(count, &self.desk(look), setting)];
        let fits = |count: &usize| self.pages_with(rows(*count), self.job.template) == 1;
        let count = (2..MOST_ROWS).take_while(fits).last().unwrap_or(1);
        Some(rows(count))
    }

    /// A template with its spaces as wide as the pages of some figures let them be, and rows at most so far apart.
    fn spaced(&self, drawn: &[Figure], usual: Template, most: Option<Pt>) -> Template {
        let count = self.pages_with(drawn.to_vec(), &usual);
        let mut wider = SPACES.iter().map(|times| {
            let mut template = usual.clone();
            let (figure, strip) = (usual.spaces.figure, usual.spaces.strip);
            let at_most = |space: Pt, most: Option<Pt>| most.map_or(space, |most| space.min(most));
            template.spaces.figure =
                at_most(figure * *times, most.map(|most| most * 2.0)).max(figure);
            template.spaces.strip = at_most(strip * *times, most).max(strip);
            template
        });
        let fits = |template: &Template| self.pages_with(drawn.to_vec(), template) <= count;
        let wider = wider.find(fits);
        wider.unwrap_or(usual)
    }

    /// How many pages it takes in a size.
    fn pages(&self, times: f32) -> usize {
        let template = self.job.template;
        let drawn = self.draw(&enlarged(&template.figure, times));
        self.pages_with(drawn, &worded(template, times))
    }

    fn pages_with(&self, drawn: Vec<Figure>, template: &Template) -> usize {
        let job = Job { template, ..*self.job };
        pages_of_chart(self.lesson, self.charted(drawn), &job)
    }

    /// The figures under their names. A title of the user's own doesn't say what is shown: what does then stands
    /// above the first figure.
    fn charted(&self, drawn: Vec<Figure>) -> Charted {
        let given = &self.lesson.lesson.header.title;
        let own = *given != self.chart.title.text();
        let figures = self.chart.parts.iter().zip(drawn).enumerate().map(|(at, (part, figure))| {
            let title = (own && at == 0).then(|| self.chart.title.clone());
            let name = part.name.clone().or(title);
            Named { name, caption: part.caption.clone(), figure }
        });
        Charted { names: self.chart.names(), figures: figures.collect() }
    }
}

/// The largest of some sizes that fits: from the top down in large steps, then up in small ones; the least where none does.
fn largest((least, most): (f32, f32), fits: impl Fn(&f32) -> bool) -> f32 {
    let coarse = std::iter::successors(Some(most), |times| Some(*times / COARSE));
    let coarse = coarse.take_while(|times| *times > least).find(&fits).unwrap_or(least);
    let finer = std::iter::successors(Some(coarse), |times| Some(*times * FINE));
    let finer = finer.skip(1).take_while(|times| *times < (coarse * COARSE).min(most));
    finer.take_while(&fits).last().unwrap_or(coarse)
}

/// The least size of a look, as a share of its own, that leaves its words large enough.
fn smallest_of(look: &Look) -> f32 {
    let own = look.small_size;
    let least = if own < SMALLEST_OF_LARGE { SMALLEST } else { SMALLEST_OF_LARGE };
    (least / own).min(1.0)
}

/// How many times larger a look may be drawn: until one box is as wide as a column.
fn largest_of(look: &Look, column: Pt) -> f32 {
    (column / (look.box_gap * LEAST_BOX)).max(1.0)
}

/// How many times larger words are that suit figures so many times larger.
fn words_by(times: f32) -> f32 {
    times.sqrt().clamp(1.0, LARGEST_WORDS)
}

/// The largest words beneath boxes that are so many times larger: a title stays above all of them in rank.
fn largest_beneath(template: &Template, times: f32) -> Pt {
    template.title.title.size * (words_by(times) * BENEATH_TITLE)
}

/// A template whose title, facts, names and captions suit figures so many times larger.
fn worded(template: &Template, times: f32) -> Template {
    let by = words_by(times);
    let mut worded = template.clone();
    let (caption, name, block) =
        (&mut worded.caption, &mut worded.headings.second, &mut worded.title);
    let (title, facts) = (&mut block.title, &mut block.facts);
    for (size, leading) in [
        (&mut caption.size, &mut caption.leading),
        (&mut name.size, &mut name.leading),
        (&mut title.size, &mut title.leading),
        (&mut facts.size, &mut facts.leading),
    ] {
        (*size, *leading) = (*size * by, *leading * by);
    }
    worded
}

fn enlarged(look: &Look, times: f32) -> Look {
    Look {
        symbol_size: look.symbol_size * times,
        small_size: (look.small_size * times).max(TypeSize::SMALLEST),
        box_gap: look.box_gap * times,
        string_gap: look.string_gap * times,
        fret_size: look.fret_size * times,
        sung_size: look.sung_size * times,
        label: look.label,
        resting_parts: look.resting_parts,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::chart::wish::{Wish, Within};
    use crate::chart::work;
    use crate::checks;
    use crate::findings::{Findings, Source};
    use crate::ink::{Face, Fonts, Item, Page};
    use crate::lesson::Lesson;
    use crate::lesson::header::{Header, Paper};
    use crate::neck::StringIndex;
    use crate::theory::{Chord, Key, Scale};

    /// What every kind of chart is asked for here.
    fn wishes() -> Vec<Wish<'static>> {
        let chords = |names: &[&str]| -> Vec<Chord> {
            names.iter().map(|name| Chord::parse(name).unwrap()).collect()
        };
        let keys = ["A major", "E phrygian dominant"].map(|name| Key::parse(name).unwrap());
        let scales = ["A minor pentatonic", "D dorian"].map(|name| Scale::parse(name).unwrap());
        let mut all = vec![
            Wish::Triads(chords(&["A"])),
            Wish::Triads(chords(&["A", "F#m", "D", "E"])),
            Wish::Chords(chords(&["Aadd9"])),
            Wish::Chords(chords(&["C", "G", "Am", "F"])),
            Wish::Blank(crate::chart::blank::Blank::Boxes),
            Wish::Blank(crate::chart::blank::Blank::Tab),
            Wish::Blank(crate::chart::blank::Blank::Neck),
        ];
        all.extend(keys.map(|key| Wish::Keys(vec![key])));
        all.extend(scales.map(|scale| Wish::Scales(vec![scale])));
        all
    }

    /// Sets a chart in a template on a paper and hands the document over, and the height of a column.
    fn set_as(wish: &Wish<'_>, name: &str, paper: Paper, check: impl FnOnce(&Document, Pt)) {
        let source = Source::new("chart", b"");
        let mut header = Header::of_options(&[], &mut Findings::default());
        header.setting.key = wish.key();
        let strings = StringIndex::first(6).collect();
        let within = Within { strings, frets: None, near: None, keep: None };
        let chart = work::chart(wish, &within, &header.setting, &mut Findings::default()).unwrap();
        header.title = chart.title.text();
        let lesson = Lesson::of_header(&source, header);
        let lesson = checks::elaborate(lesson, &mut Findings::default());
        let (template, fonts) = (Template::load(name, |_| None).unwrap(), Fonts::new());
        let job = Job { template: &template, paper, fonts: &fonts, draft: false };
        check(&set(&chart, &lesson, &job), job.column().1);
    }

    /// How high what is printed on a page is, its running head and foot left aside, which come last.
    fn filled(page: &Page) -> Pt {
        let items = page.drawing.items.split_last().unwrap().1;
        let extent = Extent::of(items).unwrap();
        extent.to.y - extent.from.y
    }

    #[test]
    fn a_title_stays_above_what_stands_beneath_boxes() {
        for wish in [wishes().swap_remove(0), wishes().swap_remove(2)] {
            set_as(&wish, "chart", Paper::A4, |document, _| {
                let (mut upright, mut beneath) = (Vec::new(), Vec::new());
                for page in &document.pages {
                    sizes(&page.drawing.items, Face::Serif, &mut upright);
                    sizes(&page.drawing.items, Face::SerifItalic, &mut beneath);
                }
                let (title, largest) = (upright.iter().max(), beneath.iter().max());
                assert!(title > largest, "{}: {title:?} {largest:?}", document.title);
            });
        }
    }

    #[test]
    fn pages_of_charts_are_full() {
        for wish in wishes() {
            for (name, paper) in
                [("chart", Paper::A4), ("chart", Paper::Letter), ("large-print", Paper::A4)]
            {
                set_as(&wish, name, paper, |document, height| {
                    let what = format!("{}, {name}, {paper:?}", document.title);
                    let (last, others) = document.pages.split_last().unwrap();
                    let least = if others.is_empty() { 0.5 } else { 1.0 / 3.0 };
                    assert!(filled(last) >= height * least, "{what}: {:?}", filled(last));
                    let full: f32 = others.iter().map(|page| filled(page) / height).sum();
                    assert!(full >= 0.6 * others.len() as f32, "{what}: {full}");
                });
            }
        }
    }

    fn sizes(items: &[Item], face: Face, found: &mut Vec<i32>) {
        for item in items {
            match item {
                Item::Text(_, text) => {
                    let level = text.runs.iter().filter(|run| run.style.rise == Pt::ZERO);
                    let runs = level.filter(|run| run.style.face == face);
                    found.extend(runs.map(|run| (run.style.size.0 * 100.0).round() as i32));
                }
                Item::Group(group) => sizes(&group.items, face, found),
                _ => {}
            }
        }
    }

    /// The thinnest line of some items.
    fn thinnest(items: &[Item]) -> Pt {
        let of = |item: &Item| match item {
            Item::Path(path) => path.stroke.map(|line| line.width),
            Item::Group(group) => Some(thinnest(&group.items)),
            _ => None,
        };
        items.iter().filter_map(of).fold(Pt(f32::INFINITY), Pt::min)
    }

    #[test]
    fn lines_of_a_chart_for_the_wall_are_half_a_millimetre_at_least() {
        let template = Template::load("chart", |_| None).unwrap();
        let fonts = Fonts::new();
        // Strings 8 mm apart, and as far apart as a template may have them.
        for gap in [pt(22.7), pt(40.0)] {
            let look = enlarged(&template.figure, gap / template.figure.box_gap);
            let desk = Desk {
                lang: crate::words::Lang::English,
                fonts: &fonts,
                look: &look,
                width: pt(482.0),
            };
            let setting = crate::lesson::Setting::default();
            let strings = StringIndex::first(6).collect();
            let within = Within { strings, frets: None, near: None, keep: Some(1) };
            let wish = Wish::Chords(vec![Chord::parse("F").unwrap()]);
            let chart = work::chart(&wish, &within, &setting, &mut Findings::default()).unwrap();
            let Content::Boxes(shapes) = &chart.parts.first().unwrap().content else {
                panic!("no boxes");
            };
            let grid = Grid::of_all(&[shapes], true, &desk, &setting);
            let figure = shapes.figure_on(&grid, &desk, &setting);
            let found = figure.strips.iter().map(|strip| thinnest(&strip.items));
            let found = found.fold(Pt(f32::INFINITY), Pt::min);
            assert!(found >= pt(0.5 / 25.4 * 72.0) && found < gap, "{found:?}");
        }
    }

    #[test]
    fn one_shape_or_two_are_as_large_as_the_sheet_lets_them_be() {
        for (keep, least) in [(1, 300.0), (2, 150.0)] {
            let wish = Wish::Chords(vec![Chord::parse("C").unwrap()]);
            let template = Template::load("chart", |_| None).unwrap();
            let (source, fonts) = (Source::new("chart", b""), Fonts::new());
            let header = Header::of_options(&[], &mut Findings::default());
            let strings = StringIndex::first(6).collect();
            let within = Within { strings, frets: None, near: None, keep: Some(keep) };
            let found = &mut Findings::default();
            let chart = work::chart(&wish, &within, &header.setting, found).unwrap();
            let lesson = checks::elaborate(Lesson::of_header(&source, header), found);
            let paper = Paper::A4;
            let job = Job { template: &template, paper, fonts: &fonts, draft: false };
            let sheet = Sheet { chart: &chart, lesson: &lesson, job: &job };
            let look = enlarged(&template.figure, sheet.best_size());
            let width = look.box_gap * 5.0;
            assert!(width > pt(least) && width < job.column().0, "{keep}: {width:?}");
        }
    }

    #[test]
    fn a_chart_has_one_size() {
        for wish in wishes() {
            set_as(&wish, "chart", Paper::A4, |document, _| {
                let mut found = Vec::new();
                for page in &document.pages {
                    sizes(&page.drawing.items, Face::SansSemibold, &mut found);
                }
                found.sort_unstable();
                found.dedup();
                // Fingers and fret numbers, roots' fingers and degrees of boxes; labels of necks, dark and light.
                assert!(found.len() <= 5, "{}: {found:?}", document.title);
            });
        }
    }

    #[test]
    fn the_largest_size_that_fits_is_found() {
        for most in [0.9, 1.0, 1.37, 2.2, 9.0] {
            let found = largest((0.9, 3.6), |times| *times <= most);
            let sought = f32::clamp(most, 0.9, 3.6);
            assert!(found <= sought && found * FINE >= sought * 0.99, "{found} of {sought}");
        }
    }
}
