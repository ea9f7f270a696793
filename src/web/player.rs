//! What of a lesson is heard in its page: the scores, at which figures they are, and the controls' words. The controls
//! themselves are put at the figures by the page's script (`templates/web/player.js`), without which they could do nothing.

use super::markup::{Attributes, Html};
use super::sound;
use crate::checks::Elaborated;
use crate::hear::gather;
use crate::hear::score::Score;
use crate::words::Lang;
use crate::words::paper::player as words;

/// The A above middle C, in Hz, as files have it where nothing else is asked for.
const PITCH: f64 = 440.0;

/// What is heard in a page.
#[derive(Debug, Default)]
pub struct Player {
    /// The blocks of which anything is heard, by their indices.
    blocks: Vec<usize>,
    /// The score of each.
    scores: Vec<Score>,
}

/// What is heard at a figure.
pub struct Heard {
    /// The number of its score.
    pub score: usize,
    /// The block whose figure shows it as it sounds, by its index.
    pub shown: usize,
    /// Whether it is to be counted in at first.
    pub counted: bool,
}

impl Player {
    /// All that a lesson's printed figures let one hear, the answers among them; a frame that is to be filled in plays nothing.
    pub fn of(lesson: &Elaborated<'_>) -> Player {
        let mut player = Player::default();
        for (index, block) in lesson.blocks.iter().enumerate() {
            let is_shown = block.printed && !block.blank || block.answers.is_some();
            if !is_shown || gather::lasts(lesson, index).is_none() {
                continue;
            }
            let Some(score) = gather::score(lesson, index) else { continue };
            player.blocks.push(index);
            player.scores.push(score);
        }
        player
    }

    /// What is heard at a block's figure.
    pub fn at(&self, lesson: &Elaborated<'_>, block: usize) -> Option<Heard> {
        let score = self.blocks.binary_search(&block).ok()?;
        let counted = !self.scores.get(score)?.count_in.is_empty();
        Some(Heard { score, shown: gather::shown(lesson, block), counted })
    }

    /// Whether nothing is heard.
    pub fn is_silent(&self) -> bool {
        self.scores.is_empty()
    }

    /// What is said where the page can't play.
    pub fn notice(&self, lang: Lang, html: &mut Html) {
        if !self.is_silent() {
            html.words("p", &[("id", "silent"), ("class", "note")], &lang.said(words::SILENT));
            html.end_line();
        }
    }

    /// The controls' words, and what is heard: each may be counted in.
    pub fn data(&self, lesson: &Elaborated<'_>, html: &mut Html) {
        if self.is_silent() {
            return;
        }
        let lang = lesson.lesson.header.lang;
        controls(lang, html);
        let scores = self.blocks.iter().zip(&self.scores).map(|(block, score)| {
            let (count_in, count_in_length) = gather::count_in(lesson, *block).unwrap_or_default();
            let mut score = Score { count_in, count_in_length, ..score.clone() };
            // Other names are the author's.
            let ours = score.parts.iter_mut().map(|part| &mut part.name);
            ours.filter(|name| [gather::CHORDS, gather::BASS].contains(&name.as_str()))
                .for_each(|name| *name = lang.said(name).into_owned());
            score
        });
        html.open("script", &[("type", "application/json"), ("id", "heard")]);
        html.put(&sound::data(&scores.collect::<Vec<_>>(), PITCH));
        html.close("script");
        html.end_line();
    }
}

/// The controls of one figure, for the script to put at each.
fn controls(lang: Lang, html: &mut Html) {
    let said = |words: &'static str| lang.said(words);
    html.open("template", &[("id", "player")]);
    html.open(
        "div",
        &[("class", "player"), ("role", "group"), ("aria-label", &said(words::CONTROLS))],
    );
    let (play, stop) = (said(words::PLAY), said(words::STOP));
    let states = [("data-play", &*play), ("data-stop", &*stop)];
    let button = [("type", "button"), ("class", "play")];
    html.words("button", &[button.as_slice(), &states].concat(), &play);
    let written = said(words::AS_WRITTEN);
    chosen(html, &[("class", "slower"), ("data-written", &written)], &said(words::SLOWER));
    ticked(html, "round", &said(words::ROUND_AND_ROUND));
    ticked(html, "count", &said(words::COUNT_ME_IN));
    html.open("span", &[("class", "bars")]);
    chosen(html, &[("class", "from")], &said(words::FROM_BAR));
    html.put(" ");
    chosen(html, &[("class", "to")], &said(words::TO_BAR));
    html.close("span");
    html.words("span", &[("class", "parts")], &format!("{} ", said(words::WITH)));
    let (tempos, tempo) = (said(words::LADDER), said(words::WHICH_TEMPO));
    let all = said(words::WHOLE_LADDER);
    let ladder = [("class", "ladder"), ("role", "group"), ("aria-label", &*tempos)];
    let which = [("data-which", &*tempo), ("data-all", &*all)];
    html.words("span", &[ladder.as_slice(), &which].concat(), &format!("{tempos} "));
    let (ready, silent) = (said(words::GETTING_READY), said(words::NO_SOUND));
    let upbeat = said(words::UPBEAT);
    let told = [("data-ready", &*ready), ("data-silent", &*silent), ("data-upbeat", &*upbeat)];
    html.words("output", &told, "");
    html.close("div");
    html.close("template");
    html.end_line();
}

fn chosen(html: &mut Html, attributes: &Attributes<'_>, words: &str) {
    html.open("label", attributes);
    html.text(words);
    html.put(" <select></select>");
    html.close("label");
}

fn ticked(html: &mut Html, class: &str, words: &str) {
    html.open("label", &[("class", class)]);
    html.put("<input type=\"checkbox\"> ");
    html.text(words);
    html.close("label");
}
