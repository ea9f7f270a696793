//! Captions by the rules that viewers read by: two lines at most, 42 characters a line, none of one
//! short word, 1 to 6 seconds each, none over music, all words in order.

#![allow(clippy::unwrap_used)]

use fretleaf::compile;
use fretleaf::findings::Source;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::script::{Script, What, captions};
use proptest::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A caption as the file has it.
#[derive(Debug)]
struct Caption {
    /// In milliseconds.
    from: u64,
    to: u64,
    lines: Vec<String>,
}

fn read(file: &str) -> Vec<Caption> {
    let mut blocks = file.trim_end().split("\n\n");
    assert_eq!(blocks.next(), Some("WEBVTT"));
    let caption = |block: &str| {
        let (times, lines) = block.split_once('\n').unwrap();
        let (from, to) = times.split_once(" --> ").unwrap();
        assert!(!lines.contains("-->") && !lines.contains('<'), "{lines}");
        let unescaped =
            |line: &str| line.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
        let lines = lines.lines().map(unescaped).collect();
        Caption { from: milliseconds(from), to: milliseconds(to), lines }
    };
    blocks.map(caption).collect()
}

/// Reads `00:01:02.345`.
fn milliseconds(time: &str) -> u64 {
    let parts: Vec<&str> = time.split([':', '.']).collect();
    let [hours, minutes, seconds, thousandths] = parts[..] else { panic!("{time}") };
    assert_eq!(parts.iter().map(|part| part.len()).collect::<Vec<_>>(), [2, 2, 2, 3], "{time}");
    let number = |text: &str| text.parse::<u64>().unwrap();
    ((number(hours) * 60 + number(minutes)) * 60 + number(seconds)) * 1000 + number(thousandths)
}

fn width(line: &str) -> usize {
    line.chars().count()
}

/// Whether a line is one short word.
fn is_short_word(line: &str) -> bool {
    let letters = line.chars().filter(|c| c.is_alphanumeric()).count();
    line.split_whitespace().count() == 1 && letters < 5
}

/// The rules that hold whatever is said.
fn hold(script: &Script, captions: &[Caption]) {
    for pair in captions.windows(2) {
        assert!(pair[0].to <= pair[1].from, "{pair:?}");
    }
    for caption in captions {
        let Caption { from, to, lines } = caption;
        assert!(from < to && to - from <= 6000, "{caption:?}");
        assert!((1..=2).contains(&lines.len()), "{caption:?}");
        assert!(lines.iter().all(|line| !line.is_empty() && width(line) <= 42), "{caption:?}");
        if let [one, two] = &lines[..]
            && (is_short_word(one) || is_short_word(two))
        {
            assert!(!has_better_break(&format!("{one} {two}")), "{caption:?}");
        }
        for item in &script.items {
            let is_music = matches!(&item.what, What::Cue(cue) if cue.words.starts_with("play"));
            let (begins, ends) = (item.at.as_millis(), (item.at + item.takes).as_millis());
            let apart = u128::from(*to) <= begins || ends <= u128::from(*from);
            assert!(!is_music || apart, "{caption:?} reaches into {item:?}");
        }
    }
    let shown: String = captions.iter().flat_map(|caption| &caption.lines).cloned().collect();
    let said = script.items.iter().filter_map(|item| match &item.what {
        What::Speech { words, .. } => Some(words.as_str()),
        _ => None,
    });
    let bare = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
    assert_eq!(bare(&shown), bare(&said.collect::<String>()));
}

/// Whether words can stand on two lines without one of a single short word.
fn has_better_break(words: &str) -> bool {
    words.match_indices(' ').any(|(at, _)| {
        let lines = [&words[..at], &words[at + 1..]];
        lines.iter().all(|line| width(line) <= 42 && !is_short_word(line))
    })
}

fn with<T>(text: &str, look: impl FnOnce(&Script) -> T) -> T {
    let lessons = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let world = FolderWorld::new(&lessons).with_lesson(Source::new("a.md", text.as_bytes()));
    look(&compile(&world, "a.md").unwrap().script())
}

fn said(pace: u32, say: &str) -> String {
    let changes = "~~~ changes verse\n| A |\n~~~\n";
    format!("---\ntitle: T\ntempo: 120\npace: {pace}\n---\n{changes}~~~ say\n{say}\n~~~\n")
}

/// The captions of what is said, each as its time in milliseconds and its lines.
fn captioned(pace: u32, say: &str) -> Vec<(u64, u64, String)> {
    let mut told = Vec::new();
    with(&said(pace, say), |script| {
        let captions = read(&captions::write(script));
        hold(script, &captions);
        told.extend(captions.into_iter().map(|it| (it.from, it.to, it.lines.join(" / "))));
    });
    told
}

