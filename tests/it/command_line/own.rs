//! What a lesson may bring: its paper, its font, its template.

use super::*;

#[test]
fn paper_template_and_hand_change_the_page() {
    let place = Place::new("press-options").with("sound.md", DOUBTFUL);
    let mut seen = Vec::new();
    for options in [
        vec![],
        vec!["--paper", "letter"],
        vec!["--template", "large-print"],
        vec!["--left-handed"],
    ] {
        let arguments: Vec<&str> =
            ["press", "--svg", "sound.md"].into_iter().chain(options).collect();
        assert_eq!(place.run(&arguments).status, 0, "{arguments:?}");
        let page = fs::read(place.0.join("sound-page-1.svg")).unwrap();
        assert!(!seen.contains(&page), "{arguments:?} changes nothing");
        seen.push(page);
    }
    assert_eq!(place.run(&["press", "--template", "handuot", "sound.md"]).status, 2);
}

#[test]
fn a_lesson_may_bring_its_own_font() {
    let fonts = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fonts");
    let font = |name: &str| fs::read(fonts.join(name)).unwrap();
    let lesson = |font: &str| {
        format!(
            "---\ntitle: 川の歌\nfont: {font}\n---\n\nThe *song* of the river is 川の歌, **日本**.\n\n\
             ~~~ shape -- 六弦\nAm x02210\n~~~\n\n~~~ say\nThis is 川の歌.\n~~~\n"
        )
    };
    let place = Place::new("own-font")
        .with("fonts/han.ttf", font("han.ttf"))
        .with("han.otf", font("han.otf"))
        .with("short.ttf", &font("han.ttf")[..2500])
        .with("ttf.md", lesson("fonts/han.ttf"))
        .with("otf.md", lesson("han.otf"))
        .with("short.md", lesson("short.ttf"));
    for (name, face) in [("ttf", "LessonTestHan-Regular"), ("otf", "LessonTestHanOTF-Regular")] {
        let lesson = format!("{name}.md");
        for options in [vec![], vec!["--left-handed"], vec!["--template", "large-print"]] {
            let run =
                place.run(&[&["press", "--svg", "--png", lesson.as_str()], &options[..]].concat());
            let told = format!("`{name}.pdf` and 4 pictures are written\n");
            assert_eq!((run.status, run.err), (0, told), "{name}");
        }
        assert_eq!(place.run(&["script", &lesson]).status, 0);
        let run = place.run(&["proof", &lesson]);
        assert!(run.out.contains("no faults, no doubts, no hints"), "{}", run.out);
        for pdf in [format!("{name}.pdf"), format!("{name}-script.pdf")] {
            let file = lopdf::Document::load(place.0.join(&pdf)).unwrap();
            let names = file.objects.values().filter_map(|object| {
                let name = object.as_dict().ok()?.get(b"BaseFont").ok()?.as_name().ok()?;
                Some(String::from_utf8_lossy(name).into_owned())
            });
            assert!(names.into_iter().any(|found| found.ends_with(&format!("+{face}"))), "{pdf}");
            assert!(fs::metadata(place.0.join(&pdf)).unwrap().len() < 60_000, "{pdf} is a subset");
        }
        let page = fs::read_to_string(place.0.join(format!("{name}-page-1.svg"))).unwrap();
        assert!(page.contains("川の歌") && !page.contains('□'), "{name}");
    }
    let run = place.run(&["press", "short.md"]);
    assert_eq!(run.status, 1);
    assert!(run.err.contains("the font `short.ttf` is a broken font file"), "{}", run.err);
}

