//! A language's words for English ones. An entry is an English line and below it the other language's; a blank line
//! stands between entries, and a line that begins with `# ` is a remark. `[place]` before an English line means it for
//! what stands in `{place}` alone: "third" is a string there and an interval elsewhere.

use super::pattern::{Kind, Pattern, Piece, Place, Quoting, words_of};
use crate::words::capital;
use std::borrow::Cow;
use std::cmp::Reverse;
use std::collections::HashMap;

/// How deep what stands in places is looked up; a bound that nothing that we say comes near.
const DEEPEST: usize = 8;
/// How long a line is at most that is looked up, in bytes; the same.
const LONGEST: usize = 20_000;

/// The entries of a language.
#[derive(Debug, Default)]
pub struct Catalogue {
    entries: Vec<Entry>,
    /// The entries in which nothing varies, by their English.
    plain: HashMap<String, Vec<usize>>,
    /// The others, by a word that each has whole.
    by_word: HashMap<String, Vec<usize>>,
    /// Those that have none.
    wordless: Vec<usize>,
}

/// A text and how it is said.
#[derive(Debug)]
pub struct Entry {
    /// The name of the places that it is meant for; empty where for all.
    pub meant_for: &'static str,
    /// The rank of the text that it stands in, the first before others.
    pub rank: usize,
    pub english: Pattern,
    pub said: Pattern,
}

impl Entry {
    fn read(rank: usize, (english, said): (&'static str, &'static str)) -> Entry {
        let bracketed = english.strip_prefix('[').and_then(|rest| rest.split_once("] "));
        let (meant_for, english) = bracketed.unwrap_or(("", english));
        Entry { meant_for, rank, english: Pattern::read(english), said: Pattern::read(said) }
    }

    /// Whether it may be what stands in a place of a name.
    fn suits(&self, place: &str) -> bool {
        self.meant_for.is_empty() || self.meant_for == place
    }
}

