//! The page for a student's screen: a lesson as one HTML file that fetches nothing and reads well in columns of
//! any width.
//!
//! The `prose` becomes elements, each of the `figures` is set anew for three widths of column, and the style
//! shows the one that fits. The `policy` lets nothing run or come from elsewhere. What its own strings play is [sound]
//! as data.

mod figures;
mod film;
pub mod markup;
mod policy;
mod prose;
mod remarks;
pub mod shelf;
pub mod sound;
mod switches;
mod title;
mod words;

use crate::checks::Elaborated;
use crate::ink::Fonts;
use crate::page::Template;
use markup::Html;
use prose::Prose;

/// The page's style.
pub const STYLE: &str = include_str!("../../templates/web/page.css");
/// The language of what we say ourselves (BCP 47).
const LANGUAGE: &str = "en";

/// How a lesson's page is to be made.
pub struct Job<'a> {
    /// Whose looks its figures have.
    pub template: &'a Template,
    /// The type faces.
    pub fonts: &'a Fonts,
    /// Whether it is a draft, whose faulty places are marked.
    pub draft: bool,
}

/// A lesson as a page: the whole file.
pub fn page(lesson: &Elaborated<'_>, job: &Job<'_>) -> String {
    let mut html = Html::default();
    html.put("<!doctype html>\n");
    let states = switches::states(lesson, job.template);
    html.open("html", &[("lang", LANGUAGE), ("class", &states)]);
    head(&lesson.lesson.header.title, &policy::policy(STYLE), &mut html);
    html.open("body", &[]);
    html.end_line();
    html.put(&Prose::new(lesson, job).whole());
    html.close("body");
    html.end_line();
    html.close("html");
    html.end_line();
    html.into_string()
}

/// A page's head: what it is called, what it may do, how it looks.
fn head(title: &str, policy: &str, html: &mut Html) {
    html.end_line();
    html.open("head", &[]);
    html.open("meta", &[("charset", "utf-8")]);
    html.open("meta", &[("http-equiv", "Content-Security-Policy"), ("content", policy)]);
    html.open("meta", &[("name", "viewport"), ("content", "width=device-width, initial-scale=1")]);
    html.words("title", &[], title);
    html.open("link", &[("rel", "icon"), ("href", "data:,")]);
    html.open("style", &[]);
    html.put(STYLE);
    html.close("style");
    html.close("head");
    html.end_line();
}
