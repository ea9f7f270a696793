//! Cutting what is said into captions, and a caption into lines.

use super::{Caption, LINE, LONGEST, SHORTEST};
use std::ops::Range;
use std::time::Duration;

/// A word that has under so many letters is short: no line is one short word.
const SHORT_WORD: usize = 5;

/// By how many characters lines may differ more in width where their break parts less by one. Assumed: a
/// break after a clause is worth six letters.
const WORTH: usize = 3;

/// A word, or a piece of one that is wider than a line.
pub(super) struct Word<'s> {
    pub text: &'s str,
    /// When it is said, in whole milliseconds.
    pub from: Duration,
    pub to: Duration,
    /// What ends with it.
    pub ends: Ends,
}

impl Word<'_> {
    fn letters(&self) -> usize {
        self.text.chars().filter(|c| c.is_alphanumeric()).count()
    }

    fn is_short(&self) -> bool {
        self.letters() < SHORT_WORD
    }
}

/// What ends with a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ends {
    /// A sentence, or the speech.
    Sentence,
    /// A clause.
    Clause,
    /// Neither.
    Nothing,
}

impl Ends {
    /// What ends with a word that stands before another, or at the end of a speech.
    pub(super) fn of(word: &str, next: Option<&str>) -> Ends {
        let Some(next) = next else { return Ends::Sentence };
        let bare = word.trim_end_matches(['"', '\'', '”', '’', '»', ')', ']']);
        // "e.g. the" is no end.
        let goes_on = next.starts_with(char::is_lowercase);
        match bare.chars().next_back() {
            Some('.' | '!' | '?' | '…') if !goes_on => Ends::Sentence,
            Some(',' | ';' | ':' | '–' | '—' | '!' | '?' | '…') => Ends::Clause,
            _ => Ends::Nothing,
        }
    }
}

/// How badly captions keep the rules: whichever has less of the first that differs is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Cost {
    /// Captions that are up too shortly, and those with a line of one short word.
    broken: usize,
    /// What the cuts part: nothing at a sentence's end, a clause 1, words 3, a short word from the
    /// next one 4. Assumed: three ends of clauses are read better than one cut between words.
    parted: usize,
    /// The squares of the captions' widths: less where there are more captions, of equal widths.
    uneven: usize,
}

impl std::ops::Add for Cost {
    type Output = Cost;

    fn add(self, other: Cost) -> Cost {
        Cost {
            broken: self.broken + other.broken,
            parted: self.parted + other.parted,
            uneven: self.uneven.saturating_add(other.uneven),
        }
    }
}

/// How a caption's words stand in lines.
struct Lines {
    /// The word that begins the second line.
    second: Option<usize>,
    /// Whether a line is one short word.
    broken: bool,
}

/// Words in a row, each at most as wide as a line.
pub(super) struct Row<'r> {
    words: &'r [Word<'r>],
    /// The characters before each word, a space behind each; and before the end.
    starts: Vec<usize>,
}

impl<'r> Row<'r> {
    pub(super) fn new(words: &'r [Word<'r>]) -> Row<'r> {
        let mut width = 0;
        let mut starts = vec![0];
        for word in words {
            width += word.text.chars().count() + 1;
            starts.push(width);
        }
        Row { words, starts }
    }

    /// The best captions of all that there can be, by the words that each has.
    pub(super) fn cut(&self) -> Vec<Range<usize>> {
        // For each number of words the best captions of so many: their cost, and where the last begins.
        let mut best: Vec<(Cost, usize)> = vec![(Cost::default(), 0)];
        for end in 1..=self.words.len() {
            let starts = (0..end).rev().take_while(|start| self.may_be_one(*start..end));
            let costs = starts.filter_map(|start| {
                let (before, _) = best.get(start)?;
                Some((*before + self.cost(start..end)?, start))
            });
            best.push(costs.min().unwrap_or_default());
        }
        let mut captions = Vec::new();
        let mut end = self.words.len();
        while let Some((_, start)) = best.get(end).filter(|_| end > 0) {
            captions.push(*start..end);
            end = *start;
        }
        captions.reverse();
        captions
    }

    /// A caption of some words, up no longer than a caption may be; none where nobody says them.
    pub(super) fn caption(&self, words: Range<usize>) -> Option<Caption> {
        let (from, to) = self.times(&words)?;
        let lines = self.lines(&words)?;
        let second = lines.second.unwrap_or(words.end);
        let lines = [self.text(words.start..second), self.text(second..words.end)];
        let lines = lines.join("\n").trim_end().to_owned();
        (to > from).then(|| Caption { lines, from, to: to.min(from + LONGEST) })
    }

    fn text(&self, words: Range<usize>) -> String {
        let words = self.words.get(words).unwrap_or_default();
        words.iter().map(|word| word.text).collect::<Vec<_>>().join(" ")
    }

    fn times(&self, words: &Range<usize>) -> Option<(Duration, Duration)> {
        let words = self.words.get(words.clone())?;
        Some((words.first()?.from, words.last()?.to))
    }

    fn width(&self, words: &Range<usize>) -> usize {
        let start = |index: usize| self.starts.get(index).copied().unwrap_or_default();
        (start(words.end) - start(words.start)).saturating_sub(1)
    }

    /// Whether words may be one caption by their width and their time; a single word always may.
    fn may_be_one(&self, words: Range<usize>) -> bool {
        let fits = self.times(&words).is_some_and(|(from, to)| to - from <= LONGEST);
        words.len() == 1 || (fits && self.width(&words) <= 2 * LINE + 1)
    }

    /// What a caption of some words costs; `None` where it doesn't fit on two lines.
    fn cost(&self, words: Range<usize>) -> Option<Cost> {
        let lines = self.lines(&words)?;
        let (from, to) = self.times(&words)?;
        Some(Cost {
            broken: usize::from(to - from < SHORTEST) + usize::from(lines.broken),
            parted: self.parted_at(words.end),
            uneven: self.width(&words).pow(2),
        })
    }

    /// What a cut before a word parts; nothing at the end.
    fn parted_at(&self, index: usize) -> usize {
        let before = index.checked_sub(1).and_then(|last| self.words.get(last));
        match before.map_or(Ends::Sentence, |word| word.ends) {
            Ends::Sentence => 0,
            Ends::Clause => 1,
            Ends::Nothing => 3 + usize::from(before.is_some_and(Word::is_short)),
        }
    }

    /// Words in one line, or two of about equal width.
    fn lines(&self, words: &Range<usize>) -> Option<Lines> {
        if self.width(words) <= LINE {
            return Some(Lines { second: None, broken: self.is_short_word(words) });
        }
        let start = self.starts.get(words.start)?;
        let middle = start + self.width(words).div_ceil(2);
        // All breaks that can be the best lie beside the middle: further away one line is wider still.
        let beside = self.starts.partition_point(|start| *start < middle);
        let breaks = beside.saturating_sub(2).max(words.start + 1)..(beside + 2).min(words.end);
        let rated = breaks.filter_map(|second| {
            let (one, two) = (words.start..second, second..words.end);
            let widths = (self.width(&one), self.width(&two));
            let broken = self.is_short_word(&one) || self.is_short_word(&two);
            let fits = widths.0.max(widths.1) <= LINE;
            let uneven = widths.0.abs_diff(widths.1) + self.parted_at(second) * WORTH;
            fits.then_some((broken, uneven, second))
        });
        let (broken, _, second) = rated.min()?;
        Some(Lines { second: Some(second), broken })
    }

    fn is_short_word(&self, words: &Range<usize>) -> bool {
        words.len() == 1 && self.words.get(words.start).is_some_and(Word::is_short)
    }
}
