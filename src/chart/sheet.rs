//! A chart on pages: as large as it can be read from the wall, if it fits one page.

use super::{Chart, Content};
use crate::blocks::figure::{Desk, Look};
use crate::checks::Elaborated;
use crate::ink::Document;
use crate::lesson::Setting;
use crate::page::{self, Job};

/// How many times larger than the template has them the boxes and necks of a chart are tried, the
/// largest first.
const LARGER: [f32; 6] = [2.5, 2.0, 1.75, 1.5, 1.25, 1.1];

/// Sets a chart on pages. Where all of it fits one page, it is drawn as large as still does, two
/// and a half times the template's size at most, and no larger than leaves each neck whole.
pub fn set(chart: &Chart, lesson: &Elaborated<'_>, job: &Job<'_>) -> Document {
    let setting = &lesson.lesson.header.setting;
    let usual = &job.template.figure;
    let plain = set_in(chart, lesson, job, usual);
    let is_blank = chart.parts.iter().any(|part| matches!(part.content, Content::Blank(_)));
    if is_blank || plain.pages.len() > 1 {
        return plain;
    }
    let rows = rows_of_necks(chart, setting, job, usual);
    let looks = LARGER.iter().map(|times| enlarged(usual, *times));
    let mut looks = looks.filter(|look| rows_of_necks(chart, setting, job, look) == rows);
    let larger = looks.find_map(|look| {
        let document = set_in(chart, lesson, job, &look);
        (document.pages.len() == 1).then_some(document)
    });
    larger.unwrap_or(plain)
}

/// How many rows its necks take.
fn rows_of_necks(chart: &Chart, setting: &Setting, job: &Job<'_>, look: &Look) -> usize {
    let desk = Desk { fonts: job.fonts, look, width: job.column().0 };
    let necks = chart.parts.iter().filter(|part| matches!(part.content, Content::Neck(_)));
    necks.map(|part| part.figure(&desk, setting).strips.len()).sum()
}

fn set_in(chart: &Chart, lesson: &Elaborated<'_>, job: &Job<'_>, look: &Look) -> Document {
    let desk = Desk { fonts: job.fonts, look, width: job.column().0 };
    let setting = &lesson.lesson.header.setting;
    let figures = chart.parts.iter();
    let figures = figures.map(|part| (part.caption.clone(), part.figure(&desk, setting)));
    page::set_figures(lesson, figures.collect(), job)
}

fn enlarged(look: &Look, times: f32) -> Look {
    Look {
        symbol_size: look.symbol_size * times,
        small_size: look.small_size * times,
        box_gap: look.box_gap * times,
        string_gap: look.string_gap * times,
        fret_size: look.fret_size * times,
        sung_size: look.sung_size * times,
        label: look.label,
    }
}
