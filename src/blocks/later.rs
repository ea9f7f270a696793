//! Kinds of block that the language knows and this version passes over.

use super::effort::Effort;
use super::{Help, Kind, Music, Offer, Others};
use crate::findings::Findings;
use crate::findings::rules::later;
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::words::kinds;

/// Such a kind.
#[derive(Debug)]
pub struct Later(lesson::Kind, &'static str);

/// What is played over and over.
pub static LOOP: Later = Later(
    lesson::Kind { name: "loop", called: kinds::LOOP, medium: Medium::Nowhere, phrases: &[] },
    "Something to practise over. This version passes it over with a hint.",
);

impl Kind for Later {
    fn written(&self) -> lesson::Kind {
        self.0
    }

    fn help(&self) -> Help {
        Help { says: self.1, sections: Vec::new(), example: "" }
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Bars]
    }

    fn read(
        &self,
        fence: &Fence<'_>,
        _others: &Others<'_>,
        _effort: &mut Effort,
        findings: &mut Findings,
    ) -> Option<Box<dyn Music>> {
        findings.add(later::passed_over(fence.head));
        None
    }
}
