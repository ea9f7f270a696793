//! Harsh meetings on the beats that nothing resolves.
//!
//! What counts as harsh and what resolves it is what books on counterpoint and on harmony agree on: half steps and their
//! inversions; suspension, passing and neighbour note, appoggiatura, pedal. A note that key and chord don't have is
//! resolved by a half step alone.

use super::voice::{Harmony, Tone, Voice};
use crate::findings::rules::clash;
use crate::findings::{Finding, Span};
use crate::music::tab::{Bar, Form};
use crate::theory::nonchord::{Beside, InLine, NonChord, explain};
use crate::theory::{Chord, Midi, Ticks};

/// So many moments on a note that is struck again is looked past for where it goes (assumed).
const STRUCK_AGAIN: isize = 4;

/// A note and its part.
type Side<'v> = (&'v Voice<'v>, &'v Tone);

/// A beat of a bar.
struct Beat<'b> {
    index: usize,
    bar: &'b Bar,
    /// When, in the bar.
    at: Ticks,
}

/// All clashes of some parts, in the order of time.
pub(super) fn check(voices: &[Voice<'_>], harmony: &Harmony<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let Some(first) = voices.first() else { return findings };
    for (index, bar) in first.bars().iter().enumerate() {
        for (at, _) in bar.meter.beats_of(bar.length) {
            let beat = Beat { index, bar, at };
            let pairs = voices.iter().enumerate().flat_map(|(one, voice)| {
                voices.iter().skip(one + 1).map(move |other| (voice, other))
            });
            let between: Vec<Finding> =
                pairs.filter_map(|(one, other)| beat.between(one, other, harmony)).collect();
            if between.is_empty() && beat.is_strong() {
                let chord = voices.iter().filter_map(|voice| beat.with_chord(voice, harmony));
                findings.extend(chord);
            }
            findings.extend(between);
        }
    }
    findings
}

/// Whether two pitches rub: a half step apart, but for octaves.
fn is_harsh(one: Midi, other: Midi) -> bool {
    matches!((one - other).rem_euclid(12), 1 | 11)
}

/// The interval of two pitches that rub.
fn interval(one: Midi, other: Midi) -> &'static str {
    let apart = (one - other).abs();
    match apart % 12 {
        1 if apart == 1 => "a half step",
        1 => "a minor ninth",
        _ => "a major seventh",
    }
}

