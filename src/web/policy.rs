//! What the page may do: have its own style, show the pictures that stand in it, and nothing else.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest, Sha256};

/// The content policy (CSP, level 3) of a page with one style.
pub fn policy(style: &str) -> String {
    format!(
        "default-src 'none'; style-src {}; img-src data:; font-src data:; base-uri 'none'; form-action 'none'",
        hash(style)
    )
}

/// The content policy of a page with one style and one script.
pub fn with_script(style: &str, script: &str) -> String {
    format!("{}; script-src {}", policy(style), hash(script))
}

/// The source expression that allows a text within the page.
fn hash(text: &str) -> String {
    format!("'sha256-{}'", BASE64_STANDARD.encode(Sha256::digest(text)))
}
