//! All that is checked from outside, in one program: each is a long link, and this one is enough.

mod captions;
mod charts;
mod clashes;
mod command_line;
mod commonmark;
mod exercises;
mod figures;
mod floors;
mod german;
mod german_findings;
mod german_printed;
mod guesses;
mod help;
mod hostile;
mod letters;
mod live_page;
mod marks;
mod mend;
mod note_names;
mod page_ends;
mod page_sound;
mod pages;
mod pasted;
mod pasted_signs;
mod reading;
mod rules;
mod sarif;
mod screen;
mod scripts;
mod slips;
mod student_faces;
mod student_page;
mod switches;
mod times;
mod told;
mod watch;

/// What benches share with the tests.
#[path = "../support"]
mod support {
    pub mod counted;
    pub mod folders;
    pub mod hostile_lessons;
    pub mod long_lesson;
    pub mod watching;
}
