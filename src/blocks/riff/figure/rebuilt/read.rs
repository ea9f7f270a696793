//! What a riff says, as the reader read it.

use super::super::chords;
use super::{Said, say, sorted};
use crate::music::tab::{Event, Form, Joint, Note, Riff, Slide, Sound};
use crate::neck::{Fret, StringIndex};
use std::collections::BTreeMap;

/// What the reader read.
pub(super) fn read(riff: &Riff) -> Said {
    let mut said = Said::new();
    let mut pressed: BTreeMap<StringIndex, Fret> = BTreeMap::new();
    let mut meter = None;
    for (index, bar) in riff.bars.iter().enumerate() {
        if riff.timed && meter.replace(bar.meter) != Some(bar.meter) {
            say(&mut said, "meter", bar.meter.beats().to_string());
            say(&mut said, "meter", bar.meter.unit().to_string());
        }
        for symbol in chords::over(riff, index) {
            let runs = symbol.printed().runs.into_iter().map(|run| run.text);
            say(&mut said, "chords", runs.collect::<String>());
        }
        for count in &bar.counts {
            let sign = if count.sign == "+" { "&" } else { count.sign.as_str() };
            let words = if count.rest { format!("({sign})") } else { sign.to_owned() };
            say(&mut said, "counts", words);
        }
        for remark in bar.remarks("sung") {
            say(&mut said, "sung", &remark.text);
        }
        for (row, said_as) in [("words", "italic"), ("tone", "tones")] {
            let words = bar.remarks(row).iter().flat_map(|remark| remark.text.split_whitespace());
            words.for_each(|word| say(&mut said, said_as, word));
        }
        if let Some(times) = bar.repeat_end.filter(|times| *times > 2) {
            say(&mut said, "times", format!("×{times}"));
        }
        if let Some(ending) = bar.ending {
            say(&mut said, "endings", format!("{ending}."));
        }
        let repeats = usize::from(bar.repeat_start) + usize::from(bar.repeat_end.is_some());
        (0..repeats).for_each(|_| say(&mut said, "sign", "repeat"));
        for stroke in bar.air.iter().filter(|_| riff.form == Form::Tab) {
            say(&mut said, "sign", format!("air {:?}", stroke.pick));
        }
        for event in &bar.events {
            read_event(&mut said, riff, event, &mut pressed);
        }
    }
    riff.runs("mute").iter().for_each(|_| say(&mut said, "spans", "P.M."));
    riff.runs("ring").iter().for_each(|_| say(&mut said, "spans", "let ring"));
    sorted(said)
}

fn read_event(
    said: &mut Said,
    riff: &Riff,
    event: &Event,
    pressed: &mut BTreeMap<StringIndex, Fret>,
) {
    if event.signs.contains_key("accent") {
        say(said, "sign", "accent");
    }
    event.right.chars().filter(|sign| *sign != '.').for_each(|finger| {
        say(said, "italic", finger.to_string());
    });
    match (&riff.form, event.pick) {
        (Form::Words, _) | (_, None) => {}
        (_, Some(pick)) => say(said, "sign", format!("{pick:?}")),
    }
    if riff.form != Form::Tab {
        return;
    }
    let mut fingers: Vec<char> = Vec::new();
    for note in event.notes.iter().rev().filter(|_| riff.fingered) {
        fingers.extend(note.finger.map(crate::neck::Finger::sign));
    }
    fingers.dedup();
    fingers.iter().for_each(|finger| say(said, "left", finger.to_string()));
    if event.notes.iter().any(|note| note.vibrato) {
        say(said, "sign", "vibrato");
    }
    for note in &event.notes {
        read_note(said, note, pressed);
    }
}

fn read_note(said: &mut Said, note: &Note, pressed: &mut BTreeMap<StringIndex, Fret>) {
    let index = note.string.index();
    let string = format!("string {index}");
    let in_brackets = |text: String| if note.ghost { format!("({text})") } else { text };
    for way in [note.slide_in, note.slide_out].into_iter().flatten() {
        say(said, "sign", format!("slide {way:?} on {index}"));
    }
    if note.tapped {
        say(said, "taps", "t");
    }
    let fret = match note.sound {
        Sound::Harmonic(fret) => {
            pressed.insert(note.string, fret);
            return say(said, string, format!("<{}>", in_brackets(fret.to_string())));
        }
        Sound::Muted => {
            pressed.insert(note.string, Fret::OPEN);
            return say(said, string, in_brackets("×".to_owned()));
        }
        Sound::Fret(fret) => fret,
    };
    let graces = note
        .graces
        .iter()
        .map(|grace| (grace.sound, grace.ghost, grace.joined, grace.quarter_bend));
    let chain: Vec<(Fret, bool, Option<Joint>, bool)> =
        graces.chain([(fret, note.ghost, note.joined, note.quarter_bend)]).collect();
    for link in chain {
        read_link(said, note.string, link, pressed);
    }
}

/// Reads a note of a chain: its fret, whether it is in brackets, what joins it to the one before, and whether it is bent
/// a quarter tone.
fn read_link(
    said: &mut Said,
    on: StringIndex,
    (fret, ghost, joined, quarter): (Fret, bool, Option<Joint>, bool),
    pressed: &mut BTreeMap<StringIndex, Fret>,
) {
    let index = on.index();
    let string = format!("string {index}");
    let before = pressed.get(&on).copied();
    let number = if ghost { format!("({fret})") } else { fret.to_string() };
    match joined {
        Some(Joint::Bend | Joint::Release) => {
            let steps = i32::from(fret) - i32::from(before.unwrap_or(fret));
            if joined == Some(Joint::Release) && steps <= 0 {
                say(said, &string, format!("({fret})"));
            } else {
                say(said, "bends", size(2 * steps.max(0)));
            }
        }
        _ => {
            say(said, &string, number);
            pressed.insert(on, fret);
        }
    }
    match joined.filter(|_| before.is_some()) {
        Some(Joint::HammerOn) => say(said, "sign", format!("h on {index}")),
        Some(Joint::PullOff) => say(said, "sign", format!("p on {index}")),
        Some(Joint::Tap) => say(said, "sign", format!("t on {index}")),
        Some(Joint::Slide) => {
            let way = if before > Some(fret) { Slide::Down } else { Slide::Up };
            say(said, "sign", format!("slide {way:?} on {index}"));
        }
        _ => {}
    }
    if joined == Some(Joint::Tap) && before.is_none() {
        say(said, "taps", "t");
    }
    if quarter {
        say(said, "bends", size(1));
    }
}

/// How far a bend goes, in whole steps.
fn size(quarters: i32) -> String {
    match (quarters / 4, quarters % 4) {
        (0, part) => format!("up {}", ["", "¼", "½", "¾"][usize::try_from(part).unwrap()]),
        (whole, part) => {
            format!("up {whole}{}", ["", "¼", "½", "¾"][usize::try_from(part).unwrap()])
        }
    }
}
