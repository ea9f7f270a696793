//! What a lesson's script must keep: its running time is that of an independent count, its chapters
//! begin at 0:00 and rise, its captions are WebVTT, and cues that name nothing are faults.

#![allow(clippy::unwrap_used)]

use crate::support::counted;
use crate::support::folders::own_folder;
use fretleaf::blocks::figure::Desk;
use fretleaf::blocks::tab::Tab;
use fretleaf::checks::Elaborated;
use fretleaf::compile;
use fretleaf::findings::Source;
use fretleaf::findings::Weight;
use fretleaf::ink::{Face, Fonts, Item, pdf};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::{FolderWorld, MemoryWorld};
use fretleaf::page::Template;
use fretleaf::script::{self, Script, captions, chapters, figures, page, text};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Demo lessons with the seconds that their pauses and their music take, counted by hand, which holds
/// the count from the text to account: bars times beats, at the tempo, as often as the cue says.
const MUSIC: [(&str, f64); 7] = [
    // The tune's 3 bars twice at half, 1 bar of strokes 4 times; 3 s.
    ("chalk-and-fretwire", (12.0 * 2.0 * 2.0 + 4.0 * 4.0) * 60.0 / 80.0 + 3.0),
    // The ground's 8 bars of 3; 2 bars 4 times at half; the tune's upbeat of 1 and its
    // 8 bars twice; 2 bars twice at half; 3 s.
    (
        "closed-bakery",
        (24.0 + 2.0 * 3.0 * 4.0 * 2.0 + 49.0 + 2.0 * 3.0 * 2.0 * 2.0) * 60.0 / 104.0 + 3.0,
    ),
    // 4 bars of strokes, and at half; the tune's 4, and an octave up; 3 s.
    ("lanterns", (16.0 + 32.0 + 16.0 + 16.0) * 60.0 / 84.0 + 3.0),
    // 2 bars twice, then all 4; 2 s.
    ("night-bus", (2.0 * 4.0 * 2.0 + 4.0 * 4.0) * 60.0 / 98.0 + 2.0),
    // 4 bars, and at half; 4 s.
    ("paper-kites", (16.0 + 32.0) * 60.0 / 76.0 + 4.0),
    // The hook's 4 bars, 2 of them twice at half; the chorus's 4 twice at half; twice 4 bars of the
    // bridge at 84; the first phrase's 2 bars, and at half; 2 s.
    (
        "slow-ferry",
        (16.0 + 8.0 * 2.0 * 2.0 + 32.0 * 2.0 + 8.0 + 16.0) * 60.0 / 92.0 + 32.0 * 60.0 / 84.0 + 2.0,
    ),
    // In dotted quarters: 12 bars, the engine's 4 twice, 1 bar 3 times at half, 2 bars, and at 60; 1.5 s.
    ("wet-cement", (48.0 + 32.0 + 4.0 * 3.0 * 2.0 + 8.0) * 60.0 / 88.0 + 8.0 + 1.5),
];

#[test]
fn a_script_runs_as_long_as_its_words_and_its_music() {
    for name in &demos() {
        let counted = counted::seconds(&fs::read_to_string(path(name)).unwrap());
        assert!(counted > 30.0, "{name} has a script");
        with_demo(name, |_, script| {
            let runs = script.runs.as_secs_f64();
            assert!((runs - counted).abs() < 0.1, "{name}: runs {runs}, counted {counted}");
        });
    }
    for (name, music) in MUSIC {
        let text = fs::read_to_string(path(name)).unwrap();
        // None of these says how fast its speaker speaks: 150 words a minute.
        let by_hand = spoken_words(&text) as f64 * 60.0 / 150.0 + music;
        let counted = counted::seconds(&text);
        assert!((counted - by_hand).abs() < 0.001, "{name}: {counted}, by hand {by_hand}");
    }
}

