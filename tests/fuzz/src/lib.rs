//! What the fuzz targets share: the ways from bytes to everything that is made of a lesson. None of them
//! may panic, whatever the bytes are, nor take longer than the command that runs them allows.

use fretleaf::Checked;
use fretleaf::blocks::figure::{Desk, Figure};
use fretleaf::checks::Elaborated;
use fretleaf::compile;
use fretleaf::findings::mend::mend;
use fretleaf::findings::report::{json, sarif, terminal};
use fretleaf::ink::{Document, Fonts, pdf, svg};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::page::{self, Job, Template};
use fretleaf::script::screen::{self, Ink, Wanted};
use fretleaf::script::{self, figures, files, names};

thread_local! {
    static FONTS: Fonts = Fonts::new();
}

/// Checks a lesson and writes every report of it; mends it and checks it again.
pub fn check(bytes: &[u8]) {
    let check = |bytes: &[u8]| fretleaf::check("fuzz.md", bytes, &MemoryWorld::default());
    let checked = check(bytes);
    report(&checked);
    let found = |text: &str| check(text.as_bytes()).findings;
    if let Some(mended) = mend(&checked.source, &checked.findings, &found) {
        let again = check(mended.text.as_bytes());
        report(&again);
    }
}

fn report(checked: &Checked) {
    let Checked { source, findings, lang, .. } = checked;
    for colour in [terminal::Colour::With, terminal::Colour::Without] {
        terminal::render(source, findings, *lang, colour);
    }
    json::write(&[json::Report::new(source, findings)]).expect("reports hold texts and numbers");
    sarif::write(&[(source, findings)]).expect("reports hold texts and numbers");
}

/// Does something with a lesson of which everything was worked out, and the number of its findings.
pub fn elaborated(bytes: &[u8], then: impl FnOnce(&Elaborated<'_>, usize)) {
    let world = MemoryWorld::default().with_lesson("fuzz.md", bytes);
    if let Ok(compiled) = compile(&world, "fuzz.md") {
        then(&compiled.lesson, compiled.findings.len());
    }
}

/// Prints a lesson's pages and figures, as a draft and as if it had no faults.
pub fn press(lesson: &Elaborated<'_>, template: &Template) {
    FONTS.with(|fonts| {
        for draft in [true, false] {
            let job = Job { template, paper: Paper::A4, fonts, draft };
            paint(&page::set(lesson, &job), fonts);
        }
        let desk = Desk {
            lang: fretleaf::words::Lang::English,
            fonts,
            look: &template.figure,
            width: page_width(template, fonts),
        };
        for (block, fence) in lesson.blocks.iter().zip(&lesson.lesson.fences) {
            if let Some(figure) = block.printed_figure(&desk, &fence.setting, true) {
                svg::figure(&Figure::stacked(&figure), "title", &figure.words, fonts);
            }
        }
    });
}

fn page_width(template: &Template, fonts: &Fonts) -> fretleaf::ink::Pt {
    Job { template, paper: Paper::A4, fonts, draft: true }.column().0
}

fn paint(document: &Document, fonts: &Fonts) {
    pdf::paint(document, fonts).expect("what is set can be painted");
    for index in 0..document.pages.len() {
        svg::page(document, index, fonts);
    }
}

/// Writes a lesson's script: its texts, its pages and its figures for the screen.
pub fn say(lesson: &Elaborated<'_>, faults: usize) {
    let script = script::of(lesson);
    let pictures = names::pictures(lesson, &script);
    files::texts(&script, &pictures, "fuzz").for_each(drop);
    let template = handout();
    FONTS.with(|fonts| {
        let look = &template.figure;
        let desk = Desk {
            lang: fretleaf::words::Lang::English,
            fonts,
            look,
            width: script::page::measure(Paper::A4),
        };
        let beside = figures::beside(lesson, &script, &desk);
        let job = script::page::Job { figures: &beside, paper: Paper::A4, faults, fonts };
        paint(&script::page::set(&script, &job), fonts);
        let wanted = Wanted { ink: Ink::Light, clear: false, at: None };
        screen::screens(&pictures, &screen::Job { lesson, look, fonts, wanted });
    });
}

/// The template that a lesson has by itself.
pub fn handout() -> Template {
    Template::load("handout", |_| None).expect("it is built in")
}

/// A short lesson with one of each kind of block, for what is not the lesson's text.
pub const SAMPLE: &str = "---
title: Sample
subtitle: Small
composer: Nobody
teacher: Nobody
rights: ours
key: A major
---

# One

Some words, `F#m7 is vi7` among them, and a [link](https://a.example).

- one
- two

> quoted

| a | b |
|---|---|
| c | `A` |

~~~ shape chords -- A caption
A x02220
E7 020100
~~~

~~~ changes verse
|: A | D / E / :| A |
~~~

~~~ riff hook over verse
chord   A               |D       E       |
count   1   &   2   &   |1   &   2   &   |
e       2---0---2h4-----|7b9-----5---0---|
A       0---------------|----------------|
~~~

~~~ neck box
A minor pentatonic, frets 5 to 8
~~~

~~~ voicings high
A D E : triads on strings 3 2 1
~~~

~~~ move high-hook from hook
up an octave
~~~
";
