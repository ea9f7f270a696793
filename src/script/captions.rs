//! Captions of what is said, as WebVTT (W3C): one or two short lines at a time.

use super::{Script, What, clock};
use std::time::Duration;

/// The longest caption, in characters: two lines of 42, what broadcasters' guides allow.
const LONGEST: usize = 84;

/// The captions' file.
pub fn write(script: &Script) -> String {
    let mut file = "WEBVTT\n".to_owned();
    for item in &script.items {
        let What::Speech { words, .. } = &item.what else { continue };
        for caption in captions(words, item.at, item.takes) {
            let (from, to) = (moment(caption.from), moment(caption.to));
            file += &format!("\n{from} --> {to}\n{}\n", escaped(&caption.lines()));
        }
    }
    file
}

/// A few words on the screen.
struct Caption<'w> {
    words: Vec<&'w str>,
    from: Duration,
    to: Duration,
}

impl Caption<'_> {
    /// Its words in lines of about equal length.
    fn lines(&self) -> String {
        textwrap::fill(&self.words.join(" "), LONGEST / 2)
    }
}

/// Cuts a speech into captions, each for as long as its words take.
fn captions(speech: &str, at: Duration, takes: Duration) -> Vec<Caption<'_>> {
    let pieces = pieces(speech);
    let spoken =
        |words: &[&str]| u32::try_from(clock::words_in(&words.join(" "))).unwrap_or(u32::MAX);
    let all = pieces.iter().map(|piece| spoken(piece)).sum::<u32>().max(1);
    let mut said = 0;
    let mut captions = Vec::new();
    for words in pieces {
        let from = at + takes * said / all;
        said += spoken(&words);
        let to = at + takes * said / all;
        // A lone sign that nobody says stands for no time.
        if to > from {
            captions.push(Caption { words, from, to });
        }
    }
    captions
}

/// The words in pieces that fit on the screen, ending with a sentence where they can.
fn pieces(speech: &str) -> Vec<Vec<&str>> {
    let mut pieces: Vec<Vec<&str>> = Vec::new();
    let mut length = 0;
    for word in speech.split_whitespace() {
        let ends = |word: &&str| word.ends_with(['.', '!', '?', ':', ';']);
        let full = length + word.chars().count() > LONGEST;
        let sentence =
            length > LONGEST / 2 && pieces.last().and_then(|piece| piece.last()).is_some_and(ends);
        match pieces.last_mut().filter(|_| !full && !sentence) {
            Some(piece) => piece.push(word),
            None => {
                pieces.push(vec![word]);
                length = 0;
            }
        }
        length += word.chars().count() + 1;
    }
    pieces
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