/// The words that stand in `say` blocks outside square brackets.
fn spoken_words(text: &str) -> usize {
    let mut words = 0;
    for block in text.split("~~~ say\n").skip(1) {
        let lines = block.lines().take_while(|line| *line != "~~~");
        let speech = lines.filter(|line| !line.starts_with('['));
        let said = |word: &&str| word.contains(|c: char| c.is_alphanumeric());
        words += speech.flat_map(str::split_whitespace).filter(said).count();
    }
    words
}

#[test]
fn chapters_begin_at_nought_and_rise() {
    for name in &demos() {
        with_demo(name, |_, script| {
            let chapters = chapters::of(script);
            assert_eq!(chapters.first().unwrap().at, Duration::ZERO, "{name}");
            assert!(chapters::list(script).starts_with("0:00 "), "{name}");
            let rise = chapters.windows(2).all(|pair| pair[0].at.as_secs() < pair[1].at.as_secs());
            assert!(rise, "{name}: {chapters:?}");
        });
    }
}

#[test]
fn a_section_that_is_short_or_silent_is_no_chapter() {
    let words = "word ".repeat(40);
    let said = |words: &str| format!("~~~ say\n{words}\n~~~\n");
    let text = format!(
        "---\ntitle: T\n---\n{}\n## Long\n{}\n## Short\n{}\n## Silent\n\n## Last\n{}",
        said(&words),
        said(&words),
        said("only a few"),
        said(&words)
    );
    let expected = "0:00 Opening\n0:16 Long\n0:33 Last\n";
    with(&text, |_, script| assert_eq!(chapters::list(script), expected));
}

#[test]
fn the_opening_is_one_chapter_with_its_talk_before_the_first_heading() {
    let said = format!("~~~ say\n{}\n~~~\n", "word ".repeat(40));
    let text = format!("---\ntitle: T\n---\n{said}\n## Opening\n{said}\n## Next\n{said}");
    with(&text, |_, script| assert_eq!(chapters::list(script), "0:00 Opening\n0:32 Next\n"));
}

#[test]
fn a_script_to_a_length_says_how_far_it_is_off_and_where_the_time_is() {
    let said = |words: usize| format!("~~~ say\n{}\n[pause 2.5 s]\n~~~\n", "word ".repeat(words));
    let text = format!(
        "---\ntitle: T\nlength: 0:50\n---\n{}\n## The verse\n{}\n## Silent\n",
        said(40),
        said(80)
    );
    with(&text, |_, script| {
        let written = text::write(script);
        let head = "T\nRuns 0:53 at 150 words a minute, 0:03 over\n\n";
        let rest = written.strip_prefix(head).unwrap();
        let table: Vec<Vec<&str>> =
            rest.lines().take(4).map(|line| line.split_whitespace().collect()).collect();
        assert_eq!(table[0], ["speech", "music", "pauses", "in", "all"]);
        assert_eq!(table[1], ["0:00", "Opening", "0:16", "–", "0:02", "0:18"]);
        assert_eq!(table[2], ["0:18", "The", "verse", "0:32", "–", "0:03", "0:35"]);
        assert_eq!(table[3], ["all", "sections", "0:48", "–", "0:05", "0:53"]);
        assert!(rest.lines().take(4).all(|line| line.chars().count() == 78), "{rest}");
        let fonts = Fonts::new();
        let beside = figures::Beside::new();
        let job = page::Job { figures: &beside, paper: Paper::Letter, faults: 0, fonts: &fonts };
        let mut found = Vec::new();
        words(&page::set(script, &job).pages[0].drawing.items, &mut found);
        let page: String = found.into_iter().map(|(_, words)| words + " ").collect();
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(page.contains("0:53 at 150 words a minute, 0:03 over"), "{page}");
        assert!(page.contains("0:18 The verse 0:32 – 0:03 0:35"), "{page}");
    });
}

