//! Where ticks, names and bars stand in the rows of a chart.

use super::*;

/// The short lines that stand on a strip's rule, from left to right: its ticks, which are no more than a tenth of an
/// inch high.
fn ticks(strip: &Drawing) -> Vec<f32> {
    uprights(strip, |height| height < pt(7.2))
}

/// The axes of its bar lines, from left to right.
fn bar_lines(strip: &Drawing) -> Vec<f32> {
    let mut lines = uprights(strip, |height| height >= pt(7.2));
    lines.sort_by(f32::total_cmp);
    lines
}

fn uprights(strip: &Drawing, is_so_high: impl Fn(Pt) -> bool) -> Vec<f32> {
    let upright = |item: &Item| {
        let Item::Path(path) = item else { return None };
        let [Segment::Move(from), Segment::Line(to)] = path.segments.as_slice() else {
            return None;
        };
        let height = (from.y - to.y).abs();
        (from.x == to.x && is_so_high(height)).then_some(from.x.0)
    };
    strip.items.iter().filter_map(upright).collect()
}

fn figure_of(text: &str, head: &str, meter: &str, width: f32) -> Figure {
    figure(&read_in(text, head, "", meter).changes.unwrap(), width, "")
}

#[test]
fn beats_are_equally_wide_in_all_rows() {
    let wide = "| Amaj7 F#m7b5 Bm7b5 E7b9 | C#m7b5 / F#7#9 / | Bm11 E13 | A6/9 | D |";
    for (text, head, meter) in [
        ("| A | D | E | A | A | D | E |", "", "4/4"),
        ("|: A | D :|x3 |\n| E | A / D E |\n| A | % | / / / D ||", "", "4/4"),
        ("| E7 | A | D | E | A |\n| A | D |", "pickup", "3/4"),
        ("| A | (2/4) D | E | (3/4) D | A |", "", "4/4"),
        ("| A | D | E |", "", "7/8"),
        (wide, "", "4/4"),
    ] {
        for width in [470.0, 310.0, 200.0] {
            let strips = figure_of(text, head, meter, width).strips;
            let ticks: Vec<Vec<f32>> = strips.iter().map(ticks).collect();
            let mut steps = Vec::new();
            for (strip, row) in strips.iter().zip(&ticks) {
                let lines = bar_lines(strip);
                let within = |pair: &[f32]| !lines.iter().any(|x| pair[0] < *x && *x < pair[1]);
                let pairs = row.windows(2).filter(|pair| within(pair));
                steps.extend(pairs.map(|pair| pair[1] - pair[0]));
            }
            let (least, most) = steps.iter().fold((f32::MAX, 0.0_f32), |(least, most), step| {
                (least.min(*step), most.max(*step))
            });
            assert!(most <= least * 1.02, "{text} in {width}: {ticks:?}");
        }
    }
}

#[test]
fn ticks_stand_within_their_bars() {
    for (meter, beats) in [("12/8", 12), ("9/8", 9), ("6/8", 6), ("7/8", 7), ("3/8", 3), ("4/4", 4)]
    {
        for text in ["| A | D | E | A |", "| A | D | E | A | D | A |", "| A |: D | E | A |"] {
            for width in [470.0, 310.0, 200.0] {
                for strip in figure_of(text, "", meter, width).strips {
                    let (ticks, lines) = (ticks(&strip), bar_lines(&strip));
                    for bar in ticks.chunks(beats) {
                        let (first, last) = (bar[0], bar[beats - 1]);
                        let step = (last - first) / (beats - 1) as f32;
                        let inside = |x: &f32| first - step < *x && *x < last + step * 0.4;
                        let before = lines.iter().filter(|x| **x < first).count();
                        let within = lines.iter().filter(|x| first < **x && inside(x)).count();
                        assert!(
                            before > 0 && within == 0,
                            "{text} in {meter}, {width}: {ticks:?} {lines:?}"
                        );
                    }
                    assert!(lines.last() > ticks.last());
                }
            }
        }
    }
}

#[test]
fn names_stand_clear_of_what_is_before_them() {
    let begins = |text, width| {
        let figure = figure_of(text, "", "4/4", width);
        let names: Vec<f32> = figure.strips[0]
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Text(at, _) => Some(at.x.0),
                _ => None,
            })
            .collect();
        let ticks = ticks(&figure.strips[0]);
        (names[0] - Pt::mm(0.5).0, ticks[0] - Pt::mm(0.5).0)
    };
    for width in [470.0, 200.0, 90.0] {
        let (plain, repeated) = (begins("| A | D |", width), begins("|: A | D :|", width));
        assert!(plain.0 >= Pt::mm(1.29).0, "{width}: {plain:?}");
        // The dots reach 2.5 mm.
        assert!(repeated.0 >= Pt::mm(3.3).0 && repeated.1 > plain.1, "{width}: {repeated:?}");
        // What comes later in one bar does in all.
        assert_eq!(begins("| A |: D :|", width).1, repeated.1);
    }
}

#[test]
fn rows_line_up_under_each_other() {
    for (text, head, bars) in [
        ("| A | D | E | A | A | D | E |", "", &[4, 3][..]),
        ("| A | D | E | A | A | D | E | A |\n| A | D | E | A |", "", &[4, 4, 4]),
        ("| E7 | A | D | E | A | A | D | E | A |", "pickup", &[4, 4]),
        ("| Cm7 Fm7 Dm7 G7 | C | C | C | C |", "", &[3, 2]),
    ] {
        let head_beats = usize::from(!head.is_empty());
        let strips = figure_of(text, head, "4/4", 330.0).strips;
        let ticks: Vec<Vec<f32>> = strips.iter().map(ticks).collect();
        let found: Vec<usize> = ticks.iter().map(|row| row.len() / 4).collect();
        assert_eq!(found, bars, "{text}");
        let columns = ticks.first().unwrap().iter().skip(head_beats);
        for row in ticks.iter().skip(1) {
            for (x, column) in row.iter().zip(columns.clone()) {
                assert!((x - column).abs() < 0.1, "{text}: {ticks:?}");
            }
        }
    }
}
