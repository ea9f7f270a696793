//! `key: value` lines, as the header and `now` blocks have them, driven by serde: a key is the
//! variant, the rest of the line its value.

mod values;

use super::limits;
use super::setting::{Swing, Tempo};
use crate::findings::nearest::{Near, is_fumbled, near};
use crate::findings::rules::{header_key, header_value, left_out, tuning_octave};
use crate::findings::source::{Line, Span};
use crate::findings::{Finding, Findings, Ground};
use crate::neck::{Hand, StringIndex, Tuning, by_string};
use crate::theory::{Key, Meter, Names, Pitch};
use crate::words::help::see;
use serde::Deserialize;
use serde::de::value::{EnumAccessDeserializer, StrDeserializer};
use serde::de::{DeserializeSeed, EnumAccess, Error, IntoDeserializer, VariantAccess, Visitor};
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::fmt::Display;
use std::time::Duration;
use values::{
    capo, captions, figured_bass, font, frets, hand, handed, instrument, key, length, logo, meter,
    names, pace, page, paper, scale_length, sounds, swing, template, tempo, tuning, video,
};

/// The keys: each one's name for the code, the type of its value, what it says, and how its value is read
/// where it isn't any words at all. Its name in a lesson is that in small letters, unless another is given.
macro_rules! keys {
    ($($(#[$attribute:meta])* $key:ident($value:ty): $says:literal,)*) => {
        /// What one line says.
        #[derive(Debug, Clone, PartialEq, Deserialize)]
        #[serde(rename_all = "lowercase")]
        pub(super) enum Entry {
            $($(#[$attribute])* $key($value),)*
        }

        /// What the keys say, in their order.
        const SAYS: &[&str] = &[$($says),*];
    };
}

keys! {
    Title(String): "the lesson's title",
    Subtitle(String): "beneath the title",
    Composer(String): "who made the tune",
    Teacher(String): "who teaches it",
    Series(String): "above the title",
    Date(String): "as it is to be printed",
    Rights(String): "at the foot of the first page",
    Level(String): "whom it is for, with the title on the web page",
    Address(String): "the teacher's, with the title",
    #[serde(deserialize_with = "logo")]
    Logo(String): "a picture at the right of the title",
    #[serde(deserialize_with = "names")]
    Names(Names): "how notes are written and printed",
    Lang(String): "`en` or `de`: the words that the page prints beside yours",
    #[serde(deserialize_with = "key")]
    Key(Option<Key>): "the key, which numerals and doubts go by",
    #[serde(deserialize_with = "meter")]
    Meter(Meter): "the meter, 4/4 where none is given",
    #[serde(deserialize_with = "tempo")]
    Tempo(Tempo): "the tempo, 100 where none is given",
    #[serde(deserialize_with = "swing")]
    Swing(Swing): "which notes swing",
    #[serde(deserialize_with = "tuning")]
    Tuning(Tuning): "the open strings (`fretleaf about tunings`)",
    #[serde(deserialize_with = "capo")]
    Capo(u8): "the capo, written from as if it were the nut",
    #[serde(deserialize_with = "instrument")]
    Instrument(super::Sound): "how it sounds to `hear`, by its tuning where not said",
    #[serde(deserialize_with = "frets")]
    Frets(u8): "how many the neck has, 22 where not said",
    #[serde(rename = "scale length", deserialize_with = "scale_length")]
    ScaleLength(f64): "of the strings, from nut to bridge",
    #[serde(deserialize_with = "sounds")]
    Sounds(bool): "`list`: what the `tone` rows name, in a table at the end",
    #[serde(rename = "figured bass", deserialize_with = "figured_bass")]
    FiguredBass(bool): "`yes`: numerals show inversions, `I6`, `V65`",
    #[serde(deserialize_with = "hand")]
    Hand(Hand): "the hand that fingerings are made for",
    #[serde(deserialize_with = "handed")]
    Handed(Handed): "left mirrors every diagram",
    #[serde(deserialize_with = "pace")]
    Pace(u16): "how fast you speak, for the script's clock",
    #[serde(deserialize_with = "length")]
    Length(Duration): "how long the script is to run",
    #[serde(deserialize_with = "captions")]
    Captions(super::header::CaptionWords): "how captions write chords and numerals",
    #[serde(deserialize_with = "page")]
    Page(super::switches::Switches): "what is on at first in the web page, fingers where not said",
    #[serde(deserialize_with = "video")]
    Video(String): "the film, which the web page and its headings lead to",
    #[serde(deserialize_with = "template")]
    Template(String): "how pages look (`fretleaf about template`)",
    #[serde(deserialize_with = "font")]
    Font(String): "for letters that our faces lack",
    #[serde(deserialize_with = "paper")]
    Paper(super::header::Paper): "the paper that is printed on",
}

/// A key that may be given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownKey {
    /// Its name.
    pub name: &'static str,
    /// What it says.
    pub says: &'static str,
    /// What its value may be, in the words of the message about another; `None` where any words may stand.
    pub allowed: Option<String>,
    /// Whether a `now` block and a fence line may have it too.
    pub may_change: bool,
}

/// All keys of the header, in order.
pub fn known_keys() -> Vec<KnownKey> {
    let Err(Problem::UnknownKey(names)) = parse("", "", Scope::Header) else { return Vec::new() };
    let key = |(name, says): (&&'static str, &&'static str)| {
        let allowed = match parse(name, "", Scope::Header) {
            Err(Problem::Value(words)) => {
                words.lines().find_map(|line| line.strip_prefix("allowed: ")).map(str::to_owned)
            }
            _ => None,
        };
        KnownKey { name, says, allowed, may_change: NOW_KEYS.contains(name) }
    };
    names.iter().zip(SAYS).map(key).collect()
}

impl Entry {
    /// The same, the notes in it by other names.
    fn called(self, names: Names) -> Entry {
        match self {
            Entry::Key(Some(key)) => {
                Entry::Key(Some(Key { tonic: key.tonic.called(names), ..key }))
            }
            Entry::Tuning(tuning) => Entry::Tuning(tuning.called(names)),
            entry => entry,
        }
    }

    /// Whether its value is any words at all.
    fn is_words(&self) -> bool {
        matches!(
            self,
            Entry::Title(_)
                | Entry::Subtitle(_)
                | Entry::Composer(_)
                | Entry::Teacher(_)
                | Entry::Series(_)
                | Entry::Date(_)
                | Entry::Rights(_)
                | Entry::Level(_)
                | Entry::Address(_)
                | Entry::Logo(_)
                | Entry::Lang(_)
                | Entry::Template(_)
                | Entry::Font(_)
        )
    }
}

/// The hand that the neck lies in front of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Handed {
    /// Whether the player is left-handed.
    pub left: bool,
}

/// The keys that a `now` block and a fence line may have.
pub(super) const NOW_KEYS: [&str; 8] =
    ["key", "meter", "tempo", "swing", "tuning", "capo", "hand", "instrument"];

/// The longest value of a key, in characters.
const LONGEST_VALUE: usize = limits::VALUE.most;

/// What stands behind the colon of a key whose value is the lines set in beneath it (YAML 1.2, 8.1 and 8.2).
const NESTS: [&str; 5] = ["", "|", ">", "|-", ">-"];

/// Where a line stands, which decides the keys that it may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Scope {
    /// In the header.
    Header,
    /// In a `now` block or a fence line.
    Now,
}

impl Scope {
    fn name(self) -> &'static str {
        match self {
            Scope::Header => "the header",
            Scope::Now => "a `now` block",
        }
    }

    /// The help page about it.
    fn page(self) -> &'static str {
        match self {
            Scope::Header => "header",
            Scope::Now => "now",
        }
    }
}

