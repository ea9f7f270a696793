//! The view to read from: a script's words, large, moving at its pace and waiting at its cues. It is one
//! HTML file that fetches nothing, and a view of the live page; both have this style and this code.

use super::told::Told;
use super::{CueKind, Item, Script, What, clock};
use crate::ink::markup::source_expression;
use serde::Serialize;

/// The view's style.
pub const STYLE: &str = include_str!("reading.css");
/// The view's code.
pub const CODE: &str = include_str!("reading.js");
/// The file that carries them, with names in braces for what is filled in.
const PAGE: &str = include_str!("page.html");

/// What the words of the view are, for whoever can't see them.
const SAID: &str = "What is said";

/// A script as the view reads it.
#[derive(Debug, Serialize)]
pub struct ScriptView {
    /// Spoken words a minute.
    pace: u16,
    /// How many seconds it is to run, where the header says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<f64>,
    items: Vec<ItemView>,
}

/// An item of a script as the view reads it.
#[derive(Debug, Serialize)]
struct ItemView {
    kind: &'static str,
    /// As it is written.
    words: String,
    /// A cue as it is read.
    #[serde(skip_serializing_if = "Option::is_none")]
    told: Option<Told>,
    /// A speech as it is said, where that is something else.
    #[serde(skip_serializing_if = "Option::is_none")]
    said: Option<String>,
    /// How long it takes; what is said at the pace, whatever was measured.
    seconds: f64,
    /// Whether it is a cue that goes on by itself, as a pause does.
    #[serde(skip_serializing_if = "is_no")]
    goes: bool,
    /// Whether a fault lies in it.
    #[serde(skip_serializing_if = "is_no")]
    faulty: bool,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde asks so
const fn is_no(condition: &bool) -> bool {
    !*condition
}

/// What the view reads of a script.
pub fn view(script: &Script) -> ScriptView {
    ScriptView {
        pace: script.pace,
        length: script.length.map(|length| length.as_secs_f64()),
        items: script.items.iter().map(|item| self::item(item, script.pace)).collect(),
    }
}

fn item(item: &Item, pace: u16) -> ItemView {
    let view = ItemView {
        kind: "cue",
        words: String::new(),
        told: None,
        said: None,
        seconds: item.takes.as_secs_f64(),
        goes: false,
        faulty: item.faulty,
    };
    match &item.what {
        What::Heading { words, .. } => ItemView { kind: "heading", words: words.clone(), ..view },
        What::Speech { words, said, count, .. } => {
            let said = Some(said).filter(|said| *said != words).cloned();
            let seconds = clock::spoken(*count, pace).as_secs_f64();
            ItemView { kind: "speech", words: words.clone(), said, seconds, ..view }
        }
        What::Cue(cue) => {
            let (words, told) = (cue.words.clone(), Some(cue.told()));
            ItemView { words, told, goes: matches!(cue.kind, CueKind::Pause), ..view }
        }
    }
}

/// The file to read from.
pub fn page(script: &Script) -> String {
    // A record of texts and numbers always becomes JSON. Without `<` it can't end its element.
    let data = serde_json::to_string(&view(script)).unwrap_or_default().replace('<', "\\u003c");
    let policy = policy();
    let title = html_escape::encode_text(&script.title);
    let said = script.lang.said(SAID);
    let filled = |name: &str| match name {
        "policy" => policy.as_str(),
        "title" => &title,
        "lang" => script.lang.tag(),
        "said" => &said,
        "style" => STYLE,
        "data" => &data,
        _ => CODE,
    };
    let mut pieces = PAGE.split(['{', '}']);
    let mut page = pieces.next().unwrap_or_default().to_owned();
    while let (Some(name), Some(rest)) = (pieces.next(), pieces.next()) {
        page.push_str(filled(name));
        page.push_str(rest);
    }
    page
}

/// What the file may do: have this style and run this code, and nothing else.
fn policy() -> String {
    format!(
        "default-src 'none'; script-src {}; style-src {}; img-src data:; base-uri 'none'; form-action 'none'",
        source_expression(CODE),
        source_expression(STYLE)
    )
}
