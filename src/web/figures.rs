//! Figures: each set anew for three widths of column, of which the page's style shows the one that fits.

use super::Job;
use super::player::Heard;
use super::prose::Prose;
use crate::blocks::Block;
use crate::blocks::box_columns::Among;
use crate::blocks::figure::{Desk, DotLabel, Figure, Look};
use crate::ink::svg::in_page::{InPage, Shown, length, px, view_box};
use crate::ink::{Pt, pt};
use crate::lesson::kind::Medium;
use crate::page::chords;
use crate::page::inline::Told;
use crate::theory::Printed;
use crate::words::Lang;
use crate::words::paper::{answers, chords as chord_words, screen};

/// The columns that figures are set for, by the name of their class, with their widths in CSS px: that of the
/// smallest telephone's screen between its margins, of a tablet's, of a desk's. The style has their media.
pub const COLUMNS: [(&str, f32); 3] = [("narrow", 288.0), ("middle", 640.0), ("wide", 960.0)];
/// The smallest type of figures, in CSS px.
pub const SMALLEST_TYPE: f32 = 12.0;
/// The answers are a section of the lesson, as `##` is.
const ANSWERS_LEVEL: u8 = 2;

/// The page's figures while they are set.
pub struct Figures<'a> {
    job: &'a Job<'a>,
    lang: Lang,
    ink: InPage<'a>,
    /// The keys to signs that earlier figures gave.
    keys_told: Vec<Printed>,
    /// What changed and is yet to be announced.
    announced: Vec<String>,
    /// How many there are so far.
    count: usize,
    /// The looks of figures that readers switch.
    look: Look,
}

/// A figure that is set.
#[derive(Default)]
struct SetFigure {
    /// What it shows.
    words: String,
    /// Its drawings, no two alike, each with the classes of the columns that it is for.
    drawn: Vec<(String, Drawn)>,
    /// What is said beneath it.
    notes: Vec<Note>,
}

impl SetFigure {
    /// Takes in what is said beneath a figure where it is set for a column.
    fn note(&mut self, said: Vec<Printed>, class: &str) {
        for said in said {
            match self.notes.iter_mut().find(|note| note.said == said) {
                Some(note) => note.classes.extend([" ", class]),
                None => self.notes.push(Note { classes: format!("note {class}"), said }),
            }
        }
    }
}

/// What is said beneath a figure, with the classes of the columns that it is for.
struct Note {
    classes: String,
    said: Printed,
}

/// What a figure is called: in the page by a word with its number, to readers by its caption.
struct Named<'a> {
    word: &'static str,
    /// The block that it shows, by its index; none for a frame, which shows nothing of what is heard.
    block: Option<usize>,
    number: Option<u32>,
    caption: Option<&'a str>,
}

impl<'a> Named<'a> {
    fn of(shown: Option<usize>, block: &'a Block, word: &'static str) -> Named<'a> {
        Named { word, block: shown, number: block.number, caption: block.caption.as_deref() }
    }
}

/// A drawing of a figure.
struct Drawn {
    shown: Shown,
    /// Where its bars are.
    bars: String,
    view_box: String,
    width: String,
    height: String,
}

/// Looks in which degrees and note names are both drawn, for one of them to be shown.
fn switched(look: &Look) -> Look {
    let label = match look.label {
        DotLabel::Degrees | DotLabel::Notes => DotLabel::Either,
        other => other,
    };
    Look { label, ..look.clone() }
}

impl Drawn {
    /// Whether it serves for a wider column too: the same shows there, and in no fewer rows.
    fn serves_for(&self, wider: &Drawn) -> bool {
        let glyphs = |drawn: &Drawn| drawn.shown.markup.matches("<use").count();
        self.height == wider.height && glyphs(self) == glyphs(wider)
    }
}

/// Where the bars of a figure are, as the page's script reads it: when each begins, its left, upper, right and lower edge.
fn bars(figure: &Figure, apart: Pt) -> String {
    let edges = figure.edges(apart);
    let bars = figure.bars.iter().filter_map(|bar| {
        let (upper, lower) = edges.get(bar.strip)?;
        let edges = [bar.left, *upper, bar.right, *lower].map(length);
        Some(format!("{} {}", bar.start.0, edges.join(" ")))
    });
    bars.collect::<Vec<_>>().join(";")
}

/// Which glyphs sound at which moments, as the page's script reads it.
fn moments(shown: &Shown) -> String {
    let moments = shown.moments.iter().map(|(moment, glyphs)| {
        glyphs.iter().fold(moment.to_string(), |told, glyph| format!("{told} {glyph}"))
    });
    moments.collect::<Vec<_>>().join(";")
}