#[test]
fn stress_is_plain_in_texts_and_set_on_the_pages() {
    let text = "---\ntitle: T\nkey: A major\n---\n~~~ say\nPlay *this* and **that**, _never\nboth_ 2 * 3 `C# is the third of A`.\n***so***\n~~~\n";
    with(text, |_, script| {
        let said = "Play this and that, never both 2 * 3 C♯ is the third of A. so";
        let captions = captions::write(script);
        let captions = captions.lines().filter(|line| !line.contains("-->") && !line.is_empty());
        assert_eq!(captions.skip(1).collect::<Vec<_>>().join(" "), said);
        assert!(text::write(script).replace("\n         ", " ").contains(said));
        let beside = figures::Beside::new();
        let fonts = Fonts::new();
        let job = page::Job { figures: &beside, paper: Paper::A4, faults: 0, fonts: &fonts };
        let document = page::set(script, &job);
        let mut faces = Vec::new();
        words(&document.pages[0].drawing.items, &mut faces);
        let speech: Vec<(Face, String)> =
            faces.into_iter().skip_while(|(_, words)| !words.starts_with("Play")).collect();
        let of = |face: Face| {
            let words = speech.iter().filter(|(found, _)| *found == face);
            words.map(|(_, words)| words.trim()).collect::<Vec<_>>().join(" ")
        };
        assert_eq!(of(Face::SerifItalic), "this never both");
        assert_eq!(of(Face::SerifBold), "that");
        assert_eq!(of(Face::SerifBoldItalic), "so");
        assert_eq!(of(Face::Serif), "Play  and ,  2 * 3 C♯ is the third of A.");
    });
}

#[test]
fn extensions_of_chords_are_raised_on_the_pages() {
    let text = "---\ntitle: T\nkey: A major\n---\n~~~ say\nPlay `F#m7` *on `Aadd9`*.\n~~~\n";
    with(text, |_, script| {
        let beside = figures::Beside::new();
        let fonts = Fonts::new();
        let job = page::Job { figures: &beside, paper: Paper::A4, faults: 0, fonts: &fonts };
        let document = page::set(script, &job);
        let mut high = Vec::new();
        super::figures::each_item(
            &document.pages[0].drawing.items,
            Default::default(),
            &mut |item, _| {
                if let Item::Text(_, text) = item {
                    let raised = text.runs.iter().filter(|run| run.style.rise.0 > 0.0);
                    high.extend(raised.map(|run| run.word.characters()));
                }
            },
        );
        assert_eq!(high, ["7", "add9"]);
    });
}

/// The words of items with their faces.
fn words(items: &[Item], found: &mut Vec<(Face, String)>) {
    for item in items {
        match item {
            Item::Text(_, text) => {
                found.extend(text.runs.iter().map(|run| (run.style.face, run.word.characters())))
            }
            Item::Group(group) => words(&group.items, found),
            Item::Path(_) | Item::Picture(..) => {}
        }
    }
}

#[test]
fn captions_are_web_vtt_in_order_and_say_every_word() {
    for name in &demos() {
        with_demo(name, |_, script| {
            let file = captions::write(script);
            let mut blocks = file.split("\n\n");
            assert_eq!(blocks.next(), Some("WEBVTT"), "{name}");
            let (mut last, mut words) = (0.0, 0);
            for block in blocks {
                let (times, lines) = block.trim_end().split_once('\n').unwrap();
                let (from, to) = times.split_once(" --> ").unwrap();
                let (from, to) = (seconds(from), seconds(to));
                assert!(last <= from && from < to, "{name}: {times}");
                assert!(lines.lines().count() <= 2, "{name}: {lines}");
                assert!(!lines.contains("-->") && !lines.contains('<'), "{name}: {lines}");
                words += lines.split_whitespace().count();
                last = to;
            }
            assert!(last <= script.runs.as_secs_f64() + 0.001, "{name}");
            let said = script.items.iter().map(|item| match &item.what {
                script::What::Speech { words, .. } => words.split_whitespace().count(),
                _ => 0,
            });
            assert_eq!(words, said.sum::<usize>(), "{name}");
        });
    }
}

