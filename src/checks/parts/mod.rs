//! Parts that are played together, heard against each other: where two of them clash, or one with the chord
//! (`clash`), and where they cross or double each other (`cross`). A part is heard as a line of tones (`voice`).

mod clash;
mod cross;
mod voice;

#[cfg(test)]
mod tests;

use crate::blocks::reading::Read;
use crate::blocks::tab::parts::Parts;
use crate::findings::{Finding, Weight};
use crate::lesson::Lesson;
use voice::{Harmony, Voice};

/// Clashes and crossings in all `together` blocks, each with the index of its block. Blocks with faults aren't
/// judged.
pub(super) fn check(lesson: &Lesson<'_>, read: &Read) -> Vec<(usize, Finding)> {
    let mut findings = Vec::new();
    let blocks = lesson.fences.iter().zip(&read.music).zip(&read.findings);
    for (index, ((fence, music), found)) in blocks.enumerate() {
        let Some(parts) = music.as_ref().and_then(|music| music.as_a::<Parts>()) else { continue };
        if found.iter().any(|finding| finding.weight == Weight::Fault) {
            continue;
        }
        let harmony = Harmony::of(parts, fence.setting.key);
        let voices: Vec<Voice<'_>> =
            parts.parts.iter().map(|part| Voice::new(part, harmony.capo)).collect();
        let clashes = clash::check(&voices, &harmony);
        let crossings = cross::check(&voices, fence.head);
        findings.extend(clashes.into_iter().chain(crossings).map(|finding| (index, finding)));
    }
    findings
}
