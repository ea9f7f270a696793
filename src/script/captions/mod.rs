//! Captions of what is said, as WebVTT (W3C): one or two short lines at a time.
//!
//! Speeches that follow one another without music or a pause between are cut together (`cut`): at
//! sentences and from speech to speech where that can be, else at clauses, else between words; what
//! would be up too shortly joins its neighbours. No caption reaches into what is played. A speech
//! that alone is too short borrows from the pause after it, unless a figure comes up there, or else
//! from the one before it; between music it is up just as long as it is said.

mod cut;

use super::{Cue, CueKind, Item, Script, What, clock};
use crate::lesson::header::CaptionWords;
use cut::{Ends, Row, Word};
use std::time::Duration;

/// The longest line, in characters, of at most two: what broadcasters' guides allow.
const LINE: usize = 42;
/// The shortest time that a caption is up: what broadcasters' guides ask for, so that it can be seen.
const SHORTEST: Duration = Duration::from_secs(1);
/// The longest time that one is up: what broadcasters' guides allow for two full lines.
const LONGEST: Duration = Duration::from_secs(6);

/// The captions' file.
pub fn write(script: &Script) -> String {
    let captions = captions(script).into_iter().map(|caption| {
        let (from, to) = (moment(caption.from), moment(caption.to));
        format!("\n{from} --> {to}\n{}\n", escaped(&caption.lines))
    });
    std::iter::once("WEBVTT\n".to_owned()).chain(captions).collect()
}

/// A few words on the screen.
struct Caption {
    /// The words in one line or two.
    lines: String,
    from: Duration,
    to: Duration,
}

/// All captions in order.
fn captions(script: &Script) -> Vec<Caption> {
    let mut captions: Vec<Caption> = Vec::new();
    for run in runs(script) {
        let free = captions.last().map_or(Duration::ZERO, |last| last.to);
        captions.extend(of_run(&run, free));
    }
    captions
}

/// The captions of a run; before the moment that is given the screen isn't free.
fn of_run(run: &Run<'_>, free: Duration) -> Vec<Caption> {
    let row = Row::new(&run.words);
    let mut captions: Vec<Caption> =
        row.cut().into_iter().filter_map(|part| row.caption(part)).collect();
    if let [alone] = captions.as_mut_slice() {
        let lacking = |caption: &Caption| SHORTEST.saturating_sub(caption.to - caption.from);
        alone.to += lacking(alone).min(run.silence_after);
        let before = alone.from.saturating_sub(free).min(run.silence_before);
        alone.from -= lacking(alone).min(before);
    }
    captions
}

/// Speeches that follow one another at once.
#[derive(Default)]
struct Run<'s> {
    words: Vec<Word<'s>>,
    silence_before: Duration,
    silence_after: Duration,
}

/// The runs of a script.
fn runs(script: &Script) -> Vec<Run<'_>> {
    let mut runs = Vec::new();
    let mut run = Run::default();
    // Whether a figure has come up since something was said.
    let mut shows = false;
    for item in &script.items {
        if let What::Speech { words, said, .. } = &item.what {
            let words = match script.captions {
                CaptionWords::AsWritten => words,
                CaptionWords::AsSaid => said,
            };
            run.words.extend(words_of(words, item));
            shows = false;
        } else if item.takes == Duration::ZERO {
            shows |= item.what.shows().is_some();
        } else {
            let silence = silence(item);
            run.silence_after = if shows { Duration::ZERO } else { silence };
            let next = Run { silence_before: silence, ..Run::default() };
            runs.push(std::mem::replace(&mut run, next));
        }
    }
    runs.push(run);
    runs
}

/// How long an item is a pause.
fn silence(item: &Item) -> Duration {
    match item.what {
        What::Cue(Cue { kind: CueKind::Pause, .. }) => item.takes,
        _ => Duration::ZERO,
    }
}

/// The words of a speech with the times that they are said at; a word that is wider than a line in
/// pieces.
fn words_of<'s>(speech: &'s str, item: &Item) -> Vec<Word<'s>> {
    let typed: Vec<&str> = speech.split_whitespace().collect();
    let counts = |word: &&str| u32::try_from(clock::words_in(word)).unwrap_or(u32::MAX);
    let all = typed.iter().map(counts).sum::<u32>().max(1);
    let moment = |said: u32| item.at + item.takes * said / all;
    let mut said = 0;
    let mut words = Vec::new();
    for (index, word) in typed.iter().enumerate() {
        let from = moment(said);
        said += counts(word);
        let to = moment(said);
        let ends = Ends::of(word, typed.get(index + 1).copied());
        words.extend(pieces(word, from, to, ends));
    }
    words
}

/// A word in pieces that fit on a line.
fn pieces(word: &str, from: Duration, to: Duration, ends: Ends) -> impl Iterator<Item = Word<'_>> {
    let starts = word.char_indices().step_by(LINE).map(|(start, _)| start);
    let starts: Vec<usize> = starts.chain([word.len()]).collect();
    let count = u32::try_from(starts.len().saturating_sub(1)).unwrap_or(u32::MAX).max(1);
    let pieces: Vec<&str> = starts
        .windows(2)
        .filter_map(|pair| match pair {
            [start, end] => word.get(*start..*end),
            _ => None,
        })
        .collect();
    (1..).zip(pieces).map(move |(number, text)| Word {
        text,
        from: whole(from + (to - from) * (number - 1) / count),
        to: whole(from + (to - from) * number / count),
        ends: if number == count { ends } else { Ends::Nothing },
    })
}

/// A moment in whole milliseconds, as the file has it.
fn whole(moment: Duration) -> Duration {
    Duration::from_millis(u64::try_from(moment.as_millis()).unwrap_or(u64::MAX))
}

/// `00:07:42.000`, as WebVTT writes it.
fn moment(at: Duration) -> String {
    let seconds = at.as_secs();
    let (hours, minutes) = (seconds / 3600, seconds / 60 % 60);
    format!("{hours:02}:{minutes:02}:{:02}.{:03}", seconds % 60, at.subsec_millis())
}

/// The signs that mean something to WebVTT, as escapes.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
