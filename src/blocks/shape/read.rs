//! Reads the lines of a `shape` block: name, frets, fingers, caption.

use super::fingers::work_out;
use super::{Name, Shape, Shapes, WRITTEN};
use crate::blocks::chord_box::Window;
use crate::blocks::misnamed;
use crate::findings::hand::called;
use crate::findings::rules::{block_syntax, fret_range, unknown_chord};
use crate::findings::source::{Line, Span, Spanned};
use crate::findings::{Finding, Findings};
use crate::lesson::Setting;
use crate::lesson::exercise::Exercise;
use crate::lesson::fence::Fence;
use crate::lesson::fret_row::FretRow;
use crate::neck::claim::{self, Claim};
use crate::neck::{Finger, Fingering, Fret, by_string};
use crate::theory::{Chord, Names, Printed};
use crate::words::help::{Sign, explained, sign};
use crate::words::terms;

/// What stands in a line, as the help page has it.
pub(super) const SIGNS: [Sign; 10] = [
    sign("Cadd9", "the chord's name, checked"),
    sign("C over E", "the same with its bass, as `C/E` is"),
    sign("?", "the name that is found is printed"),
    sign("(high)", "a second name, which tells twins apart"),
    sign("x 3 2 0 3 0", "frets; `x` isn't played, `0` is open"),
    sign("577555", "below fret 10 also run together"),
    sign("by . 2 1 . 3 .", "a finger for each string; `.` is none, `T` the thumb"),
    sign("by 134111", "one finger on several strings is a barre"),
    sign("-- let it ring", "a caption beneath the box"),
    sign("# my own note", "a line that isn't read"),
];

/// Reads a `shape` block and checks its shapes. A line that can't be read is a finding and is left
/// out; `None` where no shape is left.
pub fn read(fence: &Fence, findings: &mut Findings) -> Option<Shapes> {
    for phrase in &fence.phrases {
        findings
            .add(block_syntax::no_phrase(*phrase, "a `shape` block").note(WRITTEN.fence_knows()));
    }
    let lines: Vec<&Line> =
        fence.lines.iter().filter(|line| !line.text.trim().is_empty()).collect();
    if lines.is_empty() {
        let empty = block_syntax::at(fence.head, "the block has no shapes");
        findings.add(empty.note("write one shape a line, such as `Aadd9  x 0 2 4 2 0`"));
    }
    let mut wishes = Vec::new();
    let mut alone = Vec::new();
    for line in lines {
        match read_line(line, &fence.exercise) {
            Ok(Written::Whole(wish)) => wishes.push(wish),
            Ok(Written::Alone(name)) => alone.push(name),
            Err(finding) => findings.add(*finding),
        }
    }
    let shapes = work_out(&wishes, &fence.setting, findings);
    let frames = match fence.exercise.is_blank() {
        true => frames(&shapes, alone, &fence.setting, findings),
        false => Vec::new(),
    };
    (!shapes.is_empty() || !frames.is_empty()).then_some(Shapes { shapes, frames })
}

/// The empty boxes of a block to fill in, in the order of its lines.
fn frames(
    shapes: &[Shape],
    alone: Vec<Alone>,
    setting: &Setting,
    findings: &mut Findings,
) -> Vec<Shape> {
    let strings = setting.instrument.tuning.len();
    let silent = || Fingering { frets: vec![None; strings], fingers: Vec::new() };
    let emptied = |shape: &Shape| {
        let blank = Some(Window::of(&shape.fingering.frets));
        Shape { fingering: silent(), blank, ..shape.clone() }
    };
    let mut frames: Vec<Shape> = shapes.iter().map(emptied).collect();
    frames.extend(alone.into_iter().map(|Alone { name, twin, caption, span }| {
        let name = named(&name, setting.names, findings).map_or_else(Name::Unread, Name::Given);
        let blank = Some(Window::of(&[]));
        Shape { name, twin, fingering: silent(), caption: caption.map(Printed::plain), blank, span }
    }));
    frames.sort_by_key(|frame| frame.span.start);
    frames
}

