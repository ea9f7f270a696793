//! Tests of the SVG painter.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::ink::document::{Page, Part, PartId};
use crate::ink::png::{Ground, paint};
use crate::ink::units::pt;
use proptest::prelude::*;
use resvg::tiny_skia::Pixmap;
use resvg::usvg::roxmltree;

fn sample(fonts: &Fonts) -> Drawing {
    let mut drawing = Drawing::new(pt(100.0), pt(40.0));
    drawing.path(Path::rectangle(Point::new(pt(2.0), pt(2.0)), pt(10.0), pt(10.0), 0.0));
    let style = Style::new(Face::SansSemibold, pt(12.0));
    drawing.text(Point::new(pt(20.0), pt(20.0)), Text::set(fonts, "F♯m7 & <b>", style));
    let mut inner = Drawing::new(pt(20.0), pt(20.0));
    inner.path(Path::line(Point::default(), Point::new(pt(9.0), pt(9.0)), pt(0.5)));
    let label = Label::Words { title: "A".into(), words: "the <open> shape".into() };
    drawing.place(Point::new(pt(70.0), pt(5.0)), inner, label);
    drawing
}

#[test]
fn a_figure_says_what_it_shows() {
    let image = figure(&sample(&Fonts::new()), "a \"title\"", "one & two", &Fonts::new());
    let parsed = roxmltree::Document::parse(&image).unwrap();
    let root = parsed.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    let groups = parsed.descendants().filter(|node| node.has_attribute("aria-labelledby"));
    let said: Vec<Vec<&str>> = groups
        .map(|group| {
            let ids = group.attribute("aria-labelledby").unwrap().split(' ');
            ids.map(|id| {
                let named = |node: &roxmltree::Node| node.attribute("id") == Some(id);
                parsed.descendants().find(named).unwrap().text().unwrap()
            })
            .collect()
        })
        .collect();
    assert_eq!(said, [vec!["a \"title\"", "one & two"], vec!["A", "the <open> shape"]]);
}

#[test]
fn every_glyph_that_is_shown_is_there_once() {
    let image = figure(&sample(&Fonts::new()), "", "", &Fonts::new());
    let parsed = roxmltree::Document::parse(&image).unwrap();
    let defined: Vec<&str> = parsed.descendants().filter_map(|node| node.attribute("id")).collect();
    let shown = parsed.descendants().filter_map(|node| node.attribute("href"));
    let mut count = 0;
    for id in shown {
        let times = defined.iter().filter(|defined| id == format!("#{defined}")).count();
        assert_eq!(times, 1, "{id}");
        count += 1;
    }
    // The letters of "F♯m7&<b>", without the spaces.
    assert_eq!(count, 8);
}

#[test]
fn the_image_has_ink_where_the_drawing_has_some() {
    let fonts = Fonts::new();
    let image = figure(&sample(&fonts), "t", "w", &fonts);
    assert_eq!(image, figure(&sample(&Fonts::new()), "t", "w", &Fonts::new()));
    let map = Pixmap::decode_png(&paint(&image, 72.0, Ground::White).unwrap()).unwrap();
    let dark = |left: u32, right: u32| {
        let dots = (left..right).flat_map(|x| (0..40).map(move |y| (x, y)));
        dots.filter(|&(x, y)| map.pixel(x, y).unwrap().red() < 128).count()
    };
    assert_eq!(dark(0, 15), 100);
    assert!(dark(20, 28) > 15, "the letter F");
    assert_eq!(dark(13, 19), 0);
}

#[test]
fn a_page_says_its_words_and_describes_its_figures() {
    let fonts = Fonts::new();
    let mut drawing = Drawing::new(pt(100.0), pt(40.0));
    let line = Text::set(&fonts, "Play it slowly.", Style::new(Face::Serif, pt(10.0)));
    drawing.text(Point::new(pt(1.0), pt(30.0)), line);
    drawing.place(Point::default(), sample(&fonts), Label::Part(PartId(0)));
    let part = Part { role: Role::Figure, parent: None, words: "a box".into() };
    let page_1 = Page { drawing, ..Page::default() };
    let document = Document {
        title: "Lesson".into(),
        pages: vec![page_1],
        parts: vec![part],
        ..Document::default()
    };
    let image = page(&document, 0, &fonts);
    for words in ["Lesson, page 1", "Play it slowly.", "a box"] {
        assert!(image.contains(words), "{words}");
    }
    assert!(roxmltree::Document::parse(&page(&document, 7, &fonts)).is_ok());
}

#[test]
fn numbers_are_short() {
    let rows = [(1.0, "1"), (-0.001, "0"), (2.50, "2.5"), (f32::NAN, "0"), (-4.816, "-4.82")];
    for (given, written) in rows {
        assert_eq!(decimals(given, 2), written);
    }
}

#[test]
fn bytes_are_written_in_base_64() {
    // The examples of RFC 4648, section 10.
    let rows = [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg==")];
    for (plain, written) in rows {
        assert_eq!(base64(plain.as_bytes()), written);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn any_words_make_sound_xml(title in any::<String>(), words in any::<String>()) {
        let fonts = Fonts::new();
        let mut drawing = sample(&fonts);
        drawing.text(Point::default(), Text::set(&fonts, &words, Style::new(Face::Serif, pt(9.0))));
        let image = figure(&drawing, &title, &words, &fonts);
        prop_assert!(roxmltree::Document::parse(&image).is_ok());
    }
}
