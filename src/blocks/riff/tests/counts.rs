//! Counts, upbeats, and how long notes last.

use super::super::testing::{Reading, events};
use super::{check, line};
use crate::theory::Ticks;

#[test]
fn counts_are_moments() {
    for (meter, count, expected) in [
        ("4/4", "1 2 3 4", "0 960 1920 2880"),
        ("4/4", "1 & 2 + 4", "0 480 960 1440 2880"),
        ("2/4", "1 e & a 2", "0 240 480 720 960"),
        ("2/4", "1 la li 2 trip let", "0 320 640 960 1280 1600"),
        ("1/4", "1 ta la ta li ta", "0 160 320 480 640 800"),
        ("1/4", "1 ' e ' & ' a '", "0 120 240 360 480 600 720 840"),
        ("2/2", "1 & 2 &", "0 960 1920 2880"),
        ("3/8", "1 & 2 3", "0 240 480 960"),
        ("6/8", "1 2 & 3 4 5 6", "0 480 720 960 1440 1920 2400"),
        ("6/8", "1 la li 2 la li", "0 480 960 1440 1920 2400"),
        ("6/8", "1 ta la ta li ta 2", "0 240 480 720 960 1200 1440"),
        ("12/8", "1 10 11 12", "0 4320 4800 5280"),
        ("9/8", "1 la 3 li", "0 480 2880 3840"),
        ("4/4", "& 2 3 4", "480 960 1920 2880"),
        ("4/4", "e & a 4", "2160 2400 2640 2880"),
        ("1/4", "& a", "480 720"),
        ("4/4", "(1) 2 (&) 4", "0 960 1440 2880"),
        ("4/4", "1(2)3 ( 4 )", "0 960 1920 2880"),
    ] {
        let text = line(count, "--");
        let riff = Reading::of(&text).meter(meter).clean();
        let moments: Vec<String> =
            riff.bars[0].counts.iter().map(|count| count.at.0.to_string()).collect();
        assert_eq!(moments.join(" "), expected, "{meter}: {count}");
    }
}

#[test]
fn counts_that_fit_no_bar_are_faults() {
    for (meter, count, expected) in [
        ("4/4", "1 2 3 4 5", "bar-length 2:16 5"),
        ("6/8", "1 la li 2 la li 3", "bar-length 2:24 3"),
        ("4/4", "1 3 2 4", "count-order 2:12 2"),
        ("4/4", "1 2 2 & 3 4", "count-order 2:12 2"),
        ("4/4", "1 & e 2 3 4", "count-order 2:12 e"),
        ("4/4", "& 1 2 3 4", "count-order 2:8 &"),
        ("4/4", "ta 2 3 4", "count-order 2:8 ta"),
        ("4/4", "0 2 3 4", "count-order 2:8 0"),
        ("4/4", "1 4 a '", "4/4"),
        ("4/4", "1& 2 3 4", "block-syntax 2:8 1&"),
        ("4/4", "1 two 3 4", "block-syntax 2:10 two"),
        ("4/4", "1 (2 3 4", "block-syntax 2:10 ("),
        ("4/4", "1 2) 3 4", "block-syntax 2:11 )"),
        ("4/4", "1 4 a ' ' '", "bar-length 2:16 '"),
    ] {
        let text = line(count, "--");
        let found = Reading::of(&text).meter(meter).found();
        let expected: &[&str] = if expected.contains(' ') { &[expected] } else { &[] };
        assert_eq!(found, expected, "{meter}: {count}");
    }
}

#[test]
fn counts_that_may_mean_another_thing_are_hints() {
    for (meter, count, expected) in [
        ("6/8", "1 2 |1 2", "big-beats 2:8 1"),
        ("6/8", "1 2 |1 3", ""),
        ("6/8", "1 la 2 |1 2", ""),
        ("4/4", "1 & a 2 & a 3 & a 4 & a", "triplet-count 2:8 1 & a"),
        ("4/4", "1 & a 2 & a 3 & a 4 &", ""),
        ("4/4", "1 2 3 4 |1 2 3", "bar-short 2:21 3"),
        ("4/4", "1 2 3 4 |1 2 3 &", "bar-short 2:23 &"),
        ("4/4", "1 2 3 |1 2 3", ""),
        ("4/4", "1 2 3 4 |(1)", ""),
        ("4/4", "1 2 3", ""),
    ] {
        let text = line(count, "--");
        let expected: &[&str] = if expected.is_empty() { &[] } else { &[expected] };
        assert_eq!(Reading::of(&text).meter(meter).found(), expected, "{meter}: {count}");
    }
}

#[test]
fn an_upbeat_has_the_last_counts_of_the_meter() {
    for (meter, count, string, expected) in [
        ("4/4", "4 &|1 2 3 4", "5-7|----5--", ["960:0 480", "3840:1920"]),
        ("4/4", "&  |1 2 3 4", "5--|----5--", ["480:0", "3840:1920"]),
        ("6/8", "4 5 6|1 4 6", "5----|--5--", ["1440:0", "2880:1440"]),
    ] {
        let text = format!("~~~ riff pickup\ncount  {count}\nG      {string}\n");
        let riff = Reading::of(&text).meter(meter).clean();
        assert_eq!(riff.bars[0].number, 0);
        assert_eq!(riff.bars[1].number, 1);
        assert_eq!(riff.bars[1].start, riff.bars[0].length);
        let found: Vec<String> = riff
            .bars
            .iter()
            .map(|bar| {
                let events = bar.events.iter().map(|event| event.at.0.to_string());
                format!("{}:{}", bar.length.0, events.collect::<Vec<_>>().join(" "))
            })
            .collect();
        assert_eq!(found, expected, "{meter}: {count}");
    }
    let text = "~~~ riff pickup\ncount  &  |1 2 3 4\nG      5--|----5--\n";
    let riff = Reading::of(text).clean();
    assert_eq!(riff.place(0, Ticks(0), None), "bar 0, the & of 4");
}

#[test]
fn notes_last_to_the_next_note_or_rest() {
    let text = "\
~~~ riff
count  1   2  (4) |1   2   |(1)    |
G      5---7------|--------|-------|
";
    let riff = Reading::of(text);
    assert_eq!(riff.read().0.map(|riff| events(&riff)).unwrap(), ["1 0+960 3:5", "1 960+1920 3:7"]);
    let tied = line("1   4|1   4|(1)", "5----|-----|");
    assert_eq!(events(&Reading::of(&tied).clean()), ["1 0+7680 3:5"]);
    check(&line("1 (3) 4", "5--7---"), &["count-order 3:11 7"]);
}
