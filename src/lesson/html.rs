//! Raw HTML in the prose: its tags are left out, its words stay, its comments vanish without a word.

use std::borrow::Cow;

/// What a block of raw HTML comes to.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Read {
    /// Its words, a paragraph each, the lines that `br` ends parted by line feeds.
    pub paragraphs: Vec<String>,
    /// What is left out and is to be told.
    pub left_out: LeftOut,
    /// The script or style sheet that doesn't end in the block, by its tag's name.
    pub unclosed: Option<&'static str>,
}

/// What is left out and is to be told, the worst that there is.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum LeftOut {
    /// Nothing, or comments alone.
    #[default]
    Nothing,
    /// Tags.
    Tags,
    /// A script or a style sheet with all that stands in it.
    Code,
    /// All that follows a comment which never ends.
    Unclosed,
}

/// What a tag does to the words about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Parting {
    /// Nothing: it stands within a line.
    None,
    /// It parts them by a space.
    Space,
    /// It ends a line.
    Line,
    /// It parts paragraphs.
    Paragraph,
}

/// Elements whose content isn't words.
const CODE: [&str; 2] = ["script", "style"];

/// Elements that stand on lines of their own (HTML Living Standard, section 15.3).
const BLOCKS: [&str; 44] = [
    "address",
    "article",
    "aside",
    "blockquote",
    "body",
    "caption",
    "center",
    "dd",
    "details",
    "dialog",
    "dir",
    "div",
    "dl",
    "dt",
    "fieldset",
    "figcaption",
    "figure",
    "footer",
    "form",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "head",
    "header",
    "hr",
    "html",
    "legend",
    "li",
    "main",
    "menu",
    "nav",
    "ol",
    "p",
    "pre",
    "section",
    "summary",
    "table",
    "title",
    "tr",
    "ul",
    "option",
];

/// Elements whose edges part words as a space does.
const SPACES: [&str; 2] = ["td", "th"];

/// Ends a line of a paragraph while it is read.
const LINE_END: char = '\u{2028}';

/// Reads a block.
pub(super) fn read(block: &str) -> Read {
    let (read, words, signs) = (Read::default(), String::new(), Signs::of(block));
    let mut reader = HtmlReader { read, words, signs };
    let mut rest = block;
    while let Some(at) = rest.find('<') {
        let (words, markup) = rest.split_at(at);
        reader.words.push_str(words);
        rest = reader.markup(markup);
    }
    reader.words.push_str(rest);
    reader.end_paragraph();
    reader.read
}

struct HtmlReader<'b> {
    read: Read,
    /// The words of the paragraph so far, entities as written.
    words: String,
    signs: Signs<'b>,
}

