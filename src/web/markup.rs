//! HTML while it is written. What a lesson says goes in as text and as the values of attributes alone, so that none
//! of it is ever markup.

use crate::ink::markup::legal;
use html_escape::{encode_double_quoted_attribute, encode_text};

/// The names of attributes with their values.
pub type Attributes<'a> = [(&'a str, &'a str)];

/// HTML so far.
#[derive(Debug, Default)]
pub struct Html {
    text: String,
}

impl Html {
    /// Begins an element.
    pub fn open(&mut self, tag: &str, attributes: &Attributes<'_>) {
        self.text.push('<');
        self.text.push_str(tag);
        for (name, value) in attributes {
            let value = legal(value);
            let value = encode_double_quoted_attribute(&value);
            self.text.extend([" ", *name, "=\"", &*value, "\""]);
        }
        self.text.push('>');
    }

    /// Ends an element.
    pub fn close(&mut self, tag: &str) {
        self.text.extend(["</", tag, ">"]);
    }

    /// An element that holds words.
    pub fn words(&mut self, tag: &str, attributes: &Attributes<'_>, words: &str) {
        self.open(tag, attributes);
        self.text(words);
        self.close(tag);
    }

    /// Words.
    pub fn text(&mut self, words: &str) {
        self.text.push_str(&encode_text(&legal(words)));
    }

    /// Ends a line of the file.
    pub fn end_line(&mut self) {
        self.text.push('\n');
    }

    /// Markup of our own making: a drawing, a style, another piece of the page.
    pub fn put(&mut self, markup: &str) {
        self.text.push_str(markup);
    }

    /// All of it.
    pub fn into_string(self) -> String {
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_never_markup() {
        let mut html = Html::default();
        html.open("a", &[("href", "\"><img src=x onerror=alert(1)>")]);
        html.text("</a><script>alert(1)</script>\u{0}");
        html.close("a");
        let written = html.into_string();
        assert_eq!(written.matches('<').count(), 2, "{written}");
        assert_eq!(written.matches('"').count(), 2, "{written}");
        assert!(!written.contains('\u{0}'));
    }
}
