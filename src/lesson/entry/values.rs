//! The values of keys: what each may be, and what is said where it is something else.

use super::Handed;
use crate::lesson::Sound;
use crate::lesson::header::CaptionWords;
use crate::lesson::running_time;
use crate::lesson::setting::{Swing, Tempo};
use crate::lesson::switches::Switches;
use crate::neck::{Hand, Tuning};
use crate::theory::{Key, Meter, Names};
use serde::de::Error;
use serde::{Deserialize, Deserializer};
use std::str::FromStr;
use std::time::Duration;

/// Reads a value by a function that knows what is right.
fn value<'de, D: Deserializer<'de>, T>(
    deserializer: D,
    what: &str,
    allowed: &str,
    parse: impl FnOnce(&str) -> Option<T>,
) -> Result<T, D::Error> {
    let text = String::deserialize(deserializer)?;
    parse(text.trim()).ok_or_else(|| {
        let wrong = if text.is_empty() {
            format!("the {what} is missing behind its key")
        } else {
            format!("`{text}` is no {what}")
        };
        D::Error::custom(format!("{wrong}\nallowed: {allowed}"))
    })
}

/// Reads `none` as such, and anything else by a function.
fn or_none<T>(text: &str, parse: impl FnOnce(&str) -> Option<T>) -> Option<Option<T>> {
    if text.eq_ignore_ascii_case("none") { Some(None) } else { parse(text).map(Some) }
}

/// Reads a number within a range.
fn number<T: FromStr + PartialOrd>(text: &str, range: std::ops::RangeInclusive<T>) -> Option<T> {
    text.parse().ok().filter(|number| range.contains(number))
}

pub(super) fn key<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Key>, D::Error> {
    let allowed = "a tonic and a mode or another scale (`A major`, `D dorian`, `E phrygian dominant`), a chord symbol (`A`, `F#m`), or `none`";
    value(deserializer, "key", allowed, |text| or_none(text, Key::parse))
}

pub(super) fn names<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Names, D::Error> {
    value(deserializer, "way to name notes", "`english`, `german` or `solfege`", Names::parse)
}

pub(super) fn meter<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Meter, D::Error> {
    let allowed = "1 to 32 beats over 1, 2, 4, 8, 16 or 32, such as `4/4` or `6/8`";
    value(deserializer, "meter", allowed, Meter::parse)
}

pub(super) fn tempo<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Tempo, D::Error> {
    let allowed = "20 to 400 quarter notes a minute, such as `92`, or dotted quarters, `dotted 60`";
    value(deserializer, "tempo", allowed, Tempo::parse)
}

pub(super) fn swing<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Swing, D::Error> {
    value(deserializer, "swing", "`none`, `eighths` or `sixteenths`", Swing::parse)
}

pub(super) fn tuning<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Tuning, D::Error> {
    let text = String::deserialize(deserializer)?;
    Tuning::parse(&text).map_err(|error| {
        let allowed = "3 to 12 open strings, the lowest first, such as `E A D G B E` or `E2 A2 …`, or a name, `drop D`";
        let advice = error.advice.unwrap_or_default();
        D::Error::custom(
            format!("{}\n{advice}\nallowed: {allowed}", error.message).replace("\n\n", "\n"),
        )
    })
}

pub(super) fn capo<'de, D: Deserializer<'de>>(deserializer: D) -> Result<u8, D::Error> {
    let fret = |text: &str| or_none(text, |text| number(text, 0..=35));
    value(deserializer, "capo", "the fret that it is at, or `none`", fret)
        .map(Option::unwrap_or_default)
}

pub(super) fn instrument<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Sound, D::Error> {
    value(deserializer, "instrument", "`steel`, `nylon`, `electric` or `bass`", Sound::parse)
}

pub(super) fn frets<'de, D: Deserializer<'de>>(deserializer: D) -> Result<u8, D::Error> {
    value(deserializer, "number of frets", "12 to 36", |text| number(text, 12..=36))
}

/// The limits are assumed: the smallest fretted instruments have about 280 mm, the longest basses
/// about 915.
pub(super) fn scale_length<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
    let length =
        |text: &str| number(text.strip_suffix("mm").unwrap_or(text).trim_end(), 200.0..=1200.0);
    value(deserializer, "scale length", "200 to 1200 mm, such as `648`", length)
}

