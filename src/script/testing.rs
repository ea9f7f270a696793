//! Scripts for the tests, put together by hand.

use super::{Cue, CueKind, Item, Script, What};
use crate::lesson::header::CaptionWords;
use std::time::Duration;

/// A script of sections: a heading, and how many milliseconds are spoken, played and paused under it.
pub fn script(sections: &[(String, [u64; 3])]) -> Script {
    let cue =
        |kind: CueKind| What::Cue(Cue { words: "c".to_owned(), kind, named: None, slowly: None });
    let (mut items, mut now) = (Vec::new(), Duration::ZERO);
    for (title, [speech, music, pause]) in sections {
        let heading = What::Heading { level: 2, words: title.clone() };
        let (words, looks) = ("Go.".to_owned(), Vec::new());
        let said = What::Speech { said: words.clone(), words, looks, count: 1 };
        for (what, takes) in [
            (heading, 0),
            (said, *speech),
            (cue(CueKind::Play), *music),
            (cue(CueKind::Pause), *pause),
        ] {
            let takes = Duration::from_millis(takes);
            items.push(Item { at: now, takes, what, span: None, faulty: false });
            now += takes;
        }
    }
    let captions = CaptionWords::AsWritten;
    let (title, teacher) = ("t".to_owned(), String::new());
    Script {
        title,
        lang: crate::words::Lang::English,
        holds: Vec::new(),
        teacher,
        pace: 150,
        length: None,
        measured: None,
        captions,
        items,
        runs: now,
    }
}
