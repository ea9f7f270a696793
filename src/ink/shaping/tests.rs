use super::*;
use crate::ink::text::Style;
use crate::ink::units::pt;

fn glyphs(fonts: &Fonts, face: Face, text: &str) -> Vec<Glyph> {
    let word = fonts.word(&Style::new(face, pt(12.0)), text, Way::Right);
    word.pieces.iter().flat_map(|piece| piece.glyphs.clone()).collect()
}

fn characters(glyphs: &[Glyph]) -> String {
    glyphs.iter().map(|glyph| &*glyph.characters).collect()
}

#[test]
fn words_that_are_not_used_are_forgotten() {
    let (mut kept, shaped) = (Kept::default(), Arc::new(Word::default()));
    kept.keep("stays", &shaped);
    kept.keep("goes", &shaped);
    for _ in 0..2 {
        kept.end_generation();
        assert!(kept.find("stays").is_some());
    }
    assert!(kept.find("goes").is_none());
    for number in 0..3 * MOST_WORDS {
        kept.keep(&number.to_string(), &shaped);
    }
    assert!(kept.young.len() + kept.old.len() <= 2 * MOST_WORDS);
}

#[test]
fn pairs_are_kerned() {
    let fonts = Fonts::new();
    let width = |face, text| fonts.word(&Style::new(face, pt(12.0)), text, Way::Right).width;
    for face in Face::ALL.into_iter().filter(|&face| !matches!(face, Face::Mono | Face::Signs)) {
        let apart = width(face, "A") + width(face, "V");
        assert!(width(face, "AV") < apart - 0.01, "{face:?}");
    }
    let apart = width(Face::Mono, "A") + width(Face::Mono, "V");
    assert!((width(Face::Mono, "AV") - apart).abs() < 0.001);
}

#[test]
fn a_ligature_keeps_its_letters() {
    let fonts = Fonts::new();
    let office = glyphs(&fonts, Face::Serif, "office");
    assert!(office.iter().any(|glyph| &*glyph.characters == "ffi"), "{office:?}");
    assert_eq!(characters(&office), "office");
}

#[test]
fn figures_and_code_are_set_letter_by_letter() {
    let fonts = Fonts::new();
    for face in [Face::Sans, Face::SansSemibold, Face::Mono] {
        assert_eq!(glyphs(&fonts, face, "office").len(), 6, "{face:?}");
    }
}

#[test]
fn every_face_has_the_signs_of_music() {
    let fonts = Fonts::new();
    for face in Face::ALL {
        for sign in ["♯", "♭", "♮", "𝄪", "𝄫", "°", "ø", "○", "×", "Δ"] {
            let Setter { kind, .. } = setter(&fonts, face, sign);
            assert!(kind != Kind::Missing, "{face:?} {sign}");
            let glyphs = glyphs(&fonts, face, sign);
            assert_eq!(characters(&glyphs), sign);
            assert!(glyphs.iter().all(|glyph| glyph.id > 0), "{face:?} {sign}");
        }
    }
}

#[test]
fn every_face_that_words_are_set_in_has_the_letters_of_ascii() {
    let fonts = Fonts::new();
    for face in Face::ALL.into_iter().filter(|&face| face != Face::Signs) {
        assert!(has(&fonts, face, &(' '..='~').collect::<String>()), "{face:?}");
    }
}

#[test]
fn a_character_in_no_face_is_a_box_with_its_text() {
    let fonts = Fonts::new();
    for face in Face::ALL {
        let found = glyphs(&fonts, face, "a日b𝄞");
        assert_eq!(characters(&found), "a日b𝄞", "{face:?}");
        assert!(found.iter().all(|glyph| glyph.id > 0 && glyph.advance > 0.1), "{face:?}");
    }
}

#[test]
fn the_width_is_the_sum_of_the_advances() {
    let fonts = Fonts::new();
    for text in ["", "Žofie ", "F♯m7", "שלום", "e\u{301}\u{323}"] {
        let sum: f32 = glyphs(&fonts, Face::Serif, text).iter().map(|g| g.advance).sum();
        let word = fonts.word(&Style::new(Face::Serif, pt(12.0)), text, Way::Right);
        assert!((word.width - sum).abs() < 1e-4, "{text}");
    }
}

#[test]
fn a_known_word_is_not_shaped_again() {
    let fonts = Fonts::new();
    let word = || fonts.word(&Style::new(Face::Serif, pt(12.0)), "bass", Way::Right);
    assert!(Arc::ptr_eq(&word(), &word()));
}

#[test]
fn long_words_and_heaps_of_accents_keep_their_text() {
    let fonts = Fonts::new();
    let heap = format!("a{}", "\u{301}".repeat(20_000));
    for text in [heap, "x".repeat(100_000), "日".repeat(20_000)] {
        assert!(characters(&glyphs(&fonts, Face::Serif, &text)) == text);
    }
}
