#![allow(clippy::unwrap_used)]

use super::*;

#[test]
fn built_in_templates_are_sound() {
    for name in built_in_names() {
        let template = Template::load(name, |_| None);
        assert!(template.is_ok(), "{name}: {}", template.unwrap_err());
    }
}

#[test]
fn sizes_of_the_built_in_templates() {
    let body = |name| Template::load(name, |_| None).unwrap().body.size;
    assert_eq!(body("handout"), pt(11.0));
    assert!(body("large-print") >= pt(18.0));
}

#[test]
fn own_template_overrides_single_values() {
    let text = "based-on = \"large-print\"\n[body]\nsize = 20\n";
    let own = Template::load("mine.toml", |_| Some(text.to_owned())).unwrap();
    let base = Template::load("large-print", |_| None).unwrap();
    assert_eq!(own.body.size, pt(20.0));
    assert_eq!(own.body.leading, base.body.leading);
    assert_eq!(own.margins, base.margins);
}

#[test]
fn errors_have_a_place_and_say_what_is_allowed() {
    for (text, line, words) in [
        ("[body]\nsise = 10\n", 2, "expected one of `face`, `size`"),
        ("[body]\nface = \"comic\"\n", 2, "`serif-bold`"),
        ("\n[body]\nsize = \"big\"\n", 3, "body.size"),
        ("[body]\nsize = 7\n", 2, "7.5 to 72 pt"),
        ("[body]\nsize = nan\n", 2, "7.5 to 72 pt"),
        ("[rules]\nthin = 0.2\n", 2, "0.4 to 4 pt"),
        ("paper = \"a6\"\n", 1, "`a5`"),
        ("paper = [1, 2]\n", 1, "array"),
        ("[margins]\nleft = 3\n", 2, "10 to 150 mm"),
        ("[margins]\nleft = 140\n", 2, "least"),
        ("[side]\nwidth = -1\n", 2, "0 to 100 mm"),
        ("[side]\ngutter = 40\n", 2, "0 to 30 mm"),
        ("based-on = \"poster\"\n", 1, "`large-print`"),
        ("paper = \n", 1, ""),
        ("body = 3\n", 1, "body"),
        ("[title]\ntitle = { size = 2 }\n", 2, "`title.title.size`: 2 pt"),
        ("[headings]\nfirst.space-above = -1\n", 2, "`headings.first.space-above`: -1 pt"),
        ("[headings.first]\nspace-below = 201\n", 2, "`headings.first.space-below`: 201 pt"),
        ("[figure]\nbox-gap = 3\n", 2, "`figure.box-gap`: 3 pt where 4 to 40 pt"),
        ("[figure]\nresting-parts = \"gone\"\n", 2, "`left-out`"),
        ("[code]\nleading = 2\n", 2, "`code.leading`: 2 pt where 8.5 to 25.5 pt"),
        ("[body]\nleading = nan\n", 2, "`body.leading`: NaN pt"),
        ("paper = \"a4\"\n[small]\nsize = 20\n", 3, "`small.leading`: 11.5 pt where 20 to 60 pt"),
    ] {
        let error = Template::parse(text).unwrap_err();
        assert!(error.message.contains(words), "{text}: {error}");
        assert_eq!(error.line, Some(line), "{text}: {error}");
    }
}

#[test]
fn no_such_file() {
    let error = Template::load("poster", |_| None).unwrap_err();
    assert!(error.message.contains("no template `poster`"), "{error}");
}

/// A row of the README's table: what its keys are called, the tables that stand for all of theirs, and
/// the least and the most as they are written.
struct Row {
    keys: Vec<String>,
    least: String,
    most: String,
}

fn rows() -> Vec<Row> {
    let readme = include_str!("../../../README.md");
    let table = readme.split("| key | least | most |\n| --- | --- | --- |\n").nth(1).unwrap();
    let rows = table.lines().take_while(|line| line.starts_with('|'));
    let row = |line: &str| {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let keys = cells[1].split('`').skip(1).step_by(2).map(str::to_owned).collect();
        Row { keys, least: cells[2].to_owned(), most: cells[3].to_owned() }
    };
    rows.map(row).collect()
}

/// The dotted keys of all numbers in a table.
fn numbers(table: &toml::Table, path: &str) -> Vec<(String, f32)> {
    let inner = table.iter().flat_map(|(key, value)| match value {
        Value::Table(inner) => numbers(inner, &format!("{path}{key}.")),
        value => value_checks::number(value)
            .map(|number| (format!("{path}{key}"), number))
            .into_iter()
            .collect(),
    });
    inner.collect()
}

/// Whether a template is refused for the value of a key.
fn refused(key: &str, value: f32) -> bool {
    let refused = Template::parse(&format!("{key} = {value}\n")).err();
    refused.is_some_and(|error| error.message.starts_with(&format!("`{key}`: ")))
}

#[test]
fn the_readme_has_the_range_of_each_length() {
    let rows = rows();
    let foundation: toml::Table = toml::from_str(built_in(FOUNDATION).unwrap()).unwrap();
    let lengths = numbers(&foundation, "");
    let size_beside = |key: &str| {
        let beside = key.replace(".leading", ".size");
        lengths.iter().find(|(other, _)| *other == beside).unwrap().1
    };
    for (key, _) in &lengths {
        let (table, last) = key.rsplit_once('.').unwrap();
        let names = |own: &String| *own == last || *own == format!("[{table}]");
        let mut own = rows.iter().filter(|row| row.keys.iter().any(names));
        let row = own.next().unwrap_or_else(|| panic!("the README has no range for `{key}`"));
        assert!(own.next().is_none(), "the README has two ranges for `{key}`");
        let bound = |words: &str| match words.split_once("the `size`") {
            None => words.parse().unwrap(),
            Some(("once ", _)) => size_beside(key),
            Some((times, _)) => {
                size_beside(key) * times.trim_end_matches(" times ").parse::<f32>().unwrap()
            }
        };
        let (least, most) = (bound(&row.least), bound(&row.most));
        for value in [least, most] {
            assert!(!refused(key, value), "`{key}` = {value}");
        }
        for value in [least - 0.01, most + 0.01] {
            assert!(refused(key, value), "`{key}` = {value}");
        }
    }
    let (width, height) = value_checks::LEAST_COLUMN;
    let column = format!("a column at least {width} points wide and {height} high");
    assert!(include_str!("../../../README.md").contains(&column), "{column}");
}
