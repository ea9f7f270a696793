//! Fence lines, what holds in blocks and where they end.

use super::*;
use crate::findings::source::{Line, Span};
use crate::lesson::exercise::Exercise;

/// A block's fence line taken apart: name, phrases, caption.
fn head(text: &str) -> String {
    with_lesson(&format!("~~~ {text}\n~~~\n"), |lesson| {
        let fence = &lesson.fences[0];
        let place = |span: Span, value: &str| {
            assert_eq!(lesson.source.slice(span), value, "{text}");
            value.to_owned()
        };
        let name =
            fence.name.as_ref().map(|name| place(name.span, &name.value)).unwrap_or_default();
        let phrase = |phrase: &Line<'_>| place(phrase.whole(), phrase.text);
        let phrases: Vec<String> = fence.phrases.iter().map(phrase).collect();
        let caption = fence.caption.as_deref().unwrap_or("none");
        let printed = if fence.printed { "" } else { " unprinted" };
        let own = fence.own_keys.join(" ");
        let exercise = match &fence.exercise {
            Exercise::None => String::new(),
            Exercise::Blank { answered: true, .. } => " answered".to_owned(),
            Exercise::Blank { .. } => " blank".to_owned(),
            Exercise::AnswerTo(name) => format!(" to {}", place(name.span, &name.value)),
        };
        format!("{name}; {}; {caption}; {own}{printed}{exercise}", phrases.join(", "))
    })
}

