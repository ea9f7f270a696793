//! What a tab looks like: distances that a photocopy must not close (looks, "Tab"), checked on what is drawn.
#![allow(clippy::unwrap_used)]

use super::super::testing::{Reading, setting};
use super::signs;
use super::tests::{boxes, each_item, figure, figure_in, points};
use crate::blocks::tab::Tab;
use crate::blocks::tab::places::Places;
use crate::ink::{Drawing, Item, Path, Point, Pt, Segment, pt};
use crate::music::tab::Riff;

const GAP: f32 = 8.5;
const WIDTH: f32 = 470.0;

fn strips(text: &str) -> Vec<Drawing> {
    figure(&Reading::of(text).clean(), GAP, WIDTH).strips
}

/// So many millimetres.
fn mm(length: f32) -> f32 {
    Pt::mm(length).0
}

/// The paths of a strip with their places, each as left, right, top, bottom.
fn paths(strip: &Drawing) -> Vec<(Path, [f32; 4])> {
    let mut paths = Vec::new();
    each_item(&strip.items, Point::default(), &mut |item, offset| {
        if let Item::Path(path) = item {
            let all: Vec<Point> = points(path).into_iter().map(|point| point + offset).collect();
            let least = |of: fn(&Point) -> f32| all.iter().map(of).fold(f32::INFINITY, f32::min);
            let most = |of: fn(&Point) -> f32| all.iter().map(of).fold(f32::NEG_INFINITY, f32::max);
            let x = |point: &Point| point.x.0;
            let y = |point: &Point| point.y.0;
            paths.push((path.clone(), [least(x), most(x), least(y), most(y)]));
        }
    });
    paths
}

fn word(strip: &Drawing, words: &str) -> (f32, f32, f32, f32) {
    let found = boxes(strip).into_iter().find(|text| text.4 == words);
    let found = found.unwrap_or_else(|| panic!("no {words}"));
    (found.0, found.1, found.2, found.3)
}

/// The upright lines of a strip: where they stand and how wide they are.
fn uprights(strip: &Drawing) -> Vec<(f32, f32)> {
    let line = |(path, at): (Path, [f32; 4])| {
        let upright = path.segments.len() == 2 && at[0] == at[1] && at[3] - at[2] > 5.0 * GAP;
        upright.then(|| (at[0], path.stroke.map_or(0.0, |stroke| stroke.width.0)))
    };
    paths(strip).into_iter().filter_map(line).collect()
}

#[test]
fn rows_beneath_have_their_names_before_them() {
    let strips = strips(
        "~~~ riff\ncount  1   2   3   |\ne      3---5---7---|\nleft   1   3   4   |\n\
         right  i   m   i   |\npick   d   u   d   |\n",
    );
    let first = word(&strips[0], "3").0;
    let names = ["count", "left", "right", "pick"].map(|name| word(&strips[0], name));
    assert!(names.iter().all(|name| name.0 == 0.0 && name.1 + mm(0.6) < first), "{names:?}");
    assert!(names.windows(2).all(|pair| pair[0].3 < pair[1].2), "{names:?}");
    // Level with what stands in their rows.
    assert_eq!(word(&strips[0], "count").3, word(&strips[0], "1").3);
}

#[test]
fn whose_right_hand_frets_reads_what_each_hand_does() {
    let reading = Reading::of(
        "~~~ riff\ncount  1   2   3   |\ne      3---5---7---|\nleft   1   3   4   |\nright  i   m   i   |\n",
    );
    let tab = Tab { riff: reading.clean(), places: Places::default() };
    let mut setting = setting("4/4");
    for (left_handed, names) in [(false, ["left", "right"]), (true, ["fretting", "plucking"])] {
        setting.left_handed = left_handed;
        let strip = figure_in(&setting, &tab, GAP, WIDTH).strips.remove(0);
        let first = word(&strip, "3").0;
        assert!(names.iter().all(|name| word(&strip, name).1 + mm(0.6) < first), "{names:?}");
    }
}

