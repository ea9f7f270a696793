//! Chords, scales, keys and numerals read by the names that a lesson gives to notes: each is read in English once the
//! notes in it are, and then goes by the lesson's names.

use super::key::Mode;
use super::{Chord, ChordError, Key, Names, Note, Numeral, Scale};

impl Names {
    /// Reads a whole text as a chord symbol where a chord must stand. In German a small letter is a minor chord, and
    /// `j7` a major seventh.
    ///
    /// # Errors
    /// Where the text is no chord symbol; the symbols that may be meant go by these names.
    pub fn chord(self, text: &str) -> Result<Chord, ChordError> {
        if self == Names::English {
            return Chord::parse(text);
        }
        let symbol = self.symbol(text).or_else(|| self.small_symbol(text));
        let symbol = symbol.ok_or_else(|| ChordError {
            message: format!("`{text}` doesn't begin with a root, such as {}", self.some_notes()),
            meant: Vec::new(),
        })?;
        let chord = Chord::parse(&symbol).map_err(|error| self.error(error, text, &symbol))?;
        Ok(chord.called(self))
    }

    /// Reads a whole text as a chord symbol where it may as well be something else.
    pub fn chord_or_else(self, text: &str) -> Option<Chord> {
        match self {
            Names::English => Chord::read(text),
            _ => Some(Chord::read(&self.symbol(text)?)?.called(self)),
        }
    }

    /// Reads a tonic and a scale's name.
    pub fn scale(self, text: &str) -> Option<Scale> {
        let (tonic, length) = self.read(text.trim_start())?;
        let rest = text.trim_start().get(length..)?;
        let scale = Scale::parse(&format!("{}{rest}", tonic.called(Names::English)))?;
        Some(Scale { tonic, ..scale })
    }

    /// Reads a tonic with the name of a mode or scale, or a major or minor triad's symbol; in German `A-Dur`,
    /// `a-Moll`, `a` too.
    pub fn key(self, text: &str) -> Option<Key> {
        if self == Names::English {
            return Key::parse(text);
        }
        if let Some(Scale { tonic, kind }) = self.scale(text) {
            return Some(Key { tonic, scale: kind });
        }
        let text = text.trim();
        let in_german = || (self == Names::German).then(|| self.dur_or_moll(text)).flatten();
        in_german().or_else(|| {
            let symbol = self.symbol(text).or_else(|| self.small_symbol(text))?;
            let key = Key::parse(&symbol)?;
            Some(Key { tonic: key.tonic.called(self), ..key })
        })
    }

    /// Reads a whole text as a numeral, whose bass may be a note.
    pub fn numeral(self, text: &str) -> Option<Numeral> {
        let bass = text.rsplit_once('/').and_then(|(above, bass)| Some((above, self.note(bass)?)));
        let Some((above, bass)) = bass else { return Numeral::parse(text) };
        Some(Numeral { bass: Some(bass), ..Numeral::parse(above)? })
    }