/// Where lines stand, and how the notes in their values are named.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    scope: Scope,
    names: Names,
}

impl Place {
    /// A header of these keys with their values: its names hold in all of it, wherever they are given.
    pub fn header<'a>(mut keys: impl Iterator<Item = (Line<'a>, Line<'a>)>) -> Place {
        let given = keys.find(|(key, _)| name_of(*key) == "names");
        let names = given.and_then(|(_, value)| Names::parse(value.text));
        Place { scope: Scope::Header, names: names.unwrap_or_default() }
    }

    /// A `now` block or a fence line in a lesson with such names.
    pub fn now(names: Names) -> Place {
        Place { scope: Scope::Now, names }
    }

    /// The value of a key with the notes in it in English; one that can't be read by the lesson's names is left as it is.
    fn in_english(self, key: &str, value: &str) -> String {
        let names = self.names;
        let read = match key {
            _ if names == Names::English => None,
            "key" => names.key(value).map(|key| Entry::Key(Some(key))),
            "tuning" => Tuning::parse_as(value, names).ok().map(Entry::Tuning),
            _ => None,
        };
        match read.map(|entry| entry.called(Names::English)) {
            Some(Entry::Key(Some(key))) => key.to_string(),
            Some(Entry::Tuning(tuning)) => {
                let strings: Vec<String> = tuning.strings().iter().map(Pitch::to_string).collect();
                strings.join(" ")
            }
            _ => value.to_owned(),
        }
    }
}

