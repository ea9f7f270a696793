//! Exercises: frames to fill in tell the frame and not the answer, answers stand at the lesson's end under the
//! numbers of their figures.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use fretleaf::blocks::figure::{Desk, Figure};
use fretleaf::checks::Elaborated;
use fretleaf::ink::{Document, Fonts, Item, Role, pt};
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::script::figures;
use fretleaf::{Finding, compile, page};

const HEAD: &str = "---\ntitle: One\nkey: A minor\ncomposer: Ines Marlow\n---\n\n";

/// A lesson of these blocks, with what is found in it.
fn with(body: &str, look: impl FnOnce(&Elaborated<'_>, &[Finding], Document)) {
    let text = format!("{HEAD}{body}");
    let world = MemoryWorld::default().with_lesson("one.md", &text);
    let compiled = compile(&world, "one.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    let paper = compiled.paper(&template);
    let job = page::Job { template: &template, paper, fonts: &fonts, draft: false };
    look(&compiled.lesson, &compiled.findings, compiled.press(&job));
}

fn messages(body: &str) -> Vec<String> {
    let mut found = Vec::new();
    with(body, |_, findings, _| found = findings.iter().map(|one| one.message.clone()).collect());
    found
}

/// A block's figure where it stands, and filled in.
fn frame_and_answer(body: &str) -> (Figure, Figure) {
    let mut both = None;
    with(body, |lesson, findings, _| {
        let found: Vec<&str> = findings.iter().map(|one| one.message.as_str()).collect();
        assert!(findings.iter().all(|one| one.rule.name == "no-count"), "{found:?}");
        let (block, fence) = (lesson.blocks.last().unwrap(), lesson.lesson.fences.last().unwrap());
        let (template, fonts) = (page::Template::usual().unwrap(), Fonts::new());
        let desk = Desk {
            lang: fretleaf::words::Lang::English,
            fonts: &fonts,
            look: &template.figure,
            width: pt(440.0),
        };
        let frame = block.printed_figure(&desk, &fence.setting, false).unwrap();
        both = Some((frame, block.answer_figure(&desk, &fence.setting, false).unwrap()));
    });
    both.unwrap()
}

/// The texts of a figure.
fn texts(figure: &Figure) -> Vec<String> {
    fn walk(items: &[Item], found: &mut Vec<String>) {
        for item in items {
            match item {
                Item::Text(_, text) => found.push(text.characters()),
                Item::Group(group) => walk(&group.items, found),
                _ => {}
            }
        }
    }
    let mut found = Vec::new();
    figure.strips.iter().for_each(|strip| walk(&strip.items, &mut found));
    found
}

/// The words of a document's part, with those of all that it holds.
fn parts(document: &Document) -> Vec<(Role, String)> {
    fn walk(items: &[Item], part: Option<usize>, found: &mut [String]) {
        for item in items {
            match item {
                Item::Group(group) => {
                    let own = match &group.label {
                        fretleaf::ink::Label::Part(part) => Some(part.0),
                        fretleaf::ink::Label::Artifact => None,
                        _ => part,
                    };
                    walk(&group.items, own, found);
                }
                Item::Text(_, text) => {
                    if let Some(words) = part.and_then(|part| found.get_mut(part)) {
                        words.push_str(&text.characters());
                    }
                }
                _ => {}
            }
        }
    }
    let mut words = vec![String::new(); document.parts.len()];
    document.pages.iter().for_each(|page| walk(&page.drawing.items, None, &mut words));
    document.parts.iter().map(|part| part.role).zip(words).collect()
}

const CHANGES: &str = "~~~ changes verse, blank, answered\n| Am / F / | (2/4) G | % |\n~~~\n";
const RIFF: &str = "~~~ riff hook, blank, answered\nchord   Am          |\ncount   1 & 2 & 3 4 |\n\
    e       ----3---5---|\nA       0-----------|\nleft        4   1   |\n~~~\n";
const STRUM: &str =
    "~~~ riff strum, blank, answered\nchord Am      |\ncount 1 2 3 4 |\npick  d u d d |\n~~~\n";

#[test]
fn a_frame_tells_what_is_to_be_filled_in_and_not_with_what() {
    for (body, kept, gone) in [
        (
            "~~~ shape forms, blank, answered\nAm x02210\nBm (high) 7 9 9 7 7 7 -- up here\n~~~\n",
            vec!["Am", "Bm", "(high)", "up here", "7"],
            vec!["1", "2", "3", "R", "5"],
        ),
        (CHANGES, vec![], vec!["Am", "F", "G", "i", "tonic"]),
        (RIFF, vec!["Am", "1", "&", "2", "4", "E", "A"], vec!["0", "5"]),
        (STRUM, vec!["1", "2", "3", "4"], vec![]),
        (
            "~~~ neck roots, blank, answered\nnote A, frets 0 to 4, label notes\n~~~\n",
            vec!["1", "2"],
            vec![],
        ),
        (
            "~~~ neck box, blank, answered\nA minor pentatonic, frets 5 to 8, label degrees\n~~~\n",
            vec!["A minor pentatonic", "5", "8"],
            vec!["R", "♭3", "4"],
        ),
        (
            "~~~ voicings close, blank, answered\nAm F : triads on strings 3 2 1, near fret 5\n~~~\n",
            vec!["Am", "F"],
            vec!["R", "3", "first inversion"],
        ),
        (
            "~~~ lyrics refrain, blank, answered\nchord Am  F\nsung  one two\n~~~\n",
            vec!["one", "two"],
            vec!["Am", "F"],
        ),
        (
            "~~~ riff hook\ncount   1 & |\nA       0-3-|\n~~~\n\n~~~ move high from hook, blank, answered\nup an octave\n~~~\n",
            vec!["1", "&"],
            vec![],
        ),
    ] {
        let (frame, answer) = frame_and_answer(body);
        let (of_frame, of_answer) = (texts(&frame), texts(&answer));
        for word in kept {
            assert!(of_frame.iter().any(|text| text == word), "{body}: {word} in {of_frame:?}");
        }
        for word in gone {
            assert!(of_answer.iter().any(|text| text == word), "{body}: {word} in {of_answer:?}");
            let left = |texts: &[String]| texts.iter().filter(|text| *text == word).count();
            assert!(left(&of_frame) < left(&of_answer), "{body}: {word} in {of_frame:?}");
        }
        let says_so = ["empty", "Empty"].iter().any(|word| frame.words.contains(word));
        assert!(says_so, "{}", frame.words);
        assert!(frame.words.len() < answer.words.len(), "{}\n{}", frame.words, answer.words);
    }
}

#[test]
fn frames_are_put_into_words() {
    for (body, words) in [
        (
            "~~~ shape forms, blank\nAm x02210\nBm 7 9 9 7 7 7\nEm\n~~~\n",
            "3 chord shapes. A minor: an empty box for frets 1 to 4, to be filled in. \
          B minor: an empty box for frets 7 to 10, to be filled in. \
          E minor: an empty box for frets 1 to 4, to be filled in.",
        ),
        (CHANGES, "Empty bars, to be filled in. Line 1: bar 1; bar 2, in 2/4; bar 3."),
        (RIFF, "Tab for 6 strings, in 4/4, empty, to be filled in. Bar 1, A minor."),
        (
            STRUM,
            "A strumming pattern, in 4/4, empty, to be filled in. A minor: sixth string silent; fifth string open, A, the root; fourth string fret 2, middle finger, E, the perfect fifth; third string fret 2, ring finger, A, the root; second string fret 1, index finger, C, the minor third; first string open, E, the perfect fifth. Bar 1, A minor.",
        ),
        (
            "~~~ neck, blank\nA minor pentatonic, frets 5 to 8\nnotes A E, frets 0 to 3\n~~~\n",
            "An empty neck for A minor pentatonic, frets 5 to 8. \
          An empty neck for the notes A, E, frets 0 to 3.",
        ),
        (
            "~~~ changes verse\n| Am | F |\n~~~\n\n~~~ neck, blank\nscales for verse, frets 5 to 8\n~~~\n",
            "An empty neck, frets 5 to 8.",
        ),
        (
            "~~~ lyrics refrain, blank\nchord Am  F\nsung  one two\n~~~\n",
            "Words with empty places for chords, to be filled in. \
          Line 1: an empty place, “one”; an empty place, “two”.",
        ),
        ("~~~ neck, blank\ne 5* 8\nB 5 8\n~~~\n", "An empty neck, frets 5 to 8."),
    ] {
        let told = frame_and_answer(body).0.words.replace('\n', " ");
        assert_eq!(told, words, "{body}");
    }
}

#[test]
fn answers_stand_at_the_end_under_the_numbers_of_their_figures() {
    let body = format!(
        "~~~ shape forms, blank\nEm\nG\n~~~\n\n{CHANGES}\n~~~ neck answer to forms\nnotes E G, frets 0 to 3\n~~~\n\n\
         ~~~ shape own, answer to forms -- One way\nEm 022000\nG 320003\n~~~\n\nLook at `the own` and `the verse`.\n"
    );
    with(&body, |lesson, findings, document| {
        assert!(findings.is_empty(), "{findings:?}");
        let numbers: Vec<Option<u32>> = lesson.blocks.iter().map(|block| block.number).collect();
        assert_eq!(numbers, [Some(1), Some(2), Some(1), Some(1)]);
        let parts = parts(&document);
        let told: Vec<&str> = parts
            .iter()
            .filter(|(role, _)| matches!(role, Role::Heading(2) | Role::Caption))
            .map(|(_, words)| words.trim())
            .collect();
        let captions: Vec<&str> = told
            .iter()
            .map(|one| one.trim_start_matches(|c: char| c.is_ascii_digit() || c.is_whitespace()))
            .collect();
        assert_eq!(captions, ["forms", "verse", "Answers", "forms", "One way", "verse"]);
        let number = |told: &&&str| told.chars().find(char::is_ascii_digit);
        let numbered: Vec<char> = told.iter().filter_map(|one| number(&one)).collect();
        assert_eq!(numbered, ['1', '2', '1', '1', '2'], "{told:?}");
        assert_eq!(document.bookmarks.last().unwrap().title, "Answers");
        let (role, last) = parts.iter().rev().find(|(_, words)| !words.is_empty()).unwrap();
        assert_eq!((*role, &last[..6]), (Role::Paragraph, "Rights"));
        let prose = parts
            .iter()
            .any(|(_, words)| words.contains("the own (figure 1) and the verse (figure 2)"));
        assert!(prose, "{parts:?}");
    });
    with("~~~ shape forms, blank\nEm 022000\n~~~\n", |_, _, document| {
        assert!(parts(&document).iter().all(|(_, words)| words != "Answers"));
    });
}

#[test]
fn what_can_be_no_exercise_or_no_answer_is_a_fault() {
    for (body, message) in [
        ("~~~ say talk, blank\nHello.\n~~~\n", "this `say` has nothing for a student to fill in"),
        (
            "~~~ riff, blank\nchord A     |\ncount 1 2 3 4 |\nsung  la la la la |\n~~~\n",
            "nothing for a student to fill in",
        ),
        (
            "~~~ lyrics refrain, blank\nsung one two\n~~~\n",
            "this `lyrics` has nothing for a student to fill in",
        ),
        ("~~~ shape forms, answer to frms\nEm 022000\n~~~\n", "no figure is called `frms`"),
        (
            "~~~ shape forms, answer to forms\nEm 022000\n~~~\n",
            "a block can't be the answer to itself",
        ),
        (
            "~~~ say answer to forms\nHello.\n~~~\n\n~~~ shape forms\nEm 022000\n~~~\n",
            "has no figure to answer with",
        ),
        (
            "~~~ shape a, answer to b\nEm 022000\n~~~\n\n~~~ shape b, not printed\nEm 022000\n~~~\n",
            "`b` has no figure in its place",
        ),
        (
            "~~~ shape a, answer to b\nEm 022000\n~~~\n\n~~~ shape b, answer to a\nEm 022000\n~~~\n",
            "`b` has no figure in its place",
        ),
        ("~~~ shape forms, blank, answered\nEm\n~~~\n", "`Em` has no frets to answer with"),
        ("~~~ shape forms, blank\n?\n~~~\n", "`?` asks for the name of frets"),
        ("~~~ shape forms, blank\nH7\n~~~\n", "`H7`"),
        ("~~~ shape forms\nEm\n~~~\n", "the shape has no frets"),
    ] {
        let found = messages(body);
        assert!(found.iter().any(|found| found.contains(message)), "{body}: {found:?}");
    }
}

#[test]
fn an_exercise_is_checked_shown_and_named_as_the_music_that_it_is() {
    let wrong = messages("~~~ shape forms, blank\nAm x02220\n~~~\n");
    assert!(wrong[0].contains("don't sound `Am`"), "{wrong:?}");
    let body = "~~~ shape forms, blank\nAm x02210\nEm\n~~~\n\n~~~ say\n[show forms]\nThis is `x02210`.\n[show Am]\n~~~\n";
    with(body, |lesson, findings, document| {
        let unasked = findings.iter().filter(|one| one.rule.name != "cue").count();
        assert_eq!(unasked, 0, "{findings:?}");
        let script = fretleaf::script::of(lesson);
        let (template, fonts) = (page::Template::usual().unwrap(), Fonts::new());
        let width = fretleaf::script::page::measure(template.paper);
        let desk = Desk {
            lang: fretleaf::words::Lang::English,
            fonts: &fonts,
            look: &template.figure,
            width,
        };
        let beside = figures::beside(lesson, &script, &desk);
        assert_eq!(beside.len(), 2);
        for figure in beside.values() {
            assert!(figure.words.contains("fifth string open"), "{}", figure.words);
        }
        // The chord page would give the answer away.
        assert!(parts(&document).iter().all(|(_, words)| words != "Chords in this lesson"));
    });
}