/// Words with a small first letter.
fn small(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|letter| letter.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The entries of a text: two lines each.
pub fn entries(text: &'static str) -> impl Iterator<Item = (&'static str, &'static str)> {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with("# "));
    std::iter::from_fn(move || Some((lines.next()?, lines.next()?)))
}

impl Catalogue {
    /// The catalogue of some texts by their ranks: entries of the first stand before all others.
    pub fn of(ranks: &[&[&'static str]]) -> Catalogue {
        let texts = ranks.iter().enumerate().flat_map(|(rank, texts)| {
            texts.iter().flat_map(|text| entries(text)).map(move |lines| Entry::read(rank, lines))
        });
        let mut catalogue = Catalogue { entries: texts.collect(), ..Catalogue::default() };
        catalogue.index();
        catalogue
    }

    /// Sets each entry behind its text, or behind the word of it that the fewest others have.
    fn index(&mut self) {
        let mut having: HashMap<&str, usize> = HashMap::new();
        for word in self.entries.iter().flat_map(|entry| entry.english.words()) {
            *having.entry(word).or_default() += 1;
        }
        for (index, entry) in self.entries.iter().enumerate() {
            let rarest = || {
                let words = entry.english.words().into_iter();
                words.min_by_key(|word| having.get(word).copied().unwrap_or_default())
            };
            let place = match (entry.english.plain(), rarest()) {
                (Some(text), _) => self.plain.entry(text.to_owned()).or_default(),
                (None, Some(word)) => self.by_word.entry(word.to_owned()).or_default(),
                (None, None) => &mut self.wordless,
            };
            place.push(index);
        }
    }

    /// A text in the other language, line by line; as it is where there is no entry for it.
    pub fn said<'t>(&'t self, english: &'t str) -> Cow<'t, str> {
        self.said_in("", english)
    }

    /// The same of what stands in a place of a name.
    pub fn said_in<'t>(&'t self, place: &str, english: &'t str) -> Cow<'t, str> {
        if !english.contains('\n') {
            return self.line(english, place, 0);
        }
        let lines: Vec<Cow<'_, str>> =
            english.split('\n').map(|line| self.line(line, place, 0)).collect();
        Cow::Owned(lines.join("\n"))
    }

    /// What stands in a place in one line; blanks around it stay.
    fn line<'t>(&'t self, english: &'t str, place: &str, depth: usize) -> Cow<'t, str> {
        let trimmed = english.trim();
        if trimmed.is_empty() || english.len() > LONGEST || depth > DEEPEST {
            return Cow::Borrowed(english);
        }
        match self.found(trimmed, place, depth).or_else(|| self.small(trimmed, place, depth)) {
            None => Cow::Borrowed(english),
            Some(said) if trimmed.len() == english.len() => said,
            Some(said) => Cow::Owned(english.replacen(trimmed, &said, 1)),
        }
    }

    /// The same of words that begin with a capital since they begin a sentence.
    fn small(&self, english: &str, place: &str, depth: usize) -> Option<Cow<'static, str>> {
        english.chars().next().filter(|letter| letter.is_uppercase())?;
        Some(Cow::Owned(capital(&self.found(&small(english), place, depth)?)))
    }

    fn found<'t>(&'t self, english: &str, place: &str, depth: usize) -> Option<Cow<'t, str>> {
        if let Some(entry) =
            self.best(self.plain.get(english).into_iter().flatten(), place, |_| true)
        {
            return entry.said.plain().map(Cow::Borrowed);
        }
        let quoting = Quoting::of(english);
        let of_words = words_of(english).filter_map(|word| self.by_word.get(word)).flatten();
        let fits = |entry: &Entry| entry.english.fit(&quoting).is_some();
        let entry = self.best(of_words.chain(&self.wordless), place, fits)?;
        let found = entry.english.fit(&quoting)?;
        let found: Vec<(&Place, &str)> = entry.english.places().zip(found).collect();
        let said = |piece: &Piece| match piece {
            Piece::Fixed(text) => text.clone(),
            Piece::Place(place) => self.in_place(place, &found, depth),
        };
        Some(Cow::Owned(entry.said.pieces.iter().map(said).collect()))
    }

    /// The entry with the most fixed letters that suits a place and fits; one that is meant for the place before others.
    fn best<'a>(
        &self,
        of: impl Iterator<Item = &'a usize>,
        place: &str,
        fits: impl Fn(&Entry) -> bool,
    ) -> Option<&Entry> {
        let entries = of.filter_map(|index| Some((*index, self.entries.get(*index)?)));
        let suiting = entries.filter(|(_, entry)| entry.suits(place) && fits(entry));
        let rank = |(index, entry): &(usize, &Entry)| {
            let own = !entry.meant_for.is_empty();
            (own, Reverse(entry.rank), entry.english.fixed_length(), Reverse(*index))
        };
        suiting.max_by_key(rank).map(|(_, entry)| entry)
    }

    /// What is said in a place: what was found in that of the same name.
    fn in_place(&self, place: &Place, found: &[(&Place, &str)], depth: usize) -> String {
        let Some((from, text)) = found.iter().find(|(from, _)| from.name == place.name) else {
            return String::new();
        };
        match from.kind {
            Kind::Kept => (*text).to_owned(),
            Kind::Small => small(text),
            Kind::Number => text.replace('.', ","),
            Kind::Said => self.line(text, &place.name, depth + 1).into_owned(),
            Kind::List => self.list(text, &place.name, depth + 1),
        }
    }

    /// A list, "a, b and c", its things said each.
    fn list(&self, text: &str, place: &str, depth: usize) -> String {
        let mut said = String::new();
        let mut rest = text;
        loop {
            let next = [", ", " and ", " or "].into_iter();
            let next = next.filter_map(|between| Some((rest.find(between)?, between))).min();
            let Some((at, between)) = next else { break };
            let (thing, behind) = rest.split_at(at);
            said += &self.line(thing, place, depth);
            said += &self.line(between, "", depth);
            rest = behind.get(between.len()..).unwrap_or_default();
        }
        said + &self.line(rest, place, depth)
    }
}
