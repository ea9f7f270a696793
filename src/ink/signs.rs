//! The signs ♯ ♭ ♮ 𝄪 𝄫 ♩ among letters: which of their two cuts, and how far they stand from what is before them.

use super::face::{Face, Fonts, Loaded};
use super::shaping::{Glyph, Piece, letters};
use super::text::Style;
use super::units::{Pt, pt};
use harfrust::GlyphId;

/// Which cut of the signs a word has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cut {
    /// Fine lines.
    Fine,
    /// Sturdy ones, which small type needs on a photocopy, and beside which bold letters look no darker.
    Sturdy,
}

impl Cut {
    /// From which size of type signs have fine lines: by eye, on blurred prints.
    const FINE: Pt = pt(9.25);

    /// The cut for a style; words without signs have one only.
    pub(super) fn of(style: &Style, word: &str) -> Cut {
        let is_sturdy = style.size < Cut::FINE || style.face.weight() > 400;
        if is_sturdy && !word.is_ascii() { Cut::Sturdy } else { Cut::Fine }
    }
}

/// Whether a letter is one of the signs.
pub(super) fn is_sign(letter: &str) -> bool {
    number(letter).is_some()
}

/// The place of a sign among those of the face of signs.
fn number(letter: &str) -> Option<u16> {
    match letter {
        "♯" => Some(0),
        "♭" => Some(1),
        "♮" => Some(2),
        "𝄪" => Some(3),
        "𝄫" => Some(4),
        "♩" => Some(5),
        _ => None,
    }
}

/// The signs of text in a cut; the face has those of the fine one from its glyph 1 on, then those of the
/// sturdy one.
pub(super) fn set(loaded: &Loaded, text: &str, cut: Cut) -> Vec<Glyph> {
    let (em, first) = (loaded.units_per_em(), if cut == Cut::Fine { 1 } else { 7 });
    let glyph = |(_, letter): (usize, &str)| {
        let id = first + number(letter)?;
        let advance = loaded.font.glyph_metrics().h_advance(GlyphId::from(id)) / em;
        Some(Glyph { id, advance, shift: (0.0, 0.0), characters: letter.into() })
    };
    letters(text).filter_map(glyph).collect()
}

/// How far a sign stands from the letter before it, in parts of the size of type: 0.6 mm at 13 pt, of which
/// `SIDE` is in the sign's own width (the script beside the face has it).
const CLEAR: f32 = 0.131;
/// A sharp's bars reach out of its body on both sides, and bring air with them; by eye.
const CLEAR_SHARP: f32 = 0.09;
const SIDE: f32 = 0.1;

/// Moves signs to one distance from the letters at their left, whatever air these bring along. Slanted
/// letters reach far over what follows, but at their tops only: they move a sign by half that at most.
pub(super) fn clear(fonts: &Fonts, pieces: &mut [Piece]) {
    for at in 1..pieces.len() {
        let Some([before, sign]) = pieces.get_mut(at - 1..=at) else { return };
        let Some(last) = before.glyphs.last_mut() else { continue };
        if sign.face != Face::Signs || last.characters.ends_with(' ') {
            continue;
        }
        let air = fonts.air_behind(before.face, last.id);
        let is_sharp = sign.glyphs.first().is_some_and(|glyph| &*glyph.characters == "♯");
        let clear = if is_sharp { CLEAR_SHARP } else { CLEAR };
        last.advance += (clear - SIDE - air).clamp(-0.08, 0.06);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::shaping::Way;

    #[test]
    fn signs_are_ours_in_every_face_and_sturdy_in_small_and_bold_type() {
        let fonts = Fonts::new();
        let signs = |face, size| {
            let word = fonts.word(&Style::new(face, pt(size)), "F♯♭♮𝄪𝄫♩m", Way::Right);
            let signs = word.pieces.iter().filter(|piece| piece.face == Face::Signs);
            signs.flat_map(|piece| &piece.glyphs).map(|glyph| glyph.id).collect::<Vec<u16>>()
        };
        for face in Face::ALL {
            let (fine, sturdy) = ([1, 2, 3, 4, 5, 6], [7, 8, 9, 10, 11, 12]);
            let large = if face.weight() > 400 { sturdy } else { fine };
            assert_eq!(signs(face, 9.5), large, "{face:?}");
            assert_eq!(signs(face, 9.0), sturdy, "{face:?}");
            assert_eq!(signs(face, 9.5), large, "{face:?} once more");
        }
    }

    #[test]
    fn signs_stand_clear_of_the_letters_before_them() {
        let fonts = Fonts::new();
        for face in [Face::SerifSemibold, Face::Serif, Face::Sans] {
            let letters = ["A", "B", "C", "D", "E", "F", "G", "7"];
            let signs = [("♭", CLEAR), ("♯", CLEAR_SHARP)];
            for (letter, (sign, wanted)) in
                letters.map(|letter| signs.map(|sign| (letter, sign))).concat()
            {
                let glyphs =
                    fonts.word(&Style::new(face, pt(13.0)), &format!("{letter}{sign}"), Way::Right);
                let glyphs: Vec<&Glyph> =
                    glyphs.pieces.iter().flat_map(|piece| &piece.glyphs).collect();
                let ink = fonts.advance(face, glyphs[0].id) / fonts.units_per_em(face)
                    - fonts.air_behind(face, glyphs[0].id);
                let clear = glyphs[0].advance - ink + SIDE;
                assert!((clear - wanted).abs() < 0.012, "{face:?} {letter}{sign}: {clear}");
            }
        }
    }
}
