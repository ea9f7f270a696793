//! Text inside XML.

/// Text without the characters that XML 1.0 doesn't allow.
pub(super) fn legal(text: &str) -> String {
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
