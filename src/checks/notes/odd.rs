//! `odd-bar-out`: a bar that repeats another but for one note, where that isn't the kind of change that
//! music makes on purpose.

use super::context::{Line, StringFret, Tone};
use super::repair::Sheet;
use super::repetition::{BarOf, Near, Odd, ends_its_bar, is_late, is_slip};
use super::score::{fit, is_foreign, likelihood};
use super::{Case, wrong};
use crate::findings::Span;
use crate::findings::rules::odd_bar_out;
use crate::findings::{Finding, Findings, Ground, Weight};
use crate::theory::Ticks;
use std::collections::BTreeSet;

/// The bars that differ from what they repeat, with the findings. `near` is in the order of its bars.
pub fn check(case: &Case<'_>, near: &[Near], settled: &BTreeSet<usize>) -> Vec<(usize, Finding)> {
    let of_riff = near.partition_point(|near| near.bar.0 < case.riff)
        ..near.partition_point(|near| near.bar.0 <= case.riff);
    let own = near.get(of_riff).unwrap_or_default().iter();
    own.filter(|near| !settled.contains(&near.bar.1))
        .filter(|one| is_odd(case, one, near))
        .take(Findings::PATIENCE)
        .filter_map(|one| doubt(case, one))
        .collect()
}

/// Whether the bar is likelier a slip than a change made on purpose, and is the one to blame. Versions that
/// agree are the best sign of what is right (Macrae and Dixon 2011), so more copies outvote one bar.
fn is_odd(case: &Case<'_>, near: &Near, all: &[Near]) -> bool {
    if near.own_copies > 1 || near.like == near.bar {
        return false;
    }
    match near.odd {
        Odd::Other(index, place) => differs_by_slip(case, near, index, place, all),
        Odd::More(index) => !on_purpose(case, near, index),
        Odd::Less(at, _) => lacks_on_no_purpose(case, near, at),
    }
}

fn differs_by_slip(
    case: &Case<'_>,
    near: &Near,
    index: usize,
    place: StringFret,
    all: &[Near],
) -> bool {
    let Some(tone) = case.line.tones.get(index).filter(|tone| !tone.meant) else { return false };
    let own = blame(case.line, case, tone, place);
    if is_change_of_chord(case, near, tone, place) {
        return false;
    }
    let is_far = !is_slip(tone.place, place);
    if near.copies > 1 {
        return own > 0.0 && !is_far || !on_purpose(case, near, index);
    }
    if own <= 0.0 && on_purpose(case, near, index) {
        return false;
    }
    // One against one: the bar whose own note fits less well is to blame; of equals the later.
    let other = all.binary_search_by_key(&near.like, |other| other.bar).ok();
    let other = other.and_then(|at| all.get(at)).filter(|other| other.like == near.bar);
    let theirs = other.and_then(|other| {
        let Odd::Other(index, place) = other.odd else { return None };
        let line = case.lines.get(other.bar.0)?;
        Some(blame(line, case, line.tones.get(index)?, place))
    });
    match theirs {
        Some(theirs) if theirs != own => own > theirs,
        _ => near.bar > near.like,
    }
}

/// How much better the other bar's note would fit here.
fn blame(line: &Line<'_>, case: &Case<'_>, tone: &Tone, place: StringFret) -> f64 {
    let Some(pitch) = line.pitch(place) else { return 0.0 };
    let habit =
        if std::ptr::eq(line, case.line) { case.habits.more_usual(tone, place) } else { 0.0 };
    likelihood(line, tone, pitch) - likelihood(line, tone, tone.pitch) + habit
}

/// Whether another chord explains the other note: what is written fits the chord here better.
fn is_change_of_chord(case: &Case<'_>, near: &Near, tone: &Tone, place: StringFret) -> bool {
    let Some(line) = case.lines.get(near.like.0) else { return false };
    let there = line.in_bar(near.like.1).iter().find(|other| other.at == tone.at);
    let same =
        there.is_some_and(|there| there.chord.map(|c| c.classes) == tone.chord.map(|c| c.classes));
    let Some(pitch) = case.line.pitch(place) else { return false };
    let named = !case.line.chords_are_inferred;
    named && !same && fit(case.line, tone, tone.pitch) >= fit(case.line, tone, pitch)
}