#[test]
fn an_empty_pattern_of_strokes_has_a_line_to_write_on() {
    let riff = Reading::of(
        "~~~ riff\nchord  Am              |\ncount  1 & 2 & 3 & 4 & |\npick   d   d u   u d u |\n",
    )
    .clean();
    let lines = |riff: &Riff| {
        let strip = figure(riff, GAP, WIDTH).strips.remove(0);
        let level = |at: &[f32; 4]| at[2] == at[3] && at[1] - at[0] > 10.0 * GAP;
        paths(&strip).into_iter().filter(|(_, at)| level(at)).count()
    };
    assert_eq!(lines(&riff), 0);
    assert_eq!(lines(&riff.emptied().unwrap()), 1);
}

#[test]
fn the_last_system_ends_with_a_heavy_line() {
    let bar = "~~~ riff\ncount  1   2   3   4   |\ne      3---5---7---8---|\n";
    let ends = |text: &str| {
        let mut lines = uprights(strips(text).last().unwrap());
        lines.sort_by(|a, b| a.0.total_cmp(&b.0));
        lines.iter().rev().take(2).map(|line| line.1).collect::<Vec<f32>>()
    };
    let heavy = mm(0.9);
    let last = ends(bar);
    assert!((last[0] - heavy).abs() < 0.05 && (last[1] - mm(0.42)).abs() < 0.05, "{last:?}");
    // An excerpt goes on.
    let two = bar
        .replace("   4   |", "   4   |1   2   3   4   |")
        .replace("8---|", "8---|3---5---7---8---|");
    let riff = Reading::of(&two).clean();
    let some = |bars| figure(&riff.excerpt(bars).unwrap(), GAP, WIDTH).strips;
    let widest = |strips: Vec<Drawing>| {
        uprights(&strips[0]).iter().fold(0.0_f32, |widest, line| widest.max(line.1))
    };
    assert!(widest(some((1, 1))) < 0.5 * heavy && widest(some((2, 2))) > 0.9 * heavy);
}

#[test]
fn no_stub_of_a_line_stands_between_frets() {
    let strips = strips(
        "~~~ riff\ncount  1 e & a 2 e & a 3 e & a 4 e & a |1 e & a 2 e & a 3 e & a 4 e & a |\n\
         e      12121212121212121212121212121212|12121212121212121212121212121212|\n"
            .replace("12121212121212121212121212121212", &"12--".repeat(4).repeat(2))
            .as_str(),
    );
    for strip in &strips {
        for (path, at) in paths(strip) {
            let level = path.segments.len() == 2 && at[2] == at[3];
            let inner = at[0] > 60.0 && at[1] < WIDTH - 20.0;
            assert!(!(level && inner) || at[1] - at[0] >= 3.5, "{at:?}");
        }
    }
}

#[test]
fn slurs_keep_off_the_frets_of_the_next_string() {
    let strips = strips(
        "~~~ riff\ncount  1    &    2    &    |\ne      5h7--5----3----8----|\n\
         B      5h7--5h---7----8h10-|\nG      5h7--5----3----9h11-|\n",
    );
    let strip = &strips[0];
    let slurs = paths(strip).into_iter().filter(|(path, _)| {
        let segments = &path.segments;
        matches!(segments[..], [Segment::Move(_), Segment::Curve(..), Segment::Curve(..), _])
    });
    let slurs: Vec<[f32; 4]> = slurs.map(|(_, at)| at).collect();
    assert!(slurs.len() >= 4, "{slurs:?}");
    for slur in slurs {
        assert!(slur[1] - slur[0] > mm(2.2), "{slur:?}");
        for number in boxes(strip).iter().filter(|text| text.4.parse::<u8>().is_ok()) {
            // Control points lie a third above the curve.
            let top = slur[3] - (slur[3] - slur[2]) * 0.75;
            let across = number.0 < slur[1] && slur[0] < number.1;
            // Figures are 0.66 of their size high, boxes 0.72.
            let upper = number.3 - (number.3 - number.2) * 0.66 / 0.72;
            let down = upper < slur[3] + mm(0.2) && top - mm(0.2) < number.3;
            assert!(!(across && down), "{slur:?} {number:?}");
        }
    }
}