/// The chord that a name means, or, where that is told to be none, what is written.
fn named(name: &Spanned<String>, names: Names, findings: &mut Findings) -> Result<Chord, String> {
    let Spanned { value, span } = name;
    names.chord(value).map_err(|error| {
        findings.add(unknown_chord::unread(*span, value, &error, str::to_owned));
        value.clone()
    })
}

/// A reading that ends at its first fault.
type Reading<T> = Result<T, Box<Finding>>;

/// What a line of a block says.
enum Written<'a> {
    /// A shape.
    Whole(Wish<'a>),
    /// A name without frets, for a student to find them.
    Alone(Alone),
}

/// A chord that a student is to find a shape for.
struct Alone {
    name: Spanned<String>,
    twin: Option<String>,
    caption: Option<String>,
    span: Span,
}

/// A shape that is to be named, or checked against its name: made of a line of a block, or of what a chart
/// is asked for.
#[derive(Debug)]
pub struct Wish<'a> {
    /// What it is called; `None` where its name is to be found.
    pub name: Option<Spanned<String>>,
    /// The second name, written in brackets.
    pub twin: Option<String>,
    /// The frets.
    pub row: FretRow<'a>,
    /// The fingers, one for each string, and the place of all.
    pub by: Option<Spanned<Vec<Spanned<Option<Finger>>>>>,
    /// The caption.
    pub caption: Option<String>,
    /// Where it stands.
    pub span: Span,
}

/// A wish that fits the instrument.
pub(super) struct Fitted<'w, 'a> {
    pub wish: &'w Wish<'a>,
    pub frets: Vec<Option<Fret>>,
    /// The fingers that are written.
    pub by: Option<Vec<Option<Finger>>>,
    pub name: Name,
}

fn fault<T>(span: Span, message: impl Into<String>, advice: &str) -> Reading<T> {
    Err(Box::new(block_syntax::at(span, message).note(advice)))
}

/// Takes a line apart. In a block that is to be filled in it may be a name alone.
fn read_line<'a>(line: &Line<'a>, exercise: &Exercise) -> Reading<Written<'a>> {
    let (text, caption) = split_caption(*line);
    let words: Vec<Line> = text.words().collect();
    let (name, rest) = read_name(&words).ok_or_else(|| no_name(line))?;
    let (twin, rest) = read_twin(rest)?;
    if rest.is_empty() && exercise.is_blank() {
        let (name, span) = (may_stand_alone(name, exercise)?, line.trimmed().whole());
        return Ok(Written::Alone(Alone { name, twin, caption, span }));
    }
    let by = rest.iter().position(|word| word.is("by"));
    let (frets, fingers) = rest.split_at(by.unwrap_or(rest.len()));
    let row = read_row(line, frets, name.span)?;
    let by = match fingers.split_first() {
        Some((by, fingers)) => Some(read_fingers(by, fingers)?),
        None => None,
    };
    let span = words.last().map_or(name.span, |last| name.span.to(last.whole()));
    let name = Some(name).filter(|name| name.value != "?");
    Ok(Written::Whole(Wish { name, twin, row, by, caption, span }))
}

/// The name of a shape without frets; a fault where they are needed for it, or for its answer.
fn may_stand_alone(name: Spanned<String>, exercise: &Exercise) -> Reading<Spanned<String>> {
    if matches!(exercise, Exercise::Blank { answered: true, .. }) {
        let advice =
            "`blank, answered` prints each shape filled in too; write its frets behind its name";
        return fault(name.span, format!("`{}` has no frets to answer with", name.value), advice);
    }
    if name.value == "?" {
        let advice = "write the chord's name, or the frets whose name is to be found";
        return fault(name.span, "`?` asks for the name of frets, and there are none", advice);
    }
    Ok(name)
}

fn no_name(line: &Line) -> Box<Finding> {
    let finding = block_syntax::at(line.whole(), "the shape has no name");
    Box::new(finding.note("write `?` for the name to have it found"))
}