/// Where in a block the signs stand last that end tags and the like, so that none is looked for in vain
/// more than once.
struct Signs<'b> {
    block: &'b str,
    last: [(&'static str, Option<usize>); 3],
    /// Whether every tag so far had an end outside of its quotes; where one had none, quotes are taken
    /// for plain signs from there on.
    quotes: bool,
}

impl<'b> Signs<'b> {
    fn of(block: &'b str) -> Signs<'b> {
        let last = [">", "?>", "]]>"].map(|sign| (sign, block.rfind(sign)));
        Signs { block, last, quotes: true }
    }

    /// How far it is from the beginning of what is left of the block to the end of the next sign.
    fn upto(&self, rest: &str, sign: &str) -> Option<usize> {
        let (_, last) = self.last.iter().find(|(known, _)| *known == sign)?;
        if (*last)? < self.block.len() - rest.len() {
            return None;
        }
        rest.find(sign).map(|at| at + sign.len())
    }

    /// How far it is to the end of a tag.
    fn end_of_tag(&mut self, tag: &str) -> Option<usize> {
        let next = self.upto(tag, ">")?;
        let outside = if self.quotes { closing_sign(tag) } else { None };
        self.quotes = outside.is_some();
        Some(outside.unwrap_or(next))
    }
}

impl<'b> HtmlReader<'b> {
    /// Takes what begins with `<`; what follows it.
    fn markup(&mut self, markup: &'b str) -> &'b str {
        if let Some(comment) = markup.strip_prefix("<!--") {
            let behind = behind_comment(comment);
            self.leave_out(if behind.is_some() { LeftOut::Nothing } else { LeftOut::Unclosed });
            return behind.unwrap_or_default();
        }
        let Some((length, name)) = tag(markup, &mut self.signs) else {
            let (sign, rest) = markup.split_at(1);
            self.words.push_str(sign);
            return rest;
        };
        let (tag, rest) = markup.split_at(length);
        self.leave_out(LeftOut::Tags);
        match parting(name) {
            Parting::None => {}
            Parting::Space => self.words.push(' '),
            Parting::Line => self.words.push(LINE_END),
            Parting::Paragraph => self.end_paragraph(),
        }
        self.words.extend(alternative(tag));
        let Some(code) = code_named(name, tag) else { return rest };
        self.leave_out(LeftOut::Code);
        let end = end_tag(rest, code);
        self.read.unclosed = if end.is_none() { Some(code) } else { None };
        end.and_then(|end| rest.get(end..)).unwrap_or_default()
    }

    fn leave_out(&mut self, what: LeftOut) {
        self.read.left_out = self.read.left_out.max(what);
    }

    fn end_paragraph(&mut self) {
        let words = std::mem::take(&mut self.words);
        let words: Cow<str> = html_escape::decode_html_entities(&words);
        let line = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
        let lines: Vec<String> = words.split(LINE_END).map(line).collect();
        let words = lines.join("\n");
        let words = words.trim_matches('\n');
        if !words.is_empty() {
            self.read.paragraphs.push(words.to_owned());
        }
    }
}

/// The length of the tag, declaration or instruction that a text begins with, and a tag's name. One
/// that never ends, ends with its line: what follows is words.
fn tag<'t>(text: &'t str, signs: &mut Signs<'_>) -> Option<(usize, &'t str)> {
    let line = || text.find('\n').unwrap_or(text.len());
    if text.starts_with("<?") {
        return Some((signs.upto(text, "?>").unwrap_or_else(line), ""));
    }
    if text.starts_with("<![CDATA[") {
        return Some((signs.upto(text, "]]>").unwrap_or_else(line), ""));
    }
    let inner = text.get(1..)?;
    let inner = inner.strip_prefix('/').or_else(|| inner.strip_prefix('!')).unwrap_or(inner);
    if !inner.starts_with(|c: char| c.is_ascii_alphabetic()) {
        return None;
    }
    let end = inner.find(|c: char| !c.is_ascii_alphanumeric() && c != '-').unwrap_or(inner.len());
    let length = signs.end_of_tag(text).unwrap_or_else(line);
    Some((length, inner.get(..end).unwrap_or_default()))
}

/// Where the `>` of a tag stands that is in no quotes, and one past it.
fn closing_sign(tag: &str) -> Option<usize> {
    let mut quote = None;
    for (at, c) in tag.char_indices() {
        match quote {
            None if c == '>' => return Some(at + 1),
            None if matches!(c, '"' | '\'') => quote = Some(c),
            Some(open) if open == c => quote = None,
            _ => {}
        }
    }
    None
}

/// What a tag of a name does to the words about it.
fn parting(name: &str) -> Parting {
    let among = |names: &[&str]| names.iter().any(|known| known.eq_ignore_ascii_case(name));
    match () {
        () if among(&BLOCKS) => Parting::Paragraph,
        () if among(&SPACES) => Parting::Space,
        () if among(&["br"]) => Parting::Line,
        () => Parting::None,
    }
}

/// What a tag among words of a paragraph does to them.
pub(super) fn parting_of(text: &str) -> Parting {
    tag(text, &mut Signs::of(text)).map_or(Parting::None, |(_, name)| parting(name))
}

/// The words that stand for the picture of a tag among words.
pub(super) fn picture_words(text: &str) -> Option<String> {
    alternative(text).map(|words| html_escape::decode_html_entities(words).into_owned())
}

/// What the attribute `alt` of a picture's tag says, entities as written.
fn alternative(tag: &str) -> Option<&str> {
    let name = tag.get(1..).unwrap_or_default();
    let end = name.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(name.len());
    let (name, mut rest) = name.split_at(end);
    if !name.eq_ignore_ascii_case("img") {
        return None;
    }
    loop {
        rest = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '/');
        let end = rest.find(|c: char| c.is_whitespace() || matches!(c, '=' | '>' | '/'))?;
        let (name, behind) = rest.split_at(end);
        let (value, behind) = attribute_value(behind);
        match name {
            "" => return None,
            name if name.eq_ignore_ascii_case("alt") => return value,
            _ => rest = behind,
        }
    }
}

/// The value that follows an attribute's name, if there is one, and what follows that.
fn attribute_value(text: &str) -> (Option<&str>, &str) {
    let Some(value) = text.trim_start().strip_prefix('=').map(str::trim_start) else {
        return (None, text);
    };
    for quote in ['"', '\''] {
        if let Some(quoted) = value.strip_prefix(quote) {
            let (value, behind) = quoted.split_once(quote).unwrap_or((quoted, ""));
            return (Some(value), behind);
        }
    }
    let end = value.find(|c: char| c.is_whitespace() || c == '>').unwrap_or(value.len());
    let (value, behind) = value.split_at(end);
    (Some(value), behind)
}

/// The name of the script or style sheet that a tag begins.
pub(super) fn code_begun(text: &str) -> Option<&'static str> {
    let (_, name) = tag(text, &mut Signs::of(text))?;
    code_named(name, text)
}

