//! The type of a page: subsets of the handout's serif, which stand in its style. A page has those alone that its words
//! are set in, and for other letters the reader's own serif stands in.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;

/// The letters that only the larger cut of each face has; the script beside them makes both cuts.
const LARGER: &str = include_str!("../../templates/fonts/FretleafSerif-Latin.txt");

/// A face of the page's family.
struct Face {
    /// What its rule says of weight and slant.
    is: &'static str,
    /// What stands in a page that has words in it. The regular face is for all of them.
    marks: &'static [&'static str],
    /// Its file with the letters of English and German.
    small: &'static [u8],
    /// Its file with those of Western and Central Europe.
    large: &'static [u8],
}

const FACES: [Face; 3] = [
    Face {
        is: "font-weight:400",
        marks: &[""],
        small: include_bytes!("../../templates/fonts/FretleafSerif-Regular.woff2"),
        large: include_bytes!("../../templates/fonts/FretleafSerif-Regular-Latin.woff2"),
    },
    Face {
        is: "font-weight:400;font-style:italic",
        marks: &[
            "<em>",
            "<h4",
            "<h6",
            "<dt>",
            "<figcaption",
            "<nav",
            "<legend",
            "<summary",
            r#"class="series""#,
            r#"class="subtitle""#,
            r#"class="announced""#,
            r#"class="time""#,
        ],
        small: include_bytes!("../../templates/fonts/FretleafSerif-Italic.woff2"),
        large: include_bytes!("../../templates/fonts/FretleafSerif-Italic-Latin.woff2"),
    },
    Face {
        is: "font-weight:700",
        marks: &["<strong>", "<b>", "<h2", "<h3", "<h4", "<h5", "<th"],
        small: include_bytes!("../../templates/fonts/FretleafSerif-Bold.woff2"),
        large: include_bytes!("../../templates/fonts/FretleafSerif-Bold-Latin.woff2"),
    },
];

/// The rules for the faces that a page's body is set in.
pub fn rules(body: &str) -> String {
    let is_large = body.chars().any(|letter| !letter.is_ascii() && LARGER.contains(letter));
    let used = FACES.iter().filter(|face| face.marks.iter().any(|mark| body.contains(mark)));
    used.map(|face| rule(face.is, if is_large { face.large } else { face.small })).collect()
}

fn rule(is: &str, file: &[u8]) -> String {
    let file = BASE64_STANDARD.encode(file);
    format!(
        "@font-face{{font-family:\"Fretleaf Serif\";{is};\
         src:url(data:font/woff2;base64,{file}) format(\"woff2\")}}\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::STYLE;

    /// What is slanted by the page's style, as it stands in a page.
    fn slanted() -> Vec<String> {
        let rules = STYLE.split('}').filter_map(|rule| rule.split_once('{'));
        let slanted = rules.filter(|(_, says)| says.contains("font-style: italic"));
        let whom = slanted.flat_map(|(whom, _)| whom.trim().split(", "));
        whom.map(|whom| match (whom.strip_prefix('.'), whom.split_once(' ')) {
            (Some(class), _) => format!("class=\"{class}\""),
            (None, Some((within, _))) => format!("<{within}"),
            (None, None) => format!("<{whom}"),
        })
        .collect()
    }

    #[test]
    fn what_the_style_slants_has_the_italic() {
        let slanted = slanted();
        assert!(slanted.len() > 5, "{slanted:?}");
        for mark in slanted {
            assert_eq!(rules(&format!("{mark}>")).matches("italic").count(), 1, "{mark}");
        }
    }

    #[test]
    fn a_page_has_the_faces_that_it_uses() {
        let faces = |body: &str| rules(body).matches("@font-face").count();
        assert_eq!(faces("<p>Words.</p>"), 1);
        assert_eq!(faces("<p><em>Words.</em></p>"), 2);
        assert_eq!(faces("<h2>Words</h2>"), 2);
        assert_eq!(faces("<h4>Words</h4>"), 3);
    }

    #[test]
    fn the_larger_cut_is_for_letters_that_the_small_one_lacks() {
        let size = |body: &str| rules(body).len();
        assert_eq!(size("Schöne Grüße, “F♯m”"), size("plain"));
        assert_eq!(size("Слово 言葉"), size("plain"));
        assert!(size("Dvořák") > size("plain"));
        assert!(size("leçon") > size("plain"));
    }
}
