//! How long something runs, as it is written: `8:00`, `1:02.4`, `1:02:00`.

use std::time::Duration;

/// The longest running time that a lesson can name. Assumed: more than a day's filming.
pub const LONGEST: Duration = Duration::from_secs(36_000);

/// Reads minutes and seconds, `8:00`, or hours too, `1:02:00`; seconds may have up to three decimals.
/// `None` where it is written otherwise or is longer than any running time.
pub fn read(text: &str) -> Option<Duration> {
    let (whole, decimals) = text.split_once('.').map_or((text, None), |(w, d)| (w, Some(d)));
    let (minutes, seconds) = match *whole.split(':').collect::<Vec<_>>() {
        [minutes, seconds] => (number(minutes, 1..=3)?, sixtieths(seconds)?),
        [hours, minutes, seconds] => {
            (number(hours, 1..=2)? * 60 + sixtieths(minutes)?, sixtieths(seconds)?)
        }
        _ => return None,
    };
    let milliseconds = decimals.map_or(Some(0), |digits| {
        Some(number(digits, 1..=3)? * 10_u32.pow(3 - u32::try_from(digits.len()).ok()?))
    })?;
    let time = Duration::from_secs(u64::from(minutes * 60 + seconds))
        + Duration::from_millis(u64::from(milliseconds));
    (time <= LONGEST).then_some(time)
}

/// Two digits below 60.
fn sixtieths(text: &str) -> Option<u32> {
    number(text, 2..=2).filter(|number| *number < 60)
}

/// So many digits and nothing else.
fn number(text: &str, digits: std::ops::RangeInclusive<usize>) -> Option<u32> {
    let plain = digits.contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn running_times_are_read_as_written() {
        for (text, milliseconds) in [
            ("8:00", Some(480_000)),
            ("0:00", Some(0)),
            ("1:02.4", Some(62_400)),
            ("1:02.04", Some(62_040)),
            ("1:02:05.125", Some(3_725_125)),
            ("90:00", Some(5_400_000)),
            ("10:00:00", Some(36_000_000)),
            ("10:00:00.001", None),
            ("8", None),
            ("8:0", None),
            ("8:60", None),
            ("1:60:00", None),
            ("1:2:03", None),
            (":30", None),
            ("+1:30", None),
            ("1:02.", None),
            ("1:02.1234", None),
            ("1:02,4", None),
            ("1:00:00:00", None),
            ("1000000000000000000:00", None),
            ("٣:00", None),
            ("", None),
        ] {
            assert_eq!(read(text), milliseconds.map(Duration::from_millis), "{text}");
        }
    }
}
