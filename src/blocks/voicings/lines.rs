//! The lines of a block: what each asks for, worked out, and what is told where a chord has no place.

use super::meaning::{Lack, Outcome, Wish};
use super::syntax::Request;
use super::{Change, Line, Melody, trouble};
use crate::findings::Findings;
use crate::findings::nearest::Known;
use crate::findings::rules::{block_syntax, unknown_name};
use crate::findings::source::{Span, Spanned};
use crate::lesson::Setting;
use crate::neck::{Fret, StringIndex};
use crate::theory::Chord;
use crate::words::numbered;
use std::rc::Rc;

/// Works a line out; what has no place is told. `None` where nothing is left.
pub(super) fn work_out(
    request: &Request,
    setting: &Setting,
    melody: &dyn Fn(&str) -> Result<Melody, Rc<Known>>,
    findings: &mut Findings,
) -> Option<Line> {
    let tops = tops(request, setting, melody, findings)?;
    let wish = wish(request, tops);
    let Outcome { shapes, lacking } = wish.work_out(setting);
    for (lack, chord) in
        lacking.iter().filter_map(|lack| Some((lack, request.chords.get(lack.chord)?)))
    {
        findings.add(match &lack.what {
            Lack::Place => trouble::no_place(&wish, lack.chord, setting, chord),
            Lack::Inversion(wanted, nearest) => {
                trouble::no_inversion(*wanted, nearest.as_ref(), chord)
            }
        });
    }
    let leads = request.phrases.keep.is_none() && shapes.len() > 1;
    let (family, span) = (request.family, request.span);
    (!shapes.is_empty()).then_some(Line { family, shapes, leads, span })
}

fn wish(request: &Request, tops: Vec<Option<(StringIndex, Fret)>>) -> Wish {
    let phrases = &request.phrases;
    let chords = request.chords.iter().map(|chord| chord.value.clone());
    Wish {
        chords: chords.zip(tops).collect(),
        family: request.family,
        strings: phrases.strings.clone(),
        frets: None,
        near: phrases.near,
        starting: phrases.starting,
        keep: phrases.keep,
    }
}

/// The note on top of each chord, where a riff gives one. `None` where the riff doesn't fit.
fn tops(
    request: &Request,
    setting: &Setting,
    melody: &dyn Fn(&str) -> Result<Melody, Rc<Known>>,
    findings: &mut Findings,
) -> Option<Vec<Option<(StringIndex, Fret)>>> {
    let Some(name) = &request.phrases.under else { return Some(vec![None; request.chords.len()]) };
    let melody = match melody(&name.value) {
        Ok(melody) => melody,
        Err(names) => {
            let what = "`riff` that can be read";
            let finding = unknown_name::none(name.span, what, &name.value);
            let near = names.near(&name.value, 2);
            findings.add(finding.offer(&near, name.span, |near| format!("under {near}")));
            return None;
        }
    };
    let (given, changes) = (request.chords.len(), melody.changes.len());
    if given != changes {
        let message = format!(
            "the line has {}, and the harmony of `{}` changes {}",
            numbered(given, "chord"),
            name.value,
            numbered(changes, "time")
        );
        let finding = block_syntax::at(chords_span(request), message);
        let names: Vec<String> =
            melody.changes.iter().map(|change| format!("`{}`", change.chord)).collect();
        findings.add(if names.is_empty() {
            finding
                .note("the riff has no chords: give it a `chord` row, or `over` a `changes` block")
        } else {
            finding.note(format!("its chords are {}", names.join(" ")))
        });
        return None;
    }
    let anywhere = wish(request, Vec::new());
    let under = |(change, chord): (&Change, &Spanned<Chord>)| {
        let fits = |top: &(StringIndex, Fret)| anywhere.has_place(&chord.value, *top, setting);
        let notes = [change.top, change.highest].into_iter().flatten();
        notes.into_iter().find(fits).or(change.top)
    };
    Some(melody.changes.iter().zip(&request.chords).map(under).collect())
}

fn chords_span(request: &Request) -> Span {
    request.chords.iter().map(|chord| chord.span).reduce(Span::to).unwrap_or(request.span)
}
