//! A pattern that comes again and again within a bar, and once with another note: what `odd` asks of bars, asked of the
//! parts of one.

use super::context::Tone;
use super::repetition::{Index, ends_its_bar, is_slip};
use super::score::{is_foreign, likelihood};
use super::{Case, wrong};
use crate::findings::rules::odd_bar_out;
use crate::findings::{Finding, Findings, Weight};
use crate::theory::Ticks;
use std::collections::BTreeSet;

/// Into how many equal parts a bar is cut to find a pattern. Of two neither is the odd one.
const PARTS: [u32; 3] = [6, 4, 3];
/// A pattern of fewer notes comes again by chance (assumed).
const NOTES: usize = 2;
/// So many parts make it a doubt, where nothing else speaks against the note (assumed).
const ENOUGH_PARTS: u32 = 4;

/// A note that stands in the way of a bar's being one pattern over and over.
struct OddNote<'a> {
    tone: &'a Tone,
    /// The same note in another part.
    like: &'a Tone,
    /// How many parts the bar has.
    parts: u32,
}

/// The bars with such a note, with the findings. A bar that comes again as it is was meant so.
pub fn check(case: &Case<'_>, index: &Index, settled: &BTreeSet<usize>) -> Vec<(usize, Finding)> {
    let bars = 0..case.line.bars.len();
    bars.filter(|bar| !settled.contains(bar) && index.twins((case.riff, *bar)) == 0)
        .filter_map(|bar| Some((bar, finding(case, &odd_note(case, bar)?)?)))
        .take(Findings::PATIENCE)
        .collect()
}

fn odd_note<'a>(case: &Case<'a>, bar: usize) -> Option<OddNote<'a>> {
    let length = case.line.riff.bars.get(bar)?.length;
    let line = case.line;
    PARTS.iter().find_map(|parts| odd_among(line.in_bar(bar), length, *parts))
}

/// The one note by which one of so many parts of a bar differs from all others.
fn odd_among(tones: &[Tone], length: Ticks, parts: u32) -> Option<OddNote<'_>> {
    let part = length / parts;
    if part == Ticks::ZERO || part * parts != length {
        return None;
    }
    let of = |number: u32| -> &[Tone] {
        let from = tones.partition_point(|tone| tone.at < part * number);
        let to = tones.partition_point(|tone| tone.at < part * (number + 1));
        tones.get(from..to).unwrap_or_default()
    };
    let sign = |tone: &Tone| (tone.at % part, tone.place);
    let is_like = |one: &[Tone], other: &[Tone]| one.iter().map(sign).eq(other.iter().map(sign));
    let is_pattern = |one: &&[Tone]| {
        (0..parts).filter(|number| is_like(of(*number), one)).count() + 1 == parts as usize
    };
    let pattern = [of(0), of(1)].into_iter().find(is_pattern)?;
    let odd = (0..parts).map(of).find(|part| !is_like(part, pattern))?;
    let mut differ = odd.iter().zip(pattern).filter(|(tone, like)| sign(tone) != sign(like));
    let (tone, like) = differ.next()?;
    let one = odd.len() == pattern.len() && differ.next().is_none();
    let same_moment = tone.at % part == like.at % part;
    (one && same_moment && pattern.len() >= NOTES).then_some(OddNote { tone, like, parts })
}

/// The finding, where the note is a slip away from the pattern's and over the same chord. At a bar's end music turns.
fn finding(case: &Case<'_>, odd: &OddNote<'_>) -> Option<Finding> {
    let OddNote { tone, like, parts } = *odd;
    let place = like.place;
    let chord = |tone: &Tone| tone.chord.map(|chord| chord.classes);
    let foreign = is_foreign(case.line, tone, tone.pitch);
    let is_turn = ends_its_bar(case.line, tone) && !foreign;
    if tone.meant || is_turn || !is_slip(tone.place, place) || chord(tone) != chord(like) {
        return None;
    }
    let worse = likelihood(case.line, tone, like.pitch) > likelihood(case.line, tone, tone.pitch);
    let here = case.line.riff.place(tone.bar, tone.at, Some(tone.place.string));
    let note = wrong::named(case, tone, tone.pitch);
    let finding = odd_bar_out::in_pattern(tone.span, parts, &note).heard_at(&here);
    let finding = match foreign || (parts >= ENOUGH_PARTS && worse) {
        true => finding,
        false => finding.weighing(Weight::Hint),
    };
    let finding = finding.label(like.span, "the note that it has there else");
    Some(wrong::with_readings(case, finding, tone, &[place]))
}
