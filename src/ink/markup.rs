//! Text inside XML and HTML.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest, Sha256};

/// The source expression by which a content policy (CSP, level 3) allows a style or a script that stands in its page.
///
/// ```
/// let allowed = fretleaf::ink::markup::source_expression("");
/// assert_eq!(allowed, "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='");
/// ```
pub fn source_expression(text: &str) -> String {
    format!("'sha256-{}'", BASE64_STANDARD.encode(Sha256::digest(text)))
}

/// Text without the characters that XML 1.0 doesn't allow, nor HTML (section 13.2.3.5).
pub fn legal(text: &str) -> String {
    let allowed = |c: &char| match c {
        '\n' | '\t' => true,
        '\u{FFFE}' | '\u{FFFF}' => false,
        c => !c.is_control(),
    };
    text.chars().filter(allowed).collect()
}

/// Text as the content of an element.
pub(super) fn escaped(text: &str) -> String {
    legal(text).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
