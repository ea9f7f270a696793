//! One misplaced bar line is one finding, whatever row it stands in and however far it went.
#![allow(clippy::unwrap_used)]

use super::testing::{HOOK, Reading};

/// The whole hook, three rows of it, and two.
fn systems() -> [Vec<String>; 3] {
    let rows = |indices: &[usize]| indices.iter().map(|row| HOOK[*row].to_string()).collect();
    [rows(&[0, 1, 2, 3, 4, 5, 6, 7, 8, 9]), rows(&[1, 4, 6]), rows(&[1, 4])]
}

fn filler(row: &str) -> char {
    if row.starts_with(['e', 'B', 'G', 'D', 'A', 'E']) { '-' } else { ' ' }
}

/// What is found where one row of a system is written otherwise.
fn found(rows: &[String], index: usize, row: String) -> Vec<String> {
    let mut rows = rows.to_vec();
    rows[index] = row;
    let text = format!("~~~ riff\n{}\n", rows.join("\n"));
    Reading::of(&text).found()
}

fn assert_one(rows: &[String], index: usize, row: String) {
    let found = found(rows, index, row.clone());
    assert_eq!(found.len(), 1, "{row}\n{found:?}");
    assert!(found[0].starts_with("bar-adrift "), "{row}\n{found:?}");
}

#[test]
fn a_bar_line_alone_is_moved() {
    for rows in systems() {
        for (index, row) in rows.iter().enumerate() {
            let line = row.find('|').unwrap();
            for to in (line - 12..line + 12).filter(|to| *to != line) {
                let mut cells: Vec<char> = row.chars().collect();
                cells[line] = filler(row);
                if matches!(cells[to], '-' | ' ') {
                    cells[to] = '|';
                    assert_one(&rows, index, cells.into_iter().collect());
                }
            }
        }
    }
}

/// How many bars are read where one row of a system is written otherwise.
fn bars(rows: &[String], index: usize, row: String) -> usize {
    let mut rows = rows.to_vec();
    rows[index] = row;
    let text = format!("~~~ riff\n{}\n", rows.join("\n"));
    Reading::of(&text).read().0.unwrap().bars.len()
}

#[test]
fn a_bar_line_that_stands_too_far_right_makes_no_bar() {
    for rows in systems() {
        for (index, row) in rows.iter().enumerate() {
            let lines: Vec<usize> = row.match_indices('|').map(|(at, _)| at).collect();
            for late in 1..=12 {
                let fill = filler(row).to_string().repeat(late);
                let (mut last, mut both) = (row.clone(), row.clone());
                last.insert_str(lines[1], &fill);
                both.insert_str(lines[1], &fill);
                both.insert_str(lines[0], &fill);
                assert_one(&rows, index, last.clone());
                for late in [last, both] {
                    assert_eq!(bars(&rows, index, late.clone()), 2, "{late}");
                }
            }
        }
    }
}

#[test]
fn a_bar_line_takes_all_behind_it_along() {
    for rows in systems() {
        for (index, row) in rows.iter().enumerate() {
            let line = row.find('|').unwrap();
            for late in 1..=10 {
                let mut slipped = row.clone();
                slipped.insert_str(line, &filler(row).to_string().repeat(late));
                assert_one(&rows, index, slipped);
            }
        }
    }
}

#[test]
fn a_bar_line_is_lost() {
    for rows in systems() {
        for (index, row) in rows.iter().enumerate() {
            let line = row.find('|').unwrap();
            let mut lost = row.clone();
            lost.remove(line);
            assert_one(&rows, index, lost);
        }
    }
}

#[test]
fn a_bar_line_in_every_row_is_told_where_the_count_begins_anew() {
    let rows = HOOK.map(|row| {
        let line = row.find('|').unwrap();
        let mut row = row.to_string();
        row.remove(line);
        row.insert(line - 8, '|');
        row
    });
    let text = format!("~~~ riff\n{}\n", rows.join("\n"));
    assert_eq!(Reading::of(&text).found(), ["count-order 3:42 1"]);
}
