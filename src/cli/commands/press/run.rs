//! What a run of `press` makes of all its lessons: what is held against what is read, remembered, listed and told.

use super::Press;
use super::made::{Made, Pressed};
use crate::cli::commands::Failure;
use crate::cli::commands::files::{claim_lesson, place_in};
use crate::cli::commands::library::Lesson;
use crate::cli::commands::outputs::Wanted;
use crate::cli::commands::record::Printed;
use crate::cli::watch::dependencies::{self, Made as Rule, Untold};
use fretleaf::lesson::world::read_plain;
use fretleaf::web::shelf::{self, Card};
use fretleaf::words::listed;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// What was made of all lessons.
pub(super) struct Run<'a> {
    pub(super) lessons: &'a [Lesson],
    pub(super) pressed: Vec<Pressed>,
}

impl Run<'_> {
    fn each(&self) -> impl Iterator<Item = (&Lesson, &Pressed)> {
        self.lessons.iter().zip(&self.pressed)
    }

    /// Holds what is to be written against all that is read, and against itself.
    pub(super) fn claim(
        &self,
        command: &Press,
        records: &[(PathBuf, Vec<u8>)],
    ) -> Result<(), Failure> {
        let mut claims = command.looks.claims();
        for (lesson, one) in self.each() {
            claim_lesson(&lesson.path, &mut claims);
            lesson.input.claim_named(&one.printed.named(), &mut claims);
        }
        for (lesson, one) in self.each() {
            one.claim(&format!("`{}`", lesson.input.name), &mut claims)?;
        }
        if let Some(file) = &command.deps {
            claims.write(file, "the dependency file")?;
        }
        for (file, _) in records {
            claims.write(file, "the list or the record of what was printed")?;
        }
        Ok(())
    }

    /// What is to be remembered of lessons that lie in a library: a faulty one is to be told again.
    pub(super) fn printed(
        &self,
        wanted: &Wanted,
    ) -> impl Iterator<Item = (PathBuf, String, &Printed)> {
        let sound = self.each().filter(|(_, one)| one.faults == 0);
        sound.filter_map(|(lesson, one)| {
            Some((lesson.root(wanted)?, lesson.shelf_mark()?, &one.printed))
        })
    }

    /// The list of each library's pages, where they are wanted; one that says nothing new is left out.
    pub(super) fn lists(&self, command: &Press) -> Vec<(PathBuf, Vec<u8>)> {
        let mut shelves: BTreeMap<PathBuf, Vec<(String, &Card)>> = BTreeMap::new();
        for (lesson, one) in self.each() {
            let (Some(root), Some(card)) = (lesson.root(&command.wanted), &one.printed.card) else {
                continue;
            };
            if !matches!(one.outputs, Made::Refused) {
                shelves.entry(root).or_default().push((lesson.address("html"), card));
            }
        }
        let pages = shelves.into_iter().map(|(root, cards)| {
            (place_in(&root, "index.html"), shelf::page(cards.into_iter()).into_bytes())
        });
        pages.filter(|(path, page)| read_plain(path).ok().as_ref() != Some(page)).collect()
    }

    /// What each handout is made from, as rules for make.
    pub(super) fn rules(&self, command: &Press) -> Result<String, Untold> {
        let made = self.each().flat_map(|(lesson, one)| {
            let named = one.printed.named().into_iter();
            let named = named.map(|name| place_in(&lesson.input.place, &name));
            let template = command.looks.template_file().map(PathBuf::from);
            let from = std::iter::once(lesson.path.clone()).chain(named).chain(template);
            let from: Vec<PathBuf> = from.filter(|file| file.is_file()).collect();
            one.printed
                .outputs()
                .map(move |name| Rule { target: place_in(&one.folder, name), from: from.clone() })
        });
        dependencies::text(&made.collect::<Vec<_>>())
    }

    /// What was written, what was left as it was, and what wasn't printed.
    pub(super) fn told(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.pressed.iter().filter_map(Pressed::told).collect();
        let kept = self.pressed.iter().filter(|one| matches!(one.outputs, Made::Before)).count();
        match kept {
            0 => {}
            1 => lines.push("1 handout is left as it is: nothing changed".to_owned()),
            kept => lines.push(format!("{kept} handouts are left as they are: nothing changed")),
        }
        let refused = self.each().filter(|(_, one)| matches!(one.outputs, Made::Refused));
        let names: Vec<String> =
            refused.map(|(lesson, _)| format!("`{}`", lesson.input.name)).collect();
        if self.lessons.len() > 1 && !names.is_empty() {
            lines.push(format!("not printed for their faults: {}", listed(&names)));
        }
        lines
    }
}
