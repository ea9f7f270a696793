//! Musical words as they are set on paper: plain characters with the proper signs, and which of
//! them are raised.

/// A musical word ready for paper: runs of text, some of them raised above the line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Printed {
    /// The runs, in reading order.
    pub runs: Vec<Run>,
}

/// A run of characters at one height.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The characters, with ♯ ♭ ° ø for the signs.
    pub text: String,
    /// Whether the run is set small and raised, as a chord's extensions are.
    pub raised: bool,
}

impl Printed {
    /// A word that is set on the line.
    pub fn plain(text: impl Into<String>) -> Printed {
        Printed::default().then(text, false)
    }

    /// The same word with one more run behind it; an empty run is not kept.
    #[must_use]
    pub fn then(mut self, text: impl Into<String>, raised: bool) -> Printed {
        let text = text.into();
        if !text.is_empty() {
            self.runs.push(Run { text, raised });
        }
        self
    }

    /// Several, with commas between.
    pub fn listed(all: impl IntoIterator<Item = Printed>) -> Printed {
        let comma = |at: usize| if at > 0 { ", " } else { "" };
        let all = all.into_iter().enumerate();
        all.fold(Printed::default(), |list, (at, one)| list.then(comma(at), false).with(one))
    }

    /// The same word with another behind it.
    #[must_use]
    pub fn with(mut self, more: Printed) -> Printed {
        self.runs.extend(more.runs);
        self
    }

    /// Its words, parted at spaces. A space within a raised run parts too.
    pub fn words(&self) -> impl Iterator<Item = Printed> {
        let mut words = vec![Printed::default()];
        for run in &self.runs {
            for (index, part) in run.text.split(' ').enumerate() {
                if index > 0 {
                    words.push(Printed::default());
                }
                if let Some(last) = words.last_mut() {
                    *last = std::mem::take(last).then(part, run.raised);
                }
            }
        }
        words.into_iter().filter(|word| !word.runs.is_empty())
    }

    /// The characters alone, as a search or a screen reader meets them.
    pub fn text(&self) -> String {
        self.runs.iter().map(|run| run.text.as_str()).collect()
    }
}
