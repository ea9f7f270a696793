//! What the page may do: have its own style, show the pictures that stand in it, and nothing else.

use crate::ink::markup::source_expression;

/// The content policy (CSP, level 3) of a page with one style.
pub fn policy(style: &str) -> String {
    format!(
        "default-src 'none'; style-src {}; img-src data:; font-src data:; base-uri 'none'; form-action 'none'",
        source_expression(style)
    )
}

/// The content policy of a page with one style and one script.
pub fn with_script(style: &str, script: &str) -> String {
    format!("{}; script-src {}", policy(style), source_expression(script))
}
