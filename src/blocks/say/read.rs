//! Reading a script: lines in square brackets are cues, all others speech.

use super::{Part, Say, Stage, cue};
use crate::findings::rules::{self, block_syntax, left_out};
use crate::findings::{Finding, Findings, Ground, Span};
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
        speech::Part::Cue(line) => {
            Some(Part::Cue(cue::read(line, (stage, fence.setting.names), findings)))
        }
        speech::Part::Speech(speech) => {
            if let Some(tag) = speech.tag {
                findings.add(left_out::tags(tag));
            }
            for bracket in &speech.brackets {
                let finding = among_words(fence.text, *bracket);
                findings.add(findings.helped(finding, |finding| parted(finding, fence.text)));
            }
            Some(Part::Speech(speech))
        }
        speech::Part::EndlessComment(span) => {
            findings.add(left_out::endless_comment(span));
            None
        }
    };
    Say { parts: speech::parts(&fence.lines).into_iter().filter_map(part).collect() }
}

/// What closes the words before it, and with them a sentence or a stress.
const STOPS: [char; 13] = ['.', ',', ';', ':', '!', '?', '…', ')', '*', '_', '"', '”', '’'];

/// The finding about words in brackets that stand among what is said, at a place in the lesson's text.
fn among_words(text: &str, bracket: Span) -> Finding {
    let written = text.get(bracket.start..bracket.end).unwrap_or_default();
    match speech::is_cue(written.trim_start_matches('[')) {
        true => rules::cue::among_words(bracket, written),
        false => rules::cue::said_as_typed(bracket, written),
    }
}

/// That finding with the repair that puts the words in brackets on a line of their own.
fn parted(finding: Finding, text: &str) -> Finding {
    let written = text.get(finding.span.start..finding.span.end).unwrap_or_default();
    let (place, parted) = on_its_own_line(text, finding.span);
    finding.fix(format!("`{written}` on a line of its own"), place, parted, Ground::Choice)
}

/// The change of the text that puts words in brackets on a line of their own: the blanks around them become
/// line ends, with what stands before all lines of the block; a full stop behind them goes to the words before.
fn on_its_own_line(text: &str, bracket: Span) -> (Span, String) {
    let before = text.get(..bracket.start).unwrap_or_default();
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    let line = before.get(line_start..).unwrap_or_default();
    let words = line.trim_start_matches([' ', '\t', '>']);
    let indent = line.get(..line.len() - words.len()).unwrap_or_default();
    let before = words.trim_end();
    let rest = text.get(bracket.end..).unwrap_or_default();
    let rest = rest.lines().next().unwrap_or_default();
    let behind = rest.trim_start_matches(STOPS);
    let stops = rest.get(..rest.len() - behind.len()).unwrap_or_default();
    let behind = behind.trim_start();
    let cue = text.get(bracket.start..bracket.end).unwrap_or_default();
    let cue = cue.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut parted = String::new();
    if !before.is_empty() {
        parted += &format!("{stops}\n{indent}");
    }
    parted += &cue;
    if !behind.is_empty() {
        parted += &format!("\n{indent}");
    }
    let start = bracket.start - (words.len() - before.len());
    (Span::new(start, bracket.end + rest.len() - behind.len()), parted)
}
