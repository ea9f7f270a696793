//! `about`: what a rule means, why it matters, an example, and how to repair it.

use super::{Failure, Status, print};
use clap::Args;
use fretleaf::findings::nearest::nearest;
use fretleaf::findings::rules;
use std::fmt;

/// What of others' work is in the program, and under which licences.
const LICENCES: &str = include_str!("../../../THIRD-PARTY.md");

/// Say what a rule means, why it matters and how to repair it
#[derive(Debug, Args)]
pub struct About {
    /// The rule's name, as a report prints it; `all` for the pages of every rule; `licences` for those of the faces and of others' work in the program; without one, all rules are listed
    rule: Option<String>,
}

impl About {
    /// Prints the rule's page, the pages of all, or the list of rules.
    pub fn run(self) -> Result<Status, Failure> {
        let Some(name) = self.rule else { return print(&list()) };
        match rules::find(&name) {
            Some(rule) => print(&rule.page()),
            None if name == "all" => print(&rules::reference()),
            None if name == "licences" => print(LICENCES),
            None => Err(NoRule::called(&name).into()),
        }
    }
}

fn list() -> String {
    rules::RULES
        .iter()
        .map(|rule| format!("{:18} {:6} {}\n", rule.name, rule.weight.name(), rule.summary()))
        .collect()
}

/// A name that no rule has, and the rule's whose name is nearest to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoRule {
    name: String,
    near: Option<&'static str>,
}

impl NoRule {
    fn called(name: &str) -> NoRule {
        let names = rules::RULES.iter().map(|rule| rule.name);
        NoRule { name: name.to_owned(), near: nearest(name, names, 3) }
    }
}

impl fmt::Display for NoRule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "no rule is called `{}`; ", self.name)?;
        match self.near {
            Some(near) => write!(f, "did you mean `{near}`?"),
            None => f.write_str("`fretleaf about` lists them all"),
        }
    }
}
