//! The page to read from: nothing of a lesson's text is markup or code in it, and music is there as it is
//! said, which captions may have too. Its movement is watched in a browser: `tests/reading-view.mjs`.

#![allow(clippy::unwrap_used)]

use fretleaf::compile;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::script::{Script, captions, reading};
use serde_json::Value;

fn with<T>(text: &str, look: impl FnOnce(&Script) -> T) -> T {
    let world = MemoryWorld::default().with_lesson("a.md", text);
    look(&compile(&world, "a.md").unwrap().script())
}

/// What the page carries.
fn carried(page: &str) -> Value {
    let (_, data) = page.split_once("id=\"reading-data\">").unwrap();
    serde_json::from_str(data.split_once("</script>").unwrap().0).unwrap()
}

const SONG: &str = "---\ntitle: T\nkey: A major\npace: 120\nlength: 1:30\n---\n## Hook\n~~~ say\nSee `C# is the third of A`.\n[pause 2 s]\n[play it]\nThen `F#m7 is vi7`, **so** there.\n~~~\n";

#[test]
fn the_page_carries_words_times_and_what_is_said() {
    let data = carried(&with(SONG, reading::page));
    assert_eq!((&data["pace"], &data["length"]), (&120.into(), &90.0.into()));
    let items = data["items"].as_array().unwrap();
    let kinds: Vec<&str> = items.iter().map(|item| item["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["heading", "speech", "cue", "cue", "speech"]);
    assert_eq!(items[1]["words"], "See C♯ is the third of A.");
    assert_eq!(items[1]["said"], "See C sharp is the third of A.");
    assert_eq!(items[1]["seconds"], 3.5, "seven words at 120 a minute");
    assert_eq!((&items[2]["goes"], &items[2]["seconds"]), (&true.into(), &2.0.into()));
    assert_eq!(items[3]["goes"], Value::Null, "what is played waits");
    assert_eq!(items[4]["said"], "Then F sharp minor seven is six minor seven, so there.");
    assert_eq!(items[3]["faulty"], true, "a cue that names nothing is marked");
}

#[test]
fn cues_are_told_as_on_the_script_s_pages() {
    let text = "---\ntitle: T\n---\n~~~ shape forms -- two of \"them\"\nF#m7 2x222x\n~~~\n~~~ say\n[show forms]\n[show F#m7]\n[pause 2 s]\nSo.\n~~~\n";
    let data = carried(&with(text, reading::page));
    let told = |index: usize| {
        let cue = &data["items"][index]["told"];
        ["verb", "which", "caption", "how"].map(|piece| cue[piece].as_str().unwrap().to_owned())
    };
    assert_eq!(told(0), ["show", "figure\u{a0}1,", "two of “them”", ""]);
    assert_eq!(told(1), ["show", "F♯m7", "", ""]);
    assert_eq!(told(2), ["pause", "2 s", "", ""]);
    assert_eq!(data["items"][3]["told"], Value::Null, "speech is no cue");
}

#[test]
fn nothing_of_a_lesson_is_markup_or_code() {
    let evil = "</script><script>ran = 1</script><!-- {script} {data} -->";
    let text = format!(
        "---\ntitle: {evil}\n---\n## \\{evil}\n~~~ say\n`` {evil} ``\n[note {evil}]\n~~~\n"
    );
    let page = with(&text, reading::page);
    for (mark, times) in [("<script", 2), ("</script", 2), ("<!--", 0), ("<style", 1)] {
        assert_eq!(page.matches(mark).count(), times, "{mark}");
    }
    let told = carried(&page).to_string();
    assert!(told.contains("ran = 1") && told.contains("{data}"), "{told}");
    assert!(page.contains("default-src 'none'; script-src 'sha256-"), "it runs only its own code");
}

#[test]
fn captions_are_as_said_where_the_header_wishes() {
    let captions = |text: &str| with(text, captions::write);
    assert!(captions(SONG).contains("See C♯ is the third of A."));
    let said = captions(&SONG.replace("pace: 120", "pace: 120\ncaptions: as said"));
    assert!(said.contains("See C sharp is the third of A."), "{said}");
    assert!(!said.contains(['♯', '♭']), "{said}");
}
