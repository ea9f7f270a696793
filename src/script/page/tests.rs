//! The script's pages: what stays together on them, and in which type it stands.

use super::*;
use crate::blocks::figure::Desk;
use crate::findings::{Findings, Source};
use crate::ink;
use crate::lesson::world::MemoryWorld;
use crate::script;
use crate::words::Lang;
use crate::{blocks, checks, lesson};

/// The lines of a script's pages, each with its face and its height.
fn lines(body: &str) -> Vec<Vec<(Face, f32, String)>> {
    pages_of("One", body).iter().map(of_page).collect()
}

/// The words of a page at the words' edge, without clock, figures and foot.
fn of_page(drawing: &Drawing) -> Vec<(Face, f32, String)> {
    let mut found = Vec::new();
    for item in &drawing.items {
        let ink::Item::Group(group) = item else { continue };
        for item in &group.items {
            if let ink::Item::Text(at, text) = item
                && at.x == LEFT
                && let Some(run) = text.runs.first()
            {
                found.push((run.style.face, at.y.0, text.characters()));
            }
        }
    }
    found
}

fn said(words: &str) -> String {
    format!("~~~ say\n{words}\n~~~\n\n")
}

#[test]
fn cues_stand_in_small_capitals_and_speech_in_curved_quotes() {
    let pages = lines(
        "~~~ shape forms\nF#m7 2x222x\n~~~\n\n~~~ say\n[camera face]\nIt's a \"hook\", isn't it? `F#m7` is 'soft'.\n[show F#m7]\n~~~\n",
    );
    let all: Vec<(Face, &str)> =
        pages.iter().flatten().map(|(face, _, words)| (*face, words.as_str())).collect();
    let said: String =
        all.iter().filter(|(face, _)| *face == Face::Serif).map(|(_, w)| *w).collect();
    assert!(said.contains("It’s a “hook”, isn’t it?") && said.contains("‘soft’."), "{said}");
    let cues: Vec<&str> =
        all.iter().filter(|(face, _)| *face == Face::SmallCaps).map(|(_, words)| *words).collect();
    assert_eq!(cues, ["camera face", "show F♯m7"]);
}

#[test]
fn a_cue_calls_a_figure_by_its_number_and_caption() {
    let pages = lines(
        "~~~ changes form-a -- twelve bars\n| A | D |\n~~~\n\n~~~ say\n[play bar 1 of form-a twice]\nWords.\n~~~\n",
    );
    let cue = pages.iter().flatten().find(|(face, ..)| *face == Face::SmallCaps);
    assert_eq!(cue.unwrap().2, "play bar 1 of figure 1, twelve bars, twice");
}

/// All words of items, those of figures too.
fn written(items: &[ink::Item]) -> String {
    let of_item = |item: &ink::Item| match item {
        ink::Item::Text(_, text) => text.characters() + " ",
        ink::Item::Group(group) => written(&group.items),
        _ => String::new(),
    };
    items.iter().map(of_item).collect()
}

#[test]
fn what_signs_mean_is_said_once() {
    let block = |name: &str| {
        format!("~~~ voicings {name}\nG C : triads on strings 3 2 1, near fret 3\n~~~\n\n")
    };
    let say = said("[show one]\nWords.\n[show two]\nMore words.");
    let pages = pages_of("One", &format!("{}{}{say}", block("one"), block("two")));
    let all: String = pages.iter().map(|page| written(&page.items)).collect();
    assert_eq!(all.matches("A heavy line").count(), 1, "{all}");
}

#[test]
fn a_chord_that_is_said_has_its_raised_signs() {
    let passage = speech("play A7 now", &[(6..7, Look { raised: true, ..Look::default() })]);
    let fonts = Fonts::new();
    let lines = passage.shape(&fonts).lines(pt(300.0), LineEnds::Ragged, &fonts);
    let line = lines.into_iter().next().unwrap().into_text();
    let risen: Vec<String> = line
        .runs
        .iter()
        .filter(|run| run.style.rise > Pt::ZERO)
        .map(|run| run.word.characters())
        .collect();
    assert_eq!(risen.concat(), "7");
    assert_eq!(line.characters(), "play A7 now");
}

#[test]
fn no_speech_of_four_lines_is_parted_and_nothing_that_leads_to_it_is_alone() {
    let four = "word ".repeat(24);
    for more in 0..30 {
        // The place of the page's end is moved through all that can stand there.
        let fill: String = (0..more).map(|_| said("One line.")).collect();
        let body = format!(
            "{fill}\n## A heading\n\n~~~ say\n[camera hand]\n[tone clean]\nStart {four}\n~~~\n\n{}",
            said(&format!("Again {}", "word ".repeat(60)))
        );
        let pages = lines(&body);
        for page in pages.iter().take(pages.len() - 1) {
            let (face, _, words) = page.last().unwrap();
            assert_ne!(*face, Face::SmallCaps, "{more}: {words}");
            assert_ne!(*face, Face::SerifBold, "{more}: {words}");
        }
        let start =
            pages.iter().position(|page| page.iter().any(|line| line.2.starts_with("Start")));
        let page = &pages[start.unwrap()];
        let at = page.iter().position(|line| line.2.starts_with("Start")).unwrap();
        let four = page.get(at..at + 4).unwrap_or_default();
        assert!(four.len() == 4 && four.iter().all(|line| line.2.contains("word word")), "{more}");
        // Of the longer one no line is alone on either page.
        for page in &pages {
            let long = page.iter().filter(|line| line.2.contains("word word")).count();
            assert_ne!(long, 1, "{more}: {page:?}");
        }
    }
}

