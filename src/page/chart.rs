//! Charts on pages: a title, and figures under their names and captions.

use super::Job;
use super::breaks;
use super::flow::{Flow, Leads, Manner, Room};
use super::galley::{Galley, TOGETHER};
use super::named;
use super::paragraph::{Dress, Passage};
use super::sheet;
use super::template::Type;
use crate::blocks::figure::Figure;
use crate::checks::Elaborated;
use crate::ink::{Document, Pt, Role};
use crate::theory::Printed;

/// From a name to the words behind it, on one line.
const BEHIND_NAME: &str = "\u{2003}";

/// So much of the last page of several is filled at least, where a better page's end does it (looks, "Page").
const LEAST_LAST: f32 = 1.0 / 3.0;

/// What is printed of a chart.
#[derive(Debug)]
pub struct Charted {
    /// The names of chords that its title may have, which are raised there.
    pub names: Vec<Printed>,
    /// Figures from the top down.
    pub figures: Vec<Named>,
}

/// A figure under its name and caption.
#[derive(Debug)]
pub struct Named {
    /// What it and those after it show, as a heading.
    pub name: Option<Printed>,
    /// What it shows, behind the name or alone.
    pub caption: Option<Printed>,
    /// The figure.
    pub figure: Figure,
}

/// Sets a chart on pages.
pub fn set_chart(lesson: &Elaborated<'_>, chart: Charted, job: &Job<'_>) -> Document {
    sheet::document(laid(lesson, chart, job))
}

/// How many pages a chart takes.
pub fn pages_of_chart(lesson: &Elaborated<'_>, chart: Charted, job: &Job<'_>) -> usize {
    breaks::cut(&laid(lesson, chart, job).galley, job.column().1).pages.len()
}

fn laid<'a>(lesson: &'a Elaborated<'a>, chart: Charted, job: &'a Job<'a>) -> Flow<'a> {
    let mut flow = Flow::new(lesson, job);
    let gap = job.template.spaces.figure;
    let place = job.room(gap);
    flow.names = chart.names;
    flow.title_block(place);
    for Named { name, caption, figure } in chart.figures {
        flow.galley.space(gap);
        flow.name_figure(name.as_ref(), caption.as_ref(), place);
        flow.figure(figure, None, None, place);
        flow.galley.space(gap);
    }
    flow.settle();
    fill_last(&mut flow.galley, job.column().1);
    flow
}

/// Begins the last page earlier where it would be less than a third full.
fn fill_last(galley: &mut Galley, height: Pt) {
    let pages = breaks::cut(galley, height).pages;
    let [.., before, last] = pages.as_slice() else { return };
    let least = height * LEAST_LAST;
    let mut filled = Pt::ZERO;
    for start in (before.start + 1..last.end).rev() {
        let Some(slip) = galley.slips.get_mut(start) else { return };
        filled += slip.height;
        if filled >= least && slip.cost < TOGETHER {
            slip.begins_page |= start < last.start;
            return;
        }
        filled += slip.space;
    }
}

impl Flow<'_> {
    /// Sets a name with what a caption says behind it, or the caption alone.
    fn name_figure(&mut self, name: Option<&Printed>, caption: Option<&Printed>, place: Room) {
        let (look, least) = (self.template().caption, self.least_raised());
        let small = Type::from(look);
        let mut passage = Passage::default();
        let type_ = match name {
            Some(name) => {
                let heading = self.template().headings.second;
                self.galley.space(heading.space_above);
                let type_ = Type::from(heading);
                named::printed(&mut passage, name, (type_.style(), least));
                type_
            }
            None => small,
        };
        if let Some(caption) = caption {
            if name.is_some() {
                passage.push(BEHIND_NAME, Dress::plain(small.style()));
            }
            named::printed(&mut passage, caption, (small.style(), least));
        }
        if name.is_none() && caption.is_none() {
            return;
        }
        let role = if name.is_some() { Role::Heading(2) } else { Role::Caption };
        let part = self.parts.add(role, place.part);
        let from = self.galley.next();
        self.passage(&passage, part, &Leads::default(), Manner::balanced(type_), place.whole());
        self.galley.keep_whole(from);
        if let (Some(name), Some(first)) = (name, self.galley.slips.get_mut(from)) {
            first.bookmark = Some((name.text(), 1));
        }
        self.galley.hold(TOGETHER);
        self.galley.space(self.template().spaces.caption);
    }
}
