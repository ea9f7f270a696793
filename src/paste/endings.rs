//! The endings of a repeat, typed over their bars: `1.` and `2.`

use super::block::Comments;
use super::lines_beside::{self, Mark};
use super::pieces::Stack;
use super::row::is_dash;
use super::system::{self, Measure, System};

/// The endings that a line names, if it has nothing else but what is drawn around them.
pub(super) fn read(line: &str) -> Option<Vec<Mark>> {
    let bare = |word: &str| word.trim_matches(|c| is_dash(c) || "[]()>┌┐─".contains(c)).to_string();
    let marks: Vec<Mark> = lines_beside::words(line)
        .into_iter()
        .map(|(column, word)| (column, bare(&word)))
        .filter(|(_, word)| !word.is_empty())
        .collect();
    let all = marks.iter().all(|(_, word)| matches!(word.as_str(), "1." | "2."));
    let words: Vec<&str> = marks.iter().map(|(_, word)| word.as_str()).collect();
    ((all && !marks.is_empty()) || (alternate(&words) && !words.is_empty())).then_some(marks)
}

/// A line of chords with endings between them as two lines, each with its columns.
pub(super) fn beside_chords(line: &str) -> Option<[String; 2]> {
    let is_ending = |word: &str| times(word).is_some();
    let words = lines_beside::words(line);
    let mut lines = [String::new(), String::new()];
    for (column, word) in &words {
        if !is_ending(word) && !lines_beside::is_chord(word) {
            return None;
        }
        let line = &mut lines[usize::from(is_ending(word))];
        let gap = column.saturating_sub(line.chars().count());
        *line += &format!("{}{word}", " ".repeat(gap));
    }
    lines.iter().all(|line| !line.is_empty()).then_some(lines)
}

/// The first and the last time that an ending is for: `1.`, `1.-3.`, `1.,2.,3.`
fn times(word: &str) -> Option<(u8, u8)> {
    let numbers = word.strip_suffix('.')?.split([',', '-', '–']);
    let numbers = numbers.map(|number| number.trim_end_matches('.').parse().ok());
    let numbers: Vec<u8> = numbers.collect::<Option<_>>()?;
    let (first, last) = (*numbers.first()?, *numbers.last()?);
    let each = first <= last && numbers.iter().copied().eq(first..=last);
    let from_to = numbers.len() == 2 && first < last && !word.contains(',');
    (each || from_to).then_some((first, last))
}