/// The pages of a script with a title, painted on A4.
fn pages_of(title: &str, body: &str) -> Vec<Drawing> {
    pages_on(Paper::A4, title, body)
}

fn pages_on(paper: Paper, title: &str, body: &str) -> Vec<Drawing> {
    let text = format!("---\ntitle: {title}\nkey: A major\n---\n\n{body}");
    let (source, mut found) = (Source::new("one.md", text.as_bytes()), Findings::default());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut found);
    let lesson = checks::elaborate(lesson, &mut found);
    let (fonts, template) = (Fonts::new(), Template::usual().unwrap());
    let script = script::of(&lesson);
    let desk =
        Desk { lang: Lang::English, fonts: &fonts, look: &template.figure, width: measure(paper) };
    let beside = script::figures::beside(&lesson, &script, &desk);
    let job = Job { figures: &beside, paper, faults: 0, fonts: &fonts };
    set(&script, &job).pages.into_iter().map(|page| page.drawing).collect()
}

/// The smallest plain type among items, and how far right words reach.
fn smallest(items: &[ink::Item], found: &mut Pt) {
    for item in items {
        match item {
            ink::Item::Text(_, text) => {
                let plain = text.runs.iter().filter(|run| run.style.rise == Pt::ZERO);
                *found = plain.fold(*found, |least, run| least.min(run.style.size));
            }
            ink::Item::Group(group) => smallest(&group.items, found),
            _ => {}
        }
    }
}

#[test]
fn no_type_of_a_figure_is_smaller_than_may_be_read() {
    let tab = "~~~ riff hook\nchord   A               |D               |\ncount   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |\nG       2-2-2-4-2-2-2-4-|2-2-2-4-2-2-2-4-|\n~~~\n\n";
    let lanes = "~~~ voicings high\nA D E A : triads on strings 3 2 1, near fret 3\n~~~\n\n";
    for (figure, name) in [(tab, "hook"), (lanes, "high")] {
        let say = format!("{figure}~~~ say\n[show {name}]\nWords.\n~~~\n");
        let pages = pages_of("A waltz for a bakery that is closed", &say);
        let mut least = pt(100.0);
        pages.iter().for_each(|page| smallest(&page.items, &mut least));
        // The letters of strings are the smallest that there are.
        assert!(least >= pt(7.5), "{name}: {least:?}");
    }
}

#[test]
fn a_heading_with_nothing_beneath_it_is_left_out() {
    let pages = lines(&format!(
        "# Part\n\n## One\n\nProse.\n\n## Two\n\n{}## Three\n\nProse.\n",
        said("Words.")
    ));
    let headings = pages.iter().flatten().filter(|line| line.0 == Face::SerifBold);
    let headings: Vec<&str> = headings.map(|line| line.2.as_str()).collect();
    assert_eq!(headings, ["Part", "Two"]);
}

#[test]
fn a_title_has_the_whole_width_and_is_balanced() {
    let title = |name: &str| {
        let text = format!("---\ntitle: {name}\n---\n\n{}", said("Words."));
        let (source, mut found) = (Source::new("one.md", text.as_bytes()), Findings::default());
        let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut found);
        let lesson = checks::elaborate(lesson, &mut found);
        let fonts = Fonts::new();
        let job = Job { figures: &Beside::new(), paper: Paper::A4, faults: 0, fonts: &fonts };
        let document = set(&script::of(&lesson), &job);
        let lines = of_page(&document.pages[0].drawing).into_iter();
        lines.take_while(|line| line.0 == Face::Serif).map(|line| line.2).collect::<Vec<_>>()
    };
    assert_eq!(title("Waltz for a Closed Bakery"), ["Waltz for a Closed Bakery"]);
    let long = title("Waltz for a Closed Bakery and Another");
    assert_eq!(long.len(), 2);
    assert!(long[1].len() > 12, "{long:?}");
}

#[test]
fn a_page_of_one_cue_and_two_lines_is_pulled_back() {
    let long = said(&"word ".repeat(24));
    let mut saved = 0;
    for more in 0..40 {
        let body = format!("{}{}", long.repeat(5), said("One line.").repeat(more));
        let pages = lines(&body);
        let last = pages.last().map_or(0, Vec::len);
        let (first, second) = (pages[0].len(), pages.len() == 2);
        saved += usize::from(pages.len() == 1 && first > 29);
        assert!(!second || last > 3, "{more}: {last} lines alone");
    }
    assert!(saved > 0);
}

#[test]
fn a_figure_has_the_whole_measure_of_its_sheet() {
    assert_eq!(measure(Paper::Letter), pt(612.0 - 92.0 - 38.0));
    assert_eq!(measure(Paper::A5), measure(Paper::A4));
}

