//! What a student may turn on and off in the page for the screen.

/// What is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Switches {
    /// Boxes and necks mirrored.
    pub left_handed: bool,
    /// Figures larger.
    pub large_digits: bool,
    /// The names of notes where degrees would stand.
    pub note_names: bool,
    /// The fingers of both hands.
    pub fingers: bool,
}

impl Default for Switches {
    /// What holds where the header says nothing: as on paper.
    fn default() -> Switches {
        Switches { fingers: true, ..Switches::NONE }
    }
}

impl Switches {
    /// Nothing is on.
    pub const NONE: Switches =
        Switches { left_handed: false, large_digits: false, note_names: false, fingers: false };

    /// Reads what is on, parted by commas, or `none`, in any case.
    pub fn parse(text: &str) -> Option<Switches> {
        if text.trim().eq_ignore_ascii_case("none") {
            return Some(Switches::NONE);
        }
        text.split(',').try_fold(Switches::NONE, |on, part| {
            let words: Vec<&str> = part.split_whitespace().collect();
            match words.join(" ").to_ascii_lowercase().as_str() {
                "left-handed" => Some(Switches { left_handed: true, ..on }),
                "large digits" => Some(Switches { large_digits: true, ..on }),
                "note names" => Some(Switches { note_names: true, ..on }),
                "fingers" => Some(Switches { fingers: true, ..on }),
                _ => None,
            }
        })
    }
}
