//! Lessons for the tests, put together by hand.

use crate::blocks::figure::Figure;
use crate::blocks::riff;
use crate::blocks::{Block, Fault};
use crate::checks::{Elaborated, SetPhrase};
use crate::findings::{Source, Span};
use crate::ink::{Drawing, Face, Fonts, Path, Point, Style, Text, pt};
use crate::lesson::exercise::Exercise;
use crate::lesson::fence::Fence;
use crate::lesson::header::{CaptionWords, Header};
use crate::lesson::prose::{Alignment, Inline, Node, PictureLink};
use crate::lesson::setting::{Swing, Tempo};
use crate::lesson::switches::Switches;
use crate::lesson::{Lesson, Setting};
use crate::neck::Instrument;
use crate::theory::{Key, Printed};
use crate::words::Lang;

/// A setting with a key, at 92 quarters.
pub fn setting() -> Setting {
    Setting {
        key: Key::parse("A major"),
        tempo: Tempo { number: 92, dotted: false },
        swing: Swing::Eighths,
        instrument: Instrument { capo: 2, ..Instrument::guitar() },
        ..Setting::default()
    }
}

/// A header with everything in it.
pub fn header() -> Header {
    let some = |words: &str| Some(words.to_owned());
    Header {
        title: "The Slow Ferry".to_owned(),
        subtitle: some("A fingerstyle study in open thirds"),
        composer: some("Mara Lindqvist"),
        teacher: some("Jonas Weller"),
        series: some("Rivers and crossings, lesson 3"),
        lang: Lang::English,
        date: some("March 2026"),
        rights: some("© 2026 Jonas Weller. For students of this course."),
        level: None,
        video: None,
        page: Switches::default(),
        address: some("Quay Street 4, Aldhaven"),
        logo: None,
        template: None,
        font: None,
        paper: None,
        pace: 150,
        length: None,
        captions: CaptionWords::AsWritten,
        sounds: false,
        given: vec!["key".to_owned(), "tempo".to_owned()],
        setting: setting(),
        guesses: vec![],
    }
}

/// A lesson of some nodes.
pub fn lesson(source: &Source, nodes: Vec<Node>) -> Elaborated<'_> {
    let pictures = vec![PictureLink {
        path: "bridge.png".to_owned(),
        words: "the hand from above".to_owned(),
        span: Span::default(),
        picture: None,
    }];
    let phrase = |printed: Printed, faulty: bool| SetPhrase {
        printed,
        figures: Vec::new(),
        refers_to: None,
        faulty,
    };
    let lesson = Lesson {
        source,
        header: header(),
        nodes,
        fences: vec![],
        phrases: vec![],
        pictures,
        names: Default::default(),
        letters: Default::default(),
        font: None,
        logo: None,
        times: vec![],
    };
    let phrases = vec![
        phrase(Printed::plain("F♯m").then("7", true), false),
        phrase(Printed::plain("C♯ is the third of A"), true),
        phrase(Printed::plain("A").then("add9", true).then("/C♯", false), false),
    ];
    Elaborated { lesson, blocks: vec![], phrases, faults: 1, faults_elsewhere: vec![] }
}