#[test]
fn letters_stand_at_their_slurs_and_neighbours_share_one() {
    let strips = strips(
        "~~~ riff\ncount  1    &    2    &    |\nB      5h7--5h7-------8----|\n\
         G      5h7-------7p5-------|\n",
    );
    let letters: Vec<_> =
        boxes(&strips[0]).into_iter().filter(|text| text.4 == "h" || text.4 == "p").collect();
    let said: Vec<&str> = letters.iter().map(|text| text.4.as_str()).collect();
    assert_eq!(said, ["h", "h", "p"], "the first two strings share one");
    let line = |letter: &str, number: &str| word(&strips[0], number).3 - word(&strips[0], letter).3;
    // Not above the staff, but in the space over the second string's line.
    assert!(line("p", "8") < 1.5 * GAP, "{letters:?}");
}

#[test]
fn letters_over_a_chord_stand_in_its_strings_order() {
    let strips = strips(
        "~~~ riff\ncount  1        2        |\ne      10h12----5--------|\n\
         B      12p10----5--------|\nG      9h12-----5--------|\n",
    );
    let mut letters: Vec<_> =
        boxes(&strips[0]).into_iter().filter(|text| text.4 == "h" || text.4 == "p").collect();
    letters.sort_by(|a, b| a.3.total_cmp(&b.3));
    assert_eq!(&letters[0].4, "h", "the first string's on top: {letters:?}");
    assert_eq!(&letters[1].4, "p", "{letters:?}");
}

#[test]
fn runs_are_solid_and_stand_apart() {
    let strips = strips(
        "~~~ riff\ncount  1   &   2   &   3   &   4   &   |\n\
         e      3---3---3---3---3---3---3---3---|\n\
         mute   ==      ========    ====        |\n\
         ring           ========    ============|\n",
    );
    let words = boxes(&strips[0]);
    let words: Vec<_> =
        words.iter().filter(|text| ["P.M.", "let ring"].contains(&text.4.as_str())).collect();
    assert_eq!(words.len(), 5);
    for (index, one) in words.iter().enumerate() {
        for other in &words[index + 1..] {
            let across = one.1.min(other.1) - one.0.max(other.0);
            let down = one.3.min(other.3) - one.2.max(other.2);
            assert!(-across >= mm(1.0) || -down >= mm(1.0), "{one:?} {other:?}");
        }
    }
    let dashed = |path: &Path| path.stroke.is_some_and(|stroke| stroke.dash.is_some());
    assert!(paths(&strips[0]).iter().all(|(path, _)| !dashed(path)));
    let wedge = points(&signs::run_end(pt(0.0), pt(0.0), pt(GAP)));
    let ends = paths(&strips[0]).into_iter().filter(|(path, at)| {
        path.fill.is_some() && points(path).len() == wedge.len() && at[1] - at[0] < 0.4 * GAP
    });
    assert!(ends.count() >= 2);
}

#[test]
fn an_accent_keeps_clear_of_its_fret() {
    let strips = strips("~~~ riff\ncount  1   2   |\ne      12--3---|\naccent >   >   |\n");
    let top = word(&strips[0], "12").2;
    let sign = points(&signs::accent(pt(0.0), pt(0.0), pt(GAP)));
    let accents = paths(&strips[0]).into_iter().filter(|(path, at)| {
        path.fill.is_none() && points(path).len() == sign.len() && at[3] < top
    });
    let accents: Vec<[f32; 4]> = accents.map(|(_, at)| at).collect();
    assert_eq!(accents.len(), 2);
    let thick = GAP * 0.13 / 2.0;
    // Boxes of words are a little higher than figures are.
    assert!(accents.iter().all(|at| top - at[3] - thick > mm(0.8) - 0.7), "{accents:?} {top}");
}

#[test]
fn tones_stand_in_frames_above_all_else() {
    let strips = strips(
        "~~~ riff\ncount  1   2   3   4   |\ne      3---3---3---3---|\nchord  A               |\n\
         tone   lead: bridge pickup|\n"
            .replace("lead: bridge pickup", "lead: bridge    ")
            .as_str(),
    );
    let frame = paths(&strips[0]).into_iter().find(|(path, at)| {
        path.fill.is_none() && path.segments.len() == 5 && at[1] - at[0] > 5.0 * GAP
    });
    let (_, frame) = frame.expect("no frame");
    let words = word(&strips[0], "lead: bridge");
    assert!(frame[0] < words.0 && words.1 < frame[1], "{frame:?} {words:?}");
    assert!(frame[2] < words.2 && words.3 < frame[3]);
    assert!(frame[3] < word(&strips[0], "A").2, "above the chord");
}