/// Splits off the caption behind `--`, – or —.
fn split_caption(line: Line<'_>) -> (Line<'_>, Option<String>) {
    let signs = ["--", "–", "—"];
    let sign = line.words().find_map(|word| {
        let sign = signs.into_iter().find(|sign| word.text.starts_with(sign))?;
        Some(word.split_at(sign.len()).0)
    });
    let Some(sign) = sign else { return (line, None) };
    let (text, caption) = line.around(sign);
    (text, (!caption.text.is_empty()).then(|| caption.text.to_string()))
}

/// The chord's name at the front: one word, or `A over C#`.
fn read_name<'w, 'a>(words: &'w [Line<'a>]) -> Option<(Spanned<String>, &'w [Line<'a>])> {
    match words {
        [chord, over, bass, rest @ ..] if over.is("over") => {
            let value = format!("{}/{}", chord.text, bass.text);
            Some((Spanned { value, span: chord.whole().to(bass.whole()) }, rest))
        }
        [name, rest @ ..] => Some((name.spanned(), rest)),
        [] => None,
    }
}

/// The second name in brackets, if there is one.
fn read_twin<'w, 'a>(words: &'w [Line<'a>]) -> Reading<(Option<String>, &'w [Line<'a>])> {
    let Some(first) = words.first().filter(|word| word.text.starts_with('(')) else {
        return Ok((None, words));
    };
    let Some(last) = words.iter().position(|word| word.text.ends_with(')')) else {
        return fault(first.whole(), "this bracket is never closed", "close it with `)`");
    };
    let (inside, rest) = words.split_at(last + 1);
    let inside: Vec<&str> = inside.iter().map(|word| word.text).collect();
    let twin = inside.join(" ");
    let twin = twin.trim_start_matches('(').trim_end_matches(')').trim();
    Ok(((!twin.is_empty()).then(|| twin.to_string()), rest))
}

fn read_row<'a>(line: &Line<'a>, frets: &[Line], name: Span) -> Reading<FretRow<'a>> {
    let Some((first, last)) = frets.first().zip(frets.last()) else {
        let advice = "write a fret for each string behind the name, such as `x 0 2 4 2 0`; only where the \
                      fence line says `, blank` may a name stand alone";
        return fault(name, "the shape has no frets", advice);
    };
    FretRow::read(line.from_to(*first, *last)).or_else(|error| {
        fault(error.span, error.value, "a fret is a number, or `x` for a string that is not played")
    })
}

fn read_fingers(by: &Line, words: &[Line]) -> Reading<Spanned<Vec<Spanned<Option<Finger>>>>> {
    let Some((first, last)) = words.first().zip(words.last()) else {
        let advice = "write a finger for each string, `.` for none: `by . . 1 3 2 .`";
        return fault(by.whole(), "no fingers behind `by`", advice);
    };
    let span = first.whole().to(last.whole());
    let signs: Vec<Line> =
        if words.len() > 1 { words.to_vec() } else { first.characters().collect() };
    let fingers = signs.iter().map(read_finger).collect::<Reading<_>>()?;
    Ok(Spanned { value: fingers, span })
}

fn read_finger(sign: &Line) -> Reading<Spanned<Option<Finger>>> {
    let mut characters = sign.text.chars();
    let single = characters.next().filter(|_| characters.next().is_none());
    let value = match single {
        Some('.') => None,
        _ => match single.and_then(Finger::from_char) {
            Some(finger) => Some(finger),
            None => {
                let advice = format!("fingers are {}", explained(&terms::fingers()));
                return fault(sign.whole(), format!("`{}` is no finger", sign.text), &advice);
            }
        },
    };
    Ok(Spanned { value, span: sign.whole() })
}

impl<'a> Wish<'a> {
    /// What the line says on the instrument in force, its name checked; `None` where its frets or fingers don't
    /// fit.
    pub(super) fn fit(&self, setting: &Setting, findings: &mut Findings) -> Option<Fitted<'_, 'a>> {
        let frets = fitting_frets(&self.row, setting, findings)?;
        let by = match &self.by {
            Some(by) => Some(fitting_fingers(by, &frets, setting, findings)?),
            None => None,
        };
        let name = self.understand_name(&frets, setting, findings);
        Some(Fitted { wish: self, frets, by, name })
    }

