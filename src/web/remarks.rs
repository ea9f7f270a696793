//! What a draft says of the lesson's faults and guesses.

use super::prose::Prose;
use crate::blocks::{Block, Fault};
use crate::page::draft::in_quotes;
use crate::words::paper::draft as words;

impl Prose<'_> {
    /// Says beneath the title what is wrong or guessed where no block says so.
    pub(super) fn title_remarks(&mut self) {
        if !self.job.draft {
            return;
        }
        let lesson = self.lesson;
        let guesses = lesson.lesson.header.guesses.iter();
        let guesses: Vec<String> = guesses.map(|guess| guess.finding().message).collect();
        let in_blocks = lesson.blocks.iter().map(|block| block.guesses.len()).sum::<usize>();
        let said = words::foot(lesson.faults, guesses.len() + in_blocks);
        let said = lesson.lesson.header.lang.reported("draft", &said);
        self.html.words("p", &[("class", "remark")], &said);
        self.worded(&lesson.faults_elsewhere, |_| words::FAULT.to_owned());
        self.guesses(&guesses);
    }

    /// Says beneath a block what is wrong with it and what was guessed.
    pub(super) fn block_remarks(&mut self, block: &Block) {
        self.worded(&block.faults, words::fault);
        self.guesses(&block.guesses);
    }

    fn guesses(&mut self, guesses: &[String]) {
        guesses.iter().for_each(|guess| self.remark(words::DOUBT, guess));
    }

    /// Words faults as far as a draft may still word any.
    fn worded(&mut self, faults: &[Fault], head: impl Fn(usize) -> String) {
        let (worded, untold) = faults.split_at(faults.len().min(self.faults_left));
        self.faults_left -= worded.len();
        for (index, fault) in worded.iter().enumerate() {
            self.remark(&head(index), &fault.message);
        }
        if !untold.is_empty() {
            let untold = words::untold(untold.len());
            let untold = self.lesson.lesson.header.lang.reported("draft", &untold);
            self.html.words("p", &[("class", "remark")], &untold);
        }
    }

    fn remark(&mut self, head: &str, words: &str) {
        self.html.open("p", &[("class", "remark")]);
        let lang = self.lesson.lesson.header.lang;
        self.html.words("b", &[], &lang.reported("draft", head));
        self.html.text(&in_quotes(&lang.finding(words), lang));
        self.close("p");
    }
}
