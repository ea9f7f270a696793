//! Numerals with figures in phrases.

use super::*;

#[test]
fn a_lone_six_follows_the_header_and_a_statement_takes_either() {
    for (figured, six, added) in [(true, "I6 (C/E)", "Iadd6 (C6)"), (false, "I6 (C6)", "I6 (C6)")] {
        let checked = |text: &str| {
            let mut phrase = phrase_in(text, Some("C major"));
            Arc::make_mut(&mut phrase.setting).figured_bass = figured;
            let mut findings = Findings::default();
            let set = check(&phrase, &names(), crate::words::Lang::English, &mut findings);
            assert!(findings.list().is_empty(), "{text}: {:?}", findings.list());
            set.printed.text()
        };
        assert_eq!(checked("I6"), six);
        assert_eq!(checked("Iadd6"), added);
        assert_eq!(checked("C/E is I6"), "C/E is I6");
        assert_eq!(checked("C6 is I6"), "C6 is I6");
    }
}
