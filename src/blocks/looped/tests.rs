use super::*;
use crate::blocks::figure::{DotLabel, Look, RestingParts};
use crate::blocks::{self, Block};
use crate::findings::{Finding, Findings, Source, Weight};
use crate::ink::{Fonts, Item, Pt, pt};
use crate::lesson;
use crate::lesson::world::MemoryWorld;
use crate::words::Lang;

const SOLO: &str = "~~~ changes solo\n| A | D | E | A |\n~~~\n\n";

/// What becomes of a loop behind the changes `solo`, four bars at 60, and what was found.
fn looped(fence: &str, line: &str) -> (Option<Loop>, Vec<Finding>) {
    let text = format!("---\ntitle: Loops\ntempo: 60\n---\n{SOLO}{fence}\n{line}\n~~~\n");
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let blocks = blocks::read(&lesson).finish(&lesson, &mut findings);
    (blocks.last().and_then(Block::as_a::<Loop>).cloned(), findings.sorted())
}

fn sound(line: &str) -> Loop {
    let (read, findings) = looped("~~~ loop jam", line);
    assert!(findings.is_empty(), "{line}: {findings:?}");
    read.unwrap()
}

#[test]
fn a_loop_says_what_how_often_and_at_which_tempos() {
    let whole = "the solo 8 times at 70, then 80 then dotted 90, no click, strummed, with a bass";
    let read = sound(whole);
    let rounds: Vec<String> = read
        .rounds
        .iter()
        .map(|round| format!("{} {}", round.times, round.tempo.printed()))
        .collect();
    assert_eq!(rounds, ["8 ♩ = 70", "8 ♩ = 80", "8 ♩. = 90"]);
    assert!(!read.click && read.count_in && read.bass);
    assert_eq!(read.chords, Backing::Strummed);
}

#[test]
fn a_loop_goes_once_at_the_tempo_of_its_block_with_click_and_count_in() {
    let read = sound("solo");
    assert_eq!(read.rounds, [Round { tempo: Tempo { number: 60, dotted: false }, times: 1 }]);
    assert!(read.click && read.count_in && !read.bass);
    assert_eq!(read.chords, Backing::Held);
}

#[test]
fn a_loop_sounds_for_its_rounds_and_their_count_ins() {
    assert_eq!(sound("solo twice").sounds_for(None).as_secs(), 2 * 16 + 4);
    assert_eq!(sound("solo twice, no count-in").sounds_for(None).as_secs(), 2 * 16);
    assert_eq!(sound("solo at 60, then 120").sounds_for(None).as_secs(), 16 + 4 + 8 + 2);
    let ladder = sound("solo at 60, then 120, no count-in");
    assert_eq!(ladder.sounds_for(None).as_secs(), 16 + 8);
    assert_eq!(ladder.sounds_for(Tempo::parse("120")).as_secs(), 8 + 8);
}

#[test]
fn what_is_wrong_in_a_loop_is_told() {
    for (line, message) in [
        ("", "this loop names nothing to practise"),
        ("sola 8 times", "no block to play is called `sola`"),
        ("solo at 500", "`500` is no tempo"),
        ("solo 0 times", "`0 times` is no number of times"),
        ("solo 8 times softly", "`softly` is no phrase of a `loop` block"),
        ("solo, without lead", "`solo` has no part called `lead`"),
        ("solo 500 times", "this would sound for 133 minutes; a loop stays below 60"),
        ("jam twice", "`jam` has no bars in time, so it can't go round"),
    ] {
        let (_, findings) = looped("~~~ loop jam", line);
        let messages: Vec<&str> = findings.iter().map(|one| one.message.as_str()).collect();
        assert_eq!(messages, [message], "{line}");
    }
}

#[test]
fn phrases_may_stand_in_the_fence_line() {
    let (read, findings) = looped("~~~ loop jam, strummed", "solo twice");
    assert!(findings.is_empty(), "{findings:?}");
    assert_eq!(read.unwrap().chords, Backing::Strummed);
}

#[test]
fn a_loop_has_as_many_tempos_as_a_page_has_room_for() {
    let tempos = vec!["at 60"; 41].join(" ");
    let (read, findings) = looped("~~~ loop jam", &format!("solo {tempos}"));
    assert_eq!(findings.first().unwrap().message, "a loop has at most 40 tempos");
    assert_eq!(read.unwrap().rounds.len(), 40);
}

