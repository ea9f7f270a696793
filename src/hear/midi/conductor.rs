//! The conductor's track: title, key, tempos, meters, and markers for bars and chords.

use super::Track;
use crate::hear::{HeardBar, Round, Score};
use crate::lesson::setting::Tempo;
use crate::theory::{Key, Meter, Ticks};
use midly::MetaMessage;
use midly::num::u24;

/// The conductor's track of a score. Its markers are the texts of [`markers`].
pub(super) fn track(score: &Score) -> Track<'_> {
    let mut track = Track::named(&score.title);
    if let Some(key) = score.key.as_ref().and_then(signature) {
        track.tell(Ticks::ZERO, key);
    }
    tempos(score, &mut track);
    meters(score, &mut track);
    markers(score, &mut track);
    track
}

/// A key's signature; none where it has more than seven signs. A mode with a minor third is told as minor.
fn signature(key: &Key) -> Option<MetaMessage<'static>> {
    let signs = i8::try_from(key.harmony().signature()).ok()?;
    let third = key.notes().any(|note| (note.class() + 12 - key.tonic.class()) % 12 == 4);
    (-7..=7).contains(&signs).then_some(MetaMessage::KeySignature(signs, !third))
}

/// Each tempo where the count-in of its round begins.
fn tempos(score: &Score, track: &mut Track<'_>) {
    let mut now = None;
    for (begins, Round { tempo, .. }) in score.rungs() {
        if now.replace(tempo) != Some(tempo) {
            track.tell(begins, MetaMessage::Tempo(u24::new(microseconds(tempo))));
        }
    }
}

/// How long a quarter is, to the nearest microsecond.
fn microseconds(tempo: Tempo) -> u32 {
    let (above, beneath) = if tempo.dotted { (2, 3) } else { (1, 1) };
    let beneath = beneath * u32::from(tempo.number.max(1));
    (60_000_000 * above + beneath / 2) / beneath
}

/// Each meter where it begins to hold, and again where bar lines counted from there would miss a bar: behind an
/// upbeat, and behind a bar cut short.
fn meters(score: &Score, track: &mut Track<'_>) {
    let first = score.bars.first().map(|bar| bar.meter);
    let mut now = first.map(|meter| (Ticks::ZERO, meter));
    if let Some(meter) = first {
        track.tell(Ticks::ZERO, signed(meter));
    }
    for (start, bar) in bars(score) {
        let is_short = bar.length < bar.meter.bar();
        let fits = now.is_some_and(|(since, meter)| {
            meter == bar.meter && (is_short || start.since(since) % meter.bar() == Ticks::ZERO)
        });
        if !fits {
            track.tell(start, signed(bar.meter));
            now = Some((start, bar.meter));
        }
    }
}

/// A meter: its lower number as a power of two, the MIDI clocks, 24 a quarter, of a felt beat, and eight 32nds a
/// quarter.
fn signed(meter: Meter) -> MetaMessage<'static> {
    let power = meter.unit().trailing_zeros() as u8;
    let clocks = u8::try_from(meter.felt_beat().0 * 24 / Ticks::QUARTER.0).unwrap_or(24);
    MetaMessage::TimeSignature(meter.beats(), power, clocks, 8)
}

/// A marker for each bar, `bar 1`, and for each chord where it begins to hold.
fn markers<'s>(score: &'s Score, track: &mut Track<'s>) {
    for (start, bar) in bars(score) {
        track.mark(start, format!("bar {}", bar.number));
        for (at, chord) in &bar.chords {
            let chord = chord.as_ref().map_or("N.C.".to_owned(), ToString::to_string);
            track.mark(start + *at, chord);
        }
    }
}

/// All bars as often as they are heard, each with its beginning.
fn bars(score: &Score) -> impl Iterator<Item = (Ticks, &HeardBar)> {
    score.times().flat_map(|time| score.bars.iter().map(move |bar| (time.start + bar.start, bar)))
}
