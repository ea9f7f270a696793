//! How an instrument sounds.

/// What is played on, for the ear: the strings and what they are stretched over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sound {
    /// Steel strings over a wooden body.
    Steel,
    /// Nylon strings over a wooden body.
    Nylon,
    /// Steel strings over pickups.
    Electric,
    /// The thick strings of a bass over pickups.
    Bass,
}

impl Sound {
    /// All of them.
    pub const ALL: [Sound; 4] = [Sound::Steel, Sound::Nylon, Sound::Electric, Sound::Bass];

    /// Reads the word that writes it, in any case.
    pub fn parse(text: &str) -> Option<Sound> {
        Sound::ALL.into_iter().find(|sound| text.trim().eq_ignore_ascii_case(sound.name()))
    }

    /// The word that writes it.
    pub const fn name(self) -> &'static str {
        match self {
            Sound::Steel => "steel",
            Sound::Nylon => "nylon",
            Sound::Electric => "electric",
            Sound::Bass => "bass",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sound_is_read_by_its_name() {
        for sound in Sound::ALL {
            assert_eq!(Sound::parse(&format!(" {} ", sound.name().to_uppercase())), Some(sound));
        }
        assert_eq!(Sound::parse("drums"), None);
    }
}
