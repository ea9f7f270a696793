//! The header: `key: value` lines between `---` lines.

use super::Setting;
use super::entry::{self, Entry, Place, Read};
use super::guess::{self, Guess};
use super::limits;
use super::switches::Switches;
use crate::findings::rules::{header_key, header_value, left_out, no_title};
use crate::findings::source::{Line, Source, Span, Spanned, lines};
use crate::findings::{Finding, Findings};
use crate::words::Lang;
use std::time::Duration;

/// What the header says.
#[derive(Debug, Clone)]
pub struct Header {
    /// The title; the file's name where the header has none.
    pub title: String,
    /// The line beneath the title.
    pub subtitle: Option<String>,
    /// Who wrote the tune.
    pub composer: Option<String>,
    /// Who teaches it.
    pub teacher: Option<String>,
    /// The series that the lesson belongs to.
    pub series: Option<String>,
    /// The language of the words that are printed beside the author's.
    pub lang: Lang,
    /// The date, as written.
    pub date: Option<String>,
    /// The rights line.
    pub rights: Option<String>,
    /// Whom the lesson is for.
    pub level: Option<String>,
    /// The address of its film, one of the web.
    pub video: Option<String>,
    /// What is on at first in the page for a student's screen.
    pub page: Switches,
    /// The teacher's address.
    pub address: Option<String>,
    /// A picture in the lesson's folder for the title block.
    pub logo: Option<Spanned<String>>,
    /// The page template: a built-in one's name, or a path.
    pub template: Option<Spanned<String>>,
    /// A font file in the lesson's folder, for letters that our faces lack.
    pub font: Option<Spanned<String>>,
    /// The paper, `a4`, `a5` or `letter`.
    pub paper: Option<Paper>,
    /// Spoken words a minute, 60 to 240.
    pub pace: u16,
    /// How long the script is to run: whole seconds, 10 s to 10 h.
    pub length: Option<Duration>,
    /// How captions write chords, notes and numerals.
    pub captions: CaptionWords,
    /// Whether what the `tone` rows name stands in a table at the lesson's end.
    pub sounds: bool,
    /// Which keys the header gives, in the order it gives them: `key`, `tempo`, …
    pub given: Vec<String>,
    /// What holds from the lesson's start.
    pub setting: Setting,
    /// What an import guessed in it.
    pub guesses: Vec<Guess>,
}

impl Default for Header {
    /// What holds where nothing is given (language section 2), without a title.
    fn default() -> Header {
        Header {
            title: String::new(),
            subtitle: None,
            composer: None,
            teacher: None,
            series: None,
            lang: Lang::English,
            date: None,
            rights: None,
            level: None,
            video: None,
            page: Switches::default(),
            address: None,
            logo: None,
            template: None,
            font: None,
            paper: None,
            pace: 150,
            length: None,
            captions: CaptionWords::AsWritten,
            sounds: false,
            given: Vec::new(),
            setting: Setting::default(),
            guesses: Vec::new(),
        }
    }
}

/// The paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 148 × 210 mm.
    A5,
    /// 8½ × 11 in.
    Letter,
}

impl Paper {
    /// Reads `a4`, `a5` or `letter`, in any case.
    pub fn parse(text: &str) -> Option<Paper> {
        match text.trim().to_ascii_lowercase().as_str() {
            "a4" => Some(Paper::A4),
            "a5" => Some(Paper::A5),
            "letter" => Some(Paper::Letter),
            _ => None,
        }
    }
}

/// How captions write musical names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CaptionWords {
    /// As they are printed: `C♯7`.
    AsWritten,
    /// As they are said: "C sharp seven".
    AsSaid,
}

impl CaptionWords {
    /// Reads `as written` or `as said`, in any case.
    pub fn parse(text: &str) -> Option<CaptionWords> {
        let words: Vec<&str> = text.split_whitespace().collect();
        match words.join(" ").to_ascii_lowercase().as_str() {
            "as written" => Some(CaptionWords::AsWritten),
            "as said" => Some(CaptionWords::AsSaid),
            _ => None,
        }
    }
}

/// How many bytes the header at the top of a text takes; none where there is no header.
pub fn length(text: &str) -> usize {
    Written::find(text).map_or(0, |written| written.end)
}

/// Reads the header at the top of a lesson; returns it with the byte offset at which the prose
/// begins.
pub(super) fn read(source: &Source, findings: &mut Findings) -> (Header, usize) {
    let written = Written::find(&source.text);
    let mut header = Header::default();
    if let Some(written) = &written {
        if !written.closed {
            findings.add(not_closed(written.open));
        }
        let most = limits::HEADER_LINES.most;
        let (lines, beyond) = written.lines.split_at(written.lines.len().min(most));
        let place = Place::header(lines.iter().filter_map(|line| entry::split(*line)));
        header.take(entry::read_all(lines, place, findings), findings);
        if let Some(beyond) = beyond.first() {
            findings.add(limits::HEADER_LINES.lines_are_left(beyond.whole()));
        }
        header.guesses = guess::among(source, lines);
        header.guesses.iter().for_each(|guess| findings.add(guess.finding()));
    }
    if header.title.is_empty() {
        header.title = file_stem(&source.name);
        findings.add(untitled(written.as_ref(), &header.title));
    }
    (header, written.map_or(0, |written| written.end))
}