/// The lesson with one broken block more.
pub fn with_broken_block(mut lesson: Elaborated<'_>, span: Span) -> Elaborated<'_> {
    let block = Block {
        music: None,
        caption: None,
        number: None,
        printed: true,
        blank: false,
        answers: None,
        announced: vec![],
        faults: vec![Fault {
            span,
            message: "bar 2 holds three and a half beats of `four`".to_owned(),
        }],
        guesses: vec!["guessed: the counts".to_owned()],
        span,
    };
    lesson.blocks.push(block);
    let message = "unknown key `foo`".to_owned();
    lesson.faults_elsewhere.push(Fault { span: Span::default(), message });
    lesson.faults += 2;
    lesson.lesson.fences.push(Fence {
        text: "",
        kind: riff::WRITTEN,
        name: None,
        phrases: vec![],
        caption: None,
        lines: vec![],
        span,
        head: span,
        phrases_end: span.end,
        own_keys: vec![],
        setting: setting(),
        printed: true,
        exercise: Exercise::None,
        announced: vec![],
        meant: None,
        guesses: vec![],
    });
    lesson.lesson.nodes.push(Node::Music(lesson.blocks.len() - 1));
    lesson
}

/// Plain words.
pub fn text(words: &str) -> Inline {
    Inline::Text(words.to_owned())
}

/// A paragraph of plain words.
pub fn paragraph(words: &str) -> Node {
    Node::Paragraph(vec![text(words)])
}

/// A heading.
pub fn heading(level: u8, words: &str) -> Node {
    Node::Heading { level, words: vec![text(words)], span: Span::default() }
}

/// A table with a head and so many rows.
pub fn table(rows: usize) -> Node {
    let cells = |cells: [&str; 3]| cells.map(|cell| vec![text(cell)]).to_vec();
    let row = |index: usize| {
        let number = index.to_string();
        cells([
            &number,
            "thumb on the fifth string, index and middle in turn",
            "until the beat stands by itself",
        ])
    };
    Node::Table {
        columns: vec![Alignment::Right, Alignment::Left, Alignment::Left],
        head: cells(["Bar", "What the picking hand does", "How long"]),
        rows: (1..=rows).map(row).collect(),
    }
}

/// A figure of so many strips, each with words on lines.
pub fn figure(fonts: &Fonts, strips: usize, width: f32, height: f32) -> Figure {
    let strip = |index: usize| {
        let mut strip = Drawing::new(pt(width), pt(height));
        for line in 0..6 {
            #[allow(clippy::cast_precision_loss)]
            let y = pt(height * (0.3 + 0.1 * line as f32));
            strip.path(Path::line(Point::new(pt(0.0), y), Point::new(pt(width), y), pt(0.5)));
        }
        let words = format!("system {}", index + 1);
        let text = Text::set(fonts, &words, Style::new(Face::SansSemibold, pt(10.0)));
        strip.text(Point::new(pt(0.0), pt(height * 0.2)), text);
        strip
    };
    let strips = (0..strips).map(strip).collect();
    Figure { words: "a tab".to_owned(), strips, ..Figure::default() }
}

/// A list of plain words, with numbers from `start` where it has them.
fn list(start: Option<u64>, items: &[&str]) -> Node {
    Node::List {
        start,
        tight: true,
        items: items.iter().map(|item| vec![paragraph(item)]).collect(),
    }
}

/// A list within a list.
fn nested_list() -> Node {
    Node::List {
        start: None,
        tight: true,
        items: vec![
            vec![paragraph("Let every note of the chord ring into the next one.")],
            vec![
                paragraph(
                    "Keep the thumb steady: it is the boat, and the melody only walks about on deck while the river goes by.",
                ),
                list(None, &["first on the fifth string,", "then on the fourth."]),
            ],
            vec![paragraph("Count aloud.")],
        ],
    }
}

/// Prose, a few hundred words of it, with everything in it that paragraphs have.
pub fn prose() -> Vec<Node> {
    vec![
        heading(1, "The figure"),
        Node::Paragraph(vec![
            text("The whole tune grows from one figure of two bars. Over "),
            Inline::Phrase(2),
            text(
                " the thumb walks from the fifth string to the fourth while the upper voices hold a third; over ",
            ),
            Inline::Phrase(0),
            text(" the same shape slides up two frets, and "),
            Inline::Emphasis(vec![text("nothing else moves")]),
            text(". Listen for the "),
            Inline::Strong(vec![text("open second string")]),
            text(
                ": it belongs to both chords, and so it may ring through the change. A player who lifts it loses the colour that gives the piece its name. More about ringing strings is on ",
            ),
            Inline::Link {
                address: "https://example.org/ringing".to_owned(),
                words: vec![text("the page about open strings")],
            },
            text("; the file is called "),
            Inline::Code("slow-ferry.md".to_owned()),
            text(" — office, affine, fjord."),
        ]),
        paragraph(
            "Play it slowly at first, without the melody. When the bass stands by itself, add the first note of each bar, then the second, and so on until the figure is whole. It is worth a week. Nobody ever regretted a slow start, and every stretch that feels long today will feel short in a month.",
        ),
        heading(2, "With the right hand alone"),
        nested_list(),
        list(
            Some(9),
            &[
                "Mute the strings with the left hand.",
                "Play the pattern four times without looking.",
                "Look, and play it four times more, a little softer each time, until you can hardly hear it.",
            ],
        ),
        Node::Paragraph(vec![
            text("Notice that "),
            Inline::Phrase(1),
            text(", which is why the slide sounds at rest."),
            Inline::Break,
            text("Then rest."),
        ]),
        heading(3, "A word from the road"),
        Node::Quote(vec![
            paragraph(
                "I learned it from the boatman, who had three strings left and played it on two. He said that the third was for Sundays.",
            ),
            paragraph("He never said which third."),
        ]),
        Node::Rule,
        table(4),
        Node::Code("e --0-----0--\nB ----2-----2   (no music: printed as it stands)\n".to_owned()),
        Node::Paragraph(vec![Inline::Picture(0)]),
    ]
}