/// What the page's script has to know of a figure.
fn attributes(named: &Named<'_>, heard: Option<&Heard>) -> Vec<(&'static str, String)> {
    let mut attributes = Vec::new();
    attributes.extend(named.number.map(|number| ("id", format!("{}-{number}", named.word))));
    attributes.extend(named.block.map(|block| ("data-block", block.to_string())));
    if let Some(heard) = heard {
        attributes.push(("data-score", heard.score.to_string()));
        attributes.push(("data-shown", heard.shown.to_string()));
        attributes.extend(heard.counted.then(|| ("data-counted", String::new())));
    }
    attributes
}

impl<'a> Figures<'a> {
    /// No figures yet, whose words are in a language.
    pub fn new(job: &'a Job<'a>, lang: Lang) -> Figures<'a> {
        Figures {
            job,
            lang,
            ink: InPage::new(job.fonts),
            keys_told: Vec::new(),
            announced: Vec::new(),
            count: 0,
            look: switched(&job.template.figure),
        }
    }

    /// The outlines of the glyphs in all figures.
    pub fn outlines(self) -> String {
        self.ink.outlines()
    }

    /// How many there are so far.
    pub fn count(&self) -> usize {
        self.count
    }

    /// Whether any of them has something of a class.
    pub fn has(&self, class: &str) -> bool {
        self.ink.has(class)
    }

    /// CSS px to a point of a figure: as many as make its smallest words readable, whatever the template.
    fn scale(&self) -> f32 {
        SMALLEST_TYPE / self.job.template.figure.least_type().0
    }

    /// Sets a figure for each column; nothing where there is none.
    fn set(&mut self, figure: impl Fn(&Desk<'_>) -> Option<Figure>) -> Option<SetFigure> {
        let (mut set, mut keys): (Option<SetFigure>, Vec<Printed>) = (None, Vec::new());
        for (class, width) in COLUMNS {
            let look = &self.look;
            let width = pt(width / self.scale());
            let lang = self.lang;
            let figure = figure(&Desk { lang, fonts: self.job.fonts, look, width })?;
            let drawn = self.drawn(&figure);
            keys.extend(figure.keys.iter().cloned());
            let (words, notes) = (figure.words, [figure.keys, figure.notes].concat());
            let set = set.get_or_insert_with(|| SetFigure { words, ..SetFigure::default() });
            set.note(notes, class);
            match set.drawn.last_mut() {
                Some((classes, last)) if last.serves_for(&drawn) => classes.extend([" ", class]),
                _ => set.drawn.push((class.to_owned(), drawn)),
            }
        }
        if let Some(set) = &mut set {
            set.notes.retain(|note| !self.keys_told.contains(&note.said));
        }
        self.keys_told.extend(keys);
        set
    }

    fn drawn(&mut self, figure: &Figure) -> Drawn {
        let (scale, apart) = (self.scale(), self.job.template.spaces.strip);
        let drawing = figure.in_rows_apart(apart);
        let (width, height) = (px(drawing.width.0 * scale), px(drawing.height.0 * scale));
        let view_box = view_box(&drawing);
        let bars = bars(figure, apart);
        Drawn { shown: self.ink.content(&drawing), bars, view_box, width, height }
    }
}