    /// The chord that a shape is called, checked against what it sounds.
    fn understand_name(
        &self,
        frets: &[Option<Fret>],
        setting: &Setting,
        findings: &mut Findings,
    ) -> Name {
        let (instrument, key) = (&setting.instrument, setting.key.as_ref());
        let Some(written) = &self.name else {
            return Name::Found(claim::names(frets, instrument, key).into_iter().next());
        };
        let chord = match named(written, setting.names, findings) {
            Ok(chord) => chord,
            Err(unread) => return Name::Unread(unread),
        };
        let claim = Claim { chord: &chord, frets, instrument, hand: setting.hand };
        let place = misnamed::ClaimPlace { name: written.span, row: &self.row, key };
        if let Some(finding) = misnamed::check(&claim, &place, findings) {
            findings.add(finding);
        }
        Name::Given(chord)
    }
}

/// The frets, if there is one for each string and all are on the neck.
fn fitting_frets(
    row: &FretRow,
    setting: &Setting,
    findings: &mut Findings,
) -> Option<Vec<Option<Fret>>> {
    let instrument = &setting.instrument;
    let (strings, given) = (instrument.tuning.len(), row.frets.len());
    if given != strings {
        let message = format!("{strings} strings need {strings} frets, here are {given}");
        let finding = block_syntax::at(row.span(), message);
        findings.add(if row.together && given > strings {
            finding.note("part the frets by spaces where one has two digits: `x 10 12 12`")
        } else {
            finding.note("write `x` for a string that is not played, `0` for an open one")
        });
        return None;
    }
    let last = instrument.last_fret();
    let mut on_neck = true;
    let mut frets = Vec::new();
    for fret in &row.frets {
        let fitting = fret.value.map(|number| {
            let fret = u8::try_from(number).ok().map(Fret::new);
            fret.filter(|fret| *fret <= last)
        });
        if fitting == Some(None) {
            let number = fret.value.unwrap_or_default();
            findings.add(fret_range::off_the_neck(fret.span, number, instrument));
            on_neck = false;
        }
        frets.push(fitting.flatten());
    }
    on_neck.then_some(frets)
}

/// The fingers, if there is a sign for each string and each presses one fret.
fn fitting_fingers(
    by: &Spanned<Vec<Spanned<Option<Finger>>>>,
    frets: &[Option<Fret>],
    setting: &Setting,
    findings: &mut Findings,
) -> Option<Vec<Option<Finger>>> {
    let (strings, given) = (frets.len(), by.value.len());
    if given != strings {
        let message = format!("{strings} strings need {strings} fingers, here are {given}");
        let finding = block_syntax::at(by.span, message);
        findings.add(finding.note("write `.` for a string that no finger presses"));
        return None;
    }
    let mut sound = true;
    let mut pressed: Vec<(Finger, Fret)> = Vec::new();
    for ((string, sign), fret) in by_string(&by.value).zip(frets) {
        let Some(finger) = sign.value else { continue };
        let number = setting.instrument.tuning.number(string);
        let other = pressed.iter().find(|(known, at)| *known == finger && Some(*at) != *fret);
        let message = match (fret, other) {
            (None, _) => format!("{} on string {number}, which is silent", called(finger)),
            (Some(Fret::OPEN), _) => {
                format!("{} on string {number}, which is open", called(finger))
            }
            (Some(fret), Some((_, other))) => {
                format!("{} can't press frets {other} and {fret} at once", called(finger))
            }
            (Some(fret), None) => {
                pressed.push((finger, *fret));
                continue;
            }
        };
        sound = false;
        findings.add(block_syntax::at(sign.span, message));
    }
    sound.then(|| by.value.iter().map(|sign| sign.value).collect())
}