#[test]
fn the_demos_are_captioned_by_the_rules() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let paths = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut count = 0;
    for path in paths.filter(|path| path.extension().is_some_and(|ending| ending == "md")) {
        with(&fs::read_to_string(&path).unwrap(), |script| {
            let captions = read(&captions::write(script));
            hold(script, &captions);
            for caption in &captions {
                assert!(caption.to - caption.from >= 1000, "{}: {caption:?}", path.display());
                let short = caption.lines.iter().any(|line| is_short_word(line));
                assert!(!short, "{}: {caption:?}", path.display());
            }
            count += captions.len();
        });
    }
    assert!(count > 100, "{count}");
}

#[test]
fn captions_end_with_sentences_then_clauses() {
    let say = "Good. Now you have the first half of it in your hands. When the bass note comes back, \
               leave the little finger where it is, since the next chord needs it.";
    let lines: Vec<String> = captioned(150, say).into_iter().map(|(.., lines)| lines).collect();
    assert_eq!(
        lines,
        [
            "Good. Now you have the first / half of it in your hands.",
            "When the bass note comes back,",
            "leave the little finger where it is, / since the next chord needs it.",
        ]
    );
}

#[test]
fn speech_goes_on_over_cues_that_take_no_time() {
    let say = "Right.\n[show verse]\nThis is the whole of it.\n[camera close]\nNow.";
    assert_eq!(captioned(150, say), [(0, 3200, "Right. This is the whole of it. Now.".to_owned())]);
}

#[test]
fn a_lone_word_borrows_from_silence_and_never_from_music() {
    for (say, from, to) in [
        ("[play verse]\nNow.\n[pause 3 s]\n[play verse]", 2000, 3000),
        ("[play verse]\nNow.\n[pause 0.2 s]\n[play verse]", 2000, 2600),
        ("[play verse]\nNow.\n[show verse]\n[pause 3 s]", 2000, 2400),
        ("[pause 3 s]\nNow.\n[play verse]", 2400, 3400),
        ("[play verse]\nNow.\n[play verse]", 2000, 2400),
    ] {
        assert_eq!(captioned(150, say), [(from, to, "Now.".to_owned())], "{say}");
    }
    let shared = captioned(150, "Go.\n[pause 1 s]\nNow.\n[play verse]");
    let times: Vec<(u64, u64)> = shared.iter().map(|(from, to, _)| (*from, *to)).collect();
    assert_eq!(times, [(0, 1000), (1000, 1800)], "two share a pause");
}

#[test]
fn a_word_wider_than_a_line_is_broken() {
    let word = "wide".repeat(30);
    let captions = captioned(60, &format!("Here is {word} and more."));
    assert!(captions.iter().any(|(.., lines)| lines.contains(&word[..42])), "{captions:?}");
}

fn word() -> impl Strategy<Value = String> {
    ("[a-z♯&<]{1,12}", prop::sample::select(vec!["", "", "", "", "", ",", ";", ".", "!", "."]))
        .prop_map(|(word, sign)| format!("x{word}{sign}"))
}

fn part() -> impl Strategy<Value = String> {
    let cue =
        prop::sample::select(vec!["[play verse]", "[pause 0.4 s]", "[show verse]", "[camera]"]);
    prop_oneof![
        4 => prop::collection::vec(word(), 1..60).prop_map(|words| words.join(" ")),
        2 => cue.prop_map(str::to_owned),
    ]
}

proptest! {
    #[test]
    fn captions_keep_the_rules(pace in 60_u32..=240, parts in prop::collection::vec(part(), 1..8)) {
        with(&said(pace, &parts.join("\n\n")), |script| {
            hold(script, &read(&captions::write(script)));
        });
    }

    #[test]
    fn a_speech_of_some_length_has_no_caption_under_a_second(
        pace in 60_u32..=200,
        words in prop::collection::vec(word(), 8..200),
    ) {
        with(&said(pace, &words.join(" ")), |script| {
            for caption in read(&captions::write(script)) {
                prop_assert!(caption.to - caption.from >= 1000, "{caption:?}");
                prop_assert!(!caption.lines.iter().any(|line| is_short_word(line)), "{caption:?}");
            }
            Ok(())
        })?;
    }

    #[test]
    fn whatever_is_said_the_captions_are_in_order(text in "(\\PC| |\n){0,400}") {
        with(&said(150, &text), |script| {
            let captions = read(&captions::write(script));
            for pair in captions.windows(2) {
                prop_assert!(pair[0].to <= pair[1].from, "{pair:?}");
            }
            for caption in &captions {
                prop_assert!(caption.to - caption.from <= 6000, "{caption:?}");
                prop_assert!(caption.lines.iter().all(|line| width(line) <= 42), "{caption:?}");
            }
            prop_assert!(captions.last().is_none_or(|last| Duration::from_millis(last.to) <= script.runs));
            Ok(())
        })?;
    }
}
