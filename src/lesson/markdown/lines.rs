//! The lines of a code block, put together from the pieces in which they are told.

use crate::findings::source::{Line, Source, Span};

/// The lines of a block of music, put together from the pieces that the parser hands over: in lists
/// and quotes a line's indent and quote marks are no part of it.
#[derive(Debug, Default)]
pub(super) struct Lines<'a> {
    done: Vec<Line<'a>>,
    /// Where the line that has not ended yet begins and ends so far.
    current: Option<Span>,
    /// Whether the parser has just handed over blanks that stand for part of a tab.
    after_tab: bool,
}

impl<'a> Lines<'a> {
    pub fn take(&mut self, source: &'a Source, span: Span) {
        // Part of the tab belongs to the list's indent, part to the line: the line keeps it whole,
        // since it is a fault there.
        if span.start == span.end {
            self.after_tab = true;
            return;
        }
        let mut start = span.start - usize::from(std::mem::take(&mut self.after_tab));
        let text = source.slice(Span::new(start, span.end));
        for piece in text.split_inclusive('\n') {
            let ends = piece.ends_with('\n');
            let words = piece.trim_end_matches(['\r', '\n']);
            self.extend(Span::new(start, start + words.len()));
            if ends {
                self.end_line(source);
            }
            start += piece.len();
        }
    }

    fn extend(&mut self, piece: Span) {
        self.current = match self.current {
            // The line feed behind a carriage return comes alone and adds nothing.
            Some(line) if piece.start == piece.end => Some(line),
            Some(line) => Some(line.to(piece)),
            None => Some(piece),
        };
    }

    fn end_line(&mut self, source: &'a Source) {
        if let Some(span) = self.current.take() {
            self.done.push(Line { text: source.slice(span), start: span.start });
        }
    }

    pub fn finish(mut self, source: &'a Source) -> Vec<Line<'a>> {
        self.end_line(source);
        self.done
    }
}
