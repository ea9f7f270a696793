//! `about`: what can be written in a lesson; what a rule means, why it matters and how to repair it.

use super::{Failure, Status, print};
use clap::Args;
use fretleaf::findings::nearest::nearest;
use fretleaf::findings::{Rule, rules};
use fretleaf::help::{self, Page};
use std::fmt;

/// What of others' work is in the program, and under which licences.
const LICENCES: &str = include_str!("../../../THIRD-PARTY.md");

/// Say what can be written in a lesson, or what a rule means and how to repair it
#[derive(Debug, Args)]
pub struct About {
    /// What it is about: a page (`header`, `phrases`, `riff` …) or a rule's name, as a report prints it; `all` for all of them; `licences` for those of the faces and of others' work in the program; without one, pages and rules are listed
    name: Option<String>,
}

impl About {
    /// Prints the page of what can be written or of a rule, all of them, or a list of them.
    pub fn run(self) -> Result<Status, Failure> {
        let Some(name) = self.name else { return print(&list()) };
        if let Some(page) = help::find(&name) {
            return print(&page.text());
        }
        match rules::find(&name) {
            Some(rule) => print(&rule.page()),
            None if name == "all" => print(&all()),
            None if name == "licences" => print(LICENCES),
            None => Err(NoPage::called(&name).into()),
        }
    }
}

fn list() -> String {
    let page = |page: &Page| format!("{:18} {}\n", page.name, page.summary());
    let pages: String = help::pages().iter().map(page).collect();
    let rule =
        |rule: &&Rule| format!("{:18} {:6} {}\n", rule.name, rule.weight.name(), rule.summary());
    let rules: String = rules::RULES.iter().map(rule).collect();
    format!("What can be written, and what the commands do:\n\n{pages}\nThe rules:\n\n{rules}")
}

fn all() -> String {
    let pages: String = help::pages().iter().map(|page| page.text() + "\n").collect();
    pages + &rules::reference()
}

/// A name that no page and no rule has, and the one that is nearest to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoPage {
    name: String,
    near: Option<&'static str>,
}

impl NoPage {
    fn called(name: &str) -> NoPage {
        let pages = help::pages();
        let names =
            pages.iter().map(|page| page.name).chain(rules::RULES.iter().map(|rule| rule.name));
        NoPage { name: name.to_owned(), near: nearest(name, names, 3) }
    }
}

impl fmt::Display for NoPage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "no page and no rule is called `{}`; ", self.name)?;
        match self.near {
            Some(near) => write!(f, "did you mean `{near}`?"),
            None => f.write_str("`fretleaf about` lists them all"),
        }
    }
}
