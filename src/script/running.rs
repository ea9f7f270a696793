//! How long a script runs, in words, and how that stands to the length that it is to have.

use super::measured::Share;
use super::{Script, clock};
use std::cmp::Ordering;
use std::time::Duration;

impl Script {
    /// For pages and views: `10:18 at 150 words a minute, 2:18 over`.
    pub fn running(&self) -> String {
        let runs = format!("{} at {} words a minute", clock::told(self.runs), self.pace);
        let told = std::iter::once(runs).chain(self.clauses());
        told.map(|clause| self.lang.said(&clause).into_owned()).collect::<Vec<_>>().join(", ")
    }

    /// What is said behind a running time, where something is: `2:18 over`, `3 of 5 sections as measured`.
    pub fn clauses(&self) -> impl Iterator<Item = String> {
        let length = self.length.map(|length| off(self.runs, length));
        let measured = self.measured.map(|share| match share {
            Share { measured, sections } if measured == sections => "as measured".to_owned(),
            Share { measured, sections } => {
                format!("{measured} of {sections} sections as measured")
            }
        });
        length.into_iter().chain(measured)
    }
}

/// How far a running time is from a length, both as they are told.
fn off(runs: Duration, length: Duration) -> String {
    let (runs, length) = (runs.as_secs(), length.as_secs());
    let by = clock::told(Duration::from_secs(runs.abs_diff(length)));
    match runs.cmp(&length) {
        Ordering::Equal => "to the second".to_owned(),
        Ordering::Greater => format!("{by} over"),
        Ordering::Less => format!("{by} under"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_running_time_is_told_with_its_length() {
        let ms = Duration::from_millis;
        for (runs, words) in [
            (618_000, "2:18 over"),
            (480_999, "to the second"),
            (480_000, "to the second"),
            (479_999, "0:01 under"),
            (440_000, "0:40 under"),
            (7_681_000, "2:00:01 over"),
        ] {
            assert_eq!(off(ms(runs), ms(480_000)), words);
        }
    }
}
