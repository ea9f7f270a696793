//! Where a draft tells the faults of a lesson: beneath the block in which one lies, at its phrase, or,
//! where there is neither, beneath the title.

use crate::blocks::{Block, Fault};
use crate::findings::Span;
use crate::findings::{Finding, Weight};
use crate::lesson::PhraseAt;
use std::collections::BTreeSet;

/// The faults of a lesson that lie in no block.
#[derive(Debug, Default)]
pub(super) struct Elsewhere {
    /// How many of them lie on phrases.
    pub on_phrases: usize,
    /// All others.
    pub others: Vec<Fault>,
}

/// Gives each block the faults that lie in it, in the order of their places.
pub(super) fn hand_out(
    findings: &[Finding],
    blocks: &mut [Block],
    phrases: &[PhraseAt],
) -> Elsewhere {
    let faults = findings.iter().filter(|finding| finding.weight == Weight::Fault);
    let told: BTreeSet<(Span, &str, &str)> =
        faults.map(|fault| (fault.span, fault.rule.name, fault.message.as_str())).collect();
    let mut elsewhere = Elsewhere::default();
    for (span, _, message) in told {
        let fault = Fault { span, message: message.to_owned() };
        let behind = blocks.partition_point(|block| block.span.start <= span.start);
        let block = behind.checked_sub(1).and_then(|at| blocks.get_mut(at));
        match block.filter(|block| span.start <= block.span.end) {
            Some(block) => block.faults.push(fault),
            None if is_on_phrase(span, phrases) => elsewhere.on_phrases += 1,
            None => elsewhere.others.push(fault),
        }
    }
    elsewhere
}

fn is_on_phrase(span: Span, phrases: &[PhraseAt]) -> bool {
    let behind = phrases.partition_point(|phrase| phrase.text.span.start <= span.start);
    let phrase = behind.checked_sub(1).and_then(|at| phrases.get(at));
    phrase.is_some_and(|phrase| span.start <= phrase.text.span.end)
}
