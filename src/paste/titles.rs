//! The title of an old tab.

use super::frames;
use super::lines::{Kind, Line};
use super::parts;
use super::settings::is_setting;

/// The longest line that is taken for a title.
const LONGEST_TITLE: usize = 60;

/// The most words of one.
const MOST_WORDS: usize = 8;

/// How many lines at a text's top may come before its title: those of a letter's head, settings.
const LINES_BEFORE: usize = 6;

/// The words before a title.
const NAMES: [&str; 4] = ["title", "song", "tune", "song title"];

/// The words that begin the lines of a letter's head.
const LETTER: [&str; 8] = ["from", "to", "date", "cc", "sent", "reply-to", "newsgroups", "re"];

/// Words that make a line in small letters a title.
const TAB_WORDS: [&str; 4] = ["tab", "tabs", "tablature", "riff"];

/// Takes the title out: the header's lines for it, and the title.
pub(super) fn take(lines: &mut Vec<Line>) -> Option<(String, String)> {
    let labelled = lines.iter().position(|line| titled(&line.text).is_some());
    if let Some(at) = labelled {
        let text = lines.remove(at).text;
        frames::take(lines, at);
        let title = titled(&text)?;
        let mark = if title.outright { "# from" } else { "# guessed: the title, from" };
        let plain = text.trim().to_lowercase().starts_with("title:");
        let comment =
            if plain { String::new() } else { format!("{mark} the words `{}`\n", text.trim()) };
        return Some((format!("{comment}title: {}", title.words), title.words));
    }
    let first = plausible(lines)?;
    let text = lines.get(first)?.text.clone();
    let title = undecorated(&text)?;
    lines.remove(first);
    frames::take(lines, first);
    let from = if title == text.trim() { String::new() } else { format!(" `{}`", text.trim()) };
    Some((format!("# guessed: the title, from the first line{from}\ntitle: {title}"), title))
}

/// A title that a line gives by a word before it.
struct Titled {
    words: String,
    /// Whether the word is one for a title and a colon stands behind it.
    outright: bool,
}

/// The title behind `Title:`, `Title -` or the `Subject:` of a letter.
fn titled(line: &str) -> Option<Titled> {
    let line = &parts::without_leaders(frames::without(line));
    let (word, title, colon) = match (line.split_once(':'), line.split_once(" - ")) {
        (Some((word, _)), Some((first, title))) if first.len() < word.len() => {
            (first, title, false)
        }
        (Some((word, title)), _) => (word, title, true),
        (None, Some((word, title))) => (word, title, false),
        (None, None) => return None,
    };
    let word = word.trim().to_lowercase();
    let named = NAMES.iter().any(|name| is_alike(&word, name));
    let subject = word == "subject" && colon;
    let title = if subject { without_marks(title) } else { title.trim() };
    let said = (named || subject) && !title.is_empty();
    said.then(|| Titled { words: title.to_string(), outright: named && colon })
}

/// Whether a word is another but for accents.
fn is_alike(word: &str, other: &str) -> bool {
    let plain = |(one, other): (char, char)| one == other || !one.is_ascii();
    word.chars().count() == other.len() && word.chars().zip(other.chars()).all(plain)
}

/// A letter's subject without what its writer or its program puts before: `Re:`, `TAB:`.
fn without_marks(subject: &str) -> &str {
    let marks = ["re:", "fw:", "fwd:", "tab:", "[tab]", "tabs:", "bass tab:", "crd:"];
    let mut rest = subject.trim();
    while let Some(mark) = marks
        .iter()
        .find(|mark| rest.get(..mark.len()).is_some_and(|head| head.eq_ignore_ascii_case(mark)))
    {
        rest = rest.get(mark.len()..).unwrap_or_default().trim_start();
    }
    rest
}

/// Whether a line begins with the number of its page: `Page 1 of 2`.
fn is_page_number(line: &str) -> bool {
    let words: Vec<String> = line.split_whitespace().map(str::to_lowercase).collect();
    let is_number = |word: &String| word.chars().all(|c| c.is_ascii_digit());
    match words.as_slice() {
        [page, number] => page == "page" && is_number(number),
        [page, number, of, all, ..] => {
            page == "page" && of == "of" && is_number(number) && is_number(all)
        }
        _ => false,
    }
}

/// The first line that may be a title, past the lines of a letter's head, settings and numbers of pages.
fn plausible(lines: &[Line]) -> Option<usize> {
    let said = |(_, line): &(usize, &Line)| !line.is_blank() && !frames::is_decoration(line);
    let is_letter = |text: &str| {
        let word = text.split_once(':').map(|(word, _)| word.trim().to_lowercase());
        word.is_some_and(|word| LETTER.contains(&word.as_str()))
    };
    let is_other =
        |text: &str| is_letter(text) || is_setting(text) || is_page_number(frames::without(text));
    let passes = |line: &Line| line.kind == Kind::Words && is_other(&line.text);
    let mut top = lines.iter().enumerate().filter(said).take(LINES_BEFORE);
    let (at, line) = top.find(|(_, line)| !passes(line))?;
    (line.kind == Kind::Words && undecorated(&line.text).is_some()).then_some(at)
}

/// A line without what frames it, if it may be a title: few words, the first with a capital letter or one
/// of them the word for a tab, no sentence and nothing that the header says otherwise.
fn undecorated(line: &str) -> Option<String> {
    let bare = frames::without(line);
    let words: Vec<&str> = bare.split_whitespace().collect();
    let title = words.join(" ");
    let capital = bare.trim_start_matches(['"', '“', '\'', '‘']).starts_with(char::is_uppercase);
    let short = title.chars().count() <= LONGEST_TITLE && (1..=MOST_WORDS).contains(&words.len());
    let sentence = title.ends_with(['.', ',', ':', ';', '!']) || title.contains([':', '=']);
    let tab = words.iter().any(|word| TAB_WORDS.contains(&word.to_lowercase().as_str()));
    let setting = is_setting(&title);
    ((capital || tab) && short && !sentence && !setting).then_some(title)
}
