#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use crate::blocks::tab::parts::Parts;
use crate::blocks::{self, Bars, Music};
use crate::findings::{Findings, Source};
use crate::lesson;
use crate::lesson::world::MemoryWorld;
use crate::theory::Ticks;

const RIFFS: &str = "\
~~~ riff tune
count 1  2  |1  2  |
notes E5 D5 |C5 D5 |
~~~

~~~ riff short
count 1  2  |
notes C4 D4 |
~~~

~~~ riff waltz, meter 3/4
count 1  2  3  |1  2  3  |
notes C4 D4 E4 |C4 D4 E4 |
~~~

~~~ riff again
count 1  2  |1  2  :|
notes C4 D4 |C4 D4 :|
~~~

~~~ riff late, pickup
count 4  |1  2  |1  2  |
notes C4 |C4 D4 |C4 D4 |
~~~

~~~ changes song
| C | C |
~~~
";

/// What comes of a block of these lines, which stands behind the riffs, with what is found in it.
fn together<T>(lines: &str, see: impl FnOnce(Option<&Parts>, Vec<String>) -> T) -> T {
    let text =
        format!("---\ntitle: Parts\nkey: C major\n---\n{RIFFS}\n~~~ together duet\n{lines}\n~~~\n");
    let source = Source::new("lesson.md", text.as_bytes());
    let mut findings = Findings::default();
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let read = blocks::read(&lesson);
    let found = read.findings.last().unwrap().iter().map(|one| one.message.clone()).collect();
    let music = read.music.last().unwrap().as_ref();
    see(music.and_then(|music| music.as_a::<Parts>()), found)
}

#[test]
fn parts_have_names_and_the_bars_of_their_riffs() {
    together("melody: tune\nbass: the again", |parts, _| assert_eq!(parts.unwrap().parts.len(), 1));
    together("melody: tune\nBass line: short", |parts, _| {
        let parts = parts.unwrap();
        let names: Vec<&str> = parts.parts.iter().map(|part| part.name.as_str()).collect();
        assert_eq!(names, ["melody", "Bass line"]);
        assert_eq!(parts.bars(), Bars::Numbered { last: 2, pickup: false });
        assert_eq!(parts.length(), Some(Ticks::WHOLE * 2));
        let bar = parts.excerpt((2, 2)).unwrap();
        assert_eq!(bar.length(), Some(Ticks::WHOLE));
        assert!(parts.excerpt((3, 3)).is_none());
    });
}

#[test]
fn a_part_that_ends_early_is_told_and_silent_from_there_on() {
    together("melody: tune\nbass: short", |parts, found| {
        assert_eq!(found, ["`bass` ends with bar 1, and `melody` goes on to bar 2"]);
        let bars = &parts.unwrap().parts[1].tab.riff.bars;
        assert_eq!(bars.len(), 2);
        assert!(bars[1].events.is_empty());
    });
}

#[test]
fn a_block_has_as_many_parts_as_can_be_printed_and_heard() {
    let lines: Vec<String> = (0..200).map(|part| format!("p{part}: tune")).collect();
    together(&lines.join("\n"), |parts, found| {
        assert_eq!(found, ["a `together` block has at most 15 parts"]);
        assert_eq!(parts.unwrap().parts.len(), 15);
    });
}

#[test]
fn what_keeps_parts_apart_is_told() {
    for (lines, told) in [
        ("a: tune\nb: waltz", "bar 1 is in 3/4 in `b`, but in 4/4 in `a`"),
        ("a: tune\nb: again", "bar 2: repeats and endings of `b` aren't those of `a`"),
        ("a: again\nb: short", "`b` has 1 bar and `a` has 2, and some are repeated"),
        ("a: tune\nb: late", "`b` begins with a pickup, `a` without"),
        ("a: tune\nA: tune", "two parts are called `A`"),
        ("a: tune\nb: tun", "no riff is called `tun`"),
        ("a: tune\nb: song", "`song` is no riff, nor one that was moved"),
        ("a: tune\nb: duet", "`duet` is no riff, nor one that was moved"),
        ("a: tune\nb:", "nothing says what `b` plays"),
        ("a: tune\nshort", "`short` doesn't say which part it is"),
        ("a: tune", "a `together` block has two parts or more"),
    ] {
        together(lines, |parts, found| {
            assert_eq!(found, [told], "{lines}");
            assert_eq!(parts.unwrap().parts.len(), 1, "{lines}");
        });
    }
}
