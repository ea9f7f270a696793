//! The board: what the page shows now, for however many clients, and the news of what changed.

use super::student::StudentsPage;
use super::view::{LessonView, Sheet};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// Pages by their names.
pub type Sheets = BTreeMap<String, Arc<Sheet>>;

/// What the page shows now.
#[derive(Default)]
pub struct Board {
    state: Mutex<State>,
    changed: Condvar,
}

#[derive(Default)]
struct State {
    /// Counts the changes.
    version: u64,
    lessons: BTreeMap<String, Entry>,
    closed: bool,
}

#[derive(Default)]
struct Entry {
    /// The version at which it last changed.
    version: u64,
    view: LessonView,
    students: Option<Arc<StudentsPage>>,
    /// The pages of this build and of the last one, which a client may be about to ask for.
    sheets: Sheets,
    last: Sheets,
}

/// A lesson as a client is told of it.
#[derive(Serialize)]
struct Message<'a> {
    id: &'a str,
    #[serde(flatten)]
    view: &'a LessonView,
}

/// What a client that waits is woken with.
pub enum Woken {
    /// Lessons that changed, as JSON, and the version that they bring it to.
    Changed(Vec<String>, u64),
    /// Nothing happened.
    Nothing,
    /// It is over.
    Closed,
}

impl Board {
    // A thread that panicked while it held the board leaves it whole: each change is one assignment.
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Puts a build up.
    pub fn show(&self, id: String, view: LessonView, students: StudentsPage, sheets: Sheets) {
        let mut state = self.state();
        state.version += 1;
        let version = state.version;
        let entry = state.lessons.entry(id).or_default();
        entry.last = std::mem::replace(&mut entry.sheets, sheets);
        (entry.version, entry.view) = (version, view);
        entry.students = Some(Arc::new(students));
        self.changed.notify_all();
    }

    /// Says that a lesson's last pages stay.
    pub fn trouble(&self, id: String, name: &str, line: &str) {
        let mut state = self.state();
        state.version += 1;
        let version = state.version;
        let entry = state.lessons.entry(id).or_default();
        entry.version = version;
        entry.view.trouble = Some(line.to_owned());
        if entry.view.title.is_empty() {
            name.clone_into(&mut entry.view.title);
        }
        self.changed.notify_all();
    }

    /// The pages of a lesson's last build.
    pub fn sheets(&self, id: &str) -> Sheets {
        self.state().lessons.get(id).map(|entry| entry.sheets.clone()).unwrap_or_default()
    }

    /// The page of a name.
    pub fn sheet(&self, name: &str) -> Option<Arc<Sheet>> {
        let state = self.state();
        let find = |entry: &Entry| entry.sheets.get(name).or_else(|| entry.last.get(name)).cloned();
        state.lessons.values().find_map(find)
    }

    /// The student's page of a lesson's last build.
    pub fn students_page(&self, id: &str) -> Option<Arc<StudentsPage>> {
        self.state().lessons.get(id)?.students.clone()
    }

    /// Waits until something is newer than a version, or for a while; no longer than `dismissed` says.
    pub fn wait(&self, seen: u64, most: Duration, dismissed: impl Fn() -> bool) -> Woken {
        let state = self.state();
        let old = |state: &mut State| state.version <= seen && !state.closed && !dismissed();
        let (state, _) = self
            .changed
            .wait_timeout_while(state, most, old)
            .unwrap_or_else(PoisonError::into_inner);
        if state.closed || dismissed() {
            return Woken::Closed;
        }
        if state.version <= seen {
            return Woken::Nothing;
        }
        let newer = state.lessons.iter().filter(|(_, entry)| entry.version > seen);
        let messages = newer.filter_map(|(id, entry)| {
            // A record of texts and numbers always becomes JSON.
            serde_json::to_string(&Message { id, view: &entry.view }).ok()
        });
        Woken::Changed(messages.collect(), state.version)
    }

    /// Has every client that waits look whether it is dismissed.
    pub fn wake(&self) {
        drop(self.state());
        self.changed.notify_all();
    }

    /// Sends every client away.
    pub fn close(&self) {
        self.state().closed = true;
        self.changed.notify_all();
    }

    /// Whether clients are being sent away.
    pub fn is_closed(&self) -> bool {
        self.state().closed
    }
}