/// Reads `00:01:02.345`.
fn seconds(time: &str) -> f64 {
    let parts: Vec<&str> = time.split(':').collect();
    let [hours, minutes, seconds] = parts[..] else { panic!("{time}") };
    assert!(hours.len() == 2 && minutes.len() == 2 && seconds.len() == 6, "{time}");
    let number = |text: &str| text.parse::<f64>().unwrap();
    number(hours) * 3600.0 + number(minutes) * 60.0 + number(seconds)
}

#[test]
fn text_and_pages_hold_every_cue_and_heading() {
    let fonts = Fonts::new();
    let template = Template::load("handout", |_| None).unwrap();
    for name in &demos() {
        with_demo(name, |lesson, script| {
            let written = text::write(script);
            for item in &script.items {
                if let script::What::Cue(script::Cue { words, .. }) = &item.what {
                    assert!(written.contains(&format!("[{words}]")), "{name}: {words}");
                }
            }
            let width = page::measure(template.paper);
            let desk = Desk {
                lang: fretleaf::words::Lang::English,
                fonts: &fonts,
                look: &template.figure,
                width,
            };
            let beside = figures::beside(lesson, script, &desk);
            let job =
                page::Job { figures: &beside, paper: template.paper, faults: 0, fonts: &fonts };
            let document = page::set(script, &job);
            assert!(pdf::paint(&document, &fonts).unwrap().starts_with(b"%PDF-"), "{name}");
            let headings = script
                .items
                .iter()
                .filter(|item| matches!(item.what, script::What::Heading { .. }));
            assert_eq!(document.bookmarks.len(), headings.count(), "{name}");
        });
    }
}

#[test]
fn cues_at_fault() {
    let changes = "~~~ changes verse\n| A | D |\n~~~\n~~~ shape grips\nA x 0 2 2 2 0\n~~~\n";
    for (cue, rule) in [
        ("[show verse]", None),
        ("[show the verse]", None),
        ("[show A]", None),
        ("[play bars 1-2 of the verse 3 times at dotted 60 slowly]", None),
        ("[pause 1.5 s]", None),
        ("[camera hand]", None),
        ("[pause: 1.5 s]", None),
        ("[show: verse]", None),
        ("[plya verse]", Some("cue")),
        ("[shows grips]", Some("cue")),
        ("[puase 3 s]", Some("cue")),
        ("[[show verse]]", None),
        ("[plan for the verse]", None),
        ("[slow]", None),
        ("[show vrese]", Some("unknown-name")),
        ("[play verses twice]", Some("unknown-name")),
        ("[show Bm7]", Some("unknown-name")),
        ("[show welcome]", Some("unknown-name")),
        ("[play bar 3 of verse]", Some("unknown-name")),
        ("[show bar 1 of grips]", Some("unknown-name")),
        ("[show]", Some("block-syntax")),
        ("[play grips]", None),
        ("[play grips, each 2 s]", None),
        ("[play grips each 1.5 s twice]", None),
        ("[play grips, slowly, at 80]", None),
        ("[play bar 1 of grips]", Some("unknown-name")),
        ("[play grips at 80, each 2 s]", Some("block-syntax")),
        ("[play grips each 2 sec]", Some("block-syntax")),
        ("[play verse, each 2 s]", Some("block-syntax")),
        ("[retake]", None),
        ("[retake too fast]", None),
        ("[play verse 0 times]", Some("block-syntax")),
        ("[play verse at 10]", Some("block-syntax")),
        ("[pause a while]", Some("block-syntax")),
        ("[pause 4 sec]", Some("block-syntax")),
        ("[pause 4]", Some("block-syntax")),
        ("[pause -1 s]", Some("block-syntax")),
        ("[show verse", Some("block-syntax")),
        ("Now [show verse] it goes", Some("cue")),
        ("[show verse] Now", Some("cue")),
        ("- one [Pause 2 s]", Some("cue")),
        ("<!-- [show vrese]\n[show vrese] --> [show verse]", None),
        ("As [sic] said, [the site](https://example.org)", None),
        ("[breathe] Now", None),
    ] {
        let text = format!("---\ntitle: T\n---\n{changes}~~~ say welcome\n{cue}\nWords.\n~~~\n");
        assert_eq!(faults(&text), rule.into_iter().collect::<Vec<_>>(), "{cue}");
    }
}