impl Beat<'_> {
    fn moment(&self) -> Ticks {
        self.bar.start + self.at
    }

    fn length(&self) -> Ticks {
        self.bar.meter.felt_beat()
    }

    /// Whether it is a strong one. On others a part may move on while the chord that is written still holds.
    fn is_strong(&self) -> bool {
        let before = self.bar.meter.bar().since(self.bar.length);
        self.bar.meter.is_strong(before + self.at)
    }

    /// Whether this is the first beat at which what began then sounds, and it sounds on for half a beat, of a
    /// dotted one a third.
    fn meets(&self, began: Ticks, end: Ticks) -> bool {
        let parts = if self.bar.meter.is_compound() { 3 } else { 2 };
        let is_first = began + self.length() > self.moment();
        is_first && end.since(self.moment()) >= self.length() / parts
    }

    /// The first clash between two parts at this beat.
    fn between(
        &self,
        one: &Voice<'_>,
        other: &Voice<'_>,
        harmony: &Harmony<'_>,
    ) -> Option<Finding> {
        let now = self.moment();
        let chord = harmony.chord(self.index, self.at);
        let of_others = |tone| other.sounding(now).map(move |against| (tone, against));
        let mut pairs = one.sounding(now).flat_map(of_others);
        let (tone, against) = pairs.find(|(tone, against)| {
            let is_music = Harmony::chord_has(chord, tone.pitch)
                && Harmony::chord_has(chord, against.pitch)
                || tone.meant
                || against.meant;
            is_harsh(tone.pitch, against.pitch)
                && self.meets(tone.start.max(against.start), tone.end.min(against.end))
                && !is_music
                && !self.is_resolved([(one, tone), (other, against)], harmony, chord)
        })?;
        let sides = [(one, tone), (other, against)];
        let is_odd =
            |(_, tone): &(&Voice<'_>, &Tone)| (harmony.is_foreign(tone.pitch, chord), tone.start);
        let [first, second] = sides;
        let (blamed, met) =
            if is_odd(&first) > is_odd(&second) { (first, second) } else { (second, first) };
        let told = |(voice, tone): (&Voice<'_>, &Tone)| {
            (harmony.name(tone.pitch, chord), voice.part.name.clone())
        };
        let ((name, part), (met_name, met_part)) = (told(blamed), told(met));
        let finding = clash::of_parts(
            blamed.0.span(blamed.1).unwrap_or_default(),
            [&name, &part],
            [&met_name, &met_part],
            interval(tone.pitch, against.pitch),
        );
        let finding = finding.heard_at(&blamed.0.place(self.index, self.at));
        Some(match met.0.span(met.1).filter(|span| *span != Span::default()) {
            Some(span) => finding.label(span, format!("{met_name} in `{met_part}`")),
            None => finding,
        })
    }

    /// Whether one of two notes that rub moves as dissonances do; where one is foreign, that one.
    fn is_resolved(
        &self,
        sides: [(&Voice<'_>, &Tone); 2],
        harmony: &Harmony<'_>,
        chord: Option<&Chord>,
    ) -> bool {
        let [one, other] = sides;
        let foreign = sides.map(|(_, tone)| harmony.is_foreign(tone.pitch, chord));
        let none_foreign = foreign == [false, false];
        let moves = |(voice, tone): Side<'_>, (against, met): Side<'_>, is_foreign: bool| {
            let fits = |tone: &Tone, at: Ticks| {
                !against.sounding(at).any(|other| is_harsh(tone.pitch, other.pitch))
            };
            match is_foreign {
                true => leads_on(voice, tone, &fits),
                false => {
                    self.is_in_line(voice, tone, &fits)
                        || none_foreign && self.is_pedal(voice, tone, met.end)
                }
            }
        };
        let [one_is, other_is] = foreign;
        ((none_foreign || one_is) && moves(one, other, one_is))
            || ((none_foreign || other_is) && moves(other, one, other_is))
    }

    /// A note of a part that rubs with the chord, a half step above one of its tones. Chords with a major third and a
    /// minor seventh are passed over: over them the notes of the blues are played.
    fn with_chord(&self, voice: &Voice<'_>, harmony: &Harmony<'_>) -> Option<Finding> {
        let now = self.moment();
        let chord = harmony.chord(self.index, self.at).filter(|chord| !is_dominant(chord))?;
        let tones = chord.notes();
        let riff = &voice.part.tab.riff;
        let judged_alone = riff.chord_at(self.index, self.at).is_some();
        let rubs = |tone: &&Tone| {
            let whole_beat = tone.end.since(now) >= self.length();
            let plain = !tone.meant && !Harmony::chord_has(Some(chord), tone.pitch);
            plain && whole_beat && self.meets(tone.start, tone.end)
        };
        if matches!(riff.form, Form::Strum(_)) {
            return None;
        }
        let (tone, below) = voice.sounding(now).filter(rubs).find_map(|tone| {
            let below =
                tones.iter().find(|below| (below.class() + 1) % 12 == tone.pitch.class())?;
            let is_foreign = harmony.is_foreign(tone.pitch, Some(chord));
            // A foreign note over its own chords is judged among the notes of its riff.
            let told = is_foreign && judged_alone;
            let fits = |tone: &Tone, _: Ticks| {
                Harmony::chord_has(harmony.chord(tone.bar, tone.at), tone.pitch)
            };
            let resolved = match is_foreign {
                true => leads_on(voice, tone, &fits),
                false => {
                    self.is_in_line(voice, tone, &fits) || self.is_pedal(voice, tone, tone.end)
                }
            };
            (!told && !resolved).then_some((tone, below))
        })?;
        let name = harmony.name(tone.pitch, Some(chord));
        let span = voice.span(tone).unwrap_or_default();
        let (below, chord) = (below.to_string(), chord.to_string());
        let finding = clash::with_chord(span, [&name, &voice.part.name], &below, &chord);
        Some(finding.heard_at(&voice.place(self.index, self.at)))
    }

    /// Whether a line explains a note at this beat, and goes on from it by step to a note that fits.
    fn is_in_line(
        &self,
        voice: &Voice<'_>,
        tone: &Tone,
        fits: &dyn Fn(&Tone, Ticks) -> bool,
    ) -> bool {
        let beside =
            |other: &Tone| Beside { pitch: other.pitch, in_chord: fits(other, other.start) };
        let held = Some(beside(tone)).filter(|_| tone.start < self.moment());
        let before = |by: isize| voice.nearest(tone, by).map(beside);
        let line = InLine {
            pitch: tone.pitch,
            strong: true,
            before: [held.or_else(|| before(-1)), before(-2)],
            after: [goes_to(voice, tone).map(beside), before(2)],
        };
        let resolves = line.after[0].is_some_and(|after| {
            after.in_chord && matches!((after.pitch - tone.pitch).abs(), 1 | 2)
        });
        match explain(&line) {
            Some(NonChord::DoubleNeighbour) => true,
            Some(_) => resolves,
            None => false,
        }
    }

    /// Whether a note of a single voice was there before this beat and stays until something moves that ends at a
    /// moment: a note struck with what it rubs with, or left with it, is none.
    fn is_pedal(&self, voice: &Voice<'_>, tone: &Tone, until: Ticks) -> bool {
        let again =
            |by: isize| voice.nearest(tone, by).is_some_and(|other| other.pitch == tone.pitch);
        let was = tone.start < self.moment() || again(-1);
        let stays = tone.end > until || again(1);
        !voice.is_chordal && was && stays
    }
}

/// The note to which another goes on, looked for past those that strike it again.
fn goes_to<'v>(voice: &'v Voice<'_>, tone: &Tone) -> Option<&'v Tone> {
    let mut next = (1..=STRUCK_AGAIN).map_while(|by| voice.nearest(tone, by));
    next.find(|other| other.pitch != tone.pitch)
}

/// Whether a note leads by a half step to one that fits.
fn leads_on(voice: &Voice<'_>, tone: &Tone, fits: &dyn Fn(&Tone, Ticks) -> bool) -> bool {
    goes_to(voice, tone).is_some_and(|to| (to.pitch - tone.pitch).abs() == 1 && fits(to, to.start))
}

/// Whether a chord has a major third and a minor seventh.
fn is_dominant(chord: &Chord) -> bool {
    let has = |above: u8| chord.classes() & 1 << ((chord.root.class() + above) % 12) != 0;
    has(4) && has(10)
}