/// The practice line in a column: its figure, and its words and tempos with where they begin.
fn practice_line(practised: &Loop, width: Pt) -> (Figure, Vec<(Pt, String)>) {
    let fonts = Fonts::new();
    let look = Look {
        string_gap: pt(7.0),
        fret_size: pt(8.5),
        symbol_size: pt(10.5),
        small_size: pt(7.5),
        sung_size: pt(11.0),
        box_gap: pt(9.0),
        label: DotLabel::Degrees,
        resting_parts: RestingParts::Shown,
    };
    let figure =
        figure::draw(practised, &Desk { lang: Lang::English, fonts: &fonts, look: &look, width });
    let texts = words_of(&figure.strips[0].items);
    (figure, texts)
}

/// The words of items, those of groups that aren't moved among them.
fn words_of(items: &[Item]) -> Vec<(Pt, String)> {
    let words = items.iter().flat_map(|item| match item {
        Item::Text(at, text) => vec![(at.x, text.characters())],
        Item::Group(group) => words_of(&group.items),
        _ => Vec::new(),
    });
    words.collect()
}

#[test]
fn a_practice_line_is_parted_behind_a_phrase() {
    let practised = sound("solo 8 times at 70, strummed, with a bass");
    for (width, parted) in [
        (400.0, vec!["To practise: solo, 8 times, chords strummed, with a bass"]),
        (160.0, vec!["To practise: solo, 8 times,", "chords strummed, with a bass"]),
        (75.0, vec!["To practise:", "solo,", "8 times,", "chords", "strummed,", "with a bass"]),
    ] {
        let (_, mut texts) = practice_line(&practised, pt(width));
        texts.pop();
        let texts: Vec<String> = texts.into_iter().map(|(_, words)| words).collect();
        assert_eq!(texts, parted, "{width}");
    }
}

#[test]
fn boxes_stand_beneath_each_other_in_even_rows() {
    let practised = sound("solo at 60, then 70, then 80, then 90, then 100, then 110, then 120");
    let (_, texts) = practice_line(&practised, pt(330.0));
    let places: Vec<Pt> = texts.iter().skip(1).map(|(x, _)| *x).collect();
    assert_eq!(places.len(), 7);
    assert_eq!(places[..3], places[4..], "four above three");
    assert!(places[2] < places[3]);
}

#[test]
fn a_practice_line_can_be_marked() {
    let (read, findings) = looped("~~~ loop jam", "solo twice, softly,\nstrummed");
    let (figure, _) = practice_line(&read.unwrap(), pt(330.0));
    let whole = figure.elements[0];
    let fault = findings[0].span;
    assert!(whole.span.start < fault.start && fault.end < whole.span.end);
    assert_eq!((whole.left, whole.right), (Pt::ZERO, figure.strips[0].width));
}

/// Two parts without chords, and a loop behind them.
const PARTS: &str = "~~~ riff high\ncount 1  |\nnotes E5 |\n~~~\n~~~ riff low\ncount 1  |\nnotes C3 |\n~~~\n\
                     ~~~ together duet\nlead: high\nBass line: low\n~~~\n~~~ loop jam";

#[test]
fn a_part_of_several_words_is_left_out() {
    for line in ["duet, without the bass  line", "duet twice without Bass Line at 70, strummed"] {
        let (read, findings) = looped(PARTS, line);
        assert!(findings.iter().all(|one| one.weight < Weight::Doubt), "{line}: {findings:?}");
        assert_eq!(read.unwrap().without, ["Bass line"], "{line}");
    }
}

#[test]
fn a_loop_of_which_nothing_is_heard_is_refused() {
    for (line, message) in [
        (
            "duet, without lead, without bass line",
            "this loop leaves out all parts of `duet`, so nothing is heard",
        ),
        ("duet, with a bass", "`duet` has no chords, so a bass has nothing to play"),
        ("low, with a bass", "`low` has no chords, so a bass has nothing to play"),
        ("duet, without bass", "`duet` has no part called `bass`"),
        ("solo 1000000 times", "`1000000 times` is no number of times"),
        ("solo at 5", "`5` is no tempo"),
        ("solo at 10000", "`10000` is no tempo"),
        ("jam", "`jam` has no bars in time, so it can't go round"),
    ] {
        let (_, findings) = looped(PARTS, line);
        let doubted = findings.iter().filter(|one| one.weight >= Weight::Doubt);
        let messages: Vec<&str> = doubted.map(|one| one.message.as_str()).collect();
        assert_eq!(messages, [message], "{line}");
    }
}
