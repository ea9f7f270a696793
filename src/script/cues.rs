//! The list of cues for a cutting program, as CSV (RFC 4180).

use super::names::Pictures;
use super::{Cue, CueKind, Item, Script, What};

/// The names of the columns.
const HEAD: [&str; 5] = ["time", "kind", "words", "figure", "seconds"];

/// The list: for each cue when it comes, what it is for, its words, the figure's file, and how many seconds
/// the figure is up, the music is played or the pause lasts. A cell that a spreadsheet would work out has an
/// apostrophe before it.
pub fn write(script: &Script, pictures: &Pictures) -> String {
    let mut list = csv::Writer::from_writer(Vec::new());
    // Writing to memory doesn't fail.
    let _ = list.write_record(HEAD);
    for row in rows(script, pictures) {
        let _ = list.write_record(row.map(|cell| harmless(&cell)));
    }
    String::from_utf8(list.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn rows(script: &Script, pictures: &Pictures) -> Vec<[String; 5]> {
    // From the end, so that it is known when the next figure comes up.
    let mut up_to = script.runs;
    let mut rows = Vec::new();
    for (index, item) in script.items.iter().enumerate().rev() {
        let What::Cue(cue) = &item.what else { continue };
        let figure = pictures.of_cue(index).map(|name| format!("{name}.svg"));
        let seconds = match cue.kind {
            CueKind::Show(_) => Some(std::mem::replace(&mut up_to, item.at) - item.at),
            CueKind::Play | CueKind::Pause => Some(item.takes),
            CueKind::Retake | CueKind::Free => None,
        };
        let seconds = seconds.map(|time| format!("{:.1}", time.as_secs_f64()));
        let (figure, seconds) = (figure.unwrap_or_default(), seconds.unwrap_or_default());
        rows.push([moment(item), kind(cue), cue.words.clone(), figure, seconds]);
    }
    rows.reverse();
    rows
}

/// What a cue is for, in a word; of one in free words the first.
fn kind(cue: &Cue) -> String {
    match cue.kind {
        CueKind::Show(_) => "show".to_owned(),
        CueKind::Play => "play".to_owned(),
        CueKind::Pause => "pause".to_owned(),
        CueKind::Retake => "retake".to_owned(),
        CueKind::Free => cue.first_word(),
    }
}

/// `0:01:02.400`.
fn moment(item: &Item) -> String {
    let seconds = item.at.as_secs();
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    format!("{hours}:{minutes:02}:{seconds:02}.{:03}", item.at.subsec_millis())
}

/// A cell that no spreadsheet takes for a formula: those begin with one of these signs (OWASP, "CSV
/// Injection").
fn harmless(cell: &str) -> String {
    let is_formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if is_formula { format!("'{cell}") } else { cell.to_owned() }
}