/// Gives the bars of a riff their endings, with the repeat that the first of two closes. The lines are
/// handed back where they stand over no bars that could have them.
pub(super) fn set(
    stacks: &[Stack],
    systems: &mut [System<'_>],
    comments: &mut Comments,
) -> Vec<String> {
    let cues = || stacks.iter().filter_map(|stack| stack.cues.endings.as_ref());
    let begin: Option<Vec<Vec<String>>> =
        systems.iter().zip(stacks).map(|(system, stack)| begun(system, stack)).collect();
    let given = |bars: &Vec<String>| {
        let endings = bars.iter().map(String::as_str).filter(|ending| !ending.is_empty());
        alternate(&endings.collect::<Vec<_>>())
    };
    let begin = begin.map(|systems| systems.concat()).filter(given);
    let Some(begin) = begin else {
        return cues().map(|cue| cue.text.clone()).collect();
    };
    let mut bars: Vec<&mut Measure> =
        systems.iter_mut().flat_map(|system| &mut system.bars).collect();
    let mut guessed = false;
    let mut often = Vec::new();
    for (index, ending) in begin.into_iter().enumerate() {
        let Some((first, _)) = times(&ending) else { continue };
        if first > 1
            && let Some(last) = index.checked_sub(1).and_then(|before| bars.get_mut(before))
        {
            guessed |= !last.end.repeat_end;
            last.end.repeat_end = true;
            last.times = Some(first).filter(|times| *times > 2);
            often.extend(last.times);
        }
        if let Some(bar) = bars.get_mut(index) {
            bar.ending = if first > 1 { "2." } else { "1." }.to_string();
        }
    }
    for times in often {
        comments.add(format!("guessed: what is played {times} times, from its endings"));
    }
    for cue in cues() {
        comments.add(format!("guessed: the endings, from where `{}` stood", cue.text.trim()));
    }
    if open_last(stacks, systems) {
        comments
            .add("guessed: the repeat sign on its own line closes the first ending".to_string());
    } else if guessed {
        comments
            .add("guessed: the first ending is closed by a repeat, which wasn't drawn".to_string());
    }
    Vec::new()
}

/// Takes the repeat off the last endings that a sign on a line of its own has closed: whoever types it beneath
/// all of them means the repeat that they belong to. Whether there was one.
fn open_last(stacks: &[Stack], systems: &mut [System<'_>]) -> bool {
    let mut opened = false;
    for (system, stack) in systems.iter_mut().zip(stacks) {
        let ending = system.bars.iter().rev().find(|bar| !bar.ending.is_empty());
        let within_last = ending.is_some_and(|bar| bar.ending == "2.");
        if within_last && stack.cues.closes.is_some() {
            system.bars.last_mut().into_iter().for_each(|bar| bar.end.repeat_end = false);
            opened = true;
        }
    }
    opened
}

/// The ending that begins at each bar of a system, empty where none does; `None` where one stands over no
/// bar's beginning.
fn begun(system: &System<'_>, stack: &Stack) -> Option<Vec<String>> {
    let marks = stack.cues.endings.as_ref().map(|cue| cue.marks.as_slice()).unwrap_or_default();
    let parted = system::parted(marks, system.bars.iter().map(|bar| bar.from));
    let moved = is_moved(system, &parted);
    let ending = |(bar, marks): (&Measure, Vec<Mark>)| match marks.as_slice() {
        [] => Some(String::new()),
        [(column, ending)] => {
            let near = column.saturating_sub(bar.from) * 2 < bar.width;
            (near || moved).then(|| ending.clone())
        }
        _ => None,
    };
    system.bars.iter().zip(parted).map(ending).collect()
}

/// How much further one ending may stand behind its bar's beginning than another of its line, in columns.
const BESIDE: usize = 1;

/// Whether the endings over a system, several of them, stand as far behind the beginnings of their bars:
/// their line was moved as a whole.
fn is_moved(system: &System<'_>, parted: &[Vec<Mark>]) -> bool {
    let within = system.bars.iter().zip(parted);
    let behind = || {
        let each = within.clone();
        each.flat_map(|(bar, marks)| marks.iter().map(|(at, _)| at.saturating_sub(bar.from)))
    };
    let ends = behind().min().zip(behind().max());
    behind().count() > 1 && ends.is_some_and(|(least, most)| most - least <= BESIDE)
}

/// Whether each ending of the first times is followed by that of the last one.
fn alternate(endings: &[&str]) -> bool {
    endings.chunks(2).all(|two| {
        let two: Vec<_> = two.iter().map(|ending| times(ending)).collect();
        matches!(two.as_slice(), [Some((1, before)), Some((last, only))] if last == only && before + 1 == *last)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn endings_are_told_from_counts_and_rows() {
        for (line, expected) in [
            ("     1.       2.", "5 1. 14 2."),
            (" |     |1.-------|2.------|", "8 1. 18 2."),
            ("[1.___  [2.", "0 1. 8 2."),
            ("  1.-3.   4.", "2 1.-3. 10 4."),
            ("  1.,2.,3.  4.", "2 1.,2.,3. 12 4."),
            ("  1.-3.   5.", ""),
            ("  1.  2.  3.  4.", ""),
            ("1. first", ""),
            ("1 2", ""),
            ("--1---2--", ""),
            ("------", ""),
        ] {
            let told = read(line).unwrap_or_default();
            let told: Vec<String> = told.iter().map(|(at, word)| format!("{at} {word}")).collect();
            assert_eq!(told.join(" "), expected, "{line}");
        }
    }
}
