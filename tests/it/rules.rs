//! Holds every rule to its page: the page has its sections, its example raises the rule, the repaired
//! one doesn't, every fix removes its finding and adds none, and the report reads well (snapshots).

#![allow(clippy::unwrap_used, clippy::expect_used)]

use fretleaf::Checked;
use fretleaf::findings::report::terminal::{self, Colour};
use fretleaf::findings::rules::RULES;
use fretleaf::findings::{Fix, Rule};
use fretleaf::lesson::world::MemoryWorld;

/// The rule whose example can't stand in a text file: it is about files that are no text.
const WITHOUT_EXAMPLE: &str = "not-text";

#[test]
fn every_rule_has_a_page_with_its_sections() {
    for rule in RULES {
        let page = rule.page();
        let mut sections = vec!["## Why it matters"];
        if rule.name != WITHOUT_EXAMPLE {
            sections.extend(["## An example", "## The same, repaired"]);
        }
        for section in sections {
            assert!(page.contains(section), "{}: no section `{section}`", rule.name);
        }
        assert!(!rule.summary().is_empty(), "{} says nothing", rule.name);
    }
}

#[test]
fn rule_names_are_unique_and_well_formed() {
    let mut names: Vec<&str> = RULES.iter().map(|rule| rule.name).collect();
    let well_formed = |name: &&str| name.chars().all(|c| c.is_ascii_lowercase() || c == '-');
    assert!(names.iter().all(well_formed), "{names:?}");
    let all = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), all);
}

#[test]
fn the_example_of_each_rule_raises_it() {
    for (rule, example, _) in examples() {
        let checked = check(rule, &example);
        assert!(
            raises(&checked, rule),
            "{}: not raised by its example:\n{}",
            rule.name,
            report(&checked)
        );
        insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!(format!("rules__{}", rule.name), report(&checked));
        });
    }
}

#[test]
fn the_repaired_example_raises_nothing_worse_than_a_hint_and_not_the_rule() {
    for (rule, _, repaired) in examples() {
        let checked = check(rule, &repaired);
        assert!(!raises(&checked, rule), "{}: raised still:\n{}", rule.name, report(&checked));
        let sound = checked.findings.iter().all(|found| found.weight.name() == "hint");
        assert!(sound, "{}: the repaired example is not sound:\n{}", rule.name, report(&checked));
    }
}

#[test]
fn every_fix_removes_its_finding_and_adds_none() {
    for (rule, example, _) in examples() {
        let before = check(rule, &example);
        for found in before.findings.iter().filter(|found| found.rule == rule) {
            for fix in &found.fixes {
                let after = check(rule, &apply(&before.source.text, fix));
                assert!(
                    after.findings.len() < before.findings.len() && !raises(&after, rule),
                    "{}: `{}` left\n{}",
                    rule.name,
                    fix.says,
                    report(&after)
                );
            }
        }
    }
}

#[test]
fn bytes_that_are_no_text_are_told_with_their_offset() {
    let checked = fretleaf::check("lesson.md", b"---\ntitle: \xFF\n---\n", &MemoryWorld::default());
    assert!(
        checked
            .findings
            .iter()
            .any(|found| found.rule.name == WITHOUT_EXAMPLE && found.message.contains("byte 11"))
    );
}

/// Each rule with its example and the same repaired, as whole lessons.
pub fn examples() -> impl Iterator<Item = (&'static Rule, String, String)> {
    RULES.iter().filter(|rule| rule.name != WITHOUT_EXAMPLE).map(|rule| {
        let page = rule.page();
        let example = snippet(&page, "## An example");
        let repaired = snippet(&page, "## The same, repaired");
        (*rule, whole(rule, example), whole(rule, repaired))
    })
}

/// The fenced text below a section's heading.
fn snippet(page: &str, section: &str) -> String {
    let below = page.split(section).nth(1).unwrap_or_default();
    let fenced = below.split("````").nth(1).unwrap_or_default();
    fenced.strip_prefix("text\n").unwrap_or(fenced).to_owned()
}

/// A snippet with a header, where it has none of its own.
fn whole(rule: &Rule, snippet: String) -> String {
    if snippet.starts_with("---\n") {
        return snippet;
    }
    format!("---\ntitle: About {}\n---\n\n{snippet}", rule.name)
}

/// Checks an example; a rule about a file that lies beside the lesson has it there.
fn check(rule: &Rule, lesson: &str) -> Checked {
    let world = match rule.name {
        "times" => MemoryWorld::default().with("lesson-times.csv", "Bridge, 0:40\n"),
        _ => MemoryWorld::default(),
    };
    fretleaf::check("lesson.md", lesson.as_bytes(), &world)
}

fn raises(checked: &Checked, rule: &Rule) -> bool {
    checked.findings.iter().any(|found| found.rule == rule)
}

fn report(checked: &Checked) -> String {
    terminal::render(&checked.source, &checked.findings, checked.lang, Colour::Without)
}

fn apply(text: &str, fix: &Fix) -> String {
    let mut text = text.to_owned();
    text.replace_range(fix.span.start..fix.span.end, &fix.replace);
    text
}
