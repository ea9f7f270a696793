//! What a player has to know before the first note of a script, as the handout prints it.

use crate::lesson::header::Header;
use crate::neck::Tuning;
use crate::page::title::tuning;
use crate::words::paper::chords;

/// Key, tempo, a tuning that isn't the usual one, and capo, each where there is one.
pub(super) fn of(header: &Header) -> Vec<String> {
    let setting = &header.setting;
    let instrument = &setting.instrument;
    let holds = [
        setting.key.map(|key| key.printed()),
        gives_tempo(header).then(|| setting.tempo.printed()),
        (instrument.tuning != Tuning::standard()).then(|| tuning(&instrument.tuning)),
        (instrument.capo > 0).then(|| chords::capo(instrument.capo)),
    ];
    holds.into_iter().flatten().map(|words| header.lang.said(&words).into_owned()).collect()
}

/// Whether the header gives a tempo; else one is assumed, which is nobody's wish.
pub(super) fn gives_tempo(header: &Header) -> bool {
    header.given.iter().any(|given| given == "tempo")
}