impl Prose<'_> {
    /// Writes a block of music, by its index; in a draft with what is wrong with it.
    pub(super) fn music(&mut self, index: usize) {
        let (lesson, draft) = (self.lesson, self.job.draft);
        let (Some(block), Some(fence)) =
            (lesson.blocks.get(index), lesson.lesson.fences.get(index))
        else {
            return;
        };
        // A script has pages of its own, and its faults stand there.
        if fence.kind.medium == Medium::Script {
            return;
        }
        self.figures.announced.extend(block.announced.iter().cloned());
        let set = self.figures.set(|desk| {
            block.printed.then(|| block.printed_figure(desk, &fence.setting, draft)).flatten()
        });
        let marked = draft && block.is_unsound();
        match set {
            Some(set) => {
                let shown = (!block.blank).then_some(index);
                self.figure(&set, &Named::of(shown, block, "figure"));
            }
            None if marked => {
                let text = &lesson.lesson.source.text;
                self.code(text.get(block.span.start..block.span.end).unwrap_or_default());
            }
            None => return,
        }
        if marked {
            self.block_remarks(block);
        }
    }

    /// Writes the answers: blocks filled in, in the order of the figures that they answer.
    pub(super) fn answers(&mut self) {
        let (lesson, draft) = (self.lesson, self.job.draft);
        let blocks = lesson.blocks.iter().zip(&lesson.lesson.fences);
        let mut answers: Vec<_> = blocks
            .enumerate()
            .filter_map(|(index, (block, fence))| Some((block.answers?, index, block, fence)))
            .collect();
        answers.sort_by_key(|(question, ..)| *question);
        let mut is_headed = false;
        for (_, index, block, fence) in answers {
            let set = self.figures.set(|desk| block.answer_figure(desk, &fence.setting, draft));
            let Some(set) = set else { continue };
            if !std::mem::replace(&mut is_headed, true) {
                self.heading(ANSWERS_LEVEL, &self.said(answers::TITLE));
            }
            // What was announced last is said of the music above.
            self.figures.announced.clear();
            self.figure(&set, &Named::of(Some(index), block, "answer"));
        }
    }

    /// Writes the lesson's chord shapes once more, where its template asks for them.
    pub(super) fn chord_page(&mut self) {
        let all = chords::of(self.lesson);
        if !self.job.template.chords.page || all.is_empty() {
            return;
        }
        self.heading(chords::LEVEL, &self.said(chord_words::TITLE));
        self.figures.announced.clear();
        for (gathered, caption) in &all {
            let set = self.figures.set(|desk| {
                let figure = gathered.shapes.figure(desk, gathered.setting, Among::Boxes);
                Some(figure.told_in(desk.lang))
            });
            let caption = caption.as_deref();
            let named = Named { word: "chords", block: None, number: None, caption };
            set.iter().for_each(|set| self.figure(set, &named));
        }
    }

    /// Writes a figure under its caption, its words beneath it for those who ask for them.
    fn figure(&mut self, figure: &SetFigure, named: &Named<'_>) {
        self.announce();
        self.figures.count += 1;
        let heard = named.block.and_then(|block| self.player.at(self.lesson, block));
        let attributes = attributes(named, heard.as_ref());
        let attributes: Vec<(&str, &str)> =
            attributes.iter().map(|(name, value)| (*name, value.as_str())).collect();
        self.html.open("figure", &attributes);
        self.html.end_line();
        self.caption(named);
        let is_heard = heard.is_some_and(|heard| named.block == Some(heard.shown));
        self.drawings(figure, named.caption.unwrap_or(&self.said(screen::FIGURE)), is_heard);
        self.in_words(figure);
        self.told = Told::default();
        for note in &figure.notes {
            self.html.open("p", &[("class", &note.classes)]);
            self.printed(&note.said);
            self.close("p");
        }
        self.close("figure");
    }

    fn caption(&mut self, named: &Named<'_>) {
        let Some(caption) = named.caption else { return };
        self.html.open("figcaption", &[("dir", "auto")]);
        if let Some(number) = named.number {
            self.html.words("b", &[], &number.to_string());
            self.html.text(" ");
        }
        self.html.text(caption);
        self.close("figcaption");
    }

    /// The name in the page of the words of the figure that is written.
    fn words_id(&self) -> String {
        format!("words-{}", self.figures.count)
    }

    /// The words of a figure, line by line, closed until somebody opens them.
    fn in_words(&mut self, figure: &SetFigure) {
        let id = self.words_id();
        self.html.open("details", &[]);
        self.html.words("summary", &[], &self.said(screen::IN_WORDS));
        self.html.words("p", &[("id", &id)], &figure.words);
        self.close("details");
    }

    /// The drawings of a figure; of one that shows what is heard, with where that is. All have the title of the first, and are
    /// told by the words beneath them.
    fn drawings(&mut self, figure: &SetFigure, title: &str, is_heard: bool) {
        let words_id = self.words_id();
        let title_id = format!("{words_id}-title");
        for (index, (classes, drawn)) in figure.drawn.iter().enumerate() {
            let (bars, moments) = (&drawn.bars, moments(&drawn.shown));
            let sounds = [("data-bars", bars.as_str()), ("data-moments", moments.as_str())];
            let mut attributes = vec![
                ("class", classes.as_str()),
                ("role", "img"),
                ("aria-labelledby", &title_id),
                ("aria-describedby", &words_id),
                ("viewBox", &drawn.view_box),
                ("width", &drawn.width),
                ("height", &drawn.height),
            ];
            attributes.extend(sounds.iter().filter(|_| is_heard));
            self.html.open("svg", &attributes);
            if index == 0 {
                self.html.words("title", &[("id", &title_id)], title);
            }
            self.html.end_line();
            self.html.put(&drawn.shown.markup);
            self.close("svg");
        }
    }

    /// Says what holds from here on: a new key, tempo, tuning.
    fn announce(&mut self) {
        let announced = std::mem::take(&mut self.figures.announced);
        if !announced.is_empty() {
            let lang = self.figures.lang;
            let told: Vec<_> = announced.iter().map(|said| lang.told(said)).collect();
            self.html.words("p", &[("class", "announced")], &told.join(" · "));
            self.html.end_line();
        }
    }
}