pub(super) fn hand<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Hand, D::Error> {
    let allowed =
        "`small`, `medium`, `large`, or the span from index to little fingertip, 100 to 200 mm";
    value(deserializer, "hand", allowed, Hand::parse)
}

pub(super) fn handed<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Handed, D::Error> {
    value(deserializer, "hand to play with", "`right` or `left`", |text| {
        let left = text.eq_ignore_ascii_case("left");
        (left || text.eq_ignore_ascii_case("right")).then_some(Handed { left })
    })
}

pub(super) fn sounds<'de, D: Deserializer<'de>>(deserializer: D) -> Result<bool, D::Error> {
    let allowed = "`list`; without the key there is no table";
    value(deserializer, "way to print sounds", allowed, |text| {
        text.eq_ignore_ascii_case("list").then_some(true)
    })
}

pub(super) fn figured_bass<'de, D: Deserializer<'de>>(deserializer: D) -> Result<bool, D::Error> {
    value(deserializer, "answer", "`yes` or `no`", |text| {
        let yes = text.eq_ignore_ascii_case("yes");
        (yes || text.eq_ignore_ascii_case("no")).then_some(yes)
    })
}

pub(super) fn pace<'de, D: Deserializer<'de>>(deserializer: D) -> Result<u16, D::Error> {
    value(deserializer, "pace", "60 to 240 spoken words a minute", |text| number(text, 60..=240))
}

/// The limits are assumed: a short clip, and more than a day's filming.
pub(super) fn length<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Duration, D::Error> {
    let allowed = "minutes and seconds, such as `8:00` or `1:02:00`, from 0:10 to 10:00:00";
    let (least, most) = (Duration::from_secs(10), running_time::LONGEST);
    let within = |time: &Duration| time.subsec_nanos() == 0 && (least..=most).contains(time);
    value(deserializer, "length", allowed, |text| running_time::read(text).filter(within))
}

pub(super) fn captions<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<CaptionWords, D::Error> {
    value(deserializer, "way to write captions", "`as written` or `as said`", CaptionWords::parse)
}

pub(super) fn page<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Switches, D::Error> {
    let allowed =
        "`left-handed`, `large digits`, `note names`, `fingers`, parted by commas, or `none`";
    value(deserializer, "list of what is on at first", allowed, Switches::parse)
}

pub(super) fn video<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let allowed =
        "an address of the web, such as `https://example.org/film`, written as browsers copy it";
    value(deserializer, "film's address", allowed, |text| is_of_the_web(text).then(|| text.into()))
}

/// Whether an address is one of the web that leads somewhere, in the letters that stand in one (RFC 3986, section 2).
fn is_of_the_web(address: &str) -> bool {
    let lower = address.to_ascii_lowercase();
    let scheme = ["https://", "http://"].into_iter().find(|scheme| lower.starts_with(scheme));
    let is_letter = |c: char| c.is_ascii_alphanumeric() || "-._~:/?#[]@!$&'()*+,;=%".contains(c);
    let host = scheme.and_then(|scheme| address.get(scheme.len()..)).unwrap_or_default();
    host.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '[')
        && address.chars().all(is_letter)
}

pub(super) fn template<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let allowed = "a built-in template's name, or a path in the lesson's folder";
    let named = |text: &str| (!text.is_empty()).then(|| text.to_string());
    value(deserializer, "template", allowed, named)
}

pub(super) fn font<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let allowed = "a TTF or OTF file in the lesson's folder";
    value(deserializer, "font", allowed, |text| (!text.is_empty()).then(|| text.to_string()))
}

pub(super) fn logo<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let allowed = "a PNG, JPEG or SVG in the lesson's folder";
    value(deserializer, "logo", allowed, |text| (!text.is_empty()).then(|| text.to_string()))
}

pub(super) fn paper<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<crate::lesson::header::Paper, D::Error> {
    value(deserializer, "paper", "`a4`, `a5` or `letter`", crate::lesson::header::Paper::parse)
}
