//! Lessons whose own words are German, `lang: de`.

use fretleaf::findings::Weight;
use fretleaf::ink::Fonts;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::{compile, page, web};

const LESSON: &str = "---
title: Der alte Steg
composer: Jo Lind
key: h-Moll
capo: 2
lang: de
names: german
---

~~~ changes strophe
| h | G |
~~~
";

#[test]
fn a_page_says_its_language_and_its_facts_in_german() {
    let world = MemoryWorld::default().with_lesson("steg.md", LESSON);
    let compiled = compile(&world, "steg.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    let page = compiled.web(&web::Job { template: &template, fonts: &fonts, draft: false });
    for words in [
        "<html lang=\"de\"",
        "<dt>Tonart</dt><dd dir=\"auto\">h-Moll</dd>",
        "<dt>Kapodaster</dt><dd dir=\"auto\">2. Bund: klingt in cis-Moll</dd>",
        "<dt>Stimmung</dt><dd dir=\"auto\">Standard</dd>",
        "<dt>Musik</dt><dd dir=\"auto\">Jo Lind</dd>",
    ] {
        assert!(page.contains(words), "{words} isn't in {page}");
    }
    let paper = compiled.paper(&template);
    let job = page::Job { template: &template, paper, fonts: &fonts, draft: false };
    assert_eq!(compiled.press(&job).language, "de");
}

#[test]
fn another_language_is_told_and_english_stands() {
    let lesson = LESSON.replace("lang: de", "lang: fr");
    let checked = fretleaf::check("steg.md", lesson.as_bytes(), &MemoryWorld::default());
    let told: Vec<(Weight, &str)> = checked
        .findings
        .iter()
        .map(|finding| (finding.weight, finding.message.as_str()))
        .filter(|(_, message)| message.contains("language"))
        .collect();
    let message = "`fr` is no language of ours; what we print ourselves is English";
    assert_eq!(told, [(Weight::Hint, message)]);
}

/// Blocks whose names are words of ours too.
const NAMED_AS_OURS: &str = "---
title: Namen
key: A major
lang: de
---

~~~ riff third
count 1 & 2 & 3 & 4 & |
e     0---2---0-------|
~~~

~~~ riff fifth
count 1 & 2 & 3 & 4 & |
E     0---2---0-------|
~~~

~~~ together beide
third: third
fifth: fifth
~~~

~~~ loop runde
third 4 times at 60, then 72
~~~
";

#[test]
fn names_that_an_author_gives_are_said_as_they_are() {
    let world = MemoryWorld::default().with_lesson("namen.md", NAMED_AS_OURS);
    let compiled = compile(&world, "namen.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    let page = compiled.web(&web::Job { template: &template, fonts: &fonts, draft: false });
    for words in
        ["2 Stimmen gleichzeitig: „third“ und „fifth“", "Zum Üben: „third“, 4-mal in jedem Tempo"]
    {
        assert!(page.contains(words), "{words} isn't in {page}");
    }
}
