//! What is open is closed: its words become a node of what stands around it.

use super::*;

impl MarkdownReader<'_, '_> {
    /// Puts the innermost thing that is open in its place.
    pub(super) fn close(&mut self, span: Span) {
        self.flush_loose();
        let Some(open) = self.open.pop() else { return };
        match open {
            Open::Blocks { kind: Outer::Item, nodes, .. } => {
                if let Some(Open::List { items, .. }) = self.open.last_mut() {
                    items.push(nodes);
                }
            }
            Open::Blocks { nodes, .. } => self.node(Node::Quote(nodes)),
            Open::List { start, tight, items } => self.node(Node::List { start, tight, items }),
            Open::Words { kind, words } => self.close_words(kind, words),
            Open::Table { columns, head, rows, .. } => {
                self.node(Node::Table { columns, head, rows });
            }
            Open::Code { .. } if span.end <= self.hidden_until => {}
            Open::Code { head, text } => self.close_code(head, &text),
            Open::Music { kind, head, lines } => {
                let lines = lines.finish(self.source);
                let (text, span) = (self.source.text.as_str(), self.trimmed(span));
                self.music(fence::Written { text, kind, head, lines, span });
            }
            Open::Html { text } => self.html_block(&text, span),
        }
    }

    pub(super) fn close_words(&mut self, kind: Inner, words: Vec<Inline>) {
        match kind {
            Inner::Paragraph => self.paragraph(words),
            Inner::Heading { level, span } => {
                let span = self.trimmed(span);
                self.node(Node::Heading { level, words, span });
            }
            Inner::Emphasis | Inner::Strong if words.is_empty() => {}
            Inner::Emphasis => self.word(Inline::Emphasis(words)),
            Inner::Strong => self.word(Inline::Strong(words)),
            Inner::Link { address } => self.word(Inline::Link { address, words }),
            Inner::Cell => {
                if let Some(Open::Table { row, .. }) = self.open.last_mut() {
                    row.push(words);
                }
            }
        }
    }

    /// A paragraph; one whose words have all vanished is none.
    pub(super) fn paragraph(&mut self, words: Vec<Inline>) {
        match words.as_slice() {
            words if words.iter().all(|word| matches!(word, Inline::Space | Inline::Break)) => {}
            [Inline::Text(text)] if text.trim().eq_ignore_ascii_case("[new page]") => {
                self.node(Node::NewPage);
            }
            _ => self.node(Node::Paragraph(words)),
        }
    }

    /// Adds a block to the innermost blocks.
    pub(super) fn node(&mut self, node: Node) {
        self.flush_loose();
        if let Some(Open::Blocks { nodes, .. }) = self.open.last_mut() {
            nodes.push(node);
        }
    }

    /// Puts a task's box first into the item that it stands in.
    pub(super) fn task(&mut self, done: bool) {
        let item = self.open.iter_mut().rev().find_map(|open| match open {
            Open::Blocks { kind: Outer::Item, nodes, .. } => Some(nodes),
            _ => None,
        });
        if let Some(nodes) = item.filter(|nodes| nodes.is_empty()) {
            nodes.push(Node::Task(done));
        }
    }

    /// Makes a paragraph of the words that stand without one.
    pub(super) fn flush_loose(&mut self) {
        if let Some(Open::Blocks { nodes, loose, .. }) = self.open.last_mut()
            && !loose.is_empty()
        {
            nodes.push(Node::Paragraph(std::mem::take(loose)));
        }
    }

    /// Notes that the item in which a paragraph begins belongs to a list that is not tight.
    pub(super) fn loosen_list(&mut self) {
        let [.., Open::List { tight, .. }, Open::Blocks { kind: Outer::Item, .. }] =
            self.open.as_mut_slice()
        else {
            return;
        };
        *tight = false;
    }
}
