//! Reading a script: lines in square brackets are cues, all others speech.

use super::{Part, Say, Stage, cue};
use crate::findings::Findings;
use crate::findings::rules::{block_syntax, left_out};
use crate::lesson::fence::Fence;
use crate::lesson::speech;

/// Reads a `say` block; every line that isn't a cue is speech.
pub fn read(fence: &Fence<'_>, stage: &dyn Stage, findings: &mut Findings) -> Say {
    for phrase in &fence.phrases {
        findings.add(
            block_syntax::no_phrase(*phrase, "a `say` block").note(super::WRITTEN.fence_knows()),
        );
    }
    let part = |part: speech::Part<'_>| match part {
        speech::Part::Cue(line) => Part::Cue(cue::read(line, stage, findings)),
        speech::Part::Speech(speech) => {
            if let Some(tag) = speech.tag {
                findings.add(left_out::tags(tag));
            }
            Part::Speech(speech)
        }
    };
    Say { parts: speech::parts(&fence.lines).into_iter().map(part).collect() }
}
