//! Raw HTML while the prose is read: its tags are left out, its words stay.

use super::super::html;
use super::{MarkdownReader, Open};
use crate::findings::rules::left_out;
use crate::findings::source::Span;
use crate::lesson::prose::{Inline, Node};
use pulldown_cmark::Event;

impl MarkdownReader<'_, '_> {
    /// Raw HTML among words: its tags part them at most; one hint a paragraph.
    pub(super) fn inline_html(&mut self, text: &str, span: Span) {
        if text.starts_with("<!--") {
            return;
        }
        match html::parting_of(text) {
            html::Parting::None => {}
            html::Parting::Line => self.word(Inline::Break),
            html::Parting::Space | html::Parting::Paragraph => self.word(Inline::Space),
        }
        if let Some(words) = html::picture_words(text) {
            self.letters.prose(&words, span);
            self.word(Inline::Text(words));
        }
        let code = html::code_begun(text).and_then(|name| self.hide_code(name, span.end));
        if let Some(end) = code {
            self.findings.add(left_out::code(Span::new(span.start, end)));
        } else if !self.html_told {
            self.html_told = true;
            self.findings.add(left_out::tags(span));
        }
    }

    /// Hides the script or style sheet that begins at an offset, up to its end tag; where that is.
    /// Without one, nothing is hidden.
    fn hide_code(&mut self, name: &'static str, start: usize) -> Option<usize> {
        if self.endless.contains(&name) {
            return None;
        }
        let rest = self.source.text.get(start..).unwrap_or_default();
        let end = html::end_tag(rest, name).map(|length| start + length);
        match end {
            Some(end) => self.hidden_until = end,
            None => self.endless.push(name),
        }
        end
    }

    /// Whether something in the text belongs to a script or style sheet; music never does.
    pub(super) fn is_hidden(&self, event: &Event, span: Span) -> bool {
        let words =
            matches!(event, Event::Text(_) | Event::Code(_) | Event::SoftBreak | Event::HardBreak);
        let markup = matches!(event, Event::Html(_) | Event::InlineHtml(_));
        let music = matches!(self.open.last(), Some(Open::Music { .. }));
        span.end <= self.hidden_until && (words || markup) && !music
    }

    pub(super) fn html_block(&mut self, text: &str, span: Span) {
        let span = self.trimmed(span);
        let read = html::read(text);
        let unchecked = read.paragraphs.iter().any(|words| words.contains('`'));
        for words in read.paragraphs {
            self.letters.prose(&words, span);
            let lines =
                words.split('\n').map(|line| [Inline::Break, Inline::Text(line.to_owned())]);
            self.node(Node::Paragraph(lines.flatten().skip(1).collect()));
        }
        match read.left_out {
            html::LeftOut::Nothing => {}
            html::LeftOut::Tags => {
                let note = "all up to the next blank line, or to the line on which a comment ends, belongs to it";
                let finding = left_out::tags(span).note(note);
                let unread = "what stands between backticks within it is printed as typed and not checked: \
                              leave a blank line before the words";
                self.findings.add(if unchecked { finding.note(unread) } else { finding });
            }
            html::LeftOut::Code => {
                let beyond = read.unclosed.and_then(|name| self.hide_code(name, span.end));
                let end = beyond.unwrap_or(span.end);
                self.findings.add(left_out::code(Span::new(span.start, end)));
            }
            html::LeftOut::Unclosed => {
                self.findings.add(left_out::endless_comment(span));
            }
        }
    }
}
