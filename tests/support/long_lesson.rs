//! Long lessons for benches and tests, made from the demo lessons.

use std::fmt::Write;

/// Strings the bodies of lessons together, `copies` times over, into one long lesson. Each body is
/// led in by a `now` with its own header's values, and each block's name gets its copy's number,
/// since names are unique in a file.
pub fn long_lesson(demos: &[String], copies: usize) -> String {
    let mut long = String::from("---\ntitle: The long lesson\n---\n");
    for copy in 0..copies {
        for (index, demo) in demos.iter().enumerate() {
            let (header, body) = split(demo);
            let title = value(header, "title").unwrap_or_default();
            let now = in_force(header);
            let body = renamed(body, copy * demos.len() + index);
            // Writing to a string does not fail.
            let _ = write!(long, "\n# {title}\n\n~~~ now\n{now}~~~\n{body}");
        }
    }
    long
}

fn split(lesson: &str) -> (&str, &str) {
    let rest = lesson.strip_prefix("---\n").unwrap_or(lesson);
    rest.split_once("\n---\n").unwrap_or(("", rest))
}

fn value<'a>(header: &'a str, key: &str) -> Option<&'a str> {
    header.lines().find_map(|line| line.strip_prefix(key)?.strip_prefix(": "))
}

/// The values that a `now` must set so that nothing of the demo before stays in force.
fn in_force(header: &str) -> String {
    let usual = [
        ("key", "none"),
        ("meter", "4/4"),
        ("tempo", "100"),
        ("swing", "none"),
        ("tuning", "E2 A2 D3 G3 B3 E4"),
        ("capo", "none"),
    ];
    usual
        .iter()
        .map(|(key, usual)| format!("{key}: {}\n", value(header, key).unwrap_or(usual)))
        .collect()
}

/// The body with each of its blocks called by its name and a number.
fn renamed(body: &str, number: usize) -> String {
    let names = body.lines().filter_map(|line| {
        let mut words = line.strip_prefix("~~~ ")?.split([' ', ',']);
        let kind = words.next()?;
        words.next().map(|name| (kind, name)).filter(|(_, name)| !name.is_empty())
    });
    let mut text = body.to_owned();
    for (kind, name) in names {
        if matches!(name, "over" | "--" | "meter" | "key") {
            continue;
        }
        let new = format!("{name}-{number}");
        for (old, new) in [
            (format!("~~~ {kind} {name}"), format!("~~~ {kind} {new}")),
            (format!("over {name}"), format!("over {new}")),
            (format!("from {name}"), format!("from {new}")),
            (format!("under {name}"), format!("under {new}")),
            (format!("scales for {name}"), format!("scales for {new}")),
            (format!("the {name}`"), format!("the {new}`")),
        ] {
            text = text.replace(&old, &new);
        }
        text = with_cues(&text, name, &new);
    }
    text
}

/// The text with a block's new name in the cues that name it.
fn with_cues(text: &str, name: &str, new: &str) -> String {
    let cue = |line: &str| {
        let inner = line.strip_prefix('[')?.strip_suffix(']')?;
        let words = inner.split(' ').map(|word| if word == name { new } else { word });
        Some(format!("[{}]", words.collect::<Vec<_>>().join(" ")))
    };
    let lines = text.lines().map(|line| cue(line).unwrap_or_else(|| line.to_owned()) + "\n");
    lines.collect()
}
