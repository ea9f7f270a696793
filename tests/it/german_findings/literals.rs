//! The string literals of our own tests: what lessons are tried on.

use crate::floors::files;
use proc_macro2::{TokenStream, TokenTree};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The literals of a folder's files of tests, each once.
pub fn of(folder: &str) -> BTreeSet<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = BTreeSet::new();
    let is_test = |file: &PathBuf| file.to_string_lossy().contains("test");
    for file in files(&root.join(folder)).into_iter().filter(is_test) {
        let tokens: TokenStream = fs::read_to_string(file).unwrap().parse().unwrap();
        gather(tokens, &mut found);
    }
    found
}

fn gather(tokens: TokenStream, found: &mut BTreeSet<String>) {
    for token in tokens {
        match token {
            TokenTree::Group(group) => gather(group.stream(), found),
            TokenTree::Literal(literal) => found.extend(text(&literal.to_string())),
            TokenTree::Ident(_) | TokenTree::Punct(_) => {}
        }
    }
}

/// The text that a literal stands for; none where it is no string.
fn text(literal: &str) -> Option<String> {
    if let Some(raw) = literal.strip_prefix('r') {
        let raw = raw.trim_matches('#');
        return Some(raw.strip_prefix('"')?.strip_suffix('"')?.to_owned());
    }
    let mut letters = literal.strip_prefix('"')?.strip_suffix('"')?.chars().peekable();
    let mut text = String::new();
    while let Some(letter) = letters.next() {
        if letter != '\\' {
            text.push(letter);
            continue;
        }
        match letters.next()? {
            'n' => text.push('\n'),
            'r' => text.push('\r'),
            't' => text.push('\t'),
            '0' => text.push('\0'),
            'u' => {
                let digits: String = letters.by_ref().skip(1).take_while(|c| *c != '}').collect();
                text.extend(u32::from_str_radix(&digits, 16).ok().and_then(char::from_u32));
            }
            'x' => {
                let digits: String = letters.by_ref().take(2).collect();
                text.extend(u32::from_str_radix(&digits, 16).ok().and_then(char::from_u32));
            }
            '\n' => while letters.next_if(|c| c.is_whitespace()).is_some() {},
            other => text.push(other),
        }
    }
    Some(text)
}