#[test]
fn a_pause_is_offered_in_seconds() {
    for (pause, form) in
        [("4 sec", "4 s"), ("2 min", "120 s"), ("0:04", "4 s"), ("1.5 secs", "1.5 s"), ("3", "3 s")]
    {
        let text = format!("---\ntitle: T\n---\n~~~ say\n[pause {pause}]\nWords.\n~~~\n");
        let checked = fretleaf::check("t.md", text.as_bytes(), &MemoryWorld::default());
        let [found] = checked.findings.as_slice() else {
            panic!("{pause}: {:?}", checked.findings)
        };
        assert!(found.message.ends_with(&format!("`[pause {form}]`")), "{}", found.message);
        let fix = &found.fixes[0];
        assert_eq!((fix.replace.as_str(), &text[fix.span.start..fix.span.end]), (form, pause));
    }
}

#[test]
fn chords_and_diagrams_are_played_one_after_another() {
    let blocks = "~~~ shape grips\nA x 0 2 2 2 0\nD x x 0 2 3 2\n~~~\n\
        ~~~ voicings high\nA D E : triads\n~~~\n~~~ neck places\nA major\nD7\n~~~\n\
        ~~~ now\ntempo: 120\nmeter: 3/4\n~~~\n~~~ shape later\nE 0 2 2 1 0 0\n~~~\n";
    for (cue, seconds) in [
        ("[play grips]", 2.0 * 4.0),
        ("[play grips twice at 120]", 2.0 * 2.0 * 2.0),
        ("[play the grips, each 1.5 s, 3 times]", 2.0 * 1.5 * 3.0),
        ("[play high]", 3.0 * 4.0),
        ("[play high each 2 s]", 3.0 * 2.0),
        ("[play places]", 2.0 * 4.0),
        ("[play later slowly]", 3.0),
    ] {
        let text = format!("---\ntitle: T\ntempo: 60\n---\n{blocks}~~~ say\n{cue}\n~~~\n");
        assert_eq!(faults(&text), [""; 0], "{cue}");
        with(&text, |_, script| assert_eq!(script.runs.as_secs_f64(), seconds, "{cue}"));
    }
}

#[test]
fn what_is_to_be_said_again_takes_no_time() {
    let text = "---\ntitle: T\n---\n~~~ say\n[retake too fast]\nTwo words.\n~~~\n";
    with(text, |_, script| {
        let script::What::Cue(cue) = &script.items[0].what else { panic!() };
        assert!(matches!(cue.kind, script::CueKind::Retake));
        assert_eq!(
            (cue.words.as_str(), script.runs),
            ("retake too fast", Duration::from_millis(800))
        );
    });
}

#[test]
fn a_cue_among_words_is_put_on_its_own_line() {
    for (say, mended) in [
        ("play [show verse] now.", "play\n[show verse]\nnow."),
        ("play [show verse]. Now", "play.\n[show verse]\nNow"),
        ("[show verse] now.", "[show verse]\nnow."),
        ("  - *play [show verse]*", "  - *play*\n  [show verse]"),
        ("He [sic] said", "He\n[sic]\nsaid"),
    ] {
        let whole = |say: &str| {
            let changes = "~~~ changes verse\n| A |\n~~~\n";
            format!("---\ntitle: T\n---\n{changes}~~~ say\n{say}\n~~~\n")
        };
        let mut text = whole(say);
        let checked = fretleaf::check("t.md", text.as_bytes(), &MemoryWorld::default());
        let [found] = checked.findings.as_slice() else { panic!("{say}: {:?}", checked.findings) };
        let fix = &found.fixes[0];
        text.replace_range(fix.span.start..fix.span.end, &fix.replace);
        assert_eq!(text, whole(mended));
        let checked = fretleaf::check("t.md", text.as_bytes(), &MemoryWorld::default());
        assert!(checked.findings.is_empty(), "{say}: {:?}", checked.findings);
    }
}

