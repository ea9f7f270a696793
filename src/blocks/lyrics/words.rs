//! A song in words, for whoever can't see it.

use super::{Boxed, ChordAt, Line, Song, Sounding, Sung};
use crate::theory::Chord;
use crate::words::paper::song as paper;
use crate::words::{capital, listed};

/// Describes a song line by line: each chord with the words that are sung while it sounds.
pub(super) fn describe(song: &Song, boxes: &[String]) -> String {
    let remark = song.sounding.as_ref().and_then(|sounding| remark(sounding, true));
    let why = song.sounding.as_ref().and_then(why);
    let mut told: Vec<String> =
        [remark, why].into_iter().flatten().map(|words| capital(&words) + ".").collect();
    if song.chords().any(|chord| chord.free) {
        told.push(paper::TO_FILL_IN.to_owned());
    }
    let mut number = 0;
    for (index, stanza) in song.stanzas.iter().enumerate() {
        if song.stanzas.len() > 1 {
            told.push(format!("Stanza {}.", index + 1));
        }
        for line in &stanza.lines {
            match line {
                Line::Sung(sung) => {
                    number += 1;
                    told.push(format!("Line {number}: {}.", sung_in_words(sung)));
                }
                Line::Again { title, .. } => told.push(format!("Here {title} is sung again.")),
            }
        }
    }
    if !boxes.is_empty() {
        told.push(format!("Chord boxes:\n{}.", boxes.join(".\n")));
    }
    told.join("\n")
}

/// A line's words, each stretch behind the chord with which it begins.
fn sung_in_words(line: &Sung) -> String {
    let mut stretches: Vec<(Vec<String>, String)> = vec![(Vec::new(), String::new())];
    let begin = |chords: &[ChordAt], stretches: &mut Vec<(Vec<String>, String)>| {
        if !chords.is_empty() {
            stretches.push((chords.iter().map(spoken).collect(), String::new()));
        }
    };
    for word in &line.words {
        for (index, part) in word.parts.iter().enumerate() {
            let within = index > 0 && !part.chords.is_empty();
            begin(&part.chords, &mut stretches);
            if let Some((_, words)) = stretches.last_mut() {
                let gap = if index > 0 || words.is_empty() { "" } else { " " };
                let before = if within { "-" } else { "" };
                *words += &[gap, before, &part.text, &part.hyphen].concat();
            }
        }
    }
    begin(&line.after, &mut stretches);
    let told = stretches.iter().filter(|(chords, words)| !chords.is_empty() || !words.is_empty());
    let told = told.map(|(chords, words)| match (chords.as_slice(), words.as_str()) {
        ([], words) => format!("“{words}”"),
        (chords, "") => listed(chords),
        (chords, words) => format!("{}, “{words}”", listed(chords)),
    });
    told.collect::<Vec<_>>().join("; ")
}

fn spoken(chord: &ChordAt) -> String {
    if chord.free {
        return paper::FREE.to_owned();
    }
    let named = chord.printed.as_ref();
    named.map_or_else(|| "no chord".to_owned(), |chord| chord.spoken().trim().to_owned())
}

/// A box's title for whoever listens.
pub(super) fn title(boxed: &Boxed) -> String {
    boxed.chord.spoken().trim().to_owned()
}

/// What stands above a song: its capo, and what sounds.
pub(super) fn remark(sounding: &Sounding, spoken: bool) -> Option<String> {
    let capo = sounding.capo.map(paper::capo);
    let name = |chord: &Chord| match spoken {
        true => chord.spoken().trim().to_owned(),
        false => chord.printed().text(),
    };
    let is_moved = sounding.first.as_ref().is_some_and(|(printed, sounds)| printed != sounds);
    let sounds = match (&sounding.key, &sounding.first) {
        (Some(key), _) if spoken => Some(paper::sounds_in(&key.spoken())),
        (Some(key), _) => Some(paper::sounds_in(&key.printed())),
        (None, Some((printed, sounds))) if is_moved => {
            Some(paper::sounds_as(&name(printed), &name(sounds)))
        }
        _ => None,
    };
    let parts: Vec<String> = [capo, sounds].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Why the capo is there, where it was to be found.
pub(super) fn why(sounding: &Sounding) -> Option<String> {
    let why = sounding.why?;
    Some(paper::open_shapes(why.open, why.chords, why.open_without))
}