impl Header {
    /// What options of the command line say: each the name of a key, and its value, read as the header's.
    pub fn of_options(options: &[(Line<'_>, Line<'_>)], findings: &mut Findings) -> Header {
        let keys = options.iter().map(|(key, value)| (*key, entry::unquoted(value.trimmed())));
        let keys: Vec<(Line<'_>, Line<'_>)> = keys.collect();
        let place = Place::header(keys.iter().copied());
        let mut header = Header::default();
        header.take(entry::read_each(&keys, place, findings), findings);
        header
    }

    /// Takes the entries over, those first on which others depend: a capo lies on the frets, and a
    /// tuning has its usual scale length unless one is given; the strings go by the names that are given.
    fn take(&mut self, mut entries: Vec<Read>, findings: &mut Findings) {
        self.given = entries.iter().map(|read| read.key.clone()).collect();
        entries.sort_by_key(|read| match read.entry {
            Entry::Names(_) => 0,
            Entry::Tuning(_) | Entry::Frets(_) => 1,
            _ => 2,
        });
        for read in entries {
            let Read { entry, value, .. } = read;
            if let Entry::Lang(tag) = &entry
                && Lang::parse(tag).is_none()
            {
                findings.add(left_out::language(value, tag));
            }
            if let Err(words) = self.set(entry, value) {
                findings.add(header_value::wrong(value, &words));
            }
        }
    }

    fn set(&mut self, entry: Entry, value: Span) -> Result<(), String> {
        let given = |text: String| Some(text).filter(|text| !text.is_empty());
        match entry {
            Entry::Title(text) => self.title = text,
            Entry::Subtitle(text) => self.subtitle = given(text),
            Entry::Composer(text) => self.composer = given(text),
            Entry::Teacher(text) => self.teacher = given(text),
            Entry::Series(text) => self.series = given(text),
            Entry::Lang(tag) => self.lang = Lang::parse(&tag).unwrap_or_default(),
            Entry::Date(text) => self.date = given(text),
            Entry::Rights(text) => self.rights = given(text),
            Entry::Level(text) => self.level = given(text),
            Entry::Video(address) => self.video = Some(address),
            Entry::Page(switches) => self.page = switches,
            Entry::Address(text) => self.address = given(text),
            Entry::Logo(text) => self.logo = Some(Spanned { value: text, span: value }),
            Entry::Template(text) => self.template = Some(Spanned { value: text, span: value }),
            Entry::Font(text) => self.font = Some(Spanned { value: text, span: value }),
            Entry::Paper(paper) => self.paper = Some(paper),
            Entry::Pace(pace) => self.pace = pace,
            Entry::Length(length) => self.length = Some(length),
            Entry::Captions(words) => self.captions = words,
            Entry::Sounds(list) => self.sounds = list,
            entry => return self.setting.set(entry),
        }
        Ok(())
    }
}

/// The header as it stands in the text.
struct Written<'a> {
    /// The `---` line that opens it.
    open: Line<'a>,
    /// The byte offset behind that line.
    inside: usize,
    /// The lines between.
    lines: Vec<Line<'a>>,
    /// The byte offset behind it.
    end: usize,
    /// Whether a `---` line closes it.
    closed: bool,
}

impl<'a> Written<'a> {
    /// Finds the header: the first line that is not blank is `---`, and what follows it either is
    /// closed at once or begins like a header, with a `key:` somewhere before the first blank line.
    /// Anything else is prose that begins with a rule.
    fn find(text: &'a str) -> Option<Written<'a>> {
        let mut rest = lines(text, 0).skip_while(|line| line.text.trim().is_empty());
        let open = rest.next().filter(|line| is_fence(line))?;
        let mut between: Vec<Line> = Vec::new();
        let mut close = None;
        for line in rest {
            if is_fence(&line) {
                close = Some(line);
                break;
            }
            between.push(line);
        }
        let filled = || between.iter().skip_while(|line| line.text.trim().is_empty());
        let begins = filled().take_while(|line| !line.text.trim().is_empty()).any(has_key);
        if !begins && (close.is_none() || filled().next().is_some()) {
            return None;
        }
        if close.is_none() {
            let length = between
                .iter()
                .take_while(|line| has_key(line) || entry::is_comment(line.text))
                .count();
            between.truncate(length);
        }
        let last = close.or(between.last().copied()).unwrap_or(open);
        Some(Written {
            open,
            inside: next_line(text, open),
            lines: between,
            end: next_line(text, last),
            closed: close.is_some(),
        })
    }
}

/// The byte offset at which the line after a line begins.
fn next_line(text: &str, line: Line) -> usize {
    let end = line.whole().end;
    let rest = text.get(end..).unwrap_or_default();
    end + rest.find('\n').map_or(rest.len(), |feed| feed + 1)
}

fn is_fence(line: &Line) -> bool {
    line.text.trim_end() == "---"
}

/// Whether a line looks like a key, a colon, a value: keys are one to three words of letters.
fn has_key(line: &Line) -> bool {
    line.text.split_once(':').is_some_and(|(key, _)| {
        let words = key.split_whitespace().count();
        let letters = |c: char| c.is_alphabetic() || c.is_whitespace() || c == '-' || c == '_';
        (1..=3).contains(&words) && key.chars().all(letters)
    })
}

fn not_closed(open: Line) -> Finding {
    header_key::no_end(open.whole())
}

fn untitled(written: Option<&Written>, title: &str) -> Finding {
    match written {
        Some(written) => no_title::in_header(written.open.whole(), written.inside, title),
        None => no_title::without_header(title),
    }
}

/// The file's name without its folders and its ending.
fn file_stem(name: &str) -> String {
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    match file.strip_suffix(".md").unwrap_or(file) {
        "" | "-" => "lesson".to_string(),
        stem => stem.to_string(),
    }
}
