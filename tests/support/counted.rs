//! The running time of a script, counted from a lesson's text alone: words, bars and pauses as a
//! reader with a pencil counts them. It uses nothing of the program.

#![allow(clippy::unwrap_used)]

/// A fenced block with what holds where it stands.
struct Block {
    kind: String,
    name: String,
    head: String,
    lines: Vec<String>,
    meter: (f64, f64),
    tempo: String,
}

/// A bar: its length in quarters, and what its bar lines say.
#[derive(Default)]
struct Bar {
    quarters: f64,
    number: usize,
    begins: bool,
    ends: Option<usize>,
    ending: Option<u32>,
}

/// The seconds that a lesson's script runs.
pub fn seconds(text: &str) -> f64 {
    let (blocks, pace) = read(text);
    let says = blocks.iter().filter(|block| block.kind == "say");
    let said: Vec<String> = says.map(|block| without_comments(&block.lines.join("\n"))).collect();
    let lines = said.iter().flat_map(|said| said.lines());
    lines.map(|line| one_line(without_marks(line), &blocks, pace)).sum()
}

/// A text with its HTML comments struck out.
fn without_comments(text: &str) -> String {
    let mut pieces = text.split("<!--");
    let first = pieces.next().unwrap().to_owned();
    pieces.fold(first, |kept, piece| kept + piece.split_once("-->").map_or("", |(_, rest)| rest))
}

/// A line without the marks of a list, a heading or a quotation before it.
fn without_marks(line: &str) -> &str {
    let line = line.trim();
    let (first, rest) = line.split_once(' ').unwrap_or((line, ""));
    let number = first.strip_suffix(['.', ')']).is_some_and(|number| number.parse::<u32>().is_ok());
    let mark = ["-", "*", "+", ">"].contains(&first) || first.bytes().all(|sign| sign == b'#');
    if number || (mark && !first.is_empty()) { without_marks(rest) } else { line }
}

fn one_line(line: &str, blocks: &[Block], pace: f64) -> f64 {
    let Some(cue) = line.trim().strip_prefix('[') else {
        let said = |word: &&str| word.contains(|c: char| c.is_alphanumeric());
        return line.split_whitespace().filter(said).count() as f64 * 60.0 / pace;
    };
    let words: Vec<&str> = cue.trim_end_matches(']').split_whitespace().collect();
    match words.split_first() {
        Some((&"pause", rest)) => rest.first().unwrap().trim_end_matches('s').parse().unwrap(),
        Some((&"play", rest)) => playing(rest, blocks),
        _ => 0.0,
    }
}

fn playing(words: &[&str], blocks: &[Block]) -> f64 {
    let at = |word: &str| words.iter().position(|other| *other == word);
    let after = at("of").map_or(0, |of| of + 1);
    let name = words[after..].iter().find(|word| **word != "the").unwrap();
    let numbers: Vec<usize> = words[..after]
        .iter()
        .flat_map(|word| word.split('-'))
        .filter_map(|word| word.parse().ok())
        .collect();
    let block = blocks.iter().find(|block| block.name == *name).unwrap();
    let bars = bars(block, blocks);
    let quarters: f64 = match (numbers.first(), numbers.last()) {
        (Some(first), Some(last)) => bars
            .iter()
            .filter(|bar| (*first..=*last).contains(&bar.number))
            .map(|bar| bar.quarters)
            .sum(),
        _ => played_out(&bars),
    };
    let times = match at("times") {
        Some(times) => words[times - 1].parse().unwrap(),
        None => {
            if at("twice").is_some() {
                2.0
            } else {
                1.0
            }
        }
    };
    let tempo = at("at").map_or(block.tempo.clone(), |at| words[at + 1..].join(" "));
    let slowly = if at("slowly").is_some() { 2.0 } else { 1.0 };
    quarters * times * slowly * 60.0 / quarters_a_minute(&tempo)
}