#[test]
fn fence_lines_are_taken_apart() {
    for (text, parts) in [
        ("riff", "; ; none; "),
        ("riff hook", "hook; ; none; "),
        ("riff hook over verse, pickup", "hook; over verse, pickup; none; "),
        ("riff hook, over verse , pickup,", "hook; over verse, pickup; none; "),
        ("riff over verse", "; over verse; none; "),
        ("riff Pickup, over x", "; Pickup, over x; none; "),
        ("riff, pickup", "; pickup; none; "),
        (
            "neck verse_1-b label notes -- The *box*, once",
            "verse_1-b; label notes; The *box*, once; ",
        ),
        ("neck – moved up", "; ; moved up; "),
        ("neck — moved up", "; ; moved up; "),
        ("neck a--b", "a--b; ; none; "),
        ("neck box, frets 5 – 8 – up here", "box; frets 5 – 8; up here; "),
        ("neck box, near fret 5 -- 3 ways", "box; near fret 5; 3 ways; "),
        ("riff coda, meter 3/4, Key: E major, not printed", "coda; ; none; meter key unprinted"),
        ("riff capo 2, not  Printed -- c", "; ; c; capo unprinted"),
        ("riff not printed", "; ; none;  unprinted"),
        ("RIFF hook --", "hook; ; none; "),
        ("riff hook, caption \"The hook\"", "hook; ; The hook; "),
        ("riff hook caption The hook", "hook; ; The hook; "),
        ("riff hook Title: The hook, over verse", "hook; over verse; The hook; "),
        ("riff hook, title “Slow, -- slower”, over verse", "hook; over verse; Slow, -- slower; "),
        ("riff, caption 'The ferry's hook', pickup", "; pickup; The ferry's hook; "),
        ("riff over verse, caption The \"slow\" one", "; over verse; The \"slow\" one; "),
        ("riff hook, caption \"open", "hook; ; \"open; "),
        (r#"riff hook, caption "All \"of\", it", pickup"#, r#"hook; pickup; All "of", it; "#),
        (r"riff hook -- the ferry\'s", "hook; ; the ferry's; "),
        ("riff hook --", "hook; ; none; "),
        ("riff hook, caption \"\", pickup", "hook; pickup; none; "),
        ("riff hook over verse, captions", "hook; over verse, captions; none; "),
        ("riff caption", "caption; ; none; "),
        ("riff title, caption x", "title; ; x; "),
        ("riff answer, over verse", "answer; over verse; none; "),
        ("shape forms, blank", "forms; ; none;  blank"),
        ("shape forms blank -- Find them", "forms; ; Find them;  blank"),
        ("shape, Blank, over x, answered", "; over x; none;  answered"),
        ("shape blank", "blank; ; none; "),
        ("shape blank, blank", "blank; ; none;  blank"),
        ("shape answer to the forms", "; ; none;  unprinted to forms"),
        ("shape own, Answer To forms -- So", "own; ; So;  unprinted to forms"),
        ("shape own, answer to my forms", "own; ; none; "),
        ("shape own, blank frames", "own; blank frames; none; "),
        ("riff instrument nylon", "; ; none; instrument"),
    ] {
        assert_eq!(head(text), parts, "{text}");
    }
}

#[test]
fn a_block_has_one_caption() {
    for (head, message) in [
        ("riff hook, caption A -- B", "a second caption"),
        ("riff hook, caption A, title B", "a second caption"),
        ("riff hook, caption", "this caption has no words"),
    ] {
        let source = source(&format!("~~~ {head}\n~~~\n"));
        let mut findings = Findings::default();
        read(&source, &folder(), &mut findings);
        let found: Vec<String> = findings.sorted().into_iter().map(|one| one.message).collect();
        assert!(found.iter().any(|found| found == message), "{head}: {found:?}");
    }
}

#[test]
fn an_exercise_that_contradicts_itself_is_a_fault() {
    for (head, message) in [
        ("riff hook, answered", "`answered` stands without `blank`"),
        ("riff hook, answer to x, answered", "`answered` stands without `blank`"),
        ("riff hook, answer to", "this answers no figure"),
        ("riff hook, blank, answer to x", "not both"),
        ("riff hook, answer to x, answer to y", "not both"),
        ("riff hook, not printed, blank", "can't be kept off the paper"),
        ("riff hook, answer to x, not printed", "can't be kept off the paper"),
    ] {
        let found = told(&format!("---\ntitle: T\n---\n\n~~~ {head}\n~~~\n"));
        let [only] = found.as_slice() else { panic!("{head}: {found:?}") };
        assert!(only.contains(message) && only.starts_with("5:"), "{head}: {found:?}");
    }
    assert_eq!(told("---\ntitle: T\n---\n\n~~~ riff hook, blank, blank, answered\n~~~\n"), [""; 0]);
}

#[test]
fn a_name_that_would_make_an_exercise_behind_a_comma_is_hinted_at() {
    let hints = |head: &str| {
        let found = told(&format!("---\ntitle: T\n---\n\n~~~ {head}\n~~~\n"));
        found.iter().filter(|one| one.contains("phrase-as-name")).count()
    };
    for head in ["riff blank", "shape Blank -- Find them", "riff answered", "riff blank, over x"] {
        assert_eq!(hints(head), 1, "{head}");
    }
    for head in ["riff, blank", "riff hook, blank", "riff blank, blank", "riff blanks"] {
        assert_eq!(hints(head), 0, "{head}");
    }
}

#[test]
fn a_further_phrase_stands_behind_the_others() {
    for (head, with) in [
        ("riff", "riff, pickup"),
        ("riff hook", "riff hook, pickup"),
        ("riff hook over verse, capo 2 -- slow", "riff hook over verse, capo 2, pickup -- slow"),
        ("riff hook caption \"The hook\"", "riff hook caption \"The hook\", pickup"),
        ("riff -- The hook", "riff, pickup -- The hook"),
    ] {
        let text = format!("~~~ {head}\n~~~\n");
        with_lesson(&text, |lesson| {
            let end = lesson.fences[0].phrases_end;
            let text = &lesson.source.text;
            let longer = format!("{}, pickup{}", &text[..end], &text[end..]);
            assert!(longer.contains(&format!("~~~ {with}\n")), "{longer}");
        });
    }
}

#[test]
fn own_keys_hold_for_their_block_alone() {
    with_lesson("~~~ riff a, meter 3/4\n~~~\n\n~~~ riff b\n~~~\n", |lesson| {
        let meters: Vec<_> =
            lesson.fences.iter().map(|fence| fence.setting.meter.to_string()).collect();
        assert_eq!(meters, ["3/4", "4/4"]);
        assert!(lesson.fences.iter().all(|fence| fence.announced.is_empty()));
    });
}

#[test]
fn any_scale_is_a_key_wherever_a_key_stands() {
    let text = "~~~ now\nkey: E Phrygian dominant\n~~~\n\n~~~ riff a\n~~~\n\n~~~ riff b, key C half-whole diminished, pickup\n~~~\n\n~~~ now\nkey: A minor pentatonic\n~~~\n\n~~~ riff c\n~~~\n\n~~~ now key F#m\n~~~\n\n~~~ riff d\n~~~\n";
    with_lesson(text, |lesson| {
        let keys: Vec<String> = lesson
            .fences
            .iter()
            .map(|fence| fence.setting.key.map_or("none".into(), |key| key.to_string()))
            .collect();
        let wanted =
            ["E phrygian dominant", "C half-whole diminished", "A minor pentatonic", "F# minor"];
        assert_eq!(keys, wanted);
        assert_eq!(lesson.fences[2].announced, ["Key: A minor pentatonic"]);
    });
    for wrong in ["E phrygian subdominant", "A7", "A dominant"] {
        let told = told(&format!("---\ntitle: One\nkey: {wrong}\n---\n"));
        assert_eq!(told, [format!("3:6-3:{} header-value: `{wrong}` is no key", 6 + wrong.len())]);
    }
}

#[test]
fn now_holds_from_there_on_and_is_announced_once() {
    let text = "`A`\n\n~~~ now\nkey: E\n# a comment\n\ntempo: 92\n~~~\n\n`B`\n\n~~~ say\n`C` ``D`` `` E ` F`` ` G `\n~~~\n\n~~~ now tempo 100\ncapo: 2\n~~~\n~~~ riff\n~~~\n~~~ riff\n~~~\n";
    with_lesson(text, |lesson| {
        assert_eq!(nodes(lesson, &lesson.nodes), "p(`A`) p(`B`) say: riff: riff:");
        let keys: Vec<_> = lesson
            .phrases
            .iter()
            .map(|phrase| {
                let text = &phrase.text;
                assert_eq!(lesson.source.slice(text.span), text.value);
                let key = phrase.setting.key.map_or("none".into(), |key| key.to_string());
                format!("{} in {key}", text.value)
            })
            .collect();
        assert_eq!(keys, ["A in none", "B in E major", "C in E major", "G in E major"]);
        let announced: Vec<_> =
            lesson.fences.iter().map(|fence| fence.announced.join(", ")).collect();
        assert_eq!(announced, ["", "Key: E major, Capo: fret 2", ""]);
    });
}

#[test]
fn blocks_are_found_by_name_in_any_case() {
    with_lesson("~~~ riff\n~~~\n~~~ riff Hook-1\n~~~\n~~~ riff hook-1\n~~~\n", |lesson| {
        assert_eq!(lesson.block("HOOK-1"), Some(1));
        assert_eq!(lesson.block("verse"), None);
    });
}

/// The lines of the first block, each checked against its place.
fn block_lines(text: &str) -> Vec<String> {
    with_lesson(text, |lesson| {
        let check = |line: &crate::findings::source::Line| {
            assert_eq!(lesson.source.slice(line.whole()), line.text);
            line.text.to_string()
        };
        lesson.fences[0].lines.iter().map(check).collect()
    })
}

#[test]
fn lines_of_blocks_keep_their_places() {
    for (text, lines) in [
        ("~~~ riff\ne  -1-\n\n  B  -2-  \n~~~\n", &["e  -1-", "", "  B  -2-  "][..]),
        ("~~~ riff\r\ne 1\r\n\r\nB 2\r\n~~~\r\n", &["e 1", "", "B 2"]),
        ("> ~~~ riff\n> e 1\n>\n>  B 2\n> ~~~\n", &["e 1", "", " B 2"]),
        ("> > ~~~ riff\r\n> > e 1\r\n> >\r\n> > B 2\r\n", &["e 1", "", "B 2"]),
        ("- ~~~ riff\n  e 1\n\n   B 2\n  ~~~\n", &["e 1", "", " B 2"]),
        ("- ~~~ riff\n\te 1\n  B 2\n", &["\te 1", "B 2"]),
        ("1. > ~~~ riff\n   > e 1\n   > ~~~\n", &["e 1"]),
        ("  ~~~ riff\n  e 1\n B 2\n   G 3\n  ~~~\n", &["e 1", "B 2", " G 3"]),
        ("~~~ riff\n# comment\ne 1\n#\n#not\n", &["e 1", "#not"]),
        ("~~~ riff\n# a\n\nmeant wrong-note: yes\ne 1\n", &["", "e 1"]),
        ("~~~ riff\nmeant  *  |  *:|\n", &["meant  *  |  *:|"]),
        ("~~~ riff\ne 1", &["e 1"]),
        ("~~~ riff", &[]),
        ("~~~ riff\n\u{0}&amp;\\* ü\n", &["\u{0}&amp;\\* ü"]),
    ] {
        assert_eq!(block_lines(text), lines, "{text:?}");
    }
}

#[test]
fn meant_lines_name_rules() {
    with_lesson("~~~ riff\n Meant wrong-note,  Jump : on purpose: yes\n", |lesson| {
        let meant = lesson.fences[0].meant.as_ref().unwrap();
        assert_eq!(meant.value, ["wrong-note", "jump"]);
        assert_eq!(lesson.source.slice(meant.span), "Meant wrong-note,  Jump : on purpose: yes");
    });
}

#[test]
fn near_kinds_are_told_and_others_not() {
    for (word, near) in [
        ("rif", true),
        ("Riffs", true),
        ("rfif", true),
        ("rufs", false),
        ("nwo", true),
        ("nice", false),
        ("shppe", true),
        ("sapes", true),
        ("cagnes", true),
        ("chng", false),
        ("voicing", true),
        ("text", false),
        ("rust", false),
        ("python", false),
    ] {
        let found = told(&titled(&format!("~~~ {word}\n~~~\n")));
        assert_eq!(!found.is_empty(), near, "{word}: {found:?}");
    }
    for (row, told_so) in [
        ("count   1 & 2 &", true),
        ("  Count |1 2", true),
        ("count (1)", true),
        ("count to four", false),
        ("counts 1 2", false),
        ("account 1 2", false),
        ("count: 1", false),
    ] {
        let found = told(&titled(&format!("~~~ text\nx\n{row}\n~~~\n")));
        assert_eq!(!found.is_empty(), told_so, "{row}: {found:?}");
    }
}
