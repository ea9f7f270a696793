//! Lengths of time in cues.

use crate::findings::Ground;

/// A length of time as authors write it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Seconds {
    /// In seconds, of any size.
    pub number: f64,
    /// What speaks for reading it so, where it isn't written as it should be.
    pub meant: Option<Ground>,
}

impl Seconds {
    /// Reads `4 s`, `4 seconds`, and what can be meant by nothing else: `4 sec`, `0:04`; a bare number is most
    /// likely one of seconds.
    pub fn read(text: &str) -> Option<Seconds> {
        let text = text.to_lowercase();
        let end = text.find(|sign: char| sign.is_alphabetic() || sign.is_whitespace());
        let (number, unit) = text.split_at(end.unwrap_or(text.len()));
        let seconds = |number: &str| number.parse::<f64>().ok();
        let (number, meant) = match (unit.trim(), number.split_once(':')) {
            ("s" | "second" | "seconds", None) => (seconds(number)?, None),
            ("s." | "sec" | "sec." | "secs" | "secs.", None) => {
                (seconds(number)?, Some(Ground::SameMusic))
            }
            ("min" | "min." | "mins" | "minute" | "minutes", None) => {
                (seconds(number)? * 60.0, Some(Ground::SameMusic))
            }
            ("", Some((minutes, rest))) => {
                let minutes: u32 = minutes.parse().ok()?;
                let rest = seconds(rest).filter(|rest| rest.is_sign_positive() && *rest < 60.0)?;
                (f64::from(minutes) * 60.0 + rest, Some(Ground::SameMusic))
            }
            ("", None) => (seconds(number)?, Some(Ground::Choice)),
            _ => return None,
        };
        Some(Seconds { number, meant })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_they_are_meant() {
        for (text, number, meant) in [
            ("4 s", 4.0, None),
            ("1.5s", 1.5, None),
            ("1 Second", 1.0, None),
            ("4 sec", 4.0, Some(Ground::SameMusic)),
            ("4secs.", 4.0, Some(Ground::SameMusic)),
            ("2 min", 120.0, Some(Ground::SameMusic)),
            ("0:04", 4.0, Some(Ground::SameMusic)),
            ("1:02.5", 62.5, Some(Ground::SameMusic)),
            ("4", 4.0, Some(Ground::Choice)),
        ] {
            assert_eq!(Seconds::read(text), Some(Seconds { number, meant }), "{text}");
        }
        for text in ["", "a while", "s", "4 beats", "0:75", "-1:02", "4 : 2", "four s"] {
            assert_eq!(Seconds::read(text), None, "{text}");
        }
    }
}