fn quarters_a_minute(tempo: &str) -> f64 {
    let words: Vec<&str> = tempo.split_whitespace().collect();
    let number: f64 = words.iter().find_map(|word| word.parse().ok()).unwrap();
    if words.contains(&"dotted") { number * 1.5 } else { number }
}

/// The blocks of a lesson with the meter and the tempo that hold at each, and the header's pace.
fn read(text: &str) -> (Vec<Block>, f64) {
    let (mut meter, mut tempo, mut pace) = ((4.0, 4.0), "100".to_owned(), 150.0);
    let mut blocks: Vec<Block> = Vec::new();
    let (mut in_header, mut inside) = (false, false);
    for (number, line) in text.lines().enumerate() {
        if line == "---" && (number == 0 || in_header) {
            in_header = number == 0;
            continue;
        }
        let is_fence = line.starts_with("~~~") || line.starts_with("```");
        let in_now = inside && blocks.last().is_some_and(|block| block.kind == "now");
        if (in_header || in_now) && !is_fence {
            set(line, &mut meter, &mut tempo);
            pace = line.strip_prefix("pace:").map_or(pace, |pace| pace.trim().parse().unwrap());
        } else if is_fence {
            if !inside {
                let head = line[3..].split("--").next().unwrap().trim().to_owned();
                let mut words = head.split([' ', ',']).filter(|word| !word.is_empty());
                let mut word = || words.next().unwrap_or_default().to_lowercase();
                let (kind, name) = (word(), word());
                let (mut meter, mut tempo) = (meter, tempo.clone());
                for phrase in head.split(',') {
                    let phrase = phrase.trim();
                    let keyed = ["meter ", "tempo "].iter().find(|key| phrase.starts_with(**key));
                    if keyed.is_some() {
                        set(&phrase.replacen(' ', ": ", 1), &mut meter, &mut tempo);
                    }
                }
                blocks.push(Block { kind, name, head, lines: Vec::new(), meter, tempo });
            }
            inside = !inside;
        } else if inside {
            blocks.last_mut().unwrap().lines.push(line.to_owned());
        }
    }
    (blocks, pace)
}

fn set(line: &str, meter: &mut (f64, f64), tempo: &mut String) {
    if let Some(value) = line.strip_prefix("tempo:") {
        *tempo = value.trim().to_owned();
    }
    if let Some(value) = line.strip_prefix("meter:") {
        *meter = fraction(value).unwrap();
    }
}

fn fraction(text: &str) -> Option<(f64, f64)> {
    let (upper, lower) = text.trim().split_once('/')?;
    Some((upper.parse().ok()?, lower.parse().ok()?))
}

fn quarters((upper, lower): (f64, f64)) -> f64 {
    upper * 4.0 / lower
}

fn bars(block: &Block, blocks: &[Block]) -> Vec<Bar> {
    let named = |name: &str| blocks.iter().find(|block| block.name == name.to_lowercase()).unwrap();
    match block.kind.as_str() {
        "move" => bars(named(block.head.split_whitespace().last().unwrap()), blocks),
        "together" => {
            let parts = block.lines.iter().filter_map(|line| line.split_once(':'));
            let parts = parts.map(|(_, name)| bars(named(name.trim()), blocks));
            parts.max_by(|a, b| played_out(a).total_cmp(&played_out(b))).unwrap()
        }
        "changes" => chart(block),
        _ => tab(block),
    }
}

