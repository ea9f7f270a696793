//! The page for a student's screen: a lesson as one HTML file that fetches nothing and reads well in columns of
//! any width.
//!
//! The `prose` becomes elements, each of the `figures` is set anew for three widths of column, and the style
//! shows the one that fits and has the `faces` of the prose. The `policy` lets nothing run but the page's own `script`, and
//! nothing come from elsewhere. What the `player` plays on strings of its own is [sound] as data.

mod faces;
mod figures;
mod film;
pub mod markup;
mod player;
mod policy;
mod prose;
mod remarks;
mod script;
pub mod shelf;
pub mod sound;
mod switches;
mod title;
mod words;

use crate::checks::Elaborated;
use crate::ink::Fonts;
use crate::page::Template;
use markup::Html;
use player::Player;
use prose::Prose;

/// The page's style.
pub const STYLE: &str = include_str!("../../templates/web/page.css");

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
    let player = Player::of(lesson);
    let prose = Prose::new(lesson, &player, job).whole();
    let style = faces::rules(&prose) + STYLE;
    let mut html = Html::default();
    html.put("<!doctype html>\n");
    let states = switches::states(lesson, job.template);
    let lang = lesson.lesson.header.lang.tag();
    html.open("html", &[("lang", lang), ("class", &states)]);
    let script = script::of(lesson, !player.is_silent());
    let policy = match script {
        Some(script) => policy::with_script(&style, script),
        None => policy::policy(&style),
    };
    head(&lesson.lesson.header.title, &policy, &style, &mut html);
    html.open("body", &[]);
    html.end_line();
    html.put(&prose);
    player.data(lesson, &mut html);
    if let Some(script) = script {
        html.open("script", &[]);
        html.put(script);
        html.close("script");
    }
    html.close("body");
    html.end_line();
    html.close("html");
    html.end_line();
    html.into_string()
}

/// A page's head: what it is called, what it may do, how it looks.
fn head(title: &str, policy: &str, style: &str, html: &mut Html) {
    html.end_line();
    html.open("head", &[]);
    html.open("meta", &[("charset", "utf-8")]);
    html.open("meta", &[("http-equiv", "Content-Security-Policy"), ("content", policy)]);
    html.open("meta", &[("name", "viewport"), ("content", "width=device-width, initial-scale=1")]);
    html.words("title", &[], title);
    html.open("link", &[("rel", "icon"), ("href", "data:,")]);
    html.open("style", &[]);
    html.put(style);
    html.close("style");
    html.close("head");
    html.end_line();
}