#[test]
fn what_nobody_says_takes_no_time() {
    let said = "<!-- not\nthis\n[pause 9 s] --> One <!-- nor this -->two.\n\n## Three\n- four, [five](https://a.org)\n- **six**\n";
    let text = format!("---\ntitle: T\n---\n~~~ say\n{said}~~~\n");
    let counted = counted::seconds(&text);
    with(&text, |_, script| {
        assert_eq!(script.runs, Duration::from_millis(2400), "six words");
        assert!((counted - 2.4).abs() < 1e-9, "{counted}");
        let told: Vec<&str> = script
            .items
            .iter()
            .filter_map(|item| match &item.what {
                script::What::Speech { words, .. } => Some(words.as_str()),
                _ => None,
            })
            .collect();
        assert_eq!(told, ["One two.", "Three", "four, five", "six"]);
    });
}

#[test]
fn a_wrong_name_is_offered_the_nearest() {
    let text = "---\ntitle: T\n---\n~~~ changes verse\n| A |\n~~~\n~~~ say\n[show vrese]\n~~~\n";
    let checked = fretleaf::check("t.md", text.as_bytes(), &MemoryWorld::default());
    let fix = &checked.findings.first().unwrap().fixes[0];
    assert_eq!((fix.replace.as_str(), &text[fix.span.start..fix.span.end]), ("verse", "vrese"));
}

#[test]
fn speech_that_states_a_false_thing_is_a_fault() {
    let text = "---\ntitle: T\n---\n~~~ say\nHear that `C is the third of A`.\n~~~\n";
    assert_eq!(faults(text), ["degree"]);
}

#[test]
fn figures_that_are_only_spoken_of_or_passed_over_are_hints() {
    let changes = "~~~ changes one\n| A |\n~~~\n~~~ changes two\n| D |\n~~~\n";
    for (say, hints) in [
        ("[show one]\nwords\n[show two]\nwords", 0),
        ("[show one]\n[play one]\n[show two]", 0),
        ("[show one]\n[camera hand]\n[show two]\nwords", 1),
        ("Look at `the one`.", 1),
        ("Look at `the one`, `bar 1 of the one`.", 1),
        ("Look at `the one`.\n[show one]", 0),
        ("meant cue: a quick cut\n[show one]\n[show two]", 0),
    ] {
        let text = format!("---\ntitle: T\n---\n{changes}~~~ say\n{say}\n~~~\n");
        let checked = fretleaf::check("t.md", text.as_bytes(), &MemoryWorld::default());
        let found = checked.findings.iter().filter(|finding| finding.rule.name == "cue");
        assert_eq!(found.count(), hints, "{say}");
    }
}

fn faults(text: &str) -> Vec<&'static str> {
    let checked = fretleaf::check("t.md", text.as_bytes(), &MemoryWorld::default());
    let faults = checked.findings.iter().filter(|finding| finding.weight == Weight::Fault);
    faults.map(|fault| fault.rule.name).collect()
}

/// The names of all demo lessons.
fn demos() -> Vec<String> {
    let folder = fs::read_dir(path("slow-ferry").parent().unwrap()).unwrap();
    let paths = folder.map(|entry| entry.unwrap().path());
    let lessons = paths.filter(|path| path.extension().is_some_and(|ending| ending == "md"));
    let mut names: Vec<String> =
        lessons.map(|path| path.file_stem().unwrap().to_string_lossy().into_owned()).collect();
    names.sort();
    assert!(names.len() >= MUSIC.len());
    names
}

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("lessons").join(format!("{name}.md"))
}

