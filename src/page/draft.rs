//! What a draft says of the lesson's faults and guesses, in small type.

use super::flow::{Flow, Leads, MARK, Manner, Room};
use super::galley::TOGETHER;
use super::inline::heavy;
use super::paragraph::{Dress, Passage};
use super::template::Type;
use crate::blocks::Fault;
use crate::ink::Role;
use crate::words::Lang;
use crate::words::paper::draft as words;

impl Flow<'_> {
    /// Says beneath the title what is wrong or guessed where no block says so.
    pub fn title_remarks(&mut self, place: Room) {
        let lesson = self.lesson;
        let guesses = lesson.lesson.header.guesses.iter();
        let guesses: Vec<String> = guesses.map(|guess| guess.finding().message).collect();
        let faults = &lesson.faults_elsewhere;
        if self.job.draft && !(guesses.is_empty() && faults.is_empty()) {
            let from = self.galley.next();
            self.begin_remarks(faults.len());
            self.worded(faults, place, |_| words::FAULT.to_owned());
            self.guesses(&guesses, place);
            self.galley.bar(from, MARK);
        }
    }

    /// Says what an import guessed and nobody has confirmed.
    pub fn guesses(&mut self, guesses: &[String], place: Room) {
        self.begin_remarks(guesses.len());
        for guess in guesses {
            self.remark(words::DOUBT, guess, place);
        }
    }

    /// Says beneath a block what is wrong with it, under the letters of its marks.
    pub fn faults(&mut self, faults: &[Fault], place: Room) {
        self.begin_remarks(faults.len());
        self.worded(faults, place, words::fault);
    }

    /// The room above remarks, where there are any.
    fn begin_remarks(&mut self, count: usize) {
        if count > 0 {
            self.galley.space(self.template().spaces.caption);
            self.galley.hold(TOGETHER);
        }
    }

    /// Words faults as far as a draft may still word any.
    fn worded(&mut self, faults: &[Fault], place: Room, head: impl Fn(usize) -> String) {
        let (worded, untold) = faults.split_at(faults.len().min(self.faults_left));
        self.faults_left -= worded.len();
        for (index, fault) in worded.iter().enumerate() {
            self.remark(&head(index), &fault.message, place);
        }
        if !untold.is_empty() {
            let small = self.template().small;
            let strong = Type { face: heavy(small.face), ..small };
            self.words(
                &self.lang().reported("draft", &words::untold(untold.len())),
                Role::Paragraph,
                Manner::ragged(strong),
                place,
            );
        }
    }

    fn remark(&mut self, head: &str, words: &str, place: Room) {
        let small = self.template().small;
        let strong = Type { face: heavy(small.face), ..small };
        let mut passage = Passage::default();
        let lang = self.lang();
        passage.push(&lang.reported("draft", head), Dress::plain(strong.style()));
        passage.push(&in_quotes(&lang.finding(words), lang), Dress::plain(small.style()));
        let part = self.parts.add(Role::Paragraph, place.part);
        self.passage(&passage, part, &Leads::default(), Manner::ragged(small), place);
    }
}

/// Words as paper shows them: what stands between backticks is put in quotes.
pub fn in_quotes(words: &str, lang: Lang) -> String {
    let [open, close] = lang.quotes();
    let mut pieces = words.split('`');
    let mut set = pieces.next().unwrap_or_default().to_owned();
    for (index, piece) in pieces.enumerate() {
        set.push(if index % 2 == 0 { open } else { close });
        set.push_str(piece);
    }
    set
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn backticks_are_no_print() {
        for (words, set) in [
            ("unknown key `foo`", "unknown key “foo”"),
            ("`C#` isn't `D`", "“C#” isn't “D”"),
            ("bar 2 is short", "bar 2 is short"),
        ] {
            assert_eq!(in_quotes(words, Lang::English), set);
        }
        assert_eq!(in_quotes("kein `D`", Lang::German), "kein „D“");
    }
}