/// Whether the change is of the kind that music makes on purpose: at the end of the bar that ends
/// a phrase or the riff.
fn on_purpose(case: &Case<'_>, near: &Near, index: usize) -> bool {
    let Some(tone) = case.line.tones.get(index) else { return true };
    ends_phrase(case.line, near.bar) && ends_its_bar(case.line, tone)
}

/// Whether a bar is where music turns: the last, one before an ending, a repeat or a double line, or each
/// fourth, since phrases are oftenest four bars long.
fn ends_phrase(line: &Line<'_>, (_, bar): BarOf) -> bool {
    let Some(written) = line.riff.bars.get(bar) else { return true };
    let last = bar + 1 == line.bars.len();
    let turns =
        line.riff.bars.get(bar + 1).is_some_and(|next| next.ending.is_some() || next.repeat_start);
    last || turns || written.repeat_end.is_some() || written.double_end || written.number % 4 == 0
}

/// Whether a note that a bar lacks is missed: not where a phrase ends before it.
fn lacks_on_no_purpose(case: &Case<'_>, near: &Near, at: Ticks) -> bool {
    let last = case.line.in_bar(near.bar.1).last().is_none_or(|last| last.at < at);
    let late = case.line.riff.bars.get(near.bar.1).is_some_and(|bar| is_late(bar, at));
    match ends_phrase(case.line, near.bar) {
        true if last => false,
        true if late => is_lost(case, near, at),
        _ => true,
    }
}

/// Whether a note is missing together with its count: a column was lost.
fn is_lost(case: &Case<'_>, near: &Near, at: Ticks) -> bool {
    let counted = |(riff, bar): BarOf| {
        case.lines.get(riff).is_some_and(|line| count_at(line, bar, at).is_some())
    };
    case.line.riff.timed && counted(near.like) && !counted(near.bar)
}

fn doubt(case: &Case<'_>, near: &Near) -> Option<(usize, Finding)> {
    let finding = match near.odd {
        Odd::Other(index, place) => other_note(case, near, index, place)?,
        Odd::More(index) => note_more(case, near, index)?,
        Odd::Less(at, place) => note_less(case, near, at, place)?,
    };
    let finding = match place_of(case, near) {
        Some(span) => finding.label(span, "the bar that it repeats"),
        None => finding,
    };
    Some((near.bar.1, finding))
}

/// So many other bars must agree where a note is elsewhere than a slip leads: fewer may be varied on purpose (assumed).
const ENOUGH_COPIES: usize = 3;

/// One note is another one. Where nothing but one other bar speaks for either, the repair of that bar is offered too;
/// and where the two aren't a slip apart, nor the note foreign, it is a hint unless enough bars agree.
fn other_note(case: &Case<'_>, near: &Near, index: usize, place: StringFret) -> Option<Finding> {
    let tone = case.line.tones.get(index)?;
    let here = case.line.riff.place(tone.bar, tone.at, Some(tone.place.string));
    let (like, note) = (like_words(case, near.like), wrong::named(case, tone, tone.pitch));
    let finding = odd_bar_out::other_note(tone.span, &like, &note).heard_at(&here);
    let far = !is_slip(tone.place, place) && !is_foreign(case.line, tone, tone.pitch);
    let alone = near.copies < ENOUGH_COPIES || case.line.chords_are_inferred;
    // Against one other bar alone, a note of the chord is as likely right.
    let fits = near.copies == 1 && tone.chord.is_some_and(|chord| chord.holds(tone.pitch));
    let finding = if far && alone || fits { finding.weighing(Weight::Hint) } else { finding };
    let finding = wrong::with_readings(case, finding, tone, &[place]);
    let other = || {
        let line = case.lines.get(near.like.0).filter(|_| near.copies == 1)?;
        let is_other = |other: &&Tone| other.at == tone.at && other.place == place;
        let other = line.in_bar(near.like.1).iter().find(is_other)?;
        let sheet = Sheet { text: case.sheet.text, places: line.places };
        sheet.placed(other, tone.place)
    };
    Some(match other() {
        Some((span, text)) => {
            finding.fix(format!("{like} like this one"), span, text, Ground::Choice)
        }
        None => finding,
    })
}

