//! Whether each named tone of a lesson has one setting.

use crate::blocks::Music;
use crate::blocks::tab::Tab;
use crate::findings::Finding;
use crate::findings::Span;
use crate::findings::rules::name_taken;
use crate::music::tab::TONE;
use crate::music::tones;
use std::collections::BTreeMap;

/// Names of tones that are given a second setting, each with the index of the block in which it stands.
pub(super) fn check(music: &[Option<Box<dyn Music>>]) -> Vec<(usize, Finding)> {
    let mut known: BTreeMap<String, (&str, Option<Span>)> = BTreeMap::new();
    let mut findings = Vec::new();
    let blocks = music.iter().enumerate();
    let tabs = blocks.filter_map(|(index, music)| Some((index, music.as_ref()?.as_a::<Tab>()?)));
    for (index, tab) in tabs {
        let mut places = tab.places.remarks.get(TONE).into_iter().flatten();
        let remarks = tab.riff.bars.iter().flat_map(|bar| bar.remarks(TONE));
        for remark in remarks {
            let span = places.next().map(|(_, span)| *span);
            let Some((name, setting)) = tones::named(&remark.text) else { continue };
            let (first, place) = *known.entry(tones::key(name)).or_insert((setting, span));
            let (Some(span), Some(place)) = (span, place) else { continue };
            if first != setting {
                findings.push((index, name_taken::two_settings(span, name, first, place)));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use crate::blocks;
    use crate::checks::elaborate;
    use crate::findings::{Findings, Source};
    use crate::lesson;
    use crate::lesson::world::MemoryWorld;

    /// What is wrong with a lesson of riffs under these tone rows.
    fn told(tones: &[&str]) -> Vec<(String, usize)> {
        let riff = |tone: &&str| {
            format!(
                "~~~ riff\ncount  1       2       3       4       |\ne      3-------5-------7-------8-------|\ntone   {tone:<32}|\n~~~\n\n"
            )
        };
        let text =
            format!("---\ntitle: Sounds\n---\n\n{}", tones.iter().map(riff).collect::<String>());
        let source = Source::new("sounds.md", text.as_bytes());
        let mut findings = Findings::default();
        let read = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
        elaborate(read, &mut findings);
        let found = findings.list().iter().filter(|finding| finding.rule.name == "name-taken");
        found.map(|finding| (finding.message.clone(), finding.span.start)).collect()
    }

    #[test]
    fn a_tone_has_one_setting_in_the_whole_lesson() {
        assert!(told(&["lead: long delay", "lead", "lead: long delay", "clean"]).is_empty());
        let found = told(&["lead: long delay", "Lead: short delay", "lead"]);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0].0.contains("`Lead` has another setting already: `long delay`"),
            "{found:?}"
        );
        assert_eq!(told(&["thin: one     thin: two"]).len(), 1);
    }
}
