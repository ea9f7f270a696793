//! What was found in a lesson, told on standard error.

use super::proof::colour_of;
use super::say_as_it_is;
use fretleaf::findings::report::visible::visible;
use fretleaf::findings::report::{Counts, terminal};
use fretleaf::words::Lang;
use fretleaf::{Finding, Source};

/// Prints the findings on standard error, the words around them in a language, and counts them.
pub fn report(source: &Source, findings: &[Finding], lang: Lang) -> Counts {
    reported(source, findings, lang).iter().for_each(|report| say_as_it_is(report));
    Counts::of(findings)
}

/// The findings as standard error is told them; nothing where there are none.
pub fn reported(source: &Source, findings: &[Finding], lang: Lang) -> Option<String> {
    let text = terminal::render(source, findings, lang, colour_of(&std::io::stderr()));
    let counts = Counts::of(findings).in_words();
    let counts = lang.reported("counts", &counts);
    (!findings.is_empty()).then(|| format!("{text}{}: {counts}", visible(&source.name)))
}
