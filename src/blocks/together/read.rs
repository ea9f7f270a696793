//! The lines of a `together` block: each a part's name and its riff.

use super::agree;
use crate::blocks::tab::parts::{Part, Parts};
use crate::blocks::{Offer, Others};
use crate::findings::rules::{block_syntax, unknown_name};
use crate::findings::source::Line;
use crate::findings::{Finding, Findings, Ground, Span};
use crate::lesson::Sound;
use crate::lesson::fence::Fence;
use crate::lesson::numbers::without_the;

/// The most parts of a block: so many have a channel each in a file of notes, and their staves room on a page.
const MOST_PARTS: usize = 15;

/// A part and where its riff is named.
pub(super) struct Named {
    pub part: Part,
    pub span: Span,
}

/// Reads the parts of a block, as far as they agree with the first; nothing where there is none.
pub(super) fn read(
    fence: &Fence<'_>,
    others: &Others<'_>,
    findings: &mut Findings,
) -> Option<Parts> {
    for phrase in &fence.phrases {
        findings.add(block_syntax::no_phrase(*phrase, "a `together` block"));
    }
    let lines =
        || fence.lines.iter().map(|line| line.trimmed()).filter(|line| !line.text.is_empty());
    if lines().count() < 2 {
        findings.add(
            block_syntax::at(fence.head, "a `together` block has two parts or more")
                .note("each stands on a line of its own, its name and its riff: `melody: hook`"),
        );
    }
    let mut named: Vec<Named> = Vec::new();
    if let Some(line) = lines().nth(MOST_PARTS) {
        let message = format!("a `together` block has at most {MOST_PARTS} parts");
        findings.add(block_syntax::at(line.whole(), message));
    }
    for line in lines().take(MOST_PARTS) {
        let Some(one) = part(line, fence, others, findings) else { continue };
        if let Some(wrong) = wrong_beside(&named, &one, line) {
            findings.add(wrong);
            continue;
        }
        named.push(one);
    }
    let parts = agree::made_equally_long(named, findings);
    (!parts.is_empty()).then_some(Parts { parts })
}

/// What keeps a part from standing under those above it.
fn wrong_beside(above: &[Named], one: &Named, line: Line<'_>) -> Option<Finding> {
    let name = &one.part.name;
    if above.iter().any(|other| other.part.name.eq_ignore_ascii_case(name)) {
        let message = format!("two parts are called `{name}`");
        return Some(block_syntax::at(line.whole(), message));
    }
    agree::wrong_bars(&above.first()?.part, &one.part, one.span)
}

/// Reads a line of a block.
fn part(
    line: Line<'_>,
    fence: &Fence<'_>,
    others: &Others<'_>,
    findings: &mut Findings,
) -> Option<Named> {
    let Some((name, riff)) = line.split_once(":").filter(|(name, _)| !name.text.is_empty()) else {
        findings.add(no_name(line, others));
        return None;
    };
    let riff = without_the(riff);
    if riff.text.is_empty() {
        let message = format!("nothing says what `{}` plays", name.text);
        findings.add(block_syntax::at(line.whole(), message).note("write `PART: RIFF`"));
        return None;
    }
    let Some(other) = others.named(riff.text) else {
        let finding = unknown_name::none(riff.whole(), "riff", riff.text);
        let known = others.called(Offer::Riff);
        let help = |finding: Finding| {
            finding.offer(&known.near(riff.text, 2), riff.whole(), str::to_owned)
        };
        let finding = findings.helped(finding, help);
        findings.add(finding);
        return None;
    };
    let Some(tab) = other.music.and_then(|music| music.tab()) else {
        // A riff that couldn't be read has been told where it stands.
        if !other.offers(Offer::Riff) {
            let message = format!("`{}` is no riff, nor one that was moved", riff.text);
            findings.add(block_syntax::at(riff.whole(), message));
        }
        return None;
    };
    if !tab.riff.timed {
        let message = format!("`{}` has no count, so nothing can be set under it", riff.text);
        findings.add(block_syntax::at(riff.whole(), message));
        return None;
    }
    let sound = sound(other.fence, fence);
    let part = Part { name: name.text.to_owned(), tab: tab.clone(), sound };
    Some(Named { part, span: riff.whole() })
}

/// What a riff sounds like in a block: as its own fence line says, or else the block's, or else the lesson.
fn sound(riff: &Fence<'_>, block: &Fence<'_>) -> Sound {
    let says = |fence: &&Fence<'_>| fence.own_keys.iter().any(|key| key == "instrument");
    let said = [riff, block].into_iter().find(says);
    said.unwrap_or(riff).setting.sound.unwrap_or_else(|| riff.setting.sounds_like())
}

/// A line without a part's name; the riff's own can be it.
fn no_name(line: Line<'_>, others: &Others<'_>) -> Finding {
    let message = format!("`{}` doesn't say which part it is", line.text);
    let finding = block_syntax::at(line.whole(), message).note("write `PART: RIFF`");
    let riff = without_the(line).text;
    match others.named(riff) {
        Some(other) if other.offers(Offer::Riff) => {
            let put = format!("{riff}: {riff}");
            finding.fix(format!("`{put}`"), line.whole(), put, Ground::Choice)
        }
        _ => finding,
    }
}
