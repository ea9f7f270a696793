//! Kinds of block that the language knows and this version passes over.

use super::effort::Effort;
use super::{Kind, Music, Offer, Others};
use crate::findings::Findings;
use crate::findings::rules::later;
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;

/// Such a kind.
#[derive(Debug)]
pub struct Later(lesson::Kind);

/// What several play at once.
pub static TOGETHER: Later =
    Later(lesson::Kind { name: "together", medium: Medium::Handout, phrases: &[] });

/// What is played over and over.
pub static LOOP: Later =
    Later(lesson::Kind { name: "loop", medium: Medium::Nowhere, phrases: &[] });

impl Kind for Later {
    fn written(&self) -> lesson::Kind {
        self.0
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