    /// Notes as an example of how they are written.
    pub const fn some_notes(self) -> &'static str {
        match self {
            Names::English => "`C`, `F#`, `Bb`",
            Names::German => "`C`, `Fis`, `B`, `H`",
            Names::Solfege => "`Do`, `Fa#`, `Sib`",
        }
    }

    /// A symbol with its root and bass in English.
    fn symbol(self, text: &str) -> Option<String> {
        let (root, length) = self.read(text)?;
        Some(self.in_english(root, text.get(length..)?))
    }

    /// The symbol of a minor chord that begins with a small letter, as German has it, in English.
    fn small_symbol(self, text: &str) -> Option<String> {
        let is_small = text.starts_with(|c: char| c.is_ascii_lowercase());
        if self != Names::German || !is_small {
            return None;
        }
        let (root, length) = self.read_any_case(text)?;
        let rest = text.get(length..)?;
        let is_minor = rest.starts_with('m') && !rest.starts_with("maj");
        let quality = if is_minor { "" } else { "m" };
        // Nothing is a suspended minor chord.
        let is_whole = !rest.starts_with("sus") && !rest.starts_with(char::is_uppercase);
        is_whole.then(|| self.in_english(root, &format!("{quality}{}", self.suffix(rest))))
    }

    fn in_english(self, root: Note, rest: &str) -> String {
        let english = |note: Note| note.called(Names::English).to_string();
        let rest = self.suffix(rest);
        let bass = rest.rsplit_once('/').and_then(|(above, bass)| {
            let (bass, bracket) = bass.strip_suffix(')').map_or((bass, ""), |bass| (bass, ")"));
            Some(format!("{above}/{}{bracket}", english(self.note(bass)?)))
        });
        english(root) + &bass.unwrap_or(rest)
    }

    /// What stands behind a root, with `maj` where German has `j`.
    fn suffix(self, rest: &str) -> String {
        match rest.strip_prefix('j') {
            _ if self != Names::German => rest.to_owned(),
            Some(figures) => format!("maj{figures}"),
            None => rest.replace("(j", "(maj").replace("mj", "mmaj"),
        }
    }

    /// Reads `A-Dur`, `fis-Moll`, `a moll`.
    fn dur_or_moll(self, text: &str) -> Option<Key> {
        let (tonic, length) = self.read_any_case(text)?;
        let mode = match text.get(length..)?.strip_prefix(['-', ' '])?.to_lowercase().as_str() {
            "dur" => Mode::Major,
            "moll" => Mode::Minor,
            _ => return None,
        };
        Some(Key::new(tonic, mode))
    }

    /// An error about a symbol that was read in English, told as it was written.
    fn error(self, error: ChordError, typed: &str, symbol: &str) -> ChordError {
        let meant = error.meant.iter().map(|meant| match Chord::read(meant) {
            Some(chord) => chord.called(self).to_string(),
            None => meant.clone(),
        });
        let meant: Vec<String> = meant.collect();
        let quoted = |message: String, (english, own): (&str, &str)| {
            message.replace(&format!("`{english}`"), &format!("`{own}`"))
        };
        let both = error.meant.iter().map(String::as_str).zip(meant.iter().map(String::as_str));
        let message = both.chain([(symbol, typed)]).fold(error.message, quoted);
        ChordError { message, meant }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::theory::Letter;
    use crate::theory::scale::SCALES;

    fn roots(names: Names) -> impl Iterator<Item = Note> {
        let all = Letter::ALL.into_iter().flat_map(|letter| [-1, 0, 1].map(|s| (letter, s)));
        all.map(move |(letter, sign)| Note::new(letter, sign).called(names))
    }

    #[test]
    fn chords_are_read_in_german() {
        for (typed, english) in [
            ("H7", "B7"),
            ("B", "Bb"),
            ("Bb", "Bb"),
            ("B7", "Bb7"),
            ("Fism7", "F#m7"),
            ("F#m7", "F#m7"),
            ("Es", "Eb"),
            ("As", "Ab"),
            ("Asus4", "Asus4"),
            ("Esus4", "Esus4"),
            ("Assus4", "Absus4"),
            ("Asmaj7", "Abmaj7"),
            ("Cj7", "Cmaj7"),
            ("Am(j7)", "Am(maj7)"),
            ("Amj7", "Am(maj7)"),
            ("A/Cis", "A/C#"),
            ("G/H", "G/B"),
            ("C6/9", "C6/9"),
            ("a", "Am"),
            ("am", "Am"),
            ("fis7", "F#m7"),
            ("h", "Bm"),
            ("b", "Bbm"),
            ("es", "Ebm"),
        ] {
            let chord = Names::German.chord(typed).unwrap();
            assert_eq!(chord.clone().called(Names::English).to_string(), english, "{typed}");
            assert_eq!(chord, Chord::parse(english).unwrap(), "{typed}");
        }
        for none in ["B#", "asus4", "bVII", "J", "the"] {
            assert!(Names::German.chord(none).is_err(), "{none}");
        }
        for may_be_a_word in ["a", "es", "das"] {
            assert_eq!(Names::German.chord_or_else(may_be_a_word), None);
        }
    }

    #[test]
    fn chords_read_back_by_each_name() {
        for names in Names::ALL {
            for chord in roots(names).flat_map(Chord::usual) {
                let over = Chord { bass: Some(Note::new(Letter::B, 0).called(names)), ..chord };
                for form in [over.to_string(), over.printed().text()] {
                    let read = names.chord(&form).unwrap();
                    let same =
                        Chord { bass: over.bass.filter(|b| *b != over.root), ..over.clone() };
                    assert_eq!(read, same, "{form} in {names:?}");
                    assert_eq!(read.root.names, names);
                }
            }
        }
    }

    #[test]
    fn scales_and_keys_read_back_by_each_name() {
        for names in Names::ALL {
            for (tonic, kind) in
                roots(names).flat_map(|tonic| SCALES.iter().map(move |kind| (tonic, kind)))
            {
                let (scale, key) = (Scale { tonic, kind }, Key { tonic, scale: kind });
                for form in [scale.to_string(), scale.printed()] {
                    assert_eq!(names.scale(&form).as_ref(), Some(&scale), "{form} in {names:?}");
                }
                for form in [key.to_string(), key.printed()] {
                    let read = names.key(&form);
                    assert_eq!(read, Some(key), "{form} in {names:?}");
                    assert_eq!(read.map(|key| key.tonic.names), Some(names));
                }
            }
        }
    }

    #[test]
    fn keys_are_read_as_a_german_writes_them() {
        for (typed, english) in [
            ("A-Dur", "A major"),
            ("a-Moll", "A minor"),
            ("fis-moll", "F# minor"),
            ("Es-Dur", "Eb major"),
            ("H minor", "B minor"),
            ("b-Moll", "Bb minor"),
            ("Fism", "F# minor"),
            ("a", "A minor"),
            ("H", "B major"),
            ("B", "Bb major"),
        ] {
            assert_eq!(Names::German.key(typed), Key::parse(english), "{typed}");
        }
        assert_eq!(Names::German.key("B# major"), None);
    }

    #[test]
    fn what_may_be_meant_goes_by_the_lessons_names() {
        let error = Names::German.chord("Hmoj7").unwrap_err();
        assert!(error.meant.iter().all(|meant| meant.starts_with('H')), "{error:?}");
        let error = Names::German.chord("H2").unwrap_err();
        assert_eq!(error.meant, ["Hadd9", "Hsus2"]);
        assert_eq!(
            error.message,
            "`H2` means different chords in different places; write `Hadd9` or `Hsus2`"
        );
    }

    #[test]
    fn the_bass_of_a_numeral_goes_by_the_lessons_names() {
        assert_eq!(Names::German.numeral("V/Fis"), Numeral::parse("V/F#"));
        assert_eq!(Names::German.numeral("V7/ii"), Numeral::parse("V7/ii"));
        assert_eq!(Names::Solfege.numeral("V/Si"), Numeral::parse("V/B"));
    }
}
