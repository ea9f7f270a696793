//! What can be written and what it says, in a few words: the entries of our tables that help pages are made
//! of and messages name.

/// Something that can be written, as an example of it, and what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sign {
    /// As it is written.
    pub written: &'static str,
    /// What it says: a few words without a full stop.
    pub says: &'static str,
}

/// What a sign says that is another way to write the one before it.
pub const SAME: &str = "the same";

/// A sign and what it says.
pub const fn sign(written: &'static str, says: &'static str) -> Sign {
    Sign { written, says }
}

impl Sign {
    /// Whether a text is the sign, in any case.
    pub fn is(&self, text: &str) -> bool {
        self.written.eq_ignore_ascii_case(text)
    }
}

/// A part of a help page: what can be written there, each with what it says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// What is listed.
    pub title: String,
    /// What can be written, with what it says.
    pub entries: Vec<(String, String)>,
}

impl Section {
    /// A section of entries.
    pub fn new(title: &str, entries: impl IntoIterator<Item = (String, String)>) -> Section {
        Section { title: title.to_owned(), entries: entries.into_iter().collect() }
    }

    /// A section of signs; those that say the same as the one before them stand beside it.
    pub fn of_signs<'s>(title: &str, signs: impl IntoIterator<Item = &'s Sign>) -> Section {
        let mut section = Section::new(title, []);
        for sign in signs {
            match section.entries.last_mut() {
                Some((written, _)) if sign.says == SAME => {
                    *written += &format!(", {}", sign.written)
                }
                _ => section.entries.push(entry(sign.written, sign.says)),
            }
        }
        section
    }
}

/// An entry of a section.
pub fn entry(written: &str, says: &str) -> (String, String) {
    (written.to_owned(), says.to_owned())
}

/// Signs as a message names them: "`1.` and `2.`".
pub fn named<'s>(signs: impl IntoIterator<Item = &'s Sign>) -> String {
    quoted(signs.into_iter().map(|sign| sign.written))
}

/// Words as a message names them: "`drop 2` and `drop 3`".
pub fn quoted<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    let quoted: Vec<String> = words.into_iter().map(|word| format!("`{word}`")).collect();
    super::listed(&quoted)
}

/// Signs as a message explains them: "`d` down and `u` up".
pub fn explained<'s>(signs: impl IntoIterator<Item = &'s Sign>) -> String {
    let each = |sign: &Sign| format!("`{}` {}", sign.written, sign.says);
    super::listed(&signs.into_iter().map(each).collect::<Vec<_>>())
}

/// Where a message sends who wants to know more: the help page of a name.
pub fn see(page: &str) -> String {
    format!("see `fretleaf about {page}`")
}
