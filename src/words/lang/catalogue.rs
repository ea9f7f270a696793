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
/// What parts the pieces that a description is put together of, the strongest first.
const PARTING: [&str; 4] = [". ", ": ", "; ", ", "];
/// The place of the pieces that a description is put together of.
pub const PART: &str = "part";
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

    /// Whether it may be what is looked up.
    fn suits(&self, looked: Looked<'_>) -> bool {
        let is_part = self.meant_for == PART && !looked.marks.is_empty();
        self.meant_for.is_empty() || self.meant_for == looked.place || is_part
    }
}

/// Words with a small first letter.
fn small(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|letter| letter.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// How a text is looked up.
#[derive(Debug, Clone, Copy)]
struct Looked<'a> {
    /// The name of the place that it stands in; empty for none.
    place: &'a str,
    /// What parts the text around it, where that is put together of parts.
    marks: &'a [&'a str],
    /// How many places it stands in.
    depth: usize,
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
        let whole = Looked { place, marks: &[], depth: 0 };
        if !english.contains('\n') {
            return self.line(english, whole);
        }
        let lines = english.split('\n').map(|line| self.line(line, whole));
        Cow::Owned(lines.collect::<Vec<_>>().join("\n"))
    }

    /// The same of what is put together of parts: what has no entry as a whole is said part by part.
    /// Entries that are meant for a place of a name may be for it.
    pub fn told(&self, english: &str, place: &str) -> String {
        let part = Looked { place, marks: &PARTING, depth: 0 };
        let lines = english.split('\n').map(|line| self.in_parts(line, part, &PARTING));
        lines.collect::<Vec<_>>().join("\n")
    }

    /// A text, or where it has no entry what the first of some marks parts, the weaker ones then.
    fn in_parts(&self, english: &str, part: Looked<'_>, marks: &[&str]) -> String {
        if let Some(said) = self.sentence(english, part) {
            return said;
        }
        let Some((mark, weaker)) = marks.split_first() else { return english.to_owned() };
        let parts = Quoting::of(english).parts(mark).into_iter();
        let said: Vec<String> = parts.map(|piece| self.in_parts(piece, part, weaker)).collect();
        said.join(mark)
    }

    /// A text that has an entry, without the mark at its end or with it.
    fn sentence(&self, english: &str, part: Looked<'_>) -> Option<String> {
        let words = english.trim_end_matches(['.', ':']);
        let end = english.get(words.len()..).unwrap_or_default();
        match self.whole(words, part) {
            Some(said) => Some(said.into_owned() + end),
            None => self.whole(english, part).map(Cow::into_owned),
        }
    }

    /// A line, as it is where there is no entry for it.
    fn line<'t>(&'t self, english: &'t str, looked: Looked<'_>) -> Cow<'t, str> {
        self.whole(english, looked).unwrap_or(Cow::Borrowed(english))
    }

    /// A line that has an entry; blanks around it stay.
    fn whole<'t>(&'t self, english: &'t str, looked: Looked<'_>) -> Option<Cow<'t, str>> {
        let trimmed = english.trim();
        if trimmed.is_empty() || english.len() > LONGEST || looked.depth > DEEPEST {
            return None;
        }
        let said = self.found(trimmed, looked)?;
        match trimmed.len() == english.len() {
            true => Some(said),
            false => Some(Cow::Owned(english.replacen(trimmed, &said, 1))),
        }
    }

    /// What an entry says of a text, or of one with a small first letter, since words that begin a sentence have a
    /// capital.
    fn found<'t>(&'t self, english: &'t str, looked: Looked<'_>) -> Option<Cow<'t, str>> {
        let begun = english.chars().next().filter(|letter| letter.is_uppercase());
        let within = begun.map(|_| small(english));
        let as_it_is = self.entry(english, looked);
        let as_within = within.as_ref().and_then(|within| self.entry(within, looked));
        let length = |entry: Option<&Entry>| entry.map(|entry| entry.english.fixed_length());
        match within.as_ref().filter(|_| length(as_within) > length(as_it_is)) {
            Some(within) => {
                let said = self.filled(as_within?, within, looked)?;
                Some(Cow::Owned(capital(&said)))
            }
            None => self.filled(as_it_is?, english, looked),
        }
    }

    /// The entry of a text.
    fn entry(&self, english: &str, looked: Looked<'_>) -> Option<&Entry> {
        let plain = self.plain.get(english).into_iter().flatten();
        if let Some(entry) = self.best(plain, looked, |_| true) {
            return Some(entry);
        }
        let quoting = Quoting::of(english);
        let of_words = words_of(english).filter_map(|word| self.by_word.get(word)).flatten();
        let fits = |entry: &Entry| entry.english.fit(&quoting, looked.marks).is_some();
        self.best(of_words.chain(&self.wordless), looked, fits)
    }

    /// What an entry says, its places filled with what a text has there.
    fn filled<'t>(
        &'t self,
        entry: &'t Entry,
        english: &str,
        looked: Looked<'_>,
    ) -> Option<Cow<'t, str>> {
        if let Some(said) = entry.said.plain() {
            return Some(Cow::Borrowed(said));
        }
        let quoting = Quoting::of(english);
        let found = entry.english.fit(&quoting, looked.marks)?;
        let found: Vec<(&Place, &str)> = entry.english.places().zip(found).collect();
        let said = |piece: &Piece| match piece {
            Piece::Fixed(text) => text.clone(),
            Piece::Place(place) => self.in_place(place, &found, looked),
        };
        Some(Cow::Owned(entry.said.pieces.iter().map(said).collect()))
    }

    /// The entry with the most fixed letters that suits a place and fits; of two alike the one that is meant for the place.
    fn best<'a>(
        &self,
        of: impl Iterator<Item = &'a usize>,
        looked: Looked<'_>,
        fits: impl Fn(&Entry) -> bool,
    ) -> Option<&Entry> {
        let entries = of.filter_map(|index| Some((*index, self.entries.get(*index)?)));
        let suiting = entries.filter(|(_, entry)| entry.suits(looked) && fits(entry));
        let rank = |(index, entry): &(usize, &Entry)| {
            let own = !entry.meant_for.is_empty();
            let order = looked.marks.is_empty().then_some((own, Reverse(entry.rank)));
            (order, entry.english.fixed_length(), own, Reverse(*index))
        };
        suiting.max_by_key(rank).map(|(_, entry)| entry)
    }

    /// What is said in a place: what was found in that of the same name.
    fn in_place(&self, place: &Place, found: &[(&Place, &str)], around: Looked<'_>) -> String {
        let Some((from, text)) = found.iter().find(|(from, _)| from.name == place.name) else {
            return String::new();
        };
        let within = Looked { place: &place.name, depth: around.depth + 1, ..around };
        match from.kind {
            Kind::Kept => (*text).to_owned(),
            Kind::Tonic => small(&self.line(text, within)),
            Kind::Number => text.replace('.', ","),
            Kind::Said => self.line(text, within).into_owned(),
            Kind::List => self.list(text, within),
            Kind::Told => self.in_parts(text, Looked { place: PART, ..within }, &PARTING),
        }
    }

    /// A list, "a, b and c", its things said each.
    fn list(&self, text: &str, looked: Looked<'_>) -> String {
        let mut said = String::new();
        let mut rest = text;
        loop {
            let next = [", ", " and ", " or "].into_iter();
            let next = next.filter_map(|between| Some((rest.find(between)?, between))).min();
            let Some((at, between)) = next else { break };
            let (thing, behind) = rest.split_at(at);
            said += &self.line(thing, looked);
            said += &self.line(between, Looked { place: "", ..looked });
            rest = behind.get(between.len()..).unwrap_or_default();
        }
        said + &self.line(rest, looked)
    }
}
