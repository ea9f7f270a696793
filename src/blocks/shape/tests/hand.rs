//! What hands can hold, and what they can't.

use super::*;

/// Shapes that no hand of the size holds, or not with these fingers, and the rule that says so.
const IMPOSSIBLE: &[(&str, Hand, &str)] = &[
    ("? 12345x", Hand::SMALL, "finger-count"),
    ("? 54321x", Hand::MEDIUM, "finger-count"),
    ("? 246135", Hand::MEDIUM, "finger-count"),
    ("? x13579", Hand::LARGE, "finger-count"),
    ("? 123123", Hand::MEDIUM, "finger-count"),
    ("? 130211", Hand::MEDIUM, "finger-count"),
    ("? 531531", Hand::LARGE, "finger-count"),
    ("G 320003 by 21...2", Hand::MEDIUM, "finger-count"),
    ("F#m7 2x222x by 1.111.", Hand::MEDIUM, "finger-count"),
    ("F 133211 by 1332..", Hand::MEDIUM, "finger-count"),
    ("C x32010 by .32...", Hand::MEDIUM, "finger-count"),
    ("C x32010 by .12.3.", Hand::MEDIUM, "finger-crossing"),
    ("A x02220 by ..321.", Hand::MEDIUM, "finger-crossing"),
    ("E 022100 by .132..", Hand::MEDIUM, "finger-crossing"),
    ("D xx0232 by ...213", Hand::MEDIUM, "finger-crossing"),
    ("Am x02210 by ..213.", Hand::MEDIUM, "finger-crossing"),
    ("G 320003 by 12...3", Hand::MEDIUM, "finger-crossing"),
    ("F 133211 by 143211", Hand::MEDIUM, "finger-crossing"),
    ("Em 022000 by .32...", Hand::MEDIUM, "finger-crossing"),
    ("C7 x32310 by .3142.", Hand::MEDIUM, "finger-crossing"),
    ("Dm xx0231 by ...321", Hand::MEDIUM, "finger-crossing"),
    ("? 320008", Hand::MEDIUM, "reach"),
    ("? 141414", Hand::MEDIUM, "reach"),
    ("? 1xxxx7", Hand::LARGE, "reach"),
    ("? 3xxxx9", Hand::MEDIUM, "reach"),
    ("? 1xxxx5", Hand::SMALL, "reach"),
    ("? 135xxx", Hand::SMALL, "reach"),
    ("? 1xxxx6", Hand::MEDIUM, "reach"),
    ("? x1xx6x", Hand::MEDIUM, "reach"),
    ("? 2xxxx8", Hand::LARGE, "reach"),
    ("? 5 x x x x 12", Hand::LARGE, "reach"),
    ("? x26xxx by .12...", Hand::MEDIUM, "reach"),
    ("? 14xxxx by 12....", Hand::MEDIUM, "reach"),
    ("? 1xx5xx by T..1..", Hand::MEDIUM, "reach"),
];

#[test]
fn what_no_hand_holds_raises_the_rule_that_it_breaks() {
    assert!(IMPOSSIBLE.len() >= 30);
    for (line, hand, rule) in IMPOSSIBLE {
        let (_, findings) = read_in(line, Setting { hand: *hand, ..setting("EADGBE") });
        let of_the_hand = |rule: &&str| !matches!(*rule, "shape-misnamed" | "bass-note");
        let raised: Vec<&str> = rules(&findings).into_iter().filter(of_the_hand).collect();
        assert_eq!(raised, [*rule], "{line}");
        let finding = findings.iter().find(|finding| finding.rule.name == *rule).unwrap();
        let caution = finding.notes.iter().any(|note| note.contains("pain"));
        assert!(caution, "{line}: {:?}", finding.notes);
    }
}

#[test]
fn a_small_hand_reaches_four_frets_only_up_the_neck() {
    for (line, expected) in [
        ("? 1 x x x x 5 by 1....4", &["reach"][..]),
        ("? 1 x x x x 5", &["reach"]),
        ("? 12 x x x x 16 by 1....4", &[]),
        ("? 12 x x x x 16", &[]),
    ] {
        let (_, findings) = read_in(line, Setting { hand: Hand::SMALL, ..setting("EADGBE") });
        assert_eq!(rules(&findings), expected, "{line}");
    }
    let (_, findings) =
        read_in("? 1 x x x x 5", Setting { hand: Hand::SMALL, ..setting("EADGBE") });
    assert_eq!(
        findings[0].message,
        "fingers 1 and 4 must get 117 mm apart, at frets 1 and 5; a small hand reaches 108 mm"
    );
}

#[test]
fn easier_fingers_of_the_same_notes_are_offered() {
    for (line, mended) in [
        ("C x32010 by .12.3.", "C x32010 by .32.1."),
        ("G 3 2 0 0 0 3 by 2 1 . . . 2", "G 3 2 0 0 0 3 by 2 1 . . . 3"),
        ("F x12345x", ""),
        ("? 12345x", "? 12345x    by T 1 2 3 4 ."),
    ] {
        let (_, findings) = read_standard(line);
        let fix = findings.first().and_then(|finding| finding.fixes.first());
        assert_eq!(fix.map_or(String::new(), |fix| applied(line, fix)), mended, "{line}");
    }
}

/// The fingers of a block's lines.
fn fingered(text: &str) -> String {
    let shapes = read_in(text, setting("EADGBE")).0.unwrap().shapes;
    let sign = |finger: &Option<Finger>| finger.map_or('.', Finger::sign);
    let lines = shapes.iter().map(|shape| shape.fingering.fingers.iter().map(sign).collect());
    lines.collect::<Vec<String>>().join(" ")
}

/// A line that changes one string of the same root's chord keeps its other fingers.
#[test]
fn a_line_keeps_the_fingers_of_the_line_that_it_changes() {
    for (lines, fingers) in [
        ("D xx0232\nDsus4 xx0233\nDsus2 xx0230", "...132 ...134 ...13."),
        ("Dsus2 xx0230\nD xx0232\nDsus4 xx0233", "...13. ...132 ...134"),
        ("D xx0232 by ...243\nDsus2 xx0230", "...243 ...24."),
        ("E 022100\nEsus4 022200", ".231.. .234.."),
        // Another root, or more than a string: each as it is held by itself.
        ("D xx0232\nGsus4/D xx0233", "...132 ...123"),
        ("D xx0232\nE 022100\nDsus4 xx0233", "...132 .231.. ...123"),
    ] {
        assert_eq!(fingered(lines), fingers, "{lines}");
    }
}