/// A note too many: a hint where only one other bar lacks it.
fn note_more(case: &Case<'_>, near: &Near, index: usize) -> Option<Finding> {
    let tone = case.line.tones.get(index)?;
    let here = case.line.riff.place(tone.bar, tone.at, Some(tone.place.string));
    let finding = odd_bar_out::note_more(tone.span, &like_words(case, near.like)).heard_at(&here);
    let finding = weighed(finding, near);
    Some(match case.sheet.removed(tone) {
        Some((span, text)) => finding.fix("without this note", span, text, Ground::Choice),
        None => finding,
    })
}

/// A note too few, or its count with it: a hint where only one other bar has the note.
fn note_less(case: &Case<'_>, near: &Near, at: Ticks, place: StringFret) -> Option<Finding> {
    let (bar, like) = (near.bar.1, like_words(case, near.like));
    let here = case.line.riff.place(bar, at, Some(place.string));
    let span = case.line.places.bar(bar)?;
    let finding = odd_bar_out::note_less(span, &like, place.fret).heard_at(&here);
    let places = case.line.places.bars.get(bar)?;
    let (says, fix) = match count_at(case.line, bar, at).and_then(|count| places.counts.get(count))
    {
        Some(count) => {
            let fix = case.sheet.put_in(bar, *count, place);
            (format!("fret {} there", place.fret), fix)
        }
        None => ("the count and its note".to_owned(), count_put_in(case, near, at)),
    };
    let finding = if is_lost(case, near, at) { finding } else { weighed(finding, near) };
    Some(match fix {
        Some((span, text)) => finding.fix(says, span, text, Ground::Choice),
        None => finding,
    })
}

/// The columns of a lost count, as the other bar has them.
fn count_put_in(case: &Case<'_>, near: &Near, at: Ticks) -> Option<(Span, String)> {
    let (bar, own) = (near.bar.1, case.line.places.bars.get(near.bar.1)?);
    let other = case.lines.get(near.like.0)?;
    let there = other.places.bars.get(near.like.1)?;
    let counts = &case.line.riff.bars.get(bar)?.counts;
    let next = counts.iter().position(|count| count.at > at);
    let before = next.and_then(|next| own.counts.get(next)).copied();
    let lost = count_at(other, near.like.1, at)?;
    let columns = (*there.counts.get(lost)?, there.counts.get(lost + 1).copied());
    case.sheet.columns_put_in(bar, before, (other.places, near.like.1), columns)
}

/// The index of the count of a bar at a moment.
fn count_at(line: &Line<'_>, bar: usize, at: Ticks) -> Option<usize> {
    line.riff.bars.get(bar)?.counts.iter().position(|count| count.at == at)
}

/// A note that one of two copies lacks or adds is a hint (language section 6).
fn weighed(finding: Finding, near: &Near) -> Finding {
    if near.copies > 1 { finding } else { finding.weighing(Weight::Hint) }
}

/// The note that differs in the other bar; the bar where it has none.
fn place_of(case: &Case<'_>, near: &Near) -> Option<Span> {
    let line = case.lines.get(near.like.0)?;
    let tone =
        |at| line.in_bar(near.like.1).iter().find(|tone| tone.at == at).map(|tone| tone.span);
    let at = match near.odd {
        Odd::Other(index, _) => tone(case.line.tones.get(index)?.at),
        Odd::More(_) => None,
        Odd::Less(at, _) => tone(at),
    };
    at.or_else(|| line.places.bar(near.like.1))
}

/// "bar 1", "bar 1 of `hook`".
pub fn like_words(case: &Case<'_>, like: BarOf) -> String {
    let number = case
        .lines
        .get(like.0)
        .and_then(|line| line.riff.bars.get(like.1))
        .map_or(0, |bar| bar.number);
    let name = case.names.get(like.0).and_then(Option::as_ref).filter(|_| like.0 != case.riff);
    match name {
        Some(name) => format!("bar {number} of `{name}`"),
        None if like.0 != case.riff => format!("bar {number} of another riff"),
        None => format!("bar {number}"),
    }
}