#[test]
fn a_script_begins_with_what_a_player_has_to_know() {
    let text = "---\ntitle: T\nkey: E minor\ntempo: 75\ncapo: 2\n---\n~~~ changes form -- the form\n| Em | D |\n~~~\n~~~ say\n[play form slowly]\nSo.\n[play form at 80 slowly]\n~~~\n";
    let (source, mut found) = (Source::new("one.md", text.as_bytes()), Findings::default());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut found);
    let lesson = checks::elaborate(lesson, &mut found);
    let fonts = Fonts::new();
    let job = Job { figures: &Beside::new(), paper: Paper::A4, faults: 0, fonts: &fonts };
    let words: Vec<String> = of_page(&set(&script::of(&lesson), &job).pages[0].drawing)
        .into_iter()
        .map(|line| line.2)
        .collect();
    assert_eq!(words[1], "E minor · ♩ = 75 · capo 2");
    assert!(words.contains(&"play figure 1, the form, slowly, at 37.5".to_owned()), "{words:?}");
    assert!(words.contains(&"play figure 1, the form, at 80 slowly".to_owned()), "{words:?}");
}

#[test]
fn a_cue_has_the_whole_width_and_no_last_word_is_alone() {
    let cue = "[camera the fretting hand, close, from above, with the twelfth fret in the picture]";
    let pages = lines(&said(cue));
    let of_cue: Vec<&str> = pages[0].iter().map(|line| line.2.as_str()).collect();
    assert!(of_cue.iter().any(|line| line.ends_with("in the picture")), "{of_cue:?}");
    for more in 1..40 {
        let pages = lines(&said(&format!("Words {}end.", "and so on ".repeat(more))));
        let lines: Vec<&String> = pages[0].iter().map(|line| &line.2).collect();
        assert!(lines.iter().all(|line| *line != "end."), "{more}: {lines:?}");
    }
}

#[test]
fn a_figure_stays_with_the_words_behind_it() {
    let neck = "~~~ neck map\nnote G, frets 0 to 12\n~~~\n\n";
    for more in 0..30 {
        let fill = said("One line.").repeat(more);
        let pages = pages_of("One", &format!("{neck}{fill}{}", said("[show map]\nThe words.")));
        let texts: Vec<String> = pages.iter().map(|page| written(&page.items)).collect();
        let has = |text: &&String| text.contains("The words.");
        let page = texts.iter().find(has).unwrap();
        assert!(page.contains("show"), "{more}: {page}");
    }
}

#[test]
fn necks_and_long_changes_are_not_parted_beside_their_cues() {
    let neck = "~~~ neck map\nnote G, frets 0 to 12\n~~~";
    let changes = "~~~ changes map\n| A | D | E | A | D | A | E | A |\n~~~";
    for figure in [neck, changes] {
        let say = "~~~ say\n[show map]\nWords.\n~~~\n";
        let below = lines_of(&pages_of("One", &format!("{figure}\n\n{say}")), "Words.");
        // The figure stands between its cue and the words, over the whole measure.
        assert!(below > pt(190.0), "{figure}: {below:?}");
    }
}

/// How far down the first page words stand.
fn lines_of(pages: &[Drawing], words: &str) -> Pt {
    let all = of_page(&pages[0]);
    all.iter().find(|line| line.2 == words).map_or(Pt::ZERO, |line| pt(line.1))
}

/// How many pages the script of a demo lesson has.
fn pages_of_demo(name: &str) -> usize {
    let path = format!("{}/lessons/{name}.md", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let body = text.splitn(3, "---\n").nth(2).unwrap();
    pages_of("A lesson", body).len()
}

#[test]
fn no_page_is_turned_for_a_hole_that_a_wide_figure_left() {
    assert_eq!(pages_of_demo("wet-cement"), 3);
}

#[test]
fn what_ends_a_section_stays_with_it() {
    let mut alone = 0;
    for more in 0..40 {
        let body = format!(
            "{}~~~ say\nLast words.\n[pause 2 s]\n~~~\n\n## Next\n\n{}{}",
            said("One line.").repeat(more),
            said("The next words."),
            said(&"word ".repeat(24)).repeat(5)
        );
        let pages = lines(&body);
        let begins = |page: &Vec<(Face, f32, String)>| page[0].0 == Face::SmallCaps;
        alone += pages.iter().skip(1).filter(|page| begins(page)).count();
    }
    assert!(alone <= 2, "{alone} pages begin with what ended the one before");
}

#[test]
fn no_moment_is_told_twice_in_a_row() {
    let pages = pages_of(
        "One",
        &said(
            "[camera hand]\n[tone clean]\nNine words take more than three seconds to say.\n[camera face]\nMore.",
        ),
    );
    let mut told = Vec::new();
    for item in &pages[0].items {
        let ink::Item::Group(group) = item else { continue };
        for item in &group.items {
            if let ink::Item::Text(at, text) = item
                && at.x < LEFT
            {
                told.push(text.characters());
            }
        }
    }
    assert_eq!(told.len(), 2, "{told:?}");
}
