//! Holds the SARIF report to the standard: every rule's example is reported, and the report is checked
//! against the schema of SARIF 2.1.0 (`tests/sarif`, from the npm package node-sarif-builder 4.1.0, whose
//! licence lies beside it).

#![allow(clippy::unwrap_used, clippy::expect_used)]

use fretleaf::Checked;
use fretleaf::findings::report::sarif;
use fretleaf::findings::rules::RULES;
use fretleaf::lesson::world::MemoryWorld;
use serde_json::Value;

fn check(name: &str, lesson: &[u8]) -> Checked {
    fretleaf::check(name, lesson, &MemoryWorld::default())
}

fn report(checked: &[Checked]) -> Value {
    let lessons: Vec<_> =
        checked.iter().map(|one| (&one.source, one.findings.as_slice())).collect();
    serde_json::from_str(&sarif::write(&lessons).unwrap()).unwrap()
}

/// The examples of all rules, each in a file whose name needs escaping.
fn examples() -> Vec<Checked> {
    RULES
        .iter()
        .map(|rule| {
            let page = rule.page();
            let example = page.split("````text\n").nth(1).unwrap_or_default();
            let example = example.split("````").next().unwrap();
            check(&format!("lessons/about {} é.md", rule.name), example.as_bytes())
        })
        .collect()
}

#[test]
fn reports_are_valid_by_the_schema() {
    let mut schema: Value =
        serde_json::from_str(include_str!("../sarif/sarif-2.1.0.json")).unwrap();
    // The schema's pattern for a language, which the report doesn't name, has a bracket too many.
    let languages =
        ["run", "toolComponent"].map(|holder| format!("/definitions/{holder}/properties/language"));
    for language in languages {
        schema.pointer_mut(&language).unwrap().as_object_mut().unwrap().remove("pattern").unwrap();
    }
    let schema = jsonschema::validator_for(&schema).unwrap();
    for checked in [examples(), vec![check("-", b"\xFF")], Vec::new()] {
        let report = report(&checked);
        let faults: Vec<String> = schema
            .iter_errors(&report)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(faults.is_empty(), "{faults:#?}");
    }
    assert!(!schema.is_valid(&serde_json::json!({ "version": "2.1.0" })));
}

#[test]
fn every_finding_is_a_result_under_its_rule() {
    let checked = examples();
    let report = report(&checked);
    let results = report["runs"][0]["results"].as_array().unwrap();
    assert_eq!(results.len(), checked.iter().map(|one| one.findings.len()).sum::<usize>());
    for result in results {
        let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
        assert_eq!(result["ruleId"], report["runs"][0]["tool"]["driver"]["rules"][index]["id"]);
    }
}

#[test]
fn places_and_fixes_are_where_the_text_says() {
    let lesson = "---\ntitle: Élan\u{301}\n---\n\né\u{301} `A = A C E`\n";
    let report = report(&[check("élan.md", lesson.as_bytes())]);
    let result = &report["runs"][0]["results"][0];
    let location = &result["locations"][0]["physicalLocation"];
    assert_eq!(location["artifactLocation"]["uri"], "%C3%A9lan.md");
    assert_eq!(report["runs"][0]["columnKind"], "unicodeCodePoints");
    let region = &location["region"];
    let line = lesson.lines().nth(4).unwrap();
    let column = |key: &str| usize::try_from(region[key].as_u64().unwrap()).unwrap() - 1;
    let marked: String = line
        .chars()
        .skip(column("startColumn"))
        .take(column("endColumn") - column("startColumn"))
        .collect();
    assert_eq!((region["startLine"].as_u64(), marked.is_empty()), (Some(5), false));
    assert!("A = A C E".contains(&marked), "{marked}");
}
