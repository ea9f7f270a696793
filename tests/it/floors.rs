//! Who may import whom: each folder of the library only those that stand below it in the table, which is
//! the picture in DEVELOPERS.md.

#![allow(clippy::unwrap_used)]

use proc_macro2::{TokenStream, TokenTree};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The folders of the library from the top down; those of one floor don't import one another. The root
/// module, which has no folder, stands above them all.
const FLOORS: [&[&str]; 12] = [
    &["web"],
    &["script", "hear", "chart", "paste", "help"],
    &["page"],
    &["checks"],
    &["blocks"],
    &["music"],
    &["lesson"],
    &["findings"],
    &["words"],
    &["ink"],
    &["neck"],
    &["theory"],
];

/// What is the program's own: its crate names the library as any other crate would.
const OF_THE_PROGRAM: &str = "cli";

#[test]
fn every_folder_imports_only_what_stands_below_it() {
    let mut climbs = Vec::new();
    for (floor, folders) in FLOORS.iter().enumerate() {
        let below: Vec<&str> = FLOORS[floor + 1..].concat();
        for folder in *folders {
            climbs.extend(imports(folder, &[below.as_slice(), &[*folder]].concat()));
        }
    }
    climbs.extend(imports(OF_THE_PROGRAM, &[OF_THE_PROGRAM]));
    assert_eq!(climbs, Vec::<String>::new());
}

#[test]
fn the_library_is_what_the_table_shows_and_the_program_is_beside_it() {
    let modules = |file: &str| {
        let tokens = Vec::from_iter(tokens_of(&root().join("src").join(file)));
        let named = tokens.windows(2).filter(|pair| is(&pair[0], "mod"));
        named.map(|pair| pair[1].to_string()).collect::<BTreeSet<String>>()
    };
    let names = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
    assert_eq!(modules("lib.rs"), names(&FLOORS.concat()));
    assert_eq!(modules("main.rs"), names(&[OF_THE_PROGRAM]));
    let in_src = fs::read_dir(root().join("src")).unwrap();
    let in_src: BTreeSet<String> =
        in_src.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    let others = [OF_THE_PROGRAM, "lib.rs", "main.rs"];
    assert_eq!(in_src, names(&[FLOORS.concat().as_slice(), &others].concat()));
}

#[test]
fn the_table_is_the_picture_for_contributors() {
    let picture: String =
        FLOORS.iter().map(|floor| format!("    {}\n", floor.join(" · "))).collect();
    let developers = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    assert!(
        developers.contains(&format!("\n\n{picture}\n")),
        "DEVELOPERS.md is to have\n{picture}"
    );
}

#[test]
fn every_way_of_naming_a_folder_is_read() {
    for (text, depth, expected) in [
        ("use crate::ink;", 2, &["ink"][..]),
        ("use crate::{ink::{Pt, pt}, lesson::{self, Lesson}};", 2, &["ink", "lesson"]),
        ("fn a() -> crate::ink::Pt { b!(crate::neck::c, \"crate::page\") }", 2, &["ink", "neck"]),
        ("use super::super::page; use super::note;", 2, &["page"]),
        ("use super::{super::{page, ink::Pt}, note};", 2, &["ink", "page"]),
        ("mod tests { use super::super::note; }", 2, &[]),
        ("mod tests { fn a() { super::super::super::page::b() } }", 2, &["page"]),
        ("use crate::*; use crate::{self as fretleaf};", 2, &["*", "self"]),
        ("use crate as a; use super::super as b;", 2, &["crate as a", "super as b"]),
        (
            "pub(crate) fn a() {} pub(super) fn b() {} pub(in crate::blocks) fn c() {}",
            1,
            &["blocks"],
        ),
        ("//! [`crate::page`]\n// crate::page", 2, &[]),
    ] {
        let named: Vec<String> = named(text.parse().unwrap(), depth).into_iter().collect();
        assert_eq!(named, expected, "{text}");
    }
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What the files of a folder name in the root beside what they may.
fn imports(folder: &str, allowed: &[&str]) -> Vec<String> {
    let mut wrong = Vec::new();
    for file in files(&root().join("src").join(folder)) {
        let names = named(tokens_of(&file), depth(&file));
        let beyond = names.iter().filter(|name| !allowed.contains(&name.as_str()));
        wrong.extend(beyond.map(|name| format!("{} imports {name}", file.display())));
    }
    wrong
}

/// All files of Rust in a folder and below it.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(self::files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    files
}

fn tokens_of(file: &Path) -> TokenStream {
    let text = fs::read_to_string(file).unwrap();
    text.parse().unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

/// How deep under the root the module of a file lies.
fn depth(file: &Path) -> usize {
    let within = file.strip_prefix(root().join("src")).unwrap();
    within.components().count() - usize::from(within.ends_with("mod.rs"))
}

/// What the code of a module that lies so deep names in the root: by paths from there, and by paths that
/// climb up to it.
fn named(code: TokenStream, depth: usize) -> BTreeSet<String> {
    let tokens = Vec::from_iter(code);
    let mut names = BTreeSet::new();
    for (index, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Group(group) => {
                let inner = matches!(&tokens[..index], [.., word, _] if is(word, "mod"));
                names.extend(named(group.stream(), depth + usize::from(inner)));
            }
            TokenTree::Ident(_) if is(token, "crate") || is(token, "super") => {
                follow(&tokens[index..], depth, &mut names);
            }
            _ => {}
        }
    }
    names
}

/// Follows a path, or a tree of them, from a module that lies so deep, and notes what it names in the
/// root.
fn follow(path: &[TokenTree], depth: usize, names: &mut BTreeSet<String>) {
    let Some((step, rest)) = path.split_first() else { return };
    if let TokenTree::Group(group) = step {
        let trees = Vec::from_iter(group.stream());
        trees.split(|token| is(token, ",")).for_each(|tree| follow(tree, depth, names));
        return;
    }
    let depth = match step.to_string().as_str() {
        "crate" => 0,
        "super" => depth.saturating_sub(1),
        _ if depth > 0 => depth,
        name => {
            names.insert(name.to_owned());
            return;
        }
    };
    match rest {
        [first, second, rest @ ..] if is(first, ":") && is(second, ":") => {
            follow(rest, depth, names)
        }
        [other, name, ..] if is(other, "as") && depth == 0 => {
            names.insert(format!("{step} as {name}"));
        }
        _ => {}
    }
}

fn is(token: &TokenTree, word: &str) -> bool {
    token.to_string() == word
}