/// The script or style sheet that a tag of a name begins.
fn code_named(name: &str, text: &str) -> Option<&'static str> {
    let begun = CODE.into_iter().find(|code| code.eq_ignore_ascii_case(name));
    begun.filter(|_| !text.starts_with("</"))
}

/// Where in a text the end tag of an element is over.
pub(super) fn end_tag(text: &str, name: &str) -> Option<usize> {
    let begins = |at: usize| {
        let behind = text.get(at + 2..at + 2 + name.len());
        behind.is_some_and(|behind| behind.eq_ignore_ascii_case(name))
    };
    let start = text.match_indices("</").map(|(at, _)| at).find(|at| begins(*at))?;
    let length = text.get(start..)?.find('>').map(|at| at + 1);
    Some(length.map_or(text.len(), |length| start + length))
}

/// What follows a comment, given what follows its `<!--`. `<!-->` and `<!--->` are whole comments
/// (CommonMark 0.31, section 6.6).
fn behind_comment(comment: &str) -> Option<&str> {
    comment
        .strip_prefix('>')
        .or_else(|| comment.strip_prefix("->"))
        .or_else(|| comment.split_once("-->").map(|(_, behind)| behind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_are_told_from_the_rest() {
        for (block, left_out) in [
            ("<!-- a -->\n", LeftOut::Nothing),
            ("<!-- a\n\nb --> <!---->\n", LeftOut::Nothing),
            ("<!-->", LeftOut::Nothing),
            ("<!--->\n", LeftOut::Nothing),
            ("<!-- a --> words\n", LeftOut::Nothing),
            ("<p>a <!-- b --></p>", LeftOut::Tags),
            ("<p><style>a</style>", LeftOut::Code),
            ("<!-- a\n", LeftOut::Unclosed),
            ("<!-- a --> <!-- b", LeftOut::Unclosed),
        ] {
            assert_eq!(read(block).left_out, left_out, "{block:?}");
        }
    }

    #[test]
    fn words_stay_and_tags_go() {
        for (block, words) in [
            ("<div>\none *two*\n</div>\n", vec!["one *two*"]),
            ("<p>one</p><p>two<br>three</p>", vec!["one", "two\nthree"]),
            ("<br>\n", vec![]),
            ("<p>see <img src=a.png alt=\"a &amp; b\"> there</p>", vec!["see a & b there"]),
            ("<IMG title='alt=x > y' ALT = dog/>", vec!["dog/"]),
            ("<img alt='a dog'", vec!["a dog"]),
            ("<img src='a' alt>", vec![]),
            ("<image alt='a'><img =x alt='b'>", vec![]),
            ("<b>o</b>ne <i>two", vec!["one two"]),
            (
                "<table>\n<tr><th>Fret</th><th>Note</th></tr>\n<tr><td>3</td><td>C&sharp; &amp; &#69;</td></tr></table>",
                vec!["Fret Note", "3 C♯ & E"],
            ),
            ("<ul><li>one<li>two</ul>", vec!["one", "two"]),
            ("<a title=\"a > b\">one</a>", vec!["one"]),
            ("<div id=\"open\n*two*\n", vec!["*two*"]),
            ("<div id='it\">one</div>", vec!["one"]),
            ("1 < 2 and 3 > 2 <3", vec!["1 < 2 and 3 > 2 <3"]),
            ("<SCRIPT>\nlet a = '<p>';\n</Script> one", vec!["one"]),
            ("<style>p { }</style>\n<p>one</p>", vec!["one"]),
            ("<?php a ?> one <!DOCTYPE html> two <![CDATA[ x ]]>", vec!["one two"]),
            ("<!-- a --> one <!-- b -->", vec!["one"]),
            ("<pre>one\n  two</pre>", vec!["one two"]),
            ("<", vec!["<"]),
            ("</", vec!["</"]),
            ("<é>", vec!["<é>"]),
        ] {
            assert_eq!(read(block).paragraphs, words, "{block:?}");
        }
    }

    #[test]
    fn broken_tags_take_time_in_proportion() {
        for unit in ["<a ", "<a \"", "<a '>'", "<?", "<![CDATA[", "<a '", "</", "<a =\"'>", "<!a "]
        {
            for end in ["", ">", "\">"] {
                let block = format!("<div>{}{end}", unit.repeat(200_000));
                let begun = std::time::Instant::now();
                read(&block);
                assert!(begun.elapsed().as_secs() < 3, "{unit} {end}");
            }
        }
    }

    #[test]
    fn a_script_that_goes_on_is_told() {
        for (block, unclosed) in [
            ("<div><script>\na();", Some("script")),
            ("<script>a();</script>", None),
            ("<style>a</script>", Some("style")),
            ("</script>", None),
        ] {
            assert_eq!(read(block).unclosed, unclosed, "{block}");
        }
    }
}