/// A line that was read: its key in small letters, what it says, and where the value stands.
#[derive(Debug)]
pub(super) struct Read {
    pub key: String,
    pub entry: Entry,
    pub value: Span,
}

/// Reads lines; blank ones and comments say nothing, and each wrong one is a finding of its own. What is
/// set in beneath a key of the author's own belongs to that, and is left out with it.
pub(super) fn read_all(lines: &[Line], place: Place, findings: &mut Findings) -> Vec<Read> {
    let scope = place.scope;
    let mut seen = BTreeMap::new();
    let (own, lines) = parted(lines, scope);
    for line in own {
        findings.add(left_out::beneath_a_key(line.trimmed().whole()));
    }
    let keys: Vec<Line> = lines.iter().filter_map(|line| Some(split(*line)?.0)).collect();
    let is_kept = keys.len() == lines.len();
    let given = Given { is_kept, ..Given::of(keys.into_iter(), place) };
    let read_line = |line: Line| {
        let Some((key, value)) = split(line) else {
            let line = line.trimmed();
            findings.add(header_key::no_colon(line.whole(), line.text));
            return None;
        };
        read(key, value, scope, (&given, &mut seen), findings)
    };
    lines.into_iter().filter_map(read_line).collect()
}

/// The lines that say something, parted: those that are set in beneath a key of the author's own, which has
/// no value of its own on its line, and the others.
fn parted<'a>(lines: &[Line<'a>], scope: Scope) -> (Vec<Line<'a>>, Vec<Line<'a>>) {
    let opens = |line: Line| {
        split(line).is_some_and(|(key, value)| {
            let known = parse(&name_of(key), "", scope);
            matches!(known, Err(Problem::UnknownKey(_))) && NESTS.contains(&value.text)
        })
    };
    let mut within = false;
    let said = lines.iter().filter(|line| !line.text.trim().is_empty() && !is_comment(line.text));
    said.copied().partition(|line| {
        let set_in = line.text.starts_with([' ', '\t']);
        within = if set_in { within } else { opens(*line) };
        set_in && within
    })
}

/// Reads keys with their values, wherever they stand; each wrong one is a finding of its own.
pub(super) fn read_each(keys: &[(Line, Line)], place: Place, findings: &mut Findings) -> Vec<Read> {
    let given = Given::of(keys.iter().map(|(key, _)| *key), place);
    let mut seen = BTreeMap::new();
    let each = keys.iter();
    each.filter_map(|(key, value)| read(*key, *value, place.scope, (&given, &mut seen), findings))
        .collect()
}

/// The keys that stand in one place.
pub(super) struct Given {
    /// Their names in small letters, sorted, each as often as it is given.
    names: Vec<String>,
    place: Place,
    /// Whether nothing but keys stands there: among prose, or notes of the author's own, a key may be theirs.
    is_kept: bool,
    /// How many of them nobody knows; counted when the first is met.
    unknown: OnceCell<usize>,
}

