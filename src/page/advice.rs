//! Which words of our own a lesson ends with: how to treat one's hands, and whose the tune is.

use crate::lesson::header::Header;
use crate::lesson::prose::{Inline, Node};
use crate::words::paper::end;

/// How words begin that speak of practice or of stretching.
const OF_PRACTICE: [&str; 9] = [
    "stretch",
    "reach",
    "practise",
    "practice",
    "practising",
    "practicing",
    "exercise",
    "warm-up",
    "faster",
];
/// Pairs of words that speak of it.
const PAIRS_OF_PRACTICE: [(&str, &str); 5] =
    [("warm", "up"), ("speed", "up"), ("build", "speed"), ("raise", "tempo"), ("tempo", "up")];

/// Whether the lesson's words call for the caution, which is given once.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub enum Caution {
    /// Nothing called for it yet.
    #[default]
    Uncalled,
    /// Something did.
    Due,
    /// It was given.
    Given,
}

impl Caution {
    /// Listens for words that call for it; whether these do, and none did before.
    pub fn listen(&mut self, node: &Node) -> bool {
        let called = *self == Caution::Uncalled && calls(node);
        if called {
            *self = Caution::Due;
        }
        called
    }

    /// Whether it is to be given where the section ends.
    pub fn falls_due(self) -> bool {
        self == Caution::Due
    }

    /// Notes that it was given.
    pub fn give(&mut self) {
        *self = Caution::Given;
    }
}

fn calls(node: &Node) -> bool {
    match node {
        Node::Heading { words, .. } | Node::Paragraph(words) => words_call(words),
        Node::List { items, .. } => items.iter().flatten().any(calls),
        Node::Quote(inner) => inner.iter().any(calls),
        Node::Table { rows, .. } => rows.iter().flatten().any(|cell| words_call(cell)),
        Node::Task(_) | Node::Rule | Node::Code(_) | Node::NewPage | Node::Music(_) => false,
    }
}

fn words_call(inlines: &[Inline]) -> bool {
    inlines.iter().any(|inline| match inline {
        Inline::Text(text) => text_calls(text),
        Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { words: inner, .. } => {
            words_call(inner)
        }
        _ => false,
    })
}

fn text_calls(text: &str) -> bool {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '-')
        .filter(|word| !word.is_empty())
        .collect();
    let alone = words.iter().any(|word| OF_PRACTICE.iter().any(|start| word.starts_with(start)));
    let pairs = words
        .windows(2)
        .any(|pair| PAIRS_OF_PRACTICE.iter().any(|(first, second)| pair == [*first, *second]));
    alone || pairs
}

/// A word on the rights in the tune and its words, where they are someone else's: the teacher's own tunes and
/// traditional ones need none. Words that are sung without a word of whose they are, are taken to be someone's.
pub fn rights_in_tune(header: &Header, sings: bool) -> Option<&'static str> {
    let rights = if sings { end::RIGHTS_IN_WORDS } else { end::RIGHTS };
    let composer = header.composer.as_deref().map(str::trim).filter(|name| !name.is_empty());
    let Some(composer) = composer else { return sings.then_some(rights) };
    let lower = composer.to_lowercase();
    let own = header.teacher.as_deref().is_some_and(|name| name.trim().to_lowercase() == lower);
    let nobodys = lower.starts_with("trad") || lower.starts_with("anon");
    (!own && !nobodys).then_some(rights)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_practice_call_for_the_caution() {
        for (words, called) in [
            ("Practise this slowly.", true),
            ("A long stretch, from the first fret", true),
            ("Warm up first", true),
            ("Then speed up a little", true),
            ("This exercise", true),
            ("The chord is practically the same", false),
            ("The tune is in A", false),
            ("warmth", false),
        ] {
            let mut caution = Caution::default();
            caution.listen(&Node::Paragraph(vec![Inline::Text(words.to_owned())]));
            assert_eq!(caution.falls_due(), called, "{words}");
        }
    }

    #[test]
    fn words_that_are_sung_belong_to_someone() {
        let header = |composer: Option<&str>, teacher: Option<&str>| Header {
            composer: composer.map(str::to_owned),
            teacher: teacher.map(str::to_owned),
            ..Header::default()
        };
        for (composer, teacher, sings, rights) in [
            (None, Some("Ines Marlow"), false, None),
            (None, Some("Ines Marlow"), true, Some(end::RIGHTS_IN_WORDS)),
            (Some("Tobias Renn"), Some("Ines Marlow"), true, Some(end::RIGHTS_IN_WORDS)),
            (Some("Tobias Renn"), Some("Ines Marlow"), false, Some(end::RIGHTS)),
            (Some("Ines Marlow"), Some("Ines Marlow"), true, None),
            (Some("trad."), None, true, None),
        ] {
            assert_eq!(rights_in_tune(&header(composer, teacher), sings), rights);
        }
    }

    #[test]
    fn caution_is_given_once() {
        let node = Node::Paragraph(vec![Inline::Text("practise".to_owned())]);
        let mut caution = Caution::default();
        caution.listen(&node);
        caution.give();
        caution.listen(&node);
        assert!(!caution.falls_due());
    }
}
