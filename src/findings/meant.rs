//! `meant RULE: reason` lines: doubts and hints that the author allows in a block.

use super::rules::{find, nothing_meant};
use super::{Finding, Weight};
use crate::findings::source::Spanned;

/// The findings of a block without those that its `meant` line allows. Faults are never silenced.
/// A rule that silences nothing is itself a hint; rules of other versions are passed over.
pub fn silence(findings: Vec<Finding>, meant: Option<&Spanned<Vec<String>>>) -> Vec<Finding> {
    let Some(meant) = meant else { return findings };
    let allowed = |finding: &Finding, rule: &str| {
        finding.rule.name == rule && finding.weight != Weight::Fault
    };
    let idle = meant
        .value
        .iter()
        .filter(|rule| find(rule).is_some())
        .filter(|rule| !findings.iter().any(|finding| allowed(finding, rule)));
    let idle: Vec<Finding> = idle.map(|rule| nothing_meant::idle(meant.span, rule)).collect();
    findings
        .into_iter()
        .filter(|finding| !meant.value.iter().any(|rule| allowed(finding, rule)))
        .chain(idle)
        .collect()
}