impl Given {
    /// The keys of a place where those of a scope may stand.
    pub fn of<'a>(keys: impl Iterator<Item = Line<'a>>, place: Place) -> Given {
        let mut names: Vec<String> = keys.map(name_of).collect();
        names.sort_unstable();
        Given { names, place, is_kept: true, unknown: OnceCell::new() }
    }

    fn has(&self, name: &str) -> bool {
        self.names.binary_search_by(|given| given.as_str().cmp(name)).is_ok()
    }

    /// What speaks for one of the known keys that an unknown one is near. An author may have keys of their
    /// own, so nothing does but a slip of the fingers before a value that this key can have, words apart,
    /// as these may stand behind any, and that in a place where every other line is a known key: beside others
    /// it may belong to those. Other keys may have the value too: the letters tell.
    fn ground(&self, near: &Near, word: &str, (name, value): (&str, &str)) -> Ground {
        let is_only = self.is_kept && self.unknown() == 1;
        let fits = || parse(word, value, self.place.scope).is_ok_and(|entry| !entry.is_words());
        if is_only && is_fumbled(name, word) && fits() { near.ground() } else { Ground::Choice }
    }

    /// How many keys stand there that nobody knows.
    fn unknown(&self) -> usize {
        *self.unknown.get_or_init(|| {
            let is_unknown = |name: &&String| {
                matches!(parse(name, "", self.place.scope), Err(Problem::UnknownKey(_)))
            };
            self.names.iter().filter(is_unknown).count()
        })
    }
}

/// The known keys that an unknown one is near.
fn meant_by(name: &str, known: &[&'static str]) -> Near<'static> {
    near(name, known.iter().copied(), 2)
}

fn name_of(key: Line) -> String {
    key.text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Whether a line is a comment: `#` and a space at its start (or `#` alone, since many editors take
/// blanks off a line's end).
pub(super) fn is_comment(line: &str) -> bool {
    line.starts_with("# ") || line == "#"
}

/// The key and the value of a line, trimmed, the quotes around the value dropped.
pub(super) fn split<'a>(line: Line<'a>) -> Option<(Line<'a>, Line<'a>)> {
    let colon = line.text.find(':')?;
    let (key, rest) = line.split_at(colon);
    let (_, value) = rest.split_at(1);
    Some((key.trimmed(), unquoted(value.trimmed())))
}

pub(super) fn unquoted(value: Line<'_>) -> Line<'_> {
    [('"', '"'), ('\'', '\''), ('“', '”'), ('‘', '’')]
        .into_iter()
        .find_map(|(open, close)| {
            let text = value.text.strip_prefix(open)?.strip_suffix(close)?;
            let whole = !text.contains([open, close]);
            whole.then_some(Line { text, start: value.start + open.len_utf8() })
        })
        .unwrap_or(value)
}

/// Reads one key with its value; `given` are the keys that stand in the same place, `seen` those before it
/// and where they stand.
pub(super) fn read(
    key: Line,
    value: Line,
    scope: Scope,
    (given, seen): (&Given, &mut BTreeMap<String, Span>),
    findings: &mut Findings,
) -> Option<Read> {
    let name = name_of(key);
    if value.text.chars().nth(LONGEST_VALUE).is_some() {
        let words = format!("this is too long\nallowed: at most {LONGEST_VALUE} characters");
        findings.add(header_value::wrong(value.whole(), &words));
        return None;
    }
    let text = given.place.in_english(&name, value.text);
    match parse(&name, &text, scope).map(|entry| entry.called(given.place.names)) {
        Ok(entry) => {
            if let Some(first) = seen.get(&name) {
                findings.add(header_key::given_twice(key.whole(), key.text, *first));
                return None;
            }
            seen.insert(name.clone(), key.whole());
            if let Entry::Tuning(tuning) = &entry
                && let Some(finding) = odd_octave(tuning, value.whole())
            {
                findings.add(finding);
            }
            Some(Read { key: name, entry, value: value.whole() })
        }
        Err(Problem::UnknownKey(known)) => {
            findings.add(unknown_key(key, value, given, known, scope));
            None
        }
        Err(Problem::Value(words)) => {
            findings.add(header_value::wrong(value_place(key, value), &words));
            None
        }
    }
}

/// The doubt that a string is named in a wrong octave.
fn odd_octave(tuning: &Tuning, value: Span) -> Option<Finding> {
    let (string, meant) = tuning.odd_octave()?;
    let (named, name) =
        (
            tuning.open(string)?,
            |(at, open): (StringIndex, &Pitch)| {
                if at == string { meant.to_string() } else { open.to_string() }
            },
        );
    let whole: Vec<String> = by_string(tuning.strings()).map(name).collect();
    Some(tuning_octave::odd(value, &named.to_string(), &meant.to_string(), &whole.join(" ")))
}

/// Where a wrong value is marked: the value, or the key where there is none.
fn value_place(key: Line, value: Line) -> Span {
    if value.text.is_empty() { key.whole() } else { value.whole() }
}

fn unknown_key(
    key: Line,
    value: Line,
    given: &Given,
    known: &[&'static str],
    scope: Scope,
) -> Finding {
    let (place, name) = (key.whole(), name_of(key));
    if scope == Scope::Now
        && !matches!(parse(&name, "", Scope::Header), Err(Problem::UnknownKey(_)))
    {
        return header_key::for_the_whole(place, key.text);
    }
    let near = meant_by(&name, known);
    if let Some(word) = near.words.first().copied() {
        if given.has(word) {
            return header_key::unknown_and_given(place, key.text, word);
        }
        if goes_on_behind_the_colon(&name, value, word) {
            return header_key::letter_behind_the_colon(place, key.text, word, value);
        }
        return header_key::unknown_near(
            place,
            key.text,
            word,
            given.ground(&near, word, (&name, value.text)),
        );
    }
    left_out::key(place, key.text, scope.name(), known).note(see(scope.page()))
}

/// Whether what a key lacks of a word stands at the beginning of its value: the letter slipped behind the
/// colon, and is no part of the value.
fn goes_on_behind_the_colon(name: &str, value: Line, word: &str) -> bool {
    let lacking = word.strip_prefix(name).filter(|lacking| lacking.chars().count() == 1);
    lacking.is_some_and(|letter| value.text.to_lowercase().starts_with(letter))
}

/// Why a line could not be read.
#[derive(Debug)]
enum Problem {
    /// There is no such key; the keys that there are.
    UnknownKey(&'static [&'static str]),
    /// The value is wrong: what is wrong, then what is allowed, a line each.
    Value(String),
}

impl Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Problem::UnknownKey(known) => write!(f, "the keys are {}", known.join(", ")),
            Problem::Value(words) => f.write_str(words),
        }
    }
}

impl std::error::Error for Problem {}

impl Error for Problem {
    fn custom<T: Display>(words: T) -> Problem {
        Problem::Value(words.to_string())
    }

    fn unknown_variant(_: &str, known: &'static [&'static str]) -> Problem {
        Problem::UnknownKey(known)
    }
}