/// The bars of changes: what stands between bar lines.
fn chart(block: &Block) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    for line in block.lines.iter().filter(|line| line.trim_start().starts_with('|')) {
        let mut pieces = line.trim().split('|').skip(1).peekable();
        while let Some(piece) = pieces.next() {
            if pieces.peek().is_none() || piece.is_empty() {
                // Behind the last bar line, or within a double one.
                let times = piece.trim().strip_prefix('x').and_then(|times| times.parse().ok());
                if let (Some(times), Some(last)) = (times, bars.last_mut()) {
                    last.ends = Some(times);
                }
                continue;
            }
            let piece = match piece.strip_prefix('x').and_then(|rest| rest.split_once(' ')) {
                Some((times, rest)) if times.parse::<usize>().is_ok() => {
                    bars.last_mut().unwrap().ends = times.parse().ok();
                    rest
                }
                _ => piece,
            };
            let own =
                piece.trim().strip_prefix('(').and_then(|rest| fraction(rest.split(')').next()?));
            bars.push(Bar {
                quarters: quarters(own.unwrap_or(block.meter)),
                number: bars.len() + 1,
                begins: piece.starts_with(':'),
                ends: piece.trim_end().ends_with(':').then_some(2),
                ending: ["1.", "2."]
                    .iter()
                    .find_map(|sign| piece.starts_with(sign).then(|| sign[..1].parse().unwrap())),
            });
        }
    }
    bars
}

/// The bars of a tab: what stands between the bar lines of its count rows.
fn tab(block: &Block) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    for system in block.lines.split(|line| line.trim().is_empty()) {
        let rows: Vec<Vec<char>> = system.iter().map(|row| row.chars().collect()).collect();
        let Some(count) = system.iter().find(|row| row.starts_with("count")) else { continue };
        let count: Vec<char> = count.chars().collect();
        let sign =
            |column: usize, sign: char| rows.iter().any(|row| row.get(column) == Some(&sign));
        let lines: Vec<usize> = (5..count.len()).filter(|column| count[*column] == '|').collect();
        let text = |from: usize, to: usize| count[from..to].iter().collect::<String>();
        let mut from = 5;
        for to in lines.into_iter().chain([count.len()]) {
            if text(from, to).contains(|c: char| !" :|x".contains(c)) {
                let upbeat = block.head.contains("pickup") && bars.is_empty();
                let whole = quarters(block.meter);
                let quarters =
                    if upbeat { whole - before(&text(from, to), block.meter) } else { whole };
                let pickup = usize::from(block.head.contains("pickup"));
                let times =
                    text(to, count.len()).strip_prefix("|x").map(|rest| rest[..1].parse().unwrap());
                bars.push(Bar {
                    quarters,
                    number: bars.len() + 1 - pickup,
                    begins: from > 5 && sign(from, ':'),
                    ends: sign(to.saturating_sub(1), ':').then_some(times.unwrap_or(2)),
                    ending: None,
                });
            }
            from = to + 1;
        }
        assert!(
            !system.iter().any(|row| row.starts_with("ending") || row.starts_with("meter")),
            "not counted yet"
        );
    }
    bars
}

/// How much of the meter is silent before an upbeat's first count, in quarters.
fn before(counts: &str, meter: (f64, f64)) -> f64 {
    let first = counts.split_whitespace().next().unwrap().trim_matches(['(', ')']);
    // An upbeat begins on a beat.
    let beat: f64 = first.parse().unwrap();
    (beat - 1.0) * 4.0 / meter.1
}

/// How long bars are with their repeats, in quarters.
fn played_out(bars: &[Bar]) -> f64 {
    let (mut whole, mut begin, mut index) = (0.0, 0, 0);
    // An upbeat is not repeated.
    if bars.first().is_some_and(|bar| bar.number == 0) {
        (whole, begin, index) = (bars[0].quarters, 1, 1);
    }
    while index < bars.len() {
        if bars[index].begins {
            begin = index;
        }
        if let Some(times) = bars[index].ends {
            // The bars since the repeat began were played once already.
            let ending = (begin..=index).find(|bar| bars[*bar].ending == Some(1));
            let again = |to: usize| bars[begin..to].iter().map(|bar| bar.quarters).sum::<f64>();
            let full = (times - 2) as f64 * again(index + 1);
            whole += full + again(ending.unwrap_or(index + 1));
            begin = index + 1;
        }
        whole += bars[index].quarters;
        index += 1;
    }
    whole
}