#[test]
fn a_lesson_may_bring_its_own_template_from_its_own_folder_only() {
    let own = "based-on = \"handout\"\npaper = \"letter\"\n";
    let lesson =
        |template: &str| SOUND.replacen("---\n", &format!("---\ntemplate: {template}\n"), 1);
    let place = Place::new("own-template")
        .with("in/own.toml", own)
        .with("in/sound.md", lesson("own.toml"))
        .with("in/outside.md", lesson("../own.toml"))
        .with("own.toml", own);
    assert_eq!(place.run(&["press", "in/sound.md"]).status, 0);
    assert!(Path::new(&place.0).join("in/sound.pdf").exists());
    let outside = place.run(&["press", "in/outside.md"]);
    assert_eq!(outside.status, 1);
    assert!(outside.err.contains("outside.md:2:11"), "{}", outside.err);
}

#[test]
fn a_template_that_cannot_be_used_stops_its_own_lesson_only() {
    let broken = SOUND.replacen("---\n", "---\ntemplate: none.toml\n", 1);
    let place = Place::new("broken-template").with("a.md", &broken).with("b.md", SOUND);
    let proof = place.run(&["proof", "a.md"]);
    assert_eq!(proof.status, 1);
    assert!(proof.out.contains("the template `none.toml` is missing"), "{}", proof.out);
    let press = place.run(&["press", "a.md", "b.md"]);
    assert_eq!(press.status, 1);
    assert!(press.err.contains("the template `none.toml` is missing"), "{}", press.err);
    assert_eq!(place.files(), ["a.md", "b.md", "b.pdf"]);
    let watch = place.run(&["watch", "--once", "--out", "out", "a.md", "b.md"]);
    assert_eq!(watch.status, 2);
    assert!(watch.err.contains("a.md: the template `none.toml` is missing"), "{}", watch.err);
    assert!(place.0.join("out/b.pdf").exists() && !place.0.join("out/a.pdf").exists());
    assert_eq!(place.run(&["press", "--draft", "a.md"]).status, 1);
    assert!(place.0.join("a.pdf").exists(), "a draft looks as if it named none");
    assert_eq!(place.run(&["press", "--template", "none.toml", "b.md"]).status, 2);
}

#[test]
fn a_booklet_is_laid_on_sheets_to_be_folded() {
    let place = Place::new("booklet").with("sound.md", SOUND);
    let run = place.run(&["press", "--template", "booklet", "--fold", "sound.md"]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(run.err.contains("sound-fold.pdf` are written"), "{}", run.err);
    let sheets = fs::read(place.0.join("sound-fold.pdf")).unwrap();
    assert!(sheets.starts_with(b"%PDF"));
    assert_ne!(sheets, fs::read(place.0.join("sound.pdf")).unwrap());
    let refused = place.run(&["press", "--fold", "sound.md"]);
    assert_eq!(refused.status, 2);
    assert!(refused.err.contains("--template booklet or --paper a5"), "{}", refused.err);
}

#[test]
fn a_logo_stands_with_the_title_or_is_a_doubt() {
    let lesson =
        |logo: &str| SOUND.replacen("---\n", &format!("---\naddress: Quay 4\nlogo: {logo}\n"), 1);
    let drawn = "<svg xmlns='http://www.w3.org/2000/svg' width='40' height='40'><rect width='40' height='40'/></svg>";
    let place = Place::new("letterhead")
        .with("logo.svg", drawn)
        .with("good.md", lesson("logo.svg"))
        .with("bad.md", lesson("none.svg"));
    assert_eq!(place.run(&["proof", "--strict", "good.md"]).status, 0);
    let bad = place.run(&["proof", "bad.md"]);
    assert!(bad.out.contains("doubt[picture]: the picture `none.svg` is missing"), "{}", bad.out);
    assert!(bad.out.contains("the title stands without it"), "{}", bad.out);
    assert_eq!(place.run(&["press", "--svg", "good.md", "bad.md"]).status, 0);
    let page = |name: &str| fs::read_to_string(place.0.join(format!("{name}-page-1.svg"))).unwrap();
    assert!(page("good").contains("<image") && !page("bad").contains("<image"));
    assert!(page("good").contains("Quay"));
}