fn with_demo(name: &str, look: impl FnOnce(&Elaborated<'_>, &Script)) {
    with(&fs::read_to_string(path(name)).unwrap(), look);
}

fn with(text: &str, look: impl FnOnce(&Elaborated<'_>, &Script)) {
    let source = Source::new("lesson.md", text.as_bytes());
    let world = FolderWorld::new(path("slow-ferry").parent().unwrap()).with_lesson(source);
    let compiled = compile(&world, "lesson.md").unwrap();
    look(&compiled.lesson, &compiled.script());
}

/// A lesson whose cues show bars, one of a chord, and the whole.
const BARS: &str = "---\ntitle: T\nkey: A major\n---\n~~~ changes verse\n|: A / / / | / / D / :|x3 E | F#m |\n~~~\n\n~~~ riff hook over verse\ncount   1   &   2   &   3   &   4   &   |1   &   2   &   3   &   4   &   |1   2   3   (4) |\nB       --------2---------------2-------|------------2-------------------|----------------|\nG       ----2-------2---4h--6-------2---|----2-------2-------2-------7--b|9---------------|\nA       0---------------0---------------|--------------------------------|----0-----------|\n~~~\n";

#[test]
fn a_cue_that_names_bars_shows_just_those() {
    for (cue, told, untold) in [
        ("show hook", vec!["Bar 1", "Bar 2", "Bar 3"], vec![]),
        ("show bar 2 of hook", vec!["Bar 2"], vec!["Bar 1", "Bar 3"]),
        ("show bars 2 – 2 of The hook", vec!["Bar 2"], vec!["Bar 1", "Bar 3"]),
        ("show bars 2 of hook", vec!["Bar 2"], vec!["Bar 1", "Bar 3"]),
        ("show bars 1 to 2 of the hook", vec!["Bar 1", "Bar 2"], vec!["Bar 3"]),
        ("show bar 3 of hook", vec!["Bar 3", "fret 7", "fret 9"], vec!["Bar 1", "Bar 2"]),
        ("show bar 2 of verse", vec!["bar 2", "A", "D"], vec!["bar 1", "bar 3", "F"]),
    ] {
        let text = format!("{BARS}~~~ say\n[{cue}]\nWords.\n~~~\n");
        with(&text, |lesson, script| {
            let fonts = Fonts::new();
            let look = Template::load("handout", |_| None).unwrap().figure;
            let desk = Desk {
                lang: fretleaf::words::Lang::English,
                fonts: &fonts,
                look: &look,
                width: page::measure(Paper::A4),
            };
            let beside = figures::beside(lesson, script, &desk);
            let words = &beside.get(&0).unwrap().words;
            assert!(told.iter().all(|bar| words.contains(bar)), "{cue}: {words}");
            assert!(!untold.iter().any(|bar| words.contains(bar)), "{cue}: {words}");
        });
    }
}

#[test]
fn bars_that_are_tied_over_begin_with_no_rest() {
    let riff = "---\ntitle: T\n---\n~~~ riff hook\ncount   1   2   3   4   |1   2   3   4   |\nG       2-----------2---|----2-----------|\n~~~\n";
    let lesson = format!("{riff}~~~ say\n[show hook]\nOne.\n[show bar 2 of hook]\nTwo.\n~~~\n");
    with(&lesson, |lesson, _| {
        let hook = &lesson.blocks[0].as_a::<Tab>().unwrap().riff;
        let excerpt = hook.excerpt((2, 2)).unwrap();
        assert_eq!(excerpt.held_over, fretleaf::theory::Ticks(960), "one beat sounds on");
        assert_eq!(hook.excerpt((1, 1)).unwrap().held_over, fretleaf::theory::Ticks::ZERO);
        assert!(hook.excerpt((3, 4)).is_none());
    });
}

#[test]
fn what_now_says_holds_for_what_is_played() {
    let text = "---\ntitle: T\ntempo: 60\n---\n~~~ changes one\n| A |\n~~~\n~~~ now\ntempo: 120\n~~~\n~~~ changes two\n| A |\n~~~\n~~~ say\n[play one]\n[play two]\n~~~\n";
    with(text, |_, script| {
        let takes: Vec<u64> = script.items.iter().map(|item| item.takes.as_secs()).collect();
        assert_eq!(takes, [4, 2]);
    });
}

/// Runs `script` on a lesson that says something, in a folder; what it ends with.
fn run_script(folder: &Path, say: &str, arguments: &[&str]) -> Option<i32> {
    let text = format!("{BARS}~~~ say\n{say}\n~~~\n");
    fs::write(folder.join("a.md"), text).unwrap();
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_fretleaf"));
    let command = command.args(["script", "a.md"]).args(arguments).current_dir(folder);
    command.output().unwrap().status.code()
}

#[test]
fn screen_figures_of_earlier_runs_are_cleared_and_nothing_else() {
    let folder = own_folder("script-files");
    let run = |say: &str, arguments: &[&str]| run_script(&folder, say, arguments);
    let figures = || {
        let entries = fs::read_dir(folder.join("a-figures")).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    };
    let say = "[show hook]\nOne.\n[show bar 1 of hook]\nTwo.";
    assert_eq!(run(say, &["--figures", "--ink", "light"]), Some(0));
    // A drawing of the teacher's that is called and looks like one of ours.
    for ending in [".svg", "-1920x1080.png", "-3840x2160.png"] {
        let ours = folder.join(format!("a-figures/hook{ending}"));
        fs::copy(ours, folder.join(format!("a-figures/photo{ending}"))).unwrap();
    }
    assert_eq!(figures().len(), 6 + 3 + 1);
    let list = folder.join("a-figures/figures.txt");
    let hostile = fs::read_to_string(&list).unwrap() + "../a.md\n..\nphoto.svg/../../a.md\n";
    fs::write(&list, hostile).unwrap();
    // What a fault hides stays until the lesson is mended.
    assert_eq!(run("[show vrese]\nOne.", &["--figures", "--draft"]), Some(1));
    assert_eq!(figures().len(), 6 + 3 + 1);
    assert_eq!(run("[show verse]\nOne.", &["--figures"]), Some(0));
    let kept = [
        "figures.txt",
        "photo-1920x1080.png",
        "photo-3840x2160.png",
        "photo.svg",
        "verse-1920x1080.png",
        "verse-3840x2160.png",
        "verse.svg",
    ];
    assert_eq!(figures(), kept);
    assert!(folder.join("a.md").exists());
    let listed = fs::read_to_string(&list).unwrap();
    assert!(listed.lines().skip(1).eq(kept[4..].iter().copied()), "{listed}");
    // A list that is another's.
    fs::write(&list, "my own notes").unwrap();
    assert_eq!(run("[show hook]\nOne.", &["--figures"]), Some(2));
    assert_eq!(figures(), kept);
}

#[test]
fn a_lesson_with_faults_has_a_script_only_as_a_draft() {
    let folder = own_folder("script-draft");
    let run = |say: &str, arguments: &[&str]| run_script(&folder, say, arguments);
    let faulty = "[show nothing-known]\nHear that `C is the third of A`.";
    assert_eq!(run(faulty, &[]), Some(1));
    assert!(!folder.join("a-script.pdf").exists());
    assert_eq!(run(faulty, &["--draft"]), Some(1));
    assert!(fs::read(folder.join("a-script.pdf")).unwrap().starts_with(b"%PDF-"));
    let written = fs::read_to_string(folder.join("a-script.txt")).unwrap();
    assert!(
        written.contains("(!) [show nothing-known]") && written.contains("(!) Hear"),
        "{written}"
    );
}
