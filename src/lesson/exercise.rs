//! What a fence line says about exercises: `blank` and `blank, answered` for a frame to fill in, `answer to NAME` for
//! what stands among the answers at the lesson's end.

use crate::findings::rules::{block_syntax, phrase_as_name};
use crate::findings::source::{Line, Span, Spanned};
use crate::findings::{Finding, Findings};

/// Whether a block is an exercise, or the answer to one.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Exercise {
    /// It is neither.
    #[default]
    None,
    /// Its frame is printed for a student to fill in.
    Blank {
        /// Whether it is printed filled in too, among the answers.
        answered: bool,
        /// Where that is said.
        span: Span,
    },
    /// It is printed among the answers, under the number of the figure of a name.
    AnswerTo(Spanned<String>),
}

/// What one phrase says of it.
enum Says<'a> {
    Blank,
    Answered,
    AnswerTo(Line<'a>),
    AnswerToNone,
}

/// The word that begins a block's place among the answers, and the one behind it.
const ANSWER: [&str; 2] = ["answer", "to"];

impl Exercise {
    /// Whether its frame is printed.
    pub fn is_blank(&self) -> bool {
        matches!(self, Exercise::Blank { .. })
    }

    /// Whether it is an answer to a figure.
    pub fn is_answer(&self) -> bool {
        matches!(self, Exercise::AnswerTo(_))
    }

    /// Takes the phrases that say it out of those of a fence line; what contradicts itself is told. `kept` says
    /// that the line keeps the block off the handout.
    pub(super) fn take(
        phrases: &mut Vec<Line<'_>>,
        kept: Option<Span>,
        findings: &mut Findings,
    ) -> Exercise {
        let mut exercise = Exercise::None;
        let mut answered = None;
        phrases.retain(|phrase| {
            let span = phrase.whole();
            let next = match says(*phrase) {
                None => return true,
                Some(Says::Answered) => {
                    answered = Some(span);
                    return false;
                }
                Some(Says::Blank) => Exercise::Blank { answered: false, span },
                Some(Says::AnswerTo(name)) => Exercise::AnswerTo(name.spanned()),
                Some(Says::AnswerToNone) => {
                    let finding = block_syntax::at(span, "this answers no figure");
                    findings
                        .add(finding.note("name its block behind it: `answer to find-the-roots`"));
                    return false;
                }
            };
            match &exercise {
                Exercise::None => exercise = next,
                before if before.is_blank() && next.is_blank() => {}
                _ => findings.add(twice(span)),
            }
            false
        });
        exercise.be_answered(answered, findings);
        if let Some(kept) = kept.filter(|_| exercise != Exercise::None) {
            let message = "an exercise, or its answer, is printed and can't be kept off the paper";
            findings.add(block_syntax::at(kept, message));
        }
        exercise
    }

    /// Takes in that the line says `answered`, at a place.
    fn be_answered(&mut self, said: Option<Span>, findings: &mut Findings) {
        let Some(at) = said else { return };
        match self {
            Exercise::Blank { answered, .. } => *answered = true,
            _ => findings
                .add(block_syntax::at(at, "`answered` stands without `blank`").note(
                    "`blank, answered` prints the frame, and the block filled in at the end",
                )),
        }
    }
}

fn twice(span: Span) -> Finding {
    block_syntax::at(span, "a block is an exercise, or the answer to one other, not both")
        .note("`blank, answered` prints a block filled in at the lesson's end too")
}

fn says(phrase: Line<'_>) -> Option<Says<'_>> {
    let words: Vec<Line<'_>> = phrase.words().collect();
    match words.as_slice() {
        [one] if one.is("blank") => Some(Says::Blank),
        [one] if one.is("answered") => Some(Says::Answered),
        [answer, to, rest @ ..] if answer.is(ANSWER[0]) && to.is(ANSWER[1]) => Some(match rest {
            [name] => Says::AnswerTo(*name),
            [the, name] if the.is("the") => Says::AnswerTo(*name),
            _ => Says::AnswerToNone,
        }),
        _ => None,
    }
}

/// Hints at a block's name that would make it an exercise behind a comma, if none is said to be one already; `kind` is
/// the word before the name, `rest` what follows it.
pub(super) fn hint_at_name(
    kind: Line<'_>,
    name: Line<'_>,
    rest: Line<'_>,
    findings: &mut Findings,
) {
    if !matches!(says(name), Some(Says::Blank | Says::Answered)) {
        return;
    }
    let rest = rest.trimmed().text;
    let more = !rest.is_empty() && !rest.starts_with(',');
    let behind = Span::new(kind.whole().end, name.whole().end);
    findings.add(phrase_as_name::exercise(name.whole(), name.text, kind.text, behind, more));
}

/// Whether what follows the kind on a fence line begins with `answer to`, which is no name.
pub(super) fn begins_answer(line: Line<'_>) -> bool {
    let mut words = line.words();
    ANSWER.iter().all(|known| words.next().is_some_and(|word| word.is(known)))
}
