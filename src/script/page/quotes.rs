//! Quotes as they are printed.

/// A text with curved quotes for straight ones.
pub fn curved(words: &str) -> String {
    Quotes::default().curved(words)
}

/// Straight quotes made curved, piece after piece of a text: one behind a letter or a mark closes, any other opens,
/// and an apostrophe is a quote that closes.
#[derive(Default)]
pub(super) struct Quotes {
    before: Option<char>,
}

impl Quotes {
    pub(super) fn curved(&mut self, words: &str) -> String {
        let curve = |c: char| {
            let opens = self.before.is_none_or(|c| c.is_whitespace() || "([–—“‘".contains(c));
            let curved = match (c, opens) {
                ('"', true) => '“',
                ('"', false) => '”',
                ('\'', true) => '‘',
                ('\'', false) => '’',
                _ => c,
            };
            self.before = Some(curved);
            curved
        };
        words.chars().map(curve).collect()
    }
}