fn parse(key: &str, value: &str, scope: Scope) -> Result<Entry, Problem> {
    if scope == Scope::Now && !NOW_KEYS.contains(&key) {
        return Err(Problem::UnknownKey(&NOW_KEYS));
    }
    Entry::deserialize(EnumAccessDeserializer::new(KeyValue { key, value }))
}

/// A key with the rest of its line, as serde asks for them.
struct KeyValue<'a> {
    key: &'a str,
    value: &'a str,
}

impl<'de, 'a> EnumAccess<'de> for KeyValue<'a> {
    type Error = Problem;
    type Variant = Value<'a>;

    fn variant_seed<V>(self, seed: V) -> Result<(V::Value, Value<'a>), Problem>
    where
        V: DeserializeSeed<'de>,
    {
        let key: StrDeserializer<Problem> = self.key.into_deserializer();
        Ok((seed.deserialize(key)?, Value(self.value)))
    }
}

/// The rest of a line.
struct Value<'a>(&'a str);

impl<'de> VariantAccess<'de> for Value<'_> {
    type Error = Problem;

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Problem> {
        let value: StrDeserializer<Problem> = self.0.into_deserializer();
        seed.deserialize(value)
    }

    fn unit_variant(self) -> Result<(), Problem> {
        Err(Problem::custom("a value is one text"))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, _: V) -> Result<V::Value, Problem> {
        Err(Problem::custom("a value is one text"))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Problem> {
        Err(Problem::custom("a value is one text"))
    }
}