#[test]
fn hyphens_stand_in_the_middle_between_syllables() {
    let strips = strips(
        "~~~ riff\ncount  1       2       3       4       |\n\
         e      3-------3-------3-------3-------|\nsung   ne-     ver     a-      lone    |\n",
    );
    let hyphens: Vec<_> = boxes(&strips[0]).into_iter().filter(|text| text.4 == "-").collect();
    assert_eq!(hyphens.len(), 2);
    for (hyphen, (left, right)) in hyphens.iter().zip([("ne", "ver"), ("a", "lone")]) {
        let (left, right) = (word(&strips[0], left).1, word(&strips[0], right).0);
        let middle = (hyphen.0 + hyphen.1) / 2.0;
        assert!((middle - (left + right) / 2.0).abs() < 0.1, "{hyphen:?} {left} {right}");
    }
}

#[test]
fn what_stands_above_a_bar_number_stands_apart_from_it() {
    let bar = "A   |";
    let text = format!(
        "~~~ riff\nchord  {}\ncount  {}\ne      {}\n",
        bar.repeat(24),
        "1   |".repeat(24),
        "3---|".repeat(24)
    );
    let text = text.replace("A   |A   |", "A   |B   |");
    let strips = strips(&text);
    assert!(strips.len() > 1);
    for strip in &strips[1..] {
        let number = boxes(strip).into_iter().find(|text| text.0 == 0.0 && text.3 < 40.0).unwrap();
        for chord in boxes(strip).iter().filter(|text| text.4 == "A" || text.4 == "B") {
            let apart = chord.0 - number.1 >= mm(3.0) || number.3 <= chord.2;
            assert!(apart || chord.2 > number.3, "{number:?} {chord:?}");
        }
    }
}

#[test]
fn a_last_beat_is_as_wide_before_a_final_line_or_a_repeat_as_before_others() {
    let last = |end: &str| {
        let count = "1 & 2 & 3 & 4 & ";
        let text = format!(
            "~~~ riff\ncount  {count}|{count}{end}\ne      0-3-0-3-0-3-0-3-|0-3-0-3-0-3-0-3-{end}\n"
        );
        let strips = strips(&text);
        let counts: Vec<f32> =
            boxes(&strips[0]).into_iter().filter(|text| text.4 == "&").map(|text| text.1).collect();
        let lines: Vec<f32> = paths(&strips[0])
            .into_iter()
            .filter(|(_, at)| at[3] - at[2] > 3.0 * GAP && at[1] - at[0] < 0.3 * GAP)
            .map(|(_, at)| at[0])
            .collect();
        let behind = |count: f32| {
            lines.iter().map(|x| x - count).filter(|x| *x > 0.0).fold(f32::MAX, f32::min)
        };
        (behind(counts[3]), behind(counts[7]))
    };
    for end in ["|", ":|"] {
        let (within, at_end) = last(end);
        assert!(at_end > within - mm(0.6), "{end}: {within} {at_end}");
    }
}

#[test]
fn frames_that_would_meet_stand_in_two_rows_and_no_more() {
    let text = "~~~ riff
count  1     2     3     4     |1     2     3     4     |
e      3-----3-----3-----3-----|3-----3-----3-----3-----|
tone   a: one two  b: one two  |c: the long third sound |
";
    let strips = strips(text);
    let tops = |strip: &Drawing| -> Vec<[f32; 4]> {
        let frames = paths(strip).into_iter().filter(|(path, at)| {
            path.fill.is_none() && path.segments.len() == 5 && at[1] - at[0] > 2.0 * GAP
        });
        frames.map(|(_, at)| at).collect()
    };
    let frames = tops(&strips[0]);
    assert_eq!(frames.len(), 3, "{frames:?}");
    for (index, one) in frames.iter().enumerate() {
        for other in &frames[index + 1..] {
            let across = one[0] < other[1] + mm(0.5) && other[0] < one[1] + mm(0.5);
            let down = one[2] < other[3] + mm(0.5) && other[2] < one[3] + mm(0.5);
            assert!(!(across && down), "{one:?} {other:?}");
        }
    }
    let mut heights: Vec<f32> = frames.iter().map(|frame| frame[3]).collect();
    heights.sort_by(f32::total_cmp);
    heights.dedup();
    assert!(heights.len() <= 2, "{frames:?}");
}
