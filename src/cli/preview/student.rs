//! The student's page, which is made when somebody looks at it: no save waits for it.

use super::view::Shown;
use crate::cli::commands::files;
use crate::cli::watch::build::Built;
use fretleaf::findings::Source;
use fretleaf::ink::Fonts;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::{Wishes, web};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;
use std::sync::OnceLock;

/// The student's page of a build, as a draft.
#[derive(Debug)]
pub struct StudentsPage {
    source: Source,
    /// The folder that the lesson lies in.
    folder: PathBuf,
    wishes: Wishes,
    made: OnceLock<Option<String>>,
}

impl StudentsPage {
    /// The page of a build; it isn't made yet.
    pub fn of(shown: &Shown<'_>) -> StudentsPage {
        let Built { source, wishes, .. } = shown.built;
        StudentsPage {
            source: source.clone(),
            folder: files::folder_of(shown.path),
            wishes: wishes.clone(),
            made: OnceLock::new(),
        }
    }

    /// The page; whoever asks while it is being made waits for it. `None` where it can't be made any more, since
    /// what it is made from is gone: then there is a new build soon.
    pub fn html(&self) -> Option<&str> {
        self.made.get_or_init(|| self.make()).as_deref()
    }

    fn make(&self) -> Option<String> {
        let world = FolderWorld::new(&self.folder).with_lesson(self.source.clone());
        let compiled = self.wishes.compile(&world, &self.source.name).ok()?;
        let template = compiled.template().ok()?;
        let fonts = compiled.fonts(&Fonts::new());
        Some(compiled.web(&web::Job { template: &template, fonts: &fonts, draft: true }))
    }
}

/// What a build's page is made from, in short: a client asks for it again where that is another.
pub fn version(shown: &Shown<'_>) -> String {
    let mut hasher = DefaultHasher::new();
    // What the command line asks for is seen on the handout too.
    (&shown.built.reads, &shown.looks.pages).hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}
